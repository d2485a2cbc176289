"""Outlines against shapely, an independent geometry library (GEOS), and by hand."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from selector.layout.model import Box
from selector.layout.outline import (
    against_the_clock,
    area2,
    clear_of,
    crossing,
    edges,
    holds_box,
    holds_point,
    level,
    upright,
)

shapely = pytest.importorskip("shapely", reason="shapely is part of the test extra")

M = 1_000_000
L_SHAPE = ((0, 0), (10 * M, 0), (10 * M, 4 * M), (6 * M, 4 * M), (6 * M, 8 * M), (0, 8 * M))
TRAPEZIUM = ((0, 0), (12 * M, 0), (9 * M, 6 * M), (3 * M, 6 * M))
BOW = ((0, 0), (4 * M, 4 * M), (4 * M, 0), (0, 4 * M))
points = st.tuples(st.integers(0, 60), st.integers(0, 60))
Corners = tuple[tuple[int, int], ...]


def _round(corners: list[tuple[int, int]]) -> Corners:
    """The corners in order around their middle, which makes most outlines simple."""
    x, y = (sum(c) / len(corners) for c in zip(*corners, strict=True))
    return tuple(sorted(corners, key=lambda c: math.atan2(c[1] - y, c[0] - x)))


anyhow = st.lists(points, min_size=3, max_size=7, unique=True)
rounds = anyhow.map(_round).filter(lambda c: crossing(c) is None and area2(c) > 0)


def test_an_outline_that_crosses_itself_is_found() -> None:
    assert crossing(BOW) is not None
    assert crossing(L_SHAPE) is None and crossing(TRAPEZIUM) is None


def test_a_spike_and_a_touching_corner_are_no_outline() -> None:
    assert crossing(((0, 0), (9, 0), (4, 0), (4, 5))) is not None
    assert crossing(((0, 0), (8, 0), (8, 8), (4, 0), (0, 8))) is not None


def test_a_module_in_the_notch_of_an_l_is_outside() -> None:
    assert holds_box(L_SHAPE, Box(1 * M, 5 * M, 1 * M, 7 * M))
    assert not holds_box(L_SHAPE, Box(5 * M, 7 * M, 3 * M, 5 * M))
    assert not holds_box(L_SHAPE, Box(7 * M, 8 * M, 5 * M, 6 * M))
    assert holds_box(L_SHAPE, Box(0, 6 * M, 0, 8 * M)), "on the edge is inside"


def test_lines_inside_a_trapezium_by_hand() -> None:
    # half way up a side that leans 3 m in 6 m: 1.5 m from the left, 1.5 m from the right
    assert level(TRAPEZIUM, 3 * M) == ((1_500_000, 10_500_000),)
    assert upright(TRAPEZIUM, 1_500_000) == ((0, 3 * M),)
    assert upright(L_SHAPE, 8 * M) == ((0, 4 * M),)
    assert level(TRAPEZIUM, 7 * M) == ()


def test_distance_to_a_sloping_edge_by_hand() -> None:
    # corner (3, 3) to the line from (0, 0) to (3, 6): |2*3 - 3| / sqrt(5)
    box = Box(3 * M, 4 * M, 1 * M, 3 * M)
    assert clear_of(edges(TRAPEZIUM), box) == min(1 * M, math.floor(3 * M / math.sqrt(5)))


@given(anyhow | anyhow.map(_round))
def test_simple_or_not_as_shapely_says(corners: Corners) -> None:
    outline = tuple(corners)
    ring = shapely.Polygon(outline)
    assume(area2(outline) != 0)
    assert (crossing(outline) is None) == ring.is_valid
    assert abs(area2(outline)) / 2 == pytest.approx(ring.area) or not ring.is_valid


@given(rounds, st.tuples(points, st.integers(1, 30), st.integers(1, 30)))
def test_inside_as_shapely_says(outline: Corners, at: tuple[tuple[int, int], int, int]) -> None:
    assert against_the_clock(outline) == outline == against_the_clock(tuple(reversed(outline)))
    ring = shapely.Polygon(outline)
    (x, y), wide, high = at
    box = Box(x, x + wide, y, y + high)
    assert holds_point(outline, (x, y)) == ring.covers(shapely.Point(x, y))
    inside = holds_box(outline, box)
    shape = shapely.box(box.x0, box.y0, box.x1, box.y1)
    assert inside == ring.covers(shape)
    if inside:
        assert clear_of(edges(outline), box) == math.floor(ring.exterior.distance(shape) + 1e-9)


@given(rounds, st.integers(0, 60))
def test_lines_inside_are_inside(outline: Corners, at: int) -> None:
    big = tuple((x * 1000, y * 1000) for x, y in outline)
    ring = shapely.Polygon(big)
    height = at * 1000 + 1  # no corner lies at it
    ours = sum(b - a for a, b in level(big, height))
    line = shapely.LineString([(-1, height), (61_000, height)])
    assert ours == pytest.approx(ring.intersection(line).length, abs=2 * len(big))
    for a, b in level(big, height):
        assert ring.buffer(1e-6).covers(shapely.LineString([(a, height), (b, height)]))
