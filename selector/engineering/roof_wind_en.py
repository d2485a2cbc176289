"""Wind pressure on the places of a roof: coefficient by pitch, by area, worst of all winds.

Source: EN 1991-1-4:2005 clause 7.2, figure 7.2 and tables 7.2 to 7.4b.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from selector.engineering.lines import (
    BadInputError,
    Given,
    Ledger,
    Outside,
    Ref,
    Sheet,
    finite,
    interpolate,
    weakest,
)
from selector.engineering.tables import Clause, Code, Curve, CurveKey
from selector.engineering.wind_en import WindSite, peak_pressure
from selector.engineering.zones_en import (
    GABLE,
    Rectangle,
    Roof,
    Wind,
    Zone,
    is_flat,
    roof_zones,
    zone_depth_m,
)

SIGNS = ("negative", "positive")
LARGEST_AREA = 1e6


@dataclass(frozen=True)
class Coefficient:
    """cpe,10 and cpe,1 of one zone in one row of signs, and the rows they came from."""

    cpe10: float
    cpe1: float
    refs: tuple[Ref, ...]


@dataclass(frozen=True)
class ZoneWind:
    """One zone with its coefficients; a row of signs that the table does not have is None."""

    zone: Zone
    negative: Coefficient | None
    positive: Coefficient | None
    status: str  # of the weaker of both rows and of the plan


@dataclass(frozen=True)
class RoofWind:
    """Peak pressure and all zones of one plane."""

    code: Code
    roof: Roof
    sheet: Sheet
    zones: tuple[ZoneWind, ...]


@dataclass(frozen=True)
class Worst:
    """The worst pressure in one direction: coefficient, pressure, and where it comes from."""

    coefficient: float
    pressure_pa: float
    zones: tuple[str, ...]
    wind: Wind | None  # None: no wind presses this way


@dataclass(frozen=True)
class PlaceWind:
    """Wind on one place or element: `up` away from the roof, `down` onto it, both above zero."""

    up: Worst
    down: Worst
    sheet: Sheet


def by_area(cpe10: float, cpe1: float, area_m2: float, small_m2: float, large_m2: float) -> float:
    """Coefficient for a loaded area.

    EN 1991-1-4:2005 figure 7.2: straight in the logarithm of the area from 1 to 10 m2.
    """
    area = finite("loaded area", area_m2, 1e-6, LARGEST_AREA, "m2")
    if area <= small_m2:
        return cpe1
    if area >= large_m2:
        return cpe10
    return cpe1 - (cpe1 - cpe10) * math.log10(area / small_m2) / math.log10(large_m2 / small_m2)


def coefficient(curve: Curve, at: float) -> Coefficient | None:
    """Both coefficients at a pitch (or a height ratio); None past the ends of the row.

    EN 1991-1-4:2005 notes to tables 7.2 to 7.4: straight lines between values of one sign, and
    none across the flat roof from -5 to 5 degrees.
    """
    for node in curve:
        if node.at == at:
            return Coefficient(node.values[0], node.values[1], (node.ref,))
    for low, high in pairwise(curve):
        if low.at < at < high.at and not low.at < 0 < high.at:
            values = [
                interpolate(at, low.at, a, high.at, b)
                for a, b in zip(low.values, high.values, strict=True)
            ]
            return Coefficient(values[0], values[1], (low.ref, high.ref))
    return None


def roof_wind(code: Code, site: WindSite, roof: Roof) -> RoofWind | Outside:
    """Peak pressure and zones of one plane of a roof.

    EN 1991-1-4:2005 clause 7.2; the reference height is the highest point with its parapet.
    """
    zones = roof_zones(code, roof)
    if isinstance(zones, Outside):
        return zones
    height = Given(roof.height_m + roof.parapet_m, roof.source, roof.status)
    sheet = peak_pressure(code, site, height)
    if isinstance(sheet, Outside):
        return sheet
    at = axis(code, roof)
    found = []
    for zone in zones:
        rows = zone_rows(code, zone, at)
        if rows == (None, None):
            ends = [n.at for n in code.wind.curves[_key(zone, "negative")]]
            allowed = f"{min(ends):g} to {max(ends):g}"
            return Outside("pitch or parapet", f"{at:g}", allowed, zone.ref.clause)
        found.append(ZoneWind(zone, *rows, worth(code, zone, at, at)))
    out = Ledger(code.wind.source, sheet)
    sizes = {"length": roof.length_m, "depth": roof.depth_m, "h": roof.height_m}
    for symbol, size in sizes.items():
        out.given(symbol, Given(size, roof.source, roof.status), "m", "of the building")
    out.given("pitch", Given(roof.pitch_deg, roof.source, roof.status), "deg")
    for name in ("small_area", "large_area"):
        figure = code.figure(name)
        out.row(name, figure.value, figure.unit, figure.ref, figure.text)
    return RoofWind(code, roof, out.sheet(), tuple(found))


def axis(code: Code, roof: Roof) -> float:
    """Where the tables are read: pitch in degrees, of a flat roof the height of its parapet.

    EN 1991-1-4:2005 table 7.2: a parapet lower than its first row counts as none.
    """
    if not is_flat(code, roof):
        return roof.pitch_deg
    return roof.parapet_m / roof.height_m if roof.parapet_m else 0.0


def zone_coefficient(code: Code, key: CurveKey, at: float, area_m2: float) -> float | Outside:
    """Coefficient of a zone for a loaded area; `at` is a pitch, or the ratio of a parapet.

    EN 1991-1-4:2005 tables 7.2 to 7.4b; where a table has no row of these signs, the other one.
    """
    small, large = (code.figure(k).value for k in ("small_area", "large_area"))
    rows = [curve_at(code, CurveKey(key.roof, key.theta, key.zone, s), at) for s in SIGNS]
    row = rows[1] or rows[0] if key.signs == "positive" else rows[0] or rows[1]
    if row is None:
        curve = code.wind.curves[CurveKey(key.roof, key.theta, key.zone, "negative")]
        allowed = f"{curve[0].at:g} to {curve[-1].at:g}"
        return Outside("pitch or parapet", f"{at:g}", allowed, curve[0].ref.clause)
    return by_area(row.cpe10, row.cpe1, area_m2, small, large)


def zone_rows(code: Code, zone: Zone, at: float) -> tuple[Coefficient | None, Coefficient | None]:
    """Coefficients of a zone in both rows of signs."""
    return curve_at(code, _key(zone, "negative"), at), curve_at(code, _key(zone, "positive"), at)


def curve_at(code: Code, key: CurveKey, at: float) -> Coefficient | None:
    """One row of signs at a pitch or ratio; a parapet below the first ratio counts as none.

    EN 1991-1-4:2005 table 7.2.
    """
    curve = code.wind.curves.get(key, ())
    if key.roof == "flat-parapet" and curve and 0 <= at < curve[0].at:
        curve = code.wind.curves[CurveKey("flat-sharp", key.theta, key.zone, key.signs)]
        at = 0.0
    return coefficient(curve, at)


def place_wind(wind: RoofWind, x_m: float, y_m: float, area_m2: float) -> PlaceWind:
    """Worst wind on one place of the plane, for the loaded area of the link that is checked.

    EN 1991-1-4:2005 clause 7.2: all winds, both rows of signs; the worst zone touched counts.
    """
    box = (x_m, x_m, y_m, y_m)
    return element_wind(wind, box, area_m2, worst_touched=True)


def element_wind(
    wind: RoofWind, box: Rectangle, area_m2: float, *, worst_touched: bool = False
) -> PlaceWind:
    """Worst wind on a rectangle of the plane, x0, x1, y0, y1 in m.

    Area mean over the zones it lies in, each coefficient at the whole area; with `worst_touched`
    (pieces at the edge of an array) the worst zone counts for the whole.
    """
    _on_the_plane(wind.roof, box)
    small, large = (wind.code.figure(k).value for k in ("small_area", "large_area"))
    touched = [found for found in wind.zones if found.zone.touches(box)]
    cases = []
    for group, shares in _groups(touched, box, worst_touched):
        for signs in SIGNS:
            value = 0.0
            for share, found in zip(shares, group, strict=True):
                row = _row(found, signs)
                value += share * by_area(row.cpe10, row.cpe1, area_m2, small, large)
            cases.append(_Case(value, group, signs))
    low, high = min(cases, key=_value), max(cases, key=_value)
    out = Ledger(wind.code.wind.source, wind.sheet)
    out.row("A", area_m2, "m2", Ref("statics", "statics", "statics"), "loaded area of this link")
    names = "; ".join(f"{found.zone.name} {found.zone.wind}" for found in touched)
    status = weakest(found.status for found in touched)
    out.row("zones", names, "", Ref("7.2.3 to 7.2.5", wind.code.wind.source, status), "touched")
    up, down = _worst(out, wind, "up", low), _worst(out, wind, "down", high)
    return PlaceWind(up, down, out.sheet())


@dataclass(frozen=True)
class _Case:
    """One wind with one row of signs on the zones that the element lies in."""

    value: float
    group: Sequence[ZoneWind]
    signs: str


def _value(case: _Case) -> float:
    return case.value


def _groups(
    found: Sequence[ZoneWind], box: Rectangle, worst_touched: bool
) -> Iterator[tuple[Sequence[ZoneWind], Sequence[float]]]:
    """Zones that count together, with their shares: for each wind all, or each by itself."""
    by_wind: dict[Wind, list[ZoneWind]] = {}
    for one in found:
        by_wind.setdefault(one.zone.wind, []).append(one)
    for zones in by_wind.values():
        areas = [z.zone.shared_m2(box) for z in zones]
        total = sum(areas)
        if worst_touched or total == 0:
            yield from (([z], [1.0]) for z in zones)
        else:
            inside = [(z, a / total) for z, a in zip(zones, areas, strict=True) if a > 0]
            yield [z for z, _ in inside], [share for _, share in inside]


def _worst(out: Ledger, wind: RoofWind, way: str, case: _Case) -> Worst:
    """Enter the coefficient that counts in one direction, and the pressure.

    It rests on all zones that the place touches: none of them may be worse than its row says.
    """
    value, direction = case.value, case.group[0].zone.wind
    clause, symbol = "7.2.1, figure 7.2", f"cpe,{way}"
    if (value >= 0) if way == "up" else (value <= 0):
        out.work(symbol, 0.0, "", clause, f"no wind presses {way}", ("zones",))
        out.work(f"w,{way}", 0.0, "Pa", "5.2, (5.1)", f"qp |cpe,{way}|", ("qp", symbol))
        return Worst(0.0, 0.0, (), None)
    across = "depth" if direction in GABLE else "length"
    zone, h = case.group[0].zone, wind.roof.height_m
    out.row(f"plan {way}", zone.table, "", zone.ref, "plan of the zones")
    e = zone_depth_m(wind.roof.depth_m if direction in GABLE else wind.roof.length_m, h)
    out.work(f"e {way}", e, "m", "7.2.3(1)", f"min({across}, 2 h)", (across, "h"))
    inputs = ["zones", "A", "small_area", "large_area"]
    for found in case.group:
        row, name = _row(found, case.signs), found.zone.name
        shown = f"zone {name}, wind {direction}"
        where = (f"plan {way}", f"e {way}", "pitch")
        out.work(f"zone {name} {way}", shown, "", zone.ref.clause, "where it lies", where)
        inputs.append(f"zone {name} {way}")
        for part, number in (("cpe,10", row.cpe10), ("cpe,1", row.cpe1)):
            label = f"{part} {name} {way}"
            out.row(label, number, "", joined(wind.code, found.zone, row), f"{case.signs} row")
            inputs.append(label)
    how = "cpe,1 - (cpe,1 - cpe,10) log10 A" + (", mean" if len(case.group) > 1 else "")
    out.work(symbol, value, "", clause, how, tuple(inputs))
    pressure = abs(value) * wind.sheet.value("qp")
    out.work(f"w,{way}", pressure, "Pa", "5.2, (5.1)", f"qp |cpe,{way}|", ("qp", symbol))
    names = tuple(dict.fromkeys(z.zone.name for z in case.group))
    return Worst(value, pressure, names, direction)


def joined(code: Code, zone: Zone, row: Coefficient) -> Ref:
    """What a coefficient is worth: its rows, and between two of them the rule that joins them."""
    first = row.refs[0]
    if len(row.refs) == 1:
        return first
    rule = _rule(code, zone)
    status = weakest([r.status for r in row.refs] + [rule.ref.status])
    return Ref(f"{first.clause}, {rule.ref.clause}", first.source, status, first.origin)


def worth(code: Code, zone: Zone, low: float, high: float) -> str:
    """Weakest status of everything that the coefficients of a zone rest on over an interval."""
    statuses = [zone.ref.status]
    for signs in SIGNS:
        for at in (low, high):
            row = curve_at(code, _key(zone, signs), at)
            statuses += [joined(code, zone, row).status] if row else []
        curve = code.wind.curves.get(_key(zone, signs), ())
        statuses += [node.ref.status for node in curve if low <= node.at <= high]
    if low < high:
        statuses.append(_rule(code, zone).ref.status)
    return weakest(statuses)


def _rule(code: Code, zone: Zone) -> Clause:
    return code.wind.clauses["between parapets" if "flat" in zone.table else "between pitches"]


def _key(zone: Zone, signs: str) -> CurveKey:
    return CurveKey(zone.table, zone.theta, zone.name, signs)


def _row(found: ZoneWind, signs: str) -> Coefficient:
    """The row of these signs; where the table has only the other one, that."""
    first, second = found.negative, found.positive
    if signs == "positive":
        first, second = second, first
    row = first or second
    assert row is not None
    return row


def _on_the_plane(roof: Roof, box: Rectangle) -> None:
    x0, x1, y0, y1 = (finite("place", value, -1e4, 1e4, "m") for value in box)
    slack = 1e-9
    if not (
        -slack <= x0 <= x1 <= roof.length_m + slack and -slack <= y0 <= y1 <= roof.slope_m + slack
    ):
        plane = f"0 to {roof.length_m:g} m along the eave, 0 to {roof.slope_m:g} m up the slope"
        raise BadInputError(f"place {x0:g} to {x1:g}, {y0:g} to {y1:g} m; expected it on {plane}")
