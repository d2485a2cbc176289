"""One rail piece with its load: what each clamp of a pattern takes, and what is wrong with it.

Forces here are local: what a clamp takes is worked out from the two spans beside it alone, at the
drawn places. By the lever rule, exact for a rail with a hinge over every inner clamp; cantilevers
count with their end span. An inner clamp takes `factor` times that, for a rail that runs through.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal

from selector.layout.model import Seam

Forces = Callable[[tuple[int, ...]], Sequence[float]]  # places of all clamps -> N on each
FaultKind = Literal["clamps", "span", "cantilever", "force", "left out", "not here"]
TOLERANCE = 1e-9  # of a ratio, for rounding
DIGITS = 6  # of a force in N, so that equal places give equal forces


@dataclass(frozen=True)
class Strip:
    """A load spread over part of a rail, and the zone it comes from; below zero it relieves."""

    x0: int
    x1: int
    n_per_m: float
    zone: str = ""


@dataclass(frozen=True)
class Limits:
    """Longest span and cantilever, what one clamp may take, and the local factor."""

    span: int
    cantilever: int
    capacity_n: float
    factor: float


@dataclass(frozen=True)
class Stretch:
    """One rail piece: its ends, the seams it crosses, its load; seams `left_out` carry no clamp."""

    x0: int
    x1: int
    seams: tuple[Seam, ...]
    strips: tuple[Strip, ...]
    limits: Limits
    left_out: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Held:
    """One clamp: its force and how much of the capacity that is; the worst zone it serves."""

    seam: str
    x: int
    force_n: float
    ratio: float
    zone: str


@dataclass(frozen=True)
class Fault:
    """What is wrong where: lengths in micrometres, forces in newtons, clamps counted."""

    kind: FaultKind
    seams: tuple[str, ...]
    found: float
    allowed: float
    zone: str = ""


@dataclass(frozen=True)
class Found:
    """A pattern along one piece and its faults; no pattern that holds has less than `at_least`."""

    clamps: tuple[Held, ...]
    faults: tuple[Fault, ...]
    at_least: int = 2

    @property
    def holds(self) -> bool:
        """Whether no limit is passed."""
        return not self.faults

    @property
    def worst(self) -> Held | None:
        """The clamp that is used most, the leftmost of several; None without clamps."""
        return max(self.clamps, key=lambda clamp: clamp.ratio, default=None)


class Line:
    """The seams that may carry a clamp, and what lies left of any place on the piece."""

    def __init__(self, stretch: Stretch):
        self.stretch = stretch
        self.limits = stretch.limits
        self.seams = [seam for seam in seams_on(stretch) if seam.id not in stretch.left_out]
        self.strips = [s for s in stretch.strips if s.n_per_m > 0]  # relief does not count
        _check(stretch)

    def _left_of(self, x: int) -> tuple[float, float]:
        """Load left of a place in N, and its moment about the left end of the piece in N um."""
        load = moment = 0.0
        for strip in self.strips:
            start = max(strip.x0, self.stretch.x0) - self.stretch.x0
            end = min(strip.x1, x, self.stretch.x1) - self.stretch.x0
            if end > start:
                part = strip.n_per_m * (end - start) / 1e6
                load += part
                moment += part * (start + end) / 2
        return load, moment

    @cached_property
    def marks(self) -> list[tuple[int, float, float]]:
        """Place of each seam from the left end, with load and moment left of it."""
        return [(seam.x - self.stretch.x0, *self._left_of(seam.x)) for seam in self.seams]

    @cached_property
    def whole(self) -> tuple[float, float]:
        """All load, and its moment about the left end."""
        return self._left_of(self.stretch.x1)

    def shares(self, i: int, j: int, first: bool, last: bool) -> tuple[float, float]:
        """What lies between two clamps on the left and on the right one, by the lever, in N.

        The cantilever before the first clamp and that after the last one count with their span.
        """
        (a, load_a, moment_a), (b, load_b, moment_b) = self.marks[i], self.marks[j]
        if first:
            load_a = moment_a = 0.0
        if last:
            load_b, moment_b = self.whole
        load, moment = load_b - load_a, moment_b - moment_a
        return (b * load - moment) / (b - a), (moment - a * load) / (b - a)

    def inner(self, left: float, right: float) -> float:
        """What an inner clamp takes of the spans left and right of it."""
        return max(0.0, round(self.limits.factor * (left + right), DIGITS))

    def span(self, i: int, j: int) -> int:
        """The longest that the span may come out."""
        left, right = self.seams[i], self.seams[j]
        return right.x + right.off - left.x + left.off

    def overhangs(self, i: int, j: int) -> tuple[int, int]:
        """The longest that both cantilevers may come out."""
        left, right = self.seams[i], self.seams[j]
        return left.x + left.off - self.stretch.x0, self.stretch.x1 - right.x + right.off

    def misplaced(self, chosen: Sequence[int]) -> bool:
        """Whether a span or a cantilever is longer than allowed, whatever the forces."""
        return max(self.overhangs(chosen[0], chosen[-1])) > self.limits.cantilever or any(
            self.span(i, j) > self.limits.span for i, j in pairwise(chosen)
        )

    def local(self, chosen: Sequence[int]) -> list[float]:
        """The local force of each clamp of a pattern, in N."""
        if len(chosen) < 2:
            return [self.whole[0]] * len(chosen)
        spans = len(chosen) - 1
        shares = [
            self.shares(i, j, number == 0, number == spans - 1)
            for number, (i, j) in enumerate(pairwise(chosen))
        ]
        inner = [self.inner(a[1], b[0]) for a, b in pairwise(shares)]
        return [outer(shares[0][0]), *inner, outer(shares[-1][1])]


def outer(share: float) -> float:
    """What an end clamp takes, in N."""
    return max(0.0, round(share, DIGITS))


def judged(line: Line, chosen: Sequence[int], forces: Forces | None = None) -> Found:
    """A pattern with the force of each clamp and every fault; with local forces if none are given.

    One clamp alone takes the whole load, and is a fault.
    """
    limits = line.limits
    seams = [line.seams[i] for i in chosen]
    places = tuple(seam.x for seam in seams)
    taken = forces(places) if forces and len(chosen) > 1 else line.local(chosen)
    clamps = tuple(
        Held(seam.id, seam.x, force, force / limits.capacity_n, _zone(line.stretch, seams, n))
        for n, (seam, force) in enumerate(zip(seams, taken, strict=True))
    )
    faults = []
    if len(chosen) < 2:
        faults.append(Fault("clamps", tuple(seam.id for seam in seams), len(chosen), 2))
    if chosen:
        ends = (seams[0], seams[-1])
        for seam, length in zip(ends, line.overhangs(chosen[0], chosen[-1]), strict=True):
            if length > limits.cantilever:
                faults.append(Fault("cantilever", (seam.id,), length, limits.cantilever))
    for i, j in pairwise(chosen):
        if line.span(i, j) > limits.span:
            both = (line.seams[i].id, line.seams[j].id)
            faults.append(Fault("span", both, line.span(i, j), limits.span))
    faults += [
        Fault("force", (clamp.seam,), clamp.force_n, limits.capacity_n, clamp.zone)
        for clamp in clamps
        if clamp.ratio > 1 + TOLERANCE
    ]
    return Found(clamps, tuple(faults))


def _zone(stretch: Stretch, seams: list[Seam], number: int) -> str:
    """The zone of the highest load on half of both spans beside a clamp."""
    x = seams[number].x
    low = (seams[number - 1].x + x) // 2 if number else stretch.x0
    high = (seams[number + 1].x + x) // 2 if number + 1 < len(seams) else stretch.x1
    touched = [s for s in stretch.strips if s.x0 < high and low < s.x1]
    return max(touched, key=lambda strip: (strip.n_per_m, -strip.x0)).zone if touched else ""


def seams_on(stretch: Stretch) -> list[Seam]:
    """Seams that surely lie under the piece, from the left."""
    inside = [s for s in stretch.seams if stretch.x0 <= s.x - s.off and s.x + s.off <= stretch.x1]
    return sorted(inside, key=lambda seam: (seam.x, seam.id))


def _check(stretch: Stretch) -> None:
    limits, seams = stretch.limits, seams_on(stretch)
    if stretch.x0 >= stretch.x1:
        raise ValueError("a rail piece runs from left to right")
    if min(limits.span, limits.cantilever) < 0 or limits.capacity_n <= 0 or limits.factor < 1:
        raise ValueError("limits are not below zero, the capacity above, the factor at least one")
    if len({s.id for s in seams}) < len(seams):
        raise ValueError("two seams have one name")
    if any(a.x == b.x for a, b in pairwise(seams)):
        raise ValueError("two seams lie at one place")
