"""The code on trial against published values; nothing of it is ever better than engineer."""

import math
from dataclasses import replace

import pint
import pytest

from selector.engineering.asce import (
    Panel,
    TrialSite,
    combine,
    equalization,
    panel_pressure,
    velocity_pressure,
)
from selector.engineering.lines import BadInputError, Given, Outside, Sheet
from selector.engineering.over import over
from selector.engineering.registry import trial_registry
from selector.engineering.tables import Codes, TrialEdition
from tests.engineering.conftest import given, loaded
from tests.engineering.published import HEIGHTS_FT, K_Z

ureg = pint.UnitRegistry()
PSF = (1 * ureg.pound_force / ureg.foot**2).to("Pa").magnitude
FT = 0.3048
ADDED = Panel(given(-2.0), given(12.75 * FT**2), True, 0.5, 0, 0.15, 1.9, 0.02, 0.6)


@pytest.fixture(scope="module")
def old(codes: Codes) -> TrialEdition:
    return codes.trial("asce-7-16")


@pytest.fixture(scope="module")
def new(codes: Codes) -> TrialEdition:
    return codes.trial("asce-7-22")


def at(speed: float, exposure: str, height: float, elevation: float = 0.0) -> TrialSite:
    return TrialSite(given(speed), exposure, given(height), given(elevation), given(1.0))


def sheet(found: Sheet | Outside) -> Sheet:
    assert isinstance(found, Sheet)
    return found


def test_published_verification_in_si(old: TrialEdition) -> None:
    # XC open-source finite element program (L. C. Perez Tato, A. Ortega),
    # test_windASCE7_16.py: 52 m/s, exposure C, ground at 110 m, Kd 0.85
    low = sheet(velocity_pressure(old, at(52, "C", 5, 110)))
    high = sheet(velocity_pressure(old, at(52, "C", 6.5, 110)))
    assert low.value("Ke") == pytest.approx(0.9869953014457066, rel=1e-6)
    assert low.value("Kz") == pytest.approx(0.8650282179175907, rel=1e-6)
    assert low.value("qh") == pytest.approx(1202.9053251380185, rel=1e-6)
    assert high.value("Kz") == pytest.approx(0.9141518634861495, rel=1e-6)
    assert high.value("qh") == pytest.approx(1271.2165011443503, rel=1e-6)


@pytest.mark.parametrize("edition", K_Z)
@pytest.mark.parametrize("exposure", ["B", "C", "D"])
def test_exposure_coefficients(codes: Codes, edition: str, exposure: str) -> None:
    # table 26.10-1 by the formula of its note, rounded to three digits
    for feet, expected in zip(HEIGHTS_FT, K_Z[edition][exposure], strict=True):
        found = sheet(velocity_pressure(codes.trial(edition), at(40, exposure, feet * FT)))
        assert found.value("Kz") == pytest.approx(expected, abs=6e-4)


def test_exposure_b_of_the_newer_edition(new: TrialEdition) -> None:
    # alpha 7.5 from memory; 7.0 kept from the older edition gives 0.517, a slip of public code
    found = sheet(velocity_pressure(new, at(40, "B", 15 * FT)))
    assert found.value("Kz") == pytest.approx(0.573, abs=0.003)
    assert found.value("Kz") != pytest.approx(0.517, abs=0.003)
    assert found.line("Kz").status == "from memory"


def test_the_directionality_factor_counts_once(old: TrialEdition, new: TrialEdition) -> None:
    for edition in (old, new):
        found = sheet(panel_pressure(edition, at(45, "C", 8), ADDED))
        lines = [x for x in found.lines if x.symbol == "Kd"]
        assert len(lines) == 1
        in_q = "Kd" in found.line("qh").inputs
        in_p = "Kd" in found.line("p").inputs
        assert in_q != in_p
    assert sheet(panel_pressure(new, at(45, "C", 8), ADDED)).line("place of Kd").status == (
        "from memory"
    )


def test_panels_of_the_public_calculation(old: TrialEdition) -> None:
    # Structural calculation sheet of 27 April 2023, City of Santa Ana public building records,
    # document 370639 p. 6 (arithmetic only): 110 mph, K_z 0.57 rounded, GCp -2.0, gamma_E 1.5:
    # qh 15.01 psf, gamma_a 0.76, p -34.1 psf; uplift by 0.6D + 0.6W 238.9 lb on 12.75 ft2
    speed = (110 * ureg.mile / ureg.hour).to("m/s").magnitude
    found = sheet(panel_pressure(old, at(speed, "B", 15 * FT), ADDED))
    rounded = 0.57 / found.value("Kz")
    assert found.value("qh") * rounded / PSF == pytest.approx(15.01, rel=0.006)
    assert found.value("gamma_a") == pytest.approx(0.76, abs=0.005)
    assert found.value("p") * rounded / PSF == pytest.approx(-34.1, rel=0.006)
    wind = -found.value("p") * rounded
    dead = 2.9 * PSF
    sets = combine(old, loaded(dead, dead, wind, 0, 0, 0))
    assert not isinstance(sets, Outside)
    uplift = sets.set("ASD uplift").uplift_pa
    assert uplift is not None
    assert uplift / PSF * 12.75 == pytest.approx(238.9, rel=0.006)
    # factors 0.9 and 1.0 of clause 2.3.1, combination 5
    assert sets.set("LRFD uplift").uplift_pa == pytest.approx(wind - 0.9 * dead)
    assert sets.sheet.at_best == "engineer"


def test_exposed_panels_near_the_end_of_a_row(old: TrialEdition) -> None:
    # clause 29.4.4: gamma_E 1.5 for exposed panels within 1.5 Lp of an end, 1.0 elsewhere
    for exposed, row_end, expected in ((True, 1.5 * 1.9, 1.5), (True, 2.9, 1.0), (False, 0, 1.0)):
        panel = replace(ADDED, exposed=exposed, row_end_m=row_end)
        found = sheet(panel_pressure(old, at(45, "C", 8), panel))
        assert found.value("gamma_E") == expected


def test_equalization(old: TrialEdition) -> None:
    # figure 29.4-8: 0.8 to 10 ft2, 0.4 from 100 ft2 on, straight in the logarithm between
    square_feet = {1: 0.8, 10: 0.8, math.sqrt(1000): 0.6, 100: 0.4, 500: 0.4}
    for area, expected in square_feet.items():
        assert equalization(old.equalization, area * FT**2) == pytest.approx(expected)


def test_nothing_is_better_than_engineer(old: TrialEdition, new: TrialEdition) -> None:
    for edition in (old, new):
        assert sheet(velocity_pressure(edition, at(45, "C", 8))).at_best == "engineer"
        assert sheet(panel_pressure(edition, at(45, "C", 8), ADDED)).at_best == "engineer"


def test_downward_combinations_by_hand(old: TrialEdition) -> None:
    # 1.2D + 1.6S + 0.5W, 1.2D + 1.0W + 0.5S; D + S, D + 0.6W, D + 0.75(0.6W) + 0.75S
    found = combine(old, loaded(100, 200, 900, 300, 1000, 0))
    assert not isinstance(found, Outside)
    for name, expected in (
        ("LRFD snow", 1.2 * 200 + 1.6 * 1000 + 0.5 * 300),
        ("LRFD wind", 1.2 * 200 + 1.0 * 300 + 0.5 * 1000),
        ("ASD snow", 200 + 1000),
        ("ASD wind", 200 + 0.6 * 300),
        ("ASD both", 200 + 0.75 * 0.6 * 300 + 0.75 * 1000),
    ):
        assert found.set(name).pressure_pa == pytest.approx(expected)
    lines = {x.symbol for x in found.sheet.lines}
    assert all(set(x.inputs) <= lines for x in found.sheet.lines)


def test_the_newer_edition_has_no_combinations_here(new: TrialEdition) -> None:
    found = combine(new, loaded(100, 200, 900, 300, 1000, 0))
    assert isinstance(found, Outside)
    assert found.what == "combinations"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"tilt_deg": 2.1}, "angle of the panel"),
        ({"above_roof_m": 0.26, "edge_m": 2.0}, "height above the roof"),
        ({"chord_m": 2.05}, "chord or spacing"),
        ({"gap_m": 0.006}, "gap between panels"),
        ({"edge_m": 0.29}, "distance to edge and ridge is 0.29 m; 29.4.4 covers 0.3 m and more"),
    ],
)
def test_conditions_of_the_clause(old: TrialEdition, change: dict[str, float], said: str) -> None:
    found = panel_pressure(old, at(45, "C", 8), replace(ADDED, **change))  # type: ignore[arg-type]
    assert isinstance(found, Outside)
    assert said in str(found)


def test_ranges_and_bad_input(old: TrialEdition) -> None:
    assert isinstance(velocity_pressure(old, at(45, "A", 8)), Outside)
    assert isinstance(velocity_pressure(old, at(45, "D", 214)), Outside)
    for bad in (-1.0, math.nan, math.inf, 1e9):
        with pytest.raises(BadInputError, match="expected a number"):
            velocity_pressure(old, at(bad, "C", 8))
        with pytest.raises(BadInputError, match="expected a number"):
            velocity_pressure(old, at(45, "C", bad))
        with pytest.raises(BadInputError, match="effective area"):
            panel_pressure(old, at(45, "C", 8), replace(ADDED, area=given(bad)))
    with pytest.raises(BadInputError, match="coefficient of the roof"):
        bad_panel = replace(ADDED, gcp=Given(math.nan, "x", "published"))
        panel_pressure(old, at(45, "C", 8), bad_panel)


def test_intervals_of_the_trial_formulas(old: TrialEdition) -> None:
    found = trial_registry(old)
    hull = over(found["K_z"], {"exposure": ("B", "C"), "height": (5.0, 10.0)})
    assert not isinstance(hull, Outside)
    assert hull.low == pytest.approx(2.01 * (5 / 365.76) ** (2 / 7))
    assert hull.high == pytest.approx(2.01 * (10 / 274.32) ** (2 / 9.5))
    gamma = over(found["gamma_a"], {"area": (0.5, 20.0)})
    assert not isinstance(gamma, Outside)
    assert (gamma.low, gamma.high) == (0.4, 0.8)
