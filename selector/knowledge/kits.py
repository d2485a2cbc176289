"""What goes into every kit beside its counted parts, and what must not: `kb/kits/*.yaml`."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from selector import units
from selector.errors import Problem, near
from selector.knowledge import conditions
from selector.knowledge.base import Vocabulary
from selector.knowledge.faults import Faults
from selector.knowledge.schema import Count, TradeNumber, check, number
from selector.knowledge.texts import holes
from selector.knowledge.trade import Cited
from selector.knowledge.trade_fact import TradeFact
from selector.knowledge.yaml_reader import Document
from selector.model.kit import HOLES, SPARED, KitBook, KitItem, Spare
from selector.model.rule import Condition, Group

FOLDER = "kb/kits/"
ROLES = {"p": "plane", "s": "site", "c": "clamp", "k": "stack", "a": "array"}
FIGURES = ("cable_clip_spacing",)
# What a condition may read beside the quantities of the vocabulary: words, or what it asks.
FILLED, CHECKED = ("present", "absent"), ("passes",)
PATHS: dict[str, tuple[str, ...]] = {
    **{f"stack.{s}": FILLED for s in ("insert", "inlay", "bolts", "rail", "frame", "cross")},
    **{f"site.papers.{s}": FILLED for s in ("roofer_consent", "washing", "lightning", "fire")},
    "stack.owners_document": FILLED,
    "clamp.screw_order": FILLED,
    "clamp.needs_insert": FILLED,
    "array.calculation": FILLED,
    "array.reserve": CHECKED,
    "array.tilt": ("parallel", "elevated"),
    "array.orientation": ("portrait", "landscape"),
    "clamp.own_profile": ("yes", "no"),
    "clamp.generation": ("old", "new"),
    "plane.sheet.family": (),  # the words of the vocabulary's list `family`
}


class SpareShape(TradeFact):
    """How many more than counted."""

    share: Annotated[int, BeforeValidator(number("share"))]
    at_least: Annotated[int, Field(strict=True, ge=0)]


class LeftOutShape(TradeFact):
    """Something that must not be in the box."""

    text: str
    why: str
    when: tuple[Any, ...] = ()


class ItemShape(LeftOutShape):
    """Something that goes along; `there`: the job has it already; `must`: not released without."""

    number: Count = 1
    unit: Literal["piece", "set", "pack", "bottle"] = "piece"
    there: tuple[Any, ...] = ()
    must: Annotated[bool, Field(strict=True)] = False


@dataclass(frozen=True)
class _At:
    """A row of a file: its document and number."""

    document: Document
    i: int

    @property
    def origin(self) -> str:
        return f"{self.document.file}:{self.document.line(self.i)}"


class KitReader(Faults):
    """One pass over the files of the kit; every fault goes to the problems."""

    def __init__(
        self,
        documents: dict[str, Document],
        problems: list[Problem],
        vocabulary: Vocabulary,
        cited: Cited,
    ):
        super().__init__(documents, problems)
        self.vocabulary = vocabulary
        self.cited = cited
        self.seen: dict[str, str] = {}  # id of an item -> where it stands

    def book(self) -> KitBook:
        """All rows of all files."""
        return KitBook(
            tools=self.items("tools"),
            consumables=self.items("consumables"),
            labels=self.items("labels"),
            papers=self.items("papers"),
            leave_out=self.items("leave-out", LeftOutShape),
            spares=self.spares(),
            figures=self.figures(),
        )

    def items(self, name: str, model: type[LeftOutShape] = ItemShape) -> tuple[KitItem, ...]:
        """Rows of a file of things to take along, or to leave."""
        found = []
        for at, row in self.rows(name, model):
            if row.id in self.seen:
                text = f"`{row.id}` is listed twice"
                self.fault(at.document, (at.i, "id"), text, f"the other is {self.seen[row.id]}")
            self.seen[row.id] = at.origin
            for key in ("text", "why"):
                for hole in holes(getattr(row, key)):
                    self.known(at.document, (at.i, key), hole, HOLES, "hole of the kit")
            extra = row if isinstance(row, ItemShape) else ItemShape(**row.model_dump())
            item = KitItem(
                id=row.id,
                text=row.text,
                why=row.why,
                number=extra.number,
                unit=extra.unit,
                when=self.groups(at, "when", row.when),
                there=self.groups(at, "there", extra.there),
                must=extra.must,
                source=row.source,
                status=row.status,
                origin=at.origin,
            )
            found.append(item)
        return tuple(found)

    def spares(self) -> dict[str, Spare]:
        """Spares by what they are for; each of `SPARED` has its row."""
        found: dict[str, Spare] = {}
        for at, row in self.rows("spares", SpareShape):
            self.known(at.document, (at.i, "id"), row.id, SPARED, "counted thing with spares")
            if row.id in found:
                self.fault(at.document, (at.i, "id"), f"`{row.id}` is listed twice")
            found[row.id] = Spare(row.share, row.at_least, row.source, row.status)
        self.whole("spares", SPARED, found)
        return found

    def figures(self) -> dict[str, int]:
        """Lengths that the counting takes; each of `FIGURES` has its row."""
        found: dict[str, int] = {}
        for at, row in self.rows("figures", TradeNumber):
            self.known(at.document, (at.i, "id"), row.id, FIGURES, "figure of the kit")
            try:
                value = units.parse(row.value, "length")
                if value <= 0:
                    raise ValueError(f"`{units.shorten(row.value)}` is no length")
                found[row.id] = value
            except ValueError as error:
                self.fault(at.document, (at.i, "value"), str(error))
        self.whole("figures", FIGURES, found)
        return found

    def rows(self, name: str, model: type[Any]) -> Iterator[tuple[_At, Any]]:
        """Checked rows of one file."""
        file = f"{FOLDER}{name}.yaml"
        document = self.documents.get(file)
        if document is None or not isinstance(document.data, list):
            text = "this file is missing" if document is None else "expected a list"
            self.problems.append(Problem(file, 0, text, "start every entry with `- `"))
            return
        for i, data in enumerate(document.data):
            row = check(model, data, document, (i,), self.problems)
            if row is not None:
                self.cited(document, (i,), row.source, row.status)
                yield _At(document, i), row

    def whole(self, name: str, wanted: tuple[str, ...], found: dict[str, Any]) -> None:
        """A fault for each that a file lacks."""
        file = f"{FOLDER}{name}.yaml"
        if file in self.documents:
            for one in wanted:
                if one not in found:
                    self.problems.append(Problem(file, 0, f"`{one}` is missing", "add it"))

    # --- conditions --------------------------------------------------------------------

    def groups(self, at: _At, key: str, items: tuple[Any, ...]) -> tuple[Group, ...]:
        """Conditions that all count; `any: [...]` holds alternatives."""
        found = []
        for n, item in enumerate(items):
            here = (at.i, key, n)
            texts: Any = [item]
            if isinstance(item, dict):
                texts = item.get("any") if set(item) == {"any"} else None
                if not isinstance(texts, list) or not texts:
                    self.fault(at.document, here, "a group is `any: [condition, ...]`")
                    continue
            parsed = [self.condition(at.document, here, text) for text in texts]
            found.append(tuple(c for c in parsed if c is not None))
        return tuple(found)

    def condition(
        self, document: Document, at: tuple[object, ...], text: object
    ) -> Condition | None:
        """One condition, or None with its fault."""
        try:
            condition = conditions.parse(text, ROLES)
        except ValueError as error:
            self.fault(document, at, str(error))
            return None
        path = str(condition.left)
        quantity = self.vocabulary.quantities.get(path)
        known = PATHS.get(path)
        if quantity is None and known is None:
            names = [*self.vocabulary.quantities, *PATHS]
            self.fault(document, at, f"nothing a kit can ask is `{path}`", near(path, names))
            return None
        words = quantity.words if quantity is not None else known or ()
        if path == "plane.sheet.family":
            words = self.vocabulary.words["family"]
        fault, remedy = _misfit(condition, tuple(words))
        if fault:
            self.fault(document, at, fault, remedy)
        return condition


def _misfit(condition: Condition, words: tuple[str, ...]) -> tuple[str, str]:
    """What is wrong with a condition on something that has these words; empty where it fits."""
    operator, right = condition.operator, condition.right
    if words in (FILLED, CHECKED):
        if operator in words:
            return "", ""
        return f"`{condition.left}` cannot be asked with `{operator}`", near(operator, words)
    if operator not in ("is", "is one of"):
        return f"`{operator}` cannot choose what goes into a kit", "use `is` or `is one of`"
    given = [right] if isinstance(right, str) else list(right or ())  # type: ignore[arg-type]
    for word in given:
        if word not in words:
            return f"`{word}` is no word of `{condition.left}`", near(str(word), words)
    return "", ""
