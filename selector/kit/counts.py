"""What is counted on a laid-out array: every figure is a sum over its positions.

Counts of the trade (module clamps a rail line, two end clamps at a break, jumpers): common
practice, no source.
"""

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from selector.layout.model import Bar, Box, Placed, Rail, Row


@dataclass(frozen=True)
class Tally:
    """So many each on so many; `of` is what they are counted from: modules, runs of modules."""

    each: int
    on: int
    of: int = 0

    @property
    def total(self) -> int:
        """All of them."""
        return self.each * self.on


Tallies = tuple[Tally, ...]


def total(tallies: Iterable[Tally]) -> int:
    """All of several tallies."""
    return sum(t.total for t in tallies)


@dataclass(frozen=True)
class Counts:
    """Counted pieces; lengths in micrometres."""

    modules: Tallies  # modules on rows
    clamps: Tallies  # clamps on rail pieces
    pieces: int
    run: int  # all rail pieces together
    rigid: Tallies  # rigid splices in pieces
    sliding: int
    gaps: int
    mids: Tallies  # on rail lines; `of`: modules on the line
    ends: Tallies  # on rail lines; `of`: unbroken runs of modules
    breaks: int  # places of a row where no module bridges
    cables: tuple[tuple[int, int], ...]  # length of a row, rows
    area: int  # modules with the gaps between them, square micrometres
    parts: tuple[tuple[int, int], ...]  # length of a part of a rail piece, parts
    bars: tuple[Bar, ...] | None  # None: nothing is cut yet
    upper: Tallies = ()  # upper rails on columns of modules
    upper_run: int = 0
    crossings: Tallies = ()  # lower rails that upper rails cross

    @property
    def rows(self) -> int:
        """Rows of modules."""
        return sum(t.on for t in self.modules)

    @property
    def all_clamps(self) -> int:
        """Seam clamps."""
        return total(self.clamps)


def tallied(found: Iterable[tuple[int, int]]) -> Tallies:
    """Pairs of a number and what it is counted from, equal ones taken together; zeros are none."""
    groups = Counter(pair for pair in found if pair[0])
    return tuple(Tally(each, on, of) for (each, of), on in sorted(groups.items(), reverse=True))


def counted(placed: Placed, *, upper_lines: int | None = None) -> Counts:
    """Counts of an array; `upper_lines`: rails of a second layer on each column of modules.

    ValueError where the cut plan saws other pieces than are laid.
    """
    pieces = [piece for rail in placed.rails for piece in rail.pieces]
    joints = Counter(j for rail in placed.rails for j in rail.joints)
    rigid = [*((len(p.parts) - 1, 0) for p in pieces), *[(1, 0)] * joints["rigid"]]
    runs = [run for row in placed.rows for run in runs_of(row)]
    upper = _upper(placed, upper_lines) if upper_lines else None
    held = upper.held if upper else list(_held(placed))
    return Counts(
        modules=tallied((len(row.modules), 0) for row in placed.rows),
        clamps=tallied((len(p.clamps), 0) for p in pieces),
        pieces=len(pieces),
        run=sum(sum(p.parts) for p in pieces),
        rigid=tallied(rigid),
        sliding=joints["sliding"],
        gaps=joints["gap"],
        mids=tallied((sum(n - 1 for n in line), sum(line)) for line in held),
        ends=tallied((2 * len(line), len(line)) for line in held),
        breaks=sum(len(row.breaks) for row in placed.rows),
        cables=tuple(Counter(r.box.x1 - r.box.x0 for r in placed.rows).items()),
        area=sum((run[-1].x1 - run[0].x0) * (run[0].y1 - run[0].y0) for run in runs),
        parts=tuple(sorted(Counter(part for p in pieces for part in p.parts).items())),
        bars=_bars(placed),
        upper=tallied((upper_lines, 0) for _ in upper.columns) if upper and upper_lines else (),
        upper_run=upper.length if upper else 0,
        crossings=upper.crossings if upper else (),
    )


def runs_of(row: Row) -> list[tuple[Box, ...]]:
    """Modules of a row that hold on to each other; a break counts modules from the left, from 1."""
    ends = [*sorted({n for n in row.breaks if n < len(row.modules)}), len(row.modules)]
    starts = [0, *ends[:-1]]
    return [row.modules[a:b] for a, b in zip(starts, ends, strict=True)]


def _held(placed: Placed) -> Iterator[list[int]]:
    """For each rail line: how many modules lie on it in each unbroken run."""
    rows = {row.number: row for row in placed.rows}
    for rail in placed.rails:
        row = rows.get(rail.row)
        if row is not None:
            yield [n for run in runs_of(row) for n in _on(rail, run)]


def _on(rail: Rail, run: tuple[Box, ...]) -> list[int]:
    """Lengths of the stretches of a run that lie on a rail."""
    lies = [any(p.x0 < m.x1 and m.x0 < p.x1 for p in rail.pieces) for m in run]
    return [len(list(same)) for on, same in itertools.groupby(lies) if on]


def _bars(placed: Placed) -> tuple[Bar, ...] | None:
    if placed.cut is None:
        return None
    laid = Counter(part for rail in placed.rails for p in rail.pieces for part in p.parts)
    if laid != Counter(cut for bar in placed.cut.bars for cut in bar.cuts):
        raise ValueError("the cut plan saws other pieces than are laid")
    return placed.cut.bars


# --- two layers of rails -------------------------------------------------------------------


@dataclass(frozen=True)
class _Upper:
    """Columns of modules with the upper rails on them."""

    columns: list[list[Box]]
    held: list[list[int]]
    length: int
    crossings: Tallies


def _upper(placed: Placed, lines: int) -> _Upper:
    """Upper rails: so many on each column, as long as it, over every lower rail that it meets."""
    columns: list[list[Box]] = []
    open_at: dict[tuple[int, int], list[Box]] = {}
    for row in sorted(placed.rows, key=lambda r: r.number):
        still = {}
        for box in row.modules:
            below = open_at.get((box.x0, box.x1))
            if below is None:
                below = []
                columns.append(below)
            below.append(box)
            still[box.x0, box.x1] = below
        open_at = still
    length = lines * sum(column[-1].y1 - column[0].y0 for column in columns)
    met = [(sum(_crosses(rail, column) for rail in placed.rails), 0) for column in columns]
    held = [[len(column)] for column in columns for _ in range(lines)]
    return _Upper(columns, held, length, tallied(m for m in met for _ in range(lines)))


def _crosses(rail: Rail, column: list[Box]) -> bool:
    low, high = column[0], column[-1]
    within = low.y0 <= rail.y <= high.y1
    return within and any(p.x0 < low.x1 and low.x0 < p.x1 for p in rail.pieces)
