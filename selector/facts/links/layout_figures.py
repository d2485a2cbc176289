"""All figures that the checks of a laid-out stack ask for, from its places and its actions."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from selector.engineering.lines import weakest
from selector.facts.actions.gather import Gather
from selector.facts.actions.model import Ends, Loads, Open
from selector.facts.checks import clip_capacity
from selector.facts.links.clip_figures import FORCE, NEWTON, clip_figures, sums_of
from selector.facts.links.clip_sums import ClipSums
from selector.facts.links.even_load import LIFT, on_paper
from selector.facts.links.figures import pressures, uplifts
from selector.facts.links.slide import slides, slope_of
from selector.facts.links.together import (
    FIXED,
    SetForces,
    fixed_zone,
    on_clamps,
    on_fixed_clips,
    set_forces,
)
from selector.facts.places.clips import ClipCase
from selector.facts.view import View
from selector.layout.model import Placed
from selector.layout.stretch import Found, Held, Stretch
from selector.model.job import Worked
from selector.model.quantity import Measured


@dataclass(frozen=True)
class LayoutFigures:
    """Figures by name, what those along the slope wait for, and every clip under all clamps."""

    worked: dict[str, Worked]
    lacking: tuple[Open, ...]
    sums: ClipSums | None


def figures_of(
    view: View,
    loads: Loads,
    placed: Placed,
    pieces: Sequence[tuple[Stretch, Found]],
    forces: Iterable[tuple[str, int, Held]],
    case: ClipCase | None,
) -> LayoutFigures:
    """`pieces` are the rail pieces with their clamps, equal ones once; `forces` all clamps."""
    assert view.job is not None and view.binding.array is not None
    g = Gather(view.base, view.job, view.binding.array)
    down = slides(g, loads, placed)
    strips = [strip for stretch, _ in pieces for strip in stretch.strips]
    paper = on_paper(view, LIFT) if not view.given_figures(FORCE) else None
    lifted = uplifts(loads, placed, [f for _, f in pieces], strips, paper)
    found = pressures(loads) | lifted | down
    sets: tuple[SetForces, ...] = ()
    if on_paper(view, LIFT) is None and FORCE in found and down:
        sets = set_forces(g, loads, slope_of(g, loads, placed), pieces)
        found |= on_clamps(sets, weakest((found[FORCE].status, down["slide_per_clamp"].status)))
    sums = None if case is None else sums_of(view, case, placed, forces, loads)
    if sums is not None:
        force = found.get(FORCE)
        found |= clip_figures(
            sums, "statics" if force is None else weakest(("statics", force.status))
        )
        if sets and FIXED in found and "clip_share" in found:
            found[FIXED] = _held_and_lifted(view, found[FIXED], sets, sums)
    return LayoutFigures(found, tuple(dict.fromkeys(g.opens)), sums)


def _held_and_lifted(
    view: View, alone: Worked, sets: Sequence[SetForces], sums: ClipSums
) -> Worked:
    """What slides on a fixed clip, with the uplift on it in the same set."""
    capacity = clip_capacity(view, "slide")
    if capacity is None:
        return alone
    sheet, spacing = view.read("plane.sheet.length").value, view.read("plane.clips.spacing").value
    zone = None
    if isinstance(sheet, Measured) and isinstance(spacing, Measured):
        length = Ends(
            min(p.low for p in sheet.places) / 1e6, max(p.high for p in sheet.places) / 1e6
        )
        bay = max(p.high for p in spacing.places) / 1e6
        zone = fixed_zone(view.words("plane.sheet.fixed_zone"), length, bay)
    ends = Ends(capacity[0] / NEWTON, capacity[1] / NEWTON)
    if on_paper(view, FORCE) is not None:  # its sets are not known: all of it counts in each
        sets = tuple(replace(one, part=1.0) for one in sets)
    return on_fixed_clips(sets, sums, alone, ends, zone)
