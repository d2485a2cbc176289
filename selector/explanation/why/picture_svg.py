"""The stack as one SVG: boxes from the roof up; what is broken is dashed, crossed out and named.

No script, no style sheet, nothing fetched; black on white, so that it prints as it is seen.
"""

from dataclasses import dataclass, field
from textwrap import wrap
from xml.sax.saxutils import escape

from selector.explanation.fonts import FONT
from selector.explanation.why.picture_text import (
    box_lines,
    broken_lines,
    edge_lines,
    slot_of,
)
from selector.explanation.why.telling import Telling, listed
from selector.inference.column import Box, Edge

WIDTH, MARGIN = 360, 16
LINE, SIZE = 18, 14  # line height and letters
LETTERS = 40  # a line of text at most, in a box
BESIDE = 34  # the same beside an edge
AT = 40  # where the line between two boxes runs
FAMILY = f"font-family='{FONT}'"


@dataclass
class _Drawing:
    """Elements of the picture, and how far down it reaches."""

    y: int = MARGIN
    elements: list[str] = field(default_factory=list)

    def text(self, x: int, text: str, *, bold: bool = False) -> None:
        weight = " font-weight='bold'" if bold else ""
        self.y += LINE
        look = f"font-size='{SIZE}' {FAMILY}{weight}"
        self.elements.append(f"<text x='{x}' y='{self.y - 5}' {look}>{escape(text)}</text>")


def picture_svg(telling: Telling) -> str:
    """The whole picture as text of an SVG file."""
    column, drawing = telling.why.column, _Drawing()
    for line in wrap(_title(telling), LETTERS):
        drawing.text(MARGIN, line, bold=True)
    if telling.why.answer.invented:
        names = ", ".join(telling.why.answer.invented)
        for line in wrap(telling.say("answer.demo", names=names), LETTERS):
            drawing.text(MARGIN, line)
    drawing.y += 8
    below = {edge.upper: edge for edge in column.edges}
    for box in reversed(column.boxes):
        _box(drawing, telling, box)
        edge = below.get(box.id)
        if edge is not None:
            _edge(drawing, telling, edge)
    height = drawing.y + MARGIN
    size = f"viewBox='0 0 {WIDTH} {height}' width='{WIDTH}' height='{height}'"
    head = f"<svg xmlns='http://www.w3.org/2000/svg' {size} role='img' aria-labelledby='t d'>"
    title = f"<title id='t'>{escape(_title(telling))}</title>"
    desc = f"<desc id='d'>{escape(_description(telling))}</desc>"
    paper = f"<rect width='{WIDTH}' height='{height}' fill='white'/>"
    return "\n".join([head, title, desc, paper, *drawing.elements, "</svg>"]) + "\n"


def _title(telling: Telling) -> str:
    why = telling.why
    word = telling.word(why.word.text)
    return telling.say("why.picture.title", stack=why.option.name, job=telling.job.id, word=word)


def _description(telling: Telling) -> str:
    """The picture in words, for those who do not see it."""
    column, say = telling.why.column, telling.say
    parts = listed(f"{slot_of(telling, b)} {telling.word(b.name)}" for b in column.boxes)
    broken = [f"{slot_of(telling, b)} [{listed(b.broken)}]" for b in column.boxes if b.broken]
    names = {b.id: slot_of(telling, b) for b in column.boxes}
    broken += [
        f"{names[e.lower]} - {names[e.upper]} [{listed(e.broken)}]"
        for e in column.edges
        if e.broken
    ]
    what = say("why.picture.desc_broken", what="; ".join(broken))
    what = what if broken else say("why.picture.desc_whole")
    return say("why.picture.desc", n=len(column.boxes), parts=parts, broken=what)


def _box(drawing: _Drawing, telling: Telling, box: Box) -> None:
    top = drawing.y
    drawing.y += 6
    drawing.text(MARGIN + 10, slot_of(telling, box), bold=True)
    for text in box_lines(telling, box):
        for line in wrap(text, LETTERS):
            drawing.text(MARGIN + 10, line)
    if box.broken:
        for text in broken_lines(telling, box.broken):
            for line in wrap(text, LETTERS - 4):
                drawing.text(MARGIN + 10, line, bold=True)
    drawing.y += 6
    height, wide = drawing.y - top, WIDTH - 2 * MARGIN
    look = "stroke-width='4' stroke-dasharray='9 6'" if box.broken else "stroke-width='2'"
    drawing.elements.append(
        f"<rect x='{MARGIN}' y='{top}' width='{wide}' height='{height}' rx='6' "
        f"fill='none' stroke='black' {look}/>"
    )
    if box.broken:
        _cross(drawing, WIDTH - MARGIN - 22, top + 20)


def _edge(drawing: _Drawing, telling: Telling, edge: Edge) -> None:
    top = drawing.y
    drawing.y += 6
    for n, text in enumerate(edge_lines(telling, edge)):
        for line in wrap(text, BESIDE):
            drawing.text(AT + 26, line, bold=n < len(edge.broken))
    drawing.y += 8
    look = "stroke-width='4' stroke-dasharray='9 6'" if edge.broken else "stroke-width='4'"
    drawing.elements.append(
        f"<line x1='{AT}' y1='{top}' x2='{AT}' y2='{drawing.y}' stroke='black' {look}/>"
    )
    if edge.broken:
        _cross(drawing, AT, (top + drawing.y) // 2)


def _cross(drawing: _Drawing, x: int, y: int) -> None:
    """A cross on white, so that it stands out from a line below it."""
    drawing.elements.append(f"<circle cx='{x}' cy='{y}' r='14' fill='white' stroke='none'/>")
    for slope in (1, -1):
        drawing.elements.append(
            f"<line x1='{x - 10}' y1='{y - 10 * slope}' x2='{x + 10}' y2='{y + 10 * slope}' "
            "stroke='black' stroke-width='5'/>"
        )
