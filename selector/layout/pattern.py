"""Which seams carry a clamp along one rail piece: the fewest that will do, or a pattern judged.

Patterns are paths through a graph of neighbouring clamps: since the force of a clamp depends on
both spans beside it, a node is a pair of neighbours and an edge is the clamp that two pairs share.
With the local factor 1 the forces are those of a hinged rail, which no real force falls below; so
the fewest clamps found then are a bound that no pattern beats.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from math import comb
from typing import Any

import networkx as nx

from selector.layout.model import Pattern
from selector.layout.stretch import (
    TOLERANCE,
    Fault,
    Forces,
    Found,
    Line,
    Stretch,
    judged,
    outer,
    seams_on,
)

Pair = tuple[int, int, bool, bool]  # left, right, left is the first clamp, right is the last one
START, END = "start", "end"
LIMIT = 1 + TOLERANCE
SMALL = 14  # usable seams up to which all subsets may be tried
MANY = 500  # patterns of one count that are still tried one by one
ROUNDS = 20  # patterns that are put right with real forces, for each factor


def least_pattern(stretch: Stretch) -> Found:
    """The fewest clamps under the local bound; of these the least worst ratio, then the most even.

    Claimed is least under the local bound, no more. Evenness is the sum of squares of all spans and
    of twice each cantilever; what is left of ties goes to the left. Where no pattern holds, the one
    that fails least: least worst ratio where the places would do, else a clamp on every seam.
    ValueError for figures that cannot be. Time grows with the number of seams.
    """
    line = Line(stretch)
    chosen = _least_bad(line, _graph(line))
    return judged(line, chosen)


def least_held(stretch: Stretch, forces: Forces) -> Found:
    """The fewest clamps found whose real forces hold, with the number that none can do without.

    `forces` is the beam: the larger of rigid and hinged. Each path of least local force is judged
    with it; a clamp that takes too much bars the two spans beside it, and the next path is tried:
    first with the hinged forces, then with a factor half way, then with the whole one. Where that
    leaves room above the bound, all patterns of a count are tried if they are few. Claimed is that
    the pattern holds, and the bound; not that it is the least. Where none holds, the one found that
    fails least; `at_least` is one more than there are seams where none can.
    """
    line = Line(stretch)
    factor = stretch.limits.factor
    at_least, best = 2, None
    for number, rung in enumerate((1.0, (1 + factor) / 2, factor)):
        tried = Line(replace(stretch, limits=replace(stretch.limits, factor=rung)))
        graph = _graph(tried)
        first = _least(graph)
        if not number:
            at_least = max(2, len(_clamps(first)) or len(line.seams) + 1)
        found = _put_right(tried, graph, first, forces, len(best.clamps) if best else None)
        best = found or best
        if best and len(best.clamps) <= at_least:
            break
    below = len(best.clamps) if best else len(line.seams) + 1
    best = _fewer(line, forces, range(at_least, below)) or best
    if best is None:
        every = judged(line, range(len(line.seams)), forces)
        best = min(judged(line, _least_bad(line, _graph(line)), forces), every, key=_badness)
    return replace(best, at_least=at_least)


def fixed_pattern(
    stretch: Stretch,
    pattern: Pattern,
    by_hand: Iterable[str] = (),
    forces: Forces | None = None,
) -> Found:
    """A pattern that somebody wants, judged as it is, with local forces where none are given.

    `by_hand` names its seams. Every second seam is counted over all seams of the piece, from the
    first or from the second, whichever holds better; seams left out stay out.
    """
    if pattern == "least":
        return least_held(stretch, forces) if forces else least_pattern(stretch)
    line = Line(stretch)
    if pattern == "every seam":
        return judged(line, range(len(line.seams)), forces)
    if pattern == "every second seam":
        place = {seam.id: number for number, seam in enumerate(seams_on(stretch))}
        halves = [[i for i, s in enumerate(line.seams) if place[s.id] % 2 == n] for n in (0, 1)]
        return min((judged(line, half, forces) for half in halves), key=_badness)
    wanted = set(by_hand)
    found = judged(line, [i for i, s in enumerate(line.seams) if s.id in wanted], forces)
    return replace(found, faults=(*_not_to_be_had(line, wanted), *found.faults))


def true_least(stretch: Stretch, forces: Forces) -> tuple[str, ...]:
    """Seams of the fewest clamps whose real forces hold, then of the least worst ratio.

    All subsets are tried, so that ValueError is raised above 14 seams. Empty where none holds.
    """
    line = Line(stretch)
    if len(line.seams) > SMALL:
        raise ValueError(f"{len(line.seams)} seams given; all subsets are tried of {SMALL} only")
    for count in range(2, len(line.seams) + 1):
        tried = [
            (max(forces(tuple(line.seams[i].x for i in chosen))), chosen)
            for chosen in combinations(range(len(line.seams)), count)
            if not line.misplaced(chosen)
        ]
        worst, chosen = min(tried, default=(0.0, ()))
        if tried and worst <= stretch.limits.capacity_n * LIMIT:
            return tuple(line.seams[i].id for i in chosen)
    return ()


# --- the graph -------------------------------------------------------------------------


def _graph(line: Line) -> "nx.DiGraph[Any]":
    """Pairs of neighbouring clamps; an edge says what the clamp between two pairs takes."""
    graph: nx.DiGraph[Any] = nx.DiGraph()
    before: list[list[tuple[Pair, float]]] = [[] for _ in line.seams]
    for pair in _pairs(line):
        i, j, first, last = pair
        left, right = line.shares(i, j, first, last)
        even = (line.seams[j].x - line.seams[i].x) ** 2
        start, end = line.overhangs(i, j)
        if first:
            _edge(graph, (START, pair), line, i, outer(left), even + 4 * start**2)
        for pair_before, share in before[i] if not first else ():
            _edge(graph, (pair_before, pair), line, i, line.inner(share, left), even)
        if last:
            _edge(graph, (pair, END), line, j, outer(right), 4 * end**2)
        else:
            before[j].append((pair, right))
    return graph


def _pairs(line: Line) -> Iterator[Pair]:
    """Every pair that may neighbour each other, those further left first."""
    most, count = line.limits.cantilever, len(line.seams)
    for i in range(count):
        for j in range(i + 1, count):
            if line.span(i, j) > line.limits.span:
                break
            start, end = line.overhangs(i, j)
            for first in (False, True)[: 1 + (start <= most)]:
                for last in (False, True)[: 1 + (end <= most)]:
                    yield i, j, first, last


def _edge(
    graph: "nx.DiGraph[Any]", nodes: tuple[Any, Any], line: Line, at: int, force_n: float, even: int
) -> None:
    """One clamp; its weight is clamps, then evenness, then place, as one whole number."""
    weight = (1 << 110) + (even << 45) + line.seams[at].x - line.stretch.x0
    graph.add_edge(*nodes, ratio=force_n / line.limits.capacity_n, weight=weight)


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


def _least(graph: "nx.DiGraph[Any]", limit: float = LIMIT) -> list[Any]:
    """Fewest clamps with no ratio above the limit, least worst ratio, most even, leftmost."""
    path = _path(graph, lambda edge: _Cost((1, edge["ratio"])) if edge["ratio"] <= limit else None)
    if not path:
        return []
    worst = _worst(graph, path)
    return _path(graph, lambda edge: edge["weight"] if edge["ratio"] <= worst else None)


def _least_bad(line: Line, graph: "nx.DiGraph[Any]") -> list[int]:
    """A pattern that holds; else of the least worst ratio; else a clamp on every seam."""
    path = _least(graph)
    if not path:
        through = _path(graph, lambda edge: _Cost((0, edge["ratio"])))
        path = _least(graph, _worst(graph, through)) if through else []
    return _clamps(path) or list(range(len(line.seams)))


def _worst(graph: "nx.DiGraph[Any]", path: list[Any]) -> float:
    ratios: list[float] = [graph.edges[pair]["ratio"] for pair in pairwise(path)]
    return max(ratios)


def _clamps(path: list[Any]) -> list[int]:
    """Numbers of the seams that a path puts a clamp on."""
    return [path[1][0], *(pair[1] for pair in path[1:-1])] if path else []


# --- patterns put right with real forces -----------------------------------------------


def _put_right(
    line: Line, graph: "nx.DiGraph[Any]", path: list[Any], forces: Forces, below: int | None
) -> Found | None:
    """The first path that holds with real forces and has fewer clamps than `below`."""
    for _ in range(ROUNDS):
        chosen = _clamps(path)
        if not chosen or (below is not None and len(chosen) >= below):
            return None
        found = judged(line, chosen, forces)
        if found.holds:
            return found
        for edge, clamp in zip(pairwise(path), found.clamps, strict=True):
            graph.edges[edge]["ratio"] = max(graph.edges[edge]["ratio"], clamp.ratio)
        path = _least(graph)
    return None


def _fewer(line: Line, forces: Forces, counts: Iterable[int]) -> Found | None:
    """The best pattern of the first of these counts that has one; counts of many are passed by."""
    seams = range(len(line.seams))
    for count in counts:
        if comb(len(seams), count) <= MANY:
            placed = (chosen for chosen in combinations(seams, count) if not line.misplaced(chosen))
            tried = [judged(line, chosen, forces) for chosen in placed]
            best = min(tried, key=_badness, default=None)
            if best and best.holds:
                return best
    return None


def _badness(found: Found) -> tuple[bool, int, float]:
    worst = found.worst
    return worst is None, len(found.faults), worst.ratio if worst else 0.0


def _not_to_be_had(line: Line, wanted: set[str]) -> list[Fault]:
    """Seams set by hand that may carry nothing, or that the piece does not surely cross."""
    usable = {seam.id for seam in line.seams}
    return [
        Fault("left out" if name in line.stretch.left_out else "not here", (name,), 1, 0)
        for name in sorted(wanted - usable)
    ]
