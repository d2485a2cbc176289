"""Lengths that a long rail piece is joined of, against every place on a coarse scale."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.layout.splices import Joining, parts_of


def test_what_one_bar_gives_is_not_joined() -> None:
    assert parts_of(0, 6_000, [500, 5_500], Joining(6_000)) == (6_000,)


def test_a_bar_is_used_whole_and_the_rest_is_the_last() -> None:
    rules = Joining(6_000, splices=2, clear=100, shortest=300)
    assert parts_of(0, 10_000, [500, 3_000, 7_000, 9_500], rules) == (6_000, 4_000)
    assert parts_of(0, 12_100, [500], rules) == (6_000, 5_800, 300)


def test_a_splice_keeps_clear_of_the_clamps() -> None:
    rules = Joining(6_000, splices=1, clear=200)
    assert parts_of(0, 10_000, [500, 5_900, 9_500], rules) == (5_700, 4_300)
    close = list(range(4_000, 6_200, 300))  # 3.8 m free, then again from 6.3 m on
    assert parts_of(0, 10_000, close, rules) == "too many"
    more = Joining(6_000, splices=2, clear=200, shortest=300)
    assert parts_of(0, 10_000, close, more) == (3_800, 5_900, 300)


@pytest.mark.parametrize(
    ("rules", "word"),
    [
        (Joining(6_000), "no splices"),
        (Joining(6_000, splices=1), "too many"),
        (Joining(6_000, splices=5, clear=9_000), "clamps"),
    ],
)
def test_it_says_why_not(rules: Joining, word: str) -> None:
    assert parts_of(0, 14_000, [7_000], rules) == word


@given(
    st.integers(3, 24),
    st.lists(st.integers(0, 24), max_size=5),
    st.integers(2, 9),
    st.integers(1, 3),
    st.integers(0, 3),
    st.integers(1, 2),
)
@settings(max_examples=300)
def test_against_every_place(
    length: int, clamps: list[int], longest: int, splices: int, clear: int, shortest: int
) -> None:
    """Whole numbers throughout, so that places between them reach no further."""
    clamps = [clamp for clamp in clamps if clamp <= length]
    rules = Joining(longest, splices, clear, shortest)
    good = [x for x in range(1, length) if all(abs(x - c) >= clear for c in clamps)]
    ways = [
        [0, *chosen, length]
        for number in range(splices + 1)
        for chosen in combinations(good, number)
        if (number == 0 and length <= longest)
        or (number and all(shortest <= b - a <= longest for a, b in pairwise([0, *chosen, length])))
    ]
    found = parts_of(0, length, clamps, rules)
    if not ways:
        assert isinstance(found, str)
        return
    assert not isinstance(found, str)
    assert sum(found) == length
    assert len(found) == min(len(way) for way in ways) - 1
    marks = [sum(found[: n + 1]) for n in range(len(found) - 1)]
    assert [0, *marks, length] in ways


@pytest.mark.parametrize(
    "wrong", [(5, 5, Joining(6)), (0, 9, Joining(6, shortest=7)), (0, 9, Joining(6, -1))]
)
def test_figures_that_cannot_be_are_refused(wrong: tuple[int, int, Joining]) -> None:
    with pytest.raises(ValueError):
        parts_of(wrong[0], wrong[1], [], wrong[2])
