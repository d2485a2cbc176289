"""Movement by temperature: figures worked out by hand, and a figure that is known to be wrong.

Worked: invented roofs, closed form by hand (24e-6 for aluminium, 12e-6 for steel, EN 1991-1-5).
"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError
from selector.engineering.movement import (
    Runs,
    along_by_range_m,
    along_m,
    expansion_m,
    gap_m,
    runs_m,
    sheets_apart_m,
    steps_k,
)

ALUMINIUM, STEEL, ZINC = 24e-6, 12e-6, 22e-6


def test_a_rail_across_the_seams() -> None:
    """9.2 m fixed in the middle, fitted at 5 to 25 C, between -20 and 70 C."""
    steps = steps_k(-20, 70, 5, 25)
    assert steps == (65, 45)
    runs = runs_m(0.0, 9.2, [], fixed_m=4.6)
    ends = [(expansion_m(ALUMINIUM, n, k)) for k in steps for n in (runs.left_m, runs.right_m)]
    assert ends == pytest.approx([7.176e-3, 7.176e-3, 4.968e-3, 4.968e-3], rel=1e-6)
    unknown = runs_m(0.0, 9.2, [0.2, 1.0, 9.0])
    assert unknown == Runs(9.2, 9.2, False)
    assert expansion_m(ALUMINIUM, unknown.longest_m, steps.largest_k) == pytest.approx(14.352e-3)
    assert max(ends) / 8e-3 == pytest.approx(0.897, rel=1e-6)


def test_the_full_expansion_counts_across_the_seams() -> None:
    """10 m of aluminium, 50 K: 12.0 mm, and not 5.5 or 6.0 mm, the difference of rail and sheet."""
    full = expansion_m(ALUMINIUM, 10.0, 50)
    assert full == pytest.approx(12.0e-3)
    assert full != pytest.approx(5.5e-3, rel=0.1)
    assert full != pytest.approx(along_m(STEEL, 50, ALUMINIUM, 50, 10.0), rel=0.1)


def test_sheets_of_the_handbook_and_of_the_code_of_practice() -> None:
    """Chudley and Greeno, Building Construction Handbook, 8th ed., lead sheet: 2.67 mm.

    NZ Metal Roof and Wall Cladding Code of Practice v3.0, temperature range: steel, 21.6 mm.
    """
    assert expansion_m(29.7e-6, 2.0, 45) == pytest.approx(2.67e-3, rel=0.002)
    assert expansion_m(STEEL, 30.0, 60) == pytest.approx(21.6e-3, rel=0.002)


def test_the_difference_counts_along_the_seams() -> None:
    assert along_m(ZINC, 60, ALUMINIUM, 40, 3.4) == pytest.approx(1.224e-3, rel=1e-9)


def test_two_sheets_with_their_own_fixed_zones() -> None:
    assert sheets_apart_m(ZINC, 70, 6.5, 1.2) == pytest.approx(8.162e-3, rel=1e-9)
    assert sheets_apart_m(ZINC, 70, 6.5, -1.2) == pytest.approx(11.858e-3, rel=1e-9)


def test_where_only_the_range_is_known() -> None:
    """Aluminium on zinc, 100 K, 20 K apart, 1 m: 24 * 120 - 22 * 100 is 680 um.

    On steel: 24 * 120 - 12 * 100 is 1680 um; of one metal only what they are apart: 480 um.
    """
    assert along_by_range_m(ZINC, ALUMINIUM, 100, 20, 1.0) == pytest.approx(680e-6)
    assert along_by_range_m(STEEL, ALUMINIUM, 100, 20, 1.0) == pytest.approx(1680e-6)
    assert along_by_range_m(ALUMINIUM, ALUMINIUM, 100, 20, 1.0) == pytest.approx(480e-6)
    # a sheet that grows more than its tie: 29.3 * 100 - 12 * 80 is 1970 um
    assert along_by_range_m(29.3e-6, STEEL, 100, 20, 1.0) == pytest.approx(1970e-6)


def test_a_gap_takes_what_both_pieces_grow_and_how_it_is_set_out() -> None:
    """3.6 m on one side, 2.4 m on the other, 65 K: 9.36 mm, and 10 mm of setting out."""
    assert gap_m(ALUMINIUM, 6.0, 65, 0.010) == pytest.approx(19.36e-3)


@pytest.mark.parametrize(
    ("clamps", "alike", "uneven", "longest"),
    [
        ([0.3, 1.3, 2.3, 3.3], True, 0.001, 1.8),
        ([0.3, 1.3, 2.3, 3.3], False, 0.001, None),  # nobody says that they are alike
        ([0.3, 1.3, 2.4, 3.3], True, 0.001, None),
        ([0.3, 1.3, 2.4, 3.3], True, 0.25, 1.825),  # alike springs: about their mean, 1.825
        ([0.3, 1.3, 2.3], True, 0.25, 2.3),  # evenly spread about 1.3
        ([1.8], True, 0.25, None),
        ([], True, 0.25, None),
    ],
)
def test_the_middle_stays_only_where_clamps_are_alike_and_even(
    clamps: list[float], alike: bool, uneven: float, longest: float | None
) -> None:
    found = runs_m(0.0, 3.6, clamps, alike=alike, uneven_m=uneven)
    assert found.known is (longest is not None)
    assert found.longest_m == pytest.approx(longest or 3.6)


ALPHAS = st.floats(1e-6, 3e-5)


@given(ALPHAS, st.floats(0, 30), st.floats(0, 30), st.floats(0, 100))
def test_two_lengths_grow_as_one_and_a_longer_one_no_less(
    alpha: float, one: float, two: float, step: float
) -> None:
    both = expansion_m(alpha, one + two, step)
    apart = expansion_m(alpha, one, step) + expansion_m(alpha, two, step)
    assert both == pytest.approx(apart)
    assert both >= expansion_m(alpha, one, step)


@given(ALPHAS, ALPHAS, st.floats(0, 100), st.floats(0, 30), st.floats(0, 20), st.floats(-1, 1))
def test_the_range_is_never_milder_than_a_pair_inside_it(
    sheet: float, tie: float, whole: float, apart: float, length: float, share: float
) -> None:
    worst = along_by_range_m(sheet, tie, whole, apart, length)
    for step in (0.0, whole / 2, whole):
        assert along_m(sheet, step, tie, step + share * apart, length) <= worst * (1 + 1e-9) + 1e-15


@given(st.floats(-30, 0), st.floats(0, 20), st.floats(0, 20), st.floats(0, 60))
def test_both_steps_cover_the_whole_range(
    cold: float, first: float, more: float, rest: float
) -> None:
    steps = steps_k(cold, first + more + rest, first, first + more)
    assert steps.up_k + steps.down_k >= first + more + rest - cold - 1e-9


@pytest.mark.parametrize(
    "call",
    [
        lambda: steps_k(-20, 70, 25, 5),
        lambda: steps_k(-20, 20, 5, 25),
        lambda: steps_k(10, 70, 5, 25),
        lambda: expansion_m(24.0, 1.0, 50),  # per K, not per million
        lambda: expansion_m(24e-6, -1.0, 50),
        lambda: expansion_m(24e-6, 1.0, float("nan")),
        lambda: gap_m(24e-6, 1.0, 50, -0.01),
        lambda: runs_m(0.0, 2.0, [3.0]),
        lambda: runs_m(2.0, 0.0, []),
        lambda: runs_m(0.0, 2.0, [], fixed_m=2.5),
        lambda: sheets_apart_m(-1e-6, 50, 1, 2),
    ],
)
def test_what_is_no_figure_is_refused(call: Any) -> None:
    with pytest.raises(BadInputError):
        call()
