"""Zones of a roof in each of the four winds, as rectangles in the coordinates of its plane.

Source: EN 1991-1-4:2005 figures 7.6 to 7.8. x runs along the eave from the left, y up the slope
from the eave, both in metres; a zone is cut where the plane ends.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from selector.engineering.lines import BadInputError, Outside, Ref, finite
from selector.engineering.tables import Code, ZonePlan

Wind = Literal["onto the eave", "from behind", "onto the left end", "onto the right end"]
GABLE: tuple[Wind, Wind] = ("onto the left end", "onto the right end")
WINDS: tuple[Wind, ...] = (
    "onto the eave",
    "from behind",
    "onto the left end",
    "onto the right end",
)
FORMS = ("flat", "monopitch", "duopitch")
LONGEST = 2_000.0
Rectangle = tuple[float, float, float, float]  # x0, x1, y0, y1


@dataclass(frozen=True)
class Roof:
    """A rectangular roof: lengths on plan in m, pitch in degrees.

    `length_m` runs along the eave, `depth_m` across the whole building (both slopes of a
    duopitch roof, whose ridge lies in the middle); `height_m` is the highest point.
    """

    form: str
    pitch_deg: float
    length_m: float
    depth_m: float
    height_m: float
    parapet_m: float = 0.0
    edge: str = "sharp"  # of a flat roof: sharp | curved | mansard; a parapet makes its own
    source: str = field(kw_only=True)
    status: str = field(kw_only=True)  # what the measures are worth

    @property
    def slopes(self) -> int:
        """How many slopes share the depth."""
        return 2 if self.form == "duopitch" else 1

    @property
    def slope_m(self) -> float:
        """Length of one plane from the eave up."""
        return self.depth_m / self.slopes / math.cos(math.radians(self.pitch_deg))


@dataclass(frozen=True)
class Zone:
    """One rectangle of one wind; `table` and `theta` say which rows of the code it reads."""

    name: str
    wind: Wind
    table: str
    theta: int
    x0_m: float
    x1_m: float
    y0_m: float
    y1_m: float
    ref: Ref

    @property
    def empty(self) -> bool:
        """Whether the plane ends before this zone begins."""
        return self.x1_m <= self.x0_m or self.y1_m <= self.y0_m

    def touches(self, box: Rectangle) -> bool:
        """Whether a rectangle or a point shares a place with it, its edge included."""
        x0, x1, y0, y1 = box
        return (
            not self.empty
            and x0 <= self.x1_m
            and x1 >= self.x0_m
            and y0 <= self.y1_m
            and y1 >= self.y0_m
        )

    def shared_m2(self, box: Rectangle) -> float:
        """Area that it shares with a rectangle."""
        x0, x1, y0, y1 = box
        wide = max(0.0, min(x1, self.x1_m) - max(x0, self.x0_m))
        return wide * max(0.0, min(y1, self.y1_m) - max(y0, self.y0_m))


def zone_depth_m(crosswind_m: float, height_m: float) -> float:
    """Length e from which the zones are measured, in m.

    EN 1991-1-4:2005 clause 7.2.3(1): e = min(b, 2h), b across the wind.
    """
    wide = finite("width across the wind", crosswind_m, 0, LONGEST, "m")
    return min(wide, 2 * finite("height", height_m, 0, LONGEST, "m"))


def is_flat(code: Code, roof: Roof) -> bool:
    """Whether the code treats the roof as flat.

    EN 1991-1-4:2005 clause 7.2.3(1): between -5 and 5 degrees, both excluded.
    """
    return abs(roof.pitch_deg) < code.figure("flat_below").value


def roof_zones(code: Code, roof: Roof) -> tuple[Zone, ...] | Outside:
    """All zones of one plane in all four winds; empty ones are kept, so that the order holds.

    EN 1991-1-4:2005 figures 7.6 to 7.8; Outside for roofs without a figure there.
    """
    outside = _outside(code, roof)
    if outside is not None:
        return outside
    flat = is_flat(code, roof)
    rise = 1 / math.cos(math.radians(roof.pitch_deg))
    plane = (0.0, roof.length_m, 0.0, roof.depth_m / roof.slopes)
    zones = []
    for wind in WINDS:
        theta, table = _case(roof, wind, flat)
        plan = code.wind.plans["flat" if flat else roof.form, theta]
        depth = roof.depth_m if flat else plane[3]
        for name, part in _parts(roof, wind, flat, plan):
            x0, x1, y0, y1 = _cut(_placed(part, wind, roof.length_m, depth), plane)
            zones.append(Zone(name, wind, table, theta, x0, x1, y0 * rise, y1 * rise, plan.ref))
    return tuple(zones)


def _outside(code: Code, roof: Roof) -> Outside | None:
    if roof.form not in FORMS:
        allowed = ", ".join(FORMS)
        return Outside(
            "roof form", f"`{roof.form}`", f"rectangular roofs: {allowed}", "7.2.3 to 7.2.5"
        )
    finite("pitch", roof.pitch_deg, -90, 90, "deg")
    for name, value in (
        ("length", roof.length_m),
        ("depth", roof.depth_m),
        ("height", roof.height_m),
    ):
        if finite(f"{name} of the roof", value, 0, LONGEST, "m") == 0:
            raise BadInputError(f"{name} of the roof is 0 m; expected a length above 0")
    finite("height of the parapet", roof.parapet_m, 0, LONGEST, "m")
    flat = is_flat(code, roof)
    limit = code.figure("flat_below")
    shown = f"{roof.pitch_deg:g} deg"
    if roof.form == "flat" and not flat:
        return Outside("pitch", shown, f"flat roofs below {limit.value:g} deg", limit.ref.clause)
    if not flat and roof.pitch_deg < 0:
        return Outside("pitch", shown, "roofs that fall towards their eaves here", "7.2.5")
    if not flat and roof.pitch_deg > 75:
        return Outside("pitch", shown, f"{limit.value:g} to 75 deg", "tables 7.3 and 7.4")
    if flat and roof.edge != "sharp":
        return Outside("eave", roof.edge, "sharp eaves and parapets here", "7.2.3")
    if not flat and roof.parapet_m > 0:
        return Outside(
            "parapet", f"{roof.parapet_m:g} m", "pitched roofs without one", "7.2.4, 7.2.5"
        )
    return None


def _case(roof: Roof, wind: Wind, flat: bool) -> tuple[int, str]:
    """Wind direction of the tables, and their name."""
    if flat:
        return 0, "flat-parapet" if roof.parapet_m > 0 else "flat-sharp"
    if wind in GABLE:
        return 90, roof.form
    return (180 if roof.form == "monopitch" and wind == "from behind" else 0), roof.form


def _parts(roof: Roof, wind: Wind, flat: bool, plan: ZonePlan) -> Iterator[tuple[str, Rectangle]]:
    """Zones in the wind's own directions: u across it from the eave or the left, v along it."""
    gable = wind in GABLE
    across, along = (roof.depth_m, roof.length_m) if gable else (roof.length_m, roof.depth_m)
    e = zone_depth_m(across, roof.height_m)
    corner, strip, inner = plan.corner * e, plan.strip * e, plan.inner * e
    duopitch = roof.form == "duopitch" and not flat
    if duopitch and wind == "from behind":
        yield "J", (0, across, 0, strip)
        yield "I", (0, across, strip, along / 2)
        return
    if duopitch and gable:  # half of the figure: from this eave to the ridge
        across /= 2
        yield "F", (0, corner, 0, strip)
        yield "G", (corner, across, 0, strip)
    else:
        low, high = ("Flow", "Fup") if gable and not flat else ("F", "F")
        yield low, (0, corner, 0, strip)
        yield high, (across - corner, across, 0, strip)
        yield "G", (corner, across - corner, 0, strip)
        along /= 2 if duopitch else 1
    far = inner if plan.inner else along
    yield "H", (0, across, strip, far)
    if plan.inner:
        yield "I", (0, across, inner, along)


def _placed(part: Rectangle, wind: Wind, length_m: float, depth_m: float) -> Rectangle:
    """From the wind's directions to those of the plane."""
    u0, u1, v0, v1 = part
    if wind == "onto the eave":
        return u0, u1, v0, v1
    if wind == "from behind":
        return u0, u1, depth_m - v1, depth_m - v0
    if wind == "onto the left end":
        return v0, v1, u0, u1
    return length_m - v1, length_m - v0, u0, u1


def _cut(part: Rectangle, plane: Rectangle) -> Rectangle:
    """The piece of a rectangle inside the plane; without any area where there is none."""
    x0, x1, y0, y1 = (
        min(max(value, low), high)
        for value, (low, high) in zip(
            part, (plane[:2], plane[:2], plane[2:], plane[2:]), strict=True
        )
    )
    return x0, max(x0, x1), y0, max(y0, y1)
