"""One row of `quantities`, of the vocabulary or of a question, to a Quantity."""

from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from selector import units
from selector.errors import near
from selector.knowledge import schema
from selector.knowledge.faults import Faults
from selector.knowledge.yaml_reader import Document
from selector.model.rule import Ask, Path, Quantity

Effort = Annotated[int, Field(strict=True, ge=1, le=5)]
Who = Literal["phone", "owner", "roof", "roofer", "engineer", "knowledge owner"]
ON_THE_PHONE = ("phone", "owner", "engineer")  # who is asked from the desk


class QuantityShape(schema.Shape):
    """A row of `quantities`; ask, how, who and effort may come from its question."""

    path: str
    dimension: str
    ask: str | None = None
    how: str | None = None
    who: Who | None = None
    effort: Effort | None = None
    unit: str | None = None
    list: str | None = None
    words: schema.Words = ()
    tools: dict[str, str] = {}
    places: schema.Count = 1
    plausible: str | None = None
    by: schema.Words = ()
    not_by: schema.Words = ()
    split: bool = False
    derived: bool = False
    default: str | None = None
    stacked: bool = False
    said: bool = False
    setting: bool = False


class Asked(NamedTuple):
    """How a question asks for those of its quantities that have no wording of their own."""

    observation: str
    ask: str
    how: str
    who: str
    desk: int  # effort of who is asked from the desk
    roof: int

    def effort(self, who: str) -> int:
        """Effort of the one who looks."""
        return self.desk if who in ON_THE_PHONE else self.roof

    def wording(self, path: str) -> Ask:
        """How to ask for something that is no quantity."""
        return Ask(path, self.ask, self.how, self.who, self.effort(self.who))


class QuantityRows(Faults):
    """Reads rows of `quantities`; every fault goes to the problems."""

    def quantity(
        self,
        document: Document,
        at: tuple[object, ...],
        shape: QuantityShape,
        lists: dict[str, tuple[str, ...]],
        asked: Asked | None = None,
    ) -> Quantity | None:
        """Quantity of a row, or None where its words or dimension are wrong."""
        role, _, name = shape.path.partition(".")
        words = self.words(document, at, shape, lists)
        if words is None:
            return None
        if shape.dimension != "choice" and shape.dimension not in units.DIMENSIONS:
            remedy = near(shape.dimension, units.DIMENSIONS)
            self.fault(document, at, f"no dimension `{shape.dimension}`", remedy)
            return None
        self.default_fits(document, at, shape, words)
        self.unit_fits(document, at, shape)
        tools, relative = self.tools(document, at, shape)
        ask, how, who, effort = self.asking(document, at, shape, asked)
        return Quantity(
            path=Path(role, name),
            dimension=shape.dimension,
            ask=ask,
            how=how,
            words=words,
            tools=tools,
            relative_tools=relative,
            places=shape.places,
            plausible=self.plausible(document, at, shape),
            by=shape.by,
            not_by=shape.not_by,
            split=shape.split,
            derived=shape.derived,
            default=shape.default,
            stacked=shape.stacked,
            said=shape.said,
            setting=shape.setting,
            lifted=who,
            effort=effort,
            observation="" if asked is None else asked.observation,
            unit=shape.unit or "",
        )

    def words(
        self,
        document: Document,
        at: tuple[object, ...],
        shape: QuantityShape,
        lists: dict[str, tuple[str, ...]],
    ) -> tuple[str, ...] | None:
        """Words of a choice, none of a measure; None where they are wrong."""
        words = shape.words
        if shape.list is not None:
            if shape.list not in lists:
                self.fault(document, at, f"no list `{shape.list}`", near(shape.list, lists))
                return None
            words = lists[shape.list]
        if (shape.dimension == "choice") != bool(words):
            self.fault(document, at, f"`{shape.path}`: a choice has words, a measure has none")
            return None
        return words

    def default_fits(
        self,
        document: Document,
        at: tuple[object, ...],
        shape: QuantityShape,
        words: tuple[str, ...],
    ) -> None:
        """A derived quantity has a default, and a default is one of its words."""
        if shape.derived and shape.default is None:
            text = f"`{shape.path}` is derived and has no `default`"
            self.fault(document, at, text, "say what it is while no rule derives it")
        if shape.default is not None and shape.default not in words:
            text = f"`default` `{shape.default}` is no word of `{shape.path}`"
            self.fault(document, at, text, near(shape.default, words))

    def unit_fits(self, document: Document, at: tuple[object, ...], shape: QuantityShape) -> None:
        """The unit in which one answers is known and of the dimension."""
        if shape.unit is None:
            return
        known = units.units_of(shape.dimension)
        if shape.unit not in known:
            text = f"`{shape.unit}` is no unit of {shape.dimension}"
            self.fault(document, (*at, "unit"), text, near(shape.unit, known))

    def plausible(
        self, document: Document, at: tuple[object, ...], shape: QuantityShape
    ) -> tuple[int | None, int | None]:
        """Window outside which an answer is a slip of the pen."""
        if shape.plausible is not None:
            try:
                return units.parse_window(shape.plausible, shape.dimension)
            except ValueError as error:
                self.fault(document, at, str(error))
        return None, None

    def tools(
        self, document: Document, at: tuple[object, ...], shape: QuantityShape
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

    def asking(
        self,
        document: Document,
        at: tuple[object, ...],
        shape: QuantityShape,
        asked: Asked | None,
    ) -> tuple[str, str, str, int]:
        """Wording, way, person and effort: of the row, or of its question."""
        if asked is None:
            for key in ("ask", "how", "who", "effort"):
                if getattr(shape, key) is None:
                    text = f"key `{key}` is missing in `{shape.path}`"
                    self.fault(document, at, text, "add it")
            return shape.ask or "", shape.how or "", shape.who or "", shape.effort or 1
        who = shape.who or asked.who
        effort = shape.effort or asked.effort(who)
        return shape.ask or asked.ask, shape.how or asked.how, who, effort
