"""A straight beam on unyielding supports at unequal places, with an overhang at each end.

Uniform stiffness, which cancels out of every figure here; how far it bends is in `bent.py`, and
pieces joined by hinges are in `hinge.py`. Loads and reactions are positive against each other; a
moment that bends the beam over a support is negative. Statics: the equation of three moments
(B. P. E. Clapeyron, 1857) for the continuous beam, the lever rule for the hinged one.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from selector.engineering.lines import BadInputError, finite

LONGEST_M = 1e4
LARGEST_N = 1e9


@dataclass(frozen=True)
class Spread:
    """A load spread evenly from `x0_m` to `x1_m`."""

    x0_m: float
    x1_m: float
    n_per_m: float


@dataclass(frozen=True)
class Point:
    """A load at one place."""

    x_m: float
    force_n: float


@dataclass(frozen=True)
class Beam:
    """From end to end, its supports from the left, and what loads it."""

    x0_m: float
    x1_m: float
    supports_m: tuple[float, ...]
    spreads: tuple[Spread, ...] = ()
    points: tuple[Point, ...] = ()


@dataclass(frozen=True)
class Solved:
    """Reactions and moments at the supports; the largest moment of each span and where it is."""

    reactions_n: tuple[float, ...]
    moments_nm: tuple[float, ...]
    span_moments_nm: tuple[float, ...]
    span_at_m: tuple[float, ...]


@dataclass(frozen=True)
class Bay:
    """The beam from `left` on, `length` long, with the loads on it, counted from `left`."""

    left: float
    length: float
    spreads: tuple[Spread, ...]
    points: tuple[Point, ...]

    @property
    def load(self) -> float:
        """All that stands on it, in N."""
        return sum(s.n_per_m * (s.x1_m - s.x0_m) for s in self.spreads) + sum(
            p.force_n for p in self.points
        )

    @property
    def marks(self) -> list[float]:
        """Its ends and where a load stands, begins or ends."""
        marks = {0.0, self.length, *(p.x_m for p in self.points)}
        return sorted(marks | {x for s in self.spreads for x in (s.x0_m, s.x1_m)})

    def spread_over(self, low: float, high: float) -> float:
        """Spread load between two neighbouring marks, in N/m."""
        return sum(s.n_per_m for s in self.spreads if s.x0_m < high and low < s.x1_m)

    @property
    def moment(self) -> float:
        """Of all its loads about its left end."""
        return sum(s.n_per_m * (s.x1_m**2 - s.x0_m**2) / 2 for s in self.spreads) + sum(
            p.force_n * p.x_m for p in self.points
        )


def rigid(beam: Beam) -> Solved:
    """Continuous over all supports; BadInputError for what is no beam.

    Statics: the equation of three moments, one row for each inner support.
    """
    bays = bays_of(beam)
    spans = bays[1:-1]
    first, last = _end_moments(bays)
    upper, right = [0.0], [first]  # of the rows so far, the support before taken out of each
    for left_bay, right_bay in pairwise(spans):
        middle = 2 * (left_bay.length + right_bay.length) - left_bay.length * upper[-1]
        turned = _turn_right(left_bay) + _turn_left(right_bay)
        upper.append(right_bay.length / middle)
        right.append((-turned - left_bay.length * right[-1]) / middle)
    moments = [last]
    for share, value in zip(reversed(upper[1:]), reversed(right[1:]), strict=True):
        moments.append(value - share * moments[-1])
    moments.append(first)
    return _solved(bays, tuple(reversed(moments)))


def hinged(beam: Beam) -> Solved:
    """With a hinge over every inner support, overhangs kept with their end span.

    Statics: the lever rule, bay by bay.
    """
    bays = bays_of(beam)
    first, last = _end_moments(bays)
    return _solved(bays, (first, *[0.0] * (len(bays) - 3), last))


def forces_n(beam: Beam) -> tuple[float, ...]:
    """What counts at each support: the larger of rigid and hinged, nothing below zero.

    Statics: nobody knows the stiffness, so both bounds are solved and relief does not count.
    """
    both = zip(rigid(beam).reactions_n, hinged(beam).reactions_n, strict=True)
    return tuple(max(a, b, 0.0) for a, b in both)


# --- the parts of a solve --------------------------------------------------------------


def bays_of(beam: Beam) -> list[Bay]:
    """Left overhang, spans, right overhang; a load over a support stands in the bay left of it."""
    _check(beam)
    marks = [beam.x0_m, *beam.supports_m, beam.x1_m]
    bays = []
    for number, (low, high) in enumerate(pairwise(marks)):
        spreads = tuple(
            Spread(max(s.x0_m, low) - low, min(s.x1_m, high) - low, s.n_per_m)
            for s in beam.spreads
            if s.x0_m < high and low < s.x1_m
        )
        points = tuple(
            Point(p.x_m - low, p.force_n)
            for p in beam.points
            if low < p.x_m <= high or (number == 0 and p.x_m == low)
        )
        bays.append(Bay(low, high - low, spreads, points))
    return bays


def _check(beam: Beam) -> None:
    x0, x1 = (finite(n, v, -LONGEST_M, LONGEST_M, "m") for n, v in _ends(beam))
    for x in beam.supports_m:
        finite("place of a support", x, x0, x1, "m")
    if len(beam.supports_m) < 2:
        raise BadInputError(f"{len(beam.supports_m)} supports given; expected two or more")
    if any(a >= b for a, b in pairwise(beam.supports_m)):
        raise BadInputError(
            "supports stand one upon another; expected each right of the one before"
        )
    for s in beam.spreads:
        finite("end of a load", s.x1_m, finite("start of a load", s.x0_m, x0, x1, "m"), x1, "m")
        finite("load", s.n_per_m, -LARGEST_N, LARGEST_N, "N/m")
    for p in beam.points:
        finite("place of a load", p.x_m, x0, x1, "m")
        finite("load", p.force_n, -LARGEST_N, LARGEST_N, "N")


def _ends(beam: Beam) -> tuple[tuple[str, float], tuple[str, float]]:
    return ("left end", beam.x0_m), ("right end", beam.x1_m)


def _end_moments(bays: list[Bay]) -> tuple[float, float]:
    """Moments over the first and the last support, from the overhangs alone."""
    left, right = bays[0], bays[-1]
    return left.moment - left.load * left.length, -right.moment


def _turn_left(bay: Bay) -> float:
    """6 EI times the turn of a simple span's left end: P a b (l + b) / l for each load."""
    length = bay.length

    def summed(a: float) -> float:
        return length**2 * a**2 - length * a**3 + a**4 / 4

    spread = sum(s.n_per_m * (summed(s.x1_m) - summed(s.x0_m)) for s in bay.spreads)
    point = sum(p.force_n * p.x_m * (length - p.x_m) * (2 * length - p.x_m) for p in bay.points)
    return (spread + point) / length


def _turn_right(bay: Bay) -> float:
    """6 EI times the turn of a simple span's right end: P a b (l + a) / l for each load."""
    length = bay.length

    def summed(a: float) -> float:
        return length**2 * a**2 / 2 - a**4 / 4

    spread = sum(s.n_per_m * (summed(s.x1_m) - summed(s.x0_m)) for s in bay.spreads)
    point = sum(p.force_n * p.x_m * (length**2 - p.x_m**2) for p in bay.points)
    return (spread + point) / length


def _solved(bays: list[Bay], moments: tuple[float, ...]) -> Solved:
    """Reactions and span maxima that belong to the moments over the supports."""
    spans = bays[1:-1]
    reactions = [0.0] * len(moments)
    reactions[0] += bays[0].load
    reactions[-1] += bays[-1].load
    largest, places = [], []
    for number, bay in enumerate(spans):
        at_left, at_right = end_shears(bay, moments[number], moments[number + 1])
        reactions[number] += at_left
        reactions[number + 1] += at_right
        moment, place = max(_along(bay, moments[number], at_left), key=lambda found: found[0])
        largest.append(moment)
        places.append(bay.left + place)
    return Solved(tuple(reactions), moments, tuple(largest), tuple(places))


def end_shears(bay: Bay, left_nm: float, right_nm: float) -> tuple[float, float]:
    """What a span hands to its left and to its right support, loads over the right one included.

    Statics: the lever rule, and what the two end moments lean on it.
    """
    at_right = bay.moment / bay.length - (right_nm - left_nm) / bay.length
    return bay.load - at_right, at_right


def _along(bay: Bay, moment: float, shear: float) -> Iterator[tuple[float, float]]:
    """Moment and place wherever a span's moment may be largest: at marks and where shear ends."""
    yield moment, 0.0
    for low, high in pairwise(bay.marks):
        load = bay.spread_over(low, high)
        if load and 0 < shear / load < high - low:
            yield moment + shear**2 / load / 2, low + shear / load
        step = high - low
        moment += shear * step - load * step**2 / 2
        shear -= load * step + sum(p.force_n for p in bay.points if p.x_m == high)
        yield moment, high
