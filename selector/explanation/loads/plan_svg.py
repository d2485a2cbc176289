"""The zones in all four winds as one SVG, to scale; the wind that lifts most comes first.

No script, no style sheet, nothing fetched; black on white, so that it prints as it is seen.
"""

from collections.abc import Iterator
from itertools import pairwise
from textwrap import wrap
from xml.sax.saxutils import escape

from selector.explanation.fonts import FONT
from selector.explanation.loads.telling import LoadsTelling
from selector.facts.actions.model import Part, Plan

WIDTH, LEFT, TOP = 760, 70, 16
WIDEST, HIGHEST = 590, 300
LINE, SIZE, LETTERS = 17, 13, 92
FAMILY = f"font-family='{FONT}'"
SMALL, TINY = 13, 9  # in a zone narrower than this, letters of that size


class _Drawing:
    """Elements of the picture, and how far down it reaches."""

    def __init__(self) -> None:
        self.y = float(TOP)
        self.elements: list[str] = []

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        bold: bool = False,
        anchor: str = "start",
        size: int = SIZE,
    ) -> None:
        weight = " font-weight='bold'" if bold else ""
        place = f"x='{x:.1f}' y='{y:.1f}' text-anchor='{anchor}'"
        self.elements.append(
            f"<text {place} font-size='{size}' {FAMILY}{weight}>{escape(text)}</text>"
        )

    def below(self, text: str, *, bold: bool = False) -> None:
        """A text below everything drawn so far, in lines."""
        for line in wrap(text, LETTERS):
            self.y += LINE
            self.text(TOP, self.y - 4, line, bold=bold)

    def line(self, x1: float, y1: float, x2: float, y2: float, wide: float = 1) -> None:
        ends = f"x1='{x1:.1f}' y1='{y1:.1f}' x2='{x2:.1f}' y2='{y2:.1f}'"
        self.elements.append(f"<line {ends} stroke='black' stroke-width='{wide}'/>")

    def box(self, x: float, y: float, wide: float, high: float, look: str) -> None:
        place = f"x='{x:.1f}' y='{y:.1f}' width='{wide:.1f}' height='{high:.1f}'"
        self.elements.append(f"<rect {place} fill='none' stroke='black' {look}/>")

    def arrow(self, x: float, y: float, dx: float, dy: float) -> None:
        """An arrow that ends at a place, from where the wind blows."""
        self.line(x - 26 * dx, y - 26 * dy, x, y, 2)
        tips = ((x - 8 * dx + 5 * dy * s, y - 8 * dy + 5 * dx * s) for s in (1, -1))
        points = " ".join(f"{a:.1f},{b:.1f}" for a, b in ((x, y), *tips))
        self.elements.append(f"<polygon points='{points}' fill='black'/>")


def plan_svg(telling: LoadsTelling) -> str:
    """The whole picture as text of an SVG file; KeyError where nothing is to be drawn."""
    loads, plan, drawing = telling.loads, telling.loads.plan, _Drawing()
    if plan is None:
        raise KeyError("plan")
    title = telling.say("loads.plan.title", plane=loads.plane, job=loads.job)
    drawing.below(title, bold=True)
    if loads.invented:
        drawing.below(telling.say("loads.demo", names="`, `".join(loads.invented)))
    for wind in sorted(plan.zones, key=lambda w: w != telling.worst_wind):
        _panel(drawing, telling, plan, wind)
    height = drawing.y + TOP
    size = f"viewBox='0 0 {WIDTH} {height:.0f}' width='{WIDTH}' height='{height:.0f}'"
    head = f"<svg xmlns='http://www.w3.org/2000/svg' {size} role='img' aria-labelledby='t d'>"
    desc = telling.say(
        "loads.plan.desc",
        length=telling.metres(plan.length_m),
        slope=telling.metres(plan.slope_m),
        array=loads.array,
        wind=telling.texts.word(telling.worst_wind),
    )
    named = f"<title id='t'>{escape(title)}</title>\n<desc id='d'>{escape(desc)}</desc>"
    paper = f"<rect width='{WIDTH}' height='{height:.0f}' fill='white'/>"
    return "\n".join([head, named, paper, *drawing.elements, "</svg>"]) + "\n"


def _panel(drawing: _Drawing, telling: LoadsTelling, plan: Plan, wind: str) -> None:
    """One wind: the plane with its zones, the array, both lengths, and a list of the zones."""
    name = "head" if wind == telling.worst_wind and telling.loads.lift else "head_other"
    drawing.y += LINE
    drawing.below(telling.say(f"loads.plan.{name}", wind=telling.texts.word(wind)), bold=True)
    scale = min(WIDEST / plan.length_m, HIGHEST / plan.slope_m)
    wide, high = plan.length_m * scale, plan.slope_m * scale
    top = drawing.y + 44
    bottom = top + high
    drawing.text(LEFT, top - 6, telling.say("loads.plan.ridge"))
    for part in plan.zones[wind]:
        _zone(drawing, part, plan.array, bottom, scale)
    drawing.box(LEFT, top, wide, high, "stroke-width='2.5'")
    array = plan.array
    x, y = LEFT + array.x0 * scale, bottom - array.y1 * scale
    size = (array.x1 - array.x0) * scale, (array.y1 - array.y0) * scale
    drawing.box(x, y, *size, "stroke-width='3' stroke-dasharray='8 5'")
    drawing.text(x + 5, y + SIZE + 3, telling.loads.array, bold=True)
    _arrows(drawing, wind, top, bottom, wide)
    eave = f"{telling.say('loads.plan.eave')} {telling.metres(plan.length_m)} m"
    drawing.text(LEFT, bottom + 18, eave)
    drawing.text(LEFT + wide + 36, (top + bottom) / 2 + 4, f"{telling.metres(plan.slope_m)} m")
    drawing.y = bottom + 46
    for line in _measures(telling, plan, wind):
        drawing.below(line)


def _zone(drawing: _Drawing, part: Part, array: Part, bottom: float, scale: float) -> None:
    """A zone with its letter in the largest piece that the array leaves of it."""
    x, y = LEFT + part.x0 * scale, bottom - part.y1 * scale
    wide, high = (part.x1 - part.x0) * scale, (part.y1 - part.y0) * scale
    drawing.box(x, y, wide, high, "stroke-width='1'")
    x0, x1, y0, y1 = max(_pieces(part, array), key=lambda p: (p[1] - p[0]) * (p[3] - p[2]))
    size = SIZE if min(x1 - x0, y1 - y0) * scale >= SMALL else TINY
    x, y = LEFT + (x0 + x1) / 2 * scale, bottom - (y0 + y1) / 2 * scale
    drawing.text(x, y + size / 3, part.name, bold=True, anchor="middle", size=size)


def _pieces(part: Part, array: Part) -> Iterator[tuple[float, float, float, float]]:
    """The zone cut along the edges of the array, the pieces inside it left out where it can be."""
    xs = sorted({part.x0, part.x1, *(x for x in (array.x0, array.x1) if part.x0 < x < part.x1)})
    ys = sorted({part.y0, part.y1, *(y for y in (array.y0, array.y1) if part.y0 < y < part.y1)})
    pieces = [(*x, *y) for x in pairwise(xs) for y in pairwise(ys)]
    outside = [p for p in pieces if not _inside(p, array)]
    yield from outside or pieces


def _inside(piece: tuple[float, float, float, float], array: Part) -> bool:
    x0, x1, y0, y1 = piece
    return array.x0 <= x0 and x1 <= array.x1 and array.y0 <= y0 and y1 <= array.y1


def _arrows(drawing: _Drawing, wind: str, top: float, bottom: float, wide: float) -> None:
    """Three arrows from where the wind blows."""
    for share in (0.25, 0.5, 0.75):
        x, y = LEFT + wide * (share + 0.15), top + (bottom - top) * share
        place, ways = {
            "onto the eave": ((x, bottom + 4), (0, -1)),
            "from behind": ((x, top - 4), (0, 1)),
            "onto the left end": ((LEFT - 4, y), (1, 0)),
            "onto the right end": ((LEFT + wide + 4, y), (-1, 0)),
        }[wind]
        drawing.arrow(*place, *ways)


def _measures(telling: LoadsTelling, plan: Plan, wind: str) -> Iterator[str]:
    for part in plan.zones[wind]:
        places = {k: telling.metres(getattr(part, k)) for k in ("x0", "x1", "y0", "y1")}
        yield telling.say("loads.plan.zone", zone=part.name, **places)
    if not plan.exact:
        yield telling.say("loads.plan.middle")
