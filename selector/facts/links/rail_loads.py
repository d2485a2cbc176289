"""What a rail line carries, from the actions on its array: lifted by zones, pressed down alike.

Pressures are those of 1 m2, which never are milder than those of the rail's own loaded area.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from selector.facts.actions.model import LinkSets, Loads, Open
from selector.facts.links.touching import Direction, LineLoad
from selector.facts.places.rail_loads import shares, strips
from selector.layout.model import Placed, Rail, Row
from selector.layout.stretch import Strip
from selector.model.truth import Word

LINK = "fixing"
FACTORS = ("gG,sup", "xi")  # of the weight in the sets that press


@dataclass(frozen=True)
class Stated:
    """A net design pressure that an engineer states for the array, in one direction.

    Nobody knows its factors, so it counts whole for deflections too.
    """

    pressure_pa: float
    how: str
    status: str


def line_loads(
    loads: Loads,
    placed: Placed,
    rail: Rail,
    stated: Mapping[Direction, Stated] | None = None,
) -> tuple[tuple[LineLoad, ...], tuple[Open, ...]]:
    """Loads of one rail line, and what is open where a direction has none.

    What is stated counts where nothing is worked out, and where it is more.
    """
    row = next(r for r in placed.rows if r.number == rail.row)
    heights = tuple(sorted(r.y for r in placed.rails if r.row == rail.row))
    share = shares(row.box, heights)[heights.index(rail.y)]
    sets = loads.sets.get(LINK)
    found = []
    for side, worked in (
        ("up", _lifted(loads, sets, placed, row, share)),
        ("down", _pressed(loads, sets, row, share)),
    ):
        direction: Direction = "up" if side == "up" else "down"
        given = (stated or {}).get(direction)
        least = None if given is None else _stated(direction, given, row, share)
        if worked is None or (least is not None and _most(least) > _most(worked)):
            worked = least
        if worked is not None:
            found.append(worked)
    if len(found) == 2:
        return tuple(found), ()
    waits = tuple(one for one, _ in loads.opens)
    return tuple(found), waits or (Open(Word.OBSERVE, "missing", "stated.net_uplift", "not asked"),)


def _most(load: LineLoad) -> float:
    return load.pressure_pa or 0.0


def _stated(direction: Direction, given: Stated, row: Row, share: float) -> LineLoad:
    line = (Strip(row.box.x0, row.box.x1, given.pressure_pa * share),)
    return LineLoad(direction, line, line, given.how, given.status, given.pressure_pa)


def _lifted(
    loads: Loads, sets: LinkSets | None, placed: Placed, row: Row, share: float
) -> LineLoad | None:
    """By the worst zone that the row touches at each place."""
    up = None if sets is None else sets.governing.get("uplift")
    zones = placed.roof.zones
    if up is None or not zones or any(z.lift_pa is None for z in zones) or not loads.gamma_wind:
        return None
    lifted = tuple(strips(placed.roof, row.box, (row.box.x0, row.box.x1), share, 0.0))
    pressure = max(s.n_per_m for s in lifted) / share if share > 0 else 0.0
    plain = _scaled(lifted, loads.gamma_wind)
    return LineLoad("up", lifted, plain, f"set {up.name}, zone by zone", up.status, pressure)


def _pressed(loads: Loads, sets: LinkSets | None, row: Row, share: float) -> LineLoad | None:
    """By the worst place of the array everywhere; accidental sets do not count for deflections."""
    down, factor = None if sets is None else sets.governing.get("pressure"), _least_factor(loads)
    if sets is None or down is None or factor is None:
        return None
    most = max(0.0, down.value_pa.high)
    usual = (
        s.value_pa.high
        for s in sets.sets
        if s.part == "pressure" and not s.name.startswith("accidental")
    )
    x0, x1 = row.box.x0, row.box.x1
    pressed = (Strip(x0, x1, most * share),)
    plain = _scaled((Strip(x0, x1, max(0.0, *usual) * share),), factor)
    how = f"set {down.name}, at the worst place of the array"
    return LineLoad("down", pressed, plain, how, down.status, most)


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
