"""What a torque wrench can be trusted with, against the limits as a manual reviews them."""

import pytest

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.wrench import Scatter, scatter


# ISO 6789, type II, class A, secondary: 4 % above 10 Nm of largest torque, else 6 %; from 20 % on.
@pytest.mark.parametrize(
    ("torque", "lowest", "highest", "low", "high"),
    [
        (18, 5, 50, 17.28, 18.72),
        (10, 2, 50, 9.6, 10.4),
        (8.5, 1, 10, 7.99, 9.01),
        (2, 1, 10, 1.88, 2.12),
        (11, 5, 25, 10.56, 11.44),
    ],
)
def test_scatter(torque: float, lowest: float, highest: float, low: float, high: float) -> None:
    found = scatter(torque, lowest, highest)
    assert isinstance(found, Scatter)
    assert (found.low_nm, found.high_nm) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    ("torque", "lowest", "highest", "range_"),
    [
        (9.9, 2, 50, "10 to 50 Nm"),  # below a fifth of the largest
        (51, 2, 50, "10 to 50 Nm"),
        (18, 20, 60, "20 to 60 Nm"),  # cannot be set so low
    ],
)
def test_out_of_range(torque: float, lowest: float, highest: float, range_: str) -> None:
    found = scatter(torque, lowest, highest)
    assert isinstance(found, Outside)
    assert found.allowed == range_


def test_bad_input() -> None:
    with pytest.raises(BadInputError):
        scatter(18, 60, 50)
    with pytest.raises(BadInputError):
        scatter(float("nan"), 5, 50)
