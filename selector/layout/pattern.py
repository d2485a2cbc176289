"""Which seams carry a clamp along one rail piece: the least that will do, or a pattern judged.

Forces here are local: what a clamp takes is worked out from the two spans beside it alone. An inner
clamp takes `factor` times what the lever rule gives it, an end clamp all that lies on its side of
the next clamp by the lever. The lever is exact for a rail with a hinge over every inner clamp; the
factor stands for a rail that runs through. Whether the clamps hold is for the beam to say, with the
whole rail; what is claimed here is only *least under this local bound*.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise
from typing import Any, Literal

import networkx as nx

from selector.layout.model import Pattern, Seam

Forces = Callable[[tuple[int, ...]], Sequence[float]]
FaultKind = Literal["clamps", "span", "cantilever", "force", "left out", "not here"]
TOLERANCE = 1e-9  # of a ratio, for rounding
DIGITS = 6  # of a force in N, so that equal places give equal forces
SMALL = 14  # seams that all subsets are tried of
START, END = "start", "end"


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
    """One clamp: its local force and how much of the capacity that is; the worst zone it serves."""

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
    """A pattern along one piece and its faults; without any it holds under the local bound."""

    clamps: tuple[Held, ...]
    faults: tuple[Fault, ...]

    @property
    def holds(self) -> bool:
        """Whether no limit is passed."""
        return not self.faults

    @property
    def worst(self) -> Held | None:
        """The clamp that is used most, the leftmost of several; None without clamps."""
        return max(self.clamps, key=lambda clamp: clamp.ratio, default=None)


def least_pattern(stretch: Stretch) -> Found:
    """The fewest clamps under the local bound; of these the least worst ratio, then the most even.

    Evenness is the sum of squares of all spans and of twice each cantilever; what is left of ties
    goes to the left. Where no pattern holds, the one that fails least: least worst ratio where the
    places would do, else a clamp on every seam. ValueError for figures that cannot be.
    """
    line = _Line(stretch)
    graph = line.graph()
    if not _path(graph, lambda edge: 1):
        return _judged(line, range(len(line.seams)))
    limit = 1 + TOLERANCE
    path = _path(graph, lambda edge: _Cost((1, edge["ratio"])) if edge["ratio"] <= limit else None)
    if not path:
        limit = _worst(graph, _path(graph, lambda edge: _Cost((0, edge["ratio"]))))
        path = _path(
            graph, lambda edge: _Cost((1, edge["ratio"])) if edge["ratio"] <= limit else None
        )
    limit = _worst(graph, path)
    path = _path(graph, lambda edge: edge["even"] if edge["ratio"] <= limit else None)
    return _judged(line, [path[1][0], *(pair[1] for pair in path[1:-1])])


def fixed_pattern(stretch: Stretch, pattern: Pattern, by_hand: Iterable[str] = ()) -> Found:
    """A pattern that somebody wants, judged as it is; `by_hand` names its seams.

    Every second seam is counted over all seams of the piece, from the first or from the second,
    whichever holds better; seams left out stay out.
    """
    if pattern == "least":
        return least_pattern(stretch)
    line = _Line(stretch)
    if pattern == "every seam":
        return _judged(line, range(len(line.seams)))
    if pattern == "every second seam":
        place = {seam.id: number for number, seam in enumerate(_on(stretch))}
        halves = [[i for i, s in enumerate(line.seams) if place[s.id] % 2 == n] for n in (0, 1)]
        return min((_judged(line, half) for half in halves), key=_badness)
    wanted = set(by_hand)
    found = _judged(line, [i for i, s in enumerate(line.seams) if s.id in wanted])
    return Found(found.clamps, (*_not_to_be_had(stretch, line, wanted), *found.faults))


def true_least(stretch: Stretch, forces: Forces) -> tuple[str, ...]:
    """Seams of the fewest clamps whose real forces hold, then of the least worst ratio.

    `forces` gives the real force of each clamp for the places of all of them. All subsets are
    tried, so that ValueError is raised above 14 seams. Empty where no subset holds.
    """
    line = _Line(stretch)
    if len(line.seams) > SMALL:
        raise ValueError(f"{len(line.seams)} seams given; all subsets are tried of {SMALL} only")
    for count in range(2, len(line.seams) + 1):
        tried = [
            (max(forces(tuple(line.seams[i].x for i in chosen))), chosen)
            for chosen in combinations(range(len(line.seams)), count)
            if not line.misplaced(chosen)
        ]
        worst, chosen = min(tried, default=(0.0, ()))
        if tried and worst <= stretch.limits.capacity_n * (1 + TOLERANCE):
            return tuple(line.seams[i].id for i in chosen)
    return ()


# --- one rail piece with its figures ---------------------------------------------------


class _Line:
    """The seams that may carry a clamp, and what lies left of any place on the piece."""

    def __init__(self, stretch: Stretch):
        self.stretch = stretch
        self.limits = stretch.limits
        self.seams = [seam for seam in _on(stretch) if seam.id not in stretch.left_out]
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
    def marks(self) -> list[tuple[tuple[int, float, float], ...]]:
        """Leftmost, drawn and rightmost place of each seam, with load and moment left of it."""
        start = self.stretch.x0
        return [
            tuple((x - start, *self._left_of(x)) for x in (s.x - s.off, s.x, s.x + s.off))
            for s in self.seams
        ]

    @cached_property
    def whole(self) -> tuple[float, float]:
        """All load, and its moment about the left end."""
        return self._left_of(self.stretch.x1)

    def on_left(self, i: int, j: int) -> float:
        """What the span between two clamps puts on its left one, the right one set far."""
        (a, load_a, moment_a), (b, load_b, moment_b) = self.marks[i][1], self.marks[j][2]
        return (b * (load_b - load_a) - (moment_b - moment_a)) / (b - a)

    def on_right(self, i: int, j: int) -> float:
        """What the span between two clamps puts on its right one, the left one set far."""
        (a, load_a, moment_a), (b, load_b, moment_b) = self.marks[i][0], self.marks[j][1]
        return ((moment_b - moment_a) - a * (load_b - load_a)) / (b - a)

    def at_start(self, i: int, j: int) -> float:
        """What the first clamp takes: all left of the next one, by the lever, set at the worst."""
        a = self.marks[i][2][0]
        worst = max((b * load - moment) / (b - a) for b, load, moment in self.marks[j][::2])
        return round(worst, DIGITS)

    def at_end(self, i: int, j: int) -> float:
        """What the last clamp takes: all right of the one before, by the lever."""
        b, (load, moment) = self.marks[j][0][0], self.whole
        worst = max(
            ((moment - moment_a) - a * (load - load_a)) / (b - a)
            for a, load_a, moment_a in self.marks[i][::2]
        )
        return round(worst, DIGITS)

    def inner(self, left: float, right: float) -> float:
        """What an inner clamp takes of the spans left and right of it."""
        return round(self.limits.factor * (left + right), DIGITS)

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

    def forces(self, chosen: Sequence[int]) -> list[float]:
        """The local force of each clamp of a pattern, in N."""
        if len(chosen) < 2:
            return [self.whole[0]] * len(chosen)
        inner = [
            self.inner(self.on_right(i, j), self.on_left(j, k))
            for i, j, k in zip(chosen, chosen[1:], chosen[2:], strict=False)
        ]
        return [self.at_start(*chosen[:2]), *inner, self.at_end(*chosen[-2:])]

    def graph(self) -> "nx.DiGraph[Any]":
        """Pairs of neighbouring clamps; an edge says what the clamp between two pairs takes."""
        graph: nx.DiGraph[Any] = nx.DiGraph()
        count, limits = len(self.seams), self.limits
        onward = [
            [j for j in range(i + 1, count) if self.span(i, j) <= limits.span] for i in range(count)
        ]
        left = [{j: self.on_left(i, j) for j in onward[i]} for i in range(count)]
        for i in range(count):
            for j in onward[i]:
                before, after = self.overhangs(i, j)
                even = (self.seams[j].x - self.seams[i].x) ** 2
                if before <= limits.cantilever:
                    self._edge(graph, START, (i, j), i, self.at_start(i, j), 4 * before**2)
                if after <= limits.cantilever:
                    uneven = even + 4 * after**2
                    self._edge(graph, (i, j), END, j, self.at_end(i, j), uneven)
                right = self.on_right(i, j)
                for k in onward[j]:
                    self._edge(graph, (i, j), (j, k), j, self.inner(right, left[j][k]), even)
        return graph

    def _edge(
        self, graph: "nx.DiGraph[Any]", start: Any, end: Any, at: int, force_n: float, even: int
    ) -> None:
        """One clamp; its weight is clamps, then evenness, then place, as one whole number."""
        weight = (1 << 110) + (even << 45) + self.seams[at].x - self.stretch.x0
        graph.add_edge(start, end, ratio=force_n / self.limits.capacity_n, even=weight)


class _Cost(tuple[int, float]):
    """Clamps so far and the worst ratio of them; less is better, clamps first."""

    __slots__ = ()

    def __add__(self, other: object) -> "_Cost":
        count, worst = other if isinstance(other, _Cost) else (0, 0.0)
        return _Cost((self[0] + count, max(self[1], worst)))

    __radd__ = __add__


def _path(graph: "nx.DiGraph[Any]", weight: Callable[[dict[str, Any]], Any]) -> list[Any]:
    """The lightest way through the graph; empty where there is none."""
    if START not in graph or END not in graph:
        return []
    try:
        found: list[Any] = nx.dijkstra_path(graph, START, END, lambda u, v, edge: weight(edge))
    except nx.NetworkXNoPath:
        return []
    return found


def _worst(graph: "nx.DiGraph[Any]", path: list[Any]) -> float:
    ratios: list[float] = [graph.edges[pair]["ratio"] for pair in pairwise(path)]
    return max(ratios)


# --- a pattern judged ------------------------------------------------------------------


def _judged(line: _Line, chosen: Sequence[int]) -> Found:
    """A pattern with the force of each clamp and every fault."""
    limits = line.limits
    seams = [line.seams[i] for i in chosen]
    clamps = tuple(
        Held(seam.id, seam.x, force, force / limits.capacity_n, _zone(line.stretch, seams, n))
        for n, (seam, force) in enumerate(zip(seams, line.forces(chosen), strict=True))
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
    return max(touched, key=lambda strip: strip.n_per_m).zone if touched else ""


def _badness(found: Found) -> tuple[bool, int, float]:
    worst = found.worst
    return worst is None, len(found.faults), worst.ratio if worst else 0.0


def _not_to_be_had(stretch: Stretch, line: _Line, wanted: set[str]) -> list[Fault]:
    """Seams set by hand that may carry nothing, or that the piece does not cross."""
    usable = {seam.id for seam in line.seams}
    return [
        Fault("left out" if name in stretch.left_out else "not here", (name,), 1, 0)
        for name in sorted(wanted - usable)
    ]


def _on(stretch: Stretch) -> list[Seam]:
    """Seams that surely lie under the piece, from the left."""
    inside = [s for s in stretch.seams if stretch.x0 <= s.x - s.off and s.x + s.off <= stretch.x1]
    return sorted(inside, key=lambda seam: (seam.x, seam.id))


def _check(stretch: Stretch) -> None:
    limits, seams = stretch.limits, _on(stretch)
    if stretch.x0 >= stretch.x1:
        raise ValueError("a rail piece runs from left to right")
    if min(limits.span, limits.cantilever) < 0 or limits.capacity_n <= 0 or limits.factor < 1:
        raise ValueError("limits are not below zero, the capacity above, the factor at least one")
    if len({s.id for s in seams}) < len(seams):
        raise ValueError("two seams have one name")
    if any(a.x + a.off >= b.x - b.off for a, b in pairwise(seams)):
        raise ValueError("two seams lie so close that it is open which is left of the other")
