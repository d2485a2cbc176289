"""Heights at which the clips beside a clamp can bear it, by the hand rule for the clips' share.

A clamp with force F at distance a from a clip, in a bay s, puts min(F, k F (s - a) / s) on that
clip; what all clamps of all rail lines put on a clip is added and must not exceed its spare R.
Common practice, no source; k is set by an engineer. Whole micrometres and millinewtons.
Marks lie somewhere in their intervals and clamps are off by up to the setting out: each clip gets
what the worst of these would put on it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from selector.layout.clip_windows import FAR, Interval, MarkedSeam, Window, gaps, meet


@dataclass(frozen=True)
class Pull:
    """What pulls at each clamp, what a clip can spare, the clip factor, how far off clamps are."""

    force: int
    spare: int
    factor: Fraction
    slack: int


def shares(low: Interval, high: Interval, at: int, pull: Pull) -> tuple[int, int]:
    """The most that a clamp between two marks puts on the lower and on the upper clip, rounded up.

    Rounded up it is above a whole number just where it is without: no limit is passed by it.
    """
    force, part, whole = pull.force, pull.factor.numerator, pull.factor.denominator
    up, down = high[1] - low[1], high[0] - low[0]
    lower = -(-part * force * (high[1] - at + pull.slack) // (whole * up))
    upper = -(-part * force * (at + pull.slack - low[0]) // (whole * down))
    return min(force, lower), min(force, upper)


def on_clips(seam: MarkedSeam, heights: Iterable[int], pull: Pull) -> list[int]:
    """What clamps at these heights put on each clip of a seam, at most; whole force at its ends."""
    return _loads(seam, heights, pull, 0, len(seam.marks))


def _loads(
    seam: MarkedSeam, heights: Iterable[int], pull: Pull, first: int, last: int
) -> list[int]:
    """The same, sure only for the clips of the bays `first` to `last`."""
    loads = [0] * len(seam.marks)
    for at in heights:
        n = seam.bay(at)
        if n is None:
            if seam.marks:
                loads[0 if 2 * at < seam.twice[0] else -1] += pull.force
        elif first - 1 <= n <= last + 1:
            lower, upper = shares(seam.marks[n], seam.marks[n + 1], at, pull)
            loads[n] += lower
            loads[n + 1] += upper
    return loads


def beside(seam: MarkedSeam, at: int | None, clip: int) -> bool:
    """Whether a clip is one of the two beside a height."""
    n = None if at is None else seam.bay(at)
    return n is not None and clip in (n, n + 1)


def borne(
    seams: Sequence[MarkedSeam], others: Sequence[int], pull: Pull, zone: Window
) -> list[Window]:
    """Heights of a zone at which one more rail line asks too much of no clip of these seams.

    `others` are the heights of the rail lines that are set; only inner places between two marks
    count. From below; exact to the micrometre, towards the safe side.
    """
    blocked: list[Interval] = [(-FAR, zone.low), (zone.high, FAR)]
    for seam in seams:
        marks = seam.marks
        bays = [
            n
            for n in range(len(marks) - 1)
            if marks[n][0] <= zone.high and marks[n + 1][1] >= zone.low
        ]
        if bays:
            taken = _loads(seam, others, pull, bays[0], bays[-1])
        windows = [
            w for n in bays for w in _in_bay(marks[n], marks[n + 1], (taken[n], taken[n + 1]), pull)
        ]
        blocked += _between(windows)
    return meet(gaps(blocked), [zone])


def _in_bay(low: Interval, high: Interval, taken: tuple[int, int], pull: Pull) -> list[Window]:
    """Heights in one bay at which both its clips bear one clamp more."""
    at_least, at_most = low[1] + pull.slack, high[0] - pull.slack
    full = pull.force * pull.factor.numerator
    for end, before in enumerate(taken):
        rest = pull.spare - before
        if rest < 0:
            return []
        if pull.force <= rest:
            continue
        room = rest * pull.factor.denominator
        if end == 0:
            at_least = max(at_least, high[1] + pull.slack - room * (high[1] - low[1]) // full)
        else:
            at_most = min(at_most, low[0] - pull.slack + room * (high[0] - low[0]) // full)
    return [Window(at_least, at_most)] if at_least <= at_most else []


def _between(windows: Sequence[Window]) -> list[Interval]:
    """The open intervals around rising windows."""
    edges = [-FAR, *(x for w in windows for x in w), FAR]
    return list(zip(edges[::2], edges[1::2], strict=True))
