"""What a hand can change of a planned stack besides its parts: rail lines, cuts, tilt, a paper.

Every move makes a new job or a new plan that is judged like any other. A figure that somebody
worked out for what is moved falls away with the move: it is asked for again, never carried over.
"""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

from selector import units
from selector.inference.answer import Desk, Option, places
from selector.inference.flip import flips
from selector.inference.verdict import Finding
from selector.knowledge import schema
from selector.model.job import Array, Job, Layout, Paper, StackPlan
from selector.model.quantity import Measured
from selector.model.truth import Word

Move = tuple[str, str | None, str | None]  # kind and name, before, after
DISTANCE, OFFSET = "place.distance_to_nearest_clip", "layout.rail_offset"
OVER, RUN = "layout.rails_over", "layout.rigid_run"
CALCULATED = tuple(
    f"array.{n}" for n in ("calculation", "loads_calculated", "rows_calculated", "rear_calculated")
)
OFF = ("clip_mark_tolerance", "setting_out_tolerance")  # what a distance to a mark may be off
TRIED = 8  # heights of a rail line that are built, nearest first


@dataclass(frozen=True)
class Site:
    """A desk with a plan on it, and what was moved to get there."""

    desk: Desk
    plan: StackPlan
    moved: tuple[Move, ...] = ()

    @property
    def array(self) -> Array:
        """The array of the plan."""
        return self.desk.job.arrays[self.plan.array]

    def judged(self) -> Option:
        """The plan judged whole."""
        return self.desk.planned(self.plan)

    def with_array(self, array: Array) -> "Site":
        """The same with another array."""
        job = self.desk.job
        return self.with_job(replace(job, arrays={**job.arrays, array.id: array}))

    def with_job(self, job: Job) -> "Site":
        """The same in another job; what does not read the change keeps its judgement."""
        desk = Desk(self.desk.base, job, self.desk.judge, before=self.desk)
        return replace(self, desk=desk)


def sites(desk: Desk, plan: StackPlan, option: Option) -> Iterator[Site]:
    """The job as it is; laid parallel, or with a calculation, where a reason speaks of that."""
    here = Site(desk, plan)
    yield here
    paths = {
        fact.path
        for finding in option.verdict.of_word(option.verdict.word)
        for reason in finding.judgement.reasons(f"rule:{finding.rule.id}")
        for fact in reason
    }
    if here.array.tilt is not None and {"array.tilt", "stack.frame"} & paths:
        yield _parallel(here)
    if paths & set(CALCULATED):
        yield _calculated(here)


def _parallel(site: Site) -> Site:
    """The array laid parallel without frames; figures worked out for the tilt fall away."""
    array = site.array
    flat = site.with_array(replace(array, tilt=None, stated={}))
    plan = replace(site.plan, slots={**site.plan.slots, "frame": None}, stated={})
    move = ("tilt", units.show(array.tilt or 0, "angle"), "parallel to the roof")
    return replace(flat, plan=plan, moved=(move,))


def _calculated(site: Site) -> Site:
    """An engineer's calculation of the building with this array, as if it were there."""
    job, array = site.desk.job, site.array
    elevated = ("elevated", "drift snow", "wind from behind", "front and rear clamps")
    way = ("roof-parallel",) if array.tilt is None else elevated
    covers = (f"array {array.id}", "building", *way)
    kind = Paper.STATES_FIGURES[0]
    paper = Paper("to be got", kind, covers, job.as_of)
    papers = {**job.papers, paper.id: paper}
    found = site.with_job(replace(job, papers=papers))
    return replace(found, moved=(("paper", None, f"{kind} that covers {', '.join(covers)}"),))


# --- rail lines and cuts -----------------------------------------------------------------


def mend(site: Site, option: Option, word: Word) -> Site | None:
    """The plan with rail lines cut or set elsewhere; None where that is not what it waits for."""
    held = _held(option, word)
    if site.plan.layout is None or not held:
        return None
    if any(f.judgement.subject.kind not in ("place", "layout") for f in held):
        return None
    found = _cut(site, held)
    for rail in site.plan.layout.rails:
        found = _shift(found, rail.id, word)
    return found if found.moved != site.moved else None


def _held(option: Option, word: Word) -> list[Finding]:
    """What gives this word or a stronger one."""
    return [f for f in option.verdict.findings if f.surely and (f.rule.word or 0) >= word]


def _reads(finding: Finding, path: str) -> bool:
    return any(str(c.left) == path for c in finding.rule.conditions)


def _cut(site: Site, held: list[Finding]) -> Site:
    """Every rail line cut where sheets move apart, and into pieces that are short enough."""
    at: set[int] = set()
    if any(_reads(f, OVER) for f in held):
        at |= _at_lines(site)
    if any(_reads(f, RUN) for f in held):
        at |= _in_gaps(site)
    layout = site.plan.layout
    if not at or layout is None:
        return site
    rails, splices = [], dict(layout.splices)
    for rail in layout.rails:
        words = dict(zip(rail.cut_at, splices.get(rail.id, ()), strict=False))
        words |= dict.fromkeys(at, "gap")
        rails.append(replace(rail, cut_at=tuple(sorted(words))))
        splices[rail.id] = tuple(words[c] for c in sorted(words))
    shown = ", ".join(units.show(c, "length") for c in sorted(at))
    move = ("cut", "in one piece", f"gap at {shown} from the left of the row")
    plan = _redrawn(site.plan, replace(layout, rails=tuple(rails), splices=splices), "cut")
    return replace(site, plan=plan, moved=(*site.moved, move))


def _at_lines(site: Site) -> set[int]:
    """Lines up the slope that lie below the row, from its left end."""
    layout = site.plan.layout
    lines = layout.lines if layout is not None else ()
    inside = {line.at - site.array.from_left for line in lines if line.up_the_slope}
    return {at for at in inside if 0 < at < _width(site)}


def _width(site: Site) -> int:
    """Width of the block along the eave."""
    array = site.array
    return array.columns * (_pitch(site)) - array.gap


def _pitch(site: Site) -> int:
    """From module to module along the eave."""
    shape = site.desk.part(site.array.module).shape
    assert isinstance(shape, schema.Module)
    upright = site.array.orientation == "portrait"
    return (shape.width if upright else shape.length) + site.array.gap


def _in_gaps(site: Site) -> set[int]:
    """Gaps between modules that part the row into pieces as long as the rail may run."""
    rail = site.plan.slots["rail"]
    shape = site.desk.part(rail).shape if rail else None
    if not isinstance(shape, schema.Rail) or not shape.rigid_run:
        return set()
    array, pitch = site.array, _pitch(site)
    each = max(1, (shape.rigid_run + array.gap) // pitch)  # whole modules a piece
    pieces = -(-array.columns // each)
    even = -(-array.columns // pieces)
    return {n * pitch - array.gap // 2 for n in range(even, array.columns, even)}


def _shift(site: Site, rail: str, word: Word) -> Site:
    """A rail line at the nearest height where nothing of it gives the word; else as it was.

    A height that fails by another limit brings the heights at which that one is met.
    """
    layout = site.plan.layout
    held = [f for f in _held(site.judged(), word) if _of_rail(f, rail)]
    if layout is None or not held:
        return site
    old = next(r.from_eave for r in layout.rails if r.id == rail)
    left, seen = _heights(site, rail, old, held), {old}
    free = _without_share(site)
    for _ in range(TRIED):
        left -= seen
        if not left:
            break
        height = min(left, key=lambda h: (abs(h - old), h))
        seen.add(height)
        found = _at(free, layout, rail, (old, height))
        held = [f for f in _held(found.judged(), word) if _of_rail(f, rail)]
        if not held:
            return found
        left |= _heights(found, rail, height, held)
    return site


def _at(site: Site, layout: Layout, rail: str, heights: tuple[int, int]) -> Site:
    """A rail line set from one height to another, with its clamps."""
    old, new = heights
    rails = tuple(replace(r, from_eave=new) if r.id == rail else r for r in layout.rails)
    drawn = replace(layout, rails=rails, clamps=_clamps(layout, old, new))
    move = (f"line {rail}", units.show(old, "length"), units.show(new, "length"))
    plan = _redrawn(site.plan, drawn, f"{rail} at {new}")
    return replace(site, plan=plan, moved=(*site.moved, move))


def _of_rail(finding: Finding, rail: str) -> bool:
    """Whether a finding is about a clamp of a rail line, or about how the lines lie."""
    place = finding.judgement.view.binding.place
    return place.rail == rail if place is not None else _reads(finding, OFFSET)


def _heights(site: Site, rail: str, old: int, held: list[Finding]) -> set[int]:
    """Heights at which each figure that misses its limit would just meet it."""
    found: set[int] = set()
    for finding in held:
        for flip in flips(site.desk.judge, finding):
            by = abs(int(flip.by))
            if flip.path == OFFSET:
                found |= {old - by, old + by}
            value = finding.judgement.view.read(flip.path).value
            if flip.path == DISTANCE and isinstance(value, Measured):
                limit = min(value.places).low + by
                off = sum(site.desk.base.numbers[n].value.places[0].high for n in OFF)
                found |= _clear(site, rail, limit + off)
    return {h for h in found if h > 0}


def _clear(site: Site, rail: str, away: int) -> set[int]:
    """Heights so far from a clip mark, and no nearer to any other on the seams of the line."""
    plane = site.desk.job.planes[site.array.plane]
    seams = {p.seam for p in places(site.plan, site.array, plane) if p.rail == rail}
    marks = [
        (p.low + p.high) // 2
        for seam, value in (plane.marks.seams if plane.marks else {}).items()
        if seam in seams and isinstance(value, Measured)
        for p in value.places
    ]
    near = {m + side * away for m, side in itertools.product(marks, (-1, 1))}
    return {h for h in near if all(abs(h - m) >= away for m in marks)}


def _clamps(layout: Layout, old: int, new: int) -> str | dict[str, tuple[int, ...]]:
    if isinstance(layout.clamps, str):
        return layout.clamps
    return {s: tuple(new if h == old else h for h in hs) for s, hs in layout.clamps.items()}


def _without_share(site: Site) -> Site:
    """The share of the clips was worked out for the old heights: it falls away."""
    plan = site.plan
    kept = {k: v for k, v in plan.stated.items() if k != "clip_share"}
    array = site.array
    if "clip_share" in array.stated:
        stated = {k: v for k, v in array.stated.items() if k != "clip_share"}
        site = site.with_array(replace(array, stated=stated))
    return replace(site, plan=replace(plan, stated=kept))


def _redrawn(plan: StackPlan, layout: Layout, how: str) -> StackPlan:
    """A plan with another drawing, under a name of its own."""
    return replace(plan, id=f"{plan.id}, {how}", layout=layout)
