"""Printed data is strict JSON: RFC 8259 has no number for what is without bound or no number."""

import json
import math

import pytest

from selector.explanation.dumped import dumped
from selector.model.quantity import Ratio


@pytest.mark.parametrize("figure", [math.inf, -math.inf, math.nan])
def test_a_figure_without_bound_is_null(figure: float) -> None:
    data = {"low": 0.5, "each": [figure, {"by": (1, figure)}]}
    assert json.loads(dumped(data)) == {"low": 0.5, "each": [None, {"by": [1, None]}]}


def test_keys_and_letters_stay_as_given() -> None:
    assert dumped({"b": "Öse", "a": 1}) == '{\n "b": "Öse",\n "a": 1\n}'


def test_a_share_of_nothing_is_shown_as_more_than_anything() -> None:
    assert str(Ratio(0.5, math.inf)) == "0.50 to over 99"
    assert str(Ratio(99.0, 99.0)) == "99.00"
