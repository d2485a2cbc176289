"""How far rails and sheets move with temperature, and how much room that needs.

Expansion without restraint: EN 1991-1-5:2003 clause 6.1.3.3 with annex C (alpha per kelvin).
What lies across the seams moves against a deck that hardly moves, so its
full expansion counts; along the seams only the difference of what is tied together does.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from selector.engineering.lines import finite

LONGEST_M = 1e4
LARGEST_K = 500.0
HOTTEST_C = 500.0
LARGEST_ALPHA = 1e-3  # per K


class Steps(NamedTuple):
    """How far it may become warmer and colder than on the day it was fitted, in K."""

    up_k: float
    down_k: float

    @property
    def largest_k(self) -> float:
        """The larger of both."""
        return max(self)


@dataclass(frozen=True)
class Runs:
    """Lengths that expand to the left and to the right of the point that stays where it is.

    Where nobody knows that point, either is the whole length.
    """

    left_m: float
    right_m: float
    known: bool

    @property
    def longest_m(self) -> float:
        """The longer of both."""
        return max(self.left_m, self.right_m)


def steps_k(
    coldest_c: float, hottest_c: float, least_fitted_c: float, most_fitted_c: float
) -> Steps:
    """Temperature steps from a day between two temperatures to the hottest and the coldest.

    EN 1991-1-5:2003 clause 6.1.3.3(3): from the initial temperature either way.
    """
    low = finite("coldest", coldest_c, -HOTTEST_C, HOTTEST_C, "C")
    first = finite("coldest when fitted", least_fitted_c, low, HOTTEST_C, "C")
    last = finite("hottest when fitted", most_fitted_c, first, HOTTEST_C, "C")
    high = finite("hottest", hottest_c, last, HOTTEST_C, "C")
    return Steps(high - first, last - low)


def runs_m(
    x0_m: float,
    x1_m: float,
    clamps_m: Sequence[float],
    fixed_m: float | None = None,
    alike: bool = False,
    uneven_m: float = 0.0,
) -> Runs:
    """Lengths on both sides of the point of a rail that stays where it is.

    Statics: a clamp that fixes it; else the middle of clamps that are alike and evenly spread, each
    step within `uneven_m` of the others; else nobody knows.
    """
    low = finite("left end", x0_m, -LONGEST_M, LONGEST_M, "m")
    high = finite("right end", x1_m, low, LONGEST_M, "m")
    slack = finite("unevenness", uneven_m, 0.0, LONGEST_M, "m")
    places = sorted(finite("place of a clamp", x, low, high, "m") for x in clamps_m)
    if fixed_m is not None:
        at = finite("fixed point", fixed_m, low, high, "m")
        return Runs(at - low, high - at, True)
    steps = [b - a for a, b in pairwise(places)]
    if alike and steps and max(steps) - min(steps) <= slack:
        at = sum(places) / len(places)
        return Runs(at - low, high - at, True)
    return Runs(high - low, high - low, False)


def expansion_m(alpha_per_k: float, length_m: float, step_k: float) -> float:
    """Free expansion of a length, the whole of it.

    EN 1991-1-5:2003 clause 6.1.3.3 with annex C: alpha l dT.
    """
    alpha = finite("expansion", alpha_per_k, 0.0, LARGEST_ALPHA, "1/K")
    length = finite("length", length_m, 0.0, LONGEST_M, "m")
    return alpha * length * finite("step", step_k, 0.0, LARGEST_K, "K")


def gap_m(alpha_per_k: float, length_m: float, up_k: float, setting_out_m: float) -> float:
    """Room between two pieces: what they grow into it, and how well it is set out.

    Statics: alpha L dT, L from fixed point to fixed point, and the tolerance.
    """
    grown = expansion_m(alpha_per_k, length_m, up_k)
    return grown + finite("setting out", setting_out_m, 0.0, LONGEST_M, "m")


def along_m(
    alpha_sheet_per_k: float, sheet_k: float, alpha_tie_per_k: float, tie_k: float, length_m: float
) -> float:
    """What two clamps on one seam move against each other, tied by something `length_m` long.

    Statics: the difference of two expansions at one moment, each step with its sign.
    """
    length = finite("length", length_m, 0.0, LONGEST_M, "m")
    sheet = finite("expansion", alpha_sheet_per_k, 0.0, LARGEST_ALPHA, "1/K")
    tie = finite("expansion", alpha_tie_per_k, 0.0, LARGEST_ALPHA, "1/K")
    warmer = finite("step", sheet_k, -LARGEST_K, LARGEST_K, "K")
    return abs(sheet * warmer - tie * finite("step", tie_k, -LARGEST_K, LARGEST_K, "K")) * length


def along_by_range_m(
    alpha_sheet_per_k: float,
    alpha_tie_per_k: float,
    range_k: float,
    apart_k: float,
    length_m: float,
) -> float:
    """The same where only the range is known: equal steps, and either one `apart_k` ahead.

    Judgement, no source: how far sheet and tie are apart at one moment.
    """
    whole = finite("range", range_k, 0.0, LARGEST_K / 2, "K")
    apart = finite("difference", apart_k, 0.0, LARGEST_K / 2, "K")
    pairs = [(step, step + off) for step in (0.0, whole) for off in (-apart, 0.0, apart)]
    return max(
        along_m(alpha_sheet_per_k, sheet, alpha_tie_per_k, tie, length_m) for sheet, tie in pairs
    )


def sheets_apart_m(
    alpha_per_k: float, step_k: float, from_first_m: float, from_second_m: float
) -> float:
    """What two sheets of one metal move against each other under one rail.

    Statics: places from each sheet's own fixed zone towards the eave, negative above it.
    """
    one = finite("place", from_first_m, -LONGEST_M / 2, LONGEST_M / 2, "m")
    two = finite("place", from_second_m, -LONGEST_M / 2, LONGEST_M / 2, "m")
    return expansion_m(alpha_per_k, abs(one - two), step_k)
