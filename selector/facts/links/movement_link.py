"""Rails and temperature: ends against what clamps give, gaps between pieces, rows along the seams.

Across the seams the full expansion of a rail counts, since deck and clips hardly move. Where no
record says how far clamp and seam give, the longest run that the rail's catalogue states is all
that is left, and that is at most conditional.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from selector import units
from selector.engineering.lines import STATUSES, weakest
from selector.engineering.movement import (
    Runs,
    along_by_range_m,
    expansion_m,
    gap_m,
    runs_m,
    sheets_apart_m,
)
from selector.facts.actions.model import Ends, Open
from selector.facts.covers import clamp_records, seam_parts, valid
from selector.facts.links.climate import KELVIN, Climate, climate_of
from selector.facts.links.held_sheets import Held
from selector.facts.links.model import Link
from selector.facts.view import View
from selector.knowledge import schema
from selector.knowledge.base import Base, Number, Part
from selector.layout.model import Piece, Placed, Rail
from selector.model.truth import Word

METRE = 1_000_000
PER_KELVIN = units.parse("1 um/m/K", "expansion") * 1e6  # of 1 per K
CLAUSE = "EN 1991-1-5 annex C"
Run = tuple[Piece, ...]  # pieces that move as one


@dataclass(frozen=True)
class Give:
    """How far clamp and seam move with a rail, in m; None where no record says so."""

    sideways_m: float | None = None
    along_m: float | None = None
    status: str = "measured"
    origin: str = ""


def give_of(view: View) -> Give:
    """The least give of all good records that may cover this clamp on this seam."""
    found, surely = [], False
    for record, shape in clamp_records(view):
        parts = [*seam_parts(view, record, shape), valid(view, record)]
        if shape.outcome != "good" or not all(p.bits.possibly for p in parts):
            continue
        surely = surely or all(p.bits.surely for p in parts)
        found.append((record, shape.give or schema.Give()))
    if not surely:
        return Give()
    sideways, along = ([getattr(give, k) for _, give in found] for k in ("sideways", "along"))
    return Give(
        None if None in sideways else min(sideways) / METRE,
        None if None in along else min(along) / METRE,
        weakest(r.status for r, _ in found if r.status in STATUSES),
        f"{found[0][0].file}:{found[0][0].line}",
    )


def movement_links(
    base: Base, part: Part, placed: Placed, give: Give, climate: Climate | None = None
) -> tuple[Link, ...]:
    """Links of every rail line: each piece by its ends, each place between two pieces."""
    work = _Work(base, part, give, climate or climate_of(base))
    links: list[Link] = []
    for rail in placed.rails:
        runs = _together(rail)
        links += [work.across(rail, run) for run in runs]
        sliding = [joint == "sliding" for joint in rail.joints if joint != "rigid"]
        pairs = zip(pairwise(runs), sliding, strict=True)
        links += [work.gap(rail, left, right, slides) for (left, right), slides in pairs]
    return tuple(links)


def along_links(
    base: Base,
    placed: Placed,
    sheet: frozenset[str],
    tie: str,
    give: Give,
    climate: Climate | None = None,
) -> tuple[Link, ...]:
    """One link a row: its outermost rail lines, held apart by frames of the metal `tie`.

    `sheet` are the metals that the sheet may be of; the worst of them counts.
    """
    found, weather = [], climate or climate_of(base)
    apart = base.numbers["metal_difference"]
    numbers = [base.numbers.get(f"expansion_{metal}") for metal in sorted(sheet)]
    frame = base.numbers.get(f"expansion_{tie}")
    for row in placed.rows:
        heights = [r.y for r in placed.rails if r.row == row.number]
        length = (max(heights) - min(heights)) / METRE if heights else 0.0
        demand, status = None, weakest([weather.status, apart.status])
        known = [n for n in (*numbers, frame) if n is not None]
        opens: tuple[Open, ...] = ()
        if frame is None or not numbers or None in numbers:
            opens = (Open(Word.OBSERVE, "missing", "plane.sheet.metal", "not asked"),)
        else:
            demand = max(
                along_by_range_m(
                    _alpha(n),
                    _alpha(frame),
                    weather.steps.largest_k,
                    apart.value.places[0].high / KELVIN,
                    length,
                )
                for n in numbers
                if n is not None
            )
        capacity, lacking = _given(give.along_m, "clamp.give.along", Word.OBSERVE)
        status = weakest([status, *(n.status for n in known), *_of(capacity, give)])
        how = f"{length:.3g} m from line to line, {weather.how}"
        place, inputs = f"{row.number}", tuple(map(_shown, (*known, apart)))
        opens = (*opens, *lacking, *weather.opens)
        found.append(_link("move_along", place, demand, capacity, how, inputs, status, opens))
    return tuple(found)


def sheets_links(
    base: Base,
    placed: Placed,
    sheet: frozenset[str],
    held: Held,
    give: Give,
    climate: Climate | None = None,
) -> tuple[Link, ...]:
    """One link a rail piece over sheets that may be held at different heights; none where alike.

    `sheet` are the metals that it may be of; the worst counts. Nothing is worked out where fewer
    than two heights under a piece are known; one seam without a height keeps it open.
    """
    if held.alike:
        return ()
    weather = climate or climate_of(base)
    numbers = [base.numbers.get(f"expansion_{metal}") for metal in sorted(sheet)]
    known = [n for n in numbers if n is not None]
    found = []
    for rail in placed.rails:
        for run in _together(rail):
            seams = {c.seam for piece in run for c in piece.clamps}
            at = [held.at[name] for name in sorted(seams) if name in held.at]
            opens: tuple[Open, ...] = held.opens if len(at) < len(seams) else ()
            demand: Ends | None = None
            if len(known) < len(numbers) or not numbers:
                opens = (Open(Word.OBSERVE, "missing", "plane.sheet.metal", "not asked"), *opens)
            elif len(at) >= 2:
                alpha, step = max(map(_alpha, known)), weather.steps.largest_k
                demand = _apart(alpha, step, at)
            capacity, lacking = _given(give.along_m, "clamp.give.along", Word.OBSERVE)
            opens = (*opens, *lacking, *weather.opens)
            status = weakest([weather.status, *(n.status for n in known), *_of(capacity, give)])
            place, inputs = _place(rail, run), tuple(map(_shown, known))
            found.append(
                _between("move_sheets", place, demand, capacity, weather.how, inputs, status, opens)
            )
    return tuple(found)


def _apart(alpha_per_k: float, step_k: float, at: list[tuple[int, int]]) -> Ends:
    """Least and most that sheets under one rail move against each other, in m."""
    lows, highs = [low / METRE for low, _ in at], [high / METRE for _, high in at]
    most = sheets_apart_m(alpha_per_k, step_k, max(highs), min(lows))
    surely = max(lows) > min(highs)
    least = sheets_apart_m(alpha_per_k, step_k, max(lows), min(highs)) if surely else 0.0
    return Ends(least, most)


def milder_of(
    climates: tuple[Climate, ...], links: Callable[[Climate], tuple[Link, ...]]
) -> tuple[Link, ...]:
    """Each link in the first climate, or in a later one where that alone makes it milder."""
    first, *others = [links(climate) for climate in climates]
    for other in others:
        both = zip(first, other, strict=True)
        first = tuple(b if b.word < a.word else a for a, b in both)
    return first


@dataclass(frozen=True)
class _Work:
    """One rail part in one climate."""

    base: Base
    part: Part
    give: Give
    climate: Climate

    @property
    def number(self) -> Number | None:
        """Expansion of the rail's metal."""
        metal = self.part.shape.metal
        return None if metal is None else self.base.numbers.get(f"expansion_{metal.metal}")

    def runs(self, run: Run) -> Runs:
        """Clamps of a rail are all of one part; its fixed point is none that a record names."""
        clamps = [c.x / METRE for piece in run for c in piece.clamps]
        slack = self.base.numbers["setting_out_tolerance"].value.places[0].high / METRE
        return runs_m(*_ends(run), clamps, alike=True, uneven_m=slack)

    def across(self, rail: Rail, run: Run) -> Link:
        """Ends of one run against what clamp and seam give, or its length against a rigid run."""
        place, number, runs = _place(rail, run), self.number, self.runs(run)
        if self.give.sideways_m is None:
            return self.by_length(place, run)
        if number is None:
            lacking = (Open(Word.ENGINEER, "missing", "rail.expansion", "no expansion"),)
            capacity = self.give.sideways_m
            return _link("move_across", place, None, capacity, "", (), "statics", lacking)
        demand = expansion_m(_alpha(number), runs.longest_m, self.climate.steps.largest_k)
        middle = "from the middle" if runs.known else "fixed point not known, from the far end"
        how = f"{runs.longest_m:.3g} m {middle}, {self.climate.how}"
        status = weakest([self.climate.status, number.status, self.give.status])
        capacity = self.give.sideways_m
        inputs, opens = (_shown(number),), self.climate.opens
        return _link("move_across", place, demand, capacity, how, inputs, status, opens)

    def by_length(self, place: str, run: Run) -> Link:
        """No record of how far clamp and seam give: what the rail's catalogue allows in one run."""
        assert isinstance(self.part.shape, schema.Rail)
        low, high = _ends(run)
        capacity = self.part.shape.rigid_run / METRE
        status = self.part.status if self.part.status in STATUSES else "published"
        opens = (Open(Word.CONDITIONAL, "missing", "clamp.give.sideways", "no record"),)
        how = "longest run without a gap"
        clause = "table of the rail"
        ends = Ends(high - low, high - low), Ends(capacity, capacity)
        return Link("move_across", place, *ends, "m", clause, how, (), status, opens)

    def gap(self, rail: Rail, left: Run, right: Run, slides: bool) -> Link:
        """Room between two runs against what both grow into it."""
        place = f"{_place(rail, left)} {_place(rail, right)}"
        room, number = _ends(right)[0] - _ends(left)[1], self.number
        opens: tuple[Open, ...] = ()
        if slides:
            opens = (Open(Word.OBSERVE, "missing", "splice.travel", "no record"),)
        if number is None:
            opens = (*opens, Open(Word.ENGINEER, "missing", "rail.expansion", "no expansion"))
            return _link("move_gap", place, None, room, "", (), "statics", opens)
        out = self.base.numbers["setting_out_tolerance"]
        length = self.runs(left).right_m + self.runs(right).left_m
        setting = out.value.places[0].high / METRE
        demand = gap_m(_alpha(number), length, self.climate.steps.up_k, setting)
        how = f"{length:.3g} m from fixed point to fixed point, {self.climate.how}"
        status = weakest([self.climate.status, number.status, out.status])
        inputs, opens = (_shown(number), _shown(out)), (*opens, *self.climate.opens)
        return _link("move_gap", place, demand, room, how, inputs, status, opens)


def _link(
    name: str,
    place: str,
    demand_m: float | None,
    capacity_m: float | None,
    how: str,
    inputs: tuple[str, ...],
    status: str,
    opens: tuple[Open, ...],
) -> Link:
    ends = None if demand_m is None else Ends(demand_m, demand_m)
    return _between(name, place, ends, capacity_m, how, inputs, status, opens)


def _between(
    name: str,
    place: str,
    demand_m: Ends | None,
    capacity_m: float | None,
    how: str,
    inputs: tuple[str, ...],
    status: str,
    opens: tuple[Open, ...],
) -> Link:
    demand = None if demand_m is None else Ends(demand_m.low * 1e3, demand_m.high * 1e3)
    capacity = None if capacity_m is None else Ends(capacity_m * 1e3, capacity_m * 1e3)
    return Link(name, place, demand, capacity, "mm", CLAUSE, how, inputs, status, opens)


def _given(give_m: float | None, path: str, word: Word) -> tuple[float | None, tuple[Open, ...]]:
    """A give, or that nobody has measured it."""
    return give_m, () if give_m is not None else (Open(word, "missing", path, "no record"),)


def _of(capacity: float | None, give: Give) -> list[str]:
    return [] if capacity is None else [give.status]


def _alpha(number: Number) -> float:
    return number.value.places[0].high / PER_KELVIN


def _shown(number: Number) -> str:
    return f"{number.text}: {number.value}"


def _ends(run: Run) -> tuple[float, float]:
    return run[0].x0 / METRE, run[-1].x1 / METRE


def _place(rail: Rail, run: Run) -> str:
    """The rail line with the first and the last seam of a run."""
    seams = [c.seam for piece in run for c in piece.clamps]
    return f"{rail.id} {seams[0]}-{seams[-1]}" if seams else rail.id


def _together(rail: Rail) -> list[Run]:
    """Pieces that move as one: those that are joined rigidly."""
    found: list[Run] = [(rail.pieces[0],)]
    for joint, piece in zip(rail.joints, rail.pieces[1:], strict=True):
        if joint == "rigid":
            found[-1] = (*found[-1], piece)
        else:
            found.append((piece,))
    return found
