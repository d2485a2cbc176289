"""Where a row of modules is parted, so that no rail runs too long or across a line of the roof."""

from dataclasses import dataclass


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


def part_row(row: RowPlan, run: int, divides: tuple[int, ...]) -> Parted | str:
    """The fewest rail pieces, then the most even ones, none longer than `run` or across a divide.

    Exact: all ways to part the row, shortest first. A text says why there is none: `wide`, or
    `divide` with the place of the one that cannot be met between two modules.
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
                if last not in grown or one < grown[last]:
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
