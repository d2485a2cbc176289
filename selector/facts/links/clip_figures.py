"""The most used clip of a laid-out array as a figure for the rules, and as a link of the chain."""

import math
from collections.abc import Iterable
from itertools import pairwise

from selector import units
from selector.facts.actions.model import Ends
from selector.facts.checks import clip_capacity
from selector.facts.links.clip_sums import (
    ClampPull,
    ClipLoad,
    ClippedSeam,
    ClipSums,
    ClipTask,
    Method,
    Take,
    clip_sums,
)
from selector.facts.places.clips import ClipCase
from selector.facts.view import View
from selector.layout.model import Placed
from selector.layout.stretch import Held
from selector.model.job import Worked
from selector.model.quantity import Unknown

NEWTON = units.parse("1 N", "force")
FORCE = "uplift_per_clamp"


def sums_of(
    view: View, case: ClipCase, placed: Placed, forces: Iterable[tuple[str, int, Held]]
) -> ClipSums | None:
    """Every clip under all clamps; None where clips set no limit, or what they take is not known.

    `forces` are clamps by seam and height; a force that a paper states counts for each of them.
    """
    clamp, spare = view.binding.clamp, clip_capacity(view, "pull")
    if case.ground != "weak" or case.task is None or spare is None or clamp is None:
        return None
    catalogue = view.base.catalogues[clamp.catalogue]
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
    take = Take(spare[0] / NEWTON, "after sheet suction")
    marked = case.task.seams
    spacing = max((b.x - a.x for a, b in pairwise(placed.roof.seams)), default=0)
    seams = tuple(
        ClippedSeam(seam, (take,) * len(seam.marks), (spacing, spacing)) for seam in marked
    )
    reach = case.task.reach
    factor = catalogue.clip_factor
    method: Method = "hand" if catalogue.clip_share == "hand" else "influence"
    task = ClipTask(seams, pulls, reach.slack, reach.widest, method, factor)
    return clip_sums(task)


def clip_figure(sums: ClipSums, status: str) -> Worked | None:
    """The most used clip; where both methods give different words, as wide as both together."""
    worst = sums.worst
    if worst is None or worst.demand_n is None:
        return None
    ratio = _ratio(worst)
    how = f"sum of all clamps on {worst.seam}, clip {worst.mark} from the eave, by {sums.method}"
    value = math.ceil(worst.demand_n.high * NEWTON)
    return Worked("clip_share", "force", value, how, status, ratio)


def _ratio(worst: ClipLoad) -> tuple[float, float] | None:
    own = worst.ratio
    if own is None:
        return None
    other = worst.other
    if other is None or (own.high <= 1) == (other.high <= 1):
        return own.low, own.high
    return min(own.low, other.low), max(own.high, other.high)
