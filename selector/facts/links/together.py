"""Uplift and sliding at once, set by set: each named set has its own pair of forces.

Method: in a set every action has one factor in both directions. A clamp gets the uplift of the beam
under the loads of that set, with what slides on the worst clamp; fixed clips get what slides, with
the uplift that the clamps of that set put on the clips of the fixed zone. The worst set counts.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from selector import units
from selector.engineering.check import ratio
from selector.engineering.combine_en import Together, factors, together
from selector.engineering.lines import weakest
from selector.engineering.tables import Code
from selector.facts.actions.gather import Gather
from selector.facts.actions.model import Ends, Loads
from selector.facts.actions.roof import code_of
from selector.facts.links.clip_sums import ClipLoad, ClipSums
from selector.facts.links.slide import Factored, Slope
from selector.facts.places.rail_loads import as_beam
from selector.facts.places.roof import LINK, design_lift
from selector.layout.stretch import Found, Stretch
from selector.model.job import Worked

NEWTON = units.parse("1 N", "force")
BOTH, FIXED = "slide_with_uplift", "slide_per_fixed_clip"
THIRDS = {  # of the sheet, from the eave
    "eave": (0.0, 1 / 3),
    "middle": (1 / 3, 2 / 3),
    "upper third": (2 / 3, 1.0),
    "ridge": (2 / 3, 1.0),
}


@dataclass(frozen=True)
class SetForces:
    """One set on a laid-out array: the most lifted clamp, what slides, and how much of the rest.

    `part`: the most that a clamp gets of its governing uplift; `wind`: the factor of the wind by
    the governing one.
    """

    name: str
    uplift_n: float
    slides_n: Mapping[str, float]
    part: float
    wind: float


def set_forces(
    g: Gather, loads: Loads, slope: Slope | None, found: Iterable[tuple[Stretch, Found]]
) -> tuple[SetForces, ...]:
    """Forces of every set that lifts and pushes at once; none where one of its loads is unknown.

    `found` are rail pieces with their clamps under the zones of the governing set.
    """
    code, altitude = code_of(g), g.measure("site.altitude")
    snow, weight, gamma = loads.snow_pa, loads.weight_pa, loads.gamma_wind
    if code is None or slope is None or altitude is None:
        return ()
    if snow is None or weight is None or not gamma or not loads.sets:
        return ()
    pieces = tuple(found)
    most: dict[str, SetForces] = {}
    for one in _sets(code, altitude.ends):
        lifts = _lifts(loads, one)
        forces = list(_forces(pieces, lifts))
        array = weight.high if one.heavy else weight.low
        slides = slope.under(Factored(one.weight, one.snow, array, snow.high))
        part = max((ratio(there, here) for here, there in forces if here > 0), default=0.0)
        uplift = max((there for _, there in forces), default=0.0)
        most[f"{one.name} {one.snow}"] = SetForces(one.name, uplift, slides, part, one.wind / gamma)
    return tuple(most.values())


def _sets(code: Code, altitude: Ends) -> Iterator[Together]:
    """Sets at both ends of the altitude, which the factor of snow may change with."""
    known = dict.fromkeys(x for end in altitude for x in together(factors(code, end)[0]))
    yield from known


def _lifts(loads: Loads, one: Together) -> dict[str, float]:
    """By zone and wind, how much of the governing uplift acts in a set."""
    governing = design_lift(loads)
    worst, rows = loads.lift[LINK].pressure_pa.high, loads.sets[LINK].sets
    top = next(r.value_pa.high for r in rows if (r.name, r.part) == (one.name, "uplift"))
    most: dict[tuple[str, str], float] = {}
    for row in loads.zones:
        key = row.wind, row.name
        most[key] = max(most.get(key, 0.0), row.lift_pa[LINK].high)
    return {
        f"{zone}, {wind}": ratio(max(0.0, top - one.wind * (worst - most[wind, zone])), whole)
        for (wind, zone), whole in governing.items()
        if whole > 0
    }


def _forces(
    found: Sequence[tuple[Stretch, Found]], lifts: Mapping[str, float]
) -> Iterator[tuple[float, float]]:
    """Each clamp with its governing uplift and that of a set, in N."""
    for stretch, pattern in found:
        places = tuple(clamp.x for clamp in pattern.clamps)
        if not places:
            continue
        strips = tuple(
            replace(s, n_per_m=s.n_per_m * lifts.get(s.zone, 1.0)) for s in stretch.strips
        )
        there = as_beam(replace(stretch, strips=strips))(places)
        yield from zip((clamp.force_n for clamp in pattern.clamps), there, strict=True)


# --- clamps ------------------------------------------------------------------------------


def on_clamps(sets: Sequence[SetForces], status: str) -> dict[str, Worked]:
    """All pairs of forces on a clamp, and what slides at most while the wind lifts."""
    if not sets:
        return {}
    pairs = tuple(
        (s.name, math.ceil(s.uplift_n * NEWTON), math.ceil(s.slides_n["slide_per_clamp"] * NEWTON))
        for s in sets
    )
    value = max(slides for _, _, slides in pairs)
    how = "each set that lifts and pushes at once with its own pair of forces"
    return {BOTH: Worked(BOTH, "force", value, how, status, pairs=pairs)}


# --- fixed clips -------------------------------------------------------------------------


def on_fixed_clips(
    sets: Sequence[SetForces],
    sums: ClipSums,
    alone: Worked,
    capacity_n: Ends,
    zone: tuple[float, float] | None,
) -> Worked:
    """What slides on a fixed clip, with the uplift on the clips of the fixed zone at the same time.

    Working rule: linear. `zone` is the part of the sheet in m that holds the fixed clips; where
    nobody knows it, any clip may be one.
    """
    low, high = (ratio(alone.value / NEWTON, c) for c in (capacity_n.high, capacity_n.low))
    how, status = alone.how, alone.status
    held = [one for one in sums.clips if zone is None or _in(one, zone)]
    for one in sets:
        lifted = max((_lifted(clip, one) for clip in held), default=0.0)
        both = ratio(one.slides_n[FIXED], capacity_n.low) + lifted
        if both > high:
            high, how = both, f"set {one.name} of those that lift and push at once"
            status = weakest((alone.status, "stricter judgement"))
    taken = math.floor(capacity_n.low * NEWTON), math.ceil(capacity_n.high * NEWTON)
    return replace(alone, ratio=(low, high), how=how, status=status, capacity=taken)


def fixed_zone(
    words: frozenset[str] | None, sheet_m: Ends, bay_m: float
) -> tuple[float, float] | None:
    """The part of a sheet that may hold its fixed clips, one bay more either way; None if unknown.

    Working rule: a zone is a third of the sheet.
    """
    if words is None or not words <= set(THIRDS):
        return None
    low = min(THIRDS[word][0] for word in words) * sheet_m.low - bay_m
    return low, max(THIRDS[word][1] for word in words) * sheet_m.high + bay_m


def _in(clip: ClipLoad, zone: tuple[float, float]) -> bool:
    return clip.at[1] / 1e6 >= zone[0] and clip.at[0] / 1e6 <= zone[1]


def _lifted(clip: ClipLoad, one: SetForces) -> float:
    """How much of a clip the uplift of a set uses, the sheet's own with a record that is gross."""
    demand = max(clip.influence_n.high, 0.0 if clip.hand_n is None else clip.hand_n.high)
    used = 0.0 if clip.spare_n is None else ratio(demand * one.part, clip.spare_n.low)
    if clip.gross_n is None or clip.suction_n is None:
        return used
    return max(used, ratio(demand * one.part + clip.suction_n.high * one.wind, clip.gross_n))
