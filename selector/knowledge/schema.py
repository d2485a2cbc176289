"""The shapes of the files of a knowledge base."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from selector import units
from selector.knowledge.figures import OWNERS as OWNERS
from selector.knowledge.figures import Angle as Angle
from selector.knowledge.figures import Count as Count
from selector.knowledge.figures import Date as Date
from selector.knowledge.figures import Force as Force
from selector.knowledge.figures import Length as Length
from selector.knowledge.figures import LengthRange as LengthRange
from selector.knowledge.figures import LineMass as LineMass
from selector.knowledge.figures import Mass as Mass
from selector.knowledge.figures import Pressure as Pressure
from selector.knowledge.figures import Price as Price
from selector.knowledge.figures import PriceOf as PriceOf
from selector.knowledge.figures import Shape as Shape
from selector.knowledge.figures import Status as Status
from selector.knowledge.figures import StockLengths as StockLengths
from selector.knowledge.figures import Tested as Tested
from selector.knowledge.figures import Torque as Torque
from selector.knowledge.figures import TorqueOrWord as TorqueOrWord
from selector.knowledge.figures import Words as Words
from selector.knowledge.figures import number as number
from selector.knowledge.shape_faults import check as check
from selector.knowledge.shape_faults import problems_of as problems_of


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
    """The screw that presses on the seam; mass and price are those of one spare."""

    metal: Metal
    tip: str
    count: Count
    mass: Mass | None = None
    price: PriceOf | None = None


class PartShape(Shape):
    """What every part has."""

    text: str
    metal: Metal | None = None
    revision: str | None = None
    generation: Literal["old", "new"] = "new"
    offers: str | None = None
    takes: Words = ()
    listed_for: Words = ()


class Goods(PartShape):
    """What is ordered: mass and price of one (a rail: of one metre), pieces that a pack holds."""

    mass: Mass | None = None
    price: PriceOf | None = None
    pack: Count | None = None


class Clamp(Goods):
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


class Insert(Goods):
    """The loose piece of a two-part clamp."""


class Inlay(Goods):
    """The isolating layer between jaw and sheet."""

    brings: Words = ()


class Adapter(Goods):
    """Takes one interface and offers another."""

    metal: Metal
    offers: str


class Bolt(Shape):
    """A hexagon bolt that is pulled, and the torque it is listed with; never a set screw."""

    thread: str
    strength: str  # property class, such as "70"
    torque: Torque
    finish: str | None = None  # a row of `friction`; none: nobody says how it turns


class BoltSet(Goods):
    """Bolt and nut between a seat and a rail; takes one interface and offers another."""

    metal: Metal
    offers: str
    bolt: Bolt | None = None


class RailSection(Shape):
    """What the section of a rail resists with, for uplift and pressure alike: the smaller of both.

    `fo` is the strength at yield, `fu` at break; `wel` is the effective one where walls are thin.
    """

    wel: Annotated[int, BeforeValidator(number("section modulus"))]
    wnet: Annotated[int, BeforeValidator(number("section modulus"))]
    av: Annotated[int, BeforeValidator(number("area"))]
    iy: Annotated[int, BeforeValidator(number("second moment"))]
    fo: Annotated[int, BeforeValidator(number("strength"))]
    fu: Annotated[int, BeforeValidator(number("strength"))]
    alpha: Annotated[float, Field(ge=1, le=1.5)] = 1.0  # shape factor; 1 keeps it elastic
    status: Status

    @model_validator(mode="after")
    def _can_be(self) -> "RailSection":
        if min(self.wel, self.wnet, self.av, self.iy, self.fo) <= 0:
            raise ValueError("every figure of a section is above zero")
        if self.wnet > self.wel:
            raise ValueError("`wnet` is above `wel`: holes add nothing")
        if self.fu < self.fo:
            raise ValueError("`fu` is below `fo`: it would break before it yields")
        return self


class Rail(Goods):
    """A rail; `offers` is what module clamps and upper parts sit on."""

    metal: Metal
    offers: str
    family: str
    span: Length
    cantilever: Length
    limits: "RailLimits"
    rigid_run: Length
    mass: LineMass
    section: RailSection | None = None
    stock_lengths: StockLengths = ()  # bars as they are sold; none: whatever the seller has


class RailLimits(Shape):
    """Net pressures up to which span and cantilever hold."""

    uplift: Pressure
    down: Pressure


class CrossConnector(Goods):
    """Joins an upper rail to a lower one."""

    metal: Metal
    offers: str


class Frame(Goods):
    """An elevating frame on a rail."""

    metal: Metal
    offers: str


class ModuleClamp(Goods):
    """Holds module frames on a rail; without a `place` it does so in both."""

    metal: Metal
    frame: LengthRange
    bolt: Bolt | None = None
    place: Literal["between modules", "row end"] | None = None


class Splice(Goods):
    """Joins two rail pieces in line."""

    metal: Metal
    family: str
    movement: Literal["blocked", "free"]


class KitLine(Goods):
    """Something that follows from a part; a cap belongs to the rails of its `family`."""

    serves: Literal["bonding jumper", "end cap", "cable clip"] | None = None
    family: str | None = None


class Module(Goods):
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


class Give(Shape):
    """How far clamp and seam let a rail move before anything slips: to either side, and along."""

    sideways: Length | None = None
    along: Length | None = None


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
    give: Give | None = None  # none: nobody has measured it
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


class Dissent(Shape):
    """What another source says of the pairs of a row, or of those with some of its metals."""

    source: str
    says: str
    of: Words = ()  # metals of either side; empty: all of the row


class Pairing(Shape):
    """One judgement on two metals that meet; silence is never a yes."""

    id: str
    upper: Words
    lower: Words
    place: Literal["on the sheet", "between parts", "earth joint", "above"]
    salt: Words
    isolated: Literal["listed inlay", "nothing", "either"]
    judged: Literal["good", "good if dry", "good if sealed", "good if watched", "avoid", "bad"]
    eaten: Literal["upper", "lower", "both", "nobody"]
    spares: Words = ()  # outermost coats, on either side, for which it does not count
    because: str
    dissent: tuple[Dissent, ...] = ()
    source: str
    status: Status


class TradeNumber(Shape):
    """One number of the trade with its source and status."""

    id: str
    text: str
    value: str | Count
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


class Methods(Shape):
    """How a catalogue wants a figure worked out, where there is more than one way."""

    clip_share: Literal["influence", "hand"] = "influence"


class CatalogueFile(Shape):
    """The front page of a catalogue."""

    name: str
    tag: Literal["invented", "real"]
    scenario: str
    mass_allowance: str
    clip_factor: Annotated[float, Field(ge=1, le=2)] | None = None  # of the clips' share
    methods: Methods = Methods()
