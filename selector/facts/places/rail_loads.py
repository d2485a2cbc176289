"""What wind puts on the rails of a row: shares of the module, line loads, forces of the clamps."""

from collections.abc import Callable, Iterable
from itertools import pairwise

from selector.engineering.beam import Beam, Spread, forces_n
from selector.layout.model import Box, Roof
from selector.layout.stretch import Stretch, Strip


def shares(row: Box, heights: tuple[int, ...]) -> list[float]:
    """Length of the module that each line carries, in m: the larger of rigid and hinged."""
    low, high = 0.0, (row.y1 - row.y0) / 1e6
    places = tuple((y - row.y0) / 1e6 for y in heights)
    return list(forces_n(Beam(low, high, places, (Spread(low, high, 1.0),))))


def as_beam(stretch: Stretch) -> Callable[[tuple[int, ...]], tuple[float, ...]]:
    """Forces of clamps at these places: the rail piece as a beam, the larger of both bounds."""
    spreads = tuple(Spread(s.x0 / 1e6, s.x1 / 1e6, s.n_per_m) for s in stretch.strips)

    def force(places: tuple[int, ...]) -> tuple[float, ...]:
        at = tuple(x / 1e6 for x in places)
        return forces_n(Beam(stretch.x0 / 1e6, stretch.x1 / 1e6, at, spreads))

    return force


def strips(
    roof: Roof, row: Box, ends: tuple[int, int], share: float, least: float
) -> Iterable[Strip]:
    """Line loads along a piece: at each place the worst zone that the row touches there."""
    touched = [z for z in roof.zones if z.box.y0 <= row.y1 and z.box.y1 >= row.y0]
    xs = {ends[0], ends[1]}
    for zone in touched:
        xs |= {x for x in (zone.box.x0, zone.box.x1) if ends[0] < x < ends[1]}
    cuts = sorted(xs)
    for x0, x1 in pairwise(cuts):
        here = [z for z in touched if z.box.x0 <= x0 and x1 <= z.box.x1]
        worst = max(here, key=lambda z: z.lift_pa or 0.0, default=None)
        lift = max(least, (worst.lift_pa or 0.0) if worst is not None else 0.0)
        name = f"{worst.name}, {worst.wind}" if worst is not None else ""
        yield Strip(x0, x1, lift * share, name)
