"""Drifts of snow against a published example and against the clauses by hand."""

import math

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from selector.engineering.drift_en import (
    Step,
    obstacle_drift,
    parapet_drift,
    shape_beside,
    snow_beside,
    taller_drift,
)
from selector.engineering.lines import BadInputError, Outside, Sheet
from selector.engineering.over import Hull, over
from selector.engineering.registry import registry
from selector.engineering.snow_en import SnowSite, roof_snow
from selector.engineering.tables import Code
from tests.engineering.conftest import given

MEMORY = "from memory"


def test_drift_behind_a_parapet_of_the_design_guide(accidental: Code) -> None:
    # the same guide, appendix A section 3.5.2, p. 3-43: h 3.0, b1 12.5, b2 25.0, sk 0.65:
    # ls 12.5 m, 2h/sk 9.23, 2b/ls 4.0, mu 4.0, s 2.6 kN/m2
    sheet = parapet_drift(accidental, given(650), given(3.0), given(12.5), given(25.0))
    assert isinstance(sheet, Sheet)
    assert sheet.value("ls") == pytest.approx(12.5)
    assert sheet.value("mu1") == pytest.approx(4.0, rel=0.002)
    assert sheet.value("sB") == pytest.approx(2600, rel=0.002)
    low = parapet_drift(accidental, given(650), given(0.325), given(12.5), given(25.0))
    assert isinstance(low, Sheet)
    assert low.value("mu1") == pytest.approx(1.0)  # 2h/sk counts: 2 x 0.325 / 0.65


def test_a_country_without_exceptional_drifts_has_no_number(code: Code) -> None:
    found = parapet_drift(code, given(650), given(3.0), given(12.5), given(25.0))
    assert isinstance(found, Outside)
    assert found.given == "none"


def test_drift_at_an_obstacle_is_from_memory(code: Code) -> None:
    # EN 1991-1-3:2003 clause 6.2, from memory: 2 x 0.18 / 1.5 = 0.24, not below 0.8; ls 5 m
    sheet = obstacle_drift(code, given(1500), given(0.18))
    assert sheet.value("mu2") == pytest.approx(0.8)
    assert sheet.value("ls") == pytest.approx(5)
    assert sheet.line("mu2").status == MEMORY
    assert obstacle_drift(code, given(1500), given(1.2)).value("mu2") == pytest.approx(1.6)
    tall = obstacle_drift(code, given(1500), given(9))
    assert (tall.value("mu2"), tall.value("ls")) == (2.0, 15.0)
    assert obstacle_drift(code, given(0), given(1)).value("mu2") == 2.0


def test_drift_at_a_taller_roof(code: Code) -> None:
    # EN 1991-1-3:2003 expressions (5.7) to (5.9) by hand: b1 10, b2 8, h 3, sk 1.0 kN/m2:
    # 18/6 = 3.0 below 2 x 3 / 1 = 6; ls 6 m
    sheet = taller_drift(code, given(1000), Step(given(10), given(8), given(3), given(5)))
    assert isinstance(sheet, Sheet)
    assert (sheet.value("mu_w"), sheet.value("mu2")) == (3.0, 3.0)
    assert sheet.value("ls") == 6.0
    bounds = {(10, 8, 1): 2.0, (40, 40, 3): 4.0, (2, 2, 8): 0.8}
    for (b1, b2, h), expected in bounds.items():
        found = taller_drift(code, given(1000), Step(given(b1), given(b2), given(h), given(0)))
        assert isinstance(found, Sheet)
        assert found.value("mu2") == pytest.approx(expected)
    steep = taller_drift(code, given(1000), Step(given(10), given(8), given(3), given(15.1)))
    assert isinstance(steep, Outside)
    assert "from which no snow slides" in str(steep)


def even_snow(code: Code, ground: float, pitch: float = 10) -> Sheet:
    found = roof_snow(code, SnowSite(given(ground)), given(pitch), held=True)
    assert isinstance(found, Sheet)
    return found


def test_along_a_drift(code: Code) -> None:
    # EN 1991-1-3:2003 figures 5.7 and 6.1, from memory, by hand: mu2 1.6, mu1 0.8, ls 5 m: 1.12
    # at 3 m; 0.8 from 5 m on; the whole 1.6 at the obstacle
    even, drift = even_snow(code, 1500), obstacle_drift(code, given(1500), given(1.2))
    for distance, mu in ((0, 1.6), (3, 1.12), (5, 0.8), (40, 0.8)):
        sheet = snow_beside(code, even, drift, given(distance))
        assert sheet.value("mu,d") == pytest.approx(mu)
        assert sheet.value("s,d") == pytest.approx(1500 * mu)
    assert snow_beside(code, even, drift, given(3)).line("s,d").status == MEMORY


def test_at_a_wall_nothing_is_from_memory(code: Code) -> None:
    # the figures of clause 5.3.6 were read; only the line between wall and end of the drift was not
    step = taller_drift(code, given(1000), Step(given(10), given(8), given(3), given(5)))
    assert isinstance(step, Sheet)
    even = even_snow(code, 1000, 2)
    at_the_wall = snow_beside(code, even, step, given(0))
    assert at_the_wall.value("s,d") == pytest.approx(3000)
    assert at_the_wall.line("s,d").status == "published"
    for distance in (2, 6):  # along it, and that it ends there
        assert snow_beside(code, even, step, given(distance)).line("s,d").status == MEMORY
    # a pitched plane and a parapet are our judgement, whatever the clause is worth
    pitched = snow_beside(code, even_snow(code, 1000, 5), step, given(0))
    assert pitched.line("s,d").status == "judgement"
    behind = snow_beside(code, even, step, given(0), parapet=True)
    assert behind.line("s,d").status == "judgement"


@drawn(st.floats(0, 4), st.floats(0, 1.6), st.floats(5, 15), st.floats(0, 30), st.floats(0, 9))
def test_further_away_is_never_more(
    mu2: float, mu1: float, length: float, distance: float, more: float
) -> None:
    near = shape_beside(mu2, mu1, length, distance)
    assert shape_beside(mu2, mu1, length, distance + more) <= near <= max(mu1, mu2) + 1e-12
    assert near >= mu1


def test_a_drift_has_its_turning_point_in_its_hull(code: Code) -> None:
    """By hand: b = 30, d = 2, sk 4 kN/m2: (30/h - 0.8)(1 - 1/h) is largest at 60/30.8 = 1.948 m.

    There mu_w is bounded by 2h/sk and by 4, so that other bounds cut the top off: at 4 m the drift
    by depth, 2 x 4/4 = 2.0, falls to 0.8 over 8 m: 0.8 + 1.2 (1 - 2/8) = 1.7.
    """
    formula = registry(code)["snow at a taller part"]
    box = {"upper": (30, 30), "lower": (30, 30), "distance": (2, 2), "ground": (4000, 4000)}
    factors = {"exposure": (1, 1), "thermal": (1, 1)}
    at_four = over(formula, {**box, **factors, "height": (4.0, 4.0)})
    assert isinstance(at_four, Hull)
    assert at_four.high == pytest.approx(4000 * 1.7)
    # by steps of a millimetre, nothing inside exceeds the hull, and the hull is reached
    wide = over(formula, {**box, **factors, "height": (1.0, 20.0)})
    assert isinstance(wide, Hull)
    found = []
    for i in range(1000, 20_001):
        h = i / 1000
        mu = min(max(min(30 / h, 2 * h / 4), 0.8), 4)
        found.append(4000 * (0.8 + (mu - 0.8) * (1 - 2 / min(max(2 * h, 5), 15))))
    assert wide.high == pytest.approx(max(found), rel=1e-5)
    assert wide.low == pytest.approx(min(found), rel=1e-5)


def test_light_snow_turns_where_the_closed_form_says(code: Code) -> None:
    # b 10, d 4, sk 0.4 kN/m2: from 2.5 m (where 10/h falls below 4) the drift is 10/h over 2h, and
    # (10/h - 0.8)(1 - 4/2h) has its top at 10 x 4/(10 + 0.8 x 4/2) = 3.448 m: 2.1 x 0.42 = 0.882;
    # ends alone would say 3.2 x 0.2 = 0.64 at 2.5 m and 0.533 x 0.733 = 0.391 at 7.5 m
    formula = registry(code)["snow at a taller part"]
    box = {"upper": (8, 8), "lower": (12, 12), "distance": (4, 4), "ground": (400, 400)}
    whole = over(formula, {**box, "exposure": (1, 1), "thermal": (1, 1), "height": (2.5, 7.5)})
    assert isinstance(whole, Hull)
    assert whole.high == pytest.approx(400 * (0.8 + 2.1 * 0.42))
    assert whole.low == pytest.approx(400 * (0.8 + (10 / 7.5 - 0.8) * (1 - 4 / 15)))


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf, 1e9])
def test_bad_drifts(code: Code, bad: float) -> None:
    with pytest.raises(BadInputError, match="height of the obstacle"):
        obstacle_drift(code, given(1000), given(bad))
    with pytest.raises(BadInputError, match="h is"):
        taller_drift(code, given(1000), Step(given(10), given(8), given(bad), given(0)))
    drift = obstacle_drift(code, given(1000), given(1))
    with pytest.raises(BadInputError, match="distance to the drift"):
        snow_beside(code, even_snow(code, 1000), drift, given(bad))
