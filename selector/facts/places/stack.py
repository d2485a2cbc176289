"""What a stack allows where it is laid out: spans, runs, forces, clamping zones, clip distance."""

from dataclasses import dataclass

from selector import units
from selector.facts.checks import design, lowest_of
from selector.facts.covers import clamp_records, module_records, seam_parts, valid
from selector.facts.parts import module_of
from selector.facts.view import View
from selector.knowledge import schema
from selector.knowledge.base import Record
from selector.model.job import Stated
from selector.model.quantity import Candidates, Unknown, Window

NEWTON = units.parse("1 N", "force")
PASCAL = units.parse("1 Pa", "pressure")
STRONG = Candidates(frozenset({"strong"}))


@dataclass(frozen=True)
class Limits:
    """Limits of one stack on its plane, in micrometres, newtons and pascals.

    A figure that nobody knows is None: it is never a limit that holds.
    """

    span: int
    cantilever: int
    rigid_run: int
    capacity_n: float | None  # of one clamp against uplift
    stated_lift_pa: float | None  # net uplift that an engineer states for this array
    zone: Window | None  # of each rail line, from the nearer end of the module
    clip_distance: int  # zero where the clips are known to be strong
    stock: tuple[int, ...]


def limits_of(view: View) -> Limits | None:
    """Limits by the view of a stack; None for a stack without a rail."""
    rail, clamp = view.binding.rail, view.binding.clamp
    if rail is None or clamp is None or not isinstance(rail.shape, schema.Rail):
        return None
    assert isinstance(clamp.shape, schema.Clamp)
    strong = view.read("plane.clips.strength").value == STRONG
    stated = view.stated("net_uplift")
    paper = None if isinstance(stated, Unknown) else stated[0]
    return Limits(
        span=rail.shape.span,
        cantilever=rail.shape.cantilever,
        rigid_run=rail.shape.rigid_run,
        capacity_n=capacity_n(view),
        stated_lift_pa=paper.value / PASCAL if isinstance(paper, Stated) else None,
        zone=zone_of(view),
        clip_distance=0 if strong else clamp.shape.clip_distance,
        stock=tuple(rail.shape.stock_lengths),
    )


def capacity_n(view: View) -> float | None:
    """Design uplift of one clamp by the lowest record that may cover it; None without any."""
    tried = [
        (record, [*seam_parts(view, record, shape), valid(view, record)])
        for record, shape in clamp_records(view)
        if shape.outcome == "good"
    ]
    found = lowest_of(tried, _uplift)
    return None if found is None or not found[0] else found[0] / NEWTON


def _uplift(record: Record) -> int | None:
    assert isinstance(record.shape, schema.ClampRecord)
    return design(record.shape.uplift)


def zone_of(view: View) -> Window | None:
    """Clamping zone that all good records of the module share, for these sides and lines."""
    found = [r for r, parts in module_records(view) if all(p.bits.surely for p in parts)]
    shapes = [r.shape for r in found if isinstance(r.shape, schema.ModuleRecord)]
    if not shapes:
        return None
    lows = [s.zone.low or 0 for s in shapes]
    highs = [s.zone.high for s in shapes if s.zone.high is not None]
    return Window("length", max(lows), min(highs, default=None))


def module_size(view: View) -> tuple[int, int] | None:
    """Width along the eave and length up the slope of a module as it lies."""
    array, module = view.binding.array, module_of(view)
    if array is None or module is None:
        return None
    wide, high = module[1].width, module[1].length
    return (wide, high) if array.orientation == "portrait" else (high, wide)
