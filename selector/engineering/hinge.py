"""Pieces of one beam joined end to end by hinges: a sliding splice hands on shear and no moment.

A rigid splice needs nothing here: the beam goes on through it. A gap joins nothing: each piece is a
beam of its own. Every piece stands on two supports or more by itself.
"""

from dataclasses import replace
from itertools import pairwise

from selector.engineering.beam import Beam, Point, rigid
from selector.engineering.bent import bent
from selector.engineering.lines import BadInputError


def tied(pieces: tuple[Beam, ...]) -> tuple[Beam, ...]:
    """The same pieces with what the hinges hand on as loads at their ends.

    BadInputError for a piece with fewer than two supports, or that does not begin where the one
    before ends. Statics: both sides of a hinge go down alike, one row for each hinge; the same
    stiffness all along cancels out.
    """
    for before, after in pairwise(pieces):
        if before.x1_m != after.x0_m:
            text = f"a piece begins at {after.x0_m:g} m"
            raise BadInputError(f"{text}; expected it where the one before ends, {before.x1_m:g} m")
    own = [_ends(piece) for piece in pieces]
    by_left = [_ends(_only(piece, piece.x0_m)) for piece in pieces]
    by_right = [_ends(_only(piece, piece.x1_m)) for piece in pieces]
    forces, shares = [0.0], [0.0]  # of the rows so far, the hinge before taken out of each
    for n, (left, right) in enumerate(pairwise(own)):
        across = by_left[n][1]
        soft = by_right[n][1] + by_left[n + 1][0] - across * shares[-1]
        apart = right[0] - left[1] + across * forces[-1]
        # both sides right over supports: nothing goes down, and nothing is handed on
        forces.append(apart / soft if soft > 0 else 0.0)
        shares.append(by_right[n + 1][0] / soft if soft > 0 else 0.0)
    handed = [0.0]
    for force, share in zip(reversed(forces[1:]), reversed(shares[1:]), strict=True):
        handed.append(force + share * handed[-1])
    handed = [0.0, *reversed(handed)]
    return tuple(
        replace(
            piece,
            points=(*piece.points, Point(piece.x0_m, -handed[n]), Point(piece.x1_m, handed[n + 1])),
        )
        for n, piece in enumerate(pieces)
    )


def _only(piece: Beam, x_m: float) -> Beam:
    """The piece under one newton at this place and nothing else."""
    return replace(piece, spreads=(), points=(Point(x_m, 1.0),))


def _ends(piece: Beam) -> tuple[float, float]:
    """EI times the deflection of both ends."""
    found = bent(piece, rigid(piece), 1.0)
    return found.left_end_m, found.right_end_m
