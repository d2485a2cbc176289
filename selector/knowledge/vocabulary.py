"""The vocabulary: closed lists, needs and acts, and the quantities of all questions."""

from collections import Counter

from selector import units
from selector.errors import InputError, Problem, near
from selector.knowledge import schema
from selector.knowledge.base import Vocabulary
from selector.knowledge.quantities import QuantityRows, QuantityShape
from selector.knowledge.questions import QuestionShape, Sheet
from selector.knowledge.schema import check
from selector.knowledge.yaml_reader import Document
from selector.model.rule import SUBJECTS, Ask, Need, Quantity
from selector.model.truth import ASPECTS

FILE = "kb/vocabulary.yaml"
NUMBERS = "kb/trade/numbers.yaml"
LISTS = (
    "shape",
    "metal",
    "coating",
    "colour",
    "family",
    "deck",
    "clip",
    "zone",
    "presence",
    "paper",
    "unknown",
    "observation",
)


class _NeedShape(schema.Shape):
    name: str
    subject: str
    aspect: str
    text: str
    lifted: str


class _AskShape(schema.Shape):
    path: str
    ask: str
    how: str
    who: str
    effort: int


class _VocabularyShape(schema.Shape):
    asks: tuple[_AskShape, ...]
    words: dict[str, schema.Words]
    acts: schema.Words
    needs: tuple[_NeedShape, ...]
    quantities: tuple[QuantityShape, ...]


def read_vocabulary(
    documents: dict[str, Document], sheets: list[Sheet], problems: list[Problem]
) -> Vocabulary:
    """Vocabulary of a base and its questions; every fault goes to `problems`."""
    return _Reader(documents, problems).vocabulary(sheets)


class _Reader(QuantityRows):
    """One pass over the vocabulary."""

    def vocabulary(self, sheets: list[Sheet]) -> Vocabulary:
        name = FILE
        document = self.documents.get(name)
        if document is None:
            raise InputError.of("this file is missing", "restore it", file=name)
        shape = check(_VocabularyShape, document.data, document, (), self.problems)
        if shape is None:
            raise InputError(self.problems)
        for name in LISTS:
            if name not in shape.words:
                self.fault(document, ("words",), f"the list `{name}` is missing", "add it")
        for i, need in enumerate(shape.needs):
            if need.aspect not in ASPECTS:
                remedy = near(need.aspect, ASPECTS)
                self.fault(document, ("needs", i), f"no aspect `{need.aspect}`", remedy)
            if need.subject not in SUBJECTS:
                remedy = near(need.subject, SUBJECTS)
                self.fault(document, ("needs", i), f"no subject `{need.subject}`", remedy)
        quantities = self.quantities([(document, shape), *sheets], shape.words)
        needs = tuple(Need(n.name, n.subject, n.aspect, n.text, n.lifted) for n in shape.needs)
        tolerance = self.mark_tolerance()
        asks = {a.path: Ask(a.path, a.ask, a.how, a.who, a.effort) for a in shape.asks}
        asked_once = Counter(p for _, s in sheets for p in s.answers)
        asks |= {p: s.asked.wording(p) for _, s in sheets for p in s.answers if asked_once[p] == 1}
        asks |= {p: Ask(p, q.ask, q.how, q.lifted, q.effort) for p, q in quantities.items()}
        return Vocabulary(dict(shape.words), quantities, needs, shape.acts, tolerance, asks)

    def quantities(
        self,
        files: list[tuple[Document, _VocabularyShape | QuestionShape]],
        lists: dict[str, tuple[str, ...]],
    ) -> dict[str, Quantity]:
        found: dict[str, Quantity] = {}
        for document, shape in files:
            asked = shape.asked if isinstance(shape, QuestionShape) else None
            for i, row in enumerate(shape.quantities):
                one = self.quantity(document, ("quantities", i), row, lists, asked)
                if one is not None:
                    if row.path in found:
                        self.fault(document, ("quantities", i), f"`{row.path}` is listed twice")
                    found[row.path] = one
        return found

    def mark_tolerance(self) -> int:
        document = self.documents.get(NUMBERS)
        rows = document.data if document is not None else []
        for item in rows if isinstance(rows, list) else []:
            if isinstance(item, dict) and item.get("id") == "clip_mark_tolerance":
                try:
                    return units.parse(item.get("value"), "length")
                except ValueError:
                    break
        name = NUMBERS
        self.problems.append(Problem(name, 0, "`clip_mark_tolerance` is missing", "add it"))
        return 0
