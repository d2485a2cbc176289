"""Wind on modules that lie parallel to a roof: the roof's own coefficient, whole, or no number.

Working rule: no code read here has a rule for such modules, so nothing is taken off.
"""

from dataclasses import dataclass

from selector.engineering.lines import Ledger, Outside, finite
from selector.engineering.roof_wind_en import PlaceWind, RoofWind, element_wind
from selector.engineering.tables import Code
from selector.engineering.zones_en import Rectangle


@dataclass(frozen=True)
class Lie:
    """How the modules lie: angle to the roof in degrees, gap from pan to frame and distance of
    the nearest module to eave, verge and ridge in m."""

    tilt_deg: float
    gap_m: float
    edge_m: float
    closed_building: bool


def edge_distance_m(gap_m: float, gaps: float) -> float:
    """Distance that a module keeps from eave, verge and ridge, in m.

    Working rule: a number of gaps.
    """
    return finite("gap below the modules", gap_m, 0, 10, "m") * finite("gaps", gaps, 0, 10)


def outside_rule(code: Code, lie: Lie) -> Outside | None:
    """The first condition of the working rule that these modules do not meet.

    Working rule: parallel within 2 deg, gap at most 200 mm, inside the edges, closed building.
    """
    tilt, gap, edge = (code.figure(k) for k in ("tilt_limit", "gap_limit", "edge_gaps"))
    clause = "the working rule for parallel modules"
    if not lie.closed_building:
        return Outside("building", "open below the roof", "roofs over a closed building", clause)
    angle = abs(finite("angle of the modules to the roof", lie.tilt_deg, -90, 90, "deg"))
    if angle > tilt.value:
        allowed = f"up to {tilt.value:g} deg"
        return Outside("angle of the modules to the roof", f"{angle:g} deg", allowed, clause)
    needed = edge_distance_m(lie.gap_m, edge.value)
    if lie.gap_m > gap.value:
        allowed = f"up to {gap.value:g} m"
        return Outside("gap below the modules", f"{lie.gap_m:g} m", allowed, clause)
    distance = finite("distance to the edge", lie.edge_m, -1_000, 1_000, "m")
    if distance < needed:
        allowed = f"{needed:g} m and more"
        return Outside("distance to the edge of the roof", f"{distance:g} m", allowed, clause)
    return None


def module_wind(
    wind: RoofWind, lie: Lie, box: Rectangle, area_m2: float, *, worst_touched: bool = False
) -> PlaceWind | Outside:
    """Net wind on a piece of the array; Outside where the working rule does not hold.

    Working rule with EN 1991-1-4:2005 clause 7.2: no reduction, no inner pressure.
    """
    outside = outside_rule(wind.code, lie)
    if outside is not None:
        return outside
    found = element_wind(wind, box, area_m2, worst_touched=worst_touched)
    out = Ledger(wind.code.arrays.source, found.sheet)
    for name in ("tilt_limit", "gap_limit", "edge_gaps"):
        figure = wind.code.figure(name)
        out.row(name, figure.value, figure.unit, figure.ref, figure.text)
    rule = wind.code.arrays.clauses["net pressure"]
    out.row("net pressure", rule.text, "", rule.ref)
    return PlaceWind(found.up, found.down, out.sheet())
