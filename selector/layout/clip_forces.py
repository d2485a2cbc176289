"""Heights at which the clips beside a clamp can bear it, by the hand rule for the clips' share.

A clamp with force F at distance a from a clip, in a bay s, puts min(F, k F (s - a) / s) on that
clip; what all clamps of all rail lines put on a clip is added and must not exceed its spare R.
Common practice, no source; k is set by an engineer. Whole micrometres and millinewtons, exact.
Marks lie somewhere in their intervals and clamps are off by up to the setting out: each clip gets
what the worst of these would put on it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from selector.layout.clip_windows import FAR, Interval, MarkedSeam, Window, gaps, meet


@dataclass(frozen=True)
class Pull:
    """What pulls at each clamp, what a clip can spare, the clip factor, how far off clamps are."""

    force: int
    spare: int
    factor: Fraction
    slack: int


def shares(low: Interval, high: Interval, at: int, pull: Pull) -> tuple[Fraction, Fraction]:
    """The most that a clamp between two marks puts on the lower and on the upper clip."""
    lower = Fraction(high[1] - at + pull.slack, high[1] - low[1])
    upper = Fraction(at + pull.slack - low[0], high[0] - low[0])
    most = Fraction(pull.force)
    return min(most, pull.factor * most * lower), min(most, pull.factor * most * upper)


def on_clips(seam: MarkedSeam, heights: Iterable[int], pull: Pull) -> list[Fraction]:
    """What clamps at these heights put on each clip of a seam, at most; whole force at its ends."""
    loads = [Fraction(0)] * len(seam.marks)
    for at in heights:
        n = _bay(seam, at)
        if n is None:
            for i in ([0] if at < sum(seam.marks[0]) / 2 else [-1]) if seam.marks else []:
                loads[i] += pull.force
            continue
        lower, upper = shares(seam.marks[n], seam.marks[n + 1], at, pull)
        loads[n] += lower
        loads[n + 1] += upper
    return loads


def beside(seam: MarkedSeam, at: int | None, clip: int) -> bool:
    """Whether a clip is one of the two beside a height."""
    n = None if at is None else _bay(seam, at)
    return n is not None and clip in (n, n + 1)


def _bay(seam: MarkedSeam, at: int) -> int | None:
    """The number of the bay between two marks in which a height lies."""
    for n in range(len(seam.marks) - 1):
        if sum(seam.marks[n]) <= 2 * at <= sum(seam.marks[n + 1]):
            return n
    return None


def borne(
    seams: Sequence[MarkedSeam], others: Sequence[int], pull: Pull, zone: Window
) -> list[Window]:
    """Heights of a zone at which one more rail line asks too much of no clip of these seams.

    `others` are the heights of the rail lines that are set; only inner places between two marks
    count. From below; exact to the micrometre, towards the safe side.
    """
    blocked: list[Interval] = [(-FAR, zone.low), (zone.high, FAR)]
    for seam in seams:
        taken = on_clips(seam, others, pull)
        windows = [
            w
            for n, (low, high) in enumerate(zip(seam.marks, seam.marks[1:], strict=False))
            if low[0] <= zone.high and high[1] >= zone.low
            for w in _in_bay(low, high, (taken[n], taken[n + 1]), pull)
        ]
        blocked += _between(windows)
    return meet(gaps(blocked), [zone])


def _in_bay(
    low: Interval, high: Interval, taken: tuple[Fraction, Fraction], pull: Pull
) -> list[Window]:
    """Heights in one bay at which both its clips bear one clamp more."""
    at_least, at_most = low[1] + pull.slack, high[0] - pull.slack
    for end, before in enumerate(taken):
        rest = pull.spare - before
        if rest < 0:
            return []
        if pull.force <= rest:
            continue
        share = rest / (pull.factor * pull.force)
        if end == 0:
            at_least = max(at_least, high[1] + pull.slack - floor(share * (high[1] - low[1])))
        else:
            at_most = min(at_most, low[0] - pull.slack + floor(share * (high[0] - low[0])))
    return [Window(at_least, at_most)] if at_least <= at_most else []


def _between(windows: Sequence[Window]) -> list[Interval]:
    """The open intervals around rising windows."""
    edges = [-FAR, *(x for w in windows for x in w), FAR]
    return list(zip(edges[::2], edges[1::2], strict=True))
