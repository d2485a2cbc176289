"""Where modules touch a rail and what they hand to it, by hand on the small sample layout.

Its row has modules of 1090 mm with gaps of 20 mm from 1000 mm on: edges at 1000, 2090, 2110, 3200,
3220 and 4310 mm; halves end at 1545, 2655 and 3765 mm.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.facts.links.touching import Direction, beams_of, handed_n, held_nowhere, touches
from selector.layout.model import Joint, Piece, Rail, Row
from selector.layout.stretch import Strip
from tests.layout.sample import MM, small

PLACED = small()
ROW, RAIL = PLACED.rows[0], PLACED.rails[0]


def row_with(breaks: tuple[int, ...]) -> Row:
    return replace(ROW, breaks=breaks)


def cut(rail: Rail, at_mm: int, joint: Joint, wide_mm: int = 0) -> Rail:
    """The rail cut in two at a place."""
    piece, at, half = rail.pieces[0], at_mm * MM, wide_mm * MM // 2
    left = tuple(c for c in piece.clamps if c.x < at)
    right = tuple(c for c in piece.clamps if c.x > at)
    first = Piece(piece.x0, at - half, left, (at - half - piece.x0,))
    second = Piece(at + half, piece.x1, right, (piece.x1 - at - half,))
    return replace(rail, pieces=(first, second), joints=(joint,))


def test_lifted_the_module_clamps_hold() -> None:
    found = touches(ROW, "up")
    assert [t.x // MM for t in found] == [1000, 2100, 3210, 4310]
    lengths = [sum(high - low for low, high in t.carries) // MM for t in found]
    assert lengths == [545, 1090, 1090, 545]


def test_at_a_break_each_module_has_its_own_clamp() -> None:
    found = touches(row_with((2,)), "up")
    assert [t.x // MM for t in found] == [1000, 2100, 3200, 3220, 4310]
    assert [sum(b - a for a, b in t.carries) // MM for t in found] == [545, 1090, 545, 545, 545]


def test_pressed_down_each_frame_edge_stands_by_itself() -> None:
    found = touches(ROW, "down")
    assert [t.x // MM for t in found] == [1000, 2090, 2110, 3200, 3220, 4310]
    assert {sum(b - a for a, b in t.carries) // MM for t in found} == {545}


def test_two_zones_on_one_module_clamp() -> None:
    """The clamp at 2100 holds 1545 to 2090 and 2110 to 2655; the zone ends at 2210 mm."""
    strips = (Strip(1000 * MM, 2210 * MM, 900.0), Strip(2210 * MM, 4310 * MM, 400.0))
    force = handed_n(touches(ROW, "up")[1], strips)
    assert force == pytest.approx(900 * (0.545 + 0.100) + 400 * 0.445)


@given(
    st.sampled_from(["up", "down"]),
    st.integers(1000, 4310),
    st.floats(-500, 2000),
    st.floats(-500, 2000),
    st.sets(st.sampled_from([1, 2])),
)
def test_all_of_the_load_on_modules_is_handed_on(
    direction: Direction, at: int, left: float, right: float, breaks: set[int]
) -> None:
    strips = (Strip(1000 * MM, at * MM, left), Strip(at * MM, 4310 * MM, right))
    row = row_with(tuple(sorted(breaks)))
    total = sum(handed_n(t, strips) for t in touches(row, direction))
    under = 0.0
    for module in row.modules:
        under += left * max(0, min(module.x1 // MM, at) - module.x0 // MM) / 1000
        under += right * max(0, module.x1 // MM - max(module.x0 // MM, at)) / 1000
    assert total == pytest.approx(under, abs=1e-6)


LOAD = (Strip(1000 * MM, 4310 * MM, 1000.0),)


def test_a_rigid_joint_changes_nothing() -> None:
    [[whole]] = beams_of(RAIL, ROW, "up", LOAD)
    [[joined]] = beams_of(cut(RAIL, 2300, "rigid"), ROW, "up", LOAD)
    assert joined == whole
    assert len(whole.points) == 4


def test_a_sliding_joint_has_its_hinge_in_the_middle_of_the_gap() -> None:
    [[left, right]] = beams_of(cut(RAIL, 2300, "sliding", 20), ROW, "up", LOAD)
    assert left.x1_m == right.x0_m == pytest.approx(2.300)
    assert len(left.points) + len(right.points) == 4


def test_a_gap_parts_the_rail() -> None:
    [[left], [right]] = beams_of(cut(RAIL, 2300, "gap", 20), ROW, "up", LOAD)
    assert (left.x1_m, right.x0_m) == pytest.approx((2.290, 2.310))
    assert sum(p.force_n for p in left.points) == pytest.approx(545 + 1090)
    assert sum(p.force_n for p in right.points) == pytest.approx(1090 + 545)


def test_what_stands_over_a_joint_stands_on_one_piece_only() -> None:
    [[left, right]] = beams_of(cut(RAIL, 2100, "sliding"), ROW, "up", LOAD)
    assert [p.x_m for p in left.points] == pytest.approx([1.0, 2.1])
    assert [p.x_m for p in right.points] == pytest.approx([3.21, 4.31])


def test_a_module_clamp_over_a_gap_is_found() -> None:
    assert held_nowhere(RAIL, ROW, "up") == ()
    assert held_nowhere(cut(RAIL, 2100, "gap", 30), ROW, "up") == (2_100_000,)
    assert held_nowhere(cut(RAIL, 2100, "gap", 30), ROW, "down") == (2_090_000, 2_110_000)
