"""What the section of a rail resists elastically: bending, shear, stiffness; how far it may bend.

EN 1999-1-1:2007 for aluminium, EN 1993-1-1:2005 for carbon steel. Lips, slot and torsion are links
of their own. Whoever states a section with thin walls states its effective modulus.
"""

import math
from dataclasses import dataclass

from selector.engineering.lines import Given, Ledger, Sheet, finite
from selector.engineering.tables import MemberEdition

LEAST, LARGEST = 1e-12, 1e3  # m, m2, m3 and m4 alike: from 1 mm4 up; nobody means more
STRONGEST_PA = 1e10
HALF = 0.5  # shear up to half of its resistance leaves bending as it is


@dataclass(frozen=True)
class Section:
    """A section as its catalogue states it; `yield_pa` is f_o of aluminium and f_y of steel."""

    wel_m3: float
    wnet_m3: float
    av_m2: float
    iy_m4: float
    yield_pa: float
    ultimate_pa: float
    shape_factor: float  # alpha of EN 1999; 1 unless the walls let it yield deeper
    source: str
    status: str
    origin: str = ""


def aluminium_bending_nm(
    wel_m3: float,
    wnet_m3: float,
    yield_pa: float,
    ultimate_pa: float,
    shape_factor: float,
    gamma_m1: float,
    gamma_m2: float,
) -> float:
    """Design moment: the smaller of the whole section and of the one with its holes.

    EN 1999-1-1:2007 clause 6.2.5.1: alpha W_el f_o / gamma_M1, W_net f_u / gamma_M2.
    """
    whole = _above("alpha", shape_factor, 10) * _above("W_el", wel_m3, LARGEST)
    holes = _above("W_net", wnet_m3, LARGEST) * _above("f_u", ultimate_pa, STRONGEST_PA)
    whole *= _above("f_o", yield_pa, STRONGEST_PA)
    return min(whole / _factor(gamma_m1), holes / _factor(gamma_m2))


def aluminium_shear_n(av_m2: float, yield_pa: float, gamma_m1: float) -> float:
    """Design shear of stocky webs.

    EN 1999-1-1:2007 clause 6.2.6: A_v f_o / (sqrt(3) gamma_M1).
    """
    area = _above("A_v", av_m2, LARGEST)
    return area * _above("f_o", yield_pa, STRONGEST_PA) / math.sqrt(3) / _factor(gamma_m1)


def steel_bending_nm(wel_m3: float, yield_pa: float, gamma_m0: float) -> float:
    """Design moment, elastic.

    EN 1993-1-1:2005 clause 6.2.5, expression (6.14): W_el f_y / gamma_M0.
    """
    modulus = _above("W_el", wel_m3, LARGEST)
    return modulus * _above("f_y", yield_pa, STRONGEST_PA) / _factor(gamma_m0)


def steel_shear_n(av_m2: float, yield_pa: float, gamma_m0: float) -> float:
    """Design shear.

    EN 1993-1-1:2005 clause 6.2.6, expression (6.18): A_v (f_y / sqrt(3)) / gamma_M0.
    """
    area = _above("A_v", av_m2, LARGEST)
    return area * _above("f_y", yield_pa, STRONGEST_PA) / math.sqrt(3) / _factor(gamma_m0)


def resistance(section: Section, edition: MemberEdition) -> Sheet:
    """Lines for `M_Rd`, `V_Rd` and `EI` with all that they rest on.

    The edition's clauses and figures, each with its own status.
    """
    ledger, aluminium = Ledger(edition.source), edition.material == "aluminium"
    strength = "f_o" if aluminium else "f_y"
    for symbol, value, unit, how in (
        ("W_el", section.wel_m3, "m3", "elastic section modulus, the smaller of both sides"),
        ("W_net", section.wnet_m3, "m3", "the same at holes and slots"),
        ("A_v", section.av_m2, "m2", "area that takes shear"),
        ("I_y", section.iy_m4, "m4", "second moment of area"),
        (strength, section.yield_pa, "Pa", "strength at yield"),
        ("f_u", section.ultimate_pa, "Pa", "strength at break"),
        ("alpha", section.shape_factor, "", "shape factor"),
    ):
        if aluminium or symbol not in ("W_net", "f_u", "alpha"):
            given = Given(value, section.source, section.status, section.origin)
            ledger.given(symbol, given, unit, how)
    for figure in edition.figures.values():
        ledger.row(figure.id, figure.value, figure.unit, figure.ref, figure.text)
    for clause in edition.clauses.values():
        ledger.row(clause.id, clause.text, "", clause.ref)
    bending, shear = edition.clauses["bending"], edition.clauses["shear"]
    if aluminium:
        m1, m2 = (edition.figures[name].value for name in ("gamma_m1", "gamma_m2"))
        moment = aluminium_bending_nm(
            section.wel_m3,
            section.wnet_m3,
            section.yield_pa,
            section.ultimate_pa,
            section.shape_factor,
            m1,
            m2,
        )
        force = aluminium_shear_n(section.av_m2, section.yield_pa, m1)
        both: tuple[str, ...] = ("alpha", "W_el", "f_o", "gamma_m1", "W_net", "f_u", "gamma_m2")
        one: tuple[str, ...] = ("A_v", "f_o", "gamma_m1")
    else:
        m0 = edition.figures["gamma_m0"].value
        moment = steel_bending_nm(section.wel_m3, section.yield_pa, m0)
        force = steel_shear_n(section.av_m2, section.yield_pa, m0)
        both, one = ("W_el", "f_y", "gamma_m0"), ("A_v", "f_y", "gamma_m0")
    ledger.work("M_Rd", moment, "Nm", bending.ref.clause, bending.text, (*both, "bending"))
    ledger.work("V_Rd", force, "N", shear.ref.clause, shear.text, (*one, "shear"))
    modulus = edition.figures["modulus"].value
    stiff = modulus * _above("I_y", section.iy_m4, LARGEST)
    ledger.work("EI", stiff, "Nm2", "statics", "E I_y", ("modulus", "I_y"))
    return ledger.sheet()


def _above(name: str, value: float, most: float) -> float:
    """A figure above zero."""
    return finite(name, value, LEAST, most)


def _factor(value: float) -> float:
    return finite("partial factor", value, 1.0, 10.0)
