"""How long bare zinc and steel last in open air: information beside an answer, never a permit."""

import re
from dataclasses import dataclass

from selector.engineering.corrosion_iso import (
    coating_um,
    first_year_range_um,
    loss_range_um,
    zinc_life,
)
from selector.knowledge.base import Base
from selector.knowledge.metal_tables import loss_tables
from selector.model.contact import Side

CLASSES = ("C2", "C3", "C4", "C5")  # those that roofs stand in
YEARS = 20.0  # as far as the table itself goes
_BY_MASS = re.compile(r"Z([0-9]{2,4})")
_BY_UM = re.compile(r"electroplated\s([0-9]+)\sum")
Range = tuple[float, float]


@dataclass(frozen=True)
class LossIn:
    """What one class takes, least and most; years until the coating is gone, where it is known."""

    name: str
    first_year_um: Range
    after_years_um: Range
    coat_years: Range | None


@dataclass(frozen=True)
class Lifetime:
    """What the air takes of one bare side, class by class."""

    metal: str  # zinc | steel
    coat_um: float | None  # of zinc on steel, by its grade
    classes: tuple[LossIn, ...]
    sources: tuple[str, ...]


def lifetime_of(base: Base, side: Side) -> Lifetime | None:
    """Losses of a side that shows bare zinc or bare steel; None for every other one."""
    outer = side.coating[0]
    metal = outer if outer == "zinc" else side.metal if outer == "none" else None
    if metal not in ("zinc", "steel"):
        return None
    table = loss_tables(base.trade)[metal]
    coat = _coat_um(base, side) if outer == "zinc" else None
    found = []
    for name in CLASSES:
        years = None
        if coat is not None:
            life = zinc_life(table, (name,), coat)
            years = (life.low_years, life.high_years)
        first = first_year_range_um(table, (name,))
        found.append(LossIn(name, first, loss_range_um(table, (name,), YEARS), years))
    sources = [row.shape.source for row in base.trade.environments]
    sources += [row.shape.source for row in base.trade.loss_over_years]
    return Lifetime(metal, coat, tuple(found), tuple(dict.fromkeys(sources)))


def _coat_um(base: Base, side: Side) -> float | None:
    """Thickness of a zinc coating on one side by its grade; None where the grade has none."""
    mass, thick = _BY_MASS.fullmatch(side.grade), _BY_UM.fullmatch(side.grade)
    if thick is not None:
        return float(thick[1])
    if mass is None:
        return None
    density = base.numbers["density_zinc"].value.places[0].low  # kg/m3
    return coating_um(float(mass[1]), density)
