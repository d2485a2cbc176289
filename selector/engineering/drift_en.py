"""Drifts: at obstacles and parapets, against taller parts, and exceptional ones behind parapets.

Source: EN 1991-1-3:2003 clauses 5.3.6 and 6.2, annex B. Lengths in m, loads in Pa on plan.
"""

from dataclasses import dataclass

from selector.engineering.lines import Given, Ledger, Outside, Sheet, finite
from selector.engineering.snow_en import LOAD, roof_load_pa
from selector.engineering.tables import Code


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


def shape_beside(mu2: float, mu1: float, length_m: float, distance_m: float) -> float:
    """Shape coefficient at a distance from where a drift is deepest.

    EN 1991-1-3:2003 figures 5.7 and 6.1: a straight line from mu2 down to mu1. From memory.
    """
    distance = finite("distance to the drift", distance_m, 0, 10_000, "m")
    return mu1 + max(0.0, mu2 - mu1) * max(0.0, 1 - distance / length_m)


def snow_beside(
    code: Code, even: Sheet, drift: Sheet, distance: Given, *, parapet: bool = False
) -> Sheet:
    """Snow on an array beside a drift, on plan: `s,d` in Pa where the array is nearest to it.

    EN 1991-1-3:2003 clause 5.2(3)P, figures 5.7 and 6.1; `even` is the sheet without drifts. By
    judgement where the plane is not flat, and where a `parapet` counts as an obstacle.
    """
    lines = {x.symbol: x for x in (*even.lines, *drift.lines)}
    out = Ledger(code.snow.source, Sheet(tuple(lines.values())))
    d = out.given("d", distance, "m", "from the drift to the array, on plan")
    inputs = ["mu2", "ls", "d"]
    mu1, mu2, length = even.value("mu1"), drift.value("mu2"), drift.value("ls")
    rule = code.snow.clauses["along a drift"]
    if d > 0:
        out.row("along a drift", rule.text, "", rule.ref)
        inputs += ["mu1", "along a drift"]
    if even.value("pitch") >= code.figure("flat_below").value:
        limit = code.figure("drift_pitch")
        out.row("drift_pitch", limit.value, limit.unit, limit.ref, limit.text)
        inputs += ["pitch", "drift_pitch"]
    if parapet:
        working = code.arrays.clauses["parapet drifts"]
        out.row("parapet drifts", working.text, "", working.ref)
        inputs.append("parapet drifts")
    mu = shape_beside(mu2, mu1, length, d)
    clause = rule.ref.clause
    how = "from mu2 down to mu1 at ls" if d < length else "clear of the drift"
    out.work("mu,d", mu, "", clause, how, tuple(inputs))
    load = roof_load_pa(mu, even.value("Ce"), even.value("Ct"), even.value("sk"))
    out.work("s,d", load, "Pa", "5.2(3)P, (5.1)", "mu,d Ce Ct sk", ("mu,d", "Ce", "Ct", "sk"))
    return out.sheet()


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
