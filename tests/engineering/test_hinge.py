"""Pieces of a rail joined by sliding splices: statics, and limits known beforehand."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.beam import Beam, Point, Spread, rigid
from selector.engineering.bent import bent
from selector.engineering.hinge import tied
from selector.engineering.lines import BadInputError


def piece(x0: float, x1: float, load: float, first: float = 0.2, last: float = 0.3) -> Beam:
    return Beam(x0, x1, (x0 + first, x1 - last), (Spread(x0, x1, load),))


def test_alike_on_both_sides_hands_on_nothing() -> None:
    """A mirror at the hinge: both ends go down alike by themselves."""
    left, right = piece(0.0, 2.0, 900.0, 0.2, 0.3), piece(2.0, 4.0, 900.0, 0.3, 0.2)
    for before, after in zip((left, right), tied((left, right)), strict=True):
        assert rigid(after).reactions_n == pytest.approx(rigid(before).reactions_n)


def test_ends_over_supports_hand_on_nothing() -> None:
    pieces = (piece(0.0, 2.0, 900.0, 0.2, 0.0), piece(2.0, 4.0, 300.0, 0.0, 0.2))
    for before, after in zip(pieces, tied(pieces), strict=True):
        assert rigid(after).reactions_n == pytest.approx(rigid(before).reactions_n)


def test_half_of_a_load_right_at_a_hinge_goes_either_way() -> None:
    left, right = piece(0.0, 2.0, 0.0, 0.2, 0.3), piece(2.0, 4.0, 0.0, 0.3, 0.2)
    loaded = replace(left, points=(Point(2.0, 100.0),))
    one, two = tied((loaded, right))
    assert sum(p.force_n for p in one.points) == pytest.approx(50.0)
    assert sum(p.force_n for p in two.points) == pytest.approx(50.0)


@given(
    st.lists(
        st.tuples(
            st.floats(1.0, 4.0), st.floats(0, 2e3), st.floats(0.05, 0.4), st.floats(0.05, 0.4)
        ),
        min_size=2,
        max_size=5,
    )
)
def test_both_sides_of_each_hinge_go_down_alike(
    drawn: list[tuple[float, float, float, float]],
) -> None:
    pieces, x0 = [], 0.0
    for length, load, first, last in drawn:
        pieces.append(piece(x0, x0 + length, load, first, last))
        x0 = pieces[-1].x1_m
    found = tied(tuple(pieces))
    bents = [bent(p, rigid(p), 1.0) for p in found]
    scale = max(1.0, *(abs(b.right_end_m) for b in bents))
    for one, two in pairwise(bents):
        assert one.right_end_m == pytest.approx(two.left_end_m, abs=1e-9 * scale)
    whole = sum(length * load for length, load, _, _ in drawn)
    total = sum(sum(rigid(p).reactions_n) for p in found)
    assert total == pytest.approx(whole, abs=1e-6)


def test_one_piece_stays_as_it_is() -> None:
    only = piece(0.0, 2.0, 500.0)
    assert rigid(tied((only,))[0]) == rigid(only)


def test_a_piece_between_needs_two_clamps() -> None:
    middle = Beam(2.0, 3.0, (2.5,))
    with pytest.raises(BadInputError):
        tied((piece(0.0, 2.0, 1.0), middle, piece(3.0, 5.0, 1.0)))


def test_pieces_that_do_not_meet_are_refused() -> None:
    with pytest.raises(BadInputError, match="where the one before ends"):
        tied((piece(0.0, 2.0, 1.0), piece(2.1, 4.0, 1.0)))
