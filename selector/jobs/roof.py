"""Read what lies on a plane and where its seams run: shapes and plausible sizes, nothing judged."""

from collections.abc import Callable
from typing import Any, TypeVar

from selector import units
from selector.jobs import schema
from selector.knowledge.base import Vocabulary
from selector.knowledge.schema import check
from selector.knowledge.yaml_reader import Document
from selector.model.job import Line, Obstacle, Outline, Paper, SeamLines, Strip
from selector.model.quantity import Place

KEYS = ("outline", "seams", "objects", "strips", "lines")
LIKE_OUTLINE = "plane.sheet.length"  # measured with the same tools
LONGEST_OUTLINE = "plane.plan_length"  # no plane is longer than a building
LIKE_SEAMS = "plane.seam.spacing"
LIKE_STEP = "plane.taller_step"
MOST_SEAMS = 1_000
Fault = Callable[..., None]
At = tuple[object, ...]
Shape = TypeVar("Shape", bound=schema.SeenShape)


class RoofReader:
    """Reads the keys of one plane that are no single quantity."""

    def __init__(
        self,
        document: Document,
        vocabulary: Vocabulary,
        papers: dict[str, Paper],
        problems: list[Any],
        fault: Fault,
        seen_by: Callable[[At, str | None, str | None], None],
    ):
        self.document, self.vocabulary, self.papers = document, vocabulary, papers
        self.problems, self.fault, self.seen_by = problems, fault, seen_by
        self.most = vocabulary.quantities[LONGEST_OUTLINE].plausible[1] or units.LARGEST

    def outline(self, at: At, data: Any) -> Outline | None:
        """Outline of a plane; a tool brings the tolerance that it has for the length of a sheet."""
        shape = self._shape(schema.OutlineShape, data, at)
        if shape is None:
            return None
        tool = self._tolerance(shape, LIKE_OUTLINE)
        sides = shape.rectangle and tuple(
            Place(x - (tool or 0), x + (tool or 0)) for x in shape.rectangle
        )
        rectangle = None if sides is None else (sides[0], sides[1])
        corners = _corners(shape)
        form = next(f for f in ("rectangle", "trapezium", "polygon") if getattr(shape, f))
        if any(x > self.most for corner in corners for x in corner):
            text = f"a side cannot be right; at most {units.show(self.most, 'length')} is plausible"
            self.fault((*at, form), text, "check number and unit")
        seen = _seen(shape)
        return Outline(rectangle, tool is not None, seen, self.document.line(*at), corners)

    def seams(self, at: At, data: Any) -> SeamLines | None:
        """Where seams run, each with the tolerance of the tool."""
        shape = self._shape(schema.SeamsShape, data, at)
        if shape is None:
            return None
        off = self._tolerance(shape, LIKE_SEAMS)
        if off is None:
            tools = ", ".join(self.vocabulary.quantities[LIKE_SEAMS].tools)
            self.fault(at, "how exact is it?", f"name the `tool` ({tools}) or the paper")
            off = 0
        places = shape.at or {}
        if len(places) > MOST_SEAMS:
            self.fault((*at, "at"), f"{len(places)} seams on one plane; at most {MOST_SEAMS}")
        if list(places.values()) != sorted(set(places.values())):
            remedy = "give each seam its own distance from the left end, in rising order"
            self.fault((*at, "at"), "seams must rise from the left end", remedy)
        for name, value in places.items():
            self._plausible((*at, "at", name), value)
        first = None if shape.first is None else Place(shape.first - off, shape.first + off)
        found = {name: Place(x - off, x + off) for name, x in places.items()}
        return SeamLines(first, found, _seen(shape), self.document.line(*at))

    def objects(self, at: At, data: Any) -> tuple[Obstacle, ...]:
        """What stands on the plane."""
        out = []
        for name, shape in self._named(schema.ObstacleShape, data, at):
            if 0 in (shape.width, shape.height):
                self.fault((*at, name), f"`{name}` has no size", "give width and height")
            for side in ("from_left", "from_eave", "width", "height", "clear"):
                self._plausible((*at, name, side), getattr(shape, side))
            line = self.document.line(*at, name)
            sides = (shape.from_left, shape.from_eave, shape.width, shape.height, shape.clear)
            rises = self._rises((*at, name, "rises"), shape)
            out.append(Obstacle(name, *sides, shape.collar, line, rises, _seen(shape)))
        return tuple(out)

    def _rises(self, at: At, shape: schema.ObstacleShape) -> Place | None:
        """How far a thing stands above the sheet, with the tolerance of the tool."""
        if shape.rises is None:
            return None
        most = self.vocabulary.quantities[LIKE_STEP].plausible[1] or self.most
        if shape.rises > most:
            text = f"`rises` cannot be right; at most {units.show(most, 'length')} is plausible"
            self.fault(at, text, "check number and unit")
        off = self._tolerance(shape, LIKE_STEP)
        if off is None:
            tools = ", ".join(self.vocabulary.quantities[LIKE_STEP].tools)
            self.fault(at, "how exact is it?", f"name the `tool` ({tools}) or the paper")
        return Place(max(0, shape.rises - (off or 0)), shape.rises + (off or 0))

    def strips(self, at: At, data: Any) -> tuple[Strip, ...]:
        """Strips along the edges that stay free."""
        out = []
        for name, shape in self._named(schema.StripShape, data, at):
            self._plausible((*at, name, "width"), shape.width)
            line = self.document.line(*at, name)
            out.append(Strip(name, shape.along, shape.width, shape.use, line))
        return tuple(out)

    def lines(self, at: At, data: Any) -> tuple[Line, ...]:
        """Steps and movement joints of the sheets."""
        if not isinstance(data, dict):
            self.fault(at, "`lines` is a list of named lines", "write `NAME: {from_left: ...}`")
            return ()
        out = []
        for name, given in data.items():
            shape = check(schema.LineShape, given, self.document, (*at, name), self.problems)
            if shape is not None:
                out.append(line_of(str(name), shape))
        return tuple(out)

    def _named(self, kind: type[Shape], data: Any, at: At) -> list[tuple[str, Shape]]:
        if not isinstance(data, dict):
            self.fault(at, f"`{at[-1]}` holds named entries", "write `NAME: {...}`")
            return []
        found = [(str(name), self._shape(kind, given, (*at, name))) for name, given in data.items()]
        for name, _ in found:
            if not schema.NAME.fullmatch(name):
                text = f"`{units.shorten(name)}` is no short name"
                self.fault((*at, name), text, "small letters, digits, `-` or `_`")
        return [(name, shape) for name, shape in found if shape is not None]

    def _shape(self, kind: type[Shape], data: Any, at: At) -> Shape | None:
        shape = check(kind, data, self.document, at, self.problems)
        if shape is not None:
            self.seen_by(at, shape.by, shape.paper)
        return shape

    def _tolerance(self, shape: schema.SeenShape, like: str) -> int | None:
        """Half width of a reading; None where nobody says how exact it is."""
        tool = self.vocabulary.quantities[like].tools.get(shape.tool or shape.how or "")
        paper = self.papers.get(shape.paper or "")
        if tool is None and paper is not None and paper.kind in Paper.GIVES_VALUES:
            return 0
        return tool

    def _plausible(self, at: At, value: int) -> None:
        if value > self.most:
            text = f"`{at[-1]}` cannot be right; at most {units.show(self.most, 'length')}"
            self.fault(at, f"{text} is plausible", "check number and unit")


def line_of(key: str, shape: schema.LineShape) -> Line:
    """A line of a roof, up the slope or across it."""
    if shape.from_left is not None:
        return Line(key, True, shape.from_left)
    return Line(key, False, shape.from_eave or 0)


def _corners(shape: schema.OutlineShape) -> tuple[tuple[int, int], ...]:
    if shape.polygon is not None:
        return shape.polygon
    if shape.trapezium is not None:
        t = shape.trapezium
        top = [(t.from_left + t.ridge, t.slope), (t.from_left, t.slope)]
        return (0, 0), (t.eave, 0), *(top if t.ridge else top[1:])
    assert shape.rectangle is not None
    eave, slope = shape.rectangle
    return (0, 0), (eave, 0), (eave, slope), (0, slope)


def _seen(shape: schema.SeenShape) -> str:
    parts = [shape.how, shape.tool, shape.paper and f"paper {shape.paper}", shape.by]
    return ", ".join(filter(None, parts))
