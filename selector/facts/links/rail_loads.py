"""What a rail line carries, from the actions on its array: lifted by zones, pressed down alike.

Pressures are those of 1 m2, which never are milder than those of the rail's own loaded area.
"""

from selector.facts.actions.model import Loads, Open
from selector.facts.links.touching import LineLoad
from selector.facts.places.rail_loads import shares, strips
from selector.layout.model import Placed, Rail
from selector.layout.stretch import Strip
from selector.model.truth import Word

LINK = "fixing"
FACTORS = ("gG,sup", "xi")  # of the weight in the sets that press


def line_loads(
    loads: Loads, placed: Placed, rail: Rail
) -> tuple[tuple[LineLoad, ...], tuple[Open, ...]]:
    """Loads of one rail line, and what is open where a direction has none."""
    row = next(r for r in placed.rows if r.number == rail.row)
    heights = tuple(sorted(r.y for r in placed.rails if r.row == rail.row))
    share = shares(row.box, heights)[heights.index(rail.y)]
    ends = row.box.x0, row.box.x1
    found = []
    sets = loads.sets.get(LINK)
    up = None if sets is None else sets.governing.get("uplift")
    zones = placed.roof.zones
    if up is not None and zones and all(z.lift_pa is not None for z in zones) and loads.gamma_wind:
        lifted = tuple(strips(placed.roof, row.box, ends, share, 0.0))
        pressure = max(s.n_per_m for s in lifted) / share
        how = f"set {up.name}, zone by zone"
        found.append(
            LineLoad("up", lifted, _scaled(lifted, loads.gamma_wind), how, up.status, pressure)
        )
    down = None if sets is None else sets.governing.get("pressure")
    factor = _least_factor(loads)
    if sets is not None and down is not None and factor is not None:
        most = max(0.0, down.value_pa.high)
        usual = max(
            (
                s.value_pa.high
                for s in sets.sets
                if s.part == "pressure" and not s.name.startswith("accidental")
            ),
            default=0.0,
        )
        pressed = (Strip(*ends, most * share),)
        plain = _scaled((Strip(*ends, max(0.0, usual) * share),), factor)
        how = f"set {down.name}, at the worst place of the array"
        found.append(LineLoad("down", pressed, plain, how, down.status, most))
    if len(found) == 2:
        return tuple(found), ()
    waits = tuple(one for one, _ in loads.opens)
    return tuple(found), waits or (Open(Word.OBSERVE, "missing", "stated.net_uplift", "not asked"),)


def _scaled(found: tuple[Strip, ...], by: float) -> tuple[Strip, ...]:
    """Without partial factors, or more: a sum over its least factor is never too little."""
    return tuple(Strip(s.x0, s.x1, s.n_per_m / by, s.zone) for s in found)


def _least_factor(loads: Loads) -> float | None:
    """The least factor in the sets that press, which is that of the weight."""
    rows = {r.symbol: r.value for r in loads.topics["combinations"].rows}
    factor = 1.0
    for name in FACTORS:
        value = rows.get(name)
        if isinstance(value, str) or (value is None and name == FACTORS[0]):
            return None
        factor *= value.low if value is not None else 1.0
    return max(1.0, factor)
