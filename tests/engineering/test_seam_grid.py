"""Combs of seams against windows; every expected value is worked out by hand beside it."""

import pytest

from selector.engineering.seam_grid import grid_meets, meets


def test_seams_under_both_edges_of_a_module() -> None:
    # edges at 0 and 1.06 m: two bays of 0.53 m
    assert meets(0.53, [(0, 0), (1.06, 1.06)])
    # 1.15 m is no multiple of 0.53 m: 1.06 misses it by 90 mm, 1.59 by 440 mm
    edges = [(-0.01, 0.01), (1.14, 1.16)]
    assert not meets(0.53, edges)
    assert meets(0.575, edges)  # 2 x 0.575 = 1.15


def test_seams_inside_two_zones() -> None:
    # zones 0.10 to 0.45 and 1.27 to 1.62 m; a first seam at 0.21 puts the third at 1.27
    assert meets(0.53, [(0.10, 0.45), (1.27, 1.62)])
    # three modules at 1.74 m: shifts 0.21-0.45, 0.36-0.60, 0.51-0.75 (mod 0.53) share no point
    three = [(a + 1.74 * i, b + 1.74 * i) for i in range(3) for a, b in [(0.1, 0.45), (1.27, 1.62)]]
    assert not meets(0.53, three)
    assert meets(0.53, three[:4])


def test_a_window_as_wide_as_the_spacing_is_always_met() -> None:
    assert meets(0.40, [(0.1, 0.5), (1.3, 1.9)])


def test_a_range_of_spacings() -> None:
    edges = [(-0.01, 0.01), (1.14, 1.16)]
    assert grid_meets(0.525, 0.536, edges) == (False, False)  # 1.05 to 1.072, 1.575 and more
    assert grid_meets(0.573, 0.577, edges) == (True, True)  # 1.146 to 1.154, 4 mm of 20 mm play
    assert grid_meets(0.55, 0.60, edges) == (False, True)  # 1.10 to 1.20
    assert grid_meets(0.575, 0.575, edges) == (True, True)


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.5), (-0.1, 0.5), (0.6, 0.5)])
def test_no_range_of_spacings(low: float, high: float) -> None:
    with pytest.raises(ValueError, match="range of spacings"):
        grid_meets(low, high, [(0, 1)])


def test_no_spacing() -> None:
    with pytest.raises(ValueError, match="above zero"):
        meets(0, [(0, 1)])


def test_a_margin_that_eats_the_window() -> None:
    assert not meets(0.53, [(0, 0.01)], -0.02)
