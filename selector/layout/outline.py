"""Outlines of planes: whether they can be, what lies inside, and how near to an edge.

Plane geometry, exact in whole micrometres but for the distance to a sloping edge.
"""

import itertools
import math
from collections.abc import Iterable, Iterator
from typing import Literal

from selector.layout.model import Box, Point

Edge = tuple[Point, Point]
Side = Literal["eave", "ridge", "left", "right"]


def edges(outline: tuple[Point, ...]) -> Iterator[Edge]:
    """Its edges in order, the closing one last."""
    return itertools.pairwise((*outline, outline[0]))


def area2(outline: tuple[Point, ...]) -> int:
    """Twice the area, in square micrometres; negative where it runs with the clock."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in edges(outline))


def crossing(outline: tuple[Point, ...]) -> tuple[Edge, Edge] | None:
    """Two edges that meet where they should not; None for a simple outline."""
    found = list(edges(outline))
    for i, one in enumerate(found):
        for j in range(i + 1, len(found)):
            neighbours = j == i + 1 or (i == 0 and j == len(found) - 1)
            if _meet(one, found[j], neighbours):
                return one, found[j]
    return None


def against_the_clock(outline: tuple[Point, ...]) -> tuple[Point, ...]:
    """The same outline, against the clock."""
    return outline if area2(outline) > 0 else tuple(reversed(outline))


def holds_point(outline: tuple[Point, ...], point: Point) -> bool:
    """Whether a point lies inside or on the edge (even-odd rule)."""
    x, y = point
    inside = False
    for edge in edges(outline):
        (x0, y0), (x1, y1) = edge
        if _side(edge, point) == 0 and _between(edge, point):
            return True
        if (y0 > y) != (y1 > y):
            left_of = (x - x0) * (y1 - y0) < (x1 - x0) * (y - y0)
            inside ^= left_of if y1 > y0 else not left_of and _side(edge, point) != 0
    return inside


def holds_box(outline: tuple[Point, ...], box: Box) -> bool:
    """Whether a rectangle lies inside; it may touch the edge."""
    if not all(holds_point(outline, corner) for corner in box.corners):
        return False
    return not any(_cuts(edge, box) for edge in edges(outline))


def clear_of(some: Iterable[Edge], box: Box) -> int:
    """Least distance of a rectangle to edges that do not run through it, rounded down."""
    return min(_apart(edge, box) for edge in some)


def along(outline: tuple[Point, ...], side: Side) -> tuple[Edge, ...]:
    """The edges of one side of an outline that runs against the clock."""
    top = max(y for _, y in outline)
    found = []
    for edge in edges(outline):
        (_, y0), (_, y1) = edge
        level_at = y0 if y0 == y1 else None
        if (
            (side == "eave" and level_at is not None and level_at < top)
            or (side == "ridge" and level_at == top)
            or (side == "right" and y1 > y0)
            or (side == "left" and y1 < y0)
        ):
            found.append(edge)
    return tuple(found)


def level(outline: tuple[Point, ...], y: int) -> tuple[tuple[int, int], ...]:
    """Where a line at this height lies inside, from the left, ends rounded inwards."""
    return _inside([((a[1], a[0]), (b[1], b[0])) for a, b in edges(outline)], y)


def upright(outline: tuple[Point, ...], x: int) -> tuple[tuple[int, int], ...]:
    """Where a line up the slope lies inside, from the eave, ends rounded inwards."""
    return _inside(list(edges(outline)), x)


def _inside(found: list[Edge], at: int) -> tuple[tuple[int, int], ...]:
    """Intervals of the second coordinate where the first one is `at`."""
    lows, highs = [], []
    for (u0, v0), (u1, v1) in found:
        if (u0 > at) == (u1 > at):
            continue
        low, rest = divmod((v1 - v0) * (at - u0), u1 - u0)
        lows.append(v0 + low)
        highs.append(v0 + low + (rest != 0))
    lows.sort()
    highs.sort()
    pairs = zip(highs[::2], lows[1::2], strict=True)
    return tuple((a, b) for a, b in pairs if a < b)


def _side(edge: Edge, point: Point) -> int:
    """Above zero on the left of an edge, zero on its line."""
    (x0, y0), (x1, y1) = edge
    return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)


def _between(edge: Edge, point: Point) -> bool:
    (x0, y0), (x1, y1) = edge
    x, y = point
    return min(x0, x1) <= x <= max(x0, x1) and min(y0, y1) <= y <= max(y0, y1)


def _meet(one: Edge, other: Edge, neighbours: bool) -> bool:
    """Whether two edges share a point; neighbours only more than their common end."""
    common = set(one) & set(other)
    if neighbours:
        far = [(other, p) for p in one if p not in common]
        far += [(one, p) for p in other if p not in common]
        return len(common) > 1 or any(_side(e, p) == 0 and _between(e, p) for e, p in far)
    a, b = _side(one, other[0]), _side(one, other[1])
    c, d = _side(other, one[0]), _side(other, one[1])
    if (a > 0) != (b > 0) and (c > 0) != (d > 0) and 0 not in (a, b, c, d):
        return True
    ends = ((one, other[0]), (one, other[1]), (other, one[0]), (other, one[1]))
    return any(_side(edge, p) == 0 and _between(edge, p) for edge, p in ends)


def _cuts(edge: Edge, box: Box) -> bool:
    """Whether an edge runs through the inside of a rectangle."""
    (x0, y0), (x1, y1) = edge
    if max(x0, x1) <= box.x0 or min(x0, x1) >= box.x1:
        return False
    if max(y0, y1) <= box.y0 or min(y0, y1) >= box.y1:
        return False
    sides = [_side(edge, corner) for corner in box.corners]
    return min(sides) < 0 < max(sides)


def _apart(edge: Edge, box: Box) -> int:
    """Distance of an edge that does not run through a rectangle to it, rounded down."""
    between = [_point_to_box(p, box) for p in edge]
    between += [_point_to_edge(corner, edge) for corner in box.corners]
    return math.floor(min(between))


def _point_to_box(point: Point, box: Box) -> float:
    x, y = point
    return math.hypot(max(box.x0 - x, 0, x - box.x1), max(box.y0 - y, 0, y - box.y1))


def _point_to_edge(point: Point, edge: Edge) -> float:
    (x0, y0), (x1, y1) = edge
    x, y = point
    long = (x1 - x0) ** 2 + (y1 - y0) ** 2
    at = max(0.0, min(1.0, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / long)) if long else 0.0
    return math.hypot(x - x0 - at * (x1 - x0), y - y0 - at * (y1 - y0))
