"""How much metal the air takes: classes by the first year, losses over years, life of zinc.

ISO 9223:2012 and ISO 9224:2012, as data of a secondary copy. All of it is information and never
a permit: it speaks of bare, open, rain-washed faces, not of gaps, contacts or run-off.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from selector.engineering.lines import BadInputError, Outside, finite

POWER_YEARS = 20.0  # from here on the clause goes on in a straight line
MOST_YEARS = 100.0  # the table ends there
MOST_UM = 1e5
MOST_COAT_G_M2 = 5000.0
MOST_DENSITY = 3e4
CLAUSE = "ISO 9223, table 2"


@dataclass(frozen=True)
class LossClass:
    """First-year loss of one class in um; the lower end is excluded, the upper one included."""

    name: str
    low_um: float
    high_um: float


@dataclass(frozen=True)
class LossTable:
    """Classes of one metal in order, and its exponents for usual (b1) and harsher air (b2)."""

    metal: str
    classes: tuple[LossClass, ...]
    b1: float
    b2: float


@dataclass(frozen=True)
class Life:
    """How long a coating lasts, from worst to best, and what the first year takes of it.

    `high_years` is infinite where the class begins at no loss at all.
    """

    low_years: float
    high_years: float
    loss_low_um: float
    loss_high_um: float
    classes: tuple[str, ...]


def corrosivity_class(table: LossTable, first_year_um: float) -> str | Outside:
    """The class of a place for one metal, by what this metal lost there in its first year.

    ISO 9223:2012 table 2; another metal at the same place may give another class.
    """
    loss = finite("first-year loss", first_year_um, 0.0, MOST_UM, "um")
    for one in table.classes:
        if loss <= one.high_um:
            return one.name
    most = table.classes[-1].high_um
    return Outside(
        f"first-year loss of {table.metal}", f"{loss:g} um", f"up to {most:g} um", CLAUSE
    )


def power_loss_um(first_year_um: float, exponent: float, years: float) -> float:
    """Loss after some years by the power law: r1 t^b.

    ISO 9224:2012 (2) and table 3, which goes on so to 100 years.
    """
    first = finite("first-year loss", first_year_um, 0.0, MOST_UM, "um")
    power = finite("exponent", exponent, 0.0, 1.0)
    time = finite("years", years, 0.0, MOST_YEARS, "a")
    return first * math.pow(time, power)


def line_loss_um(first_year_um: float, exponent: float, years: float) -> float:
    """The same, but from 20 years on in a straight line: r1 (20^b + b 20^(b-1) (t - 20)).

    ISO 9224:2012 for more than 20 years; never below the power law, whose tangent it is.
    """
    time = finite("years", years, 0.0, MOST_YEARS, "a")
    found = power_loss_um(first_year_um, exponent, min(time, POWER_YEARS))
    if time <= POWER_YEARS:
        return found
    rate = first_year_um * exponent * math.pow(POWER_YEARS, exponent - 1)
    return found + rate * (time - POWER_YEARS)


def loss_range_um(table: LossTable, classes: Sequence[str], years: float) -> tuple[float, float]:
    """Least and largest loss after some years where the place is one of some classes.

    ISO 9224:2012: least by the table and B1, largest by the straight line and B2.
    """
    low, high = first_year_range_um(table, classes)
    return power_loss_um(low, table.b1, years), line_loss_um(high, table.b2, years)


def first_year_range_um(table: LossTable, classes: Sequence[str]) -> tuple[float, float]:
    """Least and largest loss of the first year over some classes.

    ISO 9223:2012 table 2; BadInputError for a class that is none, or for no class.
    """
    known = {one.name: one for one in table.classes}
    wrong = [name for name in classes if name not in known]
    if wrong or not classes:
        given = f"class `{wrong[0]}`" if wrong else "no class"
        raise BadInputError(f"{given} given; expected some of {', '.join(known)}")
    found = [known[name] for name in classes]
    return min(one.low_um for one in found), max(one.high_um for one in found)


def coating_um(both_sides_g_m2: float, density_kg_m3: float) -> float:
    """Thickness of one side of a coating that is named by the mass of both, such as Z275.

    Geometry: half the mass over the density; what one spot has may be less.
    """
    mass = finite("coating mass", both_sides_g_m2, 0.0, MOST_COAT_G_M2, "g/m2")
    return mass / 2 / finite("density", density_kg_m3, 1.0, MOST_DENSITY, "kg/m3") * 1000


def zinc_life(zinc: LossTable, classes: Sequence[str], zinc_um: float) -> Life:
    """Years until bare zinc of a thickness is gone, if every year takes what the first one does.

    EN ISO 14713-1: coating over yearly loss. Slower later years (ISO 9224) are left out.
    """
    coat = finite("zinc coating", zinc_um, 0.0, MOST_UM, "um")
    low, high = first_year_range_um(zinc, classes)
    longest = coat / low if low > 0 else math.inf
    return Life(coat / high, longest if coat > 0 else 0.0, low, high, tuple(classes))


def zinc_then_steel_life(
    zinc: LossTable, steel: LossTable, classes: Sequence[str], zinc_um: float, steel_um: float
) -> Life:
    """Years until the zinc is gone and then some steel below it, one after the other.

    EN ISO 14713-1 for the zinc; the steel by ISO 9224, least with B1 by the table, most with B2
    in the straight line. Its losses are those of the steel.
    """
    before = zinc_life(zinc, classes, zinc_um)
    depth = finite("loss of steel", steel_um, 0.0, MOST_UM, "um")
    low, high = first_year_range_um(steel, classes)
    longest = math.pow(depth / low, 1 / steel.b1) if low > 0 else math.inf
    return Life(
        before.low_years + _line_years(high, steel.b2, depth),
        before.high_years + (longest if depth > 0 else 0.0),
        low,
        high,
        tuple(classes),
    )


def _line_years(first_um: float, exponent: float, depth_um: float) -> float:
    """Years after which the straight line has taken a depth."""
    most = first_um * math.pow(POWER_YEARS, exponent)
    if depth_um <= most:
        return math.pow(depth_um / first_um, 1 / exponent)
    rate = first_um * exponent * math.pow(POWER_YEARS, exponent - 1)
    return POWER_YEARS + (depth_um - most) / rate
