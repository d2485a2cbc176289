"""Layouts: what drawn rail lines and clamps measure; nothing undrawn is invented."""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from selector.engineering.seam_grid import grid_meets
from selector.facts.covers import module_records, record_fact
from selector.facts.parts import module_of
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import exact
from selector.layout.block import rows_of, width_of
from selector.layout.model import Row
from selector.model.fact import Fact, Reading, all_of
from selector.model.job import Array, Layout, RailLine
from selector.model.quantity import Candidates, Measured, Place, Unknown, Window

CORNER = "array.block"  # what is asked for where nobody said where the block lies


@dataclass(frozen=True)
class Drawing:
    """A drawn layout with the array it is drawn for."""

    plan: str
    layout: Layout
    array: Array
    from_eave: int  # lower left corner of the block
    from_left: int
    length: int  # of a module up the slope
    module_width: int  # of a module along the eave
    width: int  # of the whole block along the eave
    file: str

    @property
    def row(self) -> Row:
        """The lowest row of modules, from its own lower left corner."""
        array, size = self.array, (self.module_width, self.length)
        gap = array.break_gap or array.gap
        return rows_of((0, 0), size, (array.columns, 1), array.gap, array.breaks, gap)[0]

    def fact(self, path: str, shown: str) -> Fact:
        """Something that is read off the drawing."""
        return Fact(path, self.plan, shown, f"{self.file}:{self.layout.line}", "drawn")


def drawing(view: View) -> Drawing | None:
    """The drawing of this subject, or None where something of it is missing."""
    plan, array, module = view.binding.plan, view.binding.array, module_of(view)
    if plan is None or plan.layout is None or array is None or module is None:
        return None
    if array.from_eave is None or array.from_left is None:
        return None
    upright = array.orientation == "portrait"
    length, wide = module[1].length, module[1].width
    if not upright:
        length, wide = wide, length
    file = view.job.file if view.job is not None else ""
    corner, width = (array.from_eave, array.from_left), array_width(array, module[1])
    return Drawing(plan.id, plan.layout, array, *corner, length, wide, width, file)


def not_drawn(view: View, path: str) -> Reading:
    """Why nothing can be read off a drawing: the corner of the block, or the drawing itself."""
    array = view.binding.array
    placed = array is None or (array.from_eave is not None and array.from_left is not None)
    return view.unknown(path, "not asked", "", () if placed else (CORNER,))


def array_width(array: Array, module: schema.Module) -> int:
    """Width of a block of modules along the eave."""
    across = module.width if array.orientation == "portrait" else module.length
    gap = array.break_gap or array.gap
    return width_of(across, array.columns, array.gap, array.breaks, gap)


@reads("layout.rail_offset", "length")
def rail_offset(view: View) -> Reading:
    """Distance of each rail line to the nearer end of its module, one place a line."""
    path = "layout.rail_offset"
    drawn = drawing(view)
    if drawn is None:
        return not_drawn(view, path)
    array, length = drawn.array, drawn.length
    slack = view.base.numbers["setting_out_tolerance"].value.places[0].high
    places = []
    for rail in drawn.layout.rails:
        height = rail.from_eave - drawn.from_eave
        row = max(0, min(array.rows - 1, height // (length + array.gap)))
        inside = height - row * (length + array.gap)
        offset = min(inside, length - inside)
        places.append(Place(offset - slack, offset + slack))
    value = Measured("length", tuple(places))
    return view.known(path, value, drawn.fact(path, str(value)))


@reads("layout.module_zone", "window")
def module_zone(view: View) -> Reading:
    """Clamping zone of the module for this number of rail lines, from the nearer end."""
    path = "layout.module_zone"
    found = [r for r, ps in module_records(view) if all(p.bits.surely for p in ps)]
    if not found or view.binding.array is None or view.binding.array.rail_lines != 2:
        return view.unknown(path, "no record", "", ("stack.modules",))
    zones = [r.shape.zone for r in found if isinstance(r.shape, schema.ModuleRecord)]
    lows = [z.low for z in zones if z.low is not None]
    highs = [z.high for z in zones if z.high is not None]
    both = Window("length", max(lows, default=None), min(highs, default=None))
    return view.known(path, both, *map(record_fact, found))


@reads("layout.rigid_run", "length")
def rigid_run(view: View) -> Reading:
    """Longest rail run without a gap or a sliding splice, over all lines."""
    path = "layout.rigid_run"
    drawn = drawing(view)
    if drawn is None:
        return not_drawn(view, path)
    total = drawn.width
    longest = 0
    for rail in drawn.layout.rails:
        edges = [0, *sorted(_free_cuts(drawn.layout, rail)), total]
        longest = max([longest, *(b - a for a, b in itertools.pairwise(edges))])
    value = exact(longest, "length")
    return view.known(path, value, drawn.fact(path, str(value)))


@reads("layout.lines", "choice")
def lines_in_rows(view: View) -> Reading:
    """Whether every row has its rail lines, one of them near each end of the module."""
    path = "layout.lines"
    drawn = drawing(view)
    if drawn is None:
        return not_drawn(view, path)
    array, length = drawn.array, drawn.length
    good = True
    for row in range(array.rows):
        start = drawn.from_eave + row * (length + array.gap)
        inside = [r.from_eave - start for r in drawn.layout.rails]
        lines = [h for h in inside if 0 <= h <= length]
        halves = {2 * h > length for h in lines}
        good = good and len(lines) == array.rail_lines and len(halves) == 2
    shown = "in every row" if good else "not in every row"
    return view.known(path, Candidates(frozenset({shown})), drawn.fact(path, shown))


# --- the lines of the roof below ---------------------------------------------------------


def _crossed(view: View, path: str, names: list[str], drawn: Drawing) -> Reading:
    """What is crossed of drawn lines; where none is drawn, somebody must have looked for them."""
    shown = ", ".join(sorted(names))
    fact = drawn.fact(path, shown or "nothing")
    if names:
        return view.known(path, Candidates(frozenset({"a line"})), fact)
    steps = view.read("plane.steps")
    nothing = Candidates(frozenset({"nothing"}))
    if drawn.layout.lines:
        return view.known(path, nothing, fact)
    if view.words("plane.steps") == NO_STEPS:
        return Reading(nothing, all_of([steps.because, (frozenset({fact}),)]), path)
    asks = steps.open_paths if steps.value == Unknown("not asked") else ("layout.lines",)
    return view.unknown(path, "not drawn", drawn.plan, asks)


NO_STEPS = frozenset({"none"})


@reads("layout.rails_over", "choice")
def rails_over(view: View) -> Reading:
    """Lines up the slope that a rail crosses in one piece; a cut at the line splits it."""
    path = "layout.rails_over"
    drawn = drawing(view)
    if drawn is None:
        return not_drawn(view, path)
    slack = view.base.numbers["line_tolerance"].value.places[0].high
    tied = []
    for line in drawn.layout.lines:
        at = line.at - drawn.from_left
        if not line.up_the_slope or not 0 < at < drawn.width:
            continue
        for rail in drawn.layout.rails:
            if not any(abs(cut - at) <= slack for cut in _free_cuts(drawn.layout, rail)):
                tied.append(f"{line.id} ({rail.id})")
    return _crossed(view, path, tied, drawn)


def _free_cuts(layout: Layout, rail: RailLine) -> list[int]:
    """Cuts that leave the two pieces free to move."""
    words = layout.splices.get(rail.id, ())
    return [c for c, w in zip(rail.cut_at, words, strict=True) if w != "rigid"]


@reads("layout.modules_over", "choice")
def modules_over(view: View) -> Reading:
    """Lines and rail gaps that a module lies across."""
    path = "layout.modules_over"
    drawn = drawing(view)
    if drawn is None:
        return not_drawn(view, path)
    array, modules = drawn.array, drawn.row.modules
    cuts = {f"gap of {r.id}": c for r in drawn.layout.rails for c in _free_cuts(drawn.layout, r)}
    across = {n for n, c in cuts.items() if any(m.x0 < c < m.x1 for m in modules)}
    for line in drawn.layout.lines:
        if line.up_the_slope:
            at = line.at - drawn.from_left
            over = any(m.x0 < at < m.x1 for m in modules)
        else:
            number, rest = divmod(line.at - drawn.from_eave, drawn.length + array.gap)
            over = 0 <= number < array.rows and 0 < rest < drawn.length
        if over:
            across.add(line.id)
    return _crossed(view, path, sorted(across), drawn)


@reads("layout.clear_of_edges", "length")
def clear_of_edges(view: View) -> Reading:
    """Distance of the modules to eave and ridge, and to the verges of an outline that is drawn."""
    path = "layout.clear_of_edges"
    drawn = drawing(view)
    if drawn is None:
        return not_drawn(view, path)
    array = drawn.array
    eave = drawn.fact("array.from_eave", str(exact(drawn.from_eave, "length")))
    limit = view.base.numbers["edge_clear_distance"].value.places[0].low
    below = Place(drawn.from_eave, drawn.from_eave)
    if drawn.from_eave < limit:  # too near the eave, however long the sheet is
        return view.known(path, Measured("length", (below,)), eave)
    sheet = view.read("plane.sheet.length")
    if not isinstance(sheet.value, Measured):
        return view.unknown(path, "not asked", "", ("plane.sheet.length",))
    top = drawn.from_eave + array.rows * drawn.length + (array.rows - 1) * array.gap
    above = [Place(max(0, p.low - top), max(0, p.high - top)) for p in sheet.value.places]
    places = (below, min(above, key=lambda p: p.low), *_verges(view, drawn))
    value = Measured("length", places)
    return Reading(value, all_of([sheet.because, (frozenset({eave}),)]), path)


def _verges(view: View, drawn: Drawing) -> Iterator[Place]:
    """Distance to both ends of a rectangular plane; how wide it is may be off like any line."""
    outline = None if view.binding.plane is None else view.binding.plane.outline
    if outline is None:
        return
    xs, ys = (sorted({corner[n] for corner in outline.corners}) for n in (0, 1))
    if len(outline.corners) != 4 or len(xs) != 2 or len(ys) != 2:
        return
    slack = view.base.numbers["line_tolerance"].value.places[0].high
    right = drawn.from_left + drawn.width
    left, far = max(0, drawn.from_left - xs[0]), xs[1] - right
    yield Place(left, left)
    yield Place(max(0, far - slack), max(0, far + slack))


# --- without rails -----------------------------------------------------------------------


@reads("stack.seam_grid", "choice")
def seam_grid(view: View) -> Reading:
    """Whether the seams lie where clamps without rails may hold the modules.

    Along the seams, one must lie under each edge; across them, one in each zone of each module.
    """
    path = "stack.seam_grid"
    array, module, spacing = view.binding.array, module_of(view), view.read("plane.seam.spacing")
    if array is None or module is None:
        return view.unknown(path, "not asked")
    if not isinstance(spacing.value, Measured):
        return view.unknown(path, "not asked", "", ("plane.seam.spacing",))
    low, high = (f(spacing.value) / 1e6 for f in (_least, _most))
    play = view.base.numbers["setting_out_tolerance"].value.places[0].high
    part, shape = module
    upright = array.orientation == "portrait"
    across = shape.width if upright else shape.length
    along_side, cross_side = ("long", "short") if upright else ("short", "long")
    ways = [_edges(across, array, play)] if along_side in shape.sides else []
    if cross_side in shape.sides:
        ways += [_inner(zone, across, array) for zone in _zones(view, cross_side)]
    found = [grid_meets(low, high, way) for way in ways]
    words = {UNDER} if any(surely for surely, _ in found) else {BESIDE}
    if any(possibly for _, possibly in found):
        words |= {UNDER}
    shown = f"{array.columns} modules a row, clamped on their {shape.sides} sides"
    fact = view.part_fact(part, path, shown, "sides")
    because = all_of([spacing.because, (frozenset({fact}),)])
    return Reading(Candidates(frozenset(words)), because, path, "", ("plane.seam.spacing",))


UNDER, BESIDE = "under the zones", "beside the zones"


def _least(reading: Measured) -> int:
    return min(p.low for p in reading.places)


def _most(reading: Measured) -> int:
    return max(p.high for p in reading.places)


def _zones(view: View, side: str) -> list[Window]:
    """Clamping zones of the module on a side that two lines hold, by its good records."""
    shapes = [r.shape for r, _ in module_records(view)]
    return [
        s.zone
        for s in shapes
        if isinstance(s, schema.ModuleRecord) and s.sides == side and 2 in s.lines
    ]


def _edges(across: int, array: Array, play: int) -> list[tuple[float, float]]:
    """Where seams must lie below the edges of a row of modules, in metres."""
    pitch = across + array.gap
    inner = [i * pitch - array.gap / 2 for i in range(1, array.columns)]
    edges = [0.0, *inner, array.columns * pitch - array.gap]
    return [((at - play) / 1e6, (at + play) / 1e6) for at in edges]


def _inner(zone: Window, across: int, array: Array) -> list[tuple[float, float]]:
    """Where seams must cross a row of modules, near both ends of each, in metres."""
    low, high = zone.low or 0, across // 2 if zone.high is None else zone.high
    ends = [(low, high), (across - high, across - low)]
    starts = [i * (across + array.gap) for i in range(array.columns)]
    return [((start + a) / 1e6, (start + b) / 1e6) for start in starts for a, b in ends]


@reads("layout.clamps_a_piece", "count")
def clamps_a_piece(view: View) -> Reading:
    """Clamps on the shortest rail piece: at least so many whole steps fit, at most one more."""
    path = "layout.clamps_a_piece"
    drawn = drawing(view)
    span = view.read("stack.rail_span")
    if drawn is None:
        return not_drawn(view, path)
    if not isinstance(span.value, Measured):
        return view.unknown(path, "not asked", "", span.open_paths)
    total = drawn.width
    edges = [[0, *sorted(r.cut_at), total] for r in drawn.layout.rails]
    shortest = min(b - a for cuts in edges for a, b in itertools.pairwise(cuts))
    step = span.value.places[0]
    value = Measured("count", (Place(max(0, shortest // step.high), shortest // step.low + 1),))
    fact = drawn.fact(path, str(value))
    return view.resting(path, value, all_of([(frozenset({fact}),), span.because]))
