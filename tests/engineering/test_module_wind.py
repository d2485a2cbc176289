"""The working rule for parallel modules: the roof's coefficient whole, or no number."""

import math
from dataclasses import replace

import pytest

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.module_wind import Lie, module_wind
from selector.engineering.roof_wind_en import PlaceWind, RoofWind, element_wind, roof_wind
from selector.engineering.tables import Code
from selector.engineering.zones_en import Rectangle
from tests.engineering.conftest import roof, site

LIE = Lie(tilt_deg=0, gap_m=0.12, edge_m=0.3, closed_building=True)
BOX: Rectangle = (2.0, 3.0, 1.0, 2.7)


@pytest.fixture(scope="module")
def wind(code: Code) -> RoofWind:
    found = roof_wind(code, site(25, "II"), roof("duopitch", 15, 20, 10, 6))
    assert isinstance(found, RoofWind)
    return found


def test_nothing_is_taken_off(wind: RoofWind) -> None:
    net = module_wind(wind, LIE, BOX, 1.7)
    roof = element_wind(wind, BOX, 1.7)
    assert isinstance(net, PlaceWind)
    assert (net.up, net.down) == (roof.up, roof.down)
    assert net.sheet.line("net pressure").status == "stricter judgement"


def test_the_limits_of_the_rule_are_to_confirm(wind: RoofWind) -> None:
    net = module_wind(wind, LIE, BOX, 1.7)
    assert isinstance(net, PlaceWind)
    assert net.sheet.at_best == "conditional"
    assert [x.symbol for x in net.sheet.to_confirm] == ["tilt_limit", "gap_limit", "edge_gaps"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"tilt_deg": 2.01}, "angle of the modules to the roof is 2.01 deg"),
        ({"tilt_deg": -3.0}, "angle of the modules to the roof is 3 deg"),
        ({"gap_m": 0.201, "edge_m": 9.0}, "gap below the modules is 0.201 m"),
        ({"edge_m": 0.23}, "distance to the edge of the roof is 0.23 m"),
        ({"edge_m": -0.1}, "covers 0.24 m and more"),
        ({"closed_building": False}, "building is open below the roof"),
    ],
)
def test_otherwise_there_is_no_number(wind: RoofWind, change: dict[str, float], said: str) -> None:
    lie = replace(LIE, **change)  # type: ignore[arg-type]
    found = module_wind(wind, lie, BOX, 1.7)
    assert isinstance(found, Outside)
    assert said in str(found)


def test_the_limits_themselves_are_inside(wind: RoofWind) -> None:
    lie = Lie(tilt_deg=2, gap_m=0.2, edge_m=0.4, closed_building=True)
    assert isinstance(module_wind(wind, lie, BOX, 1.7), PlaceWind)


@pytest.mark.parametrize("name", ["tilt_deg", "gap_m", "edge_m"])
@pytest.mark.parametrize("bad", [math.nan, math.inf, 1e6])
def test_bad_measures(wind: RoofWind, name: str, bad: float) -> None:
    with pytest.raises(BadInputError, match="expected a number from"):
        module_wind(wind, replace(LIE, **{name: bad}), BOX, 1.7)  # type: ignore[arg-type]
