"""Wind on the array: peak pressure, zones, and the worst pressure on what lies in it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import product

from selector.engineering.lines import Outside, Ref, Sheet
from selector.engineering.over import Hull, Interval, Words, over
from selector.engineering.place_hull import PlaceHull, Span, block_hull, roof_spans
from selector.engineering.registry import registry
from selector.engineering.tables import Code, Curve, CurveKey
from selector.engineering.wind_en import WindSite, peak_pressure, stated_pressure
from selector.engineering.zones_en import (
    GABLE,
    WINDS,
    Roof,
    Zone,
    is_flat,
    roof_zones,
    zone_depth_m,
)
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import LINKS, Ends, Open, Part, Plan, Row, Worst, ZoneRow
from selector.facts.actions.roof import Block, Shape, Top
from selector.facts.actions.rows import STATICS, Rows, laid_over, worse_of
from selector.model.job import Paper
from selector.model.truth import Word

CPE = ("cpe,10", "cpe,1")
HILL, OROGRAPHY = "site.hilltop", "site.orography"
RULE = ("tilt_limit", "gap_limit", "edge_gaps")  # of modules that lie parallel to the roof


@dataclass(frozen=True)
class Peak:
    """Peak velocity pressure in Pa, and its rows."""

    pa: Ends
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class ArrayWind:
    """Zones of the plane, and by link the worst pressure either way."""

    zones: tuple[ZoneRow, ...]
    lift: Mapping[str, Worst]
    press: Mapping[str, Worst]
    rows: tuple[Row, ...]


# --- peak pressure ---------------------------------------------------------------------


def peak_of(g: Gather, code: Code, top: Top | None) -> Peak | None:
    """Peak pressure worked out, or stated on paper; both differing, the worse counts."""
    worked = _worked(g, code, top)
    if not g.stated("site.peak_pressure"):
        return worked
    found = g.on_paper("site.peak_pressure")
    if found is None:
        return None
    rows = laid_over(stated_pressure(one) for one in found.both)
    if worked is None:
        return Peak(found.ends, rows)
    return _both(worked, found)


def _both(worked: Peak, found: Known) -> Peak:
    """Stated and worked out side by side; a conflict counts as the worse of them."""
    if worked.pa.low <= found.ends.low and found.ends.high <= worked.pa.high:
        return worked
    rows, worse = worse_of(worked.rows, "qp", worked.pa, found, "peak velocity pressure")
    return Peak(worse, rows)


def place_of(g: Gather) -> tuple[Known | None, frozenset[str] | None, str | None]:
    """Basic velocity on paper, terrain, and whether the building stands on a hill."""
    return g.on_paper("site.basic_wind"), g.words("site.terrain"), g.word(HILL)


def _worked(g: Gather, code: Code, top: Top | None) -> Peak | None:
    """Peak pressure by the way of the country; None, and open, where it does not lead there."""
    stated = g.stated("site.peak_pressure")
    way = code.variant("wind")
    if way.value != "log profile":
        if not stated:
            g.miss("site.peak_pressure")
        return None
    if stated and not g.stated("site.basic_wind"):
        return None
    speed, terrain, hill = place_of(g)
    orography = _orography(g, hill)
    if speed is None or terrain is None or orography is None or top is None:
        return None
    sheets: list[Sheet] = []
    inputs = product(speed.both, sorted(terrain), orography.both, top.height.both)
    for one, word, factor, height in inputs:
        sheet = peak_pressure(code, WindSite(one, word, factor), height)
        if isinstance(sheet, Outside):
            if not stated:
                g.stop(sheet.what, sheet.given, sheet.allowed, sheet.clause)
            return None
        sheets.append(sheet)
    hull = _peak_hull(code, speed.ends, sorted(terrain), orography.ends, top.height.ends)
    return Peak(hull, _with_parapet(top, laid_over(sheets)))


def _orography(g: Gather, hill: str | None) -> Known | None:
    """Orography factor: 1 on level ground, else on paper; None, and open, where it is not known.

    EN 1991-1-4:2005 clause 4.3.3.
    """
    if g.stated(OROGRAPHY):
        if hill == "none":
            about = Open(Word.OBSERVE, "disagree", HILL, "none", "some", "above")
            g.opens.append(replace(about, also=(OROGRAPHY,)))
        found = g.on_paper(OROGRAPHY, Paper.STATES_RESERVE)
        if found is None or hill != "some":
            return None
        return replace(found, ends=Ends(max(1.0, found.ends.low), found.ends.high))
    if hill == "some" and not g.stated("site.peak_pressure"):
        allowed = "level ground, and hills with an orography factor on paper"
        g.stop("hilltop", "some", allowed, "EN 1991-1-4 4.3.3, A.3")
    if hill != "none":
        return None
    return Known(Ends(1.0, 1.0), g.seen(HILL), "measured", g.where(HILL))


def _with_parapet(top: Top, rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """The rows with the reference height as the sum of roof and parapet, where there is one."""
    if top.parapet is None:
        return rows
    out = Rows()
    _heights(out, top.ridge, top.parapet)
    rule = Ref("7.2.3(1), figure 7.6", STATICS, STATICS)
    out.worked("z", top.height.ends, "m", rule, "h + hp", ("h", "hp"))
    for row in rows:
        out.rows.setdefault(row.symbol, row)
    return out.all


def _heights(out: Rows, ridge: Known, parapet: Known | None) -> None:
    where = Ref("given", ridge.source, ridge.status, ridge.origin)
    out.given("h", ridge.ends, "m", where, "height of the highest point")
    if parapet is not None:
        where = Ref("given", parapet.source, parapet.status, parapet.origin)
        out.given("hp", parapet.ends, "m", where, "height of the parapet")


def _peak_hull(code: Code, speed: Ends, terrain: list[str], orography: Ends, height: Ends) -> Ends:
    names = {
        "direction factor": "direction_factor",
        "season factor": "season_factor",
        "turbulence factor": "turbulence_factor",
        "air density": "air_density",
    }
    figures = {name: code.figure(id_).value for name, id_ in names.items()}
    box: dict[str, Interval | Words] = {
        "basic velocity": speed,
        "height": height,
        "terrain": tuple(terrain),
        "orography": orography,
        **{name: (value, value) for name, value in figures.items()},
    }
    found = over(registry(code)["peak pressure"], box)
    assert isinstance(found, Hull)
    return Ends(found.low, found.high)


# --- zones -----------------------------------------------------------------------------


def array_wind(
    g: Gather, code: Code, peak: Peak, shape: Shape, block: Block, areas: Mapping[str, float]
) -> ArrayWind | None:
    """Zones with their pressures; None, and a stop, where the tables end."""
    worst: dict[str, PlaceHull] = {}
    for link in LINKS:
        area = (areas[link],) * 2
        found = block_hull(code, (1.0, 1.0), shape.box, block.x, block.y, area)
        if isinstance(found, Outside):
            g.stop(found.what, found.given, found.allowed, found.clause)
            return None
        worst[link] = found
    zones = _zone_rows(code, peak, shape, block, areas)
    lift = {k: _worst(peak, zones, k, worst[k].up, "lift_pa") for k in LINKS}
    press = {k: _worst(peak, zones, k, worst[k].down, "press_pa") for k in LINKS}
    rows = _rows(code, peak, shape, areas, zones, lift, press)
    return ArrayWind(zones, lift, press, rows)


def _zone_rows(
    code: Code, peak: Peak, shape: Shape, block: Block, areas: Mapping[str, float]
) -> tuple[ZoneRow, ...]:
    tabled = {"cpe,10": code.figure("large_area").value, "cpe,1": code.figure("small_area").value}
    by_area: dict[str, tuple[Span, ...]] = {}
    for name, area in {**tabled, **areas}.items():
        found = roof_spans(code, shape.box, block.x, block.y, (area, area))
        assert not isinstance(found, Outside)  # the block would have been so too
        by_area[name] = found
    rows = []
    for many in zip(*by_area.values(), strict=True):
        spans = dict(zip(by_area, many, strict=True))
        one = many[0]
        touched = "yes" if one.surely else "perhaps" if one.reached else "no"
        up = {name: Ends(*span.up) for name, span in spans.items()}
        down = {name: Ends(*span.down) for name, span in spans.items()}
        lift = {k: _pressure(peak.pa, Ends(-up[k].high, -up[k].low)) for k in LINKS}
        press = {k: _pressure(peak.pa, down[k]) for k in LINKS}
        key = CurveKey(one.table, one.theta, one.zone, "negative")
        clause = code.wind.curves[key][0].ref.clause
        sides = up, down, lift, press
        row = ZoneRow(one.zone, one.wind, one.table, touched, *sides, clause, one.status)
        rows.append(row)
    return tuple(rows)


def _pressure(peak: Ends, coefficient: Ends) -> Ends:
    low, high = (max(0.0, c) for c in coefficient)
    return Ends(peak.low * low, peak.high * high)


def _worst(peak: Peak, zones: tuple[ZoneRow, ...], link: str, hull: Hull, which: str) -> Worst:
    """The zone behind the upper end; nothing where no wind acts this way."""
    reached = [z for z in zones if z.touched != "no"]
    top = max(reached, key=lambda z: getattr(z, which)[link].high)
    coefficient = Ends(hull.low, hull.high)
    pressure = _pressure(peak.pa, coefficient)
    acts = hull.high > 0
    return Worst(pressure, coefficient, top.name if acts else "", top.wind if acts else "")


# --- rows ------------------------------------------------------------------------------


def _rows(
    code: Code,
    peak: Peak,
    shape: Shape,
    areas: Mapping[str, float],
    zones: tuple[ZoneRow, ...],
    lift: Mapping[str, Worst],
    press: Mapping[str, Worst],
) -> tuple[Row, ...]:
    out = Rows(peak.rows)
    _measures(out, code, shape, areas)
    _working_rule(out, code)
    reached = [z for z in zones if z.touched != "no"]
    for zone in reached:
        _coefficients(out, code, shape, zone)
    source = code.wind.source
    for link in LINKS:
        for way, worst in (("up", lift[link]), ("down", press[link])):
            names = tuple(_name(z, way, link) for z in reached if _acts(z, way))
            cpe, ref = f"cpe,{way} {link}", Ref("7.2", source, "published")
            out.worked(cpe, worst.coefficient, "", ref, "worst zone touched", names)
            inputs = ("qp", cpe, "net pressure", *RULE)
            ref = Ref("5.2, (5.1)", source, "published")
            out.worked(f"w,{way} {link}", worst.pressure_pa, "Pa", ref, "qp |cpe|", inputs)
    return out.all


def _acts(zone: ZoneRow, way: str) -> bool:
    """Whether the zone may lift (`up`) or press (`down`)."""
    coefficients = zone.up if way == "up" else zone.down
    return any(c.low < 0 if way == "up" else c.high > 0 for c in coefficients.values())


def _name(zone: ZoneRow, way: str, what: str) -> str:
    flat = ", if flat" if zone.table.startswith("flat") else ""
    return f"{what} {zone.name} {way}, wind {zone.wind}{flat}"


def _measures(out: Rows, code: Code, shape: Shape, areas: Mapping[str, float]) -> None:
    """Measures of the roof, the lengths e, and the loaded areas."""
    measured = Ref("given", shape.source, "measured", shape.origin)
    pitch = Ref("given", shape.pitch.source, shape.pitch.status, shape.pitch.origin)
    _heights(out, shape.height, shape.parapet.height)
    out.given("length", shape.length, "m", measured, "along the eave")
    out.given("slope", shape.slope, "m", measured, "from eave to ridge")
    out.given("pitch", shape.pitch.ends, "deg", pitch)
    planes = "2 slope cos" if shape.form == "duopitch" else "slope cos"
    how = f"{planes}, across the building on plan"
    statics = Ref(STATICS, STATICS, STATICS)
    out.worked("depth", shape.depth, "m", statics, how, ("slope", "pitch"))
    rule = Ref("7.2.3(1)", code.wind.source, "published")
    for symbol, across, inputs in (
        ("e, wind onto the eave", shape.length, ("length", "h")),
        ("e, wind onto an end", shape.depth, ("depth", "h")),
    ):
        heights = shape.height.ends
        pairs = zip(across, heights, strict=True)
        e = Ends(*(zone_depth_m(b, h) for b, h in pairs))
        out.worked(symbol, e, "m", rule, f"min({inputs[0]}, 2 h)", inputs)
    for link in LINKS:
        area = Ends(areas[link], areas[link])
        out.given(f"A {link}", area, "m2", statics, "loaded area")
    for name in ("small_area", "large_area"):
        figure = code.figure(name)
        out.given(name, Ends(figure.value, figure.value), figure.unit, figure.ref, figure.text)


def _working_rule(out: Rows, code: Code) -> None:
    for name in RULE:
        figure = code.figure(name)
        out.given(name, Ends(figure.value, figure.value), figure.unit, figure.ref, figure.text)
    rule = code.arrays.clauses["net pressure"]
    out.given("net pressure", rule.text, "", rule.ref)


def _coefficients(out: Rows, code: Code, shape: Shape, zone: ZoneRow) -> None:
    """Tabled coefficients of one zone either way, with the plan and the rule they rest on."""
    theta = _theta(shape, zone)
    key = CurveKey(zone.table, theta, zone.name, "negative")
    curve = code.wind.curves[key]
    plan = code.wind.plans["flat" if zone.table.startswith("flat") else zone.table, theta]
    shown = f"plan {zone.table} {theta}"
    out.given(shown, f"{zone.table}, {theta} deg", "", plan.ref, "plan of the zones")
    gable = zone.wind in GABLE
    inputs = [shown, "e, wind onto an end" if gable else "e, wind onto the eave"]
    low, high = shape.pitch.ends
    first, how = "pitch", "by pitch"
    between = low != high or all(node.at != low for node in curve)
    if zone.table == "flat-parapet":
        first, how = "hp/h", "by the height of the parapet"
        between = _ratio(out, code, shape, curve)
    if between and zone.table != "flat-sharp":
        name = "between parapets" if first == "hp/h" else "between pitches"
        rule = code.wind.clauses[name]
        out.given(name, rule.text, "", rule.ref)
        inputs.append(name)
    ref = Ref(curve[0].ref.clause, curve[0].ref.source, zone.status)
    figure = Ref("7.2.1, figure 7.2", code.wind.source, "published")
    for way, both in (("up", zone.up), ("down", zone.down)):
        if not _acts(zone, way):
            continue
        parts = [_name(zone, way, part) for part in CPE]
        for symbol, part in zip(parts, CPE, strict=True):
            out.worked(symbol, both[part], "", ref, how, (first, *inputs), zone.name)
        for link in LINKS:
            how = "cpe,1 - (cpe,1 - cpe,10) log10 A"
            rests = (*parts, f"A {link}", "small_area", "large_area")
            name = _name(zone, way, link)
            out.worked(name, both[link], "", figure, how, rests, zone.name)


def _ratio(out: Rows, code: Code, shape: Shape, curve: Curve) -> bool:
    """Enter the height of the parapet over that of the roof; whether it lies between two rows."""
    (least, most), (low, high) = shape.box.parapet_m, shape.height.ends
    ratio = Ends(least / high, most / low)
    rule = Ref("table 7.2", code.wind.source, "published")
    out.worked("hp/h", ratio, "", rule, "below the first row it counts as none", ("hp", "h"))
    exact = ratio.low == ratio.high and any(node.at == ratio.low for node in curve)
    return ratio.high > curve[0].at and not exact


def _theta(shape: Shape, zone: ZoneRow) -> int:
    if zone.table.startswith("flat"):
        return 0
    if zone.wind in GABLE:
        return 90
    return 180 if shape.form == "monopitch" and zone.wind == "from behind" else 0


# --- picture ---------------------------------------------------------------------------


def plan_of(code: Code, shape: Shape, block: Block) -> Plan | None:
    """Zones in the middle of each measure, to be drawn; None where the tables end there."""
    measures = (shape.pitch.ends, shape.length, shape.depth, shape.height.ends)
    pitch, length, depth, height = (sum(ends) / 2 for ends in measures)
    roof = Roof(shape.form, pitch, length, depth, height, source=shape.source, status="measured")
    if shape.form == "flat" and not is_flat(code, roof):
        return None
    zones = roof_zones(code, roof)
    if isinstance(zones, Outside):
        return None
    parts: dict[str, tuple[Part, ...]] = {
        wind: tuple(
            Part(z.name, z.x0_m, z.x1_m, z.y0_m, z.y1_m)
            for z in zones
            if z.wind == wind and not z.empty
        )
        for wind in WINDS
    }
    exact = all(e.low == e.high for e in (shape.pitch.ends, shape.length, shape.slope))
    exact = exact and shape.height.ends.low == shape.height.ends.high
    array = Part("", block.x.low, block.x.high, block.y.low, block.y.high)
    return Plan(roof.length_m, roof.slope_m, parts, array, exact, _reach(code, shape))


def _reach(code: Code, shape: Shape) -> dict[str, tuple[Part, ...]]:
    """Zones by wind, each as large as the measures may make it; none where the tables end."""
    found: dict[tuple[str, int], list[Zone]] = {}
    ends = (shape.pitch.ends, shape.length, shape.depth, shape.height.ends)
    for pitch, length, depth, height in product(*ends):
        roof = Roof(shape.form, pitch, length, depth, height, source="", status="")
        zones = roof_zones(code, roof)
        if isinstance(zones, Outside):
            return {}
        for number, zone in enumerate(zones):
            if not zone.empty:
                found.setdefault((zone.wind, number), []).append(zone)
    parts: dict[str, tuple[Part, ...]] = dict.fromkeys(WINDS, ())
    for (wind, _), many in found.items():
        low = min(z.x0_m for z in many), min(z.y0_m for z in many)
        high = max(z.x1_m for z in many), max(z.y1_m for z in many)
        parts[wind] += (Part(many[0].name, low[0], high[0], low[1], high[1]),)
    return parts
