"""How far a beam bends, and the shear beside its supports, from a solve of its moments.

Deflection is positive with the load, a moment that sags is positive. Between two marks (a support,
a load, an end of a load) the deflection is a polynomial of the fourth degree; its turning points
are roots of its slope, of the third degree, shut in between the roots of the moment.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from selector.engineering.beam import Bay, Beam, Solved, bays_of, end_shears
from selector.engineering.lines import finite

LEAST_EI, LARGEST_EI = 1e-6, 1e15  # Nm2; nobody means less or more
HALVINGS = 80


@dataclass(frozen=True)
class Bent:
    """Deflections in m: the largest of each span and where it is, and of both free ends.

    A span that only rises against its load has its largest at a support, where it is zero.
    """

    spans_m: tuple[float, ...]
    at_m: tuple[float, ...]
    left_end_m: float
    right_end_m: float
    x0_m: float
    x1_m: float

    @property
    def largest(self) -> tuple[float, float]:
        """Largest deflection with the load of all spans and both ends, and where it is."""
        found = [*zip(self.spans_m, self.at_m, strict=True)]
        found += [(self.left_end_m, self.x0_m), (self.right_end_m, self.x1_m)]
        return max(found, key=lambda one: one[0])


@dataclass(frozen=True)
class Shear:
    """Shear in N, without its sign, on the left and on the right of each support.

    A load right over a support goes straight into it and is no shear.
    """

    left_n: tuple[float, ...]
    right_n: tuple[float, ...]

    @property
    def largest_n(self) -> float:
        """The largest; loads that all have one sign have it beside a support."""
        return max(*self.left_n, *self.right_n)


def bent(beam: Beam, solved: Solved, ei_nm2: float) -> Bent:
    """Deflections of spans and free ends; BadInputError for a stiffness that is none.

    Statics: the moment over EI integrated twice, zero at every support.
    """
    finite("stiffness EI", ei_nm2, LEAST_EI, LARGEST_EI, "Nm2")
    bays = bays_of(beam)
    spans = [line.held() for line in _spans(bays, solved)]
    found = [max(_turns(line), key=lambda one: one[0]) for line in spans]
    first, last = _Line(bays[0], 0.0, 0.0), bays[-1]
    slope = spans[0].slope + first.turn(first.bay.length)
    left = first.sag(first.bay.length) - slope * first.bay.length
    ends = spans[-1].slope - spans[-1].turn(spans[-1].bay.length)
    right = _Line(last, solved.moments_nm[-1], last.load, ends).value(last.length)
    return Bent(
        tuple(value / ei_nm2 for value, _ in found),
        tuple(line.bay.left + at for line, (_, at) in zip(spans, found, strict=True)),
        left / ei_nm2,
        right / ei_nm2,
        beam.x0_m,
        beam.x1_m,
    )


def shear(beam: Beam, solved: Solved) -> Shear:
    """Shear beside every support.

    Statics: what stands on each bay, handed to its two supports.
    """
    bays = bays_of(beam)
    left, right = [bays[0].load - _over_right(bays[0])], []
    for line in _spans(bays, solved):
        right.append(line.shear)
        left.append(line.bay.load - line.shear - _over_right(line.bay))
    right.append(bays[-1].load)
    return Shear(tuple(map(abs, left)), tuple(map(abs, right)))


def _over_right(bay: Bay) -> float:
    """Loads right over the support at its right end."""
    return sum(p.force_n for p in bay.points if p.x_m == bay.length)


# --- one bay ---------------------------------------------------------------------------


@dataclass(frozen=True)
class _Line:
    """One bay with moment, shear and EI times slope at its left end, where it lies at zero."""

    bay: Bay
    moment: float
    shear: float
    slope: float = 0.0

    def held(self) -> "_Line":
        """At zero at its right end too."""
        return replace(self, slope=self.sag(self.bay.length) / self.bay.length)

    def turn(self, x: float) -> float:
        """The moment integrated once, from the left end up to `x`."""
        return self._integrated(x, 1)

    def sag(self, x: float) -> float:
        """The moment integrated twice."""
        return self._integrated(x, 2)

    def value(self, x: float) -> float:
        """EI times the deflection."""
        return self.slope * x - self.sag(x)

    def _integrated(self, x: float, times: int) -> float:
        one, two, three = (math.factorial(times + n) for n in range(3))
        total = self.moment * x**times / one + self.shear * x ** (times + 1) / two
        for p in self.bay.points:
            total -= p.force_n * max(x - p.x_m, 0.0) ** (times + 1) / two
        for s in self.bay.spreads:
            past = max(x - s.x0_m, 0.0) ** (times + 2) - max(x - s.x1_m, 0.0) ** (times + 2)
            total -= s.n_per_m * past / three
        return total


def _spans(bays: list[Bay], solved: Solved) -> Iterator[_Line]:
    moments = solved.moments_nm
    for bay, (left, right) in zip(bays[1:-1], pairwise(moments), strict=True):
        yield _Line(bay, left, end_shears(bay, left, right)[0])


def _turns(line: _Line) -> Iterator[tuple[float, float]]:
    """EI times the deflection, and the place, at the support and wherever the slope is zero."""
    yield 0.0, 0.0
    bay, moment, force = line.bay, line.moment, line.shear
    for low, high in pairwise(bay.marks):
        step, load = high - low, bay.spread_over(low, high)
        inner = sorted(low + x for x in _roots(-load / 2, force, moment) if 0 < x < step)
        for a, b in pairwise([low, *inner, high]):
            at = _crossing(lambda x: line.slope - line.turn(x), a, b)
            if at is not None:
                yield line.value(at), at
        moment += force * step - load * step**2 / 2
        force -= load * step + sum(p.force_n for p in bay.points if p.x_m == high)


def _roots(square: float, linear: float, constant: float) -> tuple[float, ...]:
    """Real roots of a polynomial of the second degree or less."""
    if square == 0:
        return (-constant / linear,) if linear else ()
    inside = linear**2 - 4 * square * constant
    if inside < 0:
        return ()
    half = -(linear + math.copysign(math.sqrt(inside), linear)) / 2
    return (half / square, constant / half) if half else (0.0,)


def _crossing(slope: Callable[[float], float], low: float, high: float) -> float | None:
    """Where a function that only rises or only falls is zero, by halving; None where it is not."""
    first = slope(low)
    if first * slope(high) > 0:
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if first * slope(middle) > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
