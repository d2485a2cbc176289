"""What sections resist, against tables of rolled sections and by hand.

IPE 200 in S235, EN 1993-1-1: any table of sections has W_el = 194.3 cm3, A_vz = 14.00 cm2, and
tables of resistances M_el,Rd = 45.7 kNm and V_pl,Rd = 190 kN.
"""

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError
from selector.engineering.rail_en import (
    Section,
    aluminium_bending_nm,
    aluminium_shear_n,
    resistance,
    steel_bending_nm,
    steel_shear_n,
)
from selector.engineering.tables import MemberEdition
from selector.knowledge.base import Base

SECTION = Section(
    5e-6, 4e-6, 1.2e-4, 1.5e-7, 200e6, 245e6, 1.0, "catalogue", "invented", "rails.yaml:3"
)


def edition(base: Base, material: str) -> MemberEdition:
    found = base.codes.members(material)
    assert found is not None
    return found


def test_a_rolled_section_as_tables_have_it() -> None:
    assert steel_bending_nm(194.3e-6, 235e6, 1.0) == pytest.approx(45.7e3, abs=50)
    assert steel_shear_n(14.00e-4, 235e6, 1.0) == pytest.approx(190e3, abs=500)


def test_aluminium_by_hand() -> None:
    """5 cm3 of 200 MPa over 1.1 is 909.1 Nm; 4 cm3 of 245 MPa over 1.25 is 784 Nm."""
    assert aluminium_bending_nm(5e-6, 4e-6, 200e6, 245e6, 1.0, 1.1, 1.25) == pytest.approx(784.0)
    assert aluminium_bending_nm(5e-6, 5e-6, 200e6, 245e6, 1.0, 1.1, 1.25) == pytest.approx(909.0909)
    assert aluminium_bending_nm(5e-6, 5e-6, 200e6, 300e6, 1.1, 1.1, 1.25) == pytest.approx(1000.0)
    # 120 mm2 of 200 MPa: 24 kN over 1.7321 and 1.1
    assert aluminium_shear_n(1.2e-4, 200e6, 1.1) == pytest.approx(12_596.7, abs=0.1)


def test_lines_of_an_aluminium_rail(base: Base) -> None:
    sheet = resistance(SECTION, edition(base, "aluminium"))
    assert sheet.value("M_Rd") == pytest.approx(784.0)
    assert sheet.value("V_Rd") == pytest.approx(12_596.7, abs=0.1)
    assert sheet.value("EI") == pytest.approx(10_500.0)  # 70 GPa times 15 cm4
    assert sheet.line("M_Rd").clause == "6.2.5.1"
    assert sheet.line("W_el").origin == "rails.yaml:3"


def test_lines_of_a_steel_rail(base: Base) -> None:
    sheet = resistance(SECTION, edition(base, "steel"))
    assert sheet.value("M_Rd") == pytest.approx(1000.0)
    assert sheet.value("EI") == pytest.approx(31_500.0)  # 210 GPa times 15 cm4
    assert {x.symbol for x in sheet.lines} >= {"f_y", "gamma_m0"}
    assert "f_o" not in {x.symbol for x in sheet.lines}


@pytest.mark.parametrize(
    ("material", "status", "bending", "stiffness"),
    [
        ("aluminium", "published", "from memory", "statics"),  # its expressions are recalled
        ("aluminium", "invented", "invented", "invented"),
        ("steel", "published", "published", "statics"),
        ("steel", "from memory", "from memory", "from memory"),
    ],
)
def test_status_travels(
    base: Base, material: str, status: str, bending: str, stiffness: str
) -> None:
    sheet = resistance(replace(SECTION, status=status), edition(base, material))
    assert sheet.line("M_Rd").status == bending
    assert sheet.line("EI").status == stiffness
    assert {"bending", "shear"} <= {x.symbol for x in sheet.to_confirm} or material == "steel"


def test_factors_and_modulus_as_published(base: Base) -> None:
    """EN 1999-1-1 table 6.1 and 3.2.5, EN 1993-1-1 6.1 and 3.2.6; strengths stand in no edition."""
    aluminium, steel = edition(base, "aluminium"), edition(base, "steel")
    assert {n: f.value for n, f in aluminium.figures.items()} == {
        "gamma_m1": 1.10,
        "gamma_m2": 1.25,
        "modulus": 70e9,
    }
    assert {n: f.value for n, f in steel.figures.items()} == {"gamma_m0": 1.0, "modulus": 210e9}
    assert {f.ref.status for f in (*aluminium.figures.values(), *steel.figures.values())} == {
        "published"
    }
    assert {c.ref.status for c in aluminium.clauses.values()} == {"from memory"}
    assert base.codes.members("timber") is None


@given(st.floats(1.01, 20.0), st.sampled_from(["wel_m3", "wnet_m3", "yield_pa", "ultimate_pa"]))
def test_more_of_a_section_never_resists_less(factor: float, name: str) -> None:
    given_ = {"wel_m3": 5e-6, "wnet_m3": 4e-6, "yield_pa": 2e8, "ultimate_pa": 2.45e8}
    more = {**given_, name: given_[name] * factor}
    before, after = (aluminium_bending_nm(**g, shape_factor=1.0, gamma_m1=1.1, gamma_m2=1.25)
                     for g in (given_, more))  # fmt: skip
    assert after >= before


@pytest.mark.parametrize(
    "call",
    [
        lambda: steel_bending_nm(0.0, 235e6, 1.0),
        lambda: steel_bending_nm(1e-6, 235e6, 0.9),
        lambda: steel_shear_n(-1e-4, 235e6, 1.0),
        lambda: aluminium_shear_n(1e-4, math.nan, 1.1),
        lambda: aluminium_bending_nm(5e-6, 4e-6, 200e6, 0.0, 1.0, 1.1, 1.25),
    ],
)
def test_what_is_no_section_is_refused(call: Any) -> None:
    with pytest.raises(BadInputError):
        call()
