"""Snow on a roof: shape, exposure, drifts. Ground snow is an input: no map and no formula here.

Source: EN 1991-1-3:2003 clauses 5.2, 5.3 and 6.2, annex B. Loads in Pa on plan.
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


def drift_shape(
    weight_n_m3: float, height_m: float, ground_pa: float, least: float, most: float
) -> float:
    """Shape coefficient of a drift at an obstacle, gamma h/s_k within its bounds.

    EN 1991-1-3:2003 clause 6.2. From memory.
    """
    ground = finite("ground snow", ground_pa, *LOAD, "Pa")
    height = finite("height of the obstacle", height_m, 0, 1_000, "m")
    return most if ground == 0 else min(max(weight_n_m3 * height / ground, least), most)


def drift_length_m(height_m: float, heights: float, shortest_m: float, longest_m: float) -> float:
    """Length of a drift in m, twice the height within 5 and 15 m.

    EN 1991-1-3:2003 clause 5.3.6, expression (5.9); clause 6.2 from memory.
    """
    height = finite("height of the step or obstacle", height_m, 0, 1_000, "m")
    return min(max(heights * height, shortest_m), longest_m)


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


def obstacle_drift(code: Code, ground: Given, height: Given) -> Sheet:
    """Drift at an obstacle of a height in m on the roof: `mu2` and its length `ls` in m.

    EN 1991-1-3:2003 clause 6.2. From memory, and so is every number in it.
    """
    out = Ledger(code.snow.source)
    sk = out.given("sk", ground, "Pa", "snow on the ground")
    figures = _figures(out, code, "obstacle")
    h = out.given("h", height, "m", "height of the obstacle")
    mu = drift_shape(figures["weight"], h, sk, figures["least"], figures["most"])
    bounding = tuple(f"obstacle_{k}" for k in ("weight", "least", "most"))
    out.work("mu2", mu, "", "6.2", "gamma h/sk within its bounds", ("h", "sk", *bounding))
    bounds = figures["length"], figures["shortest"], figures["longest"]
    bounding = tuple(f"obstacle_{k}" for k in ("length", "shortest", "longest"))
    length = drift_length_m(h, *bounds)
    out.work("ls", length, "m", "6.2", "2 h within its bounds", ("h", *bounding))
    return out.sheet()


def step_shape(
    upper_m: float,
    lower_m: float,
    height_m: float,
    ground_pa: float,
    weight_n_m3: float,
    least: float,
    most: float,
) -> float:
    """Shape coefficient mu_w of a drift against a taller part of the building.

    EN 1991-1-3:2003 clause 5.3.6, expression (5.8).
    """
    for name, value in (("upper length", upper_m), ("lower length", lower_m), ("step", height_m)):
        finite(name, value, 0.01, 2_000, "m")
    spread = (upper_m + lower_m) / (2 * height_m)
    bound = drift_shape(weight_n_m3, height_m, ground_pa, 0.0, most)
    return min(max(min(spread, bound), least), most)


def parapet_length_m(height_m: float, upper_m: float, heights: float, longest_m: float) -> float:
    """Length of an exceptional drift behind a parapet or obstacle, in m.

    EN 1991-1-3:2003 annex B.4: the smallest of 5h, b1 and 15 m.
    """
    for name, value in (("height", height_m), ("upper length", upper_m)):
        finite(name, value, 0.01, 2_000, "m")
    return min(heights * height_m, upper_m, longest_m)


def parapet_width_shape(upper_m: float, lower_m: float, length_m: float, width: float) -> float:
    """Shape coefficient that the snow beside a parapet can feed, 2b/l_s.

    EN 1991-1-3:2003 annex B.4, b the longer of both roofs.
    """
    return width * max(upper_m, finite("lower length", lower_m, 0.01, 2_000, "m")) / length_m


@dataclass(frozen=True)
class Step:
    """A roof beside a taller part: lengths b1 (upper), b2 (lower) and h in m, pitch in degrees."""

    upper: Given
    lower: Given
    height: Given
    upper_pitch: Given


def taller_drift(code: Code, ground: Given, step: Step) -> Sheet | Outside:
    """Drift against a taller part: `mu2` at the wall and its length `ls` in m.

    EN 1991-1-3:2003 clause 5.3.6, expressions (5.7) to (5.9); Outside where snow may slide from
    the upper roof.
    """
    flat = code.figure("taller_flat")
    pitch = finite("pitch of the upper roof", step.upper_pitch.value, 0, 90, "deg")
    if pitch > flat.value:
        allowed = f"upper roofs up to {flat.value:g} deg, from which no snow slides"
        return Outside("pitch of the upper roof", f"{pitch:g} deg", allowed, flat.ref.clause)
    out = Ledger(code.snow.source)
    sk = out.given("sk", ground, "Pa", "snow on the ground")
    figures = _figures(out, code, "taller")
    out.given("upper pitch", step.upper_pitch, "deg")
    b1, b2, h = _sizes(out, step.upper, step.lower, step.height)
    bounds = figures["weight"], figures["least"], figures["most"]
    mu = step_shape(b1, b2, h, sk, *bounds)
    bounding = tuple(f"taller_{k}" for k in ("weight", "least", "most"))
    how = "(b1 + b2)/2h, at most gamma h/sk"
    out.work("mu_w", mu, "", "5.3.6, (5.8)", how, ("b1", "b2", "h", "sk", *bounding))
    out.work(
        "mu2",
        mu,
        "",
        "5.3.6, (5.7)",
        "mu_s + mu_w, mu_s = 0",
        ("mu_w", "taller_flat", "upper pitch"),
    )
    bounds = figures["length"], figures["shortest"], figures["longest"]
    bounding = tuple(f"taller_{k}" for k in ("length", "shortest", "longest"))
    length = drift_length_m(h, *bounds)
    out.work("ls", length, "m", "5.3.6, (5.9)", "2 h within its bounds", ("h", *bounding))
    return out.sheet()


def parapet_drift(
    code: Code, ground: Given, height: Given, upper: Given, lower: Given
) -> Sheet | Outside:
    """Exceptional drift behind a parapet or obstacle: `sB` in Pa on plan, `ls` in m.

    EN 1991-1-3:2003 annex B.4 and expression (5.3); Outside where the country has none.
    """
    way = code.variant("exceptional drift")
    if way.value != "annex B":
        return Outside("exceptional drift", way.value, "countries that have it", way.ref.clause)
    out = Ledger(code.snow.source)
    sk = out.given("sk", ground, "Pa", "snow on the ground")
    out.row("exceptional drift", way.value, "", way.ref)
    figures = _figures(out, code, "annex_b")
    b1, b2, h = _sizes(out, upper, lower, height)
    length = parapet_length_m(h, b1, figures["length"], figures["longest"])
    bounding = ("annex_b_length", "annex_b_longest")
    out.work("ls", length, "m", "annex B.4", "min(5h, b1, 15 m)", ("h", "b1", *bounding))
    wide = parapet_width_shape(b1, b2, length, figures["width"])
    mu = min(drift_shape(figures["weight"], h, sk, 0.0, figures["most"]), wide)
    known = ("h", "sk", "b1", "b2", "ls", "annex_b_weight", "annex_b_width", "annex_b_most")
    out.work("mu1", mu, "", "annex B.4", "min(2h/sk, 2b/ls, 8)", known)
    drift = mu * sk
    out.work("sB", drift, "Pa", "5.2(3)P, (5.3)", "mu1 sk", ("mu1", "sk", "exceptional drift"))
    return out.sheet()


def _sizes(out: Ledger, upper: Given, lower: Given, height: Given) -> tuple[float, float, float]:
    """Enter b1, b2 and h."""
    values = []
    for symbol, size in (("b1", upper), ("b2", lower), ("h", height)):
        out.given(symbol, size, "m")
        values.append(finite(symbol, size.value, 0.01, 2_000, "m"))
    return values[0], values[1], values[2]


def _figures(out: Ledger, code: Code, group: str) -> dict[str, float]:
    """Enter all figures of a group; their values by the name inside the group."""
    found = {}
    for name in code.snow.figures:
        if name.startswith(f"{group}_"):
            figure = code.figure(name)
            out.row(name, figure.value, figure.unit, figure.ref, figure.text)
            found[name.removeprefix(f"{group}_")] = figure.value
    return found
