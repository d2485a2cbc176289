"""The rail lines between the clips as one SVG: a strip a seam, one panel a rail line, to scale.

No script, no style sheet, nothing fetched; black on white, so that it prints as it is seen.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from textwrap import wrap
from xml.sax.saxutils import escape

from selector.explanation.clips.telling import MM, ClipTelling, whole
from selector.explanation.fonts import FONT
from selector.layout.clip_forces import borne
from selector.layout.clip_windows import (
    Interval,
    MarkedSeam,
    Window,
    clips,
    dark,
    free,
    last_bays,
    meet,
)
from selector.layout.least_change import Line, Task

WIDTH, EDGE, LEFT, RIGHT = 860, 16, 120, 130
PANEL = 240  # height of what is drawn of a rail line
WIDEST_STRIP, LETTERS, NUMBERED = 72, 104, 14  # from so many seams on, marks have no figure
STEP, SIZE, SMALL = 18, 13, 10
FAMILY = f"font-family='{FONT}'"
HATCHES = (
    "<defs>"
    "<pattern id='near' width='6' height='6' patternUnits='userSpaceOnUse'>"
    "<path d='M-1,1 L1,-1 M0,6 L6,0 M5,7 L7,5' stroke='black' stroke-width='0.6'/></pattern>"
    "<pattern id='dark' width='6' height='6' patternUnits='userSpaceOnUse'>"
    "<path d='M-1,1 L1,-1 M0,6 L6,0 M5,7 L7,5 M-1,5 L1,7 M0,0 L6,6 M5,-1 L7,1'"
    " stroke='black' stroke-width='0.6'/></pattern>"
    "<pattern id='share' width='6' height='5' patternUnits='userSpaceOnUse'>"
    "<path d='M0,2 L6,2' stroke='black' stroke-width='0.6'/></pattern></defs>"
)


@dataclass
class _Paper:
    """Elements of the picture, and how far down it reaches."""

    y: float = EDGE
    elements: list[str] = field(default_factory=lambda: [HATCHES])

    def text(
        self,
        x: float,
        y: float,
        text: str,
        *,
        anchor: str = "start",
        size: int = SIZE,
        bold: bool = False,
    ) -> None:
        weight = " font-weight='bold'" if bold else ""
        place = f"x='{x:.1f}' y='{y:.1f}' text-anchor='{anchor}' font-size='{size}'"
        self.elements.append(f"<text {place} {FAMILY}{weight}>{escape(text)}</text>")

    def below(self, text: str, *, bold: bool = False) -> None:
        """A text below everything drawn so far, in lines."""
        for line in wrap(text, LETTERS):
            self.y += STEP
            self.text(EDGE, self.y - 4, line, bold=bold)

    def line(
        self, ends: tuple[float, float, float, float], wide: float = 1, dash: str = ""
    ) -> None:
        x1, y1, x2, y2 = ends
        place = f"x1='{x1:.1f}' y1='{y1:.1f}' x2='{x2:.1f}' y2='{y2:.1f}'"
        dashes = f" stroke-dasharray='{dash}'" if dash else ""
        self.elements.append(f"<line {place} stroke='black' stroke-width='{wide}'{dashes}/>")

    def box(self, box: tuple[float, float, float, float], fill: str, wide: float = 1) -> None:
        x, y, w, h = box
        place = f"x='{x:.1f}' y='{y:.1f}' width='{w:.1f}' height='{h:.1f}'"
        self.elements.append(f"<rect {place} fill='{fill}' stroke='black' stroke-width='{wide}'/>")


@dataclass(frozen=True)
class _Panel:
    """Where the strips of one rail line stand on the paper."""

    top: float
    view: Window
    strip: float
    many: int

    def at(self, height: int) -> float:
        """How far down a height is drawn."""
        share = (self.view.high - height) / self.view.width
        return self.top + PANEL * min(1.0, max(0.0, share))

    @property
    def right(self) -> float:
        """Where the strips end."""
        return LEFT + self.strip * self.many


def picture(telling: ClipTelling) -> str:
    """The whole picture as text of an SVG file; KeyError where nothing can be drawn."""
    answer, say = telling.answer, telling.say
    task, found, case = answer.case.task, answer.found, answer.case
    if task is None or found is None or not task.seams:
        raise KeyError("task")
    paper = _Paper()
    title = say("clips.picture.title", array=case.array, stack=case.stack, job=case.job)
    paper.below(title, bold=True)
    if case.invented:
        paper.below(say("loads.demo", names="`, `".join(case.invented)))
    word = telling.texts.word(answer.word.text).upper()
    meaning = say(f"clips.word.{telling.kind}")
    paper.below(say("answer.word", word=word, meaning=meaning), bold=True)
    if telling.kind == "moved" and answer.change is not None:
        paper.below(telling.change(answer.change), bold=True)
    paper.below(say("clips.picture.legend"))
    lines = answer.lines or found.lines
    for line in lines:
        _panel(paper, telling, task, line, lines)
    _detail(paper, telling, task, answer.lines)
    paper.below(say("clips.picture.caution"))
    height = paper.y + EDGE
    size = f"viewBox='0 0 {WIDTH} {height:.0f}' width='{WIDTH}' height='{height:.0f}'"
    head = f"<svg xmlns='http://www.w3.org/2000/svg' {size} role='img' aria-labelledby='t'>"
    ground = f"<rect width='{WIDTH}' height='{height:.0f}' fill='white'/>"
    return "\n".join(
        [head, f"<title id='t'>{escape(title)}</title>", ground, *paper.elements, "</svg>\n"]
    )


def _panel(
    paper: _Paper, telling: ClipTelling, task: Task, line: Line, lines: Sequence[Line]
) -> None:
    """The zone of one rail line on every seam, with a little above and below."""
    if not line.zone:
        return
    paper.y += STEP / 2
    paper.below(telling.name(line), bold=True)
    beyond = task.reach.distance + task.reach.slack
    view = Window(line.zone[0].low - beyond, line.zone[-1].high + beyond)
    many = len(task.seams)
    strip = min(WIDEST_STRIP, (WIDTH - LEFT - RIGHT) / many)
    panel = _Panel(paper.y + STEP, view, strip, many)
    sure = bool(telling.answer.lines)
    others = [x.height for x in lines if x is not line and x.height is not None and sure]
    for n, seam in enumerate(task.seams):
        _strip(paper, telling, panel, (n, seam), _blocked(task, seam, panel.view, others))
    for zone in line.zone:
        for at in (zone.low, zone.high):
            y = panel.at(at)
            paper.line((LEFT - 4, y, panel.right + 6, y), 1, "7 3")
            paper.text(LEFT - 50, y + 4, telling.mm(at), anchor="end", size=SMALL)
    low, high = panel.at(line.zone[0].low), panel.at(line.zone[-1].high)
    paper.text(EDGE, (low + high) / 2 + 4, telling.say("clips.picture.zone"), size=SMALL)
    for window in line.left if sure else line.windows:
        _window(paper, telling, panel, window, {x for z in line.zone for x in z})
    if line.height is not None and line.miss is None and sure:
        y = panel.at(line.height)
        paper.line((LEFT - 8, y, panel.right + 8, y), 3)
        shown = telling.say("clips.mm", value=telling.mm(line.height))
        paper.text(panel.right + 12, y + 5, shown, size=SIZE + 2, bold=True)
    elif line.miss is not None:
        paper.y = panel.top + PANEL + STEP
        paper.below(telling.miss(line.miss))
        return
    paper.y = panel.top + PANEL + STEP


def _blocked(
    task: Task, seam: MarkedSeam, view: Window, others: Sequence[int]
) -> list[tuple[str, Interval]]:
    """What is forbidden on one seam, with its hatch."""
    found: list[tuple[str, Interval]] = [("near", b) for b in clips(seam, task.reach)]
    unknown = [*dark(seam, task.reach), *last_bays(seam, task.reach)]
    found += [("dark", b) for b in unknown]
    if task.pull is not None:
        free_ = meet(free([seam], task.reach), [view])
        left = [w for one in free_ for w in borne([seam], others, task.pull, one)]
        for one in free_:
            inside = [x for w in left if one.low <= w.low and w.high <= one.high for x in w]
            edges = [one.low, *inside, one.high]
            found += [("share", pair) for pair in zip(edges[::2], edges[1::2], strict=True)]
    return found


def _strip(
    paper: _Paper,
    telling: ClipTelling,
    panel: _Panel,
    seam_at: tuple[int, MarkedSeam],
    blocked: Sequence[tuple[str, Interval]],
) -> None:
    """One seam: what is forbidden on it, and its marks."""
    n, seam = seam_at
    x, wide = LEFT + n * panel.strip, panel.strip
    gap = min(6.0, wide / 5)
    paper.box((x + gap / 2, panel.top, wide - gap, PANEL), "white", 0.7)
    for hatch, (low, high) in blocked:
        top, bottom = panel.at(high), panel.at(low)
        if bottom - top > 0.05:
            paper.box((x + gap / 2, top, wide - gap, bottom - top), f"url(#{hatch})", 0.5)
    for mark in seam.marks:
        middle = sum(mark) // 2
        if not panel.view.holds(middle):
            continue
        y, half, arm = panel.at(middle), x + wide / 2, min(5.0, wide / 3)
        paper.line((half - arm, y - arm, half + arm, y + arm), 2)
        paper.line((half - arm, y + arm, half + arm, y - arm), 2)
        if panel.many <= NUMBERED:
            label = telling.mm(middle)
            room = 6.2 * len(label)
            paper.elements.append(
                f"<rect x='{half - room / 2:.1f}' y='{y + 6:.1f}' width='{room:.1f}' height='12'"
                " fill='white'/>"
            )
            paper.text(half, y + 16, label, anchor="middle", size=SMALL)
    if panel.many <= 2 * NUMBERED or n % 5 == 0:
        paper.text(x + wide / 2, panel.top - 4, seam.id, anchor="middle", size=SMALL)


def _window(
    paper: _Paper, telling: ClipTelling, panel: _Panel, window: Window, edges: set[int]
) -> None:
    """The band of one window across all seams, with its ends written beside it."""
    low, high = whole(window)
    for at, down in ((high, -3), (low, 9)):
        if at in edges:
            continue  # the zone is written there
        y = panel.at(at)
        paper.line((LEFT - 4, y, panel.right + 4, y), 1)
        paper.text(LEFT - 8, y + down, telling.mm(at), anchor="end", size=SMALL)


def _detail(paper: _Paper, telling: ClipTelling, task: Task, lines: Sequence[Line]) -> None:
    """One clamp between the two clips beside it, on the seam that leaves it least, to scale."""
    placed = [x for x in lines if x.height is not None and x.miss is None]
    if not placed:
        return
    line = min(placed, key=lambda x: x.window.width if x.window else 0)
    assert line.height is not None
    bays = [
        (max(line.height - low[0], high[1] - line.height), seam, low, high)
        for seam in task.seams
        for low, high in zip(seam.marks, seam.marks[1:], strict=False)
        if low[1] < line.height < high[0]
    ]
    if not bays:
        return
    away = task.reach.distance + task.reach.slack
    _, seam, low, high = min(
        bays, key=lambda b: min(line.height - b[2][1], b[3][0] - line.height) if line.height else 0
    )
    paper.y += STEP / 2
    paper.below(telling.say("clips.picture.detail_head"), bold=True)
    off = telling.mm(task.reach.slack + (low[1] - low[0]) // 2)
    distance = telling.mm(task.reach.distance)
    paper.below(telling.say("clips.picture.detail", seam=seam.id, distance=distance, off=off))
    view = Window(low[0] - 20 * MM, high[1] + 20 * MM)
    scale = (WIDTH - 2 * LEFT) / view.width

    def at(height: int) -> float:
        return LEFT + (height - view.low) * scale

    y = paper.y + 62
    paper.box((at(view.low), y, at(view.high) - at(view.low), 10), "white")  # the seam
    paper.box((at(low[0]), y, at(low[1] + away) - at(low[0]), 10), "url(#near)", 0.7)
    paper.box((at(high[0] - away), y, at(high[1]) - at(high[0] - away), 10), "url(#near)", 0.7)
    for mark in (low, high):
        middle = sum(mark) // 2
        paper.box((at(middle) - 4, y + 10, 8, 16), "black")
        paper.text(at(middle), y + 42, telling.mm(middle), anchor="middle", size=SMALL)
    half, x = 20 * MM * scale, at(line.height)
    paper.box((x - half, y - 20, 2 * half, 26), "white", 2)
    paper.text(x, y - 3, telling.mm(line.height), anchor="middle", bold=True)
    window = line.window
    if window is not None:
        _dimension(paper, (at(window.low), at(window.high)), y - 26, telling.span(window))
    lower, upper = sum(low) // 2, sum(high) // 2
    for ends, down in (
        ((lower, line.height), 56),
        ((line.height, upper), 56),
        ((lower, low[1] + away), 74),
        ((high[0] - away, upper), 74),
    ):
        shown = telling.mm(ends[1] - ends[0])
        _dimension(paper, (at(ends[0]), at(ends[1])), y + down, shown)
    paper.y = y + 92


def _dimension(paper: _Paper, ends: tuple[float, float], y: float, text: str) -> None:
    """A line with ticks at its ends and a figure above."""
    paper.line((ends[0], y, ends[1], y))
    for x in ends:
        paper.line((x - 3, y + 4, x + 3, y - 4), 1.5)
    paper.text(sum(ends) / 2, y - 4, text, anchor="middle", size=SMALL)
