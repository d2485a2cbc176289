"""A job as inference sees it: observations with their sightings, arrays, stacks, a request."""

from dataclasses import dataclass, field
from typing import Any, Literal

from selector.model.quantity import Candidates, Measured, Place, Unknown, Window

Observable = Measured | Candidates | Unknown


@dataclass(frozen=True)
class Sighting:
    """One way in which one quantity was seen."""

    value: Observable
    seen: str  # how, tool, paper and who, as one text
    way: str  # what makes it independent of another sighting
    line: int
    hint: str = ""
    paper: str = ""  # key of the paper that it stands in


@dataclass(frozen=True)
class Observed:
    """All sightings of one quantity; what they contradict is unknown."""

    path: str
    sightings: tuple[Sighting, ...]

    @property
    def contradicted(self) -> bool:
        """Whether the sightings leave nothing possible together."""
        value = self.value
        return isinstance(value, Unknown) and value.why == "contradicted"

    @property
    def value(self) -> Observable:
        """What all sightings leave together."""
        known = [s for s in self.sightings if not isinstance(s.value, Unknown)]
        if not known:
            return self.sightings[0].value if self.sightings else Unknown("not asked")
        words = [s.value.left for s in known if isinstance(s.value, Candidates)]
        if words:
            left = frozenset.intersection(*words)
            return Candidates(left) if left else Unknown("contradicted")
        return _finest([s.value for s in known if isinstance(s.value, Measured)])


def _finest(readings: list[Measured]) -> Observable:
    """The reading of the finest tool; every place of the others must meet its span."""

    def coarseness(reading: Measured) -> tuple[int, int]:
        return max(p.high - p.low for p in reading.places), -len(reading.places)

    finest = min(readings, key=coarseness)
    low, high = min(p.low for p in finest.places), max(p.high for p in finest.places)
    others = [p for r in readings for p in r.places]
    if any(p.high < low or p.low > high for p in others):
        return Unknown("contradicted")
    return finest


@dataclass(frozen=True)
class Marks:
    """Distances from the eave by seam: its clip marks, or where its sheet is held."""

    seams: dict[str, Measured | Unknown]
    seen: str
    line: int


@dataclass(frozen=True)
class Outline:
    """Outline of a plane: eave and slope length of a rectangle; None for any other outline.

    `corners` run against the clock from the lower left, along the eave and up the slope. `exact` is
    false where nobody says how well it was measured.
    """

    rectangle: tuple[Place, Place] | None
    exact: bool
    seen: str
    line: int
    corners: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class SeamLines:
    """Where seams run: each by name from the left end, or the first, the others by spacing."""

    first: Place | None
    at: dict[str, Place]
    seen: str
    line: int


@dataclass(frozen=True)
class Obstacle:
    """Something on the plane, from its left end and the eave, with its clear distance."""

    id: str
    from_left: int
    from_eave: int
    width: int
    height: int
    clear: int
    collar: bool  # soldered or welded to the sheet
    line: int
    rises: Place | None = None  # above the sheet, upright
    seen: str = ""


@dataclass(frozen=True)
class Strip:
    """A strip along an edge of the plane that stays free."""

    id: str
    along: Literal["eave", "ridge", "left", "right"]
    width: int
    use: Literal["edge", "fire", "walkway"]
    line: int


@dataclass(frozen=True)
class Line:
    """A step, movement joint, hip or edge of other sheets; across the slope or up it."""

    id: str
    up_the_slope: bool  # at a distance from the left edge; else at a height above the eave
    at: int


@dataclass(frozen=True)
class Plane:
    """One roof plane with one profile and one metal."""

    id: str
    observed: dict[str, Observed]
    marks: Marks | None
    line: int
    outline: Outline | None = None
    seams: SeamLines | None = None
    objects: tuple[Obstacle, ...] = ()
    strips: tuple[Strip, ...] = ()
    lines: tuple[Line, ...] = ()  # steps and movement joints of the sheets
    fixed: Marks | None = None  # the fixed zone of each sheet, one place a seam


@dataclass(frozen=True)
class Paper:
    """A document with what it covers and up to which figure."""

    STATES_FIGURES = ("engineer's calculation",)
    STATES_RESERVE = ("engineer's calculation", "engineer's statement")
    # Papers that give a value as it is; a photo or a sample still has to be measured.
    GIVES_VALUES = (
        *STATES_RESERVE,
        "drawing",
        "invoice",
        "papers of the roof system",
        "national map sheet",
        "test report",
    )
    SHOWS_A_COAT = (*GIVES_VALUES, "sample")  # what lies on a sheet; by a photo it only looks so

    id: str
    kind: str
    covers: tuple[str, ...]
    dated: str
    number: str = ""
    signed_by: str = ""
    up_to: int | None = None  # pressure
    until: str = ""
    line: int = 0

    @property
    def title(self) -> str:
        """Kind, number and date in one line."""
        number = f" {self.number}" if self.number else ""
        return f"{self.kind}{number} of {self.dated}"

    def counts_on(self, day: str) -> bool:
        """Whether it has not run out on an ISO day."""
        return not self.until or self.until >= day


@dataclass(frozen=True)
class Stated:
    """A figure somebody else worked out; it counts only inside its paper's `covers`."""

    name: str
    dimension: str
    value: int
    paper: Paper
    covers: tuple[str, ...]
    line: int


ZONES = ("field", "edge", "corner")  # of the wind, mildest first
ROOF_ZONES = "roof zones"  # what a calculation covers that answers for the zones of its array


@dataclass(frozen=True)
class Reach:
    """Zones of the wind that an array may reach by the code, as far as its roof is known."""

    zones: tuple[str, ...] = ()
    settled: bool = False  # with those stated they are all: by the code, or by an engineer
    asks: tuple[str, ...] = ("array.zones",)  # what would settle them
    signed: str = ""  # the engineer's paper that answers for those stated


@dataclass(frozen=True)
class Array:
    """One block of modules on one plane."""

    id: str
    plane: str
    module: str
    orientation: Literal["portrait", "landscape"]
    tilt: int | None  # thousandths of a degree; None is parallel to the roof
    rows: int
    columns: int
    rail_lines: int
    from_eave: int | None  # of the lower left corner; only drawn layouts read where it lies
    from_left: int | None
    gap: int
    zones: tuple[str, ...] | None
    crosses: tuple[str, ...] | None
    clamps: str | None  # spacing intended before a layout is drawn
    stated: dict[str, Stated]
    line: int
    gap_below: int | None = None  # from the pan to the underside of the module frames
    breaks: tuple[int, ...] = ()  # after these modules from the left nothing holds on
    break_gap: int | None = None  # between the modules there
    reached: Reach = Reach()  # by the code; never out of a file

    @property
    def named_zones(self) -> tuple[str, ...]:
        """Zones that somebody stated and those that it may reach by the code, the worst last."""
        return tuple(z for z in ZONES if z in (self.zones or ()) or z in self.reached.zones)


@dataclass(frozen=True)
class RailLine:
    """One drawn rail line of a row."""

    id: str
    from_eave: int
    cut_at: tuple[int, ...]


@dataclass(frozen=True)
class Layout:
    """Drawn rail lines and the clamps on them; nothing undrawn is invented."""

    rails: tuple[RailLine, ...]
    clamps: str | dict[str, tuple[int, ...]]  # `every seam`, `every second seam`, or a list a seam
    splices: dict[str, tuple[str, ...]]
    line: int
    lines: tuple[Line, ...] = ()
    collar_distance: int | None = None  # from a soldered collar to the nearest clamp


@dataclass(frozen=True)
class Worked:
    """A figure worked out from a layout and the actions on it: its largest value, and its worth."""

    name: str
    dimension: str
    value: int
    how: str
    status: str
    ratio: tuple[float, float] | None = None  # of its check, where that is worked out with it
    least: int | None = None  # its lowest value, where one is known
    capacity: tuple[int, int] | None = None  # what it is set against there
    pairs: tuple[tuple[str, int, int], ...] = ()  # by set: its name, uplift, and what slides


@dataclass(frozen=True)
class StackPlan:
    """A named stack of a job; an empty slot is known to be empty."""

    id: str
    array: str
    slots: dict[str, str | None]
    adapters: tuple[str, ...]
    layout: Layout | None
    stated: dict[str, Stated]
    accepted: tuple[str, ...]
    torque: int | None = None  # set to another torque than the clamp's own; None: as listed
    screw_tip: str | None = None  # None: as delivered
    improvised: dict[str, str] = field(default_factory=dict)  # what no catalogue lists
    tightened: str = "as listed"
    bonding_wire: str = "not stated"
    beside_clamps: str = "none"  # generation of clamps that stand under the same rows
    beside_rails: str = "none"  # rails that lie on the same plane
    line: int = 0
    worked: dict[str, Worked] = field(default_factory=dict)  # of this layout; paper goes before


@dataclass(frozen=True)
class Request:
    """What is asked: choose, judge, act or swap."""

    kind: Literal["choose", "judge", "act", "swap"]
    array: str | None = None
    stack: str | None = None
    act: str | None = None
    must_use: dict[str, str] = field(default_factory=dict)
    want: str = ""
    out: str | None = None
    into: str | None = None
    changes: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Job:
    """One saved case; `as_of` is the only date that inference sees."""

    id: str
    file: str
    as_of: str
    catalogues: tuple[str, ...]
    request: Request
    people: dict[str, str]
    papers: dict[str, Paper]
    site: dict[str, Observed]
    planes: dict[str, Plane]
    arrays: dict[str, Array]
    stacks: dict[str, StackPlan]
    chosen: str | None
    raw: dict[str, Any]
    lines: dict[str, int] = field(default_factory=dict, compare=False)  # `request/must_use`: line

    def line(self, *keys: str) -> int:
        """Line of the deepest part of this path that the file has; 0 without a file."""
        parts = list(keys)
        while parts and "/".join(parts) not in self.lines:
            parts.pop()
        return self.lines.get("/".join(parts), 0)

    def contradictions(self) -> list[Observed]:
        """Quantities whose sightings exclude each other, in file order of their paths."""
        found = [o for o in self.site.values() if o.contradicted]
        for plane in self.planes.values():
            found += [o for o in plane.observed.values() if o.contradicted]
        return sorted(found, key=lambda o: o.path)


__all__ = [
    "Array",
    "Job",
    "Layout",
    "Line",
    "Marks",
    "Observable",
    "Observed",
    "Obstacle",
    "Outline",
    "Paper",
    "Plane",
    "RailLine",
    "Request",
    "SeamLines",
    "Sighting",
    "StackPlan",
    "Stated",
    "Strip",
    "Window",
    "Worked",
]
