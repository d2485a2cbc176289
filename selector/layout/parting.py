"""Where a row of modules is parted, so that no rail runs too long or across a line of the roof."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from selector.layout.model import Seam

Carried = Callable[[int, int], bool]  # whether seams carry a piece between these ends
STEP = 10_000  # an array is set elsewhere in such steps


@dataclass(frozen=True)
class RowPlan:
    """A row as it lies: its left end, its modules, gaps, and how far rails run past a module.

    All in micrometres. `breaks` are the modules after which it is parted anyway.
    """

    left: int
    wide: int
    columns: int
    gap: int
    break_gap: int
    past: int
    breaks: tuple[int, ...] = ()

    def piece(self, first: int, last: int, breaks_before: int) -> tuple[int, int]:
        """Ends of the rail under the modules `first` to `last`, counted from 1."""
        shift = self.left + breaks_before * (self.break_gap - self.gap)
        start = shift + (first - 1) * (self.wide + self.gap)
        end = shift + last * (self.wide + self.gap) - self.gap
        return start - self.past, end + self.past


@dataclass(frozen=True)
class Parted:
    """After which modules a row is parted, and the ends of its rail pieces."""

    breaks: tuple[int, ...]
    pieces: tuple[tuple[int, int], ...]


def part_row(
    row: RowPlan, run: int, divides: tuple[int, ...], carried: Carried = lambda x0, x1: True
) -> Parted | str:
    """The fewest rail pieces, then the most even ones, none longer than `run` or across a divide.

    Exact: all ways to part the row, fewest pieces first; only pieces that are `carried` count. A
    text says why there is none: `wide`, where one module is wider than the run, else `divide`.
    """
    if row.wide + 2 * row.past > run:
        return "wide"
    # (breaks, modules done) -> sum of squares, breaks; every piece shifts those after it
    best: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, ())}
    for count in range(row.columns):
        grown: dict[int, tuple[int, tuple[int, ...]]] = {}
        for done, (cost, breaks) in best.items():
            for last in range(done + 1, row.columns + 1):
                x0, x1 = row.piece(done + 1, last, count)
                if x1 - x0 > run or any(x0 < d < x1 for d in divides):
                    break
                one = (cost + (x1 - x0) ** 2, (*breaks, last))
                if carried(x0, x1) and (last not in grown or one < grown[last]):
                    grown[last] = one
                if last in row.breaks:
                    break
        if row.columns in grown:
            return _parted(row, grown[row.columns][1])
        best = grown
        if not best:
            break
    return "divide"


def _parted(row: RowPlan, ends: tuple[int, ...]) -> Parted:
    firsts = (1, *(end + 1 for end in ends[:-1]))
    pieces = tuple(row.piece(a, b, n) for n, (a, b) in enumerate(zip(firsts, ends, strict=True)))
    return Parted(ends[:-1], pieces)


def carried_by(seams: Iterable[Seam], span: int, cantilever: int) -> Carried:
    """Whether clamps on every seam under a piece leave no span and no end too long."""
    ordered = sorted(seams, key=lambda seam: seam.x)
    starts = [s.x - s.off for s in ordered]
    ends = [s.x + s.off for s in ordered]
    wide = [b.x + b.off - a.x + a.off > span for a, b in pairwise(ordered)]
    before = [0, *accumulate(wide)]  # spans too long, left of each seam

    def carried(x0: int, x1: int) -> bool:
        first, last = bisect_left(starts, x0), bisect_right(ends, x1) - 1
        if last <= first or before[last] > before[first]:
            return False
        return ends[first] - x0 <= cantilever and x1 - starts[last] <= cantilever

    return carried


def elsewhere(
    row: RowPlan,
    run: int,
    divides: tuple[int, ...],
    carried: Carried,
    reach: int,
    widen: int,
) -> Iterator[tuple[int, RowPlan, Parted]]:
    """Rows set elsewhere along the eave so that every piece is carried, with their shift.

    The fewest pieces first, as many as no row can do without before all others; then the narrowest
    break, up to `widen` wider, then the least shift up to `reach`, to the right before to the left.
    In steps of 10 mm, breaks in steps of 20 mm; nothing left of the eave's end.
    """
    bare = part_row(row, run, divides)
    fewest = 0 if isinstance(bare, str) else len(bare.pieces)
    shifts = sorted(range(-reach, reach + 1, STEP), key=lambda by: (abs(by), -by))
    others = []
    for more in range(0, widen + 1, 2 * STEP):
        for by in shifts:
            moved = replace(row, left=row.left + by, break_gap=row.break_gap + more)
            parted = part_row(moved, run, divides, carried) if moved.left >= 0 else ""
            if not isinstance(parted, Parted):
                continue
            if len(parted.pieces) <= fewest:
                yield by, moved, parted
            else:
                others.append((by, moved, parted))
    yield from sorted(others, key=lambda other: len(other[2].pieces))
