"""Drifts beside the array of the hall, line by line by hand, from the printed clauses.

EN 1991-1-3:2003 clauses 5.3.6 and 6.2 and annex B.4, EN 1991-1-4:2005 clause 7.2.3 with table 7.2.
Clause 6.2 and the line along a drift are from memory; ground snow 0.65 kN/m2, mu1 0.8.
"""

import math

import pytest

from selector.facts.actions.model import Ends, Loads
from selector.facts.links.figures import pressures
from selector.model.truth import Word
from tests.facts.actions.beside import BESIDE, FLAT, HOOD, obstacles, parapet, taller
from tests.facts.actions.conftest import LoadsOf
from tests.facts.actions.test_by_hand import SNOW, by_area, exact, numbers, sets

SK = 0.65
EVEN = {**{k: v for k, v in SNOW.items() if k != "s"}, "s,even": 520}
OBSTACLE = {
    "obstacle_weight": 2000, "obstacle_least": 0.8, "obstacle_most": 2,
    "obstacle_length": 2, "obstacle_shortest": 5, "obstacle_longest": 15,
}  # fmt: skip
TALLER = {
    "taller_weight": 2000, "taller_least": 0.8, "taller_most": 4, "taller_length": 2,
    "taller_shortest": 5, "taller_longest": 15, "taller_flat": 15,
}  # fmt: skip
# The array lies 5.00 to 18.30 m from the left: 1.70 m from the hood, 26.70 m from the stack.
MU_HOOD = 2 * 0.6 / SK
AT_HOOD = 0.8 + (MU_HOOD - 0.8) * (1 - 1.70 / 5)
# (12 + 60)/6 = 12 and 2 x 3/0.65 = 9.2 both lie above 4; ls = 6 m
AT_WALL = 0.8 + (4 - 0.8) * (1 - 5 / 6)
DRIFTS = {
    **EVEN, **OBSTACLE, **TALLER, "drift_pitch": 30,
    "h at hood": 0.6, "mu2 at hood": MU_HOOD, "ls at hood": 5, "d at hood": 1.70,
    "mu,d at hood": AT_HOOD, "s,d at hood": 650 * AT_HOOD,
    "h at stack": 1.5, "mu2 at stack": 2, "ls at stack": 5, "d at stack": 26.70,
    "mu,d at stack": 0.8, "s,d at stack": 520,
    "upper pitch at taller part left": 8, "b1 at taller part left": 12,
    "b2 at taller part left": 60, "h at taller part left": 3, "mu_w at taller part left": 4,
    "mu2 at taller part left": 4, "ls at taller part left": 6, "d at taller part left": 5,
    "mu,d at taller part left": AT_WALL, "s,d at taller part left": 650 * AT_WALL,
    "s": 650 * AT_HOOD,
}  # fmt: skip


def same(found: dict[str, float], expected: dict[str, float]) -> None:
    assert found.keys() == expected.keys()
    for symbol, value in expected.items():
        assert found[symbol] == pytest.approx(value, rel=1e-9, abs=1e-9), symbol


def test_every_line_of_the_drifts(loads: LoadsOf) -> None:
    found = loads(BESIDE)
    same(numbers(found.topics["snow"].rows), DRIFTS)
    assert exact(found.snow_pa) == pytest.approx(650 * AT_HOOD)
    told = {d.name: (d.reaches, exact(d.pa)) for d in found.drifts}
    assert told == {
        "hood": (True, pytest.approx(650 * AT_HOOD)),
        "stack": (False, pytest.approx(520)),
        "taller part left": (True, pytest.approx(650 * AT_WALL)),
    }
    assert found.word == Word.CONDITIONAL
    assert {"obstacle_weight", "drift_pitch", "along a drift"} <= {
        row.symbol for row in found.to_confirm
    }


def test_the_sets_take_the_snow_of_the_drift(loads: LoadsOf) -> None:
    """(6.10): 1.5 S cos2 more, and nothing else: by hand from the set without a drift."""
    calm, drifted = loads(), loads(BESIDE)
    more = 650 * AT_HOOD - 520
    cos, sin = math.cos(math.radians(8.5)), math.sin(math.radians(8.5))
    for part, share in (("pressure", cos), ("along", sin)):
        before = calm.sets["module"].governing[part].value_pa
        after = drifted.sets["module"].governing[part].value_pa
        assert after.high - before.high == pytest.approx(1.5 * more * cos * share)
    assert calm.lift == drifted.lift


def test_the_load_on_a_module_takes_the_snow_of_the_drift(loads: LoadsOf) -> None:
    """What the rules read as net pressure on a module, in thousandths of a Pa, rounded up."""
    down = pressures(loads(BESIDE))["net_down"]
    cos = math.cos(math.radians(8.5))
    by_hand = sets(0)["down-snow, pressure"] + 1.5 * (650 * AT_HOOD - 520) * cos**2
    assert down.value == math.ceil(by_hand * 1000)


@pytest.mark.parametrize(
    ("changes", "snow"),
    [
        # b1 12, b2 2 x 16.178 cos 8.5 = 32.0 (the whole roof across): 4; the array ends 6.84 m
        # below the ridge and the drift after 6: clear
        (taller("ridge"), 520),
        # a step of 10 m: (12 + 60)/20 = 3.6 below 2 x 10/0.65; ls 15 m of at most 15; 5 m away
        (taller(step="{is: 10 m, paper: plan}"), 650 * (0.8 + 2.8 * (1 - 5 / 15))),
        # a low one of 0.5 m: 2 x 0.5/0.65 = 1.54 below 72/1; ls 5 m: clear
        (taller(step="{is: 0.5 m, paper: plan}"), 520),
        # the other end is 41.7 m away
        (taller("right"), 520),
        # the hood stands among the modules: nothing eases it
        (obstacles(HOOD.replace("20.00 m", "10.00 m")), 650 * MU_HOOD),
        # 0.2 m: 2 x 0.2/0.65 = 0.615, not below 0.8
        (obstacles(HOOD.replace("rises: 0.60 m", "rises: 0.20 m")), 520),
    ],
    ids=("ridge", "tall", "low", "far", "inside", "flat thing"),
)
def test_other_places_and_heights(loads: LoadsOf, changes: dict[str, str], snow: float) -> None:
    found = loads(changes)
    assert found.opens == ()
    assert exact(found.snow_pa) == pytest.approx(snow)


# --- parapets ----------------------------------------------------------------------------

MU_PARAPET = 2 * 0.4 / SK
COS2 = math.cos(math.radians(2))
RUN = 16.178 * COS2  # of the plane, on plan
FAR = {"eave": 1.0 * COS2, "left": 1.0, "right": 60 - 14.30, "ridge": RUN - 6.26 * COS2}


def at(edge: str) -> float:
    return 0.8 + (MU_PARAPET - 0.8) * max(0, 1 - FAR[edge] / 5)


def test_every_line_behind_a_parapet(loads: LoadsOf) -> None:
    found = loads({**FLAT, **parapet()})
    expected = {**EVEN, **OBSTACLE, "pitch": 2, "s": 650 * at("eave")}
    for edge, far in FAR.items():
        name = f"parapet {edge}"
        expected |= {f"h at {name}": 0.4, f"mu2 at {name}": MU_PARAPET, f"ls at {name}": 5}
        expected |= {f"d at {name}": far, f"mu,d at {name}": at(edge)}
        expected[f"s,d at {name}"] = 650 * at(edge)
    same(numbers(found.topics["snow"].rows), expected)
    assert {d.name for d in found.drifts if d.reaches} == {"parapet eave", "parapet left"}
    rows = {row.symbol: row for row in found.topics["snow"].rows}
    assert rows["parapet drifts"].status == "judgement"
    assert "drift_pitch" not in rows  # 2 deg is flat


def test_the_wind_on_a_flat_roof_with_a_parapet(loads: LoadsOf) -> None:
    """Table 7.2, hp/h = 0.4/8 = 0.05: F -1.4 and -2.0; reference height 8.4 m in terrain III."""
    found = loads({**FLAT, **parapet()})
    kr, log = 0.19 * (0.3 / 0.05) ** 0.07, math.log(8.4 / 0.3)
    qp = (1 + 7 / log) * 0.5 * 1.25 * (kr * log * 26) ** 2
    assert exact(found.peak_pa) == pytest.approx(qp)
    assert exact(found.lift["fixing"].pressure_pa) == pytest.approx(2.0 * qp)
    assert exact(found.lift["module"].pressure_pa) == pytest.approx(-by_area((-1.4, -2.0)) * qp)
    assert exact(found.press["fixing"].pressure_pa) == pytest.approx(0.2 * qp)
    assert found.lift["fixing"].zone == "F"
    values = numbers(found.topics["wind"].rows)
    assert (values["h"], values["hp"], values["z"]) == (8, 0.4, 8.4)
    assert values["hp/h"] == pytest.approx(0.05)
    assert "between parapets" not in {row.symbol for row in found.topics["wind"].rows}
    # without the parapet: sharp eaves, F -2.5, reference height 8 m
    sharp = loads(FLAT)
    assert exact(sharp.lift["fixing"].pressure_pa) == pytest.approx(2.5 * exact(sharp.peak_pa))


def test_between_two_rows_of_the_table_the_line_is_named(loads: LoadsOf) -> None:
    # hp/h = 0.6/8 = 0.075, half way from 0.05 to 0.10: F cpe,1 -1.9
    found = loads({**FLAT, **parapet("{is: 0.6 m, paper: plan}")})
    lift = exact(found.lift["fixing"].pressure_pa)
    assert lift == pytest.approx(1.9 * exact(found.peak_pa))
    rule = next(r for r in found.topics["wind"].rows if r.symbol == "between parapets")
    assert rule.status == "from memory"
    # 0.1/8 lies below the first row: as without one, but 0.1 m higher
    low = loads({**FLAT, **parapet("{is: 0.1 m, paper: plan}")})
    assert exact(low.lift["fixing"].pressure_pa) == pytest.approx(2.5 * exact(low.peak_pa))
    assert exact(low.peak_pa) > exact(loads(FLAT).peak_pa)


# --- countries with exceptional snow and drifts --------------------------------------------

LAND = {"{is: recommended-values}": "{is: example-land}"}


def accidental(found: Loads) -> tuple[float, float]:
    pressure = {
        s.name: exact(s.value_pa) for s in found.sets["module"].sets if s.part == "pressure"
    }
    return pressure["accidental-snow"], pressure["accidental-drift"]


def test_an_exceptional_drift_behind_a_parapet(loads: LoadsOf) -> None:
    """Annex B.4: h 0.4: 2h/sk = 1.231; ls = 5h = 2.0 m, within which eave and left edge lie.

    2b/ls = 2 x 16.17/2 is larger. sB = 1.231 x 0.65 = 0.8 kN/m2 = 2 h, whole. The country's factor
    of exceptional snow is 2.2, and it has the shape of the drift as well.
    """
    found = loads({**FLAT, **LAND, **parapet()})
    assert exact(found.drift_pa) == pytest.approx(800)
    assert exact(found.accidental_pa) == pytest.approx(2.2 * 650 * at("eave"))
    values = numbers(found.topics["snow"].rows)
    assert values["ls behind parapet eave"] == pytest.approx(2.0)
    assert values["b1 behind parapet eave"] == pytest.approx(RUN)
    assert values["sB behind parapet left"] == pytest.approx(800)
    assert values["sB behind parapet right"] == 0
    assert values["sAd,even"] == pytest.approx(2.2 * 520)
    # (6.11b): factor 1.0, psi2 of wind 0
    weight = sets(1)["self-weight, pressure"] / 1.35 / math.cos(math.radians(8.5)) * COS2
    snow, drift = accidental(found)
    assert snow == pytest.approx(weight + 2.2 * 650 * at("eave") * COS2**2)
    assert drift == pytest.approx(weight + 800 * COS2**2)


def test_exceptional_drifts_at_an_obstacle_count_on_every_side(loads: LoadsOf) -> None:
    """Annex B.4 for the hood at 20.00 to 21.20 m of 60 m, 5.00 to 6.20 m of 32.0 m on plan.

    h 0.6: ls = 3 m, 2h/sk = 1.846 the smallest on each side: sB = 1.2 kN/m2, 1.70 m away.
    """
    found = loads({**LAND, **obstacles(HOOD)})
    assert exact(found.drift_pa) == pytest.approx(1200)
    values = numbers(found.topics["snow"].rows)
    assert values["b1 behind hood 1"] == pytest.approx(20.0)
    assert values["b2 behind hood 1"] == pytest.approx(60 - 21.2)
    assert values["b1 behind hood 3"] == pytest.approx(5.0 * math.cos(math.radians(8.5)))
    assert loads(LAND).drift_pa is None
    assert loads(LAND).not_applicable["accidental-drift"] == "no exceptional drift at this place"


def test_a_drift_that_ends_before_the_array_is_no_exceptional_one(loads: LoadsOf) -> None:
    found = loads({**LAND, **obstacles(HOOD.replace("20.00 m", "21.40 m"))})  # 3.1 m away, ls 3 m
    assert found.drift_pa is None


def test_measured_places_are_ranges(loads: LoadsOf) -> None:
    """A tape is off by 0.05 m: 2 x 0.55/0.65 = 1.692 to 2.0, both at 1.70 m of 5 m."""
    found = loads(obstacles(HOOD.replace("paper: plan", "tool: tape, by: lw")))
    low, high = (650 * (0.8 + (mu - 0.8) * (1 - 1.7 / 5)) for mu in (2 * 0.55 / SK, 2.0))
    assert found.snow_pa == pytest.approx(Ends(low, high))
