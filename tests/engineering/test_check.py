"""Checks and small formulas against published values and by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.check import area_weight_pa, movement_um, ratio


def test_equality_passes_and_nothing_against_nothing_is_no_demand() -> None:
    assert ratio(5, 5) == 1
    assert ratio(0, 0) == 0
    assert ratio(1, 0) == math.inf


@given(st.floats(0, 1e9), st.floats(1e-3, 1e9), st.floats(1, 10))
def test_more_demand_never_lowers_the_ratio(demand: float, capacity: float, more: float) -> None:
    assert ratio(demand * more, capacity) >= ratio(demand, capacity)
    assert ratio(demand, capacity * more) <= ratio(demand, capacity)


@pytest.mark.parametrize(("demand", "capacity"), [(-1, 2), (1, -2)])
def test_signs_are_refused(demand: float, capacity: float) -> None:
    with pytest.raises(ValueError, match="no sign"):
        ratio(demand, capacity)


def test_weight_of_an_array_by_hand() -> None:
    # 20 kg on 2 m2 and 3 kg/m2 of rails: 13 kg/m2 at 9.80665 m/s2 (CGPM 1901) = 127.486 Pa
    assert area_weight_pa(20, 2, 3) == pytest.approx(127.48645)


def test_ten_metres_of_aluminium_over_fifty_kelvin() -> None:
    # EN 1991-1-5:2003 Table C.1: aluminium 24e-6 per K; 10 m, 50 K: 12.0 mm
    assert movement_um(24, 10, 50) == pytest.approx(12_000)
