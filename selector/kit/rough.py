"""A rough count from rows and columns where no layout is possible yet. It proves nothing.

The quick formula of the trade, common practice, no source: clamps on a rail piece of length L with
ends c beyond the outer clamps and clamps e apart are floor((L - 2c) / e) + 1, two at least.
"""

from dataclasses import dataclass, replace

from selector.kit.chosen import Chosen
from selector.kit.counts import Counts, Tally
from selector.knowledge import schema
from selector.model.job import Array, Plane
from selector.model.quantity import Measured


@dataclass(frozen=True)
class Rough:
    """Counts, and the figures behind the clamps in micrometres."""

    counts: Counts
    row: int  # length of a rail line
    piece: int
    end: int
    apart: int
    measured: bool  # whether the seams were; else clamps stand as far apart as the rail allows


def rough(chosen: Chosen, array: Array, plane: Plane, allowance: int) -> Rough:
    """Counts of a block that nobody has laid out; a rail is longer by `allowance` at each end."""
    module = chosen.module.shape
    assert isinstance(module, schema.Module)
    upright = array.orientation == "portrait"
    wide, long = (module.width, module.length) if upright else (module.length, module.width)
    n, rows, lines = array.columns, array.rows, array.rows * array.rail_lines
    width = n * wide + (n - 1) * array.gap
    row = width + 2 * allowance
    rail = chosen.rail.shape if chosen.rail is not None else None
    splits, end, apart, measured = 0, 0, wide + array.gap, False
    if isinstance(rail, schema.Rail):
        splits = min(-(-row // rail.rigid_run) - 1, n - 1)
        end = rail.cantilever
        apart, measured = _apart(array, plane, rail.span)
    piece = row // (splits + 1)
    each = max(2, (piece - 2 * end) // apart + 1) if rail is not None else n + 1
    counts = Counts(
        modules=(Tally(n, rows),),
        clamps=(Tally(each, lines * (splits + 1)),),
        pieces=lines * (splits + 1),
        run=lines * row,
        rigid=(),
        sliding=0,
        gaps=lines * splits,
        mids=(Tally(n - 1 - splits, lines, n),) if n - 1 > splits else (),
        ends=(Tally(2 * (1 + splits), lines, 1 + splits),),
        breaks=rows * splits,
        cables=((width, rows),),
        area=rows * long * (width - splits * array.gap),
        parts=((piece, lines * (splits + 1)),),
        bars=None,
    )
    if chosen.slot("cross") is not None:
        counts = _second_layer(counts, array, long)
    return Rough(counts, row, piece, end, apart, measured)


def _second_layer(counts: Counts, array: Array, long: int) -> Counts:
    """Upper rails on each column over all lower lines; they hold the modules."""
    each, rows = array.rail_lines, array.rows
    upper = each * array.columns
    return replace(
        counts,
        upper=(Tally(each, array.columns),),
        upper_run=upper * (rows * long + (rows - 1) * array.gap),
        crossings=(Tally(rows * array.rail_lines, upper),),
        mids=(Tally(rows - 1, upper, rows),) if rows > 1 else (),
        ends=(Tally(2, upper, 1),),
    )


def _apart(array: Array, plane: Plane, span: int) -> tuple[int, bool]:
    """Clamp spacing: so many seams as the drawing wants and the rail spans; else the span."""
    observed = plane.observed.get("plane.seam.spacing")
    value = observed.value if observed is not None else None
    if not isinstance(value, Measured):
        return span, False
    seam = min(place.low for place in value.places)  # narrow seams: more clamps rather than fewer
    wanted = 2 if array.clamps == "every second seam" else 1
    return seam * (wanted if wanted * seam <= span else 1), True
