"""A stack in section across the seam: board, clip, pan, seam, clamp, rail, module; not to scale.

The seam is our drawing of its shape. Each thing has a leader to its name; metals that touch
and the gap below the modules are said in words.
"""

import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from selector.explanation.places.drawing import (
    FINE,
    HEAD,
    PLAIN,
    TEXT,
    THIN,
    Drawing,
    Rect,
    Words,
    lines_of,
)
from selector.explanation.texts import Texts

MIDDLE, WIDE = 50.0, 100.0  # mm: the axis of the seam, and how far the picture reaches
NAMES = 108.0  # mm from the left where the names start
SCALE = 0.24  # mm of paper for a unit of a seam drawing
DECK, RAIL, PIECE, FRAME = 9.0, 8.0, 6.0, 15.0  # heights in mm
GRIPPED = 0.6  # of the height of a seam, from its top, is between the jaws
WEB = 45  # units of a seam drawing: wider below its head, it hides no clip
JAW, ROOM = 8.0, 1.4  # width of a jaw, and what is left open around the seam
_SVG = "{http://www.w3.org/2000/svg}"
_STEP = re.compile(r"([MLQHVAZ])([^MLQHVAZ]*)")
FLAT = ("trapezoidal",)  # what holds these stands on the crest, and the sheet itself is screwed


@dataclass(frozen=True)
class Piece:
    """One filled slot: what it is called, its part, and what its catalogue says."""

    slot: str
    name: str
    text: str = ""


@dataclass(frozen=True)
class Section:
    """What is drawn: a seam shape with its drawing (None: the shape is not known) and a stack."""

    stack: str
    shape: str | None
    svg: str | None
    pieces: tuple[Piece, ...]  # from the seam up, in any order
    deck: str = ""
    clip: str = ""
    sheet: str = ""
    screw: str = ""
    gap: str = ""
    contacts: tuple[str, ...] = ()
    demo: tuple[str, ...] = ()

    def of(self, *slots: str) -> tuple[Piece, ...]:
        """Pieces in these slots."""
        return tuple(piece for piece in self.pieces if piece.slot in slots)


@dataclass
class _Bench:
    """The drawing while it grows upwards from the pan, and what is to be named where."""

    drawing: Drawing
    pan: float  # height of the pan on the paper
    top: float  # of what has been drawn so far
    leaders: list[tuple[float, float, str, str]] = field(default_factory=list)

    def name(self, x: float, y: float, head: str, text: str = "") -> None:
        """A thing to be named, with the place that its leader points to."""
        self.leaders.append((x, y, head, text))

    def up(self, high: float) -> Rect:
        """The next layer, as wide as a seat."""
        rect = Rect(MIDDLE - 7, self.top - high, MIDDLE + 7, self.top)
        self.top -= high
        return rect


def section_svg(section: Section, texts: Texts, name: str = "section") -> str:
    """The whole section as text of an SVG file; `name` starts the ids in it."""
    say, drawing = texts.say, Drawing(name)
    title = say("drawing.section.title", stack=section.stack)
    drawing.below(title, size=HEAD, bold=True)
    if section.demo:
        drawing.below(say("drawing.demo", names=", ".join(section.demo)), bold=True)
    drawing.below(say("drawing.section.scale"))
    paths = tuple(_paths(section.svg)) if section.svg else ()
    seam = _bounds(paths)
    start = drawing.y + 4
    bench = _Bench(drawing, start + _high(section, seam), 0.0)
    bench.top = bench.pan - (seam.y1 - seam.y0) * SCALE
    _deck(bench, section, _has_web(paths, seam), texts)
    _clamp(bench, section, seam, texts)
    _seam(bench, paths, seam)
    _above(bench, section, texts)
    bottom = _named(bench, start)
    drawing.y = max(bench.pan + DECK + 4, bottom)
    drawing.y += TEXT
    if section.shape is None:
        drawing.below(say("drawing.section.no_shape"), bold=True)
    for line in section.contacts:
        drawing.below(line)
    desc = ", ".join(_slot(piece, texts) for piece in section.pieces)
    return drawing.file(title, say("drawing.section.desc", parts=desc))


# --- the seam ------------------------------------------------------------------------------


def _paths(svg: str) -> Iterator[tuple[str, str, float]]:
    """Outlines of the sheets in a seam drawing: path, colour, width; dimensions left out."""
    for path in ElementTree.fromstring(svg).iter(f"{_SVG}path"):
        wide = float(path.get("stroke-width", "1"))
        if path.get("fill") == "none" and wide >= 3:
            yield path.get("d", ""), path.get("stroke", "black"), wide


def _points(d: str) -> Iterator[tuple[float, float]]:
    """Places along a path of absolute commands: ends, bends, and what lies on straight lines."""
    x = y = 0.0
    for command, rest in _STEP.findall(d):
        numbers = [float(n) for n in re.findall(r"-?[0-9.]+", rest)]
        if command in "HV":
            ends = [(n, y) if command == "H" else (x, n) for n in numbers]
        elif command == "A":
            ends = [(numbers[i + 5], numbers[i + 6]) for i in range(0, len(numbers), 7)]
            yield from _round((x, y), numbers)
        else:
            ends = list(zip(numbers[::2], numbers[1::2], strict=True))
        for end in ends:
            steps = 12 if command in "LHV" else 1
            for n in range(1, steps + 1):
                yield x + (end[0] - x) * n / steps, y + (end[1] - y) * n / steps
            x, y = end


def _round(start: tuple[float, float], arc: list[float]) -> Iterator[tuple[float, float]]:
    """The four outermost places of the circle of a large arc."""
    r, large, sweep, end = arc[0], arc[3], arc[4], (arc[5], arc[6])
    if not large:
        return
    dx, dy = (end[0] - start[0]) / 2, (end[1] - start[1]) / 2
    half = math.hypot(dx, dy)
    off = math.sqrt(max(0.0, r * r - half * half)) / (half or 1.0)
    sign = -1 if sweep else 1
    x, y = start[0] + dx - sign * off * dy, start[1] + dy + sign * off * dx
    yield from ((x - r, y), (x + r, y), (x, y - r), (x, y + r))


def _bounds(paths: tuple[tuple[str, str, float], ...]) -> Rect:
    """The head of the seam down to its pan, in units of its drawing; a bare one without drawing."""
    points = [p for d, _, _ in paths for p in _points(d)]
    if not points:
        return Rect(170, 90, 190, 206)
    pan, top = max(y for _, y in points), min(y for _, y in points)
    xs = [x for x, y in points if y <= top + GRIPPED * (pan - top)]
    return Rect(min(xs), top, max(xs), pan)


def _has_web(paths: tuple[tuple[str, str, float], ...], seam: Rect) -> bool:
    """Whether the sheets stand close together below the head, so that a clip is hidden there."""
    low = seam.y1 - 0.3 * (seam.y1 - seam.y0)
    xs = [x for d, _, _ in paths for x, y in _points(d) if low - 14 <= y <= low + 14]
    return bool(xs) and max(xs) - min(xs) < WEB


def _seam(bench: _Bench, paths: tuple[tuple[str, str, float], ...], seam: Rect) -> None:
    """The sheets as their drawing has them, the seam on the axis."""
    left = MIDDLE - (seam.x0 + seam.x1) / 2 * SCALE
    move = f"translate({left:.3f} {bench.pan - seam.y1 * SCALE:.3f}) scale({SCALE})"
    for d, colour, wide in paths:
        look = {"fill": "none", "stroke": colour, "stroke_width": wide}
        bench.drawing.element("path", None, d=d, transform=move, stroke_linejoin="round", **look)
    if not paths:
        bench.drawing.line(2, bench.pan, WIDE - 2, bench.pan, PLAIN)
        box = Rect(MIDDLE - 3, bench.top, MIDDLE + 3, bench.pan)
        bench.drawing.box(box, PLAIN, dash="2 1")


def _deck(bench: _Bench, section: Section, web: bool, texts: Texts) -> None:
    """Board with its clip and nail, or the screw of a sheet that is screwed down."""
    drawing, pan = bench.drawing, bench.pan
    board = Rect(2, pan + 1.6, WIDE - 2, pan + 1.6 + DECK)
    drawing.box(board, PLAIN)
    for n in range(1, 4):
        y = board.y0 + n * DECK / 4
        drawing.line(board.x0 + 3, y, board.x1 - 3, y, FINE, dash="9 3 4 2")
    say = texts.say
    bench.name(WIDE - 8, pan, say("drawing.section.pan"), section.sheet)
    bench.name(WIDE - 8, board.y1 - 2, say("drawing.section.deck"), section.deck)
    x = MIDDLE + 30
    if section.shape in FLAT:
        drawing.line(x, pan - 1.5, x, board.y1 - 2, 0.7)
        drawing.line(x - 1.6, pan - 1.5, x + 1.6, pan - 1.5, 0.9)
        bench.name(x, pan - 1.5, say("drawing.section.sheet_screw"))
        return
    foot, start = pan + 1.0, MIDDLE + 1 if web else MIDDLE + 10
    drawing.line(start, foot, x - 8, foot, 0.6, dash="1.6 0.7")
    if web:
        drawing.line(start, foot, start, bench.top + 9, 0.6, dash="1.6 0.7")
    nail = x - 12
    drawing.line(nail, foot - 0.3, nail, board.y1 - 1.5, 0.6)
    drawing.line(nail - 1.4, foot - 0.3, nail + 1.4, foot - 0.3, 0.9)
    bench.name(
        nail,
        board.y0 + 2,
        say(f"drawing.section.clip.{'hidden' if web else 'below'}"),
        section.clip,
    )


# --- the stack -----------------------------------------------------------------------------


def _clamp(bench: _Bench, section: Section, seam: Rect, texts: Texts) -> None:
    """Two jaws and a bridge around the seam, with screw, insert and inlay where there are any."""
    drawing = bench.drawing
    half = (seam.x1 - seam.x0) * SCALE / 2 + ROOM
    top, high = bench.top, bench.pan - bench.top
    piece = next(iter(section.of("clamp")), None)
    if piece is None:
        return
    if section.shape in FLAT:
        _foot(bench, section, piece, half, texts)
        return
    low = top + GRIPPED * high
    left = Rect(MIDDLE - half - JAW, top - 5, MIDDLE - half, low)
    right = Rect(MIDDLE + half, top - 5, MIDDLE + half + JAW, low)
    bridge = Rect(left.x1, top - 5, right.x0, top - ROOM)
    for rect in (left, right, bridge):
        drawing.hatch(rect, 2.2, FINE)
    xs, ys = (left.x0, left.x1, right.x0, right.x1), (left.y0, bridge.y1, low)
    drawing.polygon(
        [
            *((xs[0], ys[0]), (xs[3], ys[0]), (xs[3], ys[2]), (xs[2], ys[2])),
            *((xs[2], ys[1]), (xs[1], ys[1]), (xs[1], ys[2]), (xs[0], ys[2])),
        ],
        0.5,
    )
    y = top + 0.3 * high
    shaft = Rect(right.x0 - ROOM * 0.7, y - 1.3, right.x1 + 5, y + 1.3)
    drawing.box(shaft, PLAIN, fill="white")
    drawing.box(Rect(shaft.x1, y - 2.4, shaft.x1 + 2.4, y + 2.4), PLAIN, fill="white")
    bench.name(right.x1 - 2, left.y0 + 3, _slot(piece, texts), piece.text)
    bench.name(shaft.x1 + 1.2, y, texts.say("drawing.section.screw"), section.screw)
    for slot in section.of("insert"):
        rect = Rect(left.x1, y - 4, left.x1 + ROOM * 0.75, low - 1)
        drawing.box(rect, THIN, fill="white")
        drawing.hatch(rect, 0.8, THIN)
        bench.name(rect.x0 + 0.3, low - 2, _slot(slot, texts), slot.text)
    for slot in section.of("inlay"):
        x0, x1, y0 = left.x1 + 0.4, right.x0 - 0.4, bridge.y1 + 0.4
        for line in ((x0, low, x0, y0), (x0, y0, x1, y0), (x1, y0, x1, low)):
            drawing.line(*line, 0.8)
        bench.name(x1, low - 0.5, _slot(slot, texts), slot.text)
    bench.top = left.y0


def _foot(bench: _Bench, section: Section, piece: Piece, half: float, texts: Texts) -> None:
    """A foot on the crest of a rib, screwed to it on both sides."""
    drawing, top = bench.drawing, bench.top
    half = min(half, 16.0)
    rect = Rect(MIDDLE - half, top - 6.5, MIDDLE + half, top - 1.6)
    drawing.hatch(rect, 2.2, FINE)
    drawing.box(rect, 0.5)
    for slot in section.of("inlay"):
        drawing.line(rect.x0, top - 1.2, rect.x1, top - 1.2, 0.8)
        bench.name(rect.x1 - 2, top - 1.2, _slot(slot, texts), slot.text)
    for x in (rect.x0 + 3, rect.x1 - 3):
        drawing.line(x, rect.y0 - 1, x, top + 6, 0.7)
        drawing.line(x - 1.8, rect.y0 - 1, x + 1.8, rect.y0 - 1, 1.0)
    bench.name(rect.x1 - 1, rect.y0 + 2, _slot(piece, texts), piece.text)
    bench.name(rect.x1 - 3, top + 5, texts.say("drawing.section.screw"), section.screw)
    bench.top = rect.y0 - 1.5


def _slot(piece: Piece, texts: Texts) -> str:
    return texts.say(
        "drawing.section.part", slot=texts.say(f"drawing.slot.{piece.slot}"), name=piece.name
    )


def _above(bench: _Bench, section: Section, texts: Texts) -> None:
    """Adapters, bolts, rail, what stands on it, and the modules."""
    for piece in section.of("adapter"):
        _block(bench, bench.up(PIECE), piece, texts)
    for piece in section.of("bolts"):
        x, y = MIDDLE + 5, bench.top
        bench.drawing.line(x, y - RAIL / 2, x, y + 4, 1.0)
        bench.drawing.line(x - 2, y - RAIL / 2, x + 2, y - RAIL / 2, 1.2)
        bench.name(x + 1, y + 1, _slot(piece, texts), piece.text)
    for piece in section.of("rail"):
        _lengthwise(bench, piece, texts)
    for piece in section.of("cross"):
        _block(bench, bench.up(PIECE), piece, texts)
    for piece in section.of("upper_rail"):
        _block(bench, bench.up(RAIL), piece, texts)
    for piece in section.of("frame"):
        rect = bench.up(FRAME)
        bench.drawing.line(rect.x0, rect.y1, rect.x1, rect.y0, 0.9)
        bench.drawing.line(rect.x1, rect.y1, rect.x1, rect.y0, 0.9)
        bench.name(rect.x1, (rect.y0 + rect.y1) / 2, _slot(piece, texts), piece.text)
    _modules(bench, section, texts)


def _block(bench: _Bench, rect: Rect, piece: Piece, texts: Texts) -> None:
    bench.drawing.box(rect, 0.5, fill="white")
    bench.drawing.hatch(rect, 2.2, FINE)
    bench.name(rect.x1 - 1, (rect.y0 + rect.y1) / 2, _slot(piece, texts), piece.text)


def _lengthwise(bench: _Bench, piece: Piece, texts: Texts) -> None:
    """A rail that runs across the seam, broken off at both ends."""
    y0, y1 = bench.top - RAIL, bench.top
    for y in (y0, y0 + 2, y1):
        bench.drawing.line(12, y, WIDE - 4, y, 0.5 if y != y0 + 2 else FINE)
    for x in (12.0, WIDE - 4):
        ends = ((x, y0), (x + 1.5, y0 + RAIL / 3), (x - 1.5, y0 + 2 * RAIL / 3), (x, y1))
        for (xa, ya), (xb, yb) in itertools.pairwise(ends):
            bench.drawing.line(xa, ya, xb, yb, THIN)
    bench.name(WIDE - 8, y1 - 2, _slot(piece, texts), piece.text)
    bench.top = y0


def _modules(bench: _Bench, section: Section, texts: Texts) -> None:
    """The frames of two modules side by side, the clamp between them, the gap below."""
    drawing, y1 = bench.drawing, bench.top
    y0 = y1 - FRAME
    for outer, inner, way in ((14.0, MIDDLE - 3, -1), (WIDE - 6, MIDDLE + 3, 1)):
        drawing.box(Rect(min(outer, inner), y0, max(outer, inner), y0 + 2.2), THIN, fill="white")
        drawing.line(inner, y0 - 0.3, inner, y1, 0.9)
        drawing.line(inner, y1 - 0.4, inner + way * 11, y1 - 0.4, 0.9)
        drawing.line(inner, y0 + 2.6, inner + way * 4, y0 + 2.6, 0.6)
    for piece in section.of("module"):
        bench.name(WIDE - 10, y0 + 1, _slot(piece, texts), piece.text)
    for piece in section.of("module_clamp"):
        drawing.line(MIDDLE - 6, y0 - 1.2, MIDDLE + 6, y0 - 1.2, 1.6)
        drawing.line(MIDDLE, y0 - 3, MIDDLE, y1 + 4, 0.9)
        drawing.line(MIDDLE - 2, y0 - 3, MIDDLE + 2, y0 - 3, 1.4)
        bench.name(MIDDLE + 5, y0 - 1.2, _slot(piece, texts), piece.text)
    gap = section.gap or texts.say("drawing.section.gap_open")
    if not drawing.up(7, bench.pan, y1, gap):
        bench.name(7, y1, gap)
    for y in (bench.pan, y1):
        drawing.line(6, y, 14, y, FINE)
    bench.top = y0 - 4


def _high(section: Section, seam: Rect) -> float:
    """Height of everything above the pan."""
    high = (seam.y1 - seam.y0) * SCALE + 9 + FRAME
    for slot, each in (
        ("adapter", PIECE),
        ("rail", RAIL),
        ("cross", PIECE),
        ("upper_rail", RAIL),
        ("frame", FRAME),
    ):
        high += each * len(section.of(slot))
    return high + 2


def _named(bench: _Bench, start: float) -> float:
    """Names beside the picture from the top, none over another; where they end."""
    drawing, wide = bench.drawing, bench.drawing.wide - NAMES
    y = start
    for x, at, head, text in sorted(bench.leaders, key=lambda leader: (leader[1], -leader[0])):
        lines = [(line, True) for line in lines_of(head, wide, bold=True)]
        lines += [(line, False) for line in lines_of(text, wide) if line]
        y = max(y, at - TEXT)
        drawing.dot(x, at, 0.5)
        drawing.line(x, at, WIDE + 2, y + TEXT * 0.7, FINE)
        drawing.line(WIDE + 2, y + TEXT * 0.7, NAMES - 1, y + TEXT * 0.7, FINE)
        for line, bold in lines:
            y += TEXT * 1.25
            drawing.text(Words(NAMES, y - TEXT * 0.2, line, bold=bold))
        y += TEXT * 0.6
    return y
