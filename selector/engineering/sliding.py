"""Down the slope: what one seam asks of its clamps and of the fixed clips of its sheet.

Source: statics; snow on plan, weights per area of slope. Friction of sheet on deck, of rail on
sheet and of snow on sheet helps nothing. Positive towards the eave.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace

from selector.engineering.check import ratio
from selector.engineering.lines import BadInputError, finite
from selector.engineering.over import Hull, interval

LOAD_PA = (0.0, 200_000.0)
LENGTH_M = (0.0, 1_000.0)
WIDTH_M = (0.0, 100.0)
FACTOR = (0.0, 3.0)
FORCE_N = (0.0, 1e9)
CLIPS = 1_000
RAILS = 100


@dataclass(frozen=True)
class Strip:
    """One seam that the array grips: bay width, width it serves, lengths along the slope.

    `beyond`: from the upper end of the sheet to the ridge or the next working snow guard, where
    snow can come from there.
    """

    bay_m: float
    gripped_m: float
    below_m: float
    array_m: float
    above_m: float
    beyond_m: float

    @property
    def sheet_m(self) -> float:
        """Length of the sheet."""
        return self.below_m + self.array_m + self.above_m


@dataclass(frozen=True)
class Load:
    """Pitch, snow on plan, weights of sheet and array, and the factors on weight and snow."""

    pitch_deg: float
    snow_pa: float
    sheet_pa: float
    array_pa: float
    gamma_g: float
    gamma_q: float


@dataclass(frozen=True)
class Sums:
    """Design forces down the slope on one seam, term by term, in N."""

    sheet_weight_n: float
    array_weight_n: float
    snow_on_modules_n: float
    snow_above_n: float  # on the bare sheet above, held back or clinging: counted once
    snow_below_n: float
    snow_beyond_n: float

    @property
    def fixed_clips_n(self) -> float:
        """On the fixed clips of the sheet: every term."""
        return self.sheet_weight_n + self.clamps_n + self.snow_below_n

    @property
    def clamps_n(self) -> float:
        """On the clamps: the array, the snow on it, and what it holds back."""
        return self.array_n + self.snow_above_n + self.snow_beyond_n

    @property
    def array_n(self) -> float:
        """Array and the snow on it alone."""
        return self.array_weight_n + self.snow_on_modules_n

    @property
    def held_back_n(self) -> float:
        """What enters at the upper edge of the top row."""
        return self.snow_above_n + self.snow_beyond_n


def sums(load: Load, strip: Strip) -> Sums:
    """All terms; BadInputError for what is no roof, or a gripped width below one bay.

    Statics: weight along the slope by sin, snow on plan by cos sin. What slides against the array
    from above comes from all of the gripped width.
    """
    _check(load, strip)
    weight = load.gamma_g * math.sin(math.radians(load.pitch_deg))
    snow = load.gamma_q * along_pa(load.snow_pa, load.pitch_deg)
    wide = strip.gripped_m
    return Sums(
        sheet_weight_n=weight * load.sheet_pa * strip.bay_m * strip.sheet_m,
        array_weight_n=weight * load.array_pa * wide * strip.array_m,
        snow_on_modules_n=snow * wide * strip.array_m,
        snow_above_n=snow * wide * strip.above_m,
        snow_below_n=snow * strip.bay_m * strip.below_m,
        snow_beyond_n=snow * wide * strip.beyond_m,
    )


def along_pa(snow_pa: float, pitch_deg: float) -> float:
    """Snow on plan as a load along the slope, per area of slope; largest at 45 degrees.

    Statics: S cos sin.
    """
    snow = finite("snow on plan", snow_pa, *LOAD_PA, "Pa")
    pitch = math.radians(finite("pitch", pitch_deg, 0, 90, "deg"))
    return snow * math.cos(pitch) * math.sin(pitch)


def held_back_n_per_m(load: Load, strip: Strip) -> float:
    """Design line load at the upper edge of the top row, by what lies above it.

    Statics: gQ S cos sin times the slope above, as a snow guard there would have to take it.
    """
    _check(load, strip)
    snow = load.gamma_q * along_pa(load.snow_pa, load.pitch_deg)
    return snow * (strip.above_m + strip.beyond_m)


# --- shares ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Sharing:
    """How uneven rail lines and clamps share, where no plateau of slip is proved.

    `lines`: part of the worst line, by their number; `many`: times the mean beyond that;
    `in_line`: times the mean on one clamp of a line. Judgement: from a file with its status.
    """

    lines: Mapping[int, float]
    many: float
    in_line: float


def worst_line_n(force_n: float, lines: int, sharing: Sharing | None) -> float:
    """What the worst of the rail lines of one row takes; None for clamps with a proved plateau.

    Working rule: equal parts with a plateau, else the parts given.
    """
    force = finite("force down the slope", force_n, *FORCE_N, "N")
    count = _count("rail lines", lines, RAILS)
    if sharing is None:
        return force / count
    given = sharing.lines.get(count, sharing.many / count)
    part = finite("part of the worst line", given, 0, 1)
    return force * max(part, 1 / count)


def fixed_clip_ratio(
    slide_n: float, clips: int, slip_n: float, lift_n: float = 0.0, pull_n: float | None = None
) -> float:
    """Use of the fixed clips of a sheet, with uplift on them at the same time.

    Working rule: linear, V / (n R_slip) + N / (n R_up); BadInputError where there is uplift and no
    resistance against it.
    """
    count = _count("fixed clips", clips, CLIPS)
    slide = finite("force down the slope", slide_n, *FORCE_N, "N")
    found = ratio(slide, count * finite("slip resistance of a clip", slip_n, *FORCE_N, "N"))
    lift = finite("uplift on the fixed clips", lift_n, *FORCE_N, "N")
    if pull_n is None:
        if lift > 0:
            raise BadInputError(f"uplift is {lift:g} N; expected the clips' resistance to it too")
        return found
    return found + ratio(lift, count * finite("resistance of a clip", pull_n, *FORCE_N, "N"))


# --- intervals -------------------------------------------------------------------------


@dataclass(frozen=True)
class SumHulls:
    """Ranges of what counts: both sums in N, the held-back line load in N/m."""

    fixed_clips_n: Hull
    clamps_n: Hull
    held_back_n_per_m: Hull


def sum_hulls(low: Load, high: Load, least: Strip, most: Strip) -> SumHulls:
    """Ranges where every figure lies between two; BadInputError where one does not rise.

    Statics: all but the pitch only raise a sum; W sin + S cos sin rises to its one turning point.
    """
    for one, other in ((low, high), (least, most)):
        for term in fields(one):
            interval(term.name, (getattr(one, term.name), getattr(other, term.name)), "")
    _check(low, least)
    _check(high, most)

    def of(value: Callable[[Load, Strip], float]) -> Hull:
        whole = value(replace(high, pitch_deg=90.0), most)  # the weight alone
        snow = 2 * (value(replace(high, pitch_deg=45.0), most) - whole * math.sin(math.pi / 4))
        turn = _turning(whole, snow)
        places = {low.pitch_deg, high.pitch_deg}
        places |= {turn} if low.pitch_deg < turn < high.pitch_deg else set()
        tops = (value(replace(high, pitch_deg=p), most) for p in places)
        bottoms = (value(replace(low, pitch_deg=p), least) for p in places)
        return Hull(min(bottoms), max(tops))

    return SumHulls(
        of(lambda load, strip: sums(load, strip).fixed_clips_n),
        of(lambda load, strip: sums(load, strip).clamps_n),
        of(held_back_n_per_m),
    )


def _turning(weight: float, snow: float) -> float:
    """Pitch in degrees of the largest W sin + S cos sin: 2 S cos2 + W cos - S = 0."""
    if snow <= 0:
        return 90.0
    cosine = 2 * snow / (math.hypot(weight, math.sqrt(8) * snow) + weight)  # nothing cancels
    return math.degrees(math.acos(min(1.0, cosine)))


def _check(load: Load, strip: Strip) -> None:
    finite("pitch", load.pitch_deg, 0, 90, "deg")
    for name, value in (
        ("snow on plan", load.snow_pa),
        ("weight of the sheet", load.sheet_pa),
        ("weight of the array", load.array_pa),
    ):
        finite(name, value, *LOAD_PA, "Pa")
    finite("gamma_G", load.gamma_g, *FACTOR)
    finite("gamma_Q", load.gamma_q, *FACTOR)
    finite("bay width", strip.bay_m, 0.001, WIDTH_M[1], "m")
    finite("width that the seam serves", strip.gripped_m, strip.bay_m, WIDTH_M[1], "m")
    for name, value in (
        ("bare sheet below the array", strip.below_m),
        ("length of the array", strip.array_m),
        ("bare sheet above the array", strip.above_m),
        ("slope above the sheet", strip.beyond_m),
    ):
        finite(name, value, *LENGTH_M, "m")


def _count(name: str, count: int, most: int) -> int:
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= most:
        raise BadInputError(f"{name}: {count!r}; expected a whole number from 1 to {most}")
    return count
