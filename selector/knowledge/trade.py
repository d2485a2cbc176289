"""Facts of the trade as the handbook shows them: the shape of each file, and their reader."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Any, Generic, Literal, TypeVar

from pydantic import Field

from selector.errors import Problem
from selector.knowledge import bolting, corrosion
from selector.knowledge.faults import Faults
from selector.knowledge.pair_facts import Finish, PublishedPairs
from selector.knowledge.schema import LengthRange, Torque, Words, check
from selector.knowledge.trade_fact import TradeFact
from selector.knowledge.yaml_reader import Document


class LookAlike(TradeFact):
    """Seams that are taken for each other, or one seam and something else."""

    shapes: Words
    alike: str
    look: str
    tells: str


class SeamHeight(TradeFact):
    """How high a seam shape usually stands."""

    shape: str
    height: LengthRange
    text: str


class MetalFacts(TradeFact):
    """How a metal is recognised; its figures are numbers of the trade."""

    looks: str
    magnet: Literal["strong", "weak", "none"]
    taken_for: Words
    second_look: str
    numbers: Words = ()


class CoatingFacts(TradeFact):
    """What a coating looks like and what it hides."""

    looks: str
    hides: str
    over: Words = ()  # metals that it can lie on; empty: on any
    matters: str


class SheetColour(TradeFact):
    """Which metals can have a colour while they are bare, and which coats can."""

    looks: str
    metals: Words
    coats: Words
    but: str


class ClipFacts(TradeFact):
    """A fact about one kind of clip and its fixing."""

    clip: str
    text: str
    matters: str
    numbers: Words = ()


class DeckFacts(TradeFact):
    """What a deck looks like and what it means for the clip."""

    looks: str
    matters: str
    numbers: Words = ()


class Tightening(TradeFact):
    """A habit of tightening, and what beats or limits it."""

    says: str
    but: str
    torque: Torque | None = None


class Tool(TradeFact):
    """What a tool tells, and what it cannot tell."""

    tells: str
    tells_not: str = Field(alias="not")


class SiteEffort(TradeFact):
    """What one kind of change costs on the roof, 1 (a hand's turn) to 5 (days)."""

    effort: int = Field(ge=1, le=5)
    text: str


Fact = TypeVar("Fact", bound=TradeFact)


@dataclass(frozen=True)
class Row(Generic[Fact]):
    """One fact with its place in the files."""

    shape: Fact
    origin: str


@dataclass(frozen=True)
class TradeBook:
    """Facts by topic, in the order of their files."""

    look_alikes: tuple[Row[LookAlike], ...] = ()
    seam_heights: tuple[Row[SeamHeight], ...] = ()
    metals: tuple[Row[MetalFacts], ...] = ()
    coatings: tuple[Row[CoatingFacts], ...] = ()
    sheet_colours: tuple[Row[SheetColour], ...] = ()
    clips: tuple[Row[ClipFacts], ...] = ()
    decks: tuple[Row[DeckFacts], ...] = ()
    tightening: tuple[Row[Tightening], ...] = ()
    tools: tuple[Row[Tool], ...] = ()
    site_effort: tuple[Row[SiteEffort], ...] = ()
    sea_potentials: tuple[Row[corrosion.SeaPotential], ...] = ()
    anodic_index: tuple[Row[corrosion.IndexGroup], ...] = ()
    environments: tuple[Row[corrosion.Environment], ...] = ()
    air_signs: tuple[Row[corrosion.AirSign], ...] = ()
    loss_over_years: tuple[Row[corrosion.LossOverYears], ...] = ()
    stainless_exposure: tuple[Row[corrosion.ExposureFactor], ...] = ()
    stainless_classes: tuple[Row[corrosion.StainlessClass], ...] = ()
    rubbers: tuple[Row[corrosion.Rubber], ...] = ()
    screw_points: tuple[Row[bolting.ScrewPoint], ...] = ()
    friction: tuple[Row[bolting.Friction], ...] = ()
    bolt_classes: tuple[Row[bolting.BoltClass], ...] = ()
    threads: tuple[Row[bolting.Thread], ...] = ()
    torque_tables: tuple[Row[bolting.TorqueTable], ...] = ()
    finishes: tuple[Row[Finish], ...] = ()
    published_pairs: tuple[Row[PublishedPairs], ...] = ()

    def effort(self, kind: str) -> SiteEffort:
        """What one of MOVES costs on the roof."""
        return next(r.shape for r in self.site_effort if r.shape.id == kind)

    @property
    def topics(self) -> dict[str, tuple[Row[TradeFact], ...]]:
        """Every topic with its rows."""
        return {name: getattr(self, name) for name in self.__dataclass_fields__}


# What a change of a stack can touch; each has its effort on the roof.
MOVES = (
    *("clamp", "insert", "inlay", "adapters", "bolts", "rail", "frame", "cross", "upper_rail"),
    *("module_clamp", "torque", "screw_tip", "tightened", "improvised", "bonding_wire"),
    *("beside_clamps", "line", "seam", "cut", "pattern", "lines", "rows", "array", "orientation"),
    *("tilt", "module", "paper", "record"),
)
# Which words of the vocabulary a topic must describe, one row a word; `none` needs no words.
WHOLE = {"metals": "metal", "coatings": "coating", "sheet-colours": "colour", "decks": "deck"}
# Each file of facts and the shape of its rows, in the order of the handbook.
MODELS: dict[str, type[TradeFact]] = {
    "look-alikes": LookAlike,
    "seam-heights": SeamHeight,
    "metals": MetalFacts,
    "coatings": CoatingFacts,
    "sheet-colours": SheetColour,
    "clips": ClipFacts,
    "decks": DeckFacts,
    "tightening": Tightening,
    "tools": Tool,
    "site-effort": SiteEffort,
    "sea-potentials": corrosion.SeaPotential,
    "anodic-index": corrosion.IndexGroup,
    "environments": corrosion.Environment,
    "air-signs": corrosion.AirSign,
    "loss-over-years": corrosion.LossOverYears,
    "stainless-exposure": corrosion.ExposureFactor,
    "stainless-classes": corrosion.StainlessClass,
    "rubbers": corrosion.Rubber,
    "screw-points": bolting.ScrewPoint,
    "friction": bolting.Friction,
    "bolt-classes": bolting.BoltClass,
    "threads": bolting.Thread,
    "torque-tables": bolting.TorqueTable,
    "finishes": Finish,
    "published-pairs": PublishedPairs,
}
# Metals whose loss by the air is known, and the classes of ISO 9223 in their order.
EATEN = ("steel", "zinc", "copper", "aluminium")
CORROSIVITY = ("C1", "C2", "C3", "C4", "C5", "CX")
Cited = Callable[[Document, tuple[object, ...], str, str], None]


class TradeReader(Faults):
    """One pass over the files of facts."""

    def __init__(
        self,
        documents: dict[str, Document],
        problems: list[Problem],
        words: dict[str, tuple[str, ...]],
        cited: Cited,
    ):
        super().__init__(documents, problems)
        self.words = words
        self.cited = cited

    def book(self, tools: Collection[str]) -> TradeBook:
        """All facts; `tools` are those that some question names."""
        found: dict[str, Any] = {
            topic.replace("-", "_"): tuple(self.rows(topic, model))
            for topic, model in MODELS.items()
        }
        book = TradeBook(**found)
        for topic, words in WHOLE.items():
            self.whole(topic, self.words[words], book.topics[topic.replace("-", "_")], strict=True)
        self.whole("loss-over-years", EATEN, book.loss_over_years, strict=True)
        self.whole("environments", CORROSIVITY, book.environments, strict=True)
        self.given("stainless-exposure", ("sea", "road", "so2", "washing"))
        self.given("friction", ("mu",))
        self.whole("tools", sorted(tools), book.tools, strict=False)
        self.whole("site-effort", MOVES, book.site_effort, strict=True)
        return book

    def rows(self, topic: str, model: type[Fact]) -> Iterator[Row[Fact]]:
        """Checked rows of one file."""
        name = f"kb/trade/{topic}.yaml"
        document = self.documents.get(name)
        if document is None or not isinstance(document.data, list):
            text = "this file is missing" if document is None else "expected a list"
            self.problems.append(Problem(name, 0, text, "start every entry with `- `"))
            return
        seen: set[str] = set()
        for i, item in enumerate(document.data):
            row = check(model, item, document, (i,), self.problems)
            if row is None:
                continue
            if row.id in seen:
                self.fault(document, (i, "id"), f"`{row.id}` is listed twice")
            seen.add(row.id)
            self.cited(document, (i,), row.source, row.status)
            self.names(document, i, row)
            yield Row(row, f"{document.file}:{document.line(i)}")

    def names(self, document: Document, i: int, row: TradeFact) -> None:
        """A fault for every name in a row that nothing has."""
        words = self.words
        if isinstance(row, LookAlike):
            self.all_known(document, (i, "shapes"), row.shapes, words["shape"], "shape")
        elif isinstance(row, SeamHeight):
            self.known(document, (i, "shape"), row.shape, words["shape"], "shape")
        elif isinstance(row, ClipFacts):
            self.known(document, (i, "clip"), row.clip, words["clip"], "clip")
        elif isinstance(row, MetalFacts):
            self.all_known(document, (i, "taken_for"), row.taken_for, words["metal"], "metal")
        elif isinstance(row, CoatingFacts):
            self.all_known(document, (i, "over"), row.over, words["metal"], "metal")
        elif isinstance(row, SheetColour):
            self.all_known(document, (i, "metals"), row.metals, words["metal"], "metal")
            self.all_known(document, (i, "coats"), row.coats, words["coating"], "coating")
        elif isinstance(row, Finish):
            self.known(document, (i, "metal"), row.metal, words["metal"], "metal")
            self.known(document, (i, "coating"), row.coating, words["coating"], "coating")
        elif isinstance(row, corrosion.SeaPotential):
            self.known(document, (i, "metal"), row.metal, (*words["metal"], "other"), "metal")
        elif isinstance(row, corrosion.IndexGroup):
            self.all_known(document, (i, "families"), row.families, words["family"], "family")
        elif isinstance(row, corrosion.LossOverYears):
            self.known(document, (i, "id"), row.id, words["metal"], "metal")
        elif isinstance(row, corrosion.AirSign):
            classes = self.ids("environments")
            self.all_known(document, (i, "classes"), row.classes, classes, "class of corrosivity")
        elif isinstance(row, corrosion.Rubber):
            self.all_known(document, (i, "harms"), row.harms, words["coating"], "coating")
        elif isinstance(row, bolting.TorqueTable):
            self.known(document, (i, "thread"), row.thread, self.ids("threads"), "thread")
            classes = self.ids("bolt-classes")
            self.known(document, (i, "strength"), row.strength, classes, "property class")
        if isinstance(row, MetalFacts | ClipFacts | DeckFacts):
            numbers = self.ids("numbers")
            self.all_known(document, (i, "numbers"), row.numbers, numbers, "number of the trade")

    def all_known(
        self,
        document: Document,
        at: tuple[object, ...],
        found: Words,
        words: tuple[str, ...],
        what: str,
    ) -> None:
        """A fault for each of some words that is not of a closed list."""
        for word in found:
            self.known(document, at, word, words, what)

    def given(self, topic: str, keys: Collection[str]) -> None:
        """Some row has each of these keys: a formula takes them."""
        name = f"kb/trade/{topic}.yaml"
        document = self.documents.get(name)
        rows = document.data if document is not None and isinstance(document.data, list) else []
        for key in keys:
            if rows and not any(isinstance(row, dict) and key in row for row in rows):
                self.problems.append(Problem(name, 0, f"no entry has `{key}`", "add one"))

    def whole(
        self, topic: str, words: Collection[str], rows: tuple[Row[Fact], ...], *, strict: bool
    ) -> None:
        """Every word has its row; where `strict`, every row is a word too."""
        name = f"kb/trade/{topic}.yaml"
        document = self.documents.get(name)
        if document is None:
            return
        found = {row.shape.id for row in rows}
        for word in words:
            if word not in found and word != "none":
                self.problems.append(Problem(name, 0, f"`{word}` is missing", "add it"))
        for i, row in enumerate(rows):
            if strict and row.shape.id not in words:
                self.known(document, (i, "id"), row.shape.id, tuple(words), topic.rstrip("s"))
