"""Front and rear feet of a tilted module against equilibrium written down by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError
from selector.engineering.overturning import Tilted, lifted, weighed

PLACE = st.floats(0.0, 2.2)
TILT = st.floats(0.0, 60.0)


def test_flat_is_the_lever() -> None:
    # statics: 1000 N a quarter of the way from the front foot to the rear one
    feet = lifted(1000.0, 0.7, Tilted(0.0, 0.4, 1.6))
    assert feet.front_n == pytest.approx(750.0)
    assert feet.rear_n == pytest.approx(250.0)
    assert feet.down_slope_n == 0.0


def test_a_tilted_plate_worked_by_hand() -> None:
    # by hand: 30 deg, 1000 N at 1.0 m: x = 0.8660, y = 0.5; Fx = -500, Fy = 866.03
    # about the front foot at 0.2 m: 0.6660 * 866.03 + 0.5 * 500 = 826.79 Nm; feet 1.2 m apart
    feet = lifted(1000.0, 1.0, Tilted(30.0, 0.2, 1.4))
    assert feet.rear_n == pytest.approx(826.79 / 1.2, rel=1e-4)
    assert feet.front_n == pytest.approx(866.03 - 826.79 / 1.2, rel=1e-4)
    assert feet.down_slope_n == pytest.approx(500.0)


def test_a_higher_frame_moves_force_from_the_front_to_the_rear() -> None:
    # statics: 500 N along the slope, 0.1 m higher, feet 1.2 m apart
    low, high = (lifted(1000.0, 1.0, Tilted(30.0, 0.2, 1.4, rise)) for rise in (0.0, 0.1))
    assert high.rear_n - low.rear_n == pytest.approx(500 * 0.1 / 1.2)
    assert low.front_n - high.front_n == pytest.approx(500 * 0.1 / 1.2)


def test_weight_on_a_slope_presses_and_slides() -> None:
    feet = weighed(200.0, 0.8, Tilted(0.0, 0.4, 1.2), 20.0)
    half = pytest.approx(-100 * math.cos(math.radians(20)))
    assert (feet.front_n, feet.rear_n) == (half, half)
    assert feet.down_slope_n == pytest.approx(200 * math.sin(math.radians(20)))


@given(PLACE, TILT, st.floats(0.0, 0.5), st.floats(0.0, 0.6), st.floats(0.3, 1.5))
def test_forces_and_moments_vanish(
    at: float, tilt: float, rise: float, front: float, apart: float
) -> None:
    """About any point: the force on the module and what the feet give back are in balance."""
    module = Tilted(tilt, front, front + apart, rise)
    feet, angle = lifted(1000.0, at, module), math.radians(tilt)
    normal = 1000 * math.cos(angle)
    assert feet.front_n + feet.rear_n == pytest.approx(normal, abs=1e-6)
    assert feet.down_slope_n == pytest.approx(1000 * math.sin(angle), abs=1e-6)
    # moment about the lower edge on the roof, x up the slope and y away from it
    x, y = at * math.cos(angle), rise + at * math.sin(angle)
    acting = x * normal + y * feet.down_slope_n
    given_back = feet.front_n * front + feet.rear_n * (front + apart)
    assert given_back == pytest.approx(acting, abs=1e-6)


@pytest.mark.parametrize(
    ("force", "at", "module"),
    [
        (-1.0, 1.0, Tilted(6.0, 0.2, 1.4)),
        (math.nan, 1.0, Tilted(6.0, 0.2, 1.4)),
        (1000.0, 1.0, Tilted(6.0, 1.4, 0.2)),
        (1000.0, 1.0, Tilted(6.0, 0.2, 0.2)),
        (1000.0, math.inf, Tilted(6.0, 0.2, 1.4)),
        (1000.0, 1.0, Tilted(95.0, 0.2, 1.4)),
    ],
)
def test_what_cannot_be_is_refused(force: float, at: float, module: Tilted) -> None:
    with pytest.raises(BadInputError):
        lifted(force, at, module)
