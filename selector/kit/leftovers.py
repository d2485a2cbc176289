"""What can be finished from counted leftovers: stacks whose parts are there, and how far they go.

Rows are finished from the eave, each run of modules from the left; a run is finished or it is not.
Rail pieces are sawn from the leftovers by first fit, longest first: what fits so surely fits, and
what does not may still fit another way. Spares are not counted: nothing of a van is spare.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from selector.inference.answer import Answer, Desk, Option
from selector.kit.chosen import Chosen
from selector.kit.counts import counted, runs_of
from selector.kit.lines import goods
from selector.kit.model import Line
from selector.layout.model import Box, Placed, Rail
from selector.model.job import StackPlan
from selector.model.truth import Word
from selector.model.van import Van

NOT_FITTED = ("module", "set_screw")  # modules lie elsewhere; screws come with their clamps
LATER = ("end_cap", "cable_clip", "jumper", "brought")  # wanted before handing over
KERF = "saw_kerf"


@dataclass(frozen=True)
class Short:
    """What is lacking: a part (or its kind, where none is listed), pieces, metres of rail."""

    kind: str
    part: str
    pieces: int
    length: int = 0  # of rail, in micrometres


@dataclass(frozen=True)
class Finish:
    """How far the leftovers go: modules in whole runs, and what the next run lacks.

    `later` is lacking for what is finished, before it is handed over.
    """

    modules: int
    of: int
    rows: int  # whole ones
    short: tuple[Short, ...]
    later: tuple[Short, ...]


@dataclass(frozen=True)
class Leftover:
    """A stack whose parts are in the van; `finish` is None where nothing can be laid out."""

    option: Option
    plan: StackPlan
    finish: Finish | None


def buildable(answer: Answer, van: Van) -> list[Option]:
    """Stacks that are not refused and whose every part is in the van, best first."""
    return [
        option
        for option in answer.options
        if option.verdict.word < Word.ENGINEER and all(map(van.has, parts_of(option)))
    ]


def parts_of(option: Option) -> list[str]:
    """Every part that a stack is made of, module clamp included."""
    found = [*option.core.parts, *([option.module_clamp] if option.module_clamp else [])]
    return list(dict.fromkeys(found))


def finish(desk: Desk, plan: StackPlan, placed: Placed, van: Van) -> Finish:
    """How many runs of an array that is laid out for a stack the leftovers finish."""
    work = _Work(desk, plan, placed, van)
    done: Placed | None = None
    for upto in _prefixes(placed):
        lacks = work.lacks(upto)
        if lacks:
            return work.finished(done, lacks)
        done = upto
    return work.finished(done, ())


@dataclass(frozen=True)
class _Work:
    """One layout and one van."""

    desk: Desk
    plan: StackPlan
    placed: Placed
    van: Van

    def lines(self, placed: Placed) -> tuple[Line, ...]:
        """Counted lines of a part of the layout."""
        base, array = self.desk.base, self.desk.job.arrays[self.plan.array]
        crossed = self.plan.slots.get("cross") is not None
        counts = counted(placed, upper_lines=array.rail_lines if crossed else None)
        return goods(base, Chosen(base, self.plan, base.part(array.module)), counts)

    def lacks(self, placed: Placed) -> tuple[Short, ...]:
        """What is not there for a part of the layout, caps and cables aside."""
        lines = [x for x in self.lines(placed) if x.kind not in (*NOT_FITTED, *LATER)]
        rails = [x for x in lines if x.kind in ("rail", "upper_rail")]
        others = [x for x in lines if x not in rails]
        return (*self._pieces(others), *self._rails(rails, placed))

    def finished(self, done: Placed | None, lacks: tuple[Short, ...]) -> Finish:
        """The result for so much of the layout."""
        whole = {row.number: len(row.modules) for row in self.placed.rows}
        rows = done.rows if done is not None else ()
        later: tuple[Short, ...] = ()
        if done is not None:
            later = tuple(self._pieces(x for x in self.lines(done) if x.kind in LATER))
        return Finish(
            modules=sum(len(row.modules) for row in rows),
            of=sum(whole.values()),
            rows=sum(len(row.modules) == whole[row.number] for row in rows),
            short=lacks,
            later=later,
        )

    def _pieces(self, lines: Iterable[Line]) -> Iterator[Short]:
        """Parts of which too few are there; what nobody can count is lacking whole."""
        wanted: dict[tuple[str, str], int] = defaultdict(int)
        kinds: dict[tuple[str, str], str] = {}
        for line in lines:
            key = (line.part, "" if line.part else line.kind)
            kinds.setdefault(key, line.kind)
            if line.number is None:
                yield Short(line.kind, line.part, 0)
            else:
                wanted[key] += line.number
        for (part, kind), number in wanted.items():
            left = number - (self.van.pieces.get(part, 0) if part else 0)
            if left > 0:
                yield Short(kinds[part, kind], part, left)

    def _rails(self, lines: list[Line], placed: Placed) -> Iterator[Short]:
        """Rails that the leftovers cannot be sawn to; the length of the pieces that are left."""
        for line in lines:
            if line.kind == "upper_rail":
                yield Short(line.kind, line.part, 0)  # nobody saws upper rails on paper yet
        if any(line.kind == "rail" for line in lines):
            rail = next(line for line in lines if line.kind == "rail")
            cuts = [part for r in placed.rails for p in r.pieces for part in p.parts]
            kerf = self.desk.base.numbers[KERF].value.places[0].high
            rest = unsawn(cuts, self.van.lengths.get(rail.part, ()), kerf)
            if rest:
                yield Short("rail", rail.part, len(rest), sum(rest))


def unsawn(cuts: Iterable[int], bars: Iterable[int], kerf: int) -> list[int]:
    """Pieces that first fit, longest first, does not find a leftover for; a saw cut between two."""
    left = sorted(bars)
    missing = []
    for cut in sorted(cuts, reverse=True):
        fitting = next((n for n, bar in enumerate(left) if bar >= cut), None)
        if fitting is None:
            missing.append(cut)
            continue
        bar = left.pop(fitting)
        if bar - cut > kerf:
            left = sorted([*left, bar - cut - kerf])
    return missing


def _prefixes(placed: Placed) -> Iterator[Placed]:
    """The layout up to each run of modules, from the eave and from the left."""
    rows = sorted(placed.rows, key=lambda row: row.number)
    for at, row in enumerate(rows):
        modules = 0
        for run in runs_of(row):
            modules += len(run)
            kept = replace(row, modules=row.modules[:modules])
            kept = replace(kept, breaks=tuple(n for n in row.breaks if n < modules))
            lines = [r for r in placed.rails if r.row in {x.number for x in rows[:at]}]
            lines += [_under(r, kept.modules) for r in placed.rails if r.row == row.number]
            yield replace(placed, rows=(*rows[:at], kept), rails=tuple(lines), cut=None)


def _under(rail: Rail, modules: tuple[Box, ...]) -> Rail:
    """The pieces of a rail that lie under some of these modules."""
    x0, x1 = modules[0].x0, modules[-1].x1
    pieces = tuple(p for p in rail.pieces if p.x0 < x1 and x0 < p.x1)
    return replace(rail, pieces=pieces, joints=rail.joints[: max(0, len(pieces) - 1)])
