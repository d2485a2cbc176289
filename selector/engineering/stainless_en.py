"""Which class of stainless steel the air asks for, and whether a grade is of it.

EN 1993-1-4:2006 with A1:2015, annex A: CRF = F1 + F2 + F3. F1 and F2 were read in a secondary
copy; F3, the limits of the classes and the grades are from memory. Parts under modules are never
washed by rain, so what is asked for there is more than beside the array.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.over import Interval, interval

Coast = Literal["mild", "other"]  # German North Sea and Baltic; all others of Europe
Washing = Literal["rain", "cleaned", "none"]
COASTS: tuple[Coast, ...] = ("mild", "other")
FAR_KM = 1e4
ANY_KM: Interval = (0.0, FAR_KM)
MOST_SO2 = 1e4
CLAUSE = "EN 1993-1-4, annex A"


@dataclass(frozen=True)
class SaltBand:
    """Points of F1 from above `low_km` on; `coast` where the coast makes a difference."""

    name: str
    low_km: float
    points: int
    coast: Coast | None = None


@dataclass(frozen=True)
class Step:
    """Points of F2 from `low` on."""

    low: float
    points: int


@dataclass(frozen=True)
class ResistanceClass:
    """A class, the least sum that it meets, and the grades in it."""

    name: str
    least: int | None  # None: there is no worse sum
    grades: tuple[str, ...]  # of screws too: A2, A4


@dataclass(frozen=True)
class StainlessTable:
    """Annex A as data: bands nearest last, classes from the least to the most resistant."""

    sea: tuple[SaltBand, ...]
    road: tuple[SaltBand, ...]
    sulphur: tuple[Step, ...]
    most_so2: float
    washing: Mapping[str, int]
    classes: tuple[ResistanceClass, ...]


@dataclass(frozen=True)
class Site:
    """What is known of a place; what nobody knows stays as wide as it may be.

    Distances in km. Sulphur dioxide in ug/m3 has no default: whoever takes the air as clean says
    so. A pool hall has a table of its own: Outside.
    """

    so2_ug_m3: Interval
    sea_km: Interval = ANY_KM
    road_km: Interval = ANY_KM
    coasts: tuple[Coast, ...] = COASTS
    washing: tuple[Washing, ...] = ("none",)
    pool_hall: bool = False


def salt_points(bands: Collection[SaltBand], distance_km: float, coast: Coast = "other") -> int:
    """Points for one distance to the sea, or to a salted road.

    EN 1993-1-4 annex A, F1: lower ends excluded, upper ones included.
    """
    band = salt_band(bands, distance_km, coast)
    return band.points


def salt_band(bands: Collection[SaltBand], distance_km: float, coast: Coast = "other") -> SaltBand:
    """The band of one distance to the sea or a salted road; nought is in the nearest one.

    EN 1993-1-4 annex A, F1: lower ends excluded, upper ones included. The one table of distances.
    """
    interval("distance", (distance_km, distance_km), "km", 0.0)
    found = [b for b in bands if b.coast in (None, coast)]
    inside = [b for b in found if distance_km > b.low_km]
    return max(inside, key=lambda b: b.low_km) if inside else min(found, key=lambda b: b.low_km)


def sulphur_points(table: StainlessTable, so2_ug_m3: float) -> int | Outside:
    """Points for the sulphur dioxide of the air; a limit counts to the dirtier side.

    EN 1993-1-4 annex A, F2.
    """
    interval("sulphur dioxide", (so2_ug_m3, so2_ug_m3), "ug/m3", 0.0)
    if so2_ug_m3 > table.most_so2:
        allowed = f"up to {table.most_so2:g} ug/m3"
        return Outside("sulphur dioxide", f"{so2_ug_m3:g} ug/m3", allowed, CLAUSE)
    return min(step.points for step in table.sulphur if so2_ug_m3 >= step.low)


def exposure(table: StainlessTable, salt: int, sulphur: int, washing: str) -> int:
    """The sum CRF; washing counts only where salt and sulphur together are below nought.

    EN 1993-1-4 annex A: CRF = F1 + F2 + F3.
    """
    if washing not in table.washing:
        raise BadInputError(f"washing is {washing!r}; expected {', '.join(table.washing)}")
    both = salt + sulphur
    return both if both >= 0 else both + table.washing[washing]


def exposures(table: StainlessTable, site: Site) -> tuple[int, int] | Outside:
    """Worst and best sum over all that is still open at a place.

    EN 1993-1-4 annex A; between sea and road the worse counts (judgement). Every factor falls
    with its own distance or content, so the ends of the intervals are enough.
    """
    if site.pool_hall:
        return Outside("air", "that of a pool hall", "air without chlorine of a pool", CLAUSE)
    if not site.coasts or not site.washing:
        raise BadInputError("no coast or no washing given; expected one or more")
    sea = interval("distance to the sea", site.sea_km, "km", 0.0)
    road = interval("distance to a salted road", site.road_km, "km", 0.0)
    so2 = interval("sulphur dioxide", site.so2_ug_m3, "ug/m3", 0.0)
    found = []
    for end in (0, 1):
        sulphur = sulphur_points(table, so2[1 - end])
        if isinstance(sulphur, Outside):
            return sulphur
        for coast in site.coasts:
            salt = min(
                salt_band(table.sea, sea[end], coast).points,
                salt_band(table.road, road[end], coast).points,
            )
            found += [exposure(table, salt, sulphur, washing) for washing in site.washing]
    return min(found), max(found)


def class_of(table: StainlessTable, crf: int) -> str:
    """The class that a sum asks for.

    EN 1993-1-4 annex A, table A.2 (limits from memory).
    """
    for one in table.classes:
        if one.least is None or crf >= one.least:
            return one.name
    return table.classes[-1].name


def classes_over(table: StainlessTable, site: Site) -> tuple[str, ...] | Outside:
    """Every class that the place may ask for, from the least to the most resistant.

    EN 1993-1-4 annex A over all that is open.
    """
    ends = exposures(table, site)
    if isinstance(ends, Outside):
        return ends
    names = [one.name for one in table.classes]
    least, most = names.index(class_of(table, ends[1])), names.index(class_of(table, ends[0]))
    return tuple(names[least : most + 1])


def class_of_grade(table: StainlessTable, grade: str) -> str | None:
    """The class of a grade, such as `A4` or `1.4404`; None for one that is not listed.

    EN 1993-1-4 annex A, table A.3 (from memory); screws by ISO 3506.
    """
    return next((one.name for one in table.classes if grade in one.grades), None)


def enough(table: StainlessTable, grade: str, site: Site) -> Literal["yes", "no", "unknown"]:
    """Whether a grade is resistant enough here: yes only where it is for all that is still open.

    EN 1993-1-4 annex A. `unknown` for a grade that is not listed, for air that the annex does not
    cover, and where the answer hangs on what is open; never a yes by silence.
    """
    own, asked = class_of_grade(table, grade), classes_over(table, site)
    if own is None or isinstance(asked, Outside):
        return "unknown"
    names = [one.name for one in table.classes]
    if names.index(own) >= names.index(asked[-1]):
        return "yes"
    return "no" if names.index(own) < names.index(asked[0]) else "unknown"
