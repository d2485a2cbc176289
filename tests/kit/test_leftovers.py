"""Rails sawn from leftovers: what is said to fit fits, and nothing is sawn from nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.kit.leftovers import unsawn

KERF = 4


@pytest.mark.parametrize(
    ("cuts", "bars", "missing"),
    [
        ([], [], []),
        ([100], [], [100]),
        ([100], [100], []),
        ([100], [99], [100]),
        ([50, 50], [100], [50]),  # the saw takes its 4
        ([50, 50], [104], []),
        ([60, 40, 40], [104, 44], []),
        ([60, 40, 40], [103, 44], [40]),
        ([60, 40], [60, 40], []),
    ],
)
def test_by_hand(cuts: list[int], bars: list[int], missing: list[int]) -> None:
    assert unsawn(cuts, bars, KERF) == missing


LENGTHS = st.lists(st.integers(1, 300), max_size=7)


@given(cuts=LENGTHS, bars=LENGTHS)
def test_what_fits_is_there(cuts: list[int], bars: list[int]) -> None:
    """The pieces that are not missing are never longer than all bars, and each fits into one."""
    missing = unsawn(cuts, bars, KERF)
    left = sorted(cuts)
    for piece in missing:
        left.remove(piece)
    assert sum(left) <= sum(bars)
    assert not left or max(left) <= max(bars)
    if not missing:
        assert _packs(sorted(cuts, reverse=True), bars)


def _packs(cuts: list[int], bars: list[int]) -> bool:
    """Whether some assignment saws all pieces, by trying every one."""
    if not cuts:
        return True
    first, *rest = cuts
    for n, bar in enumerate(bars):
        if bar >= first:
            after = [*bars[:n], max(0, bar - first - KERF), *bars[n + 1 :]]
            if _packs(rest, after):
                return True
    return False
