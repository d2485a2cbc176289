"""Peak velocity pressure against published worked examples, and what it refuses."""

import math
from dataclasses import replace

import pint
import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError, Outside, Sheet
from selector.engineering.tables import Code
from selector.engineering.wind_en import WindSite, peak_pressure, stated_pressure
from tests.engineering.conftest import given, site, with_variants
from tests.engineering.published import TERRAIN

ureg = pint.UnitRegistry()


def pressed(code: Code, at: WindSite, height_m: float) -> Sheet:
    found = peak_pressure(code, at, given(height_m, "measured"))
    assert isinstance(found, Sheet)
    return found


def test_terrain_three_of_the_design_guide(code: Code) -> None:
    # Steel Buildings in Europe, Single-Storey Steel Buildings, Part 3: Actions, appendix B,
    # pp. 3-47 and 3-48: qb 422.5, kr 0.215, cr 0.706, ce 1.56, qp 659 N/m2 (kr rounded early)
    sheet = pressed(code, site(26, "III"), 8)
    assert sheet.value("qb") == pytest.approx(422.5, rel=1e-9)
    assert sheet.value("kr") == pytest.approx(0.215, rel=0.006)
    assert sheet.value("cr") == pytest.approx(0.706, rel=0.006)
    assert sheet.value("ce") == pytest.approx(1.56, rel=0.006)
    assert sheet.value("qp") == pytest.approx(659, rel=0.006)


def test_below_the_least_height_of_terrain_four(code: Code) -> None:
    # Calcpad example sheet "Wind Load for Rectangular Building with Duopitch Roof": kr 0.234,
    # cr 0.54, Iv 0.434, qb 0.422, ce 1.18, qp 0.497 kN/m2; z 9 m below zmin 10 m
    sheet = pressed(code, site(26, "IV"), 9)
    for symbol, value in (("kr", 0.234), ("cr", 0.54), ("Iv", 0.434), ("ce", 1.18)):
        assert sheet.value(symbol) == pytest.approx(value, rel=0.005)
    assert sheet.value("qb") == pytest.approx(422, rel=0.005)
    assert sheet.value("qp") == pytest.approx(497, rel=0.005)
    assert sheet.value("qp") == pressed(code, site(26, "IV"), 10).value("qp")


def test_arithmetic_to_many_digits(code: Code) -> None:
    # "Wind Load Euro", an anonymous sheet (arithmetic only): kr 0.215389, cr 0.68, vm 14.939,
    # sigma_v 4.73856529, Iv 0.31718482, qp 0.449 kN/m2
    sheet = pressed(code, site(22, "III"), 7.02)
    assert sheet.value("kr") == pytest.approx(0.215389, abs=5e-7)
    assert sheet.value("cr") == pytest.approx(0.68, abs=0.005)
    assert sheet.value("vm") == pytest.approx(14.939, abs=5e-4)
    assert sheet.value("sigma_v") == pytest.approx(4.73856529, rel=1e-8)
    assert sheet.value("Iv") == pytest.approx(0.31718482, rel=1e-7)
    assert sheet.value("qp") == pytest.approx(449, rel=0.002)


def test_a_worked_example_line_by_line(code: Code) -> None:
    # The guide's example once more, every line by hand from its expressions; vb,0 26 m/s,
    # terrain III, z 8 m (same source as above, appendix B)
    kr = 0.19 * (0.3 / 0.05) ** 0.07  # (4.5)
    cr = kr * math.log(8 / 0.3)  # (4.4)
    by_hand = {
        "z": (8, "m", "given"),
        "vb,0": (26, "m/s", "given"),
        "cdir": (1, "", "4.2(2)P note 2"),
        "cseason": (1, "", "4.2(2)P note 3"),
        "vb": (26, "m/s", "4.2(2)P, (4.1)"),
        "kr,share": (0.19, "", "4.3.2, (4.5)"),
        "kr,power": (0.07, "", "4.3.2, (4.5)"),
        "z0,II": (0.05, "m", "4.3.2, (4.5)"),
        "gust": (7, "", "4.5(1), (4.8)"),
        "terrain": ("III", "", "table 4.1"),
        "z0": (0.3, "m", "table 4.1"),
        "zmin": (5, "m", "table 4.1"),
        "kr": (0.21538867, "", "4.3.2, (4.5)"),
        "cr": (cr, "", "4.3.2, (4.4)"),
        "co": (1, "", "given"),
        "vm": (26 * cr, "m/s", "4.3.1, (4.3)"),
        "kI": (1, "", "4.4(1), (4.6)"),
        "sigma_v": (kr * 26, "m/s", "4.4, (4.6)"),
        "Iv": (1 / math.log(8 / 0.3), "", "4.4, (4.7)"),
        "rho": (1.25, "kg/m3", "4.5(1) note 2"),
        "qb": (422.5, "Pa", "4.5, (4.10)"),
        "qp": ((1 + 7 / math.log(8 / 0.3)) * 0.5 * 1.25 * (26 * cr) ** 2, "Pa", "4.5, (4.8)"),
        "ce": (1.5664, "", "4.5, (4.9)"),
    }
    sheet = pressed(code, site(26, "III"), 8)
    assert [line.symbol for line in sheet.lines] == list(by_hand)
    for line in sheet.lines:
        value, unit, clause = by_hand[line.symbol]
        assert (line.unit, line.clause) == (unit, clause), line.symbol
        if isinstance(value, str):
            assert line.value == value
        else:
            assert line.value == pytest.approx(value, rel=4e-5), line.symbol
    assert sheet.at_best == "allowed"


@pytest.mark.parametrize("word", TERRAIN)
def test_terrain_rows(code: Code, word: str) -> None:
    # EN 1991-1-4:2005 table 4.1
    sheet = pressed(code, site(25, word), 30)
    z0, zmin = TERRAIN[word]
    assert (sheet.value("z0"), sheet.value("zmin")) == (z0, zmin)
    assert sheet.line("z0").clause == "table 4.1"
    assert sheet.line("z0").origin.startswith("kb/codes/en-1991-1-4-2005.yaml:")


def test_factors_that_somebody_states(code: Code) -> None:
    own = replace(site(30, "II"), direction=given(0.9), season=given(0.8))
    sheet = pressed(code, own, 10)
    assert sheet.value("vb") == pytest.approx(21.6)
    assert sheet.line("cdir").clause == "given"
    hilly = pressed(code, site(30, "II", 1.2), 10)
    flat = pressed(code, site(30, "II"), 10)
    # (4.3) and (4.7): vm grows by 1.2, Iv falls by it
    assert hilly.value("vm") == pytest.approx(1.2 * flat.value("vm"))
    assert hilly.value("Iv") == pytest.approx(flat.value("Iv") / 1.2)


def test_an_invented_country_replaces_a_figure(code: Code, codes: object) -> None:
    other = codes.code("example-land")  # type: ignore[attr-defined]
    sheet = pressed(other, site(25, "II"), 10)
    assert sheet.line("rho").status == "invented"
    assert sheet.status == "invented"
    ratio = sheet.value("qp") / pressed(code, site(25, "II"), 10).value("qp")
    assert ratio == pytest.approx(other.figure("air_density").value / 1.25)


@pytest.mark.parametrize("height", [200.1, 350.0])
def test_above_the_highest_there_is_no_number(code: Code, height: float) -> None:
    found = peak_pressure(code, site(25, "II"), given(height))
    assert isinstance(found, Outside)
    assert found.clause == "4.3.2, (4.4)"
    assert found.allowed == "heights up to 200 m"
    assert isinstance(peak_pressure(code, site(25, "II"), given(200.0)), Sheet)


def test_an_unknown_terrain_has_no_number(code: Code) -> None:
    found = peak_pressure(code, site(25, "V"), given(10))
    assert isinstance(found, Outside)
    assert str(found) == "terrain is V; table 4.1 covers categories 0, I, II, III, IV"


def test_a_country_without_a_variant_asks_for_the_pressure(code: Code) -> None:
    found = peak_pressure(with_variants(code, wind="stated"), site(25, "II"), given(10))
    assert isinstance(found, Outside)
    assert "a peak pressure with its source" in str(found)
    sheet = stated_pressure(given(640, "from memory"))
    assert sheet.value("qp") == 640
    assert sheet.at_best == "conditional"


BAD = [-1.0, math.nan, math.inf, -math.inf, 1e9]


@pytest.mark.parametrize("value", BAD)
def test_bad_speeds_and_heights(code: Code, value: float) -> None:
    with pytest.raises(BadInputError, match=r"basic velocity is .*; expected a number from 0"):
        peak_pressure(code, site(value, "II"), given(10))
    with pytest.raises(BadInputError, match=r"height is .*; expected a number from 0"):
        peak_pressure(code, site(25, "II"), given(value))
    with pytest.raises(BadInputError, match=r"orography factor is"):
        peak_pressure(code, site(25, "II", value), given(10))


def test_no_height_and_no_number_at_all(code: Code) -> None:
    with pytest.raises(BadInputError, match="height is 0 m; expected the height"):
        peak_pressure(code, site(25, "II"), given(0))
    with pytest.raises(BadInputError, match="basic velocity is True"):
        peak_pressure(code, site(True, "II"), given(10))
    with pytest.raises(BadInputError, match="status of vb,0 is `hearsay`"):
        peak_pressure(code, replace(site(25, "II"), basic=given(25, "hearsay")), given(10))


@drawn(
    st.sampled_from(sorted(TERRAIN)), st.floats(1, 60), st.floats(0.1, 190), st.floats(1.001, 1.5)
)
def test_faster_and_higher_is_never_less(
    code: Code, terrain: str, speed: float, height: float, more: float
) -> None:
    here = pressed(code, site(speed, terrain), height).value("qp")
    # (4.8) is square in the speed
    faster = pressed(code, site(speed * more, terrain), height).value("qp")
    assert faster == pytest.approx(here * more**2)
    higher = pressed(code, site(speed, terrain), min(height * more, 200)).value("qp")
    assert higher >= here * (1 - 1e-12)


def test_other_units_give_the_same(code: Code) -> None:
    speed = (93.6 * ureg.kilometer / ureg.hour).to("m/s").magnitude
    height = (26.246719160105 * ureg.foot).to("m").magnitude
    here, there = pressed(code, site(26, "III"), 8), pressed(code, site(speed, "III"), height)
    assert there.value("qp") == pytest.approx(here.value("qp"), rel=1e-12)


def test_no_wind_is_no_pressure(code: Code) -> None:
    sheet = pressed(code, site(0, "II"), 10)
    assert sheet.value("qp") == 0
    with pytest.raises(KeyError):
        sheet.value("ce")
