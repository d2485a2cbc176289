"""The seam as a beam over its clips at measured places: what a clamp puts on each of them.

Uniform stiffness, which cancels. Rigid is the seam that runs on over stiff clips, hinged the lever;
of both the larger counts, clamp by clamp, and relief never. Statics: the equation of three moments
(B. P. E. Clapeyron, 1857); the influence line of a support is the beam bent by lifting that support
by one (H. F. B. Mueller-Breslau, 1886), so it is a cubic in each bay and straight beyond the ends.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from selector.engineering.beam import LONGEST_M, Beam, Point, Spread, forces_n, hinged, rigid
from selector.engineering.lines import BadInputError, finite

MORE = 4  # clips beyond a mark that stand for a seam that goes on; the effect fades by 0.27 a bay
PRESSURE_PA = (0.0, 200_000.0)
FORCE_N = (0.0, 1e9)
HALVINGS = 60
Places = tuple[float, ...]
Cubic = tuple[float, float, float, float]


# --- one clamp on all clips ------------------------------------------------------------


@dataclass(frozen=True)
class Shares:
    """Shares of one clamp on every clip, from the lowest; positive pulls at the clip."""

    rigid: tuple[float, ...]
    hinged: tuple[float, ...]

    @property
    def counts(self) -> tuple[float, ...]:
        """The larger of both, nothing below zero."""
        return tuple(max(a, b, 0.0) for a, b in zip(self.rigid, self.hinged, strict=True))


def shares(clips_m: Sequence[float], at_m: float) -> Shares:
    """Shares of a unit force at `at_m`, also beyond the last clip; BadInputError for bad places.

    Statics: the beam under one force, continuous and hinged.
    """
    clips = tuple(clips_m)
    at = finite("place of a clamp", at_m, -LONGEST_M, LONGEST_M, "m")
    beam = Beam(min([at, *clips]), max([at, *clips]), clips, (), (Point(at, 1.0),))
    return Shares(rigid(beam).reactions_n, hinged(beam).reactions_n)


def beyond(clips_m: Sequence[float], at_m: float) -> bool:
    """Whether a clamp stands beyond the last clip on either side.

    Working rule: the word for it is engineer unless a record covers it.
    """
    return not clips_m[0] <= at_m <= clips_m[-1]


def goes_on(clips_m: Sequence[float], below: bool, above: bool) -> Places:
    """The clips with four more on each side that is open, at the last spacing measured there.

    Working rule: a seam of which only a part is surveyed.
    """
    first, *_, last = _checked(clips_m)
    lower, upper = clips_m[1] - clips_m[0], clips_m[-1] - clips_m[-2]
    before = (first - lower * n for n in range(MORE, 0, -1)) if below else ()
    after = (last + upper * n for n in range(1, MORE + 1)) if above else ()
    return (*before, *clips_m, *after)


def shares_of_part(
    clips_m: Sequence[float], at_m: float, below: bool = True, above: bool = True
) -> tuple[float, ...]:
    """What counts on the clips that are known, where the seam may go on below or above them.

    Working rule: as if it ended at the last mark and as if it went on; the larger counts.
    """
    first = MORE if below else 0
    longer = shares(goes_on(clips_m, below, above), at_m).counts[first : first + len(clips_m)]
    return tuple(map(max, shares(clips_m, at_m).counts, longer))


def sums_n(clips_m: Sequence[float], clamps: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """What clamps, as place in m and force in N, put on each clip together.

    Statics: the shares that count, added clamp by clamp, so that no clamp relieves another's clip.
    """
    total = [0.0] * len(_checked(clips_m))
    for at, force in clamps:
        pull = finite("force of a clamp", force, *FORCE_N, "N")
        for n, share in enumerate(shares(clips_m, at).counts):
            total[n] += pull * share
    return tuple(total)


# --- the sheet's own suction -----------------------------------------------------------


def suction_pa(gamma_q: float, qp_pa: float, cpe1: float, cpi: float) -> float:
    """Design suction on the bare sheet, away from the roof.

    EN 1991-1-4:2005 clause 5.2, outside and inside pressure added; cpi 0.2 unless the deck is
    airtight beyond doubt.
    """
    outside = abs(finite("cpe,1", cpe1, -10, 0))
    inside = finite("cpi", cpi, 0, 1)
    factor = finite("gamma_Q", gamma_q, 0, 3)
    return factor * finite("peak velocity pressure", qp_pa, 0, 20_000, "Pa") * (outside + inside)


def tributaries_m(clips_m: Sequence[float], start_m: float, end_m: float) -> tuple[float, ...]:
    """Length of the sheet, from start to end, that hangs on each clip.

    Statics: under one load per length, the larger of continuous and hinged.
    """
    clips = tuple(clips_m)
    return forces_n(Beam(start_m, end_m, clips, (Spread(start_m, end_m, 1.0),)))


def spare_n(resistance_n: float, suction: float, width_m: float, tributary_m: float) -> float:
    """What a clip can spare for the array; zero or less where the sheet alone uses it up.

    Statics: design resistance less the suction on its part of the sheet, whose weight is left out.
    """
    resistance = finite("design resistance of a clip", resistance_n, *FORCE_N, "N")
    pull = finite("suction on the sheet", suction, *PRESSURE_PA, "Pa")
    width = finite("bay width", width_m, 0, 100, "m")
    return resistance - pull * width * finite("tributary length", tributary_m, 0, LONGEST_M, "m")


# --- one clip under a clamp anywhere ---------------------------------------------------


@dataclass(frozen=True)
class Influence:
    """What a unit force puts on one clip, by its place.

    `cubics`: by bay, at its lower clip, the rigid share and its first three derivatives by place.
    """

    clips_m: Places
    clip: int
    cubics: tuple[Cubic, ...]

    def bay(self, at_m: float) -> int:
        """The bay by its lower clip; -1 below the first clip, the last clip's number above it."""
        return sum(x <= at_m for x in self.clips_m) - 1

    def rigid(self, at_m: float) -> float:
        """Share of the continuous seam."""
        bay = self.bay(at_m)
        if bay < 0:
            start, slope, _, _ = self.cubics[0]
            return start + slope * (at_m - self.clips_m[0])
        if bay == len(self.cubics):
            return float(self.clip == bay) + self._end_slope * (at_m - self.clips_m[-1])
        start, slope, bend, turn = self.cubics[bay]
        a = at_m - self.clips_m[bay]
        return start + a * (slope + a * (bend / 2 + a * turn / 6))

    def hinged(self, at_m: float) -> float:
        """Share by the lever, the overhangs kept with their end bay."""
        low = min(max(self.bay(at_m), 0), len(self.clips_m) - 2)
        if self.clip not in (low, low + 1):
            return 0.0
        part = (at_m - self.clips_m[low]) / (self.clips_m[low + 1] - self.clips_m[low])
        return part if self.clip > low else 1.0 - part

    def counts(self, at_m: float) -> float:
        """The larger of both, nothing below zero."""
        return max(self.rigid(at_m), self.hinged(at_m), 0.0)

    @property
    def slope(self) -> float:
        """How the rigid share changes per m where the clamp passes over the clip itself."""
        last = self.clip == len(self.cubics)
        return self._end_slope if last else self.cubics[self.clip][1]

    @property
    def _end_slope(self) -> float:
        _, slope, bend, turn = self.cubics[-1]
        s = self.clips_m[-1] - self.clips_m[-2]
        return slope + s * (bend + s * turn / 2)

    def turns_m(self, bay: int) -> Places:
        """Where the rigid share turns inside a bay: the roots of the cubic's derivative."""
        _, slope, bend, turn = self.cubics[bay]
        low, high = self.clips_m[bay], self.clips_m[bay + 1]
        return tuple(low + a for a in _roots(turn / 2, bend, slope) if 0 < a < high - low)

    def range_m(self, bay: int, low_m: float, high_m: float) -> list[float]:
        """Places of one bay or overhang between which the share only rises or only falls."""
        inner = self.turns_m(bay) if 0 <= bay < len(self.cubics) else ()
        return [low_m, *sorted(x for x in inner if low_m < x < high_m), high_m]

    def largest(self) -> tuple[float, float]:
        """The largest share of a clamp between the first and the last clip, and where it stands."""
        places = [*self.clips_m, *(x for n in range(len(self.cubics)) for x in self.turns_m(n))]
        return max((self.counts(x), x) for x in places)


def influence(clips_m: Sequence[float], clip: int) -> Influence:
    """Influence line of one clip; BadInputError for fewer than two clips, or out of order.

    Statics: three moments with the clip lifted by one, nothing at the ends.
    """
    clips = _checked(clips_m)
    lift = [float(n == clip) for n in range(len(clips))]
    steps = [b - a for a, b in pairwise(clips)]
    slopes = [(b - a) / s for a, b, s in zip(lift, lift[1:], steps, strict=False)]
    upper, right = [0.0], [0.0]
    for before, after, s0, s1 in zip(slopes, slopes[1:], steps, steps[1:], strict=False):
        middle = 2 * (s0 + s1) - s0 * upper[-1]
        upper.append(s1 / middle)
        right.append((6 * (after - before) - s0 * right[-1]) / middle)
    bends = [0.0]
    for share, value in zip(reversed(upper), reversed(right), strict=True):
        bends.append(value - share * bends[-1])
    return Influence(clips, clip, tuple(_cubics(lift, slopes, steps, bends[::-1])))


def _cubics(
    lift: Sequence[float], slopes: Sequence[float], steps: Sequence[float], bends: Sequence[float]
) -> Iterator[Cubic]:
    """The bent line of each bay, by what it is lifted and bent by at its ends."""
    for start, mean, s, (bend, after) in zip(lift, slopes, steps, pairwise(bends), strict=False):
        yield start, mean - s * (2 * bend + after) / 6, bend, (after - bend) / s


def windows_m(
    clips_m: Sequence[float], bay: int, force_n: float, spares_n: Sequence[float], off_m: float = 0
) -> list[tuple[float, float]]:
    """Places in one bay at which one clamp, off by so much either way, overloads no clip.

    Statics: the roots of both shares at what each clip can spare, and a look between them.
    """
    lines = [influence(clips_m, n) for n in range(len(clips_m))]
    force = finite("force of a clamp", force_n, *FORCE_N, "N")
    if len(spares_n) != len(lines) or not 0 <= bay < len(lines) - 1:
        text = f"bay {bay} of {len(lines)} clips with {len(spares_n)} spares"
        raise BadInputError(f"{text}; expected a bay between two clips, and a spare for each clip")
    low, high = clips_m[bay], clips_m[bay + 1]
    ends = {low, high}
    for line, spare in zip(lines, spares_n, strict=True):
        if force > 0:
            ends |= {x for x in _meets(line, bay, spare / force) if low < x < high}
    found: list[tuple[float, float]] = []
    for a, b in pairwise(sorted(ends)):
        middle = (a + b) / 2
        pulls = (force * line.counts(middle) for line in lines)
        if any(pull > spare for pull, spare in zip(pulls, spares_n, strict=True)):
            continue
        if found and found[-1][1] == a:
            found[-1] = found[-1][0], b
        else:
            found.append((a, b))
    return [(a + off_m, b - off_m) for a, b in found if b - a >= 2 * off_m]


def _meets(line: Influence, bay: int, level: float) -> Iterator[float]:
    """Where in a bay the share of a clip, rigid or by the lever, passes a level."""
    low, high = line.clips_m[bay], line.clips_m[bay + 1]
    if line.clip == bay:
        yield high - level * (high - low)
    if line.clip == bay + 1:
        yield low + level * (high - low)
    for a, b in pairwise(line.range_m(bay, low, high)):
        below = line.rigid(a) <= level
        if below == (line.rigid(b) <= level):
            continue
        for _ in range(HALVINGS):
            middle = (a + b) / 2
            a, b = (middle, b) if (line.rigid(middle) <= level) == below else (a, middle)
        yield a


def _roots(square: float, linear: float, constant: float) -> tuple[float, ...]:
    """Real roots of a quadratic, without loss by cancelling."""
    under = linear * linear - 4 * square * constant
    if under < 0 or (square == 0 and linear == 0):
        return ()
    half = -(linear + math.copysign(math.sqrt(under), linear)) / 2
    roots = [half / square] if square else []
    return tuple(roots + ([constant / half] if half else []))


def _checked(clips_m: Sequence[float]) -> Places:
    for x in clips_m:
        finite("place of a clip", x, -LONGEST_M, LONGEST_M, "m")
    if len(clips_m) < 2:
        raise BadInputError(f"{len(clips_m)} clips given; expected two or more")
    if any(a >= b for a, b in pairwise(clips_m)):
        raise BadInputError("clips lie one upon another; expected each above the one before")
    return tuple(clips_m)
