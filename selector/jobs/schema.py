"""The job file `job/1` as shapes: what may stand where. Words and units are checked on reading."""

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from selector.knowledge.schema import Angle, Count, Date, Length, Pressure, Shape, Torque, Words

VERSION = "job/1"
MOST_ROWS, MOST_COLUMNS, MOST_LINES = 200, 500, 8
NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,40}")


def _name(value: object) -> str:
    if not isinstance(value, str) or not NAME.fullmatch(value):
        raise ValueError("expected a short name of small letters, digits, `-` or `_`")
    return value


def _figures(value: object) -> object:
    """A number of a paper that is only figures, such as 31044, is still its name."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _tilt(value: object) -> object:
    return None if value == "parallel" else value


Name = Annotated[str, BeforeValidator(_name)]
UnknownKind = Literal["don't know", "can't reach", "not asked", "not sure"]
ANSWERS = ("is", "one_of", "places", "unknown", "hint")


class SightingShape(Shape):
    """One way in which one quantity was seen; exactly one answer key."""

    is_: Any = Field(default=None, alias="is")
    one_of: tuple[Any, ...] | None = None
    places: tuple[str, ...] | None = None
    unknown: UnknownKind | None = None
    hint: Any = None
    how: str | None = None
    tool: str | None = None
    by: str | None = None
    paper: str | None = None
    photo: str | None = None
    within: str | None = None
    over: str | None = None
    tried: str | None = None
    dated: Date | None = None

    @model_validator(mode="after")
    def _one_answer(self) -> "SightingShape":
        given = [k for k in ANSWERS if getattr(self, "is_" if k == "is" else k) is not None]
        if len(given) != 1:
            found = "none" if not given else " and ".join(f"`{g}`" for g in given)
            wanted = ", ".join(f"`{a}`" for a in ANSWERS)
            raise ValueError(f"give exactly one of {wanted}; found {found}")
        return self


class SightingsShape(Shape):
    """Several sightings of one quantity, side by side."""

    sightings: tuple[SightingShape, ...] = Field(min_length=1)


class PersonShape(Shape):
    """Somebody who saw or said something."""

    role: str
    name: str | None = None


class PaperShape(Shape):
    """A document: kind, date, what it covers, up to which figure."""

    kind: str
    dated: Date
    what: str | None = None
    from_: str | None = Field(default=None, alias="from")
    number: Annotated[str | None, BeforeValidator(_figures)] = None
    signed_by: str | None = None
    digest: str | None = None
    covers: Words = ()
    up_to: Pressure | None = None
    until: Date | None = None


class StatedShape(Shape):
    """A figure somebody else worked out."""

    is_: str = Field(alias="is")
    paper: str
    covers: Words


class SeenShape(Shape):
    """Who saw or measured something of the roof, and how."""

    how: str | None = None
    tool: str | None = None
    by: str | None = None
    paper: str | None = None


class TrapeziumShape(Shape):
    """A plane whose ridge is parallel to its eave; `from_left` is where the ridge begins."""

    eave: Length
    ridge: Length
    slope: Length
    from_left: Length


class OutlineShape(SeenShape):
    """Outline of a plane: eave and slope of a rectangle, a trapezium, or corners in order."""

    rectangle: tuple[Length, Length] | None = None
    trapezium: TrapeziumShape | None = None
    polygon: Annotated[tuple[tuple[Length, Length], ...] | None, Field(min_length=3)] = None

    @model_validator(mode="after")
    def _one_form(self) -> "OutlineShape":
        forms = (self.rectangle, self.trapezium, self.polygon)
        if sum(form is not None for form in forms) != 1:
            raise ValueError("give one of `rectangle`, `trapezium` and `polygon`")
        if self.rectangle is not None and 0 in self.rectangle:
            raise ValueError("a side of `rectangle` has no length")
        if self.trapezium is not None and 0 in (self.trapezium.eave, self.trapezium.slope):
            raise ValueError("`trapezium` has no eave or no slope")
        return self


class SeamsShape(SeenShape):
    """Where seams run: the first one from the left, or each one by name."""

    first: Length | None = None
    at: Annotated[dict[Name, Length] | None, Field(min_length=1)] = None

    @model_validator(mode="after")
    def _one_form(self) -> "SeamsShape":
        if (self.first is None) == (self.at is None):
            raise ValueError("give either `first` or `at`")
        return self


class ObstacleShape(SeenShape):
    """Something that stands on the plane, with the clear distance that it asks for.

    `height` is its size up the slope, `rises` how far it stands above the sheet.
    """

    from_left: Length
    from_eave: Length
    width: Length
    height: Length
    clear: Length
    rises: Length | None = None
    collar: bool = False


class StripShape(SeenShape):
    """A strip along an edge that stays free, and what for."""

    along: Literal["eave", "ridge", "left", "right"]
    width: Length
    use: Literal["edge", "fire", "walkway"]


class UnknownShape(Shape):
    """Marks of one seam that nobody has."""

    unknown: UnknownKind


class MarksShape(Shape):
    """Clip marks: distances from the eave, one list a seam."""

    how: str
    by: str
    tool: str | None = None
    seams: dict[
        Name,
        Annotated[
            Annotated[tuple[Length, ...], Tag("marks")] | Annotated[UnknownShape, Tag("unknown")],
            Discriminator(lambda value: "unknown" if isinstance(value, dict) else "marks"),
        ],
    ]


class FixedShape(Shape):
    """How high above the eave each sheet is held, by the seam at its left."""

    how: str
    by: str | None = None
    paper: str | None = None
    seams: Annotated[
        dict[
            Name,
            Annotated[
                Annotated[Length, Tag("height")] | Annotated[UnknownShape, Tag("unknown")],
                Discriminator(lambda value: "unknown" if isinstance(value, dict) else "height"),
            ],
        ],
        Field(min_length=1),
    ]

    @model_validator(mode="after")
    def _somebody(self) -> "FixedShape":
        if self.by is None and self.paper is None:
            raise ValueError("`fixed_at` has neither `by` nor `paper`; who says so?")
        return self


class BlockShape(Shape):
    """A block of modules."""

    rows: Annotated[Count, Field(le=MOST_ROWS)]
    columns: Annotated[Count, Field(le=MOST_COLUMNS)]
    from_eave: Length | None = None
    from_left: Length | None = None
    gap: Length
    breaks: tuple[Count, ...] = ()
    break_gap: Length | None = None

    @model_validator(mode="after")
    def _breaks_rise(self) -> "BlockShape":
        if list(self.breaks) != sorted(set(self.breaks)):
            raise ValueError("`breaks` must rise; each is the number of a module from the left")
        if self.breaks and self.breaks[-1] >= self.columns:
            raise ValueError("a break stands after a module that another one follows")
        if bool(self.breaks) != (self.break_gap is not None):
            raise ValueError("`breaks` and `break_gap` go together")
        return self


class ArrayShape(Shape):
    """One block of modules on one plane."""

    plane: Name
    module: str
    orientation: Literal["portrait", "landscape"]
    tilt: Annotated[Angle | None, BeforeValidator(_tilt)]
    block: BlockShape
    rail_lines: Annotated[Count, Field(le=MOST_LINES)]
    gap_below: Length | None = None
    zones: Annotated[Words | None, Field(min_length=1)] = None
    crosses: Annotated[tuple[Name, ...] | None, Field(min_length=1)] = None
    clamps: Literal["every seam", "every second seam"] | None = None
    stated: dict[str, StatedShape] = {}


class RailShape(Shape):
    """One drawn rail line."""

    from_eave: Length
    cut_at: tuple[Length, ...] = ()


class LineShape(Shape):
    """A line that sheets move apart at: up the slope from the left, or across it from the eave."""

    from_left: Length | None = None
    from_eave: Length | None = None

    @model_validator(mode="after")
    def _one_form(self) -> "LineShape":
        if (self.from_left is None) == (self.from_eave is None):
            raise ValueError("give either `from_left` or `from_eave`")
        return self


class LayoutShape(Shape):
    """Drawn rail lines and clamps, and the lines of the roof below them."""

    rails: dict[Name, RailShape] = Field(min_length=1)
    clamps: Literal["every seam", "every second seam"] | dict[Name, tuple[Length, ...]]
    splices: dict[Name, tuple[Literal["rigid", "sliding", "gap"], ...]] = {}
    lines: dict[Name, LineShape] = {}
    collar_distance: Length | None = None


class ImprovisedShape(Shape):
    """What the crew made on site in place of a listed thing, in its own words."""

    fit: str | None = None
    inlay: str | None = None
    adapter: str | None = None


class BesideShape(Shape):
    """What already stands beside a stack: clamps under the same rows, rails on the same plane."""

    clamps: Literal["old", "new"] | None = None
    rails: Literal["same family", "other family"] | None = None


class StackShape(Shape):
    """A named stack; a slot that is not named is empty, and known to be."""

    array: Name
    clamp: str
    insert: str = "none"
    inlay: str = "none"
    adapters: Words = ()
    bolts: str = "none"
    rail: str = "none"
    cross: str = "none"
    upper_rail: str = "none"
    frame: str = "none"
    module_clamp: str = "none"
    torque: Torque | None = None
    screw_tip: str | None = None
    tightened: Literal["as listed", "in the wrong order", "loosened and set again"] = "as listed"
    improvised: ImprovisedShape = ImprovisedShape()
    bonding_wire: Literal["bare copper", "tinned copper", "aluminium", "bimetal"] | None = None
    beside: BesideShape = BesideShape()
    layout: LayoutShape | None = None
    stated: dict[str, StatedShape] = {}
    accepted: Words = ()


class ChooseShape(Shape):
    """The best stack for an array."""

    kind: Literal["choose"]
    array: Name
    want: str = "core"
    must_use: dict[str, str] = {}


class JudgeShape(Shape):
    """One named stack."""

    kind: Literal["judge"]
    stack: Name


class ActShape(Shape):
    """One thing somebody wants to do."""

    kind: Literal["act"]
    act: str
    stack: Name | None = None


class SwapShape(Shape):
    """A substitution in a named stack: a part for a part, or paths with new values."""

    kind: Literal["swap"]
    stack: Name
    out: str | None = None
    into: str | None = Field(default=None, alias="in")
    set_: dict[str, Any] = Field(default={}, alias="set")

    @model_validator(mode="after")
    def _one_form(self) -> "SwapShape":
        if ((self.out is None) != (self.into is None)) or ((self.out is None) == (not self.set_)):
            raise ValueError("give either `out` and `in`, or `set`")
        return self


RequestShape = Annotated[
    ChooseShape | JudgeShape | ActShape | SwapShape, Field(discriminator="kind")
]


class LogShape(Shape):
    """One entry of the log that the store appends."""

    dated: Date
    by: str
    text: str


class JobShape(Shape):
    """The whole file."""

    seamwright: str
    id: Name
    as_of: Date
    catalogues: Words
    request: RequestShape
    people: dict[Name, PersonShape] = {}
    papers: dict[Name, PaperShape] = {}
    site: dict[str, Any]
    planes: dict[Name, dict[str, Any]] = Field(min_length=1)
    arrays: dict[Name, ArrayShape] = {}
    stacks: dict[Name, StackShape] = {}
    chosen: Name | Literal["none yet"] = "none yet"
    log: tuple[LogShape, ...] = ()
