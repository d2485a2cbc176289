"""Weight of an array from its lightest and its heaviest module.

Standard gravity 9.80665 m/s2: CGPM 1901, resolution of the 3rd meeting; BIPM SI brochure.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from selector.engineering.check import GRAVITY, area_weight_pa
from selector.engineering.lines import BadInputError, Ledger, Ref, Sheet, finite


@dataclass(frozen=True)
class Module:
    """Mass in kg and area in m2 of a module, and where they stand."""

    mass_kg: float
    area_m2: float
    source: str
    status: str


def array_weight(modules: Sequence[Module], parts_kg_m2: float, parts: Ref) -> Sheet:
    """Weight per area of slope in Pa: `G,min` lightest module alone, `G,max` with rails and clamps.

    Statics: no rail helps against uplift, all of them load downwards.
    """
    if not modules:
        raise BadInputError("no module; expected at least one with its mass and area")
    out = Ledger("statics")
    found = []
    for module in modules:
        mass = finite("mass of a module", module.mass_kg, 0.1, 500, "kg")
        area = finite("area of a module", module.area_m2, 0.01, 50, "m2")
        found.append((area_weight_pa(mass, area, 0.0), module))
    rails = finite("mass of rails and clamps", parts_kg_m2, 0, 200, "kg/m2")
    for symbol, which, pick in (("light", "lightest", min), ("heavy", "heaviest", max)):
        weight, module = pick(found, key=lambda f: f[0])
        ref = Ref("given", module.source, module.status)
        out.row(f"g,{symbol}", weight, "Pa", ref, f"{which} module, {module.mass_kg:g} kg")
    out.row("rails", rails * GRAVITY, "Pa", parts, "rails, clamps and fixings")
    out.work("G,min", min(f[0] for f in found), "Pa", "statics", "no rail", ("g,light",))
    heavy = max(f[0] for f in found) + rails * GRAVITY
    out.work("G,max", heavy, "Pa", "statics", "g,heavy + rails", ("g,heavy", "rails"))
    return out.sheet()
