"""Where a plane lies on the paper: its scale, and from micrometres of the roof to millimetres."""

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from selector.explanation.places.drawing import Rect
from selector.layout.model import Box, Placed, Zone

# The scales of a ruler in three edges; each times ten for larger roofs.
SCALES = (10, 20, 25, 50, 75)


@dataclass(frozen=True)
class Frame:
    """A plane at 1:`scale` whose lower left corner of `extent` stands at (`left`, `bottom`)."""

    scale: int
    extent: Box
    left: float
    bottom: float

    def x(self, x_um: int) -> float:
        """Paper mm from the left."""
        return self.left + (x_um - self.extent.x0) / 1000 / self.scale

    def y(self, y_um: int) -> float:
        """Paper mm from the top: up the slope is up the page."""
        return self.bottom - (y_um - self.extent.y0) / 1000 / self.scale

    def rect(self, box: Box) -> Rect:
        """A box of the roof on the paper."""
        return Rect(self.x(box.x0), self.y(box.y1), self.x(box.x1), self.y(box.y0))

    @property
    def plane(self) -> Rect:
        """Everything drawn of the plane."""
        return self.rect(self.extent)

    def mm(self, um: int) -> float:
        """A length of the roof on the paper."""
        return um / 1000 / self.scale


def extent(placed: Placed, marked: Iterable[Box]) -> Box:
    """The smallest box around the outline, everything laid out, and what is marked."""
    boxes = [box for row in placed.rows for box in row.modules]
    boxes += [keep.box for keep in placed.roof.keeps] + list(marked)
    xs = [x for x, _ in placed.roof.outline] + [x for b in boxes for x in (b.x0, b.x1)]
    ys = [y for _, y in placed.roof.outline] + [y for b in boxes for y in (b.y0, b.y1)]
    for rail in placed.rails:
        xs += [x for piece in rail.pieces for x in (piece.x0, piece.x1)]
        ys.append(rail.y)
    return Box(min(xs), max(xs), min(ys), max(ys))


def scale_for(box: Box, wide: float, high: float) -> int:
    """The largest scale at which a box fits a width and a height of paper in mm."""
    needed = max((box.x1 - box.x0) / 1000 / wide, (box.y1 - box.y0) / 1000 / high)
    tens = 1
    while True:
        for scale in SCALES:
            if scale * tens >= needed:
                return scale * tens
        tens *= 10


Cell = tuple[Box, str]


def worst_zones(zones: Iterable[Zone]) -> list[Cell]:
    """The plane cut along all edges of zones: each cell with the zone that lifts most in it.

    The pieces of one zone that lie side by side in a strip are joined.
    """
    zones = list(zones)
    xs = sorted({x for z in zones for x in (z.box.x0, z.box.x1)})
    ys = sorted({y for z in zones for y in (z.box.y0, z.box.y1)})
    cells: list[Cell] = []
    for y0, y1 in itertools.pairwise(ys):
        strip: list[Cell] = []
        for x0, x1 in itertools.pairwise(xs):
            cell = Box(x0, x1, y0, y1)
            over = [z for z in zones if z.box.overlaps(cell)]
            if not over:
                continue
            name = _worst(over)
            if strip and strip[-1][1] == name and strip[-1][0].x1 == x0:
                cell = Box(strip.pop()[0].x0, x1, y0, y1)
            strip.append((cell, name))
        cells += strip
    return _joined(cells)


def _worst(over: list[Zone]) -> str:
    """The zone that lifts most; all of them where one has no figure, since it may be the worst."""
    known = [(zone.lift_pa, zone.name) for zone in over if zone.lift_pa is not None]
    if len(known) < len(over):
        return "/".join(sorted({zone.name for zone in over}))
    return max(known)[1]


def _joined(strips: list[Cell]) -> list[Cell]:
    """Cells of one zone, of equal ends, one upon the other, as one."""
    found: dict[tuple[int, int, str, int], Cell] = {}  # by ends, zone and upper edge
    for box, name in strips:
        lower = found.pop((box.x0, box.x1, name, box.y0), None)
        whole = box if lower is None else Box(box.x0, box.x1, lower[0].y0, box.y1)
        found[box.x0, box.x1, name, whole.y1] = (whole, name)
    return sorted(found.values(), key=lambda c: (c[0].y0, c[0].x0, c[1]))


def zone_edges(cells: list[Cell]) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """Lines between cells of different zones; the outer edges are left out."""
    lines = []
    for n, (one, name) in enumerate(cells):
        for other, named in cells[n + 1 :]:
            if name == named:
                continue
            x0, x1 = max(one.x0, other.x0), min(one.x1, other.x1)
            y0, y1 = max(one.y0, other.y0), min(one.y1, other.y1)
            if (x0 == x1 and y0 < y1) or (y0 == y1 and x0 < x1):
                lines.append(((x0, y0), (x1, y1)))
    return lines


def spread(places: Mapping[str, float], step: float, low: float, high: float) -> dict[str, float]:
    """Heights of labels at least `step` apart, near their places, between two ends.

    ValueError where they do not fit.
    """
    names = sorted(places, key=lambda n: (places[n], n))
    if (len(names) - 1) * step > high - low + 1e-9:
        raise ValueError("too many labels")
    found: dict[str, float] = {}
    at = low - step
    for name in names:
        at = found[name] = max(places[name], at + step)
    at = high + step
    for name in reversed(names):
        at = found[name] = min(found[name], at - step)
    return found
