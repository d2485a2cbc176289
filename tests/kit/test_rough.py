"""The quick formula of the trade at its limits; expected figures by pencil and paper."""

import pytest

from selector.kit.chosen import Chosen
from selector.kit.rough import rough
from selector.knowledge.base import Base
from tests.kb import roofs
from tests.kit.made import STEEL, roof_for

MM = 1_000


@pytest.mark.parametrize(("allowance", "pieces", "each"), [(280, 1, 13), (281, 2, 6)])
def test_a_row_just_as_long_as_the_limit_stays_whole(
    base: Base, allowance: int, pieces: int, each: int
) -> None:
    """6 x 1090 + 5 x 20 = 6640 mm; with 2 x 280 it is 7200, the limit of rail-u; 2 more part it.

    g = ceil(row / limit) - 1, as the trade counts. Seams at 545 mm less 1 mm of the tape, ends
    280 mm: floor((7200 - 560) / 544) + 1 = 12 + 1; floor((3601 - 560) / 544) + 1 = 5 + 1.
    """
    row = roofs.changed(roof_for(base, STEEL), arrays__a1__block__columns=6)
    job = roofs.job(base, row)
    chosen = Chosen(base, job.stacks["one"], base.part("demo/module-p35"))
    found = rough(chosen, job.arrays["a1"], job.planes["p1"], allowance * MM)
    assert found.counts.pieces == 2 * pieces  # on two rail lines
    assert [t.each for t in found.counts.clamps] == [each]
    assert found.counts.gaps == 2 * (pieces - 1)


def test_never_fewer_than_two_clamps_a_piece(base: Base) -> None:
    """One module: 1090 + 80 = 1170 mm, floor((1170 - 560) / 899) + 1 = 1, and that is a seesaw."""
    row = roof_for(base, STEEL)
    wide = {"places": ["900 mm"] * 3, "tool": "tape", "by": "x"}
    row = roofs.changed(row, planes__p1__seam__spacing=wide)
    job = roofs.job(base, row)
    chosen = Chosen(base, job.stacks["one"], base.part("demo/module-p35"))
    found = rough(chosen, job.arrays["a1"], job.planes["p1"], 40 * MM)
    assert [t.each for t in found.counts.clamps] == [2]
