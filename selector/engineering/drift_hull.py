"""Snow on an array beside a drift over intervals: the formulas with their turning points."""

import math
from collections.abc import Iterator

from selector.engineering import drift_en, snow_en
from selector.engineering.arguments import down, ends_of, piecewise, up
from selector.engineering.over import Argument, Box, Composite, Formula
from selector.engineering.tables import Code


def drifts(code: Code) -> Iterator[Formula | Composite]:
    """Snow on an array beside a drift; what lies beyond the drift has the shape of a flat roof."""
    value = {name: code.figure(name).value for name in code.snow.figures}
    even = code.snow.shapes["mu1"][0].values[0]
    bounds = [value[f"obstacle_{k}"] for k in ("weight", "least", "most")]
    lengths = [value[f"obstacle_{k}"] for k in ("length", "shortest", "longest")]

    def obstacle(
        height_m: float, distance_m: float, ground_pa: float, exposure: float, thermal: float
    ) -> float:
        deepest = drift_en.drift_shape(bounds[0], height_m, ground_pa, bounds[1], bounds[2])
        length = drift_en.drift_length_m(height_m, *lengths)
        mu = drift_en.shape_beside(deepest, even, length, distance_m)
        return snow_en.roof_load_pa(mu, exposure, thermal, ground_pa)

    factors = (up("exposure"), up("thermal"))
    far, ground = down("distance", "m"), up("ground", "Pa")
    clause = "6.2, (5.1)"
    yield Formula(
        "snow at an obstacle", obstacle, "Pa", clause, (up("height", "m"), far, ground, *factors)
    )
    yield _step(code, even, factors)
    yield _parapet(value)


def step_turns(code: Code, box: Box) -> Iterator[float]:
    """Heights at which a bound takes over, and where the longer drift outweighs its fall, in m.

    EN 1991-1-3:2003 expressions (5.8) and (5.9): with b the mean length and l_s = 2h,
    (b/h - mu1)(1 - d/2h) is largest at b d/(b + mu1 d/2).
    """
    even = code.snow.shapes["mu1"][0].values[0]
    weight, least, most, heights, shortest, longest = _taller(code)
    yield from (shortest / heights, longest / heights)
    for b, d, sk in ends_of(box, "mean", "distance", "ground"):
        yield from (b / most, b / least, b / even, d / heights)
        yield from (most * sk / weight, least * sk / weight, math.sqrt(b * sk / weight))
        yield b * d / (b + even * d / heights)


def _taller(code: Code) -> tuple[float, ...]:
    names = ("weight", "least", "most", "length", "shortest", "longest")
    return tuple(code.figure(f"taller_{name}").value for name in names)


def _step(code: Code, even: float, factors: tuple[Argument, Argument]) -> Composite:
    """Snow against a taller part, with the mean of both lengths and the factors apart from it."""
    weight, least, most, heights, shortest, longest = _taller(code)

    def snow(mean_m: float, height_m: float, distance_m: float, ground_pa: float) -> float:
        deepest = drift_en.step_shape(mean_m, mean_m, height_m, ground_pa, weight, least, most)
        length = drift_en.drift_length_m(height_m, heights, shortest, longest)
        return drift_en.shape_beside(deepest, even, length, distance_m) * ground_pa

    clause = "5.3.6, (5.1)"
    arguments = (
        up("mean", "m"),
        piecewise("height", "m", lambda box: step_turns(code, box)),
        down("distance", "m"),
        up("ground", "Pa"),
    )
    mean = Formula(
        "mean length",
        lambda upper, lower: (upper + lower) / 2,
        "m",
        "5.3.6, (5.8)",
        (up("upper", "m"), up("lower", "m")),
    )
    plain = Composite(
        "snow at a step", Formula("snow at a step", snow, "Pa", clause, arguments), {"mean": mean}
    )
    whole = Formula(
        "with its factors",
        lambda plain_pa, exposure, thermal: plain_pa * exposure * thermal,
        "Pa",
        clause,
        (up("plain", "Pa"), *factors),
    )
    return Composite("snow at a taller part", whole, {"plain": plain})


def _parapet(value: dict[str, float]) -> Composite:
    """Exceptional drift by its two limits, each with a hull of its own, in Pa."""
    weight, width, most, heights, longest = (
        value[f"annex_b_{k}"] for k in ("weight", "width", "most", "length", "longest")
    )

    def deep(height_m: float, ground_pa: float) -> float:
        return drift_en.drift_shape(weight, height_m, ground_pa, 0.0, most) * ground_pa

    def wide(upper_m: float, lower_m: float, height_m: float, ground_pa: float) -> float:
        length = drift_en.parapet_length_m(height_m, upper_m, heights, longest)
        return drift_en.parapet_width_shape(upper_m, lower_m, length, width) * ground_pa

    def lengths(box: Box) -> list[float]:
        """Lengths b1 at which b2, 5h or 15 m takes over."""
        corners = ends_of(box, "lower", "height")
        return [longest, *(x for b2, h in corners for x in (b2, heights * h))]

    clause, ground = "annex B.4", up("ground", "Pa")
    depth = (up("height", "m"), ground)
    size = (piecewise("upper", "m", lengths), up("lower", "m"), down("height", "m"), ground)
    return Composite(
        "exceptional drift",
        Formula("smaller", min, "Pa", clause, (up("deep", "Pa"), up("wide", "Pa"))),
        {
            "deep": Formula("drift by depth", deep, "Pa", clause, depth),
            "wide": Formula("drift by width", wide, "Pa", clause, size),
        },
    )
