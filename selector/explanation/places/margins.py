"""What stands around the plan of a roof: names of seams, heights of rails, dimensions.

Each function draws and hands back what it left out, in words.
"""

import itertools

from selector.explanation.places.drawing import (
    FINE,
    TEXT,
    THIN,
    Drawing,
    Rect,
    Words,
    short,
    wide_of,
)
from selector.explanation.places.frame import Frame, spread
from selector.explanation.places.wording import mm_text
from selector.explanation.texts import Texts
from selector.layout.model import Placed, Rail, Row, Seam

STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
APART = TEXT * 1.15  # between two labels, line to line
ROW = 2 * TEXT  # of a dimension
MOST_OVER = 30.0  # mm that the labels of rails may reach beyond the plane


def seam_names(drawing: Drawing, frame: Frame, placed: Placed, texts: Texts) -> list[str]:
    """Names above the ridge, every one or every second, fifth, tenth."""
    seams = placed.roof.seams
    y = frame.plane.y0 - 0.8 * TEXT
    for step in STEPS:
        named = [_seam_name(frame, seam, y) for seam in seams[::step]]
        rooms = [w.room for w in named]
        if all(a.x1 + 0.8 < b.x0 for a, b in itertools.pairwise(rooms)):
            break
    else:
        named, step = [], 0
    for words, seam in zip(named, seams[::step] if step else (), strict=True):
        x = frame.x(seam.x)
        drawing.line(x, frame.plane.y0, x, y + 0.3, THIN)
        drawing.text(words, data={"name": seam.id})
    if step == 1 or not seams:
        return []
    return [texts.say("drawing.left_out.seams", n=step, first=seams[0].id, last=seams[-1].id)]


def _seam_name(frame: Frame, seam: Seam, y: float) -> Words:
    return Words(frame.x(seam.x), y, short(seam.id, 8), anchor="middle")


def label_overhang(rails: int, high: float) -> float:
    """How far the labels of so many rails reach beyond a plane of this height, on either side."""
    return min(MOST_OVER, max(0.0, (rails * APART - high) / 2))


def heights(drawing: Drawing, frame: Frame, placed: Placed, texts: Texts) -> list[str]:
    """Name and height of each rail at the left margin, pulled apart where they lie close."""
    plane = frame.plane
    rails = placed.rails
    over = label_overhang(len(rails), plane.y1 - plane.y0)
    low, high = plane.y0 - over, plane.y1 + over
    if not rails:
        return []
    for step in STEPS:
        shown = [rail for n, rail in enumerate(rails) if n % step == 0]
        places = {rail.id: frame.y(rail.y) for rail in shown}
        try:
            found = spread(places, APART, low, high)
        except ValueError:
            continue
        break
    for rail in shown:
        _height(drawing, frame, rail, found[rail.id], texts)
    if step == 1:
        return []
    return [texts.say("drawing.left_out.rails", n=step, all=len(rails))]


def _height(drawing: Drawing, frame: Frame, rail: Rail, label: float, texts: Texts) -> None:
    """A label, its leader to the edge of the plane, and on to the rail."""
    y, edge = frame.y(rail.y), frame.plane.x0
    start = min((frame.x(piece.x0) for piece in rail.pieces), default=edge)
    elbow = edge - 6
    named = {"height": rail.id, "y": rail.y}
    drawing.line(elbow, label, edge - 4.2, y, FINE)
    drawing.line(edge - 4.2, y, start, y, FINE, dash="0.5 0.7", data=named)
    text = mm_text(rail.y, texts)
    base = label + TEXT * 0.35
    figure = Words(elbow - 0.8, base, text, bold=True, anchor="end")
    drawing.text(figure, data=named)
    left = figure.room.x0 - 1
    name = short(rail.id, 8)
    if wide_of(name) < left:
        drawing.text(Words(left, base, name, anchor="end"))


def bottom(drawing: Drawing, frame: Frame, placed: Placed, texts: Texts) -> list[str]:
    """Below the eave: first clamp seam, the modules, and the eave, each on a line of its own."""
    plane, say = frame.plane, texts.say
    y = plane.y1 + TEXT + 2
    left = min(x for x, _ in placed.roof.outline)
    right = max(x for x, _ in placed.roof.outline)
    left_out: list[str] = []
    lines: list[tuple[str, int, int, str]] = []
    clamps = sorted(placed.clamps, key=lambda c: (c.x, c.y))
    if clamps:
        lines.append(("first_seam", left, clamps[0].x, short(clamps[0].seam)))
    boxes = [row.box for row in placed.rows if row.modules]
    if boxes:
        x0, x1 = min(b.x0 for b in boxes), max(b.x1 for b in boxes)
        lines += [("from_left", left, x0, ""), ("modules", x0, x1, "")]
    lines.append(("eave", left, right, ""))
    for name, x0, x1, seam in lines:
        y += ROW
        text = say(f"drawing.dim.{name}", mm=mm_text(x1 - x0, texts), seam=seam)
        for x in (x0, x1):
            drawing.line(frame.x(x), plane.y1 + TEXT + 3, frame.x(x), y + 1, FINE)
        where = {"dim": name, "x0": x0, "x1": x1}
        if not drawing.across(frame.x(x0), frame.x(x1), y, text, where):
            left_out.append(text)
    labels = label_overhang(len(placed.rails), plane.y1 - plane.y0)
    drawing.y = max(y + TEXT, plane.y1 + labels + TEXT)
    return left_out


def right(drawing: Drawing, frame: Frame, placed: Placed, pitch: str, texts: Texts) -> list[str]:
    """Right of the verge: which way it falls, first row over the eave, pitch of rows, slope."""
    plane, say = frame.plane, texts.say
    left_out: list[str] = []
    x = plane.x1 + 3
    _fall(drawing, frame, pitch, texts)
    low = min(y for _, y in placed.roof.outline)
    high = max(y for _, y in placed.roof.outline)
    columns: list[list[tuple[str, int, int, str]]] = []
    rows = sorted((row for row in placed.rows if row.modules), key=lambda row: row.box.y0)
    if rows:
        first = rows[0].box.y0
        columns.append(
            [("first_row", low, first, mm_text(first - low, texts)), *_pitch(rows, texts)]
        )
    columns.append([("slope", low, high, mm_text(high - low, texts))])
    for n, column in enumerate(columns):
        at = x + 6.5 + n * 7.5
        for name, y0, y1, text in column:
            for y in (y0, y1):
                drawing.line(plane.x1 + 1, frame.y(y), at + 1, frame.y(y), FINE)
            where = {"dim": name, "y0": y0, "y1": y1}
            if not drawing.up(at, frame.y(y0), frame.y(y1), text, where):
                left_out.append(say(f"drawing.dim.{name}", mm=text))
    return left_out


def _pitch(rows: list[Row], texts: Texts) -> list[tuple[str, int, int, str]]:
    """From row to row; all alike are one dimension."""
    lows = [row.box.y0 for row in rows]
    steps = [b - a for a, b in itertools.pairwise(lows)]
    if len(set(steps)) != 1:
        pairs = itertools.pairwise(lows)
        return [("rows", a, b, mm_text(b - a, texts)) for a, b in pairs]
    one, whole = mm_text(steps[0], texts), mm_text(lows[-1] - lows[0], texts)
    text = one if len(steps) == 1 else f"{len(steps)} × {one} = {whole}"
    return [("rows", lows[0], lows[-1], text)]


def _fall(drawing: Drawing, frame: Frame, pitch: str, texts: Texts) -> None:
    """An arrow that points down the slope, and the pitch where it is known."""
    plane = frame.plane
    x, end = plane.x1 + 3, plane.y1
    start = max(plane.y0, end - 30)
    drawing.line(x, start, x, end, 0.5, data={"falls": "to the eave"})
    drawing.arrow(x, end, 0, 1, 2.6)
    drawing.taken.append(Rect(x - 1, start, x + 1, end))
    text = pitch or texts.say("drawing.plan.pitch_open")
    tries = [Words(x + TEXT / 3, start - 2, text, turned=True)]
    tries += [Words(x + TEXT / 3, end + 2, text, turned=True, anchor="end")]
    drawing.place(tries, Rect(0, 0, drawing.wide, 1e9))
