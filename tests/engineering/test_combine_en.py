"""Named sets written out by hand, the governing ones, and what a country leaves out.

No published example of these sets with numbers was found. The expected values are each set
written out from EN 1990:2002 expressions (6.10) to (6.11b) and evaluated apart from this code.
"""

import math
from dataclasses import dataclass, replace

import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st

from selector.engineering.combine_en import (
    Actions,
    DesignSet,
    Factors,
    Worth,
    combine,
    design_sets,
    factors,
    uplift_pa,
)
from selector.engineering.lines import BadInputError
from selector.engineering.tables import Code, Codes
from tests.engineering.conftest import loaded, with_variants

KPA = 1000.0


@dataclass(frozen=True)
class Written:
    """Actions in kPa, the factors that differ, and every set worked out by hand."""

    actions: tuple[float, float, float, float, float, float]
    accidental: float
    psi0_snow: float
    psi_wind: float
    uplift: dict[str, float]
    pressure: dict[str, float]
    along: dict[str, float]
    sliding: dict[str, tuple[float, float]]  # along, net uplift
    governs: dict[str, str]


LOADED = loaded(110, 150, 900, 150, 800, 20)
EXCEPTIONAL = replace(LOADED, accidental_pa=1600, drift_pa=2600)

WRITTEN = [
    Written(
        actions=(0.11, 0.15, 0.9, 0.15, 0.8, 20),
        accidental=1.6,
        psi0_snow=0.5,
        psi_wind=0.2,
        uplift={"uplift-STR": 1.2466338, "uplift-EQU": 1.2569704},
        pressure={
            "down-snow": 1.3849144,
            "down-wind": 0.94510109,
            "accidental-snow": 1.5837894,
            "self-weight": 0.19028776,
            "down-a": 0.85510109,
            "down-snow-b": 1.3563713,
            "down-wind-b": 0.91655793,
        },
        along={
            "slide-snow": 0.45493164,
            "slide-weight": 0.069259079,
            "accidental-slide": 0.56553311,
        },
        sliding={
            "slide-wind-leading, heavy": (0.26209536, 0.62989891),
            "slide-wind-no-snow, heavy": (0.069259079, 1.1597122),
            "slide-snow-leading, heavy": (0.45493164, 0),
            "slide-wind-leading, light": (0.2304585, 0.71682048),
            "slide-wind-no-snow, light": (0.037622216, 1.2466338),
            "slide-snow-leading, light": (0.42329478, 0),
        },
        governs={
            "uplift": "uplift-EQU",
            "pressure": "accidental-snow",
            "pressure a/b": "accidental-snow",
            "along": "accidental-slide",
        },
    ),
    Written(
        actions=(0.1, 0.16, 0.7, 0.55, 0.3, 30),
        accidental=0.85,
        psi0_snow=0.5,
        psi_wind=0.2,
        uplift={"uplift-STR": 0.96339746, "uplift-EQU": 0.97205771},
        pressure={
            "down-snow": 1.0195615,
            "down-wind": 1.1808115,
            "accidental-snow": 0.88606406,
            "self-weight": 0.18706149,
            "down-a": 0.85081149,
            "down-snow-b": 0.99150226,
            "down-wind-b": 1.1527523,
        },
        along={"slide-snow": 0.30285572, "slide-weight": 0.108, "accidental-slide": 0.4480608},
        sliding={
            "slide-wind-leading, heavy": (0.20542786, 0.69418851),
            "slide-wind-no-snow, heavy": (0.108, 0.86293851),
            "slide-snow-leading, heavy": (0.30285572, 0.10543851),
            "slide-wind-leading, light": (0.14742786, 0.79464746),
            "slide-wind-no-snow, light": (0.05, 0.96339746),
            "slide-snow-leading, light": (0.24485572, 0.20589746),
        },
        governs={
            "uplift": "uplift-EQU",
            "pressure": "down-wind",
            "pressure a/b": "down-wind-b",
            "along": "accidental-slide",
        },
    ),
    Written(
        actions=(0.09, 0.22, 0.1, 0.02, 0.0, 10),
        accidental=0.0,
        psi0_snow=0.7,
        psi_wind=0.0,
        uplift={"uplift-STR": 0.061367302, "uplift-EQU": 0.070230572},
        pressure={
            "down-snow": 0.3104879,
            "down-wind": 0.3224879,
            "accidental-snow": 0.21665771,
            "self-weight": 0.2924879,
            "down-a": 0.3104879,
            "down-snow-b": 0.26661472,
            "down-wind-b": 0.27861472,
        },
        along={
            "slide-snow": 0.051573509,
            "slide-weight": 0.051573509,
            "accidental-slide": 0.038202599,
        },
        sliding={
            "slide-wind-leading, heavy": (0.051573509, 0),
            "slide-wind-no-snow, heavy": (0.051573509, 0),
            "slide-snow-leading, heavy": (0.051573509, 0),
            "slide-wind-leading, light": (0.015628336, 0.061367302),
            "slide-wind-no-snow, light": (0.015628336, 0.061367302),
            "slide-snow-leading, light": (0.015628336, 0.0013673022),
        },
        governs={
            "uplift": "uplift-EQU",
            "pressure": "down-wind",
            "pressure a/b": "down-a",
            "along": "slide-snow",  # equal to slide-weight: the first named counts
        },
    ),
]


def actions_of(written: Written) -> Actions:
    *loads, pitch = written.actions
    light, heavy, up, down, snow = (KPA * load for load in loads)
    return loaded(light, heavy, up, down, snow, pitch, accidental_pa=KPA * written.accidental)


def sets_of(written: Written, form: str) -> dict[str, DesignSet]:
    used = Factors(form, 1.35, 1.0, 0.9, 1.5, 0.85, 0.6, written.psi0_snow, written.psi_wind)
    load = {"accidental-snow": KPA * written.accidental}
    return {s.name: s for s in design_sets(used, actions_of(written), load)}


@pytest.mark.parametrize("written", WRITTEN)
@pytest.mark.parametrize("form", ["6.10", "6.10a/b"])
def test_every_set(written: Written, form: str) -> None:
    found = sets_of(written, form)
    for name, value in written.uplift.items():
        assert found[name].uplift_pa == pytest.approx(KPA * value, rel=1e-6)
    kept = {n: v for n, v in written.pressure.items() if n in found}
    assert len(kept) == (4 if form == "6.10" else 5)
    for name, value in kept.items():
        assert found[name].pressure_pa == pytest.approx(KPA * value, rel=1e-6)
    for name, value in written.along.items():
        if name in found:
            assert found[name].along_pa == pytest.approx(KPA * value, rel=1e-6)
    for name, (along, net) in written.sliding.items():
        assert found[name].along_pa == pytest.approx(KPA * along, rel=1e-6)
        assert found[name].uplift_pa == pytest.approx(KPA * net, rel=1e-6, abs=1e-4)


@pytest.mark.parametrize("written", WRITTEN[:2])
def test_the_governing_sets_are_named(accidental: Code, written: Written) -> None:
    for form, key in (("6.10", "pressure"), ("6.10a/b", "pressure a/b")):
        code = with_variants(accidental, combination=form)
        found = combine(code, actions_of(written), 400)
        assert found.uplift.name == written.governs["uplift"]
        assert found.pressure.name == written.governs[key]
        assert found.along.name == written.governs["along"]
        assert found.set(found.uplift.name) is found.uplift
        assert found.not_applicable == {"accidental-drift": "no exceptional drift at this place"}


def test_on_a_tie_the_first_named_set_governs(accidental: Code) -> None:
    written = WRITTEN[2]
    northern = with_variants(accidental, snow_psi="northern", accidental_wind="psi2")
    for form, key in (("6.10", "pressure"), ("6.10a/b", "pressure a/b")):
        found = combine(with_variants(northern, combination=form), actions_of(written), 0)
        assert found.pressure.name == written.governs[key]
        slide = {"6.10": "slide-snow", "6.10a/b": "slide-a"}[form]
        assert found.along.name == slide
    assert factors(northern, 0)[0].psi0_snow == 0.7


def test_factors_and_where_they_come_from(code: Code) -> None:
    # EN 1990:2002 tables A1.1, A1.2(A), A1.2(B)
    low, sheet = factors(code, 1000)
    assert low == Factors("6.10", 1.35, 1.0, 0.9, 1.5, 0.85, 0.6, 0.5, 0.2)
    assert sheet.line("psi0,S").clause == "table A1.1"
    assert sheet.line("combination").value == "6.10"
    assert factors(code, 1000.5)[0].psi0_snow == 0.7
    assert factors(with_variants(code, accidental_wind="psi2"), 0)[0].psi_wind_accidental == 0.0


def test_a_set_by_hand_line_by_line(code: Code) -> None:
    # 20 deg, G 110 and 150 Pa, W 900 up and 150 down, S 800 on plan: each line by (6.10)
    cos, sin = math.cos(math.radians(20)), math.sin(math.radians(20))
    by_hand = {
        "uplift-STR, uplift": 1.5 * 900 - 1.0 * 110 * cos,
        "uplift-EQU, uplift": 1.5 * 900 - 0.9 * 110 * cos,
        "down-snow, pressure": 1.35 * 150 * cos + 1.5 * 800 * cos**2 + 1.5 * 0.6 * 150,
        "slide-snow, along": 1.35 * 150 * sin + 1.5 * 800 * cos * sin,
        "down-wind, pressure": 1.35 * 150 * cos + 1.5 * 0.5 * 800 * cos**2 + 1.5 * 150,
        "slide-wind, along": 1.35 * 150 * sin + 1.5 * 0.5 * 800 * cos * sin,
        "self-weight, pressure": 1.35 * 150 * cos,
        "slide-weight, along": 1.35 * 150 * sin,
    }
    found = combine(code, LOADED, 400)
    for symbol, value in by_hand.items():
        assert found.sheet.value(symbol) == pytest.approx(value)
    assert found.sheet.line("down-snow, pressure").how == (
        "normal: 1.35 G,max + 1.5 S + 0.9 W,down"
    )
    lines = {x.symbol for x in found.sheet.lines}
    for line in found.sheet.lines:
        assert set(line.inputs) <= lines


def test_a_country_without_accidental_sets(code: Code) -> None:
    found = combine(code, EXCEPTIONAL, 400)
    assert found.not_applicable == {
        "accidental-snow": "no exceptional snow in this country, 4.3",
        "accidental-drift": "no exceptional drift in this country, annex B",
    }
    assert not [s for s in found.sets if s.name.startswith("accidental")]


def test_an_exceptional_drift_is_a_set_of_its_own(accidental: Code) -> None:
    found = combine(accidental, EXCEPTIONAL, 400)
    cos = math.cos(math.radians(20))
    drift = 150 * cos + 2600 * cos**2 + 0.2 * 150  # (6.11b), factor 1.0
    assert found.set("accidental-drift").pressure_pa == pytest.approx(drift)
    assert found.pressure.name == "accidental-drift"
    assert found.along.name == "accidental-slide-drift"


def test_an_uplift_does_not_rest_on_the_snow(code: Code) -> None:
    actions = replace(LOADED, worth=Worth("published", "published", "from memory"))
    sheet = combine(code, actions, 400).sheet
    assert sheet.line("uplift-STR, uplift").status == "published"
    assert sheet.line("down-snow, pressure").status == "from memory"
    assert sheet.line("slide-snow, along").status == "from memory"
    windy = replace(actions, worth=Worth("published", "judgement", "published"))
    sheet = combine(code, windy, 400).sheet
    assert sheet.line("uplift-STR, uplift").status == "judgement"


def test_the_first_link_of_the_chain() -> None:
    # qp 0.65 kPa, cpe,1 -1.5, gamma_Q 1.5, G 0.11 kPa at 15 deg: 1.5 x 0.975 - 0.11 cos 15
    assert uplift_pa(1.5, 1.0, 0.65 * 1.5 * KPA, 110, 15) == pytest.approx(1356.2482, rel=1e-6)


BAD = [-1.0, math.nan, math.inf, 1e9]
LOADS = ["weight_min_pa", "weight_max_pa", "wind_up_pa", "wind_down_pa", "snow_pa", "pitch_deg"]


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize("name", [*LOADS, "accidental_pa", "drift_pa"])
def test_bad_actions(accidental: Code, name: str, bad: float) -> None:
    actions = replace(EXCEPTIONAL, **{name: bad})
    with pytest.raises(BadInputError, match="expected a number from 0"):
        combine(accidental, actions, 400)


def test_the_lightest_is_not_heavier_than_the_heaviest(code: Code) -> None:
    with pytest.raises(BadInputError, match="lightest array is 160"):
        combine(code, loaded(160, 150, 900, 150, 800, 20), 400)
    with pytest.raises(BadInputError, match="altitude is"):
        combine(code, LOADED, math.nan)


pressures = st.floats(0, 5_000)


@drawn(pressures, pressures, pressures, pressures, st.floats(0, 90), st.floats(0.001, 20))
def test_another_unit_of_pressure_changes_nothing(
    codes: Codes, g: float, up: float, down: float, snow: float, pitch: float, unit: float
) -> None:
    """All sets grow with their loads in proportion: Pa, kPa and psf give one answer."""
    code = codes.code("example-land")
    loads = (g, g, up, down, snow)
    here = combine(code, loaded(*loads, pitch, accidental_pa=snow), 400)
    more = [unit * load for load in loads]
    there = combine(code, loaded(*more, pitch, accidental_pa=unit * snow), 400)
    for one, two in zip(here.sets, there.sets, strict=True):
        for part in ("uplift_pa", "pressure_pa", "along_pa"):
            value = getattr(one, part)
            if value is not None:
                assert getattr(two, part) == pytest.approx(value * unit, rel=1e-9, abs=1e-6)
