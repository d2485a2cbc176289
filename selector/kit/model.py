"""A counted kit: lines with their reasons as ids and figures, never as sentences."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from selector.inference.answer import Option
from selector.knowledge.schema import Price
from selector.model.kit import KitItem, Spare
from selector.model.truth import Word

GROUPS = ("roof", "modules", "electrical", "tools", "consumables", "papers")
METRE = 1_000_000
HUNDREDTH = Decimal("0.01")


class Noun(NamedTuple):
    """So many of something that has a name; `kit.noun.NAME` says it."""

    name: str
    n: int


class Metres(NamedTuple):
    """A length in whole micrometres, to be said in metres."""

    length: int


Hole = Noun | Metres | tuple[Metres, ...] | int | str


@dataclass(frozen=True)
class Because:
    """A reason: `kit.because.NAME` with its holes filled; `n` chooses between one and many."""

    name: str
    holes: Mapping[str, Hole] = field(default_factory=dict)


@dataclass(frozen=True)
class Line:
    """One line of a kit. Lengths in micrometres, masses in grams."""

    group: str
    kind: str
    number: int | None  # pieces, or micrometres where `unit` is `m`; None: nobody can count it
    unit: str = "piece"
    part: str = ""  # catalogue/name
    listed: bool = True  # False: it is needed, and the catalogue has no such part
    length: int = 0  # of one bar
    spare: int = 0
    rule: Spare | None = None  # that the spares follow
    because: tuple[Because, ...] = ()
    follows: str = ""  # the part or the kind of part that it follows from
    pack: int | None = None
    order: Decimal | None = None  # pieces or metres to order, in whole packs; 0: lines above do
    mass: int | None = None  # of all that is in the box, spares and offcuts included
    on_roof: int | None = None  # of what stays on the roof
    each: Price | None = None  # of one piece; of one metre where it is measured
    price: Price | None = None  # of what is ordered, whole packs
    item: KitItem | None = None  # what a base puts into every kit; it is no part
    perhaps: bool = False  # it goes along since something is not known yet
    there: bool | None = None  # of a paper: whether the job holds it; None where nobody can tell
    fault: str = ""  # why this very part must not go along here

    @property
    def is_goods(self) -> bool:
        """Whether it is counted and ordered, and has a mass and a price."""
        return self.item is None

    @property
    def amount(self) -> Decimal | None:
        """How many pieces, or metres rounded up to the centimetre."""
        if self.number is None or self.unit != "m":
            return None if self.number is None else Decimal(self.number)
        return Decimal(-(-self.number // 10_000)) * HUNDREDTH

    @property
    def wanted(self) -> Decimal | None:
        """How many are wanted, spares included."""
        return None if self.amount is None else self.amount + self.spare


@dataclass(frozen=True)
class Totals:
    """Sums over the counted lines; masses in grams, area in square micrometres."""

    mass: int
    on_roof: int
    fixings: int  # on the roof without the modules
    lines: int
    weighed: int
    priced: int
    prices: Mapping[str, Decimal]  # currency -> sum; empty where a line has no price
    area: int  # modules with the gaps between them
    allowance: int  # grams a square metre that the actions take for all but the modules
    reserve: int | None = None  # thousandths of Pa that the load paper goes up to
    paper: str = ""  # its title

    @property
    def square_metres(self) -> float:
        """The area."""
        return self.area / METRE**2

    @property
    def whole(self) -> bool:
        """Whether every line is weighed; else each mass is at least so much."""
        return self.weighed == self.lines


@dataclass(frozen=True)
class Kit:
    """What goes into the box for one array and one stack, and what must not."""

    job: str
    as_of: str
    array: str
    plane: str
    stack: str
    core: str
    option: Option
    word: Word  # of the stack as it is laid out
    preliminary: bool
    invented: tuple[str, ...]
    gates: tuple[str, ...]  # that are open
    laid_out: bool = False  # there is a layout; it is judged with it, unless it is preliminary
    lines: tuple[Line, ...] = ()
    leave_out: tuple[Line, ...] = ()
    totals: Totals | None = None

    @property
    def forbidden(self) -> bool:
        """Whether there is no kit to show."""
        return self.word == Word.FORBIDDEN

    @property
    def unlisted(self) -> tuple[Line, ...]:
        """What is needed and in no catalogue of the job."""
        return tuple(line for line in self.lines if not line.listed)

    @property
    def faults(self) -> tuple[Line, ...]:
        """Parts that must not go along on this roof."""
        return tuple(line for line in self.lines if line.fault)

    @property
    def papers_missing(self) -> tuple[Line, ...]:
        """Papers without which nothing is released."""
        return tuple(x for x in self.lines if x.item is not None and x.item.must and not x.there)

    @property
    def released(self) -> bool:
        """Whether somebody may build from it."""
        stops = (self.gates, self.invented, self.unlisted, self.faults, self.papers_missing)
        return self.word.is_yes and not self.preliminary and not any(stops)
