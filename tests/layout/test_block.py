"""Blocks of modules, figures by hand."""

from selector.layout.block import rows_of, width_of
from selector.layout.model import Box

MM = 1_000


def test_two_rows_of_three_with_a_break_after_the_second() -> None:
    rows = rows_of(
        (1_000 * MM, 500 * MM), (1_100 * MM, 1_700 * MM), (3, 2), 20 * MM, (2,), 100 * MM
    )
    # 1000, 1000 + 1100 + 20, 2120 + 1100 + 100
    assert [b.x0 // MM for b in rows[0].modules] == [1000, 2120, 3320]
    assert [r.modules[0].y0 // MM for r in rows] == [500, 2220]
    assert rows[1].box == Box(1_000 * MM, 4_420 * MM, 2_220 * MM, 3_920 * MM)
    assert [r.number for r in rows] == [1, 2]


def test_width_is_that_of_the_row() -> None:
    for breaks in ((), (1,), (1, 4)):
        row = rows_of((0, 0), (1_090 * MM, 1), (6, 1), 20 * MM, breaks, 80 * MM)[0]
        assert width_of(1_090 * MM, 6, 20 * MM, breaks, 80 * MM) == row.box.x1
