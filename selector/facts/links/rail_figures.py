"""Figures of one rail line under its loads: moments, shear, clamp forces, how far it bends."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from selector.engineering.beam import Beam, Solved, forces_n, hinged, rigid
from selector.engineering.bent import bent, shear
from selector.engineering.hinge import tied
from selector.facts.links.touching import METRE, LineLoad, beams_of
from selector.layout.model import Rail, Row
from selector.layout.stretch import Strip


@dataclass(frozen=True)
class Most:
    """A figure and where it is, in micrometres from the left."""

    value: float
    x: int


@dataclass(frozen=True)
class Sag:
    """Deflection of a span or of a free end in m, over its length in m."""

    deflection: Most
    length_m: float

    @property
    def share(self) -> float:
        """Deflection over length."""
        return max(0.0, self.deflection.value) / self.length_m


@dataclass(frozen=True)
class RailFigures:
    """The largest of one rail line: continuous or hinged, whichever is more.

    `spans` and `ends` are those of the continuous rail under characteristic loads.
    """

    moment_nm: Most
    shear_n: Most
    clamp_n: Most
    spans: tuple[Sag, ...]
    ends: tuple[Sag, ...]


def figures(rail: Rail, row: Row, load: LineLoad, ei_nm2: float) -> RailFigures:
    """Solve all beams of a rail line; BadInputError for a piece with fewer than two clamps."""
    solved = [
        (beam, solve(beam))
        for beam in _beams(rail, row, load, load.design)
        for solve in (rigid, hinged)
    ]
    bends = [
        x for beam in _beams(rail, row, load, load.characteristic) for x in _bends(beam, ei_nm2)
    ]
    return RailFigures(
        moment_nm=_most(_moments(solved)),
        shear_n=_most(_shears(solved)),
        clamp_n=_most(_forces(beam for beam, _ in solved)),
        spans=tuple(sag for sag, free in bends if not free),
        ends=tuple(sag for sag, free in bends if free),
    )


def _beams(rail: Rail, row: Row, load: LineLoad, strips: tuple[Strip, ...]) -> list[Beam]:
    groups = beams_of(rail, row, load.direction, strips)
    return [beam for group in groups for beam in tied(tuple(group))]


def _most(found: Iterable[tuple[float, float]]) -> Most:
    value, x = max(found)
    return Most(value, round(x * METRE))


def _moments(solved: Iterable[tuple[Beam, Solved]]) -> Iterator[tuple[float, float]]:
    for beam, one in solved:
        yield from ((abs(m), x) for m, x in zip(one.moments_nm, beam.supports_m, strict=True))
        yield from ((abs(m), x) for m, x in zip(one.span_moments_nm, one.span_at_m, strict=True))


def _shears(solved: Iterable[tuple[Beam, Solved]]) -> Iterator[tuple[float, float]]:
    for beam, one in solved:
        found = shear(beam, one)
        for forces in (found.left_n, found.right_n):
            yield from zip(forces, beam.supports_m, strict=True)


def _forces(beams: Iterable[Beam]) -> Iterator[tuple[float, float]]:
    for beam in beams:
        yield from zip(forces_n(beam), beam.supports_m, strict=True)


def _bends(beam: Beam, ei_nm2: float) -> Iterator[tuple[Sag, bool]]:
    """Each span, and each free end with True."""
    found = bent(beam, rigid(beam), ei_nm2)
    for (low, high), value, at in zip(
        pairwise(beam.supports_m), found.spans_m, found.at_m, strict=True
    ):
        yield Sag(Most(value, round(at * METRE)), high - low), False
    first, last = beam.supports_m[0] - beam.x0_m, beam.x1_m - beam.supports_m[-1]
    if first > 0:
        yield Sag(Most(found.left_end_m, round(beam.x0_m * METRE)), first), True
    if last > 0:
        yield Sag(Most(found.right_end_m, round(beam.x1_m * METRE)), last), True
