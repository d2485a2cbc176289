"""The shapes of the files of a knowledge base, and errors in words a person can use."""

from collections.abc import Callable, Iterable
from datetime import date
from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    ValidationError,
    model_validator,
)

from selector import units
from selector.errors import Problem, near
from selector.knowledge.yaml_reader import Document
from selector.model.quantity import Window


class Shape(BaseModel):
    """A closed set of keys; an unknown key is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def number(dimension: str) -> Callable[[object], int]:
    """Reader of a figure of this dimension, never negative; ValueError says what is wrong."""

    def read(value: object) -> int:
        number = units.parse(value, dimension)
        if number < 0:
            raise ValueError(f"`{units.shorten(value)}` is negative; it has no sign here")
        return number

    return read


def _date(value: object) -> str:
    try:
        if isinstance(value, str) and len(value) == len("2031-03-14"):
            return date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise ValueError(f"expected a date such as 2031-03-14, given `{units.shorten(value)}`")


def _window(dimension: str) -> Callable[[object], Window]:
    def read(value: object) -> Window:
        return Window(dimension, *units.parse_window(value, dimension))

    return read


def _one_or_more(value: object) -> object:
    return [value] if isinstance(value, str) else value


Length = Annotated[int, BeforeValidator(number("length"))]
Force = Annotated[int, BeforeValidator(number("force"))]
Pressure = Annotated[int, BeforeValidator(number("pressure"))]
Torque = Annotated[int, BeforeValidator(number("torque"))]
Angle = Annotated[int, BeforeValidator(number("angle"))]
Mass = Annotated[int, BeforeValidator(number("mass"))]
LineMass = Annotated[int, BeforeValidator(number("line mass"))]
LengthRange = Annotated[Window, BeforeValidator(_window("length"))]
Date = Annotated[str, BeforeValidator(_date)]
Count = Annotated[int, Field(strict=True, ge=1)]
Words = Annotated[tuple[str, ...], BeforeValidator(_one_or_more)]
Status = Literal["published", "measured", "common practice", "judgement", "from memory", "invented"]
Tested = Literal["not tested", "owner's document"]
OWNERS = "owner's document"  # a figure stands in the papers of a profile's owner and not here


def _torque(value: object) -> object:
    return value if value in (OWNERS, "screw stop") else number("torque")(value)


TorqueOrWord = Annotated[int | str, BeforeValidator(_torque)]


def _metal(value: object) -> object:
    return {"metal": value} if isinstance(value, str) else value


class MetalWords(Shape):
    """Metal, coating (outermost first) and grade in the one vocabulary."""

    metal: str
    coating: Words = ("none",)
    grade: str = "unknown"

    @property
    def text(self) -> str:
        """One line, such as `steel, paint on zinc`."""
        coat = " on ".join(self.coating)
        return self.metal if coat == "none" else f"{self.metal}, {coat}"


Metal = Annotated[MetalWords, BeforeValidator(_metal)]


class Source(Shape):
    """One cited document or custom; places cite it by id."""

    id: str
    title: str
    kind: Literal["standard", "handbook", "paper", "custom", "own work", "invented"]
    publisher: str = ""
    edition: str = ""
    read: str
    status: Status
    note: str = ""


# --- parts -----------------------------------------------------------------------------


class Grip(Shape):
    """One seam shape that a clamp holds: windows of its dimensions, or one profile by its owner."""

    shape: str
    profile: str | None = None
    height: LengthRange | None = None
    head: LengthRange | None = None
    leg: LengthRange | None = None
    bulb: LengthRange | None = None
    neck: LengthRange | None = None


class SetScrew(Shape):
    """The screw that presses on the seam."""

    metal: Metal
    tip: str
    count: Count


class PartShape(Shape):
    """What every part has."""

    text: str
    metal: Metal | None = None
    revision: str | None = None
    generation: Literal["old", "new"] = "new"
    offers: str | None = None
    takes: Words = ()
    listed_for: Words = ()


class Clamp(PartShape):
    """A seam clamp."""

    metal: Metal
    offers: str
    grips: tuple[Grip, ...]
    torque: TorqueOrWord
    clip_distance: Length
    set_screw: SetScrew
    needs_insert: str | None = None
    screw_order: tuple[str, ...] = ()
    mass: Mass


class Insert(PartShape):
    """The loose piece of a two-part clamp."""


class Inlay(PartShape):
    """The isolating layer between jaw and sheet."""

    brings: Words = ()


class Adapter(PartShape):
    """Takes one interface and offers another."""

    metal: Metal
    offers: str


class BoltSet(PartShape):
    """Bolt and nut between a seat and a rail; takes one interface and offers another."""

    metal: Metal
    offers: str


class Rail(PartShape):
    """A rail; `offers` is what module clamps and upper parts sit on."""

    metal: Metal
    offers: str
    family: str
    span: Length
    cantilever: Length
    limits: "RailLimits"
    rigid_run: Length
    mass: LineMass


class RailLimits(Shape):
    """Net pressures up to which span and cantilever hold."""

    uplift: Pressure
    down: Pressure


class CrossConnector(PartShape):
    """Joins an upper rail to a lower one."""

    metal: Metal
    offers: str


class Frame(PartShape):
    """An elevating frame on a rail."""

    metal: Metal
    offers: str


class ModuleClamp(PartShape):
    """Holds module frames on a rail."""

    metal: Metal
    frame: LengthRange


class Splice(PartShape):
    """Joins two rail pieces in line."""

    metal: Metal
    family: str
    movement: Literal["blocked", "free"]


class KitLine(PartShape):
    """Something that follows from a part, such as a bonding jumper."""


class Module(PartShape):
    """A solar module; `sides` names the frame sides that may be clamped."""

    length: Length
    width: Length
    mass: Mass
    frame: Length
    frame_metal: Metal
    sides: Literal["long", "short", "long or short"]


class Profile(PartShape):
    """A seam profile of one shape; `takes_only` where it has its own clamp."""

    shape: str
    height: LengthRange
    made: Literal["by hand", "factory"]
    takes_only: str | None = None


PART_FILES: dict[str, tuple[str, type[PartShape]]] = {
    "clamps": ("clamp", Clamp),
    "inserts": ("insert", Insert),
    "inlays": ("inlay", Inlay),
    "adapters": ("adapter", Adapter),
    "bolt-sets": ("bolts", BoltSet),
    "rails": ("rail", Rail),
    "cross-connectors": ("cross", CrossConnector),
    "frames": ("frame", Frame),
    "module-clamps": ("module_clamp", ModuleClamp),
    "splices": ("splice", Splice),
    "kit-lines": ("kit_line", KitLine),
    "modules": ("module", Module),
    "profiles": ("profile", Profile),
}


# --- records ---------------------------------------------------------------------------


class Validity(Shape):
    """From and until as dates; a withdrawn record proves nothing."""

    since: Date
    until: Date
    withdrawn: Annotated[bool, Field(strict=True)] = False

    @model_validator(mode="after")
    def _in_order(self) -> "Validity":
        if self.since > self.until:
            raise ValueError(f"`since` {self.since} is after `until` {self.until}")
        return self


class Report(Shape):
    """Where the record comes from."""

    by: str
    number: str
    dated: Date


class Characteristic(Shape):
    """A characteristic value with the method that gave it."""

    value: Force
    method: str
    k: float


def _form(value: object) -> str:
    """A result is a word or values; told apart first, so that a fault is said once."""
    return "word" if isinstance(value, str) else "values"


class Design(Shape):
    """A design value in the partial-factor format."""

    value: Force
    gamma_m: Annotated[float, Field(ge=1)]
    eta: Annotated[float, Field(gt=0, le=1)] = 1.0


class DesignFormats(Shape):
    """Design values by format; like is compared with like only."""

    en: Annotated[
        Annotated[Design, Tag("values")] | Annotated[Tested, Tag("word")], Discriminator(_form)
    ] = "not tested"


class Variation(Shape):
    """Coefficient of variation, known beforehand or from the sample."""

    value: float
    known: bool


ROUNDING = units.parse("5 N", "force")  # reports round their figures


class Result(Shape):
    """Test result of one direction."""

    n: Count
    mean: Force
    variation: Variation
    characteristic: Characteristic
    design: DesignFormats
    failure: Words = ()

    @model_validator(mode="after")
    def _falls_from_mean_to_design(self) -> "Result":
        design = self.design.en
        if self.n < 3:
            raise ValueError(f"a record needs three tests or more, given {self.n}")
        if self.characteristic.value > self.mean:
            raise ValueError("the characteristic value is above the mean")
        if not isinstance(design, str):
            most = design.eta * self.characteristic.value / design.gamma_m
            if design.value > most + ROUNDING:
                shown = units.show(design.value, "force")
                raise ValueError(
                    f"the design value {shown} is above eta * characteristic / gamma_m"
                )
        return self


Direction = Annotated[
    Annotated[Result, Tag("values")] | Annotated[Tested, Tag("word")], Discriminator(_form)
]


class RecordShape(Shape):
    """What every record has."""

    id: str
    outcome: Literal["good", "bad"]
    report: Report
    valid: Validity


class SheetCover(Shape):
    """Sheets a record covers: a family or a member and core thickness, or what its owner lists."""

    listed_in: Literal["owner's document"] | None = None
    family: str | None = None
    metal: str | None = None
    coating: Words | None = None
    covers: LengthRange | None = None

    @model_validator(mode="after")
    def _one_form(self) -> "SheetCover":
        given = [self.family or self.metal, self.covers]
        if any(given) if self.listed_in else not all(given) or (self.family and self.metal):
            raise ValueError("name either a `family` or a `metal` with its coating, and `covers`")
        return self


class SeamCover(Shape):
    """Seams a record covers: windows of a shape, or one profile by its owner."""

    shape: str
    closed: Literal["by hand", "factory", "either"]
    profile: str | None = None
    height: LengthRange | None = None
    head: LengthRange | None = None
    leg: LengthRange | None = None
    bulb: LengthRange | None = None
    neck: LengthRange | None = None


class ClampPart(Shape):
    """The clamp as tested."""

    clamp: str
    revisions: Words
    insert: str | None = None
    inlay: str | None = None
    torque: TorqueOrWord


class ClampRecord(RecordShape):
    """Clamp on seam; `deck: known` where its screws go through the sheet into what is below."""

    kind: Literal["clamp on seam"]
    part: ClampPart
    sits_on: SeamCover
    sheet: SheetCover
    deck: Literal["known"] | None = None
    uplift: Direction
    slide_down: Direction
    sideways: Direction = "not tested"
    interaction: Literal["linear"] = "linear"


class DeckCover(Shape):
    """Decks a clip record covers."""

    kind: str
    thickness: LengthRange


class ClipRecord(RecordShape):
    """Clip with its nails in a deck."""

    kind: Literal["clip in deck"]
    clip: str
    shapes: Words
    strength: Literal["weak", "strong"]
    deck: DeckCover | None = None
    zones: Words
    basis: Literal["gross", "after sheet suction"]
    pull: Direction
    slide: Direction


class JointRecord(RecordShape):
    """A joint of the stack: lower part, what is between, upper part."""

    kind: Literal["joint"]
    lower: str
    bolts: str | None = None
    upper: str
    uplift: Direction
    along: Direction


class ModuleClampRecord(RecordShape):
    """Module clamp on its carrier and a module frame."""

    kind: Literal["module clamp"]
    clamp: str
    sits_on: str
    frame: LengthRange
    uplift: Direction
    along: Direction


class ModuleRecord(RecordShape):
    """Rated net pressures of a module for its clamping zones."""

    kind: Literal["module"]
    module: str
    sides: Literal["long", "short"]
    lines: tuple[Count, ...]
    zone: LengthRange
    middle: Length | None = None  # how far a third line may lie from it
    up: Pressure
    down: Pressure


RECORD_KINDS: dict[str, type[RecordShape]] = {
    "clamp on seam": ClampRecord,
    "clip in deck": ClipRecord,
    "joint": JointRecord,
    "module clamp": ModuleClampRecord,
    "module": ModuleRecord,
}


# --- trade -----------------------------------------------------------------------------


class Pairing(Shape):
    """One judgement on two metal families that touch; silence is never a yes."""

    id: str
    upper: Words
    lower: Words
    place: Literal["on the sheet", "between parts"]
    salt: Words
    isolated: Literal["listed inlay", "nothing", "either"]
    judged: Literal["good", "good if dry", "bad"]
    because: str
    source: str
    status: Status


class TradeNumber(Shape):
    """One number of the trade with its source and status."""

    id: str
    text: str
    value: str
    dimension: str
    source: str
    status: Status


class ShapeFacts(Shape):
    """A seam shape: how its end looks, what is measured on it, what its head can be."""

    id: str
    looks: str
    measured: Words
    head: LengthRange | None = None
    source: str
    status: Status


# --- catalogue -------------------------------------------------------------------------


class CatalogueFile(Shape):
    """The front page of a catalogue."""

    name: str
    tag: Literal["invented", "real"]
    scenario: str
    mass_allowance: str
    clip_factor: Annotated[float, Field(ge=1, le=2)] | None = None  # of the clips' share


Model = TypeVar("Model", bound=BaseModel)


def check(
    model: type[Model], data: Any, document: Document, at: tuple[object, ...], out: list[Problem]
) -> Model | None:
    """Validate `data`; every fault goes to `out` with its file, line and remedy."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        out.extend(problems_of(error, model, data, document, at))
        return None


def problems_of(
    error: ValidationError,
    model: type[BaseModel],
    data: Any,
    document: Document,
    at: tuple[object, ...],
) -> Iterable[Problem]:
    """Our words for what pydantic found."""
    for fault in error.errors(include_url=False):
        loc = _loc_in_data(fault["loc"], data)
        line = document.line(*at, *loc)
        name = _name(loc) or (str(at[-1]) if at else "file")
        kind = fault["type"]
        text = fault["msg"].removeprefix("Value error, ")
        remedy = ""
        if kind == "extra_forbidden":
            text = f"unknown key `{name}`"
            remedy = near(name, _keys_at(model, loc[:-1]))
        elif kind == "missing":
            missing = str(fault["loc"][-1])
            text = f"key `{missing}` is missing" + (f" in `{name}`" if loc else "")
            remedy = "add it"
        elif kind == "literal_error":
            text = f"`{name}` is `{units.shorten(fault['input'])}`"
            remedy = f"use one of {fault['ctx']['expected']}"
        elif kind == "value_error":
            text = f"`{name}`: {text}"
        elif kind == "string_type":
            shown = units.shorten(fault["input"])
            text = f"`{name}`: expected a word, or a figure with its unit, given `{shown}`"
        else:
            shown = units.shorten(fault["input"])
            text = f"`{name}`: {text[0].lower()}{text[1:]}, given `{shown}`"
        yield Problem(document.file, line, text, remedy)


def _name(loc: tuple[int | str, ...]) -> str:
    """Last key of a location; an item of a list by its number, from one."""
    if len(loc) > 1 and isinstance(loc[-1], int):
        return f"{loc[-2]} {loc[-1] + 1}"
    return str(loc[-1]) if loc else ""


def _loc_in_data(loc: tuple[int | str, ...], data: Any) -> tuple[int | str, ...]:
    """The parts of a pydantic location that exist in the data (union names drop out)."""
    kept: list[int | str] = []
    here = data
    for part in loc:
        try:
            here = here[part]
        except (KeyError, IndexError, TypeError):
            continue
        kept.append(part)
    return tuple(kept)


def _keys_at(model: type[BaseModel], loc: tuple[int | str, ...]) -> list[str]:
    """Keys that the model has at a location, for near names."""
    here: type[BaseModel] = model
    for part in loc:
        found = here.model_fields.get(str(part)) if isinstance(part, str) else None
        if found is None:
            continue
        inner = _model_in(found.annotation)
        if inner is None:
            return []
        here = inner
    return [f.alias or n for n, f in here.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _model_in(inner)
        if found is not None:
            return found
    return None
