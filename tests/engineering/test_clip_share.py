"""The distance that a clip's share asks for, against figures worked out by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.clip_share import least_distance_m


@pytest.mark.parametrize(
    ("spacing", "force", "expected"),
    [(0.400, 450, 0.1511), (0.400, 400, 0.1200), (0.330, 450, 0.1247)],
)
def test_by_hand_with_a_spare_of_350_newton_and_factor_1_25(
    spacing: float, force: float, expected: float
) -> None:
    # by hand: 0.400 (1 - 0.35/0.5625), 0.400 (1 - 0.35/0.50), 0.330 (1 - 0.35/0.5625) m
    assert least_distance_m(spacing, force, 350, 1.25) == pytest.approx(expected, abs=5e-5)


def test_a_clip_that_carries_the_whole_clamp_asks_for_no_distance() -> None:
    assert least_distance_m(0.4, 350, 350, 1.25) == 0


@given(st.floats(0.2, 0.6), st.floats(100, 2000), st.floats(0, 1000), st.floats(1, 1.5))
def test_at_that_distance_the_clip_takes_no_more_than_it_can_spare(
    spacing: float, force: float, spare: float, factor: float
) -> None:
    distance = least_distance_m(spacing, force, spare, factor)
    share = min(force, factor * force * (spacing - distance) / spacing)
    assert share <= spare + 1e-6 * force
    assert 0 <= distance <= spacing


@pytest.mark.parametrize(
    "wrong", [(0, 1, 1, 1.25), (0.4, 0, 1, 1.25), (0.4, 1, -1, 1.25), (0.4, 1, 1, 0.9)]
)
def test_values_without_sense_are_refused(wrong: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        least_distance_m(*wrong)
