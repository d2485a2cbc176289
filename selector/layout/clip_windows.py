"""Heights at which no clamp of a rail line comes too near a clip, on any seam that it crosses.

Whole micrometres from the eave, exact. Everything that forbids a height is an open interval; all
of them, of all seams together, are sorted once, and what they leave is free. Only measured marks
count: where the marks of one seam stop short, or a bay is too wide to be one bay, no height is
free. A clamp in the last bay of a seam is the engineer's.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from operator import sub
from typing import NamedTuple

FAR = 10**9  # 1 km: beyond every seam, and still small enough to be sorted fast
ROUND, EXACT = 5_000, 1_000  # a height is given in such steps; the finer where there is no room
ROOMY = 10_000  # a window at least so wide can be given in the coarse steps

Interval = tuple[int, int]


class Window(NamedTuple):
    """A closed range of heights, or of shifts."""

    low: int
    high: int

    @property
    def width(self) -> int:
        """From end to end; 0 where one height alone is left."""
        return self.high - self.low

    def holds(self, at: int) -> bool:
        """Whether a height lies inside; an end does."""
        return self.low <= at <= self.high

    def moved(self, by: int) -> "Window":
        """The same range further up."""
        return Window(self.low + by, self.high + by)


@dataclass(frozen=True)
class Reach:
    """How far a clamp keeps away, and what its marks must show before a height counts.

    `distance` from clip to clamp, `slack` what setting out may be off, `widest` the widest bay that
    is still one bay. `ends`: the last bays of a seam are left out.
    """

    distance: int
    slack: int
    widest: int
    ends: bool = True


@dataclass(frozen=True)
class MarkedSeam:
    """One seam with its clip marks, rising; each lies somewhere in its closed interval.

    `top` is the upper end of the sheet; None where nobody knows whether a clip is missing above.
    """

    id: str
    marks: tuple[Interval, ...]
    top: int | None = None

    @cached_property
    def twice(self) -> list[int]:
        """Twice the middle of each mark."""
        return [low + high for low, high in self.marks]

    def bay(self, at: int) -> int | None:
        """The number of the bay in which a height lies, the lower one on a mark; None outside."""
        n = bisect_left(self.twice, 2 * at)
        if n == 0 and len(self.twice) > 1 and self.twice[0] == 2 * at:
            return 0
        return n - 1 if 0 < n < len(self.twice) else None


@dataclass(frozen=True)
class Block:
    """Rows of modules: the lower edge of each, its length up the slope, the least gap between."""

    rows: tuple[int, ...]
    length: int
    gap: int

    def shifted(self, by: Sequence[int]) -> "Block":
        """The block with each row moved up by so much."""
        rows = tuple(y + s for y, s in zip(self.rows, by, strict=True))
        return Block(rows, self.length, self.gap)


Zones = tuple[tuple[Window, ...], ...]  # by rail line, from the lower edge of its module


# --- what is free ------------------------------------------------------------------------


def clips(seam: MarkedSeam, reach: Reach) -> list[Interval]:
    """Too near a clip, or on it: open intervals round its marks."""
    away = _away(reach)
    return [(low - away, high + away) for low, high in seam.marks]


def _away(reach: Reach) -> int:
    return max(1, reach.distance + reach.slack)


def middles(seam: MarkedSeam) -> list[int]:
    """Where its clips are taken to be when it is asked in which bay a height lies."""
    return [(low + high) // 2 for low, high in seam.marks]


def dark(seam: MarkedSeam, reach: Reach) -> list[Interval]:
    """Where nobody knows the clips: below the eave, in bays too wide, above the last mark."""
    return [*_beyond(seam, reach), *_wide_bays(seam, reach)]


def _beyond(seam: MarkedSeam, reach: Reach) -> list[Interval]:
    """Below the eave, and above the last mark; also in the bay below it, if it may be the last."""
    marks = seam.marks
    if not marks:
        return [(-FAR, FAR)]
    upto = marks[-2] if reach.ends and len(marks) > 1 and seam.top is None else marks[-1]
    return [(-FAR, 0), (sum(upto) // 2, FAR)]


def _wide_bays(seam: MarkedSeam, reach: Reach) -> list[Interval]:
    """Bays in which a clip may have been missed; the eave is the end of the first one."""
    at = [0, *middles(seam)]
    return [(a, b) for a, b in pairwise(at) if b - a > reach.widest]


def last_bays(seam: MarkedSeam, reach: Reach) -> list[Interval]:
    """The bays at eave and ridge, where the lever says too little."""
    if not reach.ends or not seam.marks:
        return []
    if len(seam.marks) < 2:
        return [(-FAR, sum(seam.marks[0]) // 2)]
    before, last = (sum(mark) // 2 for mark in seam.marks[-2:])
    found = [(-FAR, sum(seam.marks[1]) // 2)]
    if seam.top is not None and seam.top - last <= reach.widest:
        found.append((before, FAR))
    return found


def gaps(blocked: Sequence[Interval]) -> list[Window]:
    """What open intervals leave between the lowest and the highest of them, from below."""
    return _between([start for start, _ in blocked], [end for _, end in blocked], 0)


def _between(starts: list[int], ends: list[int], away: int) -> list[Window]:
    """What intervals leave that reach `away` further on both sides than these ends say.

    Starts and ends are sorted each by itself: where the n-th end comes no later than the next
    start, the n intervals before have all ended and none of the others has begun.
    """
    starts.sort()
    ends.sort()
    rooms = enumerate(map(sub, starts[1:], ends))
    return [Window(ends[n] + away, starts[n + 1] - away) for n, x in rooms if x >= 2 * away]


def free(seams: Sequence[MarkedSeam], reach: Reach) -> list[Window]:
    """Heights at which a clamp may stand on every one of these seams, from the eave up.

    As `gaps` of `clips`, `dark` and `last_bays` of all seams, without an interval for each clip.
    """
    if not seams:
        return [Window(-FAR, FAR)]
    away = _away(reach)
    starts: list[int] = []
    ends: list[int] = []
    for seam in seams:
        if seam.marks:
            lows, highs = zip(*seam.marks, strict=True)
            starts += lows
            ends += highs
    wide = max(map(sub, ends[1:], starts), default=0) > reach.widest  # at one look, or more
    blocked: list[Interval] = []
    for seam in seams:
        blocked += _beyond(seam, reach)
        blocked += last_bays(seam, reach)
        if wide or (seam.marks and seam.marks[0][1] > reach.widest):
            blocked += _wide_bays(seam, reach)
    starts += [low + away for low, _ in blocked]
    ends += [high - away for _, high in blocked]
    return _between(starts, ends, away)


# --- rail lines --------------------------------------------------------------------------


def within(windows: Iterable[Window], zone: Iterable[Window]) -> list[Window]:
    """The windows as far as they lie in a zone, widest first, then from the eave."""
    spans = list(zone)
    found = [
        Window(max(w.low, z.low), min(w.high, z.high))
        for w in windows
        for z in spans
        if w.low <= z.high and z.low <= w.high
    ]
    return sorted(found, key=lambda w: (w.low - w.high, w.low))


def line_zones(length: int, zone: Window, lines: int, slack: int, middle: int | None) -> Zones:
    """Where each rail line of a module may lie, from its lower edge, setting out taken off.

    `zone` counts from the nearer end; a third line lies within `middle` of the middle of the
    module. ValueError for other numbers of lines, or three lines without a middle.
    """
    low = max(0, zone.low) + slack
    high = min(length // 2, zone.high - slack)
    if low > high:
        near: tuple[Window, ...] = ()
    else:
        near = (Window(low, high),)
    far = tuple(Window(length - w.high, length - w.low) for w in near)
    if lines == 1:
        return (near + far,)
    if lines == 2:
        return near, far
    if lines != 3 or middle is None:
        raise ValueError(f"no zones for {lines} rail lines")
    play = middle - slack
    between = () if play < 0 else (Window(-(-length // 2) - play, length // 2 + play),)
    return near, between, far


def lines_of(row: int, zones: Zones) -> list[list[Window]]:
    """The zones of one row on the roof."""
    return [[window.moved(row) for window in line] for line in zones]


def height_in(window: Window) -> int:
    """A height to mark: the middle, in whole 5 mm or 1 mm where the window has one."""
    step = ROUND if window.width >= ROOMY else EXACT
    middle = (window.low + window.high) // 2
    rounded = (middle + step // 2) // step * step
    return rounded if window.holds(rounded) else middle


# --- the block set elsewhere -------------------------------------------------------------


def meet(one: Sequence[Window], other: Sequence[Window]) -> list[Window]:
    """What two rising lists of ranges share, from below."""
    found, i, j = [], 0, 0
    while i < len(one) and j < len(other):
        low, high = max(one[i].low, other[j].low), min(one[i].high, other[j].high)
        if low <= high:
            found.append(Window(low, high))
        if one[i].high < other[j].high:
            i += 1
        else:
            j += 1
    return found


def joined(ranges: Iterable[Window]) -> list[Window]:
    """Ranges that touch made one, from below."""
    found: list[Window] = []
    for one in sorted(ranges):
        if found and one.low <= found[-1].high:
            found[-1] = Window(found[-1].low, max(found[-1].high, one.high))
        else:
            found.append(one)
    return found


def shifts(
    windows: Sequence[Window], lines: Iterable[Sequence[Window]], room: Window, play: int = 0
) -> list[Window]:
    """All shifts up the slope after which each line has a window at least `play` wide.

    A window [a, b] meets a zone [c, d] that is moved by s where a - d <= s <= b - c: the Minkowski
    sum of the window and the zone turned round. `room` is how far one may go down and up.
    """
    left = [room]
    for zone in lines:
        one = (
            Window(w.low - z.high + play, w.high - z.low - play)
            for w in windows
            for z in zone
            if w.width >= play and z.width >= play
        )
        left = meet(left, joined(one))
    return left


def row_shifts(
    windows: Sequence[Window], block: Block, zones: Zones, room: Window, play: int = 0
) -> list[list[Window]]:
    """For each row by itself, all shifts after which the rows above and below still find a place.

    Rows keep their order and at least their gap: no row moves down further than the one below it,
    beyond what room the drawn rows leave between them.
    """
    spare = _spare(block)
    found = [shifts(windows, lines_of(y, zones), room, play) for y in block.rows]
    low = room.low
    for n, one in enumerate(found):
        if n:
            low = max(low - spare[n - 1], room.low)
        found[n] = meet(one, [Window(low, room.high)]) if low <= room.high else []
        low = found[n][0].low if found[n] else room.high + 1
    high = room.high
    for n in reversed(range(len(found))):
        if n < len(found) - 1:
            high = min(high + spare[n], room.high)
        found[n] = meet(found[n], [Window(room.low, high)]) if high >= room.low else []
        high = found[n][-1].high if found[n] else room.low - 1
    return found if all(found) else [[] for _ in block.rows]


def _spare(block: Block) -> list[int]:
    """Between neighbouring rows as drawn: what is left above the least gap."""
    pitch = block.length + block.gap
    rows = block.rows
    return [b - a - pitch for a, b in pairwise(rows)]


def set_out(found: Sequence[Sequence[Window]], block: Block) -> tuple[int, ...] | None:
    """One shift a row, out of `row_shifts`, that moves all rows least in sum; None without one.

    Exact: some best answer has every row where it is, at an end of one of its ranges, or pushed by
    such a row, so only those shifts are tried, row by row.
    """
    if not all(found):
        return None
    spare = [0, *_spare(block)]
    offsets = [sum(spare[: n + 1]) for n in range(len(found))]  # rows touch where these are equal
    ends = {x + offsets[n] for n, one in enumerate(found) for w in one for x in w}
    tried = sorted(ends | set(offsets))
    best: list[tuple[int, tuple[int, ...]] | None] = [(0, ())] * len(tried)
    for n, one in enumerate(found):
        least: tuple[int, tuple[int, ...]] | None = None
        fresh: list[tuple[int, tuple[int, ...]] | None] = []
        for at, before in zip(tried, best, strict=True):
            if before is not None and (least is None or before < least):
                least = before
            shift = at - offsets[n]
            stays = least is not None and any(w.holds(shift) for w in one)
            fresh.append((least[0] + abs(shift), (*least[1], shift)) if stays and least else None)
        best = fresh
    answers = [one for one in best if one is not None]
    return min(answers)[1] if answers else None
