"""Wind on a place whose measures are intervals: every zone it may lie in, in every wind.

Zones are found at all ends of the roof's measures: every edge of a zone moves one way with each.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from selector.engineering.lines import BadInputError, Outside, weakest
from selector.engineering.over import Hull, Interval, interval, over
from selector.engineering.registry import coefficient_formula
from selector.engineering.roof_wind_en import worth
from selector.engineering.tables import Code, CurveKey
from selector.engineering.zones_en import Rectangle, Roof, Wind, Zone, roof_zones


@dataclass(frozen=True)
class RoofBox:
    """A roof as it was measured: degrees and metres, each from and to."""

    form: str
    pitch_deg: Interval
    length_m: Interval
    depth_m: Interval
    height_m: Interval
    parapet_m: Interval = (0.0, 0.0)


@dataclass(frozen=True)
class Span:
    """One zone that the place may lie in, with the ranges of its coefficient either way."""

    zone: str
    wind: Wind
    up: Interval  # of the lower of both rows of signs
    down: Interval  # of the higher
    status: str  # of the weakest row within reach
    table: str
    theta: int
    surely: bool  # the place touches it whatever the measures are
    reached: bool  # the place may touch it


@dataclass(frozen=True)
class PlaceHull:
    """Pressures away from the roof and onto it, in Pa, with all zones that they may come from."""

    up: Hull
    down: Hull
    spans: tuple[Span, ...]

    @property
    def status(self) -> str:
        """What the weakest coefficient within reach is worth."""
        return weakest(span.status for span in self.spans)


def place_hull(
    code: Code, peak_pa: Interval, roof: RoofBox, x_m: Interval, y_m: Interval, area_m2: Interval
) -> PlaceHull | Outside:
    """Range of the worst wind on a place; wider than need be where zones hang together.

    EN 1991-1-4:2005 clause 7.2: all winds, both rows of signs, every zone within reach.
    """
    return _hull(code, peak_pa, roof, (*x_m, *y_m), area_m2, whole=False)


def block_hull(
    code: Code, peak_pa: Interval, roof: RoofBox, x_m: Interval, y_m: Interval, area_m2: Interval
) -> PlaceHull | Outside:
    """Range of the worst wind on pieces of one loaded area anywhere in a block of the roof.

    EN 1991-1-4:2005 clause 7.2: the worst zone that the block touches counts for each piece. At
    least what the zones give that it touches whatever the measures are.
    """
    return _hull(code, peak_pa, roof, (*x_m, *y_m), area_m2, whole=True)


def touched_names(
    code: Code, roof: RoofBox, x_m: Interval, y_m: Interval
) -> frozenset[str] | Outside:
    """Names of all zones that a block may touch, in every wind, in m from the left and the eave.

    EN 1991-1-4:2005 figures 7.6 to 7.8.
    """
    _checked_place(roof, (*x_m, *y_m))
    found: set[str] = set()
    for piece in pieces(code, roof):
        corners = _corners(code, piece)
        if isinstance(corners, Outside):
            return corners
        widest = map(_widest, zip(*corners, strict=True))
        found |= {zone.name for zone in widest if zone.touches((*x_m, *y_m))}
    return frozenset(found)


def roof_spans(
    code: Code, roof: RoofBox, x_m: Interval, y_m: Interval, area_m2: Interval
) -> tuple[Span, ...] | Outside:
    """All zones of the roof, whether a block reaches them or not.

    EN 1991-1-4:2005 clause 7.2; twice where the roof may be flat or pitched.
    """
    spans: list[Span] = []
    for piece in pieces(code, roof):
        found = _spans(code, piece, (*x_m, *y_m), area_m2, every=True)
        if isinstance(found, Outside):
            return found
        spans += found
    return tuple(spans)


def _hull(
    code: Code, peak_pa: Interval, roof: RoofBox, box: Rectangle, area_m2: Interval, *, whole: bool
) -> PlaceHull | Outside:
    """Hull for a place somewhere in a box, or for the worst place of the whole box."""
    _checked(peak_pa, roof, box)
    spans: list[Span] = []
    up: list[Interval] = []
    down: list[Interval] = []
    for piece in pieces(code, roof):
        found = _spans(code, piece, box, area_m2)
        if isinstance(found, Outside):
            return found
        if not found:
            x0, x1, y0, y1 = box
            shown = f"{x0:g} to {x1:g}, {y0:g} to {y1:g} m"
            raise BadInputError(f"place {shown} lies nowhere on this roof")
        sure = [[s for s in found if s.wind == wind] for wind in {s.wind for s in found}]
        sure += [[s] for s in found if whole and s.surely]
        most = min(max(s.up[1] for s in one) for one in sure)
        up.append((min(s.up[0] for s in found), most))
        least = max(min(s.down[0] for s in one) for one in sure)
        down.append((least, max(s.down[1] for s in found)))
        spans += found
    lift = (-max(u[1] for u in up), -min(u[0] for u in up))
    press = (min(d[0] for d in down), max(d[1] for d in down))
    return PlaceHull(_pressure(peak_pa, lift), _pressure(peak_pa, press), tuple(spans))


def _checked(peak_pa: Interval, roof: RoofBox, box: Rectangle) -> None:
    """BadInputError for an interval without sense."""
    interval("peak pressure", peak_pa, "Pa", 0.0)
    _checked_place(roof, box)


def _checked_place(roof: RoofBox, box: Rectangle) -> None:
    for name, ends in (("place along the eave", box[:2]), ("place up the slope", box[2:])):
        interval(name, ends, "m")
    interval("pitch of the roof", roof.pitch_deg, "deg")
    for name, ends in (
        ("length", roof.length_m),
        ("depth", roof.depth_m),
        ("height", roof.height_m),
        ("parapet", roof.parapet_m),
    ):
        interval(f"{name} of the roof", ends, "m")


def _pressure(peak_pa: Interval, coefficient: Interval) -> Hull:
    low, high = (max(0.0, c) for c in coefficient)
    return Hull(peak_pa[0] * low, peak_pa[1] * high, True)


def pieces(code: Code, roof: RoofBox) -> Iterator[RoofBox]:
    """The roof below and from the pitch at which it stops being flat."""
    limit = code.figure("flat_below").value
    low, high = roof.pitch_deg
    if low < limit <= high:
        yield replace(roof, pitch_deg=(low, limit - 1e-9))
        yield replace(roof, pitch_deg=(limit, high))
    else:
        yield roof


def _spans(
    code: Code,
    roof: RoofBox,
    box: Rectangle,
    area_m2: Interval,
    *,
    every: bool = False,
) -> list[Span] | Outside:
    """Every zone that the place may touch, or every zone, with the hull of its coefficients."""
    corners = _corners(code, roof)
    if isinstance(corners, Outside):
        return corners
    at = roof.pitch_deg
    if corners[0][0].table.startswith("flat"):
        (least, most), (low, high) = roof.parapet_m, roof.height_m
        at = least / high, most / low
    found = []
    for same in zip(*corners, strict=True):
        widest = _widest(same)
        reached = widest.touches(box)
        if not reached and not every:
            continue
        surely = all(z.touches(box) for z in same)
        span = _span(code, widest, at, area_m2, surely=surely, reached=reached)
        if isinstance(span, Outside):
            return span
        found.append(span)
    return found


def _widest(same: tuple[Zone, ...]) -> Zone:
    """One zone as far as it reaches at any end of the roof's measures."""
    return replace(
        same[0],
        x0_m=min(z.x0_m for z in same),
        x1_m=max(z.x1_m for z in same),
        y0_m=min(z.y0_m for z in same),
        y1_m=max(z.y1_m for z in same),
    )


def _corners(code: Code, roof: RoofBox) -> list[tuple[Zone, ...]] | Outside:
    """The zones of the roof at all ends of its measures."""
    corners: list[tuple[Zone, ...]] = []
    for pitch, length, depth, height in product(
        roof.pitch_deg, roof.length_m, roof.depth_m, roof.height_m
    ):
        one = Roof(
            roof.form,
            pitch,
            length,
            depth,
            height,
            roof.parapet_m[1],
            source="a corner of the box",
            status="measured",
        )
        zones = roof_zones(code, one)
        if isinstance(zones, Outside):
            return zones
        corners.append(zones)
    return corners


def _span(
    code: Code, zone: Zone, at: Interval, area_m2: Interval, *, surely: bool, reached: bool
) -> Span | Outside:
    """One zone with the hull of both rows of signs."""
    hulls = []
    for signs in ("negative", "positive"):
        key = CurveKey(zone.table, zone.theta, zone.name, signs)
        hull = over(coefficient_formula(code, key), {"at": at, "area": area_m2})
        if isinstance(hull, Outside):
            return hull
        hulls.append(hull)
    lows, highs = [h.low for h in hulls], [h.high for h in hulls]
    return Span(
        zone.name,
        zone.wind,
        up=(min(lows), min(highs)),
        down=(max(lows), max(highs)),
        status=worth(code, zone, *at),
        table=zone.table,
        theta=zone.theta,
        surely=surely,
        reached=reached,
    )
