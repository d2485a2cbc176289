"""Every formula by name, with units, directions and breakpoints: where intervals come from."""

import math
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise, product

from selector.engineering import combine_en, movement, rail_en, snow_en, wind_en
from selector.engineering.asce import elevation_factor, equalization, exposure_coefficient
from selector.engineering.check import area_weight_pa, movement_um, ratio
from selector.engineering.lines import BadInputError, Outside, interpolate
from selector.engineering.metal_registry import loss_formulas
from selector.engineering.module_wind import edge_distance_m
from selector.engineering.over import Argument, Box, Composite, Direction, Formula
from selector.engineering.roof_wind_en import by_area, zone_coefficient
from selector.engineering.tables import ZONES, Code, Curve, CurveKey, TrialEdition
from selector.engineering.zones_en import zone_depth_m

Breaks = Callable[[Box], Iterable[float]]
Registry = dict[str, Formula | Composite]
TURN = 45.0  # degrees: the largest sin cos


def registry(code: Code) -> Registry:
    """All formulas of a code by name."""
    found = [*_plain(), *_members(), *_wind(code), *_snow(code), *_combinations()]
    found += loss_formulas()
    return {formula.name: formula for formula in found}


def trial_registry(edition: TrialEdition) -> Registry:
    """Formulas of the code on trial by name."""
    figure = {k: v.value for k, v in edition.figures.items()}
    words = tuple(edition.exposures)

    def coefficient(exposure: str, height_m: float) -> float | Outside:
        gradient, exponent = (f.value for f in edition.exposures[exposure])
        if height_m > gradient:
            return Outside("height", f"{height_m:g} m", f"up to {gradient:g} m", "table 26.11-1")
        share = figure["exposure_share"]
        return exposure_coefficient(height_m, figure["lowest"], share, gradient, exponent)

    def elevation(elevation_m: float) -> float:
        return elevation_factor(elevation_m, figure["elevation_rate"])

    def gamma(area_m2: float) -> float:
        return equalization(edition.equalization, area_m2)

    found = [
        Formula(
            "K_z",
            coefficient,
            "",
            "table 26.10-1",
            (_words("exposure", words), _up("height", "m")),
        ),
        Formula("K_e", elevation, "", "table 26.9-1", (_down("elevation", "m"),)),
        Formula("gamma_a", gamma, "", "figure 29.4-8", (_down("area", "m2"),)),
    ]
    return {formula.name: formula for formula in found}


# --- arguments -------------------------------------------------------------------------


def _up(name: str, unit: str = "") -> Argument:
    return Argument(name, unit, "rising")


def _down(name: str, unit: str = "") -> Argument:
    return Argument(name, unit, "falling")


def _turns(name: str, unit: str, *points: float) -> Argument:
    return _piecewise(name, unit, lambda box: points)


def _piecewise(name: str, unit: str, breaks: Breaks) -> Argument:
    direction: Direction = "piecewise"
    return Argument(name, unit, direction, breaks)


def _words(name: str, words: tuple[str, ...]) -> Argument:
    return Argument(name, ", ".join(words), "choice")


def _corners(box: Box, *names: str) -> Iterator[tuple[float, ...]]:
    """Ends of some arguments in all combinations."""
    ends: list[list[float]] = [[float(end) for end in box[name]] for name in names]
    yield from product(*ends)


# --- groups ----------------------------------------------------------------------------


def _plain() -> Iterator[Formula]:
    yield Formula(
        "ratio", ratio, "", "EN 1990, 6.4.2, (6.8)", (_up("demand", "N"), _down("capacity", "N"))
    )
    yield Formula(
        "array weight",
        area_weight_pa,
        "Pa",
        "statics",
        (_up("mass", "kg"), _down("area", "m2"), _up("allowance", "kg/m2")),
    )
    yield Formula(
        "edge distance", edge_distance_m, "m", "working rule", (_up("gap", "m"), _up("gaps"))
    )
    yield Formula(
        "free movement",
        movement_um,
        "um",
        "EN 1991-1-5, 6.1.3.3",
        (_up("expansion", "um/m/K"), _up("length", "m"), _up("range", "K")),
    )


def _members() -> Iterator[Formula]:
    """A rail by its section, and what it moves with temperature."""
    elastic, holes = _up("section modulus", "m3"), _up("section modulus at holes", "m3")
    yielding, breaking = _up("yield", "Pa"), _up("break", "Pa")
    area, factor = _up("shear area", "m2"), _down("gamma_M")
    yield Formula(
        "aluminium bending",
        rail_en.aluminium_bending_nm,
        "Nm",
        "6.2.5.1",
        (elastic, holes, yielding, breaking, _up("alpha"), factor, _down("gamma_M2")),
    )
    one, other = (area, yielding, factor), (elastic, yielding, factor)
    yield Formula("aluminium shear", rail_en.aluminium_shear_n, "N", "6.2.6", one)
    yield Formula("steel bending", rail_en.steel_bending_nm, "Nm", "6.2.5, (6.14)", other)
    yield Formula("steel shear", rail_en.steel_shear_n, "N", "6.2.6, (6.18)", one)
    grown = (_up("alpha_T", "1/K"), _up("length", "m"), _up("range", "K"))
    yield Formula("expansion", movement.expansion_m, "m", "6.1.3.3, annex C", grown)
    room = (*grown, _up("setting out", "m"))
    yield Formula("gap", movement.gap_m, "m", "statics", room)


def _wind(code: Code) -> Iterator[Formula]:
    share, power, gust = (
        code.figure(k).value for k in ("roughness_share", "roughness_power", "gust_share")
    )
    ii = code.figure("roughness_length_ii").value
    small, large = (code.figure(k).value for k in ("small_area", "large_area"))

    def peak(
        vb0: float,
        direction: float,
        season: float,
        word: str,
        z: float,
        co: float,
        ki: float,
        rho: float,
    ) -> float | Outside:
        terrain = wind_en.covered_terrain(code, word, z)
        if isinstance(terrain, Outside):
            return terrain
        velocity = wind_en.basic_velocity(vb0, direction, season)
        kr = wind_en.terrain_factor(terrain.z0_m, share, ii, power)
        log = wind_en.log_height(z, terrain.z0_m, terrain.zmin_m)
        mean = wind_en.mean_velocity(velocity, kr * log, co)
        pressure = wind_en.velocity_pressure_pa(rho, mean)
        return wind_en.peak_pressure_pa(pressure, wind_en.turbulence(log, co, ki), gust)

    yield Formula(
        "peak pressure",
        peak,
        "Pa",
        "4.5, (4.8)",
        (
            _up("basic velocity", "m/s"),
            _up("direction factor"),
            _up("season factor"),
            _words("terrain", tuple(code.wind.terrains)),
            _up("height", "m"),
            _up("orography"),
            _up("turbulence factor"),
            _up("air density", "kg/m3"),
        ),
    )
    yield Formula(
        "basic velocity",
        wind_en.basic_velocity,
        "m/s",
        "4.2(2)P, (4.1)",
        (_up("basic velocity", "m/s"), _up("direction factor"), _up("season factor")),
    )
    yield Formula(
        "zone depth",
        zone_depth_m,
        "m",
        "7.2.3(1)",
        (_up("crosswind", "m"), _up("height", "m")),
    )

    def area_mean(cpe10: float, cpe1: float, area_m2: float) -> float:
        return by_area(cpe10, cpe1, area_m2, small, large)

    yield Formula(
        "coefficient by area",
        area_mean,
        "",
        "7.2.1, figure 7.2",
        (_up("cpe,10"), _up("cpe,1"), _turns("area", "m2", small, large)),
    )
    yield Formula(
        "wind pressure",
        lambda qp, cpe: qp * cpe,
        "Pa",
        "5.2, (5.1)",
        (_turns("peak pressure", "Pa"), _up("coefficient")),
    )
    for (roof, theta), zones in ZONES.items():
        for zone in zones:
            for signs in ("negative", "positive"):
                yield coefficient_formula(code, CurveKey(roof, theta, zone, signs))


def coefficient_formula(code: Code, key: CurveKey) -> Formula:
    """Coefficient of one zone over pitch (or the ratio of a parapet) and loaded area.

    EN 1991-1-4:2005 tables 7.2 to 7.4b with figure 7.2.
    """
    nodes = set()
    for signs in ("negative", "positive"):
        curve = code.wind.curves.get(CurveKey(key.roof, key.theta, key.zone, signs), ())
        for node in curve:
            nodes |= {node.at}
        if curve:  # where a row begins or ends the other one takes over
            nodes |= {math.nextafter(curve[-1].at, math.inf)}
            nodes |= {math.nextafter(curve[0].at, -math.inf)}
    areas = (code.figure("small_area").value, code.figure("large_area").value)
    inside = tuple(sorted(nodes))

    def function(at: float, area_m2: float) -> float | Outside:
        return zone_coefficient(code, key, at, area_m2)

    return Formula(
        f"cpe {key.roof} {key.theta} {key.zone} {key.signs}",
        function,
        "",
        "7.2, tables 7.2 to 7.4b",
        (_turns("at", "deg", *inside), _turns("area", "m2", *areas)),
    )


def _curve_formula(name: str, curve: Curve) -> Formula:
    def function(pitch_deg: float) -> float | Outside:
        return snow_en.shape(curve, pitch_deg)

    nodes = [node.at for node in curve]
    return Formula(name, function, "", "5.3, table 5.2", (_turns("pitch", "deg", *nodes),))


def _snow(code: Code) -> Iterator[Formula | Composite]:
    shapes = code.snow.shapes
    mu1 = _curve_formula("mu1", shapes["mu1"])
    yield mu1
    yield _curve_formula("mu2", shapes["mu2"])
    floor = code.figure("held_floor").value
    crossing = _crossing(shapes["mu1"], floor)

    def held_by_pitch(pitch_deg: float) -> float | Outside:
        free = snow_en.shape(shapes["mu1"], pitch_deg)
        return free if isinstance(free, Outside) else snow_en.held_shape(free, floor)

    nodes = [*(node.at for node in shapes["mu1"]), *crossing]
    held_mu = Formula("mu1 held", held_by_pitch, "", "5.3.2(2)", (_turns("pitch", "deg", *nodes),))
    yield held_mu
    load = Formula(
        "roof snow",
        snow_en.roof_load_pa,
        "Pa",
        "5.2(3)P, (5.1)",
        (_up("mu"), _up("exposure"), _up("thermal"), _up("ground", "Pa")),
    )
    yield load
    yield Formula(
        "exceptional ground snow",
        snow_en.exceptional_ground_pa,
        "Pa",
        "4.3, (4.1)",
        (_up("exceptional factor"), _up("ground", "Pa")),
    )
    slope = Formula(
        "snow along",
        combine_en.along_snow_pa,
        "Pa",
        "statics",
        (_up("snow", "Pa"), _turns("pitch", "deg", TURN)),
    )
    yield slope
    for name, shape in (("free", mu1), ("held", held_mu)):
        whole = Composite(f"roof snow, {name}", load, {"mu": shape})
        yield whole
        yield Composite(f"snow along, {name}", slope, {"snow": whole})
    yield from _drifts(code)


def _crossing(curve: Curve, floor: float) -> list[float]:
    """Pitches at which a shape passes the floor."""
    found = []
    for low, high in pairwise(curve):
        a, b = low.values[0], high.values[0]
        if (a - floor) * (b - floor) < 0:
            found.append(interpolate(floor, a, low.at, b, high.at))
    return found


def _drifts(code: Code) -> Iterator[Formula | Composite]:
    value = {name: code.figure(name).value for name in code.snow.figures}
    bounds = [value[f"obstacle_{k}"] for k in ("weight", "least", "most")]
    lengths = [value[f"obstacle_{k}"] for k in ("length", "shortest", "longest")]
    step = [value[f"taller_{k}"] for k in ("weight", "least", "most")]

    def obstacle(height_m: float, ground_pa: float) -> float:
        return snow_en.drift_shape(bounds[0], height_m, ground_pa, bounds[1], bounds[2])

    def length(height_m: float) -> float:
        return snow_en.drift_length_m(height_m, *lengths)

    def taller(upper_m: float, lower_m: float, height_m: float, ground_pa: float) -> float:
        return snow_en.step_shape(upper_m, lower_m, height_m, ground_pa, *step)

    def equal(box: Box) -> list[float]:
        """Heights at which both limits of (5.8) are the same."""
        corners = _corners(box, "upper", "lower", "ground")
        return [math.sqrt((b1 + b2) * sk / (2 * step[0])) for b1, b2, sk in corners]

    height, ground = _up("height", "m"), _down("ground", "Pa")
    yield Formula("obstacle drift", obstacle, "", "6.2", (height, ground))
    yield Formula("drift length", length, "m", "5.3.6, 6.2", (height,))
    yield Formula(
        "taller drift",
        taller,
        "",
        "5.3.6, (5.8)",
        (
            _up("upper", "m"),
            _up("lower", "m"),
            _piecewise("height", "m", equal),
            ground,
        ),
    )
    yield from _parapet(value)


def _parapet(value: dict[str, float]) -> Iterator[Formula | Composite]:
    """Exceptional drift by its two limits, each with a hull of its own."""
    weight, width, most, heights, longest = (
        value[f"annex_b_{k}"] for k in ("weight", "width", "most", "length", "longest")
    )

    def deep(height_m: float, ground_pa: float) -> float:
        return snow_en.drift_shape(weight, height_m, ground_pa, 0.0, most)

    def wide(upper_m: float, lower_m: float, height_m: float) -> float:
        length = snow_en.parapet_length_m(height_m, upper_m, heights, longest)
        return snow_en.parapet_width_shape(upper_m, lower_m, length, width)

    def lengths(box: Box) -> list[float]:
        """Lengths b1 at which b2, 5h or 15 m takes over."""
        corners = _corners(box, "lower", "height")
        return [longest, *(x for b2, h in corners for x in (b2, heights * h))]

    clause = "annex B.4"
    depth = (_up("height", "m"), _down("ground", "Pa"))
    size = (_piecewise("upper", "m", lengths), _up("lower", "m"), _down("height", "m"))
    yield Composite(
        "parapet drift",
        Formula("smaller", min, "", clause, (_up("deep"), _up("wide"))),
        {
            "deep": Formula("drift by depth", deep, "", clause, depth),
            "wide": Formula("drift by width", wide, "", clause, size),
        },
    )


def _combinations() -> Iterator[Formula]:
    weight, snow = _up("weight", "Pa"), _up("snow", "Pa")

    def turning(box: Box) -> list[float]:
        """Pitch of the largest g sin + s sin cos: 2 s cos2 + g cos - s = 0."""
        found = []
        for g, s in _corners(box, "weight", "snow"):
            if s > 0:
                cosine = (math.sqrt(g * g + 8 * s * s) - g) / (4 * s)
                found.append(math.degrees(math.acos(min(1.0, cosine))))
        return found

    normal = combine_en.normal_snow_pa
    yield Formula("snow normal", normal, "Pa", "statics", (snow, _down("pitch", "deg")))
    across, along = combine_en.normal_weight_pa, combine_en.along_weight_pa
    yield Formula("weight normal", across, "Pa", "statics", (weight, _down("pitch", "deg")))
    yield Formula("weight along", along, "Pa", "statics", (weight, _up("pitch", "deg")))
    yield Formula(
        "uplift",
        combine_en.uplift_pa,
        "Pa",
        "(6.10)",
        (_up("gQ"), _down("gG"), _up("wind", "Pa"), _down("weight", "Pa"), _up("pitch", "deg")),
    )
    yield Formula(
        "pressure",
        combine_en.pressure_pa,
        "Pa",
        "(6.10) to (6.11b)",
        (_down("pitch", "deg"), weight, snow, _up("wind", "Pa")),
    )
    yield Formula(
        "along",
        combine_en.along_pa,
        "Pa",
        "(6.10) to (6.11b)",
        (_piecewise("pitch", "deg", turning), weight, snow),
    )
    yield Formula(
        "net uplift",
        combine_en.net_uplift_pa,
        "Pa",
        "(6.10)",
        (_up("pitch", "deg"), _up("wind", "Pa"), _down("weight", "Pa"), _down("snow", "Pa")),
    )


def formula(found: Registry, name: str) -> Formula | Composite:
    """A formula by name; BadInputError names the near ones of its group."""
    if name not in found:
        known = ", ".join(sorted(k for k in found if not k.startswith("cpe ")))
        raise BadInputError(f"no formula `{name}`; known: {known} and cpe by zone")
    return found[name]
