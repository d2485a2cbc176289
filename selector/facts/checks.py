"""Checks: a stated figure against what a record proves, as ratios; and the span of a rail."""

import itertools
from collections.abc import Callable

from selector import units
from selector.engineering.check import ratio, together
from selector.facts.covers import (
    Part,
    clamp_records,
    clip_records,
    joint_records,
    module_records,
    record_fact,
    seam_parts,
    valid,
)
from selector.facts.owners import PAPER, leaves_loads_to_owner
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import Record
from selector.model.fact import Cover, Fact, Reading, Reasons, all_of, any_of
from selector.model.job import Stated, Worked
from selector.model.quantity import Filled, Measured, Place, Ratio, Unknown, Window
from selector.model.truth import NO

Capacity = tuple[int, int, Reasons]  # lowest, highest, why
CLIP_SPARE = "clip_spare"  # what a layout leaves of a gross clip record


def design(result: schema.Direction) -> int | None:
    """Design value; an untested direction counts as zero, what stands elsewhere is not known."""
    given = result if isinstance(result, str) else result.design.en
    if isinstance(given, str):
        return None if given == schema.OWNERS else 0
    return given.value


def lowest_of(
    tried: list[tuple[Record, list[Part]]], value: Callable[[Record], int | None]
) -> Capacity | None:
    """Lower of the records that cover: those that surely do bound it from above."""
    surely = [r for r, ps in tried if all(p.bits.surely for p in ps)]
    possibly = [r for r, ps in tried if all(p.bits.possibly for p in ps)]
    values = {r.id: v for r in possibly if (v := value(r)) is not None}
    if not surely or len(values) < len(possibly):
        return None
    parts = {r.id: ps for r, ps in tried}
    lowest = min(surely, key=lambda r: (values[r.id], r.id))
    lower = [r for r in parts if r not in values]
    because = all_of(
        [
            (frozenset({record_fact(lowest)}),),
            *(p.because for p in parts[lowest.id]),
            *(any_of(p.because for p in parts[r] if p.bits == NO) for r in lower),
        ]
    )
    return min(values.values()), values[lowest.id], because


def _check(
    view: View, path: str, figure: str, capacity: Capacity | None, no_capacity: tuple[str, ...]
) -> Reading:
    """A stated figure against a capacity, as a ratio interval."""
    demand = view.stated(figure)
    worked = None if isinstance(demand, Unknown) else getattr(demand[0], "ratio", None)
    if worked is not None and not isinstance(demand, Unknown):
        return Reading(Ratio(*worked), (frozenset({demand[1]}),), path)
    if capacity is None:
        return view.unknown(path, "no capacity", "", no_capacity)
    if isinstance(demand, Unknown):
        return view.unknown(path, demand.why, "", view.to_ask(figure))
    stated, fact = demand
    low, high, because = capacity
    value = Ratio(ratio(least_of(stated), high), ratio(stated.value, low))
    return Reading(value, all_of([(frozenset({fact}),), because]), path)


def least_of(figure: Stated | Worked) -> int:
    """The lowest value of a figure: that of one worked out as a range, else its only one."""
    least = figure.least if isinstance(figure, Worked) else None
    return figure.value if least is None else least


def _inside_the_owners_document(view: View, path: str) -> Reading:
    """Loads that the owner's document holds: at most what it allows, and no figure is known."""
    cover, paper = view.read("stack.evidence clamp on seam"), view.read("stack.owners_document")
    if not isinstance(cover.value, Cover) or not cover.value.bits.surely:
        return view.unknown(path, "no capacity", "", cover.asks or ("stack.evidence",))
    if not isinstance(paper.value, Filled) or paper.value.what is None:
        return view.unknown(path, "in the owner's document", "", (PAPER,))
    return Reading(Ratio(0, 1), all_of([paper.because, cover.value.yes]), path)


def _clamp_check(path: str, figure: str, direction: str) -> None:
    @reads(path, "ratio")
    def clamp_check(view: View) -> Reading:
        if leaves_loads_to_owner(view):
            return _inside_the_owners_document(view, path)
        tried = [
            (r, [*seam_parts(view, r, s), valid(view, r)])
            for r, s in clamp_records(view)
            if s.outcome == "good"
        ]
        capacity = lowest_of(tried, lambda r: design(getattr(r.shape, direction)))
        cover = view.read("stack.evidence clamp on seam")
        asks = cover.asks if isinstance(cover.value, Cover) else ()
        return _check(view, path, figure, capacity, asks or ("stack.evidence",))


_clamp_check("stack.clamp_uplift", "uplift_per_clamp", "uplift")
_clamp_check("stack.clamp_slide", "slide_per_clamp", "slide_down")


@reads("stack.clamp_together", "ratio")
def clamp_together(view: View) -> Reading:
    """Uplift and down-slope force at once, by the linear interaction of the records.

    Forces of one layout are taken set by set. With a paper, the down-slope force that acts with the
    uplift may be stated; else it is open up to the whole.
    """
    path = "stack.clamp_together"
    if leaves_loads_to_owner(view):
        return _inside_the_owners_document(view, path)
    uplift, slide = view.read("stack.clamp_uplift"), view.read("stack.clamp_slide")
    if not isinstance(uplift.value, Ratio) or not isinstance(slide.value, Ratio):
        still = uplift if not isinstance(uplift.value, Ratio) else slide
        return view.unknown(path, "not known alone", "", still.open_paths)
    because = all_of([uplift.because, slide.because])
    both = view.stated("slide_with_uplift")
    alone = view.stated("slide_per_clamp")
    found = _by_set(view, uplift.value, slide.value)
    if found is not None:
        return Reading(found[0], all_of([because, (frozenset({found[1]}),)]), path)
    paper = not isinstance(both, Unknown) and isinstance(both[0], Stated)
    if not paper or isinstance(both, Unknown) or isinstance(alone, Unknown) or alone[0].value == 0:
        value = Ratio(uplift.value.low, uplift.value.high + slide.value.high)
        return Reading(value, because, path, "", ("stated.slide_with_uplift",))
    share = both[0].value / alone[0].value
    low = uplift.value.low + share * slide.value.low
    value = Ratio(low, uplift.value.high + share * slide.value.high)
    return Reading(value, all_of([because, (frozenset({both[1]}),)]), path)


def _by_set(view: View, uplift: Ratio, slide: Ratio) -> tuple[Ratio, Fact] | None:
    """The set that uses most of a clamp, where all forces are of one layout; None where not.

    A paper's force belongs to no set that is known here, so with one the worst of each counts.
    """
    names = ("slide_with_uplift", "uplift_per_clamp", "slide_per_clamp")
    worked = []
    for name in names:
        stated = view.stated(name)
        if isinstance(stated, Unknown) or not isinstance(stated[0], Worked):
            return None
        worked.append(stated[0])
    both, up, down = worked
    if not both.pairs or view.binding.array is None:
        return None

    def used(pair: tuple[str, int, int], alone: tuple[float, float]) -> float:
        return together(pair[1:], (up.value, down.value), alone)

    lows, highs = (uplift.low, slide.low), (uplift.high, slide.high)
    worst = max(both.pairs, key=lambda pair: used(pair, highs))
    low, high = max(used(worst, lows), *lows), max(used(worst, highs), *highs)
    name, lifts, slides = worst
    shown = [units.show(force, both.dimension) for force in (lifts, slides)]
    text, seen = (
        f"{shown[0]} up with {shown[1]} down",
        f"worked out: set {name} of those that lift and push at once",
    )
    fact = Fact("stated.slide_with_uplift", view.binding.array.id, text, "", seen, both.status)
    return Ratio(low, high), fact


def clip_capacity(view: View, direction: str) -> Capacity | None:
    """What the clips of this plane may take in one direction, by their records.

    A gross record gives what a layout leaves of it; without one it proves no pull.
    """
    plan = view.binding.plan
    spare = plan.worked.get(CLIP_SPARE) if plan is not None and direction == "pull" else None

    def value(record: Record) -> int | None:
        if direction == "pull" and not after_suction(record):
            return None if spare is None else spare.value
        return design(getattr(record.shape, direction))

    def capacity(ground: View) -> Capacity | None:
        return lowest_of(clip_records(ground), value)

    key = ("clip capacity", direction, None if spare is None else spare.value)
    found: Capacity | None = view.below(key, capacity).result
    if found is None or spare is None or plan is None:
        return found
    shown, seen = units.show(spare.value, spare.dimension), f"worked out: {spare.how}"
    fact = Fact(f"stated.{CLIP_SPARE}", plan.array, shown, "", seen, spare.status)
    return found[0], found[1], all_of([found[2], (frozenset({fact}),)])


def clip_limits(view: View) -> tuple[int | None, int | None] | None:
    """Lowest pull of all records that cover, gross and after suction; None where none surely does.

    Of two records the lower counts, and which that is follows only clip by clip.
    """

    def limits(ground: View) -> tuple[int | None, int | None] | None:
        tried = clip_records(ground)
        if lowest_of(tried, _pull) is None:
            return None
        possibly = [r for r, parts in tried if all(p.bits.possibly for p in parts)]
        gross = [_pull(r) for r in possibly if not after_suction(r)]
        after = [_pull(r) for r in possibly if after_suction(r)]
        lowest = [
            min((v for v in those if v is not None), default=None) for those in (gross, after)
        ]
        return lowest[0], lowest[1]

    found: tuple[int | None, int | None] | None = view.below(("clip_limits",), limits).result
    return found


def _pull(record: Record) -> int | None:
    return design(record.shape.pull) if isinstance(record.shape, schema.ClipRecord) else None


def _clip_check(path: str, figure: str, direction: str) -> None:
    @reads(path, "ratio")
    def clip_check(view: View) -> Reading:
        if view.job is None:
            return view.unknown(path, "not asked")
        shape = view.read("plane.seam.shape")
        if view.words("plane.seam.shape") == frozenset({"trapezoidal"}):
            return Reading(Ratio(0, 0), shape.because, path)  # no clips that it could load
        capacity = clip_capacity(view, direction)
        cover = view.read("plane.clips clip in deck")
        return _check(view, path, figure, capacity, cover.asks or ("plane.clips",))


def after_suction(record: Record) -> bool:
    """Whether a pull is what is left for an array; a gross one has the sheet's suction to bear."""
    return isinstance(record.shape, schema.ClipRecord) and record.shape.basis != "gross"


_clip_check("stack.clip_share", "clip_share", "pull")
_clip_check("stack.sheet_slide", "slide_per_fixed_clip", "slide")


def _joint_check(path: str, direction: str) -> None:
    @reads(path, "ratio")
    def joint_check(view: View) -> Reading:
        joint = view.binding.joint
        if joint is None or view.job is None:
            return view.unknown(path, "not asked")
        tried = [(r, p) for r, p in joint_records(view) if r.shape.outcome == "good"]
        capacity = lowest_of(tried, lambda r: design(getattr(r.shape, direction)))
        on_module = view.part(joint.upper).slot == "module_clamp"
        figure = "uplift_per_clamp" if direction == "uplift" else "slide_per_clamp"
        if on_module:
            figure = figure.replace("_clamp", "_module_clamp")
        return _check(view, path, figure, capacity, ("joint.evidence",))


_joint_check("joint.uplift", "uplift")
_joint_check("joint.along", "along")


def _module_check(path: str, figure: str, key: str) -> None:
    @reads(path, "ratio")
    def module_check(view: View) -> Reading:
        if view.job is None:
            return view.unknown(path, "not asked")
        capacity = lowest_of(module_records(view), lambda r: int(getattr(r.shape, key)))
        return _check(view, path, figure, capacity, ("stack.modules",))


_module_check("stack.module_up", "net_uplift", "up")
_module_check("stack.module_down", "net_down", "down")


def _rail_check(path: str, figure: str, key: str) -> None:
    @reads(path, "ratio")
    def rail_check(view: View) -> Reading:
        part = view.binding.rail
        if part is None or not isinstance(part.shape, schema.Rail):
            return view.unknown(path, "no rail")
        limit = getattr(part.shape.limits, key)
        fact = view.part_fact(
            part, f"rail.limits.{key}", Window("pressure", limit, limit), "limits"
        )
        return _check(view, path, figure, (limit, limit, (frozenset({fact}),)), ())


_rail_check("stack.rail_uplift", "net_uplift", "uplift")
_rail_check("stack.rail_down", "net_down", "down")


@reads("stack.rail_span", "length")
def rail_span(view: View) -> Reading:
    """Distance from clamp to clamp along the rail, from seam spacing and pattern."""
    path = "stack.rail_span"
    plan, array = view.binding.plan, view.binding.array
    if array is None:
        return view.unknown(path, "not asked")
    pattern: object = array.clamps
    enough = view.base.vocabulary.quantities["plane.seam.spacing"].places
    if plan is not None and plan.layout is not None:
        pattern = plan.layout.clamps
    spacing = view.read("plane.seam.spacing")
    if not isinstance(spacing.value, Measured) or len(spacing.value.places) < enough:
        return view.unknown(path, "not asked", "", ("plane.seam.spacing",))
    if pattern is None:
        return view.unknown(path, "not asked", "", ("array.clamps",))
    if isinstance(pattern, dict):
        every = _widest_step(pattern, array.crosses)
        if every is None:
            return view.unknown(path, "not asked", "", ("array.crosses",))
    else:
        every = 2 if pattern == "every second seam" else 1
    lows = [p.low * every for p in spacing.value.places]
    highs = [p.high * every for p in spacing.value.places]
    value = Measured("length", (Place(min(lows), max(highs)),))
    shown = pattern if isinstance(pattern, str) else f"at most every {every}. seam"
    file = view.job.file if view.job is not None else ""
    fact = Fact("array.clamps", array.id, str(shown), f"{file}:{array.line}", "drawn")
    because = all_of([spacing.because, (frozenset({fact}),)])
    return Reading(value, because, path, "", ("plane.seam.spacing",))


def _widest_step(
    pattern: dict[str, tuple[int, ...]], crosses: tuple[str, ...] | None
) -> int | None:
    """Widest step in seams between two clamps at one height, or None where seams are unknown."""
    if crosses is None or not set(pattern) <= set(crosses):
        return None
    widest = 0
    for height in {h for heights in pattern.values() for h in heights}:
        taken = [i for i, seam in enumerate(crosses) if height in pattern.get(seam, ())]
        steps = [b - a for a, b in itertools.pairwise(taken)]
        widest = max([widest, *steps])
    return widest or None


for _path in ("stack.clamp_uplift", "stack.clamp_slide"):
    looks_at(_path, "plane.seam.shape", "plane.sheet.metal", "plane.sheet.coating")
for _path in ("stack.clip_share", "stack.sheet_slide"):
    looks_at(_path, "plane.seam.shape", "plane.deck.kind")
