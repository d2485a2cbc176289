"""The knowledge base as inference sees it: frozen facts, no files."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from selector.engineering.stainless_en import StainlessTable
from selector.engineering.tables import Codes
from selector.knowledge import schema
from selector.knowledge.metal_tables import stainless_table
from selector.knowledge.texts import FIRST, TextBook
from selector.knowledge.trade import TradeBook
from selector.model.coverage import Coverage
from selector.model.kit import KitBook
from selector.model.quantity import Measured, Place
from selector.model.question import Drawing, Question
from selector.model.rule import Ask, Case, Need, Path, Quantity, Rule


@dataclass(frozen=True)
class Vocabulary:
    """Closed lists, and the quantities a job may state."""

    words: dict[str, tuple[str, ...]]
    quantities: dict[str, Quantity]
    needs: tuple[Need, ...]
    acts: tuple[str, ...]
    mark_tolerance: int
    asks: dict[str, Ask]

    def ask(self, path: str) -> Ask:
        """How to ask for a path; one that nobody worded is asked for by its name."""
        return self.asks.get(path) or Ask(path, path, "", "knowledge owner", 5)

    def has_group(self, prefix: str) -> bool:
        """Whether some quantity starts with this prefix."""
        return any(path.startswith(prefix) for path in self.quantities)

    def names_below(self, prefix: str) -> list[str]:
        """Next names below a prefix, for near names."""
        below = (p[len(prefix) :] for p in self.quantities if p.startswith(prefix))
        return sorted({name.partition(".")[0] for name in below})


@dataclass(frozen=True)
class Part:
    """One part of a catalogue, with the place where it is written."""

    id: str  # catalogue/handle
    slot: str
    shape: schema.PartShape
    file: str
    line: int
    lines: dict[str, int]  # key of the part -> line
    status: str

    @property
    def handle(self) -> str:
        """Id without its catalogue."""
        return self.id.partition("/")[2]

    @property
    def catalogue(self) -> str:
        """Name of its catalogue."""
        return self.id.partition("/")[0]

    @property
    def interface(self) -> str | None:
        """Interface it offers; equal names of two catalogues are two interfaces."""
        return None if self.shape.offers is None else f"{self.catalogue}/{self.shape.offers}"

    @property
    def takes(self) -> tuple[str, ...]:
        """Interfaces it takes, with its catalogue."""
        return tuple(f"{self.catalogue}/{name}" for name in self.shape.takes)

    def is_listed_for(self, other: "Part") -> bool:
        """Whether its catalogue lists it for a part of the same catalogue."""
        return other.catalogue == self.catalogue and other.handle in self.shape.listed_for


@dataclass(frozen=True)
class Record:
    """One evidence record, with the place where it is written."""

    id: str
    shape: schema.RecordShape
    file: str
    line: int
    status: str


@dataclass(frozen=True)
class Catalogue:
    """One folder of parts and records."""

    name: str
    tag: str
    scenario: str
    mass_allowance: int  # thousandths of kg/m2
    parts: dict[str, Part]
    records: tuple[Record, ...]
    clip_factor: float | None = None  # of the clips' share by the hand rule; an engineer sets it
    clip_share: str = "influence"  # which method gives the word on the clips, or `hand`

    def slot(self, slot: str) -> list[Part]:
        """Parts of a slot by id."""
        return self._by_slot.get(slot, [])

    def of_kind(self, kind: type[schema.RecordShape]) -> list[Record]:
        """Records of a kind in their order."""
        return self._by_kind.get(kind, [])

    def of_clamp(self, handle: str) -> list[Record]:
        """Clamp records of one clamp, whatever its insert and inlay."""
        return self._by_clamp.get(handle, [])

    @cached_property
    def _by_kind(self) -> dict[type, list[Record]]:
        found: dict[type, list[Record]] = {}
        for record in self.records:
            found.setdefault(type(record.shape), []).append(record)
        return found

    @cached_property
    def _by_clamp(self) -> dict[str, list[Record]]:
        found: dict[str, list[Record]] = {}
        for record in self.of_kind(schema.ClampRecord):
            if isinstance(record.shape, schema.ClampRecord):
                found.setdefault(record.shape.part.clamp, []).append(record)
        return found

    @cached_property
    def _by_slot(self) -> dict[str, list[Part]]:
        found: dict[str, list[Part]] = {}
        for part in sorted(self.parts.values(), key=lambda p: p.id):
            found.setdefault(part.slot, []).append(part)
        return found


@dataclass(frozen=True)
class Number:
    """One number of the trade with its source and status."""

    id: str
    text: str
    value: Measured
    source: str
    status: str
    origin: str


@dataclass(frozen=True)
class PairingRow:
    """One pairing with its place in the files."""

    shape: schema.Pairing
    origin: str


@dataclass(frozen=True)
class ShapeRow:
    """One seam shape with its place in the files."""

    shape: schema.ShapeFacts
    origin: str


@dataclass(frozen=True)
class Base:
    """Everything the knowledge owner keeps, read and checked."""

    digest: str
    vocabulary: Vocabulary
    questions: dict[str, Question]  # observation -> question
    drawings: dict[str, Drawing]  # seam shape -> drawing
    sources: dict[str, schema.Source]
    numbers: dict[str, Number]
    pairings: tuple[PairingRow, ...]
    shapes: dict[str, ShapeRow]
    catalogues: dict[str, Catalogue]
    codes: Codes
    rules: tuple[Rule, ...]
    cases: tuple[Case, ...]
    trade: TradeBook
    kits: KitBook
    texts: dict[str, TextBook]  # language -> its texts
    coverage: tuple[Coverage, ...] = ()  # one row for each rule of the trade
    language: str = FIRST  # that its rules and questions are worded in

    def rule(self, rule_id: str) -> Rule:
        """Rule by id; KeyError where there is none."""
        for rule in self.rules:
            if rule.id == rule_id:
                return rule
        raise KeyError(rule_id)

    def question_of(self, path: str) -> Question | None:
        """The question that a path of the job answers, if one does."""
        return self._questions.get(path)

    @cached_property
    def _questions(self) -> dict[str, Question]:
        return {p: q for q in self.questions.values() for p in (*q.quantities, *q.answers)}

    @cached_property
    def stainless(self) -> StainlessTable:
        """Annex A of EN 1993-1-4 as data."""
        return stainless_table(self.trade)

    def part(self, part_id: str) -> Part:
        """Part by its id with the catalogue; KeyError where there is none."""
        return self.catalogues[part_id.partition("/")[0]].parts[part_id]

    def rules_of(self, subject: str) -> list[Rule]:
        """Active rules of a subject kind by id."""
        return [r for r in self.rules if r.subject == subject and r.status == "active"]

    def parts_of(self, catalogues: tuple[str, ...]) -> Iterator[Part]:
        """Parts of the named catalogues by id."""
        for name in catalogues:
            yield from sorted(self.catalogues[name].parts.values(), key=lambda p: p.id)


def exact(value: int, dimension: str) -> Measured:
    """A figure without tolerance."""
    return Measured(dimension, (Place(value, value),))


__all__ = [
    "Base",
    "Catalogue",
    "Number",
    "PairingRow",
    "Part",
    "Path",
    "Record",
    "ShapeRow",
    "Vocabulary",
    "exact",
]
