"""The vocabulary: closed lists, quantities, needs and acts of `kb/vocabulary.yaml`."""

from selector import units
from selector.errors import InputError, Problem, near
from selector.knowledge import schema
from selector.knowledge.base import Vocabulary
from selector.knowledge.faults import Faults
from selector.knowledge.schema import check
from selector.knowledge.yaml_reader import Document
from selector.model.rule import SUBJECTS, Ask, Need, Path, Quantity
from selector.model.truth import ASPECTS

FILE = "kb/vocabulary.yaml"
NUMBERS = "kb/trade/numbers.yaml"
LISTS = (
    "shape",
    "metal",
    "coating",
    "family",
    "deck",
    "clip",
    "zone",
    "presence",
    "paper",
    "unknown",
)


class _QuantityShape(schema.Shape):
    path: str
    dimension: str
    ask: str
    how: str
    observation: str = ""
    list: str | None = None
    words: schema.Words = ()
    tools: dict[str, str] = {}
    places: schema.Count = 1
    plausible: str | None = None
    not_by: schema.Words = ()
    split: bool = False
    derived: bool = False
    default: str | None = None
    stacked: bool = False
    said: bool = False
    setting: bool = False
    who: str
    effort: schema.Count


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
    quantities: tuple[_QuantityShape, ...]


def read_vocabulary(documents: dict[str, Document], problems: list[Problem]) -> Vocabulary:
    """Vocabulary of a base; every fault goes to `problems`."""
    return _Reader(documents, problems).vocabulary()


class _Reader(Faults):
    """One pass over the vocabulary."""

    def vocabulary(self) -> Vocabulary:
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
        quantities: dict[str, Quantity] = {}
        for i, q in enumerate(shape.quantities):
            one = self.quantity(document, ("quantities", i), q, shape.words)
            if one is not None:
                if q.path in quantities:
                    self.fault(document, ("quantities", i), f"`{q.path}` is listed twice")
                quantities[q.path] = one
        needs = tuple(Need(n.name, n.subject, n.aspect, n.text, n.lifted) for n in shape.needs)
        tolerance = self.mark_tolerance()
        asks = {a.path: Ask(a.path, a.ask, a.how, a.who, a.effort) for a in shape.asks}
        asks |= {p: Ask(p, q.ask, q.how, q.lifted, q.effort) for p, q in quantities.items()}
        return Vocabulary(dict(shape.words), quantities, needs, shape.acts, tolerance, asks)

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

    def tools(
        self, document: Document, at: tuple[object, ...], shape: _QuantityShape
    ) -> tuple[dict[str, int], frozenset[str]]:
        """Tolerance of each tool, and the tools whose tolerance is a share of the reading."""
        tools: dict[str, int] = {}
        relative = set()
        for tool, text in shape.tools.items():
            share = text.strip().endswith("%")
            try:
                tools[tool] = units.parse(text, "share" if share else shape.dimension)
            except ValueError as error:
                self.fault(document, (*at, "tools", tool), str(error))
            if share:
                relative.add(tool)
        return tools, frozenset(relative)

    def quantity(
        self,
        document: Document,
        at: tuple[object, ...],
        shape: _QuantityShape,
        lists: dict[str, tuple[str, ...]],
    ) -> Quantity | None:
        role, _, name = shape.path.partition(".")
        words = shape.words
        if shape.list is not None:
            if shape.list not in lists:
                self.fault(document, at, f"no list `{shape.list}`", near(shape.list, lists))
                return None
            words = lists[shape.list]
        if (shape.dimension == "choice") != bool(words):
            self.fault(document, at, f"`{shape.path}`: a choice has words, a measure has none")
            return None
        if shape.dimension != "choice" and shape.dimension not in units.DIMENSIONS:
            remedy = near(shape.dimension, units.DIMENSIONS)
            self.fault(document, at, f"no dimension `{shape.dimension}`", remedy)
            return None
        if shape.derived and shape.default is None:
            text = f"`{shape.path}` is derived and has no `default`"
            self.fault(document, at, text, "say what it is while no rule derives it")
        if shape.default is not None and shape.default not in words:
            text = f"`default` `{shape.default}` is no word of `{shape.path}`"
            self.fault(document, at, text, near(shape.default, words))
        tools, relative = self.tools(document, at, shape)
        plausible: tuple[int | None, int | None] = (None, None)
        if shape.plausible is not None:
            try:
                plausible = units.parse_window(shape.plausible, shape.dimension)
            except ValueError as error:
                self.fault(document, at, str(error))
        return Quantity(
            path=Path(role, name),
            dimension=shape.dimension,
            ask=shape.ask,
            how=shape.how,
            words=words,
            tools=tools,
            relative_tools=relative,
            places=shape.places,
            plausible=plausible,
            not_by=shape.not_by,
            split=shape.split,
            derived=shape.derived,
            default=shape.default,
            stacked=shape.stacked,
            said=shape.said,
            setting=shape.setting,
            lifted=shape.who,
            effort=shape.effort,
            observation=shape.observation,
        )
