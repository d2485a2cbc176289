"""Every formula by name, with units, directions and breakpoints: where intervals come from."""

import math
from collections.abc import Iterator
from itertools import pairwise

from selector.engineering import combine_en, movement, rail_en, snow_en, wind_en
from selector.engineering.arguments import down, ends_of, one_of, piecewise, turns, up
from selector.engineering.asce import elevation_factor, equalization, exposure_coefficient
from selector.engineering.check import area_weight_pa, movement_um, ratio
from selector.engineering.drift_hull import drifts
from selector.engineering.lines import BadInputError, Outside, interpolate
from selector.engineering.metal_registry import loss_formulas
from selector.engineering.module_wind import edge_distance_m
from selector.engineering.over import Box, Composite, Formula
from selector.engineering.roof_wind_en import by_area, zone_coefficient
from selector.engineering.tables import ZONES, Code, Curve, CurveKey, TrialEdition
from selector.engineering.zones_en import zone_depth_m

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
            (one_of("exposure", words), up("height", "m")),
        ),
        Formula("K_e", elevation, "", "table 26.9-1", (down("elevation", "m"),)),
        Formula("gamma_a", gamma, "", "figure 29.4-8", (down("area", "m2"),)),
    ]
    return {formula.name: formula for formula in found}


# --- groups ----------------------------------------------------------------------------


def _plain() -> Iterator[Formula]:
    yield Formula(
        "ratio", ratio, "", "EN 1990, 6.4.2, (6.8)", (up("demand", "N"), down("capacity", "N"))
    )
    yield Formula(
        "array weight",
        area_weight_pa,
        "Pa",
        "statics",
        (up("mass", "kg"), down("area", "m2"), up("allowance", "kg/m2")),
    )
    yield Formula(
        "edge distance", edge_distance_m, "m", "working rule", (up("gap", "m"), up("gaps"))
    )
    yield Formula(
        "free movement",
        movement_um,
        "um",
        "EN 1991-1-5, 6.1.3.3",
        (up("expansion", "um/m/K"), up("length", "m"), up("range", "K")),
    )


def _members() -> Iterator[Formula]:
    """A rail by its section, and what it moves with temperature."""
    elastic, holes = up("section modulus", "m3"), up("section modulus at holes", "m3")
    yielding, breaking = up("yield", "Pa"), up("break", "Pa")
    area, factor = up("shear area", "m2"), down("gamma_M")
    yield Formula(
        "aluminium bending",
        rail_en.aluminium_bending_nm,
        "Nm",
        "6.2.5.1",
        (elastic, holes, yielding, breaking, up("alpha"), factor, down("gamma_M2")),
    )
    one, other = (area, yielding, factor), (elastic, yielding, factor)
    yield Formula("aluminium shear", rail_en.aluminium_shear_n, "N", "6.2.6", one)
    yield Formula("steel bending", rail_en.steel_bending_nm, "Nm", "6.2.5, (6.14)", other)
    yield Formula("steel shear", rail_en.steel_shear_n, "N", "6.2.6, (6.18)", one)
    grown = (up("alpha_T", "1/K"), up("length", "m"), up("range", "K"))
    yield Formula("expansion", movement.expansion_m, "m", "6.1.3.3, annex C", grown)
    room = (*grown, up("setting out", "m"))
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
            up("basic velocity", "m/s"),
            up("direction factor"),
            up("season factor"),
            one_of("terrain", tuple(code.wind.terrains)),
            up("height", "m"),
            up("orography"),
            up("turbulence factor"),
            up("air density", "kg/m3"),
        ),
    )
    yield Formula(
        "basic velocity",
        wind_en.basic_velocity,
        "m/s",
        "4.2(2)P, (4.1)",
        (up("basic velocity", "m/s"), up("direction factor"), up("season factor")),
    )
    yield Formula(
        "zone depth",
        zone_depth_m,
        "m",
        "7.2.3(1)",
        (up("crosswind", "m"), up("height", "m")),
    )

    def area_mean(cpe10: float, cpe1: float, area_m2: float) -> float:
        return by_area(cpe10, cpe1, area_m2, small, large)

    yield Formula(
        "coefficient by area",
        area_mean,
        "",
        "7.2.1, figure 7.2",
        (up("cpe,10"), up("cpe,1"), turns("area", "m2", small, large)),
    )
    yield Formula(
        "wind pressure",
        lambda qp, cpe: qp * cpe,
        "Pa",
        "5.2, (5.1)",
        (turns("peak pressure", "Pa"), up("coefficient")),
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
        (turns("at", "deg", *inside), turns("area", "m2", *areas)),
    )


def _curve_formula(name: str, curve: Curve) -> Formula:
    def function(pitch_deg: float) -> float | Outside:
        return snow_en.shape(curve, pitch_deg)

    nodes = [node.at for node in curve]
    return Formula(name, function, "", "5.3, table 5.2", (turns("pitch", "deg", *nodes),))


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
    held_mu = Formula("mu1 held", held_by_pitch, "", "5.3.2(2)", (turns("pitch", "deg", *nodes),))
    yield held_mu
    load = Formula(
        "roof snow",
        snow_en.roof_load_pa,
        "Pa",
        "5.2(3)P, (5.1)",
        (up("mu"), up("exposure"), up("thermal"), up("ground", "Pa")),
    )
    yield load
    yield Formula(
        "exceptional ground snow",
        snow_en.exceptional_ground_pa,
        "Pa",
        "4.3, (4.1)",
        (up("exceptional factor"), up("ground", "Pa")),
    )
    slope = Formula(
        "snow along",
        combine_en.along_snow_pa,
        "Pa",
        "statics",
        (up("snow", "Pa"), turns("pitch", "deg", TURN)),
    )
    yield slope
    for name, shape in (("free", mu1), ("held", held_mu)):
        whole = Composite(f"roof snow, {name}", load, {"mu": shape})
        yield whole
        yield Composite(f"snow along, {name}", slope, {"snow": whole})
    yield from drifts(code)


def _crossing(curve: Curve, floor: float) -> list[float]:
    """Pitches at which a shape passes the floor."""
    found = []
    for low, high in pairwise(curve):
        a, b = low.values[0], high.values[0]
        if (a - floor) * (b - floor) < 0:
            found.append(interpolate(floor, a, low.at, b, high.at))
    return found


def _combinations() -> Iterator[Formula]:
    weight, snow = up("weight", "Pa"), up("snow", "Pa")

    def turning(box: Box) -> list[float]:
        """Pitch of the largest g sin + s sin cos: 2 s cos2 + g cos - s = 0."""
        found = []
        for g, s in ends_of(box, "weight", "snow"):
            if s > 0:
                cosine = (math.sqrt(g * g + 8 * s * s) - g) / (4 * s)
                found.append(math.degrees(math.acos(min(1.0, cosine))))
        return found

    normal = combine_en.normal_snow_pa
    yield Formula("snow normal", normal, "Pa", "statics", (snow, down("pitch", "deg")))
    across, along = combine_en.normal_weight_pa, combine_en.along_weight_pa
    yield Formula("weight normal", across, "Pa", "statics", (weight, down("pitch", "deg")))
    yield Formula("weight along", along, "Pa", "statics", (weight, up("pitch", "deg")))
    yield Formula(
        "uplift",
        combine_en.uplift_pa,
        "Pa",
        "(6.10)",
        (up("gQ"), down("gG"), up("wind", "Pa"), down("weight", "Pa"), up("pitch", "deg")),
    )
    yield Formula(
        "pressure",
        combine_en.pressure_pa,
        "Pa",
        "(6.10) to (6.11b)",
        (down("pitch", "deg"), weight, snow, up("wind", "Pa")),
    )
    yield Formula(
        "along",
        combine_en.along_pa,
        "Pa",
        "(6.10) to (6.11b)",
        (piecewise("pitch", "deg", turning), weight, snow),
    )
    yield Formula(
        "net uplift",
        combine_en.net_uplift_pa,
        "Pa",
        "(6.10)",
        (up("pitch", "deg"), up("wind", "Pa"), down("weight", "Pa"), down("snow", "Pa")),
    )


def formula(found: Registry, name: str) -> Formula | Composite:
    """A formula by name; BadInputError names the near ones of its group."""
    if name not in found:
        known = ", ".join(sorted(k for k in found if not k.startswith("cpe ")))
        raise BadInputError(f"no formula `{name}`; known: {known} and cpe by zone")
    return found[name]
