"""Wind on a building: from the basic velocity to the peak velocity pressure.

Source: EN 1991-1-4:2005 with A1:2010, clauses 4.2 to 4.5. Basic velocity is an input: no map here.
"""

import math
from dataclasses import dataclass

from selector.engineering.lines import BadInputError, Given, Ledger, Outside, Sheet, finite
from selector.engineering.tables import Code, Terrain

SPEED, HEIGHT, FACTOR, DENSITY = (0.0, 150.0), (0.0, 2_000.0), (0.0, 10.0), (0.1, 2.0)


@dataclass(frozen=True)
class WindSite:
    """Where the building stands; `basic` in m/s."""

    basic: Given
    terrain: str
    orography: Given
    direction: Given | None = None  # None: what the country or the edition says
    season: Given | None = None


def basic_velocity(vb0_m_s: float, direction_factor: float, season_factor: float) -> float:
    """Basic wind velocity in m/s.

    EN 1991-1-4:2005 clause 4.2(2)P, expression (4.1).
    """
    speed = finite("basic velocity", vb0_m_s, *SPEED, "m/s")
    direction = finite("direction factor", direction_factor, *FACTOR)
    return speed * direction * finite("season factor", season_factor, *FACTOR)


def terrain_factor(z0_m: float, share: float, z0_ii_m: float, power: float) -> float:
    """Terrain factor k_r.

    EN 1991-1-4:2005 clause 4.3.2, expression (4.5).
    """
    finite("roughness length", z0_m, 1e-6, 100, "m")
    return share * math.pow(z0_m / z0_ii_m, power)


def log_height(z_m: float, z0_m: float, zmin_m: float) -> float:
    """ln(z/z0), with z no less than zmin.

    EN 1991-1-4:2005 clause 4.3.2, expression (4.4).
    """
    height = max(finite("height", z_m, *HEIGHT, "m"), zmin_m)
    return math.log(height / z0_m)


def mean_velocity(vb_m_s: float, roughness: float, orography: float) -> float:
    """Mean wind velocity at a height, in m/s.

    EN 1991-1-4:2005 clause 4.3.1, expression (4.3).
    """
    return vb_m_s * roughness * _orography(orography)


def turbulence(log_height: float, orography: float, turbulence_factor: float) -> float:
    """Turbulence intensity I_v.

    EN 1991-1-4:2005 clause 4.4, expression (4.7).
    """
    return finite("turbulence factor", turbulence_factor, *FACTOR) / (
        _orography(orography) * log_height
    )


def velocity_pressure_pa(density_kg_m3: float, speed_m_s: float) -> float:
    """Pressure of a steady wind, in Pa.

    EN 1991-1-4:2005 clause 4.5, expression (4.10).
    """
    density = finite("density of air", density_kg_m3, *DENSITY, "kg/m3")
    return 0.5 * density * speed_m_s**2


def peak_pressure_pa(mean_pressure_pa: float, intensity: float, gust_share: float) -> float:
    """Peak velocity pressure q_p in Pa.

    EN 1991-1-4:2005 clause 4.5, expression (4.8).
    """
    return (1 + gust_share * intensity) * mean_pressure_pa


def peak_pressure(code: Code, site: WindSite, height: Given) -> Sheet | Outside:
    """Peak velocity pressure at a height in m, with every value on the way.

    EN 1991-1-4:2005 clauses 4.2 to 4.5; Outside where the edition or the country says nothing.
    """
    terrain = covered_terrain(code, site.terrain, height.value)
    if isinstance(terrain, Outside):
        return terrain
    out = Ledger(code.wind.source)
    z = out.given("z", height, "m", "height of the highest point")
    velocity = _velocity(out, code, site)
    share, power, ii, gust = (
        _figure(out, code, symbol, name)
        for symbol, name in (
            ("kr,share", "roughness_share"),
            ("kr,power", "roughness_power"),
            ("z0,II", "roughness_length_ii"),
            ("gust", "gust_share"),
        )
    )
    out.row("terrain", terrain.word, "", terrain.ref, "terrain category")
    out.row("z0", terrain.z0_m, "m", terrain.ref, "roughness length")
    out.row("zmin", terrain.zmin_m, "m", terrain.ref, "least height")
    kr = terrain_factor(terrain.z0_m, share, ii, power)
    inputs = ("kr,share", "kr,power", "z0,II", "z0")
    out.work("kr", kr, "", "4.3.2, (4.5)", f"{share:g} (z0/z0,II)^{power:g}", inputs)
    log = log_height(z, terrain.z0_m, terrain.zmin_m)
    cr = kr * log
    out.work("cr", cr, "", "4.3.2, (4.4)", "kr ln(z/z0)", ("kr", "z", "z0", "zmin"))
    co = out.given("co", site.orography, "", "orography factor")
    mean = mean_velocity(velocity, cr, co)
    out.work("vm", mean, "m/s", "4.3.1, (4.3)", "cr co vb", ("cr", "co", "vb"))
    factor = _figure(out, code, "kI", "turbulence_factor")
    deviation = kr * velocity * factor
    out.work("sigma_v", deviation, "m/s", "4.4, (4.6)", "kr vb kI", ("kr", "vb", "kI"))
    intensity = turbulence(log, co, factor)
    where = ("kI", "co", "z", "z0", "zmin")
    out.work("Iv", intensity, "", "4.4, (4.7)", "kI/(co ln(z/z0))", where)
    density = _figure(out, code, "rho", "air_density")
    qb = velocity_pressure_pa(density, velocity)
    out.work("qb", qb, "Pa", "4.5, (4.10)", "rho vb^2/2", ("rho", "vb"))
    qp = peak_pressure_pa(velocity_pressure_pa(density, mean), intensity, gust)
    inputs = ("gust", "Iv", "rho", "vm")
    out.work("qp", qp, "Pa", "4.5, (4.8)", f"(1 + {gust:g} Iv) rho vm^2/2", inputs)
    if qb > 0:
        out.work("ce", qp / qb, "", "4.5, (4.9)", "qp/qb", ("qp", "qb"))
    return out.sheet()


def stated_pressure(pressure: Given) -> Sheet:
    """A peak velocity pressure in Pa that somebody worked out, where no variant computes it."""
    finite("peak velocity pressure", pressure.value, 0, 20_000, "Pa")
    out = Ledger(pressure.source)
    out.given("qp", pressure, "Pa", "peak velocity pressure")
    return out.sheet()


def covered_terrain(code: Code, word: str, height_m: float) -> Terrain | Outside:
    """The terrain category, or the range that the site left; BadInputError for no height."""
    height = finite("height", height_m, *HEIGHT, "m")
    if height == 0:
        raise BadInputError("height is 0 m; expected the height of the highest point above ground")
    way = code.variant("wind")
    if way.value != "log profile":
        return Outside("wind", way.value, "a peak pressure with its source", way.ref.clause)
    highest = code.figure("highest")
    if height > highest.value:
        allowed = f"heights up to {highest.value:g} m"
        return Outside("height", f"{height:g} m", allowed, highest.ref.clause)
    terrain = code.wind.terrains.get(word)
    if terrain is None:
        allowed = "categories " + ", ".join(code.wind.terrains)
        return Outside("terrain", word, allowed, "table 4.1")
    return terrain


def _velocity(out: Ledger, code: Code, site: WindSite) -> float:
    """Enter the basic velocity and its factors."""
    vb0 = out.given("vb,0", site.basic, "m/s", "basic velocity of the place")
    factors = []
    for symbol, own, name in (
        ("cdir", site.direction, "direction_factor"),
        ("cseason", site.season, "season_factor"),
    ):
        figure = code.figure(name)
        if own is None:
            out.row(symbol, figure.value, "", figure.ref, figure.text)
        else:
            out.given(symbol, own, "", figure.text)
        factors.append(figure.value if own is None else own.value)
    speed = basic_velocity(vb0, *factors)
    inputs = ("cdir", "cseason", "vb,0")
    out.work("vb", speed, "m/s", "4.2(2)P, (4.1)", "cdir cseason vb,0", inputs)
    return speed


def _figure(out: Ledger, code: Code, symbol: str, name: str) -> float:
    """Enter a figure of the code, and its value."""
    figure = code.figure(name)
    out.row(symbol, figure.value, figure.unit, figure.ref, figure.text)
    return figure.value


def _orography(value: float) -> float:
    return finite("orography factor", value, 1.0, 5.0)
