"""Rows parted, against every way to part them."""

import itertools

from hypothesis import given
from hypothesis import strategies as st

from selector.layout.parting import Parted, RowPlan, part_row

MM = 1_000


def test_eight_modules_under_a_run_of_seven_metres_by_hand() -> None:
    # 8 x 1090 + 7 x 20 + 2 x 40 = 8940 mm; halves of 4 x 1090 + 3 x 20 + 80 = 4500 mm
    row = RowPlan(0, 1_090 * MM, 8, 20 * MM, 100 * MM, 40 * MM)
    found = part_row(row, 7_200 * MM, ())
    assert isinstance(found, Parted)
    assert found.breaks == (4,)
    # the second piece starts after 4 x 1110 - 20 + 100 = 4520 mm, less 40
    assert found.pieces == ((-40 * MM, 4_460 * MM), (4_480 * MM, 8_980 * MM))


def test_a_divide_under_a_module_parts_nothing() -> None:
    row = RowPlan(0, 1_000 * MM, 4, 20 * MM, 100 * MM, 40 * MM)
    assert part_row(row, 9_000 * MM, (1_500 * MM,)) == "divide"
    found = part_row(row, 9_000 * MM, (1_050 * MM,))  # in the middle of a gap of 100
    assert isinstance(found, Parted) and found.breaks == (1,)


def test_a_module_wider_than_the_run() -> None:
    assert part_row(RowPlan(0, 2_000 * MM, 2, 20 * MM, 100 * MM, 40 * MM), 2_000 * MM, ()) == "wide"


def _valid(row: RowPlan, breaks: tuple[int, ...], run: int, divides: list[int]) -> Parted | None:
    """Pieces laid out by hand, module by module."""
    x, ends, pieces = row.left, (*breaks, row.columns), []
    start = x
    for number in range(1, row.columns + 1):
        if number in ends:
            pieces.append((start - row.past, x + row.wide + row.past))
            start = x + row.wide + row.break_gap
            x = start
        else:
            x += row.wide + row.gap
    good = all(b - a <= run and not any(a < d < b for d in divides) for a, b in pieces)
    return Parted(breaks, tuple(pieces)) if good else None


@given(
    st.integers(1, 7),
    st.integers(5, 15),
    st.integers(10, 70),
    st.lists(st.integers(0, 90), max_size=2),
    st.sets(st.integers(1, 6), max_size=2),
)
def test_fewest_and_most_even_of_all_ways(
    columns: int, wide: int, run: int, divides: list[int], breaks: set[int]
) -> None:
    declared = tuple(sorted(b for b in breaks if b < columns))
    row = RowPlan(3, wide, columns, 1, 4, 1, declared)
    ways = [
        found
        for count in range(columns)
        for way in itertools.combinations(range(1, columns), count)
        if set(declared) <= set(way) and (found := _valid(row, way, run, divides)) is not None
    ]
    found = part_row(row, run, tuple(divides))
    if isinstance(found, str):
        assert not ways
        return
    assert found in ways
    fewest = min(len(w.pieces) for w in ways)
    assert len(found.pieces) == fewest
    cost = min(sum((b - a) ** 2 for a, b in w.pieces) for w in ways if len(w.pieces) == fewest)
    assert sum((b - a) ** 2 for a, b in found.pieces) == cost
