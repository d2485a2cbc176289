"""Every clip under all clamps of its seam: what it gets, what it can spare, and by how much.

A clip gets what the clamps of all rows and lines put on it, added clamp by clamp, relief never
counted; places of clamps and marks lie somewhere in their intervals, and the worst of them counts.
Two methods: `influence`, the seam as a beam over its measured clips, and `hand`, the lever times a
clip factor. Nothing is assumed: where a clip may be missing there is no figure.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Literal

from selector.engineering.check import ratio
from selector.engineering.clip_hull import (
    MarkedClips,
    lever_hulls,
    part_hulls,
    share_hulls,
    tributary_hulls,
)
from selector.engineering.clip_influence import FORCE_N, MORE, spare_n
from selector.engineering.lines import finite
from selector.engineering.over import Hull, interval
from selector.facts.actions.model import Ends, Open
from selector.facts.links.own_suction import OwnSuction
from selector.layout.clip_windows import MarkedSeam
from selector.model.truth import Word

Method = Literal["influence", "hand"]
Basis = Literal["gross", "after sheet suction"]
Interval = tuple[int, int]
MARKS, RECORD = "plane.clips.marks", "plane.clips clip in deck"
METRE = 1e6
ROUNDING = 1e-9  # what adding floats may cost, so that a clip used up just so is not refused
NONE = Ends(0.0, 0.0)


@dataclass(frozen=True)
class ClampPull:
    """One clamp: its seam, its height in um as drawn, and what pulls at it in N."""

    seam: str
    at: int
    force_n: Ends


@dataclass(frozen=True)
class Take:
    """What one clip may take: design resistance in N and whether the sheet is taken off already.

    `suction_pa`: design suction on the bare sheet in the zone of the clip; None where nobody knows.
    `also_n`: what another record leaves after the sheet's suction; the lower of both counts.
    """

    resistance_n: float
    basis: Basis
    suction_pa: Ends | None = None
    also_n: float | None = None


@dataclass(frozen=True)
class ClippedSeam:
    """A seam with its marks, what the clip of each may take, and the width of sheet it holds."""

    marked: MarkedSeam
    takes: tuple[Take | None, ...]
    width: Interval


@dataclass(frozen=True)
class ClipTask:
    """An array whose clips are to be summed up.

    `slack` is what a clamp may be off, `widest` the widest bay that is one bay, both in um.
    `factor` is the clip factor of the hand rule; None where nobody has set one.
    """

    seams: tuple[ClippedSeam, ...]
    clamps: tuple[ClampPull, ...]
    slack: int
    widest: int
    method: Method = "influence"
    factor: float | None = None


@dataclass(frozen=True)
class ClipLoad:
    """One clip with a demand: both methods side by side, as far as each covers it, in N."""

    seam: str
    mark: int  # from the eave, 1 is the lowest
    at: Interval
    method: Method
    influence_n: Ends
    hand_n: Ends | None
    spare_n: Ends | None
    word: Word
    opens: tuple[Open, ...] = ()
    gross_n: float | None = None  # of a record that is gross, with what the sheet itself takes
    suction_n: Ends | None = None

    @property
    def demand_n(self) -> Ends | None:
        """By the method that gives the word."""
        return self.influence_n if self.method == "influence" else self.hand_n

    @property
    def ratio(self) -> Ends | None:
        """Demand over spare by the method that gives the word."""
        return ratio_of(self.demand_n, self.spare_n)

    @property
    def other(self) -> Ends | None:
        """The ratio by the other method, to be shown beside it."""
        beside = self.hand_n if self.method == "influence" else self.influence_n
        return ratio_of(beside, self.spare_n)

    @property
    def over_n(self) -> float:
        """By how much the demand passes the spare at the worst; below zero is what is left."""
        if self.demand_n is None or self.spare_n is None:
            return 0.0
        return self.demand_n.high - self.spare_n.low


@dataclass(frozen=True)
class ClipSums:
    """All clips with a demand, seam by seam from the eave, and the word of all together."""

    method: Method
    word: Word
    clips: tuple[ClipLoad, ...]
    opens: tuple[Open, ...]
    own: OwnSuction | None = None  # of the sheet, where a record is gross

    @property
    def worst(self) -> ClipLoad | None:
        """The clip that is used most, of several alike the one with the largest demand."""
        known = [(one.ratio.high, one) for one in self.clips if one.ratio is not None]
        return max(known, key=lambda one: (one[0], one[1].over_n), default=(0.0, None))[1]


def clip_sums(task: ClipTask) -> ClipSums:
    """Every clip of an array; what cannot be solved is open, never a number.

    BadInputError for figures that cannot be.
    """
    by_seam: dict[str, list[ClampPull]] = {}
    for clamp in task.clamps:
        interval(f"force of a clamp on {clamp.seam}", clamp.force_n, "N", 0.0)
        by_seam.setdefault(clamp.seam, []).append(clamp)
    kept: dict[object, _Clips] = {}
    clips: list[ClipLoad] = []
    opens: list[Open] = []
    known = {seam.marked.id: seam for seam in task.seams}
    for name in [*known, *(n for n in by_seam if n not in known)]:
        pulls = by_seam.get(name, [])
        if pulls:
            seam = known.get(name)
            found = _unknown(name, None if seam is None else seam.marked, task.widest)
            if found is not None or seam is None:
                opens.append(found or Open(Word.OBSERVE, "unmarked", MARKS, given=name))
                continue
            solved = _Seam(task, seam, _clips_of(kept, seam.marked, task.widest), pulls)
            clips += solved.loads()
            opens += solved.opens
    word = max([*(c.word for c in clips), *(o.word for o in opens)], default=Word.ALLOWED)
    return ClipSums(task.method, word, tuple(clips), tuple(dict.fromkeys(opens)))


def ratio_of(demand: Ends | None, spare: Ends | None) -> Ends | None:
    """Lowest and highest ratio; None where a side is unknown."""
    if demand is None or spare is None:
        return None
    return Ends(ratio(demand.low, spare.high), ratio(demand.high, spare.low))


def word_of(demand: Ends | None, spare: Ends | None) -> Word:
    """Allowed where the worst stays inside, forbidden where the best does not, else open."""
    found = ratio_of(demand, spare)
    if found is None:
        return Word.OBSERVE
    if found.low > 1 + ROUNDING:
        return Word.FORBIDDEN
    return Word.ALLOWED if found.high <= 1 + ROUNDING else Word.OBSERVE


# --- marks -----------------------------------------------------------------------------


@dataclass
class _Clips:
    """The clips of all seams with the same marks, and what has been worked out of them, in m.

    `ends`: whether no clip can follow below the first and above the last mark; `widest`: the widest
    bay that is one bay, and as far as a sheet can reach beyond its last clip.
    """

    clips: MarkedClips
    longer: MarkedClips | None
    ends: tuple[bool, bool]
    top: float
    widest: float
    shares: dict[Interval, Sequence[Hull]] = field(default_factory=dict)
    levers: dict[Interval, Sequence[Hull]] = field(default_factory=dict)
    lengths: Sequence[Hull] = ()

    def share(self, at: Interval) -> Sequence[Hull]:
        """Range of the share that counts on each clip."""
        if at not in self.shares:
            place = _metres(at)
            self.shares[at] = (
                share_hulls(self.clips, place)
                if self.longer is None
                else part_hulls(self.clips, self.longer, place, 0 if self.ends[0] else MORE)
            )
        return self.shares[at]

    def lever(self, at: Interval) -> Sequence[Hull]:
        """Range of the lever on each clip."""
        if at not in self.levers:
            self.levers[at] = lever_hulls(self.clips, _metres(at))
        return self.levers[at]

    def tributaries(self) -> Sequence[Hull]:
        """Range of the length of sheet that hangs on each clip, wherever the sheet may end."""
        if not self.lengths:
            first, last = self.clips.marks_m[0], self.clips.marks_m[-1]
            eaves = (0.0,) if self.ends[0] else (first[1], max(0.0, first[0] - self.widest))
            tops = (self.top,) if self.ends[1] else (last[0], last[1] + self.widest)
            ways = [tributary_hulls(self.clips, sheet) for sheet in product(eaves, tops)]
            if self.longer is not None:
                marks, more = self.longer.marks_m, 0 if self.ends[0] else MORE
                sheet = (
                    eaves[0] if self.ends[0] else marks[0][1],
                    tops[0] if self.ends[1] else marks[-1][0],
                )
                ways.append(tributary_hulls(self.longer, sheet)[more : more + len(ways[0])])
            self.lengths = [
                Hull(min(h.low for h in one), max(h.high for h in one))
                for one in zip(*ways, strict=True)
            ]
        return self.lengths


def _clips_of(kept: dict[object, _Clips], seam: MarkedSeam, widest: int) -> _Clips:
    """The clips of a seam; those of another with the same marks where there is one."""
    ends = _ends(seam, widest)
    key = seam.marks, ends, seam.top
    if key not in kept:
        clips = MarkedClips(tuple(_metres(mark) for mark in seam.marks))
        longer = None if all(ends) else clips.goes_on(not ends[0], not ends[1])
        kept[key] = _Clips(clips, longer, ends, (seam.top or 0) / METRE, widest / METRE)
    return kept[key]


def _ends(seam: MarkedSeam, widest: int) -> tuple[bool, bool]:
    """Whether the first bay reaches the eave, and the last one the upper end of the sheet."""
    first, last = seam.twice[0], seam.twice[-1]
    return first <= 2 * widest, seam.top is not None and 2 * seam.top - last <= 2 * widest


def _unknown(name: str, seam: MarkedSeam | None, widest: int) -> Open | None:
    """Why the clips of a seam cannot be known: too few marks, marks that meet, a bay too wide."""
    if seam is None or len(seam.marks) < 2:
        return Open(Word.OBSERVE, "unmarked", MARKS, given=name)
    pairs = list(zip(seam.marks, seam.marks[1:], strict=False))
    if any(one[1] >= other[0] for one, other in pairs):
        return Open(Word.OBSERVE, "close", MARKS, given=name)
    if any(sum(other) - sum(one) > 2 * widest for one, other in pairs):
        return Open(Word.OBSERVE, "gap", MARKS, given=name)
    return None


def _metres(at: Interval) -> tuple[float, float]:
    return at[0] / METRE, at[1] / METRE


# --- one seam --------------------------------------------------------------------------


class _Seam:
    """One seam with its clamps; what it cannot say is open."""

    def __init__(
        self, task: ClipTask, seam: ClippedSeam, clips: _Clips, pulls: Iterable[ClampPull]
    ):
        self.task, self.seam, self.clips = task, seam, clips
        self.marks = seam.marked.marks
        self.opens: list[Open] = []
        self.uncovered: dict[int, Open] = {}  # clips that the hand rule says nothing of
        self.pulls = [(p, (p.at - task.slack, p.at + task.slack)) for p in pulls]
        stands = [self._stands(at) for _, at in self.pulls]
        self.known = all(stands)

    def _stands(self, at: Interval) -> bool:
        """Whether a clamp stands where its clips are known; past the last one is the engineer's."""
        ends, name, count = self.clips.ends, self.seam.marked.id, len(self.marks)
        past = at[0] < self.marks[0][1], at[1] > self.marks[-1][0]
        if any(p and not end for p, end in zip(past, ends, strict=True)):
            self.opens.append(Open(Word.OBSERVE, "unmarked", MARKS, given=name))
            return False
        if any(past):
            self.opens.append(Open(Word.ENGINEER, "past_clips", MARKS, given=name))
        if at[0] < self.marks[1][1]:
            self._no_hand_rule((0, 1), ends[0])
        if at[1] > self.marks[-2][0]:
            self._no_hand_rule((count - 2, count - 1), ends[1])
        return True

    def _no_hand_rule(self, clips: tuple[int, int], known: bool) -> None:
        """A clamp in a last bay, or in one that may be it: the lever says too little there."""
        word = Word.ENGINEER if known else Word.OBSERVE
        for clip in clips:
            old = self.uncovered.get(clip)
            if old is None or old.word < word:
                self.uncovered[clip] = Open(word, "last_bay", MARKS, given=self.seam.marked.id)

    def loads(self) -> list[ClipLoad]:
        """All clips of the seam with a demand; none where a clamp on it cannot be placed."""
        if not self.known:
            return []
        rows = [(pull, self.clips.share(at)) for pull, at in self.pulls]
        influence = [_added(rows, n) for n in range(len(self.marks))]
        hand: list[Ends | None] = [None] * len(self.marks)
        if self.task.factor is not None:
            levers = [(pull, self.clips.lever(at)) for pull, at in self.pulls]
            hand = [
                None if n in self.uncovered else _added(levers, n, self.task.factor)
                for n in range(len(self.marks))
            ]
        return [
            self._load(n, influence[n], hand[n])
            for n in range(len(self.marks))
            if influence[n].high > 0
        ]

    def _load(self, n: int, influence: Ends, hand: Ends | None) -> ClipLoad:
        name, opens = self.seam.marked.id, list[Open]()
        spare = self._spare(n, opens)
        words = word_of(influence, spare), word_of(hand, spare)
        if self.task.method == "hand":
            if hand is None:
                lacks = Open(Word.OBSERVE, "missing", "catalogue.clip_factor", "not asked")
                opens.append(self.uncovered.get(n, lacks))
            word = words[1]
        elif hand is not None and words[0] != words[1]:
            opens.append(Open(Word.ENGINEER, "methods", MARKS, given=name))
            word = Word.ENGINEER
        else:
            word = words[0]
        word = max([word, *(one.word for one in opens)])
        place = self.marks[n]
        method, found, own = self.task.method, tuple(opens), self._own_suction(n)
        take = self._take(n)
        gross = None if own is None or take is None else take.resistance_n
        return ClipLoad(name, n + 1, place, method, influence, hand, spare, word, found, gross, own)

    def _take(self, n: int) -> Take | None:
        return self.seam.takes[n] if n < len(self.seam.takes) else None

    def _spare(self, n: int, opens: list[Open]) -> Ends | None:
        """What is left of a clip's resistance for the array; None, and open, where unknown."""
        take, name = self._take(n), self.seam.marked.id
        if take is None:
            opens.append(Open(Word.OBSERVE, "missing", RECORD, given=name))
            return None
        own = finite("design resistance of a clip", take.resistance_n, *FORCE_N, "N")
        found = Ends(own, own)
        if take.basis == "gross":
            drawn = self._own_suction(n)
            if drawn is None:
                opens.append(Open(Word.OBSERVE, "no_suction", RECORD, given=name))
                return None
            found = Ends(max(0.0, own - drawn.high), max(0.0, own - drawn.low))
        if take.also_n is None:
            return found
        also = finite("design resistance of a clip", take.also_n, *FORCE_N, "N")
        return Ends(min(also, found.low), min(also, found.high))

    def _own_suction(self, n: int) -> Ends | None:
        """What the sheet itself puts on a clip, in N; None where it is taken off, or not known."""
        take, width = self._take(n), self.seam.width
        if take is None or take.basis != "gross" or take.suction_pa is None or width[1] <= 0:
            return None
        length, (narrow, wide) = self.clips.tributaries()[n], _metres(width)
        return Ends(
            -spare_n(0.0, take.suction_pa.low, narrow, length.low),
            -spare_n(0.0, take.suction_pa.high, wide, length.high),
        )


def _added(
    rows: Sequence[tuple[ClampPull, Sequence[Hull]]], clip: int, factor: float | None = None
) -> Ends:
    """What all clamps put on a clip, clamp by clamp; by the hand rule no more than all of each."""
    low = high = 0.0
    for pull, hulls in rows:
        hull = hulls[clip]
        parts = (hull.low, hull.high)
        if factor is not None:
            parts = min(1.0, factor * hull.low), min(1.0, factor * hull.high)
        low += pull.force_n.low * parts[0]
        high += pull.force_n.high * parts[1]
    return Ends(low, high)
