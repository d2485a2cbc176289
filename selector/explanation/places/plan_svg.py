"""The roof plan of a laid-out array, to scale, as a roofer marks it: heights from the eave.

Seen from outside with the ridge up, so that left is left. Every element that carries a
dimension has it in micrometres as `data-` attributes; what is drawn, times the scale, is the
same figure to a ten-thousandth of a millimetre of paper. No text covers another.
"""

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from selector.explanation.places.drawing import (
    FINE,
    HEAD,
    PAGE,
    PLAIN,
    TEXT,
    THICK,
    THIN,
    Drawing,
    Rect,
    Words,
    short,
    wide_of,
)
from selector.explanation.places.frame import (
    Frame,
    extent,
    scale_for,
    worst_zones,
    zone_edges,
)
from selector.explanation.places.margins import (
    bottom,
    heights,
    label_overhang,
    right,
    seam_names,
)
from selector.explanation.places.wording import MOST, listed_below, mm_text
from selector.explanation.texts import Texts
from selector.layout.model import Box, Keep, Margin, Placed

LEFT, RIGHT = 29.5, 18.5  # mm of paper for heights, and for pitch, rows and slope
HIGHEST = 150.0  # mm that the plane itself may take of a page
SHARES = (0.5, 0.2, 0.8, 0.35, 0.65, 0.08, 0.92)  # where in a cell its letter is tried
LEAST_MARKS = 1.6  # mm of paper between seams below which clip marks are left out
DASHES = {"zone": "2 0.8 0.4 0.8", "divide": "4 1", "margin": "0.8 0.8"}


@dataclass(frozen=True)
class Mark:
    """Something that is wrong, and where."""

    text: str
    box: Box


@dataclass(frozen=True)
class Plan:
    """What is drawn: a layout, clip marks by seam, faults; `pitch` and `demo` as they are said."""

    placed: Placed
    clips: Mapping[str, Sequence[int]]
    marked: tuple[Mark, ...] = ()
    pitch: str = ""
    demo: tuple[str, ...] = ()


def plan_svg(plan: Plan, texts: Texts, name: str = "plan") -> str:
    """The whole plan as text of an SVG file; `name` starts the ids in it."""
    placed, say = plan.placed, texts.say
    box = extent(placed, (mark.box for mark in plan.marked))
    scale = scale_for(box, PAGE - LEFT - RIGHT, HIGHEST)
    drawing = Drawing(name)
    title = say("drawing.plan.title", array=placed.array, plane=placed.roof.plane, job=placed.job)
    drawing.below(title, size=HEAD, bold=True)
    if plan.demo:
        drawing.below(say("drawing.demo", names=", ".join(plan.demo)), bold=True)
    drawing.below(say("drawing.plan.scale", scale=scale))
    drawing.y += 2 * TEXT
    high = (box.y1 - box.y0) / 1000 / scale
    over = label_overhang(len(placed.rails), high)
    frame = Frame(scale, box, LEFT, drawing.y + max(3 * TEXT, over) + high)
    left_out = _body(drawing, frame, plan, texts)
    left_out += seam_names(drawing, frame, placed, texts)
    left_out += heights(drawing, frame, placed, texts)
    _edges(drawing, frame, plan, texts)
    left_out += right(drawing, frame, plan.placed, plan.pitch, texts)
    left_out += bottom(drawing, frame, placed, texts)
    left_out += _letters(drawing, frame, placed, texts)
    _names(drawing, frame, placed)
    _legend(drawing, plan, texts)
    for text in (*listed_below(placed, texts), *left_out):
        drawing.below(text)
    for number, mark in enumerate(plan.marked[:MOST], 1):
        drawing.below(say("drawing.mark", n=number, text=mark.text), bold=True)
    if len(plan.marked) > MOST:
        drawing.below(say("drawing.left_out.marks", n=len(plan.marked) - MOST), bold=True)
    desc = say(
        "drawing.plan.desc",
        rows=len(placed.rows),
        modules=sum(len(row.modules) for row in placed.rows),
        rails=len(placed.rails),
        clamps=len(list(placed.clamps)),
    )
    data = {"scale": scale, "left": LEFT, "bottom": frame.bottom, "x0": box.x0, "y0": box.y0}
    return drawing.file(title, desc, data)


# --- the plane -------------------------------------------------------------------------------


def _body(drawing: Drawing, frame: Frame, plan: Plan, texts: Texts) -> list[str]:
    """Everything on the plane but its names; what is left out at this scale, in words."""
    roof = plan.placed.roof
    for (x0, y0), (x1, y1) in zone_edges(worst_zones(roof.zones)):
        ends = frame.x(x0), frame.y(y0), frame.x(x1), frame.y(y1)
        drawing.line(*ends, THIN, dash=DASHES["zone"])
    for keep in roof.keeps:
        rect = frame.rect(keep.box)
        drawing.hatch(rect, 1.6 if min(rect.x1 - rect.x0, rect.y1 - rect.y0) > 3 else 0.8)
        drawing.box(rect, PLAIN, data={"keep": keep.id, **_data(keep.box)})
    for margin in roof.margins:
        _margin(drawing, frame, margin)
    for divide in roof.divides:
        x0, x1, y0, y1 = _across(frame.extent, divide.up_the_slope, divide.at)
        ends = frame.x(x0), frame.y(y0), frame.x(x1), frame.y(y1)
        named = {"divide": divide.id, "at": divide.at}
        drawing.line(*ends, PLAIN, dash=DASHES["divide"], data=named)
    for row in plan.placed.rows:
        for number, module in enumerate(row.modules, 1):
            named = {"row": row.number, "module": number, **_data(module)}
            drawing.box(frame.rect(module), THIN, data=named)
    left_out = _seams(drawing, frame, plan, texts)
    _rails(drawing, frame, plan.placed)
    points = [(frame.x(x), frame.y(y)) for x, y in roof.outline]
    drawing.polygon(points, THICK, data={"outline": _points(roof.outline)})
    for n, mark in enumerate(plan.marked[:MOST], 1):
        _marked(drawing, frame.rect(mark.box), n, mark.box)
    return left_out


def _margin(drawing: Drawing, frame: Frame, margin: Margin) -> None:
    """A line inside each edge that the modules keep away from; the plane lies left of its edges."""
    for (ax, ay), (bx, by) in margin.edges:
        long = math.hypot(bx - ax, by - ay)
        if not long:
            continue
        dx, dy = -(by - ay) / long * margin.width, (bx - ax) / long * margin.width
        ends = (frame.x(round(ax + dx)), frame.y(round(ay + dy)))
        far = (frame.x(round(bx + dx)), frame.y(round(by + dy)))
        named = {"margin": margin.id, "width": margin.width}
        drawing.line(*ends, *far, THIN, dash=DASHES["margin"], data=named)


def _points(outline: Iterable[tuple[int, int]]) -> str:
    return " ".join(f"{x},{y}" for x, y in outline)


def _data(box: Box) -> dict[str, object]:
    return {"x0": box.x0, "x1": box.x1, "y0": box.y0, "y1": box.y1}


def _across(box: Box, up: bool, at: int) -> tuple[int, int, int, int]:
    return (at, at, box.y0, box.y1) if up else (box.x0, box.x1, at, at)


def _seams(drawing: Drawing, frame: Frame, plan: Plan, texts: Texts) -> list[str]:
    seams = plan.placed.roof.seams
    low, high = (edge(y for _, y in plan.placed.roof.outline) for edge in (min, max))
    nearest = min((b.x - a.x for a, b in itertools.pairwise(seams)), default=10**9)
    wide = FINE if frame.mm(nearest) > LEAST_MARKS else FINE / 2
    for seam in seams:
        x = frame.x(seam.x)
        drawing.line(x, frame.y(low), x, frame.y(high), wide, data={"seam": seam.id, "x": seam.x})
    if not any(plan.clips.values()):
        return []
    if frame.mm(nearest) < LEAST_MARKS:
        marks = sum(map(len, plan.clips.values()))
        return [texts.say("drawing.left_out.clips", n=marks)]
    tick = min(1.0, frame.mm(nearest) / 3)
    for seam in seams:
        for y in plan.clips.get(seam.id, ()):
            at = frame.x(seam.x), frame.y(y)
            named = {"clip": seam.id, "y": y}
            drawing.line(at[0] - tick, at[1], at[0] + tick, at[1], THIN, data=named)
    return []


def _rails(drawing: Drawing, frame: Frame, placed: Placed) -> None:
    """Rail pieces with their splices and joints, and a dot for each clamp."""
    wide = 0.6 if frame.mm(400_000) > 2 else 0.3
    seams = placed.roof.seams
    nearest = min((b.x - a.x for a, b in itertools.pairwise(seams)), default=10**9)
    r = max(0.3, min(0.9, frame.mm(nearest) * 0.35))
    for rail in placed.rails:
        y = frame.y(rail.y)
        for piece in rail.pieces:
            named = {"rail": rail.id, "x0": piece.x0, "x1": piece.x1, "y": rail.y}
            drawing.line(frame.x(piece.x0), y, frame.x(piece.x1), y, wide, data=named)
            at = piece.x0
            for part in piece.parts[:-1]:
                at += part
                x = frame.x(at)
                drawing.line(x, y - 2 * r, x, y + 2 * r, wide, data={"splice": rail.id, "x": at})
        for joint, one, other in zip(rail.joints, rail.pieces, rail.pieces[1:], strict=False):
            _joint(drawing, frame.x(one.x1), frame.x(other.x0), y, 1.2 * r, joint, rail.id)
        for piece in rail.pieces:
            for clamp in piece.clamps:
                x, y = frame.x(clamp.x), frame.y(clamp.y)
                named = {"clamp": rail.id, "seam": clamp.seam, "x": clamp.x, "y": clamp.y}
                drawing.dot(x, y, r, data=named)
                drawing.taken.append(Rect(x - r, y - r, x + r, y + r))


def _joint(
    drawing: Drawing, x0: float, x1: float, y: float, r: float, joint: str, rail: str
) -> None:
    """Rigid: a closed plate; sliding: an open one; a gap: both ends shut, nothing between."""
    middle = (x0 + x1) / 2
    rect = Rect(min(x0, middle - 1.5 * r), y - r, max(x1, middle + 1.5 * r), y + r)
    if joint == "gap":
        for x in (x0, x1):
            drawing.line(x, y - 2 * r, x, y + 2 * r, PLAIN, data={"joint": joint, "of": rail})
        return
    fill = "black" if joint == "rigid" else "white"
    drawing.box(rect, THIN, fill=fill, data={"joint": joint, "of": rail})


def _marked(drawing: Drawing, rect: Rect, number: int, box: Box) -> None:
    """A bold frame, never too small to be seen, and its number beside it."""
    grown = max(0.0, 3 - (rect.x1 - rect.x0)) / 2, max(0.0, 3 - (rect.y1 - rect.y0)) / 2
    rect = Rect(rect.x0 - grown[0], rect.y0 - grown[1], rect.x1 + grown[0], rect.y1 + grown[1])
    drawing.box(rect, 1.0, data={"marked": number, **_data(box)})
    text = str(number)
    tries = [
        Words(x, y, text, bold=True, anchor=anchor)
        for y in (rect.y0 - 1.2, rect.y1 + TEXT, rect.y0 + TEXT)
        for x, anchor in ((rect.x1 + 0.8, "start"), (rect.x0 - 0.8, "end"))
    ]
    if not drawing.place(tries, data={"mark": number}):
        drawing.text(tries[0], halo=True, data={"mark": number})


# --- names -----------------------------------------------------------------------------------


def _edges(drawing: Drawing, frame: Frame, plan: Plan, texts: Texts) -> None:
    """The names of eave and ridge, in the middle of their edges."""
    plane = frame.plane
    middle = (plane.x0 + plane.x1) / 2
    ridge, eave = texts.say("drawing.plan.ridge"), texts.say("drawing.plan.eave")
    drawing.text(Words(middle, plane.y0 - 2 * TEXT, ridge, bold=True, anchor="middle"))
    drawing.text(Words(middle, plane.y1 + TEXT + 1, eave, bold=True, anchor="middle"))


def _letters(drawing: Drawing, frame: Frame, placed: Placed, texts: Texts) -> list[str]:
    """The letter of each zone in every cell of it that has room, beside the modules if it can."""
    busy = [frame.rect(row.box) for row in placed.rows if row.modules]
    busy += [frame.rect(keep.box) for keep in placed.roof.keeps]
    left_out = []
    for box, name in sorted(worst_zones(placed.roof.zones), key=lambda c: -_area(c[0])):
        tries = list(_tries(frame.rect(box), short(name)))
        clear = [w for w in tries if not any(w.room.meets(other) for other in busy)]
        if not drawing.place([*clear, *tries], frame.rect(box), {"zone": name}):
            places = {k: mm_text(getattr(box, k), texts) for k in ("x0", "x1", "y0", "y1")}
            left_out.append(texts.say("drawing.left_out.zone", zone=short(name), **places))
    more = len(left_out) - MOST
    return [*left_out[:MOST], *([texts.say("drawing.left_out.zones", n=more)] if more > 0 else [])]


def _area(box: Box) -> int:
    return (box.x1 - box.x0) * (box.y1 - box.y0)


def _tries(rect: Rect, text: str) -> Iterator[Words]:
    for down in SHARES:
        for along in SHARES:
            x = rect.x0 + along * (rect.x1 - rect.x0)
            y = rect.y0 + down * (rect.y1 - rect.y0) + TEXT * 0.35
            yield Words(x, y, text, bold=True, anchor="middle")


def _names(drawing: Drawing, frame: Frame, placed: Placed) -> None:
    """Names of keep-outs and divides where there is room; all of them are listed below."""
    page = Rect(frame.plane.x0, frame.plane.y0, frame.plane.x1, frame.plane.y1)
    rows = [frame.rect(row.box) for row in placed.rows if row.modules]
    for keep in placed.roof.keeps:
        tries = list(_beside(frame.rect(keep.box), keep))
        clear = [w for w in tries if not any(w.room.meets(row) for row in rows)]
        drawing.place([*clear, *tries], page, {"name": keep.id})
    for divide in placed.roof.divides:
        name = short(divide.id)
        if divide.up_the_slope:
            x = frame.x(divide.at)
            tries = [Words(x - 1.2, page.y1 - 2 - n * 6, name, turned=True) for n in range(20)]
        else:
            y = frame.y(divide.at)
            tries = [Words(page.x0 + 2 + n * 6, y - 1.2, name) for n in range(20)]
        drawing.place(tries, page, {"name": divide.id})


def _beside(rect: Rect, keep: Keep) -> Iterator[Words]:
    name = short(keep.id)
    middle = (rect.x0 + rect.x1) / 2, (rect.y0 + rect.y1) / 2 + TEXT * 0.35
    if wide_of(name) < rect.x1 - rect.x0 and rect.y1 - rect.y0 > TEXT:
        yield Words(*middle, name, anchor="middle")
    yield Words(rect.x1 + 0.8, middle[1], name)
    yield Words(middle[0], rect.y0 - 1.2, name, anchor="middle")
    yield Words(middle[0], rect.y1 + TEXT, name, anchor="middle")
    yield Words(rect.x0 - 0.8, middle[1], name, anchor="end")


# --- below -----------------------------------------------------------------------------------


def _legend(drawing: Drawing, plan: Plan, texts: Texts) -> None:
    """Each sign that the plan uses, once, with its meaning."""
    x, y = 0.0, drawing.y + 2 * TEXT
    for sign in _signs(plan):
        text = texts.say(f"drawing.sign.{sign}")
        wide = 10 + wide_of(text) + 5
        if x and x + wide > drawing.wide:
            x, y = 0.0, y + 2 * TEXT
        _sign(drawing, sign, x, y - TEXT * 0.35)
        drawing.text(Words(x + 10, y, text))
        x += wide
    drawing.y = y + TEXT


def _signs(plan: Plan) -> Iterable[str]:
    placed = plan.placed
    joints = {joint for rail in placed.rails for joint in rail.joints}
    pieces = [piece for rail in placed.rails for piece in rail.pieces]
    there = {
        "module": placed.rows,
        "seam": placed.roof.seams,
        "clip": any(plan.clips.values()),
        "rail": placed.rails,
        "clamp": any(piece.clamps for piece in pieces),
        "splice": any(len(piece.parts) > 1 for piece in pieces),
        "rigid": "rigid" in joints,
        "sliding": "sliding" in joints,
        "gap": "gap" in joints,
        "keep": placed.roof.keeps,
        "margin": placed.roof.margins,
        "divide": placed.roof.divides,
        "zone": placed.roof.zones,
        "marked": plan.marked,
    }
    return [sign for sign, is_there in there.items() if is_there]


def _sign(drawing: Drawing, sign: str, x: float, y: float) -> None:
    """A sample of a sign, 8 mm wide."""
    rect = Rect(x + 1, y - 1.5, x + 7, y + 1.5)
    if sign in ("rail", "clamp", "splice", "rigid", "sliding"):
        drawing.line(x, y, x + 8, y, 0.6)
    if sign == "clamp":
        drawing.dot(x + 4, y, 0.9)
    elif sign == "splice":
        drawing.line(x + 4, y - 1.6, x + 4, y + 1.6, 0.6)
    elif sign in ("rigid", "sliding"):
        _joint(drawing, x + 4, x + 4, y, 1.1, sign, "")
    elif sign == "gap":
        drawing.line(x, y, x + 3, y, 0.6)
        drawing.line(x + 5, y, x + 8, y, 0.6)
        _joint(drawing, x + 3, x + 5, y, 0.8, sign, "")
    elif sign in ("seam", "clip"):
        drawing.line(x + 4, y - 1.6, x + 4, y + 1.6, FINE)
        if sign == "clip":
            drawing.line(x + 3, y, x + 5, y, THIN)
    elif sign == "module":
        drawing.box(rect, THIN)
    elif sign == "keep":
        drawing.hatch(rect)
        drawing.box(rect, PLAIN)
    elif sign == "marked":
        drawing.box(rect, 1.0)
    elif sign in DASHES:
        drawing.line(x, y, x + 8, y, PLAIN if sign == "divide" else THIN, dash=DASHES[sign])
