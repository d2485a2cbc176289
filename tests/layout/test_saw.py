"""All pieces of an array sawn and spliced, by hand and in general."""

from collections import Counter
from random import Random

from selector.layout.cut import Stock
from selector.layout.model import Bar, ClampAt, Piece, Rail
from selector.layout.saw import Unsawn, saw
from selector.layout.splices import Joining
from tests.layout.sample import small

STOCK = Stock((3_600, 5_200), kerf=4, reusable=400)
JOINING = Joining(1, splices=1, clear=150, shortest=300)


def rail(name: str, *pieces: tuple[int, int], apart: int = 1_000) -> Rail:
    """Pieces with a clamp each metre, the first 0.2 m from the left end."""
    made = []
    for x0, x1 in pieces:
        clamps = tuple(ClampAt(f"s{x}", x, 0) for x in range(x0 + 200, x1, apart))
        made.append(Piece(x0, x1, clamps, (x1 - x0,)))
    return Rail(name, 1, 1, 0, tuple(made), ("gap",) * (len(made) - 1))


def test_one_piece_a_bar() -> None:
    """Four rails of 3.31 m of bars of 4.2 m: a rest of 0.89 m is no rail."""
    placed = small()
    found = saw(placed.rails, Stock((4_200_000,), 4_000), Joining(1))
    assert found.plan is not None and placed.cut is not None
    assert found.plan.bars == placed.cut.bars
    assert found.plan.proven and found.rails == placed.rails


def test_a_long_piece_is_spliced_where_that_takes_fewer_bars() -> None:
    """7.1 m: 5.2 and 1.9 m take bars of 8.8 m; 3.6 and 3.5 m take 7.2 m, the least there is."""
    found = saw([rail("r1", (0, 7_100))], STOCK, JOINING)
    assert found.rails[0].pieces[0].parts == (3_600, 3_500)
    assert found.plan is not None and found.plan.proven
    assert found.plan.bars == (Bar(3_600, (3_600,)), Bar(3_600, (3_500,)))


def test_two_long_pieces_share_a_bar() -> None:
    """Twice 6.7 m: 5.05 m, clear of a clamp at 5.2 m, and 1.65 m, these two of one bar of 3.6 m."""
    found = saw([rail("r1", (0, 6_700)), rail("r2", (0, 6_700))], STOCK, JOINING)
    assert found.plan is not None
    assert sorted(bar.stock for bar in found.plan.bars) == [3_600, 5_200, 5_200]
    assert found.plan.bound <= found.plan.stock


def test_it_says_which_piece_and_why() -> None:
    rails = [rail("r1", (0, 3_000), (3_100, 10_000)), rail("r2", (0, 11_000))]
    found = saw(rails, STOCK, JOINING)
    assert found.plan is None and found.unsawn == (Unsawn("r2", 1, "too many"),)
    found = saw(rails, STOCK, Joining(1))
    assert found.unsawn == (Unsawn("r1", 2, "no splices"), Unsawn("r2", 1, "no splices"))
    found = saw([rail("r1", (0, 7_000), apart=200)], STOCK, JOINING)
    assert found.unsawn == (Unsawn("r1", 1, "clamps"),)


def test_parts_give_the_pieces_and_every_part_is_cut() -> None:
    random = Random(4)
    for _ in range(60):
        rails = [
            rail(f"r{n}", (0, random.choice([2_900, 4_700, 6_300, 7_100, 8_000])))
            for n in range(random.randint(1, 12))
        ]
        found = saw(rails, STOCK, JOINING)
        assert found.plan is not None
        parts: Counter[int] = Counter()
        for before, after in zip(rails, found.rails, strict=True):
            (piece,) = after.pieces
            assert sum(piece.parts) == before.pieces[0].length
            assert (len(piece.parts) > 1) == (piece.length > 5_200)
            splice = piece.parts[0]
            if len(piece.parts) > 1:
                assert all(abs(splice - (clamp.x - piece.x0)) >= 150 for clamp in piece.clamps)
            parts.update(piece.parts)
        assert parts == Counter(cut for bar in found.plan.bars for cut in bar.cuts)
        assert found.plan.bound <= found.plan.stock
