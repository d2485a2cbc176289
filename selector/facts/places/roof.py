"""A plane of a job as the layout takes it: outline, seams, what stands on it, zones of the wind."""

from collections.abc import Iterator, Mapping

from selector import units
from selector.facts.actions.gather import Gather
from selector.facts.actions.model import Ends, Loads, Open
from selector.facts.places.crossed import SPACING, seams_of
from selector.layout.faults import Fault, outline_faults
from selector.layout.model import Box, Divide, Keep, Margin, Roof, Seam, Zone
from selector.layout.outline import against_the_clock, along
from selector.model.job import Layout, Plane
from selector.model.quantity import Measured
from selector.model.truth import Word

METRE = units.parse("1 m", "length")
LINK = "fixing"  # the wind on one clamp


def roof_of(
    g: Gather, loads: Loads, layout: Layout | None
) -> tuple[Roof | None, tuple[Fault, ...]]:
    """The plane of an array; None, and open, where it cannot be laid out; bare where at fault."""
    plane = g.plane
    outline = plane.outline
    if outline is None:
        g.miss("plane.outline")
    elif not outline.exact:
        g.opens.append(Open(Word.OBSERVE, "inexact", "plane.outline", given=outline.seen))
    seams = _seams(g)
    if outline is None:
        return None, ()
    bare = Roof(plane.id, outline.corners, ())
    faults = tuple(outline_faults(bare))
    if faults or seams is None:
        return (bare if faults else None), faults
    corners = against_the_clock(outline.corners)
    lines = (*plane.lines, *(layout.lines if layout is not None else ()))
    divides = {line.id: Divide(line.id, line.up_the_slope, line.at) for line in lines}
    keeps = (*_objects(plane, _collar(g)), *_strips(plane, corners))
    margins = tuple(Margin(s.id, s.use, s.width, along(corners, s.along)) for s in plane.strips)
    zones = tuple(_zones(loads))
    return Roof(plane.id, corners, seams, keeps, margins, tuple(divides.values()), zones), ()


def _seams(g: Gather) -> tuple[Seam, ...] | None:
    """Seams from the left, each with how far off it may be; None, and open, where unknown."""
    plane, parallel = g.plane, g.word("plane.seam.parallel")
    if parallel is not None and parallel != "parallel":
        g.stop("seams", parallel, "parallel seams", "a layout by equal distances")
        return None
    if plane.seams is None:
        g.miss("plane.seams")
        return None
    if parallel is None:
        return None
    if not plane.seams.at and not isinstance(_spacing(plane), Measured):
        g.miss("plane.seam.spacing")
        return None
    return seams_of(plane) or None


def _spacing(plane: Plane) -> object:
    found = plane.observed.get(SPACING)
    return None if found is None else found.value


def _collar(g: Gather) -> int:
    """What clamps keep from a collar, with what tape and setting out may be off."""
    names = ("collar_distance", "setting_out_tolerance", "line_tolerance")
    return sum(g.base.numbers[name].value.places[0].high for name in names)


def _objects(plane: Plane, collar: int) -> Iterator[Keep]:
    """What stands on the plane; around a soldered collar no clamp stands, but a module may lie."""
    for o in plane.objects:
        box = Box(o.from_left, o.from_left + o.width, o.from_eave, o.from_eave + o.height)
        yield Keep(o.id, "obstacle", _grown(box, o.clear))
        if o.collar:
            yield Keep(f"{o.id}", "collar", _grown(box, max(o.clear, collar)))


def _strips(plane: Plane, corners: tuple[tuple[int, int], ...]) -> Iterator[Keep]:
    """Strips along the edges of a rectangle, to be drawn; their margins are what counts."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    whole = Box(min(xs), max(xs), min(ys), max(ys))
    if set(corners) != set(whole.corners):
        return
    for s in plane.strips:
        x0, x1, y0, y1 = whole.x0, whole.x1, whole.y0, whole.y1
        box = {
            "eave": Box(x0, x1, y0, y0 + s.width),
            "ridge": Box(x0, x1, y1 - s.width, y1),
            "left": Box(x0, x0 + s.width, y0, y1),
            "right": Box(x1 - s.width, x1, y0, y1),
        }[s.along]
        yield Keep(s.id, s.use, box)


def _grown(box: Box, by: int) -> Box:
    return Box(box.x0 - by, box.x1 + by, box.y0 - by, box.y1 + by)


# --- zones -------------------------------------------------------------------------------


def _zones(loads: Loads) -> Iterator[Zone]:
    """Zones of all winds as far as they may reach, with the net design pressure that lifts."""
    if loads.plan is None:
        return
    lift = design_lift(loads)
    for wind, parts in loads.plan.reach.items():
        for part in parts:
            sides = (part.x0, part.x1, part.y0, part.y1)
            box = Box(*(round(side * METRE) for side in sides))
            yield Zone(part.name, wind, box, lift.get((wind, part.name)))


def design_lift(loads: Loads) -> Mapping[tuple[str, str], float]:
    """Net design uplift on a clamp by wind and zone, in Pa; empty without a governing set.

    The governing set at the worst place, less the factor of wind times how much milder a zone is:
    exact while the same set governs, and never too low, since weight alone holds down.
    """
    sets, worst = loads.sets.get(LINK), loads.lift.get(LINK)
    governing = None if sets is None else sets.governing.get("uplift")
    if governing is None or worst is None or loads.gamma_wind is None:
        return {}
    most: dict[tuple[str, str], Ends] = {}
    for row in loads.zones:
        key = row.wind, row.name
        if key not in most or row.lift_pa[LINK].high > most[key].high:
            most[key] = row.lift_pa[LINK]
    top, gamma = worst.pressure_pa.high, loads.gamma_wind
    return {
        key: max(0.0, governing.value_pa.high - gamma * (top - ends.high))
        for key, ends in most.items()
    }
