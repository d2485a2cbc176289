"""The second code, on trial: velocity pressure, panels parallel to a roof, combinations.

Source: ASCE/SEI 7-16 and 7-22, chapters 2, 26 and 29. Nothing here is better than engineer.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from selector.engineering.combine_en import (
    Actions,
    DesignSet,
    along_pa,
    checked,
    enter_actions,
    enter_sets,
    named_set,
    pressure_pa,
    uplift_pa,
)
from selector.engineering.lines import Given, Ledger, Outside, Sheet, finite, interpolate
from selector.engineering.tables import FIGURES, Curve, TrialEdition


@dataclass(frozen=True)
class TrialSite:
    """Basic speed in m/s, exposure B to D, height and elevation in m, topographic factor."""

    speed: Given
    exposure: str
    height: Given
    elevation: Given
    topographic: Given


@dataclass(frozen=True)
class Panel:
    """A panel parallel to the roof: coefficient of the roof there, effective area in m2, and how
    it lies, in degrees and m; `row_end_m` is its distance from the end of its row."""

    gcp: Given
    area: Given
    exposed: bool
    row_end_m: float
    tilt_deg: float
    above_roof_m: float
    chord_m: float
    gap_m: float
    edge_m: float


@dataclass(frozen=True)
class TrialSets:
    """All combinations with their lines; nothing here is better than engineer."""

    sets: tuple[DesignSet, ...]
    sheet: Sheet

    def set(self, name: str) -> DesignSet:
        """The set of this name; KeyError where there is none."""
        return named_set(self.sets, name)


def exposure_coefficient(
    height_m: float, lowest_m: float, share: float, gradient_m: float, exponent: float
) -> float:
    """Velocity pressure exposure coefficient K_z.

    ASCE/SEI 7-16 and 7-22 table 26.10-1, note: share (z/z_g)^(2/alpha), constant below 15 ft.
    """
    height = max(finite("height", height_m, 0, 2_000, "m"), lowest_m)
    return share * math.pow(height / gradient_m, 2 / exponent)


def elevation_factor(elevation_m: float, rate: float) -> float:
    """Ground elevation factor K_e.

    ASCE/SEI 7-16 table 26.9-1.
    """
    return math.exp(-rate * finite("elevation", elevation_m, -500, 9_000, "m"))


def velocity_pressure_pa(speed_m_s: float, share: float, factors: float) -> float:
    """Velocity pressure q_z in Pa.

    ASCE/SEI 7-16 and 7-22 equation (26.10-1) in SI.
    """
    speed = finite("basic wind speed", speed_m_s, 0, 150, "m/s")
    return share * finite("product of the K factors", factors, 0, 20) * speed**2


def equalization(curve: Curve, area_m2: float) -> float:
    """Array pressure equalization factor gamma_a.

    ASCE/SEI 7-16 figure 29.4-8: straight in the logarithm of the area, constant beyond its ends.
    """
    area = finite("effective area", area_m2, 1e-4, 1e6, "m2")
    low, high = curve[0], curve[-1]
    area = min(max(area, low.at), high.at)
    ends = [math.log10(x) for x in (area, low.at, high.at)]
    return interpolate(ends[0], ends[1], low.values[0], ends[2], high.values[0])


def velocity_pressure(edition: TrialEdition, site: TrialSite) -> Sheet | Outside:
    """Velocity pressure `qh` at the mean roof height, with every value on the way.

    ASCE/SEI 7-16 and 7-22 chapter 26; Outside above the gradient height or for another exposure.
    """
    constants = edition.exposures.get(site.exposure)
    if constants is None:
        allowed = "exposures " + ", ".join(edition.exposures)
        return Outside("exposure", f"`{site.exposure}`", allowed, "26.7.3")
    gradient, exponent = constants
    height = finite("height", site.height.value, 0, 2_000, "m")
    if height > gradient.value:
        allowed = f"up to {gradient.value:g} m"
        return Outside("height", f"{height:g} m", allowed, gradient.ref.clause)
    out = Ledger(edition.source)
    speed = out.given("V", site.speed, "m/s", "basic wind speed")
    out.given("z", site.height, "m", "mean roof height")
    figure = edition.figures
    names = {"Kz share": "exposure_share", "z,least": "lowest", "Ke rate": "elevation_rate"}
    for symbol, name in {**names, "q share": "speed_share"}.items():
        out.row(symbol, figure[name].value, figure[name].unit, figure[name].ref, figure[name].text)
    out.row("zg", gradient.value, "m", gradient.ref, "gradient height")
    out.row("alpha", exponent.value, "", exponent.ref, "exponent")
    kz = exposure_coefficient(
        height,
        figure["lowest"].value,
        figure["exposure_share"].value,
        gradient.value,
        exponent.value,
    )
    inputs = ("z", "zg", "alpha", "Kz share", "z,least")
    out.work("Kz", kz, "", "table 26.10-1", "share (z/zg)^(2/alpha)", inputs)
    out.given("elevation", site.elevation, "m", "of the ground above the sea")
    ke = elevation_factor(site.elevation.value, figure["elevation_rate"].value)
    out.work("Ke", ke, "", "table 26.9-1", "exp(-rate elevation)", ("elevation", "Ke rate"))
    kzt = out.given("Kzt", site.topographic, "", "topographic factor")
    factors = ["Kz", "Kzt", "Ke"]
    total = kz * finite("topographic factor", kzt, 1, 10) * ke
    if figure["directionality_in_q"].value:
        kd = figure["directionality"]
        out.row("Kd", kd.value, "", kd.ref, kd.text)
        total, factors = total * kd.value, [*factors, "Kd"]
    qh = velocity_pressure_pa(speed, figure["speed_share"].value, total)
    how = f"{figure['speed_share'].value:g} {' '.join(factors)} V^2"
    out.work("qh", qh, "Pa", "26.10.2, (26.10-1)", how, ("V", "q share", *factors))
    return out.sheet(trial=True)


def panel_pressure(edition: TrialEdition, site: TrialSite, panel: Panel) -> Sheet | Outside:
    """Wind pressure `p` on a panel parallel to the roof, in Pa; negative lifts.

    ASCE/SEI 7-16 and 7-22 clause 29.4.4, equation (29.4-7); Outside where its conditions fail.
    """
    outside = _conditions(edition, panel)
    if outside is not None:
        return outside
    pressure = velocity_pressure(edition, site)
    if isinstance(pressure, Outside):
        return pressure
    out = Ledger(edition.source, pressure)
    for name in ("tilt_limit", "height_limit", "chord_limit", "least_gap", "edge_heights"):
        figure = edition.figures[name]
        out.row(name, figure.value, figure.unit, figure.ref, figure.text)
    gcp = finite("coefficient of the roof", out.given("GCp", panel.gcp, ""), -10, 10)
    ends, edge = edition.equalization, edition.figures["edge_factor"]
    area = out.given("A", panel.area, "m2", "effective area")
    for node in ends:
        out.row(f"gamma_a at {node.at:.3g} m2", node.values[0], "", node.ref)
    gamma = equalization(ends, area)
    inputs = ("A", *(f"gamma_a at {node.at:.3g} m2" for node in ends))
    out.work("gamma_a", gamma, "", "figure 29.4-8", "straight in log10 A", inputs)
    row_end = finite("distance from the end of the row", panel.row_end_m, 0, 1_000, "m")
    near_end = panel.exposed and row_end <= edition.figures["edge_lengths"].value * panel.chord_m
    gamma_e = edge.value if near_end else 1.0
    out.row("gamma_E", gamma_e, "", edge.ref, edge.text if near_end else "not exposed at an end")
    value, inputs = out.lines["qh"].value, ("qh", "GCp", "gamma_E", "gamma_a")
    assert not isinstance(value, str)
    total = value * gcp * gamma_e * gamma
    if not edition.figures["directionality_in_q"].value:
        kd, place = edition.figures["directionality"], edition.figures["directionality_in_q"]
        out.row("Kd", kd.value, "", kd.ref, kd.text)
        out.row("place of Kd", "in the pressure", "", place.ref)
        total, inputs = total * kd.value, (*inputs, "Kd", "place of Kd")
    out.work("p", total, "Pa", "29.4.4, (29.4-7)", " ".join(inputs[:4]), inputs)
    return out.sheet()


def combine(edition: TrialEdition, a: Actions) -> TrialSets | Outside:
    """Combinations for strength (LRFD) and for allowable stress (ASD).

    ASCE/SEI 7-16 clauses 2.3.1 and 2.4.1; Outside for an edition whose factors are not kept.
    """
    checked(a)
    if "lrfd_w" not in edition.figures:
        return Outside("combinations", edition.id, "editions with their factors", "2.3.1, 2.4.1")
    sets = (*_uplift(edition, a), *_downward(edition, a))
    out = Ledger(edition.source)
    for name in FIGURES["combinations"]:
        figure = edition.figures[name]
        out.row(name, figure.value, "", figure.ref, figure.text)
    enter_actions(out, a, {})
    enter_sets(out, sets)
    return TrialSets(sets, out.sheet(trial=True))


def _uplift(edition: TrialEdition, a: Actions) -> Iterator[DesignSet]:
    f = edition.figures
    for name, clause, d, w, factors in (
        ("LRFD uplift", "2.3.1", "lrfd_uplift_d", f["lrfd_w"].value, ("lrfd_w",)),
        ("ASD uplift", "2.4.1", "asd_uplift_d", f["asd_w"].value, ("asd_w",)),
    ):
        how = f"{w:g} W,up - {f[d].value:g} G,min cos"
        value = uplift_pa(w, f[d].value, a.wind_up_pa, a.weight_min_pa, a.pitch_deg)
        inputs = (*factors, d, "W,up", "G,min", "pitch")
        yield DesignSet(name, clause, how, inputs, uplift_pa=value)


def _downward(edition: TrialEdition, a: Actions) -> Iterator[DesignSet]:
    f = {name: figure.value for name, figure in edition.figures.items()}
    both, asd = f["asd_both"], f["asd_w"]
    for name, clause, d, s, w, factors in (
        ("LRFD snow", "2.3.1", f["lrfd_d"], f["lrfd_s"], f["lrfd_w_with"], "lrfd_s lrfd_w_with"),
        ("LRFD wind", "2.3.1", f["lrfd_d"], f["lrfd_s_with"], f["lrfd_w"], "lrfd_s_with lrfd_w"),
        ("ASD snow", "2.4.1", 1.0, 1.0, 0.0, ""),
        ("ASD wind", "2.4.1", 1.0, 0.0, asd, "asd_w"),
        ("ASD both", "2.4.1", 1.0, both, both * asd, "asd_both asd_w"),
    ):
        used = (*(("lrfd_d",) if "LRFD" in name else ()), *factors.split())
        inputs = (*used, "G,max", "S", "W,down", "pitch")
        down = pressure_pa(a.pitch_deg, d * a.weight_max_pa, s * a.snow_pa, w * a.wind_down_pa)
        how = f"normal: {d:g} G,max + {s:g} S + {w:g} W,down"
        yield DesignSet(name, clause, how, inputs, pressure_pa=down)
        along = along_pa(a.pitch_deg, d * a.weight_max_pa, s * a.snow_pa)
        how, inputs = f"along: {d:g} G,max + {s:g} S", (*used, "G,max", "S", "pitch")
        yield DesignSet(f"{name}, slide", clause, how, inputs, along_pa=along)


def _conditions(edition: TrialEdition, panel: Panel) -> Outside | None:
    """The first condition of 29.4.4 that the panel does not meet."""
    limit = {k: edition.figures[k].value for k in edition.figures}
    edge = limit["edge_heights"] * finite("height above the roof", panel.above_roof_m, 0, 10, "m")
    tilt = abs(finite("angle of the panel to the roof", panel.tilt_deg, -90, 90, "deg"))
    at_most = (
        ("angle of the panel to the roof", tilt, limit["tilt_limit"], "deg"),
        ("height above the roof", panel.above_roof_m, limit["height_limit"], "m"),
        ("chord or spacing of the panels", panel.chord_m, limit["chord_limit"], "m"),
    )
    for name, value, most, unit in at_most:
        if finite(name, value, 0, 1_000, unit) > most:
            return Outside(name, f"{value:g} {unit}", f"up to {most:g} {unit}", "29.4.4")
    at_least = (
        ("gap between panels", panel.gap_m, limit["least_gap"]),
        ("distance to edge and ridge", panel.edge_m, edge),
    )
    for name, value, least in at_least:
        if finite(name, value, -1_000, 1_000, "m") < least:
            return Outside(name, f"{value:g} m", f"{least:g} m and more", "29.4.4")
    return None
