"""Figures of a laid-out array that the checks of its links ask for, worked out from its actions.

Uplift: the governing set of the code at the worst zone that a piece touches (STRUCTURAL method:
each link with its own place; for what is smaller than 1 m2 the coefficient of 1 m2). Forces of
seam clamps come from the beam over all clamps of a rail piece, the larger of continuous and hinged.
"""

import math
from collections.abc import Iterable, Mapping

from selector import units
from selector.engineering.lines import weakest
from selector.facts.actions.model import Loads
from selector.layout.model import Placed
from selector.layout.stretch import Found, Strip
from selector.model.job import Stated, Worked

EVEN = "judgement"  # a pressure on modules may be milder than that on 1 m2 of what holds them
NEWTON, PASCAL = units.parse("1 N", "force"), units.parse("1 Pa", "pressure")


def pressures(loads: Loads) -> dict[str, Worked]:
    """Net pressures on the modules, up and down, by the governing sets; none without them."""
    sets = loads.sets.get("module")
    found = {}
    for name, part in (("net_uplift", "uplift"), ("net_down", "pressure")):
        row = None if sets is None else sets.governing.get(part)
        if row is not None:
            value = math.ceil(max(0.0, row.value_pa.high) * PASCAL)
            how = f"set {row.name} at the worst place of the array"
            found[name] = Worked(name, "pressure", value, how, row.status)
    return found


def uplifts(
    loads: Loads,
    placed: Placed,
    found: Iterable[Found],
    strips: Iterable[Strip],
    paper: Stated | None = None,
) -> dict[str, Worked]:
    """Largest uplift of a seam clamp and of a module clamp.

    Where no wind is worked out, that of the net uplift on a paper; none without either.
    """
    sets = loads.sets.get("fixing")
    row = None if sets is None else sets.governing.get("uplift")
    if row is not None:
        status = weakest((row.status, "statics"))
        how = f"set {row.name} in the worst zone of each place: "
    elif paper is not None:
        status, how = EVEN, f"{even_load(paper)}: "
    else:
        return {}
    clamp = max((c.force_n for one in found for c in one.clamps), default=0.0)
    line = max((s.n_per_m for s in strips), default=0.0)
    widest = max(box.x1 - box.x0 for r in placed.rows for box in r.modules) / 1e6
    return {
        "uplift_per_clamp": _force(
            "uplift_per_clamp", clamp, how + "each rail piece as a beam over its clamps", status
        ),
        "uplift_per_module_clamp": _force(
            "uplift_per_module_clamp",
            line * widest,
            how + "half of both modules beside a mid clamp on its rail line",
            status,
        ),
    }


def even_load(paper: Stated) -> str:
    """What figures rest on where a paper states the net uplift and nothing is worked out."""
    return f"even load of the net uplift that paper {paper.paper.id} states"


def with_worked(figures: Mapping[str, Worked], more: Mapping[str, Worked]) -> dict[str, Worked]:
    """Both together; of two the larger."""
    both = dict(figures)
    for name, one in more.items():
        if name not in both or one.value > both[name].value:
            both[name] = one
    return both


def _force(name: str, force_n: float, how: str, status: str) -> Worked:
    return Worked(name, "force", math.ceil(force_n * NEWTON), how, status)
