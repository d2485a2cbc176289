"""What is wrong with a plane and the modules on it: what cannot be, and what may not be there.

What cannot be (an outline that crosses itself, a module outside it) is bad input. What may not be
(a module over a chimney, across a movement joint, in a strip that stays free) is a place to leave.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from selector.layout.model import Box, Roof, Row
from selector.layout.outline import area2, clear_of, crossing, holds_box

Cannot = Literal["crosses itself", "no area", "outside", "on another array", "no seam"]
MayNot = Literal["obstacle", "edge", "fire", "walkway", "collar", "across"]


@dataclass(frozen=True)
class Fault:
    """One fault: its kind, what it is about, and where it is."""

    kind: Cannot | MayNot
    about: tuple[str, ...]
    box: Box
    missing: int = 0  # by how much it fails, where that is a length

    @property
    def possible(self) -> bool:
        """Whether it can be drawn like this at all."""
        return self.kind in {"obstacle", "edge", "fire", "walkway", "collar", "across"}


def outline_faults(roof: Roof) -> Iterator[Fault]:
    """Why an outline cannot be."""
    found = crossing(roof.outline)
    if found is not None:
        corners = [corner for edge in found for corner in edge]
        yield Fault("crosses itself", (roof.plane,), _around(corners))
    elif area2(roof.outline) == 0:
        yield Fault("no area", (roof.plane,), _around(list(roof.outline)))


def module_faults(roof: Roof, rows: tuple[Row, ...]) -> Iterator[Fault]:
    """Modules outside the plane, over what stands on it, too near an edge, across a line."""
    for row in rows:
        for number, box in enumerate(row.modules, 1):
            name = (str(row.number), str(number))
            if not holds_box(roof.outline, box):
                yield Fault("outside", name, box)
                continue
            for keep in roof.keeps:
                if keep.kind == "obstacle" and box.overlaps(keep.box):
                    yield Fault(keep.kind, (*name, keep.id), box)
            for margin in roof.margins:
                clear = clear_of(margin.edges, box) if margin.edges else margin.width
                if clear < margin.width:
                    yield Fault(margin.kind, (*name, margin.id), box, margin.width - clear)
            for divide in roof.divides:
                low, high = (box.x0, box.x1) if divide.up_the_slope else (box.y0, box.y1)
                if low < divide.at < high:
                    yield Fault("across", (*name, divide.id), box)


def overlaps(rows: tuple[Row, ...], other: str, others: tuple[Row, ...]) -> Iterator[Fault]:
    """Modules that lie on those of another array."""
    for row in rows:
        for number, box in enumerate(row.modules, 1):
            if any(box.overlaps(taken) for theirs in others for taken in theirs.modules):
                yield Fault("on another array", (str(row.number), str(number), other), box)


def _around(points: list[tuple[int, int]]) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), max(xs), min(ys), max(ys))
