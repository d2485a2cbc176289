"""Rail lines of a block set into their windows; where there are none, the least changes that help.

Every change is built anew and looked at as the drawn block is. Efforts are our own judgement of
work on the roof and at the desk, and only give the order.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import ceil
from typing import Literal

from selector.layout.clip_forces import Pull, beside, borne, on_clips
from selector.layout.clip_heights import centred, chain
from selector.layout.clip_windows import (
    EXACT,
    FAR,
    ROOMY,
    ROUND,
    Block,
    Interval,
    MarkedSeam,
    Reach,
    Window,
    Zones,
    clips,
    dark,
    free,
    gaps,
    height_in,
    last_bays,
    lines_of,
    meet,
    row_shifts,
    set_out,
    shifts,
    within,
)

Cause = Literal["clip", "dark", "last bay", "share", "zone"]
Kind = Literal["shift", "rows", "other seams", "leave out", "shift and leave out", "lines"]
EFFORT: Mapping[Kind, int] = {
    "shift": 1,
    "rows": 2,
    "other seams": 3,
    "leave out": 4,  # one more for each further seam
    "shift and leave out": 6,
    "lines": 7,  # one more where the block is shifted too
}
MOST_LEFT_OUT = 2
TURNS = 2  # rounds in which the lines are moved to the middle of what is left to them
APART = tuple(range(50_000, 450_001, 50_000))  # tried between rows that load the same clips
WORTH_IT = 20_000  # a window that wide can be set out to without a second thought
TRIED = 6  # places of a shift that are built, nearest first


@dataclass(frozen=True)
class Task:
    """What is to be set out; `seams` carry clamps, `between` are crossed without one.

    `order` names all of them from the left. `zones` by number of rail lines, as far as a record of
    the module allows that number. `steps` is how many seams further the next clamp of a rail may
    stand; None where nobody knows.
    """

    seams: tuple[MarkedSeam, ...]
    between: tuple[MarkedSeam, ...]
    order: tuple[str, ...]
    reach: Reach
    block: Block
    lines: int
    zones: Mapping[int, Zones]
    room: Window
    steps: int | None = None
    pull: Pull | None = None


@dataclass(frozen=True)
class Miss:
    """Why a rail line finds no height: the one that comes nearest, and what is in its way there.

    `short` is what is missing: a length, or where the share of a clip is too large, a force.
    """

    cause: Cause
    height: int | None = None
    short: int = 0
    seam: str = ""
    mark: int | None = None


@dataclass(frozen=True)
class Limit:
    """What ends a window: a clip mark on a seam, or the zone of the module."""

    seam: str = ""
    mark: int | None = None


@dataclass(frozen=True)
class Line:
    """One rail line of a row: where it may lie, where it is best set, or why it may not.

    `windows` keep the distance to the clips; `borne` are those of them that the share of the clips
    leaves, the other lines at their heights; None where no share is worked out.
    """

    row: int
    line: int
    zone: tuple[Window, ...]
    windows: tuple[Window, ...]
    borne: tuple[Window, ...] | None
    height: int | None
    miss: Miss | None

    @property
    def left(self) -> tuple[Window, ...]:
        """All windows that count, widest first."""
        return self.windows if self.borne is None else self.borne

    @property
    def window(self) -> Window | None:
        """The window in which the height lies."""
        at = self.height
        return next((w for w in self.left if at is not None and w.holds(at)), None)


@dataclass(frozen=True)
class Change:
    """One change after which every rail line has a window, and what comes of it.

    `by` is how far each row moves up; `ranges` are all shifts of the block that do.
    """

    kind: Kind
    effort: int
    by: tuple[int, ...]
    seams: tuple[str, ...]
    lines: int
    set: tuple[Line, ...]
    ranges: tuple[Window, ...] = ()


@dataclass(frozen=True)
class Found:
    """The block as drawn, all shifts of it that give windows, and the changes that help.

    Both kinds of shifts take each rail line as if no other were near it. `roomier` is a shift of a
    block that stands, after which its narrowest window is worth setting out to.
    """

    lines: tuple[Line, ...]
    shifts: tuple[Window, ...]
    row_shifts: tuple[tuple[Window, ...], ...]
    changes: tuple[Change, ...] = ()
    roomier: Change | None = None

    @property
    def stands(self) -> bool:
        """Whether every rail line has its height as the block is drawn."""
        return all(line.miss is None for line in self.lines)


def find(task: Task) -> Found:
    """Windows of all lines; changes only where some line has none."""
    heights = alone(task)
    zones = task.zones[task.lines]
    lines = set_lines(task)
    flat = [zone for y in task.block.rows for zone in lines_of(y, zones)]
    whole = tuple(shifts(heights, flat, task.room))
    rows = tuple(map(tuple, row_shifts(heights, task.block, zones, task.room)))
    found = Found(lines, whole, rows)
    if found.stands:
        return replace(found, roomier=_roomier(task, lines))
    changes = sorted(_changes(task), key=lambda c: (c.effort, sum(map(abs, c.by)), c.seams))
    return replace(found, changes=tuple(changes))


def alone(task: Task) -> list[Window]:
    """Heights on the whole plane for a rail line with no other one near it, from the eave up."""
    heights = free(task.seams, task.reach)
    if task.pull is None or not heights:
        return heights
    whole = Window(heights[0].low, heights[-1].high)
    return meet(heights, borne(task.seams, (), task.pull, whole))


# --- the lines of a block ----------------------------------------------------------------


def set_lines(task: Task) -> tuple[Line, ...]:
    """Every rail line in its best window, the lines set one after the other, from the eave."""
    heights = free(task.seams, task.reach)
    zones = task.zones[task.lines]
    lines = [
        _line(task, (row, n), zone, tuple(within(heights, zone)))
        for row, y in enumerate(task.block.rows, 1)
        for n, zone in enumerate(lines_of(y, zones), 1)
    ]
    if task.pull is None or any(line.miss is not None for line in lines):
        return tuple(lines)
    together = _together(task, lines, task.pull)
    lines = [replace(line, height=at) for line, at in zip(lines, together, strict=True)]
    return tuple(_checked(task, lines, n, task.pull) for n in range(len(lines)))


def _together(task: Task, lines: Sequence[Line], pull: Pull) -> list[int]:
    """Heights at which the clips bear all lines; where none is found, those of each line alone."""
    windows = [
        [x for w in line.windows for x in borne(task.seams, (), pull, w)] or list(line.windows[:1])
        for line in lines
    ]
    order = sorted(range(len(lines)), key=lambda n: windows[n][0].low)
    found = chain(task.seams, [windows[n] for n in order], pull)
    if found is None:
        return [height_in(min(one, key=lambda w: (-w.width, w.low))) for one in windows]
    heights = [at for _, at in sorted(zip(order, found, strict=True))]
    for _ in range(TURNS):
        heights = centred(task.seams, windows, heights, pull)
    return heights


def _line(
    task: Task, number: tuple[int, int], zone: list[Window], windows: tuple[Window, ...]
) -> Line:
    """A line by the distance to the clips alone."""
    if windows:
        return Line(*number, tuple(zone), windows, None, height_in(windows[0]), None)
    return Line(*number, tuple(zone), (), None, None, nearest(task, zone))


def _checked(task: Task, lines: Sequence[Line], n: int, pull: Pull) -> Line:
    """A line with its windows beside the others as they stand, and what fails there."""
    line, heights = lines[n], [x.height for x in lines if x.height is not None]
    others = [*heights[:n], *heights[n + 1 :]]
    left = [w for window in line.windows for w in borne(task.seams, others, pull, window)]
    left.sort(key=lambda w: (w.low - w.high, w.low))
    found = replace(line, borne=tuple(left))
    if any(line.height is not None and w.holds(line.height) for w in left):
        return found
    return replace(found, miss=overloaded(task, heights, line.height, pull))


def overloaded(task: Task, heights: Sequence[int], at: int | None, pull: Pull) -> Miss:
    """The clip beside the line at one height that gets most beyond its spare, from all lines."""
    loads = [
        (beside(seam, at, n), load - pull.spare, seam.id, sum(mark) // 2)
        for seam in task.seams
        for n, (load, mark) in enumerate(
            zip(on_clips(seam, heights, pull), seam.marks, strict=True)
        )
    ]
    _, over, seam, mark = max(loads, key=lambda x: x[:2])
    return Miss("share", at, ceil(over), seam, mark)


# --- what is in the way ------------------------------------------------------------------


def nearest(task: Task, zone: Sequence[Window]) -> Miss:
    """The height of a zone that misses least; and by how much, on which seam, at which mark.

    Where a mark that nobody has could still leave a height, that is what is in the way.
    """
    if not zone:
        return Miss("zone")
    seams, reach = task.seams, task.reach
    ends = [b for seam in seams for b in last_bays(seam, reach)]
    inner = within(gaps([*_OUTSIDE, *ends]), zone)
    if not inner:
        own = ((s.id, gaps([*_OUTSIDE, *last_bays(s, reach)])) for s in seams)
        return Miss("last bay", seam=next((s for s, left in own if not within(left, zone)), ""))
    near = [b for seam in seams for b in clips(seam, reach)]
    if perhaps := within(gaps([*_OUTSIDE, *ends, *near]), zone):
        known = ((s.id, gaps([*_OUTSIDE, *dark(s, reach)])) for s in seams)
        return Miss("dark", seam=next((s for s, left in known if not within(left, perhaps)), ""))
    unknown = [b for seam in seams for b in dark(seam, reach)]
    places = within(gaps([*_OUTSIDE, *ends, *unknown]), zone) or inner
    marks = [(low, high, seam.id) for seam in seams for low, high in seam.marks]
    between = gaps([*_OUTSIDE, *((low, high) for low, high, _ in marks)])
    tried = {x for w in places for x in w}
    tried |= {sorted((w.low, (g.low + g.high) // 2, w.high))[1] for w in places for g in between}
    rated = ((_clear(marks, at), at) for at in sorted(tried))
    (clear, seam, mark), height = max(rated, key=lambda r: r[0][0])
    return Miss("clip", height, reach.distance + reach.slack - clear, seam, mark)


_OUTSIDE: tuple[Interval, ...] = ((-FAR - 1, -FAR), (FAR, FAR + 1))


def _clear(marks: Sequence[tuple[int, int, str]], at: int) -> tuple[int, str, int]:
    """Distance to the nearest mark, its seam, and the mark."""
    low, high, seam = min(marks, key=lambda m: max(m[0] - at, at - m[1]))
    return max(low - at, at - high), seam, (low + high) // 2


def limits(task: Task, lines: Sequence[Line], line: Line) -> tuple[Limit, Limit]:
    """What ends the window of a line below and above: a mark on a seam, or the module's zone."""
    window = line.window
    if window is None:
        return Limit(), Limit()
    others = [x.height for x in lines if x is not line and x.height is not None]
    below = above = Limit()
    for seam in task.seams:
        for one in _own(task, seam, others, window):
            if one.low == window.low and below == Limit():
                below = Limit(seam.id, _mark(seam, one.low, -1))
            if one.high == window.high and above == Limit():
                above = Limit(seam.id, _mark(seam, one.high, 1))
    return below, above


def _own(task: Task, seam: MarkedSeam, others: list[int], window: Window) -> list[Window]:
    """Where one seam alone leaves a clamp, looked at a little beyond the window."""
    wider = Window(window.low - 1, window.high + 1)
    left = meet(free([seam], task.reach), [wider])
    return left if task.pull is None else meet(left, borne([seam], others, task.pull, wider))


def _mark(seam: MarkedSeam, at: int, side: int) -> int | None:
    """The nearest mark of a seam below or above a height."""
    beyond = [m for m in (sum(mark) // 2 for mark in seam.marks) if side * (m - at) > 0]
    return min(beyond, key=lambda m: abs(m - at), default=None)


# --- changes -----------------------------------------------------------------------------


def _changes(task: Task) -> Iterator[Change]:
    """All changes of one kind each; two kinds together only where none alone helps."""
    found = [*_shifted(task, "shift"), *_by_rows(task), *_other_seams(task), *_left_out(task)]
    found += _other_lines(task)
    yield from found
    if not found:
        for seam in task.seams:
            if may_leave(task, (seam.id,)):
                yield from _shifted(without(task, (seam.id,)), "shift and leave out", (seam.id,))
        for n in sorted(task.zones):
            if n != task.lines:
                yield from _shifted(replace(task, lines=n, pull=None), "lines")


def _built(task: Task, change: Change) -> Change | None:
    """The change with its lines set; None where one of them finds no place."""
    lines = set_lines(replace(task, block=task.block.shifted(change.by), lines=change.lines))
    return None if any(x.miss is not None for x in lines) else replace(change, set=lines)


def _shifted(task: Task, kind: Kind, left_out: tuple[str, ...] = ()) -> Iterator[Change]:
    """The whole block moved up, and moved down, as little as gives each line some play."""
    heights, zones = alone(task), task.zones[task.lines]
    flat = [zone for y in task.block.rows for zone in lines_of(y, zones)]
    ranges = tuple(shifts(heights, flat, task.room))
    many, effort = len(task.block.rows), EFFORT[kind] + (kind == "lines")
    for side in (1, -1):
        tried = _places(shifts(heights, flat, task.room, ROOMY), side)
        tried += _places(ranges, side)
        for by in list(dict.fromkeys(tried))[:TRIED]:
            moved = (by,) * many
            change = Change(kind, effort, moved, left_out, task.lines, (), ranges)
            built = _built(task, change)
            if built is not None:
                yield built
                break


def _roomier(task: Task, lines: Sequence[Line]) -> Change | None:
    """The least shift that makes the narrowest window twice as wide and worth it; else None."""
    wanted = max(WORTH_IT, 2 * narrowest(lines))
    if narrowest(lines) >= WORTH_IT:
        return None
    heights, zones = alone(task), task.zones[task.lines]
    flat = [zone for y in task.block.rows for zone in lines_of(y, zones)]
    still, many = Change("shift", EFFORT["shift"], (), (), task.lines, ()), len(task.block.rows)
    for play in (4 * wanted, 3 * wanted, 2 * wanted, wanted):
        ranges = shifts(heights, flat, task.room, play)
        near = sorted(_places(ranges, 1) + _places(ranges, -1), key=abs)
        for by in near[:TRIED]:
            built = _built(task, replace(still, by=(by,) * many))
            if built is not None and narrowest(built.set) >= wanted:
                return built
    return None


def narrowest(lines: Sequence[Line]) -> int:
    """Width of the narrowest window in which a line is set."""
    return min((w.width for line in lines if (w := line.window) is not None), default=0)


def _places(ranges: Sequence[Window], side: int) -> list[int]:
    """Shifts to try on one side: the near end of each range in whole steps, then its middle."""
    found = []
    for one in ranges:
        low, high = (one.low, one.high) if side > 0 else (-one.high, -one.low)
        low = max(low, 1)
        if low > high:
            continue
        steps = (-(-low // step) * step for step in (ROUND, EXACT, 1))
        found += [side * next(at for at in steps if at <= high)]
        found += [side * height_in(Window(low, high))]
    return sorted(found, key=abs)


def _by_rows(task: Task) -> Iterator[Change]:
    """Each row set out anew, all together moved as little as can be.

    Where neighbouring rows would load the same clips too much, they are moved further apart.
    """
    if len(task.block.rows) < 2:
        return
    heights, zones, block = alone(task), task.zones[task.lines], task.block
    for apart in (0, *APART) if task.pull is not None else (0,):
        wider = replace(block, gap=block.gap + apart)
        for play, step in ((ROOMY, ROUND), (0, EXACT), (0, 1)):
            ranges = row_shifts(heights, wider, zones, task.room, play)
            by = set_out([_in_steps(one, step) for one in ranges], wider)
            if by is None or len(set(by)) == 1:
                continue
            built = _built(task, Change("rows", EFFORT["rows"], by, (), task.lines, ()))
            if built is not None:
                yield built
                return


def _in_steps(ranges: Sequence[Window], step: int) -> list[Window]:
    """Ranges cut to whole steps."""
    cut = (Window(-(-one.low // step) * step, one.high // step * step) for one in ranges)
    return [one for one in cut if one.low <= one.high]


def _other_seams(task: Task) -> Iterator[Change]:
    """Where every second seam carries clamps: the ones between instead."""
    if len(task.between) < 2:
        return
    other = replace(task, seams=task.between, between=task.seams)
    names = tuple(seam.id for seam in task.between)
    still = (0,) * len(task.block.rows)
    built = _built(
        other, Change("other seams", EFFORT["other seams"], still, names, task.lines, ())
    )
    if built is not None:
        yield built


def _other_lines(task: Task) -> Iterator[Change]:
    """Another number of rail lines that a record of the module allows."""
    still = (0,) * len(task.block.rows)
    for n in sorted(task.zones):
        if n != task.lines:
            change = Change("lines", EFFORT["lines"], still, (), n, ())
            built = _built(replace(task, pull=None), change)
            if built is not None:
                yield built


# --- seams left out ----------------------------------------------------------------------


def without(task: Task, names: Sequence[str]) -> Task:
    """The task without clamps on some seams; the force of each clamp is not known any more."""
    return replace(task, seams=tuple(s for s in task.seams if s.id not in names), pull=None)


def may_leave(task: Task, names: Sequence[str]) -> bool:
    """Whether clamps may fall away there: the ends stay, and a rail still reaches over."""
    bare = {seam.id for seam in task.between}
    carry = [n for n, name in enumerate(task.order) if name not in bare]
    stay = [n for n in carry if task.order[n] not in names]
    if len(stay) < 2 or stay[0] != carry[0] or stay[-1] != carry[-1]:
        return False
    widest = max(b - a for a, b in pairwise(stay))
    return task.steps is None or widest <= task.steps


def _left_out(task: Task) -> Iterator[Change]:
    """The smallest sets of seams without which every line has a window."""
    zones = [z for y in task.block.rows for z in lines_of(y, task.zones[task.lines])]
    families = [_in_the_way(task, zone) for zone in zones]
    names = sorted(set().union(*(b for family in families for b in family)))
    still = (0,) * len(task.block.rows)
    for many in range(1, MOST_LEFT_OUT + 1):
        found = False
        for some in combinations(names, many):
            if not may_leave(task, some):
                continue
            if all(any(blockers <= set(some) for blockers in family) for family in families):
                effort = EFFORT["leave out"] + many - 1
                change = Change("leave out", effort, still, some, task.lines, ())
                built = _built(without(task, some), change)
                if built is not None:
                    found = True
                    yield built
        if found:
            return


def _in_the_way(task: Task, zone: Sequence[Window]) -> set[frozenset[str]]:
    """Seams that block a height of a zone, for every height that few enough block."""
    own = {s.id: within(free([s], task.reach), zone) for s in task.seams}
    tried = {x for windows in own.values() for w in windows for x in w} | {
        x for w in zone for x in w
    }
    found = set()
    for at in tried:
        blockers = frozenset(s for s, ws in own.items() if not any(w.holds(at) for w in ws))
        if len(blockers) <= MOST_LEFT_OUT:
            found.add(blockers)
    return found
