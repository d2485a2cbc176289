"""One check for every demand against a capacity; equality, zero and range decided once.

Source: EN 1990:2002 clause 6.4.2, expression (6.8): design effect at most design resistance.
"""

import math

GRAVITY = 9.80665  # m/s2


def ratio(demand: float, capacity: float) -> float:
    """Demand over capacity; nothing against nothing is 0, something against nothing infinite."""
    if demand < 0 or capacity < 0:
        raise ValueError("demand and capacity have no sign here")
    if demand == 0:
        return 0.0
    return demand / capacity if capacity > 0 else math.inf


def area_weight_pa(mass_kg: float, area_m2: float, allowance_kg_m2: float) -> float:
    """Weight of an array per area of roof slope, in pascal.

    Standard gravity 9.80665 m/s2: CGPM 1901, resolution of the 3rd meeting; BIPM SI brochure.
    """
    if mass_kg <= 0 or area_m2 <= 0 or allowance_kg_m2 < 0:
        raise ValueError("mass and area must be above zero, the allowance not below it")
    return (mass_kg / area_m2 + allowance_kg_m2) * GRAVITY


def movement_um(expansion_um_m_k: float, length_m: float, range_k: float) -> float:
    """Free thermal movement of a length over a temperature range, in micrometres.

    EN 1991-1-5:2003 clause 6.1.3.3 with annex C: linear expansion, no restraint.
    """
    if min(expansion_um_m_k, length_m, range_k) < 0:
        raise ValueError("expansion, length and range are not negative")
    return expansion_um_m_k * length_m * range_k


def together(
    pair: tuple[float, float], whole: tuple[float, float], used: tuple[float, float]
) -> float:
    """Use of a part by two forces at once, each by what its whole would use alone.

    Working rule: linear interaction, the sum of both uses; ValueError for a force below zero.
    """
    total = 0.0
    for force, most, alone in zip(pair, whole, used, strict=True):
        if min(force, most, alone) < 0:
            raise ValueError("forces and uses are not negative")
        if force > 0:
            total += alone * force / most if most > 0 else math.inf
    return total
