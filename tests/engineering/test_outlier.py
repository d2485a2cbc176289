"""The value that stands out, against the printed limits of Grubbs.

LIMITS: F. E. Grubbs, Technometrics 11 (1969), table 1, significance 2.5 % on one side, as printed
again by users of DIN 32645; two decimals, of 11 tests 2.355 printed as 2.36.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError
from selector.engineering.outlier import farthest, grubbs_limit

LIMITS = {
    3: 1.15,
    4: 1.48,
    5: 1.71,
    6: 1.89,
    7: 2.02,
    8: 2.13,
    9: 2.21,
    10: 2.29,
    11: 2.36,
    12: 2.41,
    13: 2.46,
    14: 2.51,
    15: 2.55,
    16: 2.59,
    17: 2.62,
    18: 2.65,
    19: 2.68,
    20: 2.71,
}
LOADS = st.lists(st.integers(100, 5000).map(float), min_size=3, max_size=20, unique=True)


@pytest.mark.parametrize(("n", "limit"), LIMITS.items())
def test_the_printed_limits(n: int, limit: float) -> None:
    assert grubbs_limit(n) == pytest.approx(limit, abs=0.006)


def test_one_wild_value_is_seen_and_one_usual_is_not() -> None:
    usual = [1520.0, 1710.0, 1600.0, 1740.0, 1550.0, 1660.0, 1490.0]
    found = farthest([*usual, 900.0])
    assert (found.index, found.out) == (7, True)
    assert not farthest(usual).out


def test_of_two_alike_the_lower_load_is_named() -> None:
    assert farthest([500.0, 600.0, 700.0]).index == 0
    assert farthest([700.0, 600.0, 500.0]).index == 2


@given(LOADS, st.randoms(use_true_random=False))
def test_the_order_is_irrelevant(loads: list[float], random: object) -> None:
    other = list(loads)
    random.shuffle(other)  # type: ignore[attr-defined]
    one, two = farthest(loads), farthest(other)
    assert loads[one.index] == other[two.index]
    assert one.distance == two.distance


@given(LOADS)
def test_no_distance_is_above_the_largest_there_can_be(loads: list[float]) -> None:
    # (n - 1) / sqrt(n): E. S. Pearson, C. Chandra Sekar, Biometrika 28 (1936)
    n = len(loads)
    assert farthest(loads).distance <= (n - 1) / n**0.5 * (1 + 1e-9)


def test_two_values_have_no_outlier() -> None:
    with pytest.raises(BadInputError, match="2 failures"):
        farthest([1.0, 2.0])
