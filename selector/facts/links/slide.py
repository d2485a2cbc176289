"""What slides down the slope of a laid-out array: on its clamps and on the fixed clips of a sheet.

Method: every term by itself, friction helps nothing, and snow on the bare sheet above is held back
by the array. The worst of the sets counts: weight with snow, and exceptional snow where it is kept.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from selector import units
from selector.engineering.lines import weakest
from selector.engineering.sliding import (
    Load,
    Sharing,
    Strip,
    Sums,
    held_back_n_per_m,
    sums,
    worst_line_n,
)
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import Ends, Loads
from selector.facts.actions.roof import code_of
from selector.layout.model import Placed
from selector.model.job import Worked

METRE, NEWTON = units.parse("1 m", "length"), units.parse("1 N", "force")
SHARES = {2: "slip_of_two_lines", 3: "slip_of_three_lines"}
HOW = "weight and snow along the slope, what the array holds back above it too"
FIGURES = ("slide_per_clamp", "slide_per_module_clamp", "slide_per_fixed_clip")


@dataclass(frozen=True)
class _Roof:
    """Measures of the slope in m: of the sheet, of the whole plane, from the eave to the array."""

    sheet: Ends
    slope: float
    below: float
    rows: float  # from the lowest module edge to the highest
    row: float  # of one module
    pitch: Ends


@dataclass(frozen=True)
class Factored:
    """Weight of the array and snow on plan in Pa, with the factors of one set on both."""

    gamma_g: float
    gamma_q: float
    array_pa: float
    snow_pa: float


class Slope:
    """The slope of a laid-out array, ready for any set; what is missing is open in `g`."""

    def __init__(self, g: Gather, placed: Placed, roof: _Roof):
        self.g, self.placed, self.roof = g, placed, roof
        self.sheet_pa = _sheet_pa(g)

    def under(self, one: Factored) -> dict[str, float]:
        """The largest of each figure under one set, at either end of the pitch, in N."""
        found: dict[str, float] = {}
        for pitch in self.roof.pitch:
            sheet = self.sheet_pa.high
            load = Load(pitch, one.snow_pa, sheet, one.array_pa, one.gamma_g, one.gamma_q)
            for name, force in _forces(self.g, load, self.roof, self.placed):
                found[name] = max(force, found.get(name, 0.0))
        return found


def slope_of(g: Gather, loads: Loads, placed: Placed) -> Slope | None:
    """None, and open, where the slope or what lies on it is not known."""
    roof = _roof(g, placed)
    if roof is None or code_of(g) is None or loads.snow_pa is None or loads.weight_pa is None:
        return None
    return Slope(g, placed, roof)


def slides(g: Gather, loads: Loads, placed: Placed) -> dict[str, Worked]:
    """Figures for clamps, module clamps and fixed clips; what is missing is open in `g`."""
    slope, code = slope_of(g, loads, placed), code_of(g)
    if slope is None or code is None or loads.snow_pa is None or loads.weight_pa is None:
        return {}
    grav, var = (code.figure(name).value for name in ("gamma_g_sup", "gamma_q"))
    weight = loads.weight_pa.high
    sets = [Factored(grav, var, weight, loads.snow_pa.high)]
    for extra in (loads.accidental_pa, loads.drift_pa):
        if extra is not None:
            sets.append(Factored(1.0, 1.0, weight, extra.high))
    found: dict[str, float] = {}
    for one in sets:
        for name, force in slope.under(one).items():
            found[name] = max(force, found.get(name, 0.0))
    statuses = [row.status for topic in ("snow", "weight") for row in loads.topics[topic].rows]
    status = weakest([*statuses, "judgement"])
    return {
        name: Worked(name, "force", math.ceil(force * NEWTON), HOW, status)
        for name, force in found.items()
    }


def _forces(g: Gather, load: Load, roof: _Roof, placed: Placed) -> Iterator[tuple[str, float]]:
    """The largest of each figure under one set of actions."""
    lines = g.array.rail_lines
    sharing = _sharing(g)
    bay = max((b.x - a.x for a, b in pairwise(placed.roof.seams)), default=0) / METRE
    gripped = max(bay, _widest_grip(placed) / METRE)
    above = max(0.0, roof.sheet.high - roof.below - roof.rows)
    beyond = max(0.0, roof.slope - roof.sheet.low)
    whole = sums(load, Strip(bay, gripped, roof.below, roof.rows, above, beyond))
    top = sums(load, Strip(bay, gripped, roof.below, roof.row, above, beyond))
    mean = worst_line_n(top.clamps_n, lines, sharing)
    yield "slide_per_clamp", sharing.in_line * mean
    widest = max(box.x1 - box.x0 for row in placed.rows for box in row.modules) / METRE
    yield (
        "slide_per_module_clamp",
        worst_line_n(_module(load, roof, above, beyond, widest), lines, sharing),
    )
    fixed = _fixed(g)
    if fixed:
        yield "slide_per_fixed_clip", whole.fixed_clips_n / fixed


def _module(load: Load, roof: _Roof, above: float, beyond: float, wide: float) -> float:
    """On all module clamps of one module of the top row."""
    strip = Strip(wide, wide, 0.0, roof.row, above, beyond)
    own: Sums = sums(load, Strip(wide, wide, 0.0, roof.row, 0.0, 0.0))
    return own.array_n + held_back_n_per_m(load, strip) * wide


# --- inputs ------------------------------------------------------------------------------


def _roof(g: Gather, placed: Placed) -> _Roof | None:
    sheet, pitch = g.measure("plane.sheet.length"), g.measure("plane.pitch")
    outline = g.plane.outline
    if sheet is None or pitch is None or outline is None:
        return None
    low, high = placed.rows[0].box, placed.rows[-1].box
    slope = max(y for _, y in outline.corners) / METRE
    rows, row = (high.y1 - low.y0) / METRE, (low.y1 - low.y0) / METRE
    return _Roof(sheet.ends, slope, low.y0 / METRE, rows, row, pitch.ends)


def _sheet_pa(g: Gather) -> Ends:
    """Weight of the sheet, as a bound that no seam roof passes."""
    bound = g.base.numbers["sheet_weight_bound"].value.places[0]
    return Ends(0.0, bound.high / units.parse("1 Pa", "pressure"))


def _fixed(g: Gather) -> int | None:
    """Fixed clips of one sheet; None, and open, where nobody counted them."""
    found: Known | None = g.measure("plane.clips.fixed") if g.stated("plane.clips.fixed") else None
    if found is None:
        g.miss("plane.clips.fixed")
        return None
    return int(found.ends.low)


def _sharing(g: Gather) -> Sharing:
    numbers = g.base.numbers
    part = {n: numbers[name].value.places[0].high / 1e6 for n, name in SHARES.items()}
    return Sharing(
        {1: 1.0, **part},
        numbers["slip_of_many_lines"].value.places[0].high / 1e6,
        numbers["slip_within_a_line"].value.places[0].high / 1e6,
    )


def _widest_grip(placed: Placed) -> int:
    """The widest width that one clamp serves: half way to the next clamps of its rail."""
    widest = 0
    for rail in placed.rails:
        xs = [c.x for piece in rail.pieces for c in piece.clamps]
        ends = (rail.pieces[0].x0, rail.pieces[-1].x1)
        for n, x in enumerate(xs):
            left = (xs[n - 1] + x) // 2 if n else ends[0]
            right = (x + xs[n + 1]) // 2 if n + 1 < len(xs) else ends[1]
            widest = max(widest, right - left)
    return widest
