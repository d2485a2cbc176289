"""Shares of a clamp on clips, where the clamp and every clip lie somewhere in an interval.

Never narrower than the truth, and exact where nothing is loose:

- of the two clips beside the clamp, one is held fast and all else counted from it, so that its own
  looseness, cut into parts, goes to the clamp and to the other clips. Its rigid share then rises
  with every other clip that comes nearer from its own side or goes further away on the clamp's: it
  is solved at that corner, at the clamp's ends and where the cubic turns, in closed form;
- clips further off take what the moment over the clip beside the clamp hands down, bay by bay; that
  is worked out with both ends of every length, each by itself: wider, for a few hundredths;
- several clamps are added hull by hull, as if each had clips of its own: wider again.

Statics throughout. For clip j away from clip i the share of i changes by
-c_i'(y_j) c_j(y) + r_ij v'(y_j), with r the forces that lift clip i by one and v the line bent by
the clamp; all of these alternate in sign from clip to clip, whatever the bays.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from selector.engineering.clip_influence import MORE, Influence, influence
from selector.engineering.lines import BadInputError
from selector.engineering.over import Hull, Interval, interval

Marks = tuple[Interval, ...]
NOTHING = Hull(0.0, 0.0)
PART_M = 0.005  # a clip's interval is cut so from its middle: a wider one never gives less
SLIVER = 1e-6  # of a part: no cut so near an end
ROUNDS = 50  # of moments over all clips: each at least halves what the one before left open


@dataclass(frozen=True)
class MarkedClips:
    """Clips from below, each somewhere in its interval; `lines` keeps what has been worked out.

    BadInputError unless there are two or more, each surely above the one before.
    """

    marks_m: Marks
    lines: dict[tuple[tuple[float, ...], int], Influence] = field(
        default_factory=dict, compare=False, repr=False
    )

    def __post_init__(self) -> None:
        for mark in self.marks_m:
            interval("place of a clip", mark, "m")
        if len(self.marks_m) < 2:
            raise BadInputError(f"{len(self.marks_m)} clips given; expected two or more")
        if any(a[1] >= b[0] for a, b in pairwise(self.marks_m)):
            raise BadInputError("marks meet; expected each clip surely above the one before")

    def line(self, places: tuple[float, ...], clip: int) -> Influence:
        """Influence line of one clip, worked out once for all clamps that ask for it."""
        if (places, clip) not in self.lines:
            self.lines[places, clip] = influence(places, clip)
        return self.lines[places, clip]

    def goes_on(self, below: bool, above: bool) -> "MarkedClips":
        """With four more clips on each open side, at the last spacing, loose as the last mark.

        Working rule: a seam of which only a part is surveyed.
        """
        marks = self.marks_m
        middles = [(low + high) / 2 for low, high in marks]
        lower, upper = middles[1] - middles[0], middles[-1] - middles[-2]
        before = (_moved(marks[0], -lower * n) for n in range(MORE, 0, -1)) if below else ()
        after = (_moved(marks[-1], upper * n) for n in range(1, MORE + 1)) if above else ()
        return MarkedClips((*before, *marks, *after))

    @property
    def turned(self) -> "MarkedClips":
        """The same clips seen from above; what has been worked out is kept with these."""
        return MarkedClips(tuple((-high, -low) for low, high in reversed(self.marks_m)), self.lines)

    @property
    def bays_m(self) -> tuple[Interval, ...]:
        """Least and largest length of each bay."""
        return tuple((b[0] - a[1], b[1] - a[0]) for a, b in pairwise(self.marks_m))


# --- one clamp -------------------------------------------------------------------------


def share_hulls(clips: MarkedClips, at_m: Interval) -> tuple[Hull, ...]:
    """Range of the share that counts on every clip, for a clamp somewhere in an interval.

    Statics: every bay or overhang that the clamp may stand in, seen from below and from above.
    """
    low, high = interval("place of a clamp", at_m, "m")
    count = len(clips.marks_m)
    found = _on_a_clip(clips.marks_m, (low, high))
    seen = ((clips, (low, high), False), (clips.turned, (-high, -low), True))
    for one, at, turned in seen:
        for bay in range(count):
            if _may_stand(one.marks_m, bay, at):
                for n, hull in enumerate(_below(one, bay, at)):
                    found[count - 1 - n if turned else n].append(hull)
    return tuple(_joined(hulls) for hulls in found)


def lever_hulls(clips: MarkedClips, at_m: Interval) -> tuple[Hull, ...]:
    """Range of the lever alone, between the first and the last clip; zero for clips not beside.

    Statics: the lever rises with the clip it is on and with the other one, at every place.
    """
    low, high = interval("place of a clamp", at_m, "m")
    marks = clips.marks_m
    found = _on_a_clip(marks, (low, high))
    for n, (one, other) in enumerate(pairwise(marks)):
        if one[0] > high or low > other[1]:
            continue
        down = _lever(one[0], other[0], high), _lever(one[1], other[1], low)
        up = _lever(other[1], one[1], low), _lever(other[0], one[0], high)
        for i in range(len(marks)):
            found[i].append(Hull(*{n: down, n + 1: up}.get(i, (0.0, 0.0))))
    return tuple(_joined(hulls) for hulls in found)


def part_hulls(clips: MarkedClips, longer: MarkedClips, at_m: Interval, first: int) -> list[Hull]:
    """As `share_hulls`, the larger of a seam that ends at its marks and one that goes on.

    Working rule, for a seam of which only a part is surveyed: `longer` is the seam going on, and
    `first` the number in it of the first clip that is known.
    """
    short = share_hulls(clips, at_m)
    long = share_hulls(longer, at_m)[first : first + len(short)]
    return [_larger(a, b) for a, b in zip(short, long, strict=True)]


def _on_a_clip(marks: Marks, at: Interval) -> list[list[Hull]]:
    """By clip, what a clamp puts on it that may stand just on some clip: all, or nothing."""
    may = [n for n, mark in enumerate(marks) if mark[0] <= at[1] and at[0] <= mark[1]]
    return [[Hull(1.0, 1.0) if n == i else NOTHING for n in may] for i in range(len(marks))]


def _may_stand(marks: Marks, bay: int, at: Interval) -> bool:
    """Whether a clamp may stand above this clip and not above the next one."""
    last = bay + 1 == len(marks)
    return marks[bay][0] <= at[1] and (last or at[0] <= marks[bay + 1][1])


def _below(clips: MarkedClips, bay: int, at: Interval) -> list[Hull]:
    """Ranges for the clips from the lowest to the one just below a clamp in this bay."""
    found = [NOTHING] * (bay + 1)
    found[bay] = _larger(_beside(clips, bay, at), _by_lever(clips.marks_m, bay, at))
    if bay < 2:
        return found
    bays = clips.bays_m
    chain = _chain(bays)
    low, high = _moment(clips, bay, at, chain)
    for n in range(bay - 1, -1, -1):
        (q0, q1), (s0, s1) = chain[n], bays[n]
        less, more = (1 + q0) / s1, (1 + q1) / s0
        if n:
            less += q0 * (1 + chain[n - 1][0]) / bays[n - 1][1]
            more += q1 * (1 + chain[n - 1][1]) / bays[n - 1][0]
        if (bay - n) % 2 == 0:  # the clips between are relieved
            found[n] = Hull(low * less, high * more)
        low, high = low * q0, high * q1
    return found


def _beside(clips: MarkedClips, clip: int, at: Interval) -> Hull:
    """Rigid share of the clip just below the clamp, counted from that clip, part by part."""
    low, high = clips.marks_m[clip]
    middle, reach = (low + high) / 2, math.ceil((high - low) / 2 / PART_M - SLIVER) - 1
    inner = (middle + n * PART_M for n in range(-reach, reach + 1))
    cuts = [low, *inner, high]
    least, most = [], [0.0]
    for own in pairwise(cuts):
        least += _counted_from(clips, clip, own, at, 0)
        most += _counted_from(clips, clip, own, at, 1)
    return Hull(max(0.0, min(least, default=0.0)), max(most))


def _counted_from(
    clips: MarkedClips, clip: int, own: Interval, at: Interval, end: int
) -> list[float]:
    """Rigid shares with that clip in a part of its interval, least (0) or most (1) of the others.

    None where the clamp cannot stand above it.
    """
    marks = clips.marks_m
    places = tuple(0.0 if n == clip else mark[end] - own[1 - end] for n, mark in enumerate(marks))
    line = clips.line(places, clip)
    low, high = max(0.0, at[0] - own[1]), at[1] - own[0]
    if clip + 1 < len(marks):
        high = min(high, places[clip + 1])
    return [line.rigid(x) for x in line.range_m(clip, low, high)] if low <= high else []


def _by_lever(marks: Marks, clip: int, at: Interval) -> Hull:
    """Lever of the clip just below the clamp, also beyond the last clip."""
    own = marks[clip]
    if clip + 1 < len(marks):
        other = marks[clip + 1]
        return Hull(_lever(own[0], other[0], at[1]), _lever(own[1], other[1], at[0]))
    before = marks[clip - 1]
    least = max(0.0, at[0] - own[1]) / (own[1] - before[0])
    return Hull(1 + least, 1 + max(0.0, at[1] - own[0]) / (own[0] - before[1]))


def _lever(clip: float, other: float, at: float) -> float:
    return min(1.0, max(0.0, (other - at) / (other - clip)))


def _chain(bays: Sequence[Interval]) -> list[Interval]:
    """By clip, the part of the moment over the next one that it passes on; none at the first."""
    found = [(0.0, 0.0)]
    for (s0, s1), (t0, t1) in pairwise(bays):
        q0, q1 = found[-1]
        found.append((1 / (2 + s1 / t0 * (2 - q0)), 1 / (2 + s0 / t1 * (2 - q1))))
    return found


def _moment(clips: MarkedClips, clip: int, at: Interval, chain: Sequence[Interval]) -> Interval:
    """Moment over the clip just below the clamp, as a length: three moments at both its ends."""
    own, bays = clips.marks_m[clip], clips.bays_m
    a0, a1 = max(0.0, at[0] - own[1]), at[1] - own[0]
    if clip == len(bays):
        return a0, max(0.0, a1)
    s0, s1 = bays[clip]
    other = clips.marks_m[clip + 1]
    b0, b1 = max(0.0, other[0] - at[1]), min(s1, other[1] - at[0])
    a1 = min(a1, s1)
    near = a0 * b0 * (1 + b0 / s1), a1 * b1 * min(2.0, 1 + b1 / s0)
    far = a0 * b0 * (1 + a0 / s1), a1 * b1 * min(2.0, 1 + a1 / s0)
    passed, stiff = _chain(bays[: clip - 1 : -1])[-1], chain[clip]
    low = min((near[0] - q * far[1]) / (1 / stiff[0] - q) for q in passed) / s1
    high = max((near[1] - q * far[0]) / (1 / stiff[1] - q) for q in passed) / s0
    return max(0.0, low), max(0.0, high)


# --- the sheet's own suction -----------------------------------------------------------


def tributary_hulls(clips: MarkedClips, sheet_m: Interval) -> tuple[Hull, ...]:
    """Range of the length of sheet that hangs on each clip; it ends no nearer than the clips do.

    Statics: three moments with both ends of every length, each by itself, until they stand still.
    """
    marks, bays = clips.marks_m, clips.bays_m
    below = max(0.0, marks[0][0] - sheet_m[0]), max(0.0, marks[0][1] - sheet_m[0])
    above = max(0.0, sheet_m[1] - marks[-1][1]), max(0.0, sheet_m[1] - marks[-1][0])
    ends = [(low * low / 2, high * high / 2) for low, high in (below, above)]
    levers = [ends[0], *[(0.0, 0.0)] * (len(marks) - 2), ends[1]]
    stiff = _moments(bays, ends)
    found = []
    for n in range(len(marks)):
        both = []
        for moments in (stiff, levers):
            low, high = (below if n == 0 else above) if n in (0, len(bays)) else (0.0, 0.0)
            for other, bay in ((n - 1, n - 1), (n + 1, n)):
                if 0 <= bay < len(bays):
                    lean = moments[n][0] - moments[other][1], moments[n][1] - moments[other][0]
                    low += min(s / 2 + lean[0] / s for s in _turns(bays[bay], lean[0]))
                    high += max(s / 2 + lean[1] / s for s in bays[bay])
            both.append(Hull(low, high))
        found.append(_larger(*both))
    return tuple(found)


def _turns(bay: Interval, lean: float) -> list[float]:
    """Where s / 2 + lean / s may be least: both ends, and its turning point."""
    turn = (2 * lean) ** 0.5 if lean > 0 else bay[0]
    return [*bay, min(max(turn, bay[0]), bay[1])]


def _moments(bays: Sequence[Interval], ends: Sequence[Interval]) -> list[Interval]:
    """Moments over the clips under one load per length; both ends of each by the rows in turn."""
    most = max(s1 * s1 for _, s1 in bays) + ends[0][1] + ends[1][1]
    found = [ends[0], *[(-most, most)] * (len(bays) - 1), ends[1]]
    for _ in range(ROUNDS if len(bays) > 1 else 0):
        for n in range(1, len(bays)):
            (s0, s1), (t0, t1) = bays[n - 1], bays[n]
            parts = s0 / (s0 + t1), s1 / (s1 + t0)
            before, after = found[n - 1], found[n + 1]
            low = s0 * s0 / 4 - before[1], t0 * t0 / 4 - after[1]
            high = s1 * s1 / 4 - before[0], t1 * t1 / 4 - after[0]
            found[n] = (
                min(p * low[0] + (1 - p) * low[1] for p in parts) / 2,
                max(p * high[0] + (1 - p) * high[1] for p in parts) / 2,
            )
    return found


# --- hulls -----------------------------------------------------------------------------


def _larger(one: Hull, other: Hull) -> Hull:
    return Hull(max(0.0, one.low, other.low), max(0.0, one.high, other.high))


def _joined(hulls: Sequence[Hull]) -> Hull:
    return Hull(min((h.low for h in hulls), default=0.0), max((h.high for h in hulls), default=0.0))


def _moved(mark: Interval, by: float) -> Interval:
    return mark[0] + by, mark[1] + by
