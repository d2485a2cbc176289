"""Weight of an array by hand."""

import math

import pytest

from selector.engineering.lines import BadInputError
from selector.engineering.weight import Module, array_weight
from tests.engineering.conftest import STATED

LIGHT, HEAVY = Module(19.0, 1.9, "demo", "invented"), Module(22.0, 1.76, "demo", "invented")


def test_lightest_without_rails_and_heaviest_with_them() -> None:
    # 19/1.9 = 10 kg/m2; 22/1.76 + 2.5 = 15 kg/m2; standard gravity 9.80665 m/s2 (CGPM 1901)
    sheet = array_weight([HEAVY, LIGHT], 2.5, STATED)
    assert sheet.value("G,min") == pytest.approx(98.0665)
    assert sheet.value("G,max") == pytest.approx(147.09975)
    assert sheet.line("G,min").inputs == ("g,light",)
    assert sheet.status == "invented"


def test_one_module_is_both() -> None:
    sheet = array_weight([LIGHT], 0.0, STATED)
    assert sheet.value("G,min") == sheet.value("G,max")


def test_no_module() -> None:
    with pytest.raises(BadInputError, match="no module; expected at least one"):
        array_weight([], 2.5, STATED)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf, 1e6])
def test_bad_modules(bad: float) -> None:
    with pytest.raises(BadInputError, match="mass of a module"):
        array_weight([Module(bad, 1.9, "demo", "invented")], 2.5, STATED)
    with pytest.raises(BadInputError, match="area of a module"):
        array_weight([Module(19.0, bad, "demo", "invented")], 2.5, STATED)
