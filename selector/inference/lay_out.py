"""An array laid out on its plane with one stack: rows, rails, clamps, and what stands against it.

What is claimed: each rail piece holds as a beam over its clamps, and no pattern has fewer clamps
than the bound that comes with it; the clips of the whole roof are not summed here. The layout is
judged by the same rules as one that somebody has drawn.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from itertools import pairwise

from selector.facts.actions.gather import Gather
from selector.facts.actions.loads import loads_of
from selector.facts.actions.model import Open
from selector.facts.links.clip_sums import ClipSums
from selector.facts.links.layout_figures import figures_of
from selector.facts.places.clip_answer import ClipAnswer, clip_answer
from selector.facts.places.clips import clip_case
from selector.facts.places.heights import Heights, heights_of
from selector.facts.places.rail_loads import as_beam, shares, strips
from selector.facts.places.roof import roof_of
from selector.facts.places.sawing import sawn
from selector.facts.places.stack import Limits, limits_of, module_size
from selector.facts.view import View
from selector.inference.answer import Desk, Option
from selector.inference.laid_out import Elsewhere, LaidOut, RailLineFound, as_drawn, crossed_seams
from selector.layout import faults as geometry
from selector.layout.block import rows_of
from selector.layout.least_change import Cause
from selector.layout.model import (
    Box,
    ClampAt,
    CutPlan,
    Joint,
    Pattern,
    Piece,
    Placed,
    Rail,
    Roof,
    Row,
    Seam,
)
from selector.layout.outline import upright
from selector.layout.parting import (
    Carried,
    Parted,
    RowPlan,
    carried_by,
    elsewhere,
    part_row,
)
from selector.layout.pattern import fixed_pattern
from selector.layout.stretch import Found, Stretch
from selector.layout.stretch import Limits as StretchLimits
from selector.model.job import StackPlan, Worked
from selector.model.truth import Word

MISSED: dict[Cause, Word] = {  # why a line finds no height between the clips
    "clip": Word.FORBIDDEN,
    "share": Word.FORBIDDEN,
    "zone": Word.FORBIDDEN,
    "last bay": Word.ENGINEER,
    "dark": Word.OBSERVE,
}
HIGHER = ("cross", "upper_rail", "frame")
ONE_LAYER = "a layout in one layer"
Names = tuple[str, ...]
Key = tuple[Stretch, Pattern, Names]
BOUNDLESS_N = 1e9  # where no capacity is known, force decides nothing and is said to be open


def laid_once(
    desk: Desk, plan: StackPlan, pattern: Pattern | None, tick: Callable[[float], None]
) -> LaidOut:
    """Lay out the array of a stack as it is; nothing that is not known is filled in."""
    return _Work(desk, plan, pattern, tick).done()


class _Work:
    """One array with one stack, step by step; what is missing is kept as open."""

    def __init__(
        self,
        desk: Desk,
        plan: StackPlan,
        pattern: Pattern | None,
        tick: Callable[[float], None],
    ):
        self.desk, self.plan, self.tick = desk, plan, tick
        self.array = desk.job.arrays[plan.array]
        self.option = desk.planned(replace(plan, layout=None))
        self.view = _stack_view(self.option)
        self.g = Gather(desk.base, desk.job, self.array)
        self.loads = loads_of(desk.base, desk.job, self.array)
        drawn = plan.layout
        by_hand = drawn is not None and isinstance(drawn.clamps, dict)
        wished = self.array.clamps if drawn is None or by_hand else drawn.clamps
        self.clips: ClipAnswer | None = None
        self.elsewhere: Elsewhere | None = None
        self.nowhere = False
        self.lacking: tuple[Open, ...] = ()
        self.sums: ClipSums | None = None
        self.pattern: Pattern = pattern or ("by hand" if by_hand else _named(wished))

    def number(self, name: str) -> float:
        value = self.desk.base.numbers[name].value.places[0]
        return value.high

    @property
    def break_gap(self) -> int:
        """Between two modules where a row is broken."""
        least = round(self.number("row_break_gap"))
        return self.array.break_gap or max(self.array.gap, least)

    def done(self) -> LaidOut:
        roof, faults = roof_of(self.g, self.loads, self.plan.layout)
        limits, size = limits_of(self.view), module_size(self.view)
        array = self.array
        if limits is None:
            self.g.stop("rail", "none", "stacks with a rail", ONE_LAYER)
        if any(self.plan.slots.get(slot) for slot in HIGHER):
            self.g.stop(
                "rails", "with more above", "one layer of rails and nothing above", ONE_LAYER
            )
            return self.without(faults)
        if array.from_eave is None or array.from_left is None:
            self.g.miss("array.block")
        if roof is None or limits is None or size is None or faults:
            return self.without(faults, roof=roof if faults else None)
        if array.from_eave is None or array.from_left is None:
            return self.without(())
        self.tick(0.1)
        rows, parted = self.rows((array.from_left, array.from_eave), size, roof, limits)
        found = [*geometry.module_faults(roof, rows), *self.over_others(rows)]
        binding = replace(self.view.binding, plan=self.plan)
        self.clips = clip_answer(clip_case(replace(self.view, binding=binding)))
        self.tick(0.4)
        heights = heights_of(self.g, self.plan, rows, limits, self.clips)
        if isinstance(parted, str):
            return self.without(tuple(found), (parted,), roof, rows)
        if any(not f.possible for f in found) or heights is None:
            return self.without(tuple(found), (), roof, rows)
        return self.laid(roof, rows, parted, limits, heights, tuple(found))

    def without(
        self,
        faults: tuple[geometry.Fault, ...],
        unjoined: tuple[str, ...] = (),
        roof: Roof | None = None,
        rows: tuple[Row, ...] = (),
    ) -> LaidOut:
        """No layout: why, and what can be drawn of it."""
        opens = self.opens()
        worst = [o.word for o in opens]
        if faults or unjoined:
            worst.append(Word.FORBIDDEN)
        word = max([self.option.verdict.word, Word.OBSERVE, *worst])
        return LaidOut(
            self.desk.job,
            self.plan,
            self.array,
            self.loads,
            self.option,
            word,
            opens,
            faults,
            unjoined=unjoined,
            clips=self.clips,
            sketch=None if roof is None else self.placed(roof, rows, (), None),
        )

    def opens(self) -> tuple[Open, ...]:
        return tuple(dict.fromkeys(self.g.opens))

    # --- rows and pieces -----------------------------------------------------------------

    def rows(
        self, corner: tuple[int, int], size: tuple[int, int], roof: Roof, limits: Limits
    ) -> tuple[tuple[Row, ...], Parted | str]:
        """Rows of modules with their breaks, and where the rails are parted.

        Pieces that no pattern can carry come only where there are no others; then how far the array
        would have to move along the eave is kept.
        """
        array, many = self.array, (self.array.columns, self.array.rows)
        past = round(self.number("rail_end_allowance"))
        up = tuple(d.at for d in roof.divides if d.up_the_slope)
        wide = self.break_gap
        row = RowPlan(corner[0], size[0], array.columns, array.gap, wide, past, array.breaks)
        carried = carried_by(roof.seams, limits.span, limits.cantilever)
        parted = part_row(row, limits.rigid_run, up, carried)
        if isinstance(parted, str) and limits.rigid_run >= size[0] + 2 * past:
            self.elsewhere = self.along(row, corner[1], roof, limits, carried, size[1])
            self.nowhere = self.elsewhere is None
            parted = part_row(row, limits.rigid_run, up)
        breaks = array.breaks if isinstance(parted, str) else parted.breaks
        return rows_of(corner, size, many, array.gap, breaks, wide), parted

    def along(
        self,
        row: RowPlan,
        eave: int,
        roof: Roof,
        limits: Limits,
        carried: Carried,
        high: int,
    ) -> Elsewhere | None:
        """Where the array would have to lie along the eave; None where no place nearby does."""
        spacing = max((b.x - a.x for a, b in pairwise(roof.seams)), default=0)
        up = tuple(d.at for d in roof.divides if d.up_the_slope)
        widen = 0 if self.array.break_gap else spacing
        many = (row.columns, self.array.rows)
        tried = elsewhere(row, limits.rigid_run, up, carried, spacing, widen)
        for by, moved, parted in tried:
            size = (row.wide, high)
            gaps = (row.gap, parted.breaks, moved.break_gap)
            rows = rows_of((moved.left, eave), size, many, *gaps)
            if not any((*geometry.module_faults(roof, rows), *self.over_others(rows))):
                return Elsewhere(by, moved.left, parted.breaks, moved.break_gap)
        return None

    def over_others(self, rows: tuple[Row, ...]) -> Iterable[geometry.Fault]:
        """Modules of other arrays on the same plane that lie in the way."""
        for other in self.desk.job.arrays.values():
            placed = other.from_eave is not None and other.from_left is not None
            if other.id == self.array.id or other.plane != self.array.plane or not placed:
                continue
            view = replace(self.view, binding=replace(self.view.binding, array=other))
            size = module_size(view)
            if size is None:
                continue
            corner, many = (other.from_left or 0, other.from_eave or 0), (other.columns, other.rows)
            gap = other.break_gap or other.gap
            theirs = rows_of(corner, size, many, other.gap, other.breaks, gap)
            yield from geometry.overlaps(rows, other.id, theirs)

    # --- clamps --------------------------------------------------------------------------

    def lines(
        self,
        roof: Roof,
        rows: tuple[Row, ...],
        parted: Parted,
        limits: Limits,
        heights: Heights,
    ) -> tuple[list[Rail], list[RailLineFound], dict[Key, Found]]:
        """Every rail line with its clamps; equal pieces are worked out once."""
        rails, lines = [], []
        kept: dict[Key, Found] = {}
        lift = self.lift(roof, limits)
        for row in rows:
            carried = shares(row.box, heights.of_row(row.number))
            for number, y in enumerate(heights.of_row(row.number), 1):
                found = []
                for n, ends in enumerate(parted.pieces):
                    share, names = carried[number - 1], self.by_hand(roof, parted.pieces, n, y)
                    stretch = self.stretch(roof, row, ends, y, share, limits, lift)
                    key = (stretch, self.pattern, names)
                    if key not in kept:
                        kept[key] = fixed_pattern(*key, as_beam(stretch))
                    found.append(kept[key])
                name = heights.name(row.number, number)
                lines.append(RailLineFound(name, row.number, tuple(found)))
                rails.append(self.rail(name, row, number, y, parted, found, heights))
        return rails, lines, kept

    def laid(
        self,
        roof: Roof,
        rows: tuple[Row, ...],
        parted: Parted,
        limits: Limits,
        heights: Heights,
        faults: tuple[geometry.Fault, ...],
    ) -> LaidOut:
        rails, lines, kept = self.lines(roof, rows, parted, limits, heights)
        rail = self.view.binding.rail
        assert rail is not None
        self.tick(0.5)
        saw = sawn(self.desk.base, rail, tuple(rails), limits)
        placed = self.placed(roof, rows, saw.rails, saw.plan)
        self.tick(0.6)
        worked = self.worked(placed, kept, lines)
        option = self.judged(placed, worked)
        self.tick(1.0)
        flawed = any(f.faults for line in lines for f in line.found)
        opens = self.opens()
        words = [option.verdict.word, self.by_clips, *(o.word for o in opens)]
        word = max([*words, Word.FORBIDDEN] if flawed or faults or saw.unsawn else words)
        added = tuple(b for b in parted.breaks if b not in self.array.breaks)
        return LaidOut(
            self.desk.job,
            self.plan,
            self.array,
            self.loads,
            option,
            word,
            opens,
            faults,
            placed,
            tuple(lines),
            limits,
            heights,
            added,
            unjoined=tuple(dict.fromkeys(u.why for u in saw.unsawn)),
            worked=worked,
            lacking=self.lacking,
            sums=self.sums,
            elsewhere=self.elsewhere,
            nowhere=self.nowhere,
            clips=self.clips,
        )

    @property
    def by_clips(self) -> Word:
        """The word of rail lines, as they are or would be drawn, that miss their place."""
        clips = self.clips
        if clips is None or clips.found is None:
            return Word.ALLOWED
        lines = clips.found.lines if self.plan.layout is None else clips.drawn
        return max((MISSED[x.miss.cause] for x in lines if x.miss), default=Word.ALLOWED)

    def by_hand(self, roof: Roof, pieces: tuple[tuple[int, int], ...], n: int, y: int) -> Names:
        """Seams that somebody has drawn a clamp on at this height, for one piece of the rail.

        A seam that lies under no piece is named with the first one.
        """
        drawn = self.plan.layout
        if self.pattern != "by hand" or drawn is None or not isinstance(drawn.clamps, dict):
            return ()
        xs = {seam.id: seam.x for seam in roof.seams}
        found = []
        for name, heights in drawn.clamps.items():
            under = [k for k, (x0, x1) in enumerate(pieces) if x0 <= xs.get(name, x0 - 1) <= x1]
            if y in heights and n == (under[0] if under else 0):
                found.append(name)
        return tuple(found)

    def lift(self, roof: Roof, limits: Limits) -> float | None:
        """Uplift that counts wherever no zone gives more; None, and open, where none is known."""
        known = bool(roof.zones) and all(z.lift_pa is not None for z in roof.zones)
        if known or limits.stated_lift_pa is not None:
            return limits.stated_lift_pa or 0.0
        waits = [o for o, topics in self.loads.opens if set(topics) - {"snow"}]
        self.g.opens += waits or [Open(Word.OBSERVE, "missing", "stated.net_uplift", "not asked")]
        return None

    def stretch(
        self,
        roof: Roof,
        row: Row,
        ends: tuple[int, int],
        y: int,
        share: float,
        limits: Limits,
        lift: float | None,
    ) -> Stretch:
        """One rail piece with its seams and loads."""
        seams = tuple(s for s in roof.seams if ends[0] <= s.x - s.off and s.x + s.off <= ends[1])
        loads = () if lift is None else tuple(strips(roof, row.box, ends, share, lift))
        capacity = limits.capacity_n or BOUNDLESS_N
        held = StretchLimits(
            limits.span, limits.cantilever, capacity, self.number("local_clamp_factor") / 1e6
        )
        out = frozenset(s.id for s in seams if not _free(roof, s, y))
        return Stretch(*ends, seams, loads, held, out)

    def rail(
        self,
        name: str,
        row: Row,
        number: int,
        y: int,
        parted: Parted,
        found: list[Found],
        heights: Heights,
    ) -> Rail:
        pieces = []
        for (x0, x1), one in zip(parted.pieces, found, strict=True):
            clamps = []
            for held in one.clamps:
                zone, _, wind = held.zone.partition(", ")
                clamps.append(
                    ClampAt(held.seam, held.x, y, zone, wind, heights.from_clip(held.seam, y))
                )
            pieces.append(Piece(x0, x1, tuple(clamps), (x1 - x0,)))
        joints: tuple[Joint, ...] = tuple("gap" for _ in pieces[1:])
        return Rail(name, row.number, number, y, tuple(pieces), joints)

    # --- together ------------------------------------------------------------------------

    def placed(
        self, roof: Roof, rows: tuple[Row, ...], rails: tuple[Rail, ...], cut: CutPlan | None
    ) -> Placed:
        core = self.option.core
        slots = {name: part for name, part in self.plan.slots.items() if part}
        slots |= {f"adapter {n}": a for n, a in enumerate(core.adapters, 1)}
        return Placed(
            self.desk.job.id,
            self.array.id,
            self.plan.id,
            slots,
            self.array.module,
            self.array.orientation,
            roof,
            rows,
            rails,
            self.pattern,
            cut,
        )

    def worked(
        self, placed: Placed, kept: Mapping[Key, Found], lines: list[RailLineFound]
    ) -> dict[str, Worked]:
        """Figures that follow from this layout and the actions on it."""
        forces = [
            (held.seam, rail.y, held)
            for rail, line in zip(placed.rails, lines, strict=True)
            for found in line.found
            for held in found.clamps
        ]
        pieces = [(stretch, found) for (stretch, *_), found in kept.items()]
        case = None if self.clips is None else self.clips.case
        figures = figures_of(self.view, self.loads, placed, pieces, forces, case)
        self.lacking, self.sums = figures.lacking, figures.sums
        return figures.worked

    def judged(self, placed: Placed, worked: dict[str, Worked]) -> Option:
        """The stack with this layout, by the rules: the seams that it crosses are those drawn."""
        crossed = tuple(crossed_seams(placed))
        wide = self.break_gap if placed.rows[0].breaks else None
        array = replace(
            self.array,
            crosses=crossed or self.array.crosses,
            breaks=placed.rows[0].breaks,
            break_gap=wide,
        )
        job = replace(self.desk.job, arrays={**self.desk.job.arrays, array.id: array})
        drawn = replace(self.plan, layout=as_drawn(placed, self.plan.layout), worked=worked)
        return Desk(self.desk.base, job, self.desk.judge, before=self.desk).planned(drawn)


def _named(wished: object) -> Pattern:
    return wished if wished in ("every seam", "every second seam") else "least"


def _stack_view(option: Option) -> View:
    return next(j.view for j in option.judgements if j.subject.kind == "stack")


def _free(roof: Roof, seam: Seam, y: int) -> bool:
    """Whether a clamp may stand at this height: on the seam, and on nothing that it keeps clear."""
    if not any(low <= y <= high for low, high in upright(roof.outline, seam.x)):
        return False
    spot = Box(seam.x - seam.off, seam.x + seam.off + 1, y, y + 1)
    return not any(k.kind in ("obstacle", "collar") and k.box.overlaps(spot) for k in roof.keeps)
