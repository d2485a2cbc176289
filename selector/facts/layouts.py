"""Layouts: what drawn rail lines and clamps measure; nothing undrawn is invented."""

import itertools
from dataclasses import dataclass

from selector.facts.covers import module_records, record_fact
from selector.facts.parts import module_of
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import exact
from selector.model.fact import Fact, Reading, all_of
from selector.model.job import Array, Layout
from selector.model.quantity import Candidates, Measured, Place, Window


@dataclass(frozen=True)
class Drawing:
    """A drawn layout with the array it is drawn for."""

    plan: str
    layout: Layout
    array: Array
    length: int  # of a module up the slope
    width: int  # of the whole block along the eave
    file: str

    def fact(self, path: str, shown: str) -> Fact:
        """Something that is read off the drawing."""
        return Fact(path, self.plan, shown, f"{self.file}:{self.layout.line}", "drawn")


def drawing(view: View) -> Drawing | None:
    """The drawing of this subject, or None where something of it is missing."""
    plan, array, module = view.binding.plan, view.binding.array, module_of(view)
    if plan is None or plan.layout is None or array is None or module is None:
        return None
    upright = array.orientation == "portrait"
    length = module[1].length if upright else module[1].width
    file = view.job.file if view.job is not None else ""
    return Drawing(plan.id, plan.layout, array, length, array_width(array, module[1]), file)


def array_width(array: Array, module: schema.Module) -> int:
    """Width of a block of modules along the eave."""
    across = module.width if array.orientation == "portrait" else module.length
    return array.columns * across + (array.columns - 1) * array.gap


@reads("layout.rail_offset", "length")
def rail_offset(view: View) -> Reading:
    """Distance of each rail line to the nearer end of its module, one place a line."""
    path = "layout.rail_offset"
    drawn = drawing(view)
    if drawn is None:
        return view.unknown(path, "not asked")
    array, length = drawn.array, drawn.length
    slack = view.base.numbers["setting_out_tolerance"].value.places[0].high
    places = []
    for rail in drawn.layout.rails:
        height = rail.from_eave - array.from_eave
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
        return view.unknown(path, "not asked")
    total = drawn.width
    longest = 0
    for rail in drawn.layout.rails:
        words = drawn.layout.splices.get(rail.id, ())
        free = [c for c, w in zip(rail.cut_at, words, strict=True) if w != "rigid"]
        edges = [0, *sorted(free), total]
        longest = max([longest, *(b - a for a, b in itertools.pairwise(edges))])
    value = exact(longest, "length")
    return view.known(path, value, drawn.fact(path, str(value)))


@reads("layout.lines", "choice")
def lines_in_rows(view: View) -> Reading:
    """Whether every row has its rail lines, one of them near each end of the module."""
    path = "layout.lines"
    drawn = drawing(view)
    if drawn is None:
        return view.unknown(path, "not asked")
    array, length = drawn.array, drawn.length
    good = True
    for row in range(array.rows):
        start = array.from_eave + row * (length + array.gap)
        inside = [r.from_eave - start for r in drawn.layout.rails]
        lines = [h for h in inside if 0 <= h <= length]
        halves = {2 * h > length for h in lines}
        good = good and len(lines) == array.rail_lines and len(halves) == 2
    shown = "in every row" if good else "not in every row"
    return view.known(path, Candidates(frozenset({shown})), drawn.fact(path, shown))


@reads("layout.clamps_a_piece", "count")
def clamps_a_piece(view: View) -> Reading:
    """Clamps on the shortest rail piece: at least so many whole steps fit, at most one more."""
    path = "layout.clamps_a_piece"
    drawn = drawing(view)
    span = view.read("stack.rail_span")
    if drawn is None:
        return view.unknown(path, "not asked")
    if not isinstance(span.value, Measured):
        return view.unknown(path, "not asked", "", span.open_paths)
    total = drawn.width
    edges = [[0, *sorted(r.cut_at), total] for r in drawn.layout.rails]
    shortest = min(b - a for cuts in edges for a, b in itertools.pairwise(cuts))
    step = span.value.places[0]
    value = Measured("count", (Place(max(0, shortest // step.high), shortest // step.low + 1),))
    fact = drawn.fact(path, str(value))
    return view.resting(path, value, all_of([(frozenset({fact}),), span.because]))
