"""The most used clip of a laid-out array as a figure for the rules, and as a link of the chain."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

from selector import units
from selector.engineering.lines import weakest
from selector.facts.actions.gather import Gather
from selector.facts.actions.model import Ends, Loads
from selector.facts.actions.roof import code_of
from selector.facts.checks import CLIP_SPARE, clip_limits
from selector.facts.links.clip_sums import (
    ClampPull,
    ClipLoad,
    ClippedSeam,
    ClipSums,
    ClipTask,
    Interval,
    Method,
    Take,
    clip_sums,
)
from selector.facts.links.own_suction import OwnSuction, own_suction
from selector.facts.places.clips import ClipCase
from selector.facts.view import View
from selector.layout.clip_windows import MarkedSeam
from selector.layout.least_change import Task
from selector.layout.model import Box, Placed, Roof
from selector.layout.stretch import Held
from selector.model.job import Worked
from selector.model.quantity import Unknown

NEWTON = units.parse("1 N", "force")
FORCE, SHARE = "uplift_per_clamp", "clip_share"
HOW = "the gross record of the clip less what the wind draws at the bare sheet, at the worst clip"


def sums_of(
    view: View,
    case: ClipCase,
    placed: Placed,
    forces: Iterable[tuple[str, int, Held]],
    loads: Loads,
) -> ClipSums | None:
    """Every clip under all clamps; None where clips set no limit, or what they take is not known.

    `forces` are clamps by seam and height; a force that a paper states counts for each of them.
    """
    clamp, limits = view.binding.clamp, clip_limits(view)
    if case.ground != "weak" or case.task is None or limits is None or clamp is None:
        return None
    stated = view.stated(FORCE)
    paper = None if isinstance(stated, Unknown) or isinstance(stated[0], Worked) else stated[0]
    fixed = None if paper is None else paper.value / NEWTON
    pulls = tuple(
        ClampPull(seam, y, Ends(force, force))
        for seam, y, held in forces
        for force in (held.force_n if fixed is None else fixed,)
    )
    if not pulls or all(pull.force_n.high == 0 for pull in pulls):
        return None
    own = None
    if limits[0] is not None and view.job is not None and view.binding.array is not None:
        code = code_of(Gather(view.base, view.job, view.binding.array))
        own = own_suction(loads, code, placed.roof)
    seams = tuple(_clipped(seam, limits, placed.roof, own) for seam in case.task.seams)
    return replace(clip_sums(_task(view, case.task, clamp.catalogue, seams, pulls)), own=own)


def drawn_sums(
    view: View, case: ClipCase, forces: Mapping[tuple[str, int], Ends]
) -> ClipSums | None:
    """The same for a drawing on marked seams that nobody measured along the eave.

    `forces` are what pulls at each drawn clamp in N, by seam and height. Places of seams do not
    matter then, as long as no record is gross; None where one is.
    """
    clamp, limits = view.binding.clamp, clip_limits(view)
    if case.ground != "weak" or case.task is None or limits is None or clamp is None:
        return None
    if limits[0] is not None or limits[1] is None:
        return None
    pulls = tuple(ClampPull(seam, y, force) for (seam, y), force in forces.items())
    if all(pull.force_n.high == 0 for pull in pulls):
        return None
    take = Take(limits[1] / NEWTON, "after sheet suction")
    marked = (*case.task.seams, *case.task.between)
    seams = tuple(ClippedSeam(s, (take,) * len(s.marks), (0, 0)) for s in marked)
    return clip_sums(_task(view, case.task, clamp.catalogue, seams, pulls))


def _task(
    view: View,
    task: Task,
    catalogue: str,
    seams: tuple[ClippedSeam, ...],
    pulls: tuple[ClampPull, ...],
) -> ClipTask:
    """By the method and the factor of the clamp's catalogue."""
    home, reach = view.base.catalogues[catalogue], task.reach
    method: Method = "hand" if home.clip_share == "hand" else "influence"
    return ClipTask(seams, pulls, reach.slack, reach.widest, method, home.clip_factor)


def _clipped(
    seam: MarkedSeam, limits: tuple[int | None, int | None], roof: Roof, own: OwnSuction | None
) -> ClippedSeam:
    """A seam with what its clips may take, by the lower of the records."""
    gross, after = (None if limit is None else limit / NEWTON for limit in limits)
    sides = _sides(seam.id, roof)
    width = (0, 0) if sides is None else _width(sides)
    takes: list[Take | None] = []
    for n in range(len(seam.marks)):
        if gross is None:
            takes.append(None if after is None else Take(after, "after sheet suction"))
            continue
        pull = None if own is None or sides is None else own.on(_sheet_of(seam, n, sides, roof))
        takes.append(Take(gross, "gross", pull, after))
    return ClippedSeam(seam, tuple(takes), width)


def _sides(name: str, roof: Roof) -> tuple[Interval, Interval] | None:
    """How far the sheet of a seam reaches to both sides, as places; None where nobody knows.

    Half way to the next seam; beyond the last one all of the sheet up to the edge of the plane.
    """
    found = next((n for n, seam in enumerate(roof.seams) if seam.id == name), None)
    if found is None:
        return None
    xs = [x for x, _ in roof.outline]
    here = roof.seams[found]
    left, right = (min(xs), min(xs)), (max(xs), max(xs))
    if found:
        other = roof.seams[found - 1]
        left = _half(other.x - other.off + here.x, other.x + other.off + here.x)
    if found + 1 < len(roof.seams):
        other = roof.seams[found + 1]
        right = _half(here.x + other.x - other.off, here.x + other.x + other.off)
    return (left[0] - here.off, left[1]), (right[0], right[1] + here.off)


def _half(low: int, high: int) -> Interval:
    return low // 2, -(-high // 2)


def _width(sides: tuple[Interval, Interval]) -> Interval:
    left, right = sides
    return max(0, right[0] - left[1]), right[1] - left[0]


def _sheet_of(seam: MarkedSeam, n: int, sides: tuple[Interval, Interval], roof: Roof) -> Box:
    """The sheet up to the clips before and after: all that can hang on this one."""
    ys = [y for _, y in roof.outline]
    low = seam.marks[n - 1][0] if n else min(ys)
    high = seam.marks[n + 1][1] if n + 1 < len(seam.marks) else max(ys)
    return Box(sides[0][0], sides[1][1], low, high)


def clip_figures(sums: ClipSums, status: str) -> dict[str, Worked]:
    """The most used clip, and what is left of a gross record at the clip that spares least.

    Nothing where a clamp, or a clip that it loads, has no figure: it may be the worst of all.
    """
    if sums.opens or any(one.ratio is None for one in sums.clips):
        return {}
    if sums.own is not None:
        status = weakest((status, sums.own.status))
    worst = sums.worst
    found = {}
    if worst is not None and worst.demand_n is not None:
        found[SHARE] = _most_used(sums, worst, worst.demand_n, status)
    if sums.own is not None:
        spares = (one.spare_n.low for one in sums.clips if one.spare_n is not None)
        value = math.floor(min(spares) * NEWTON)
        found[CLIP_SPARE] = Worked(CLIP_SPARE, "force", value, HOW, sums.own.status)
    return found


def _most_used(sums: ClipSums, worst: ClipLoad, demand: Ends, status: str) -> Worked:
    """With influence, where both methods give different words, as wide as both together."""
    how = f"sum of all clamps on {worst.seam}, clip {worst.mark} from the eave, by {sums.method}"
    value = math.ceil(demand.high * NEWTON)
    least, spare = math.floor(least_n(sums) * NEWTON), worst.spare_n
    taken = (
        None if spare is None else (math.floor(spare.low * NEWTON), math.ceil(spare.high * NEWTON))
    )
    return Worked(SHARE, "force", value, how, status, _ratio(worst), least, taken)


def least_n(sums: ClipSums) -> float:
    """What some clip gets wherever marks and clamps lie, by both methods."""
    both = ((one.influence_n, one.hand_n or one.influence_n) for one in sums.clips)
    return max((min(a.low, b.low) for a, b in both), default=0.0)


def _ratio(worst: ClipLoad) -> tuple[float, float] | None:
    own = worst.ratio
    if own is None:
        return None
    other = worst.other
    if worst.method == "hand" or other is None or (own.high <= 1) == (other.high <= 1):
        return own.low, own.high
    return min(own.low, other.low), max(own.high, other.high)
