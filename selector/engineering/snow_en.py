"""Snow on a roof: shape and exposure. Ground snow is an input: no map and no formula here.

Source: EN 1991-1-3:2003 clauses 5.2 and 5.3. Loads in Pa on plan.
"""

from dataclasses import dataclass
from itertools import pairwise

from selector.engineering.lines import Given, Ledger, Outside, Ref, Sheet, finite, interpolate
from selector.engineering.tables import Code, Curve

GROUND = (0.0, 40_000.0)  # as stated; with factors more may come of it
LOAD = (0.0, 100_000.0)


@dataclass(frozen=True)
class SnowSite:
    """Ground snow in Pa, a word for the exposure, and C_t where it is not the edition's."""

    ground: Given
    exposure: str = "normal"
    thermal: Given | None = None


def shape(curve: Curve, pitch_deg: float) -> float | Outside:
    """Shape coefficient at a pitch; Outside past the last row.

    EN 1991-1-3:2003 clause 5.3, table 5.2: straight lines between the rows.
    """
    pitch = finite("pitch", pitch_deg, 0, 90, "deg")
    for low, high in pairwise(curve):
        if low.at <= pitch <= high.at:
            return interpolate(pitch, low.at, low.values[0], high.at, high.values[0])
    allowed = f"{curve[0].at:g} to {curve[-1].at:g} deg"
    return Outside("pitch", f"{pitch:g} deg", allowed, curve[-1].ref.clause)


def held_shape(mu1: float, floor: float) -> float:
    """mu1 where snow cannot slide off: guards, a parapet, an array from its lower edge up.

    EN 1991-1-3:2003 clause 5.3.2(2): not below 0.8. From memory.
    """
    return max(finite("mu1", mu1, 0, 10), floor)


def roof_load_pa(mu: float, exposure: float, thermal: float, ground_pa: float) -> float:
    """Snow on the roof, on plan, in Pa.

    EN 1991-1-3:2003 clause 5.2(3)P, expressions (5.1) and (5.2).
    """
    for name, value in (("mu", mu), ("exposure", exposure), ("thermal coefficient", thermal)):
        finite(name, value, 0, 10)
    return mu * exposure * thermal * finite("ground snow", ground_pa, *LOAD, "Pa")


def exceptional_ground_pa(factor: float, ground_pa: float) -> float:
    """Exceptional snow on the ground, in Pa.

    EN 1991-1-3:2003 clause 4.3, expression (4.1).
    """
    return finite("exceptional factor", factor, 0, 10) * finite(
        "ground snow", ground_pa, *LOAD, "Pa"
    )


def duopitch_cases(
    code: Code, left_pa: float, right_pa: float
) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]]:
    """Loads of both slopes in cases (i), (ii) and (iii).

    EN 1991-1-3:2003 clause 5.3.3(4), figure 5.3: undrifted, then half on either slope.
    """
    left = finite("snow on one slope", left_pa, *LOAD, "Pa")
    right = finite("snow on the other slope", right_pa, *LOAD, "Pa")
    share = code.figure("half_load").value
    return (left, right), (share * left, right), (left, share * right)


def roof_snow(code: Code, site: SnowSite, pitch: Given, *, held: bool) -> Sheet | Outside:
    """Snow on a slope of a pitch in degrees, on plan: `s` in Pa, and `sAd` where a country has it.

    EN 1991-1-3:2003 clauses 5.2 and 5.3; `held` from the lower edge of an array, a guard or a
    parapet up. The drifted cases of a duopitch roof put no more on a slope than this.
    """
    way = code.variant("snow")
    if way.value != "table 5.2":
        return Outside("snow", way.value, "a roof load with its source", way.ref.clause)
    curve = code.snow.shapes["mu1"]
    free = shape(curve, pitch.value)
    if isinstance(free, Outside):
        return free
    exposure = code.snow.exposures.get(site.exposure)
    if exposure is None:
        allowed = ", ".join(code.snow.exposures)
        return Outside("exposure", f"`{site.exposure}`", allowed, "table 5.1")
    out = Ledger(code.snow.source)
    ground = out.given("sk", site.ground, "Pa", "snow on the ground")
    finite("ground snow", ground, *GROUND, "Pa")
    out.given("pitch", pitch, "deg")
    first = next(n for n in reversed(curve) if n.at <= pitch.value)
    out.row("table 5.2", first.values[0], "", first.ref, f"mu1 at {first.at:g} deg")
    out.work("mu1", free, "", "5.3, table 5.2", "by pitch", ("pitch", "table 5.2"))
    mu, symbol = free, "mu1"
    floor = code.figure("held_floor")
    if held and free < floor.value:
        rule = code.arrays.clauses["array holds snow"]
        out.row("held", rule.text, "", rule.ref)
        out.row("mu1,least", floor.value, "", floor.ref, floor.text)
        mu, symbol = held_shape(free, floor.value), "mu1,held"
        out.work(symbol, mu, "", "5.3.2(2)", "not below", ("mu1", "mu1,least", "held"))
    out.row("Ce", exposure.value, "", exposure.ref, f"exposure, {site.exposure}")
    figure = code.figure("thermal_factor")
    if site.thermal is None:
        out.row("Ct", figure.value, "", figure.ref, figure.text)
    else:
        out.given("Ct", site.thermal, "", figure.text)
    thermal = figure.value if site.thermal is None else site.thermal.value
    load = roof_load_pa(mu, exposure.value, thermal, ground)
    inputs = (symbol, "Ce", "Ct", "sk")
    out.work("s", load, "Pa", "5.2(3)P, (5.1)", "mu Ce Ct sk", inputs)
    way = code.variant("exceptional snow")
    if way.value == "factor":
        _exceptional(out, code, (mu, exposure.value, thermal, ground), symbol, way.ref)
    return out.sheet()


def _exceptional(
    out: Ledger, code: Code, factors: tuple[float, float, float, float], symbol: str, ref: Ref
) -> None:
    """Enter the exceptional snow on the ground and on the roof."""
    mu, exposure, thermal, ground = factors
    factor = code.figure("exceptional_factor")
    out.row("exceptional snow", "factor", "", ref)
    out.row("Cesl", factor.value, "", factor.ref, factor.text)
    ad = exceptional_ground_pa(factor.value, ground)
    out.work("sk,Ad", ad, "Pa", "4.3, (4.1)", "Cesl sk", ("Cesl", "sk", "exceptional snow"))
    load = roof_load_pa(mu, exposure, thermal, ad)
    out.work("sAd", load, "Pa", "5.2(3)P, (5.2)", "mu Ce Ct sk,Ad", (symbol, "Ce", "Ct", "sk,Ad"))
