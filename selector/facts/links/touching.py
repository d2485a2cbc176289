"""Where modules touch a rail, and what they hand to it there: half of each of both neighbours.

Lifted, the module clamps hold them: one between two modules, one at each end and on either side of
a break. Pressed down, each frame edge stands on the rail by itself.
"""

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from selector.engineering.beam import Beam, Point
from selector.layout.model import Joint, Rail, Row
from selector.layout.stretch import Strip

Direction = Literal["up", "down"]
METRE = 1_000_000  # in micrometres
Span = tuple[int, int]


@dataclass(frozen=True)
class LineLoad:
    """What one rail line carries along a row, in one direction, and where it comes from.

    `characteristic` is the same without partial factors, or more. `pressure_pa` is the largest net
    design pressure in it, None where nobody knows it.
    """

    direction: Direction
    design: tuple[Strip, ...]
    characteristic: tuple[Strip, ...]
    how: str
    status: str
    pressure_pa: float | None = None


@dataclass(frozen=True)
class Touch:
    """A place where a row touches its rails, and which lengths of the row hang on it."""

    x: int
    carries: tuple[Span, ...]


def touches(row: Row, direction: Direction) -> tuple[Touch, ...]:
    """Places from the left; all lengths of modules are shared out once."""
    halves = [((m.x0, (m.x0 + m.x1) // 2), ((m.x0 + m.x1) // 2, m.x1)) for m in row.modules]
    if direction == "down":
        return tuple(
            Touch(x, (half,))
            for m, both in zip(row.modules, halves, strict=True)
            for x, half in zip((m.x0, m.x1), both, strict=True)
        )
    found = [Touch(row.modules[0].x0, (halves[0][0],))]
    for number, (left, right) in enumerate(pairwise(row.modules), 1):
        before, after = halves[number - 1][1], halves[number][0]
        if number in row.breaks:
            found += [Touch(left.x1, (before,)), Touch(right.x0, (after,))]
        else:
            found.append(Touch((left.x1 + right.x0) // 2, (before, after)))
    found.append(Touch(row.modules[-1].x1, (halves[-1][1],)))
    return tuple(found)


def handed_n(touch: Touch, strips: tuple[Strip, ...]) -> float:
    """Force at one place: the line load over the lengths that hang on it."""
    total = 0.0
    for low, high in touch.carries:
        for s in strips:
            total += s.n_per_m * max(0, min(high, s.x1) - max(low, s.x0)) / METRE
    return total


def beams_of(
    rail: Rail, row: Row, direction: Direction, strips: tuple[Strip, ...]
) -> list[list[Beam]]:
    """Loaded beams of a rail line: those that sliding splices join stand in one list.

    Pieces joined rigidly are one beam. Whoever solves a beam with fewer than two clamps gets a
    BadInputError.
    """
    left = [Point(t.x / METRE, handed_n(t, strips)) for t in touches(row, direction)]
    found = []
    for together in _bare(rail):
        loaded = []
        for beam in together:
            own = [p for p in left if beam.x0_m <= p.x_m <= beam.x1_m]
            left = [p for p in left if p not in own]  # one at a hinge stands on one piece only
            loaded.append(replace(beam, points=tuple(p for p in own if p.force_n)))
        found.append(loaded)
    return found


def held_nowhere(rail: Rail, row: Row, direction: Direction) -> tuple[int, ...]:
    """Places where modules touch no piece of the rail."""
    return tuple(
        t.x for t in touches(row, direction) if not any(p.x0 <= t.x <= p.x1 for p in rail.pieces)
    )


def _bare(rail: Rail) -> list[list[Beam]]:
    found: list[list[Beam]] = []
    joints: tuple[Joint | None, ...] = (None, *rail.joints)
    for joint, piece in zip(joints, rail.pieces, strict=True):
        clamps = tuple(sorted(c.x / METRE for c in piece.clamps))
        beam = Beam(piece.x0 / METRE, piece.x1 / METRE, clamps)
        if joint is None or joint == "gap":
            found.append([beam])
            continue
        before = found[-1][-1]
        if joint == "rigid":
            found[-1][-1] = replace(
                before, x1_m=beam.x1_m, supports_m=(*before.supports_m, *clamps)
            )
        else:  # the hinge stands in the middle of its gap
            middle = (before.x1_m + beam.x0_m) / 2
            found[-1][-1] = replace(before, x1_m=middle)
            found[-1].append(replace(beam, x0_m=middle))
    return found
