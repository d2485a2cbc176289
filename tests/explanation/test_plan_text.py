"""The plan in a terminal: each clamp on its seam, each rail with its height, 80 columns."""

import re

import pytest

from selector.explanation.language import speaking
from selector.explanation.places.plan_text import plan_text
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.layout.model import Placed, Rail
from tests.layout.sample import small
from tests.layout.strategies import block

RAIL = re.compile(r"(r\d+\.\d+)\s+(\d+) (.*)")
# Drawn by hand from the sample: seams s03 to s08 under rails from 1000 to 4310 mm, clamps on s03,
# s05 and s07; one seam more on either side.
SAMPLE = """\
                   s02   s03   s04   s05   s06   s07   s08   s09
ridge            ___:_____:_____:_____:_____:_____:_____:_____:
r2.2        3950    :    -o-----:-----o-----:-----o-----:-----:
r2.1        2710    :    -o-----:-----o-----:-----o-----:-----:
                    :     :     :     :     :     :     :     :
r1.2        2190    :    -o-----:-----o-----:-----o-----:-----:
r1.1         950    :    -o-----:-----o-----:-----o-----:-----:
eave             ___:_____:_____:_____:_____:_____:_____:_____:"""


def test_the_sample_by_hand(base: Base) -> None:
    lines = list(plan_text(small(), Texts.of(base)))
    assert "\n".join(lines[1:9]) == SAMPLE


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("size", [(0, 0), (1, 1), (3, 12), (10, 60)])
def test_eighty_columns(base: Base, size: tuple[int, int], language: str) -> None:
    placed = block(*size) if size[0] else small()
    lines = list(plan_text(placed, Texts.of(speaking(base, language))))
    assert [line for line in lines if len(line) > 80 or line != line.rstrip()] == []
    picture = [line for line in lines if RAIL.fullmatch(line)]
    assert picture
    assert all(line.isascii() for line in picture)


def counted(rail: Rail, lines: list[str]) -> tuple[int, int]:
    """Clamps of a rail in the picture, over all of its parts, and its height there."""
    found = [m for m in map(RAIL.fullmatch, lines) if m and m[1] == rail.id]
    return sum(m[3].count("o") for m in found), int(found[0][2])


@pytest.mark.parametrize("placed", [small(), block(1, 1), block(3, 12), block(10, 60)])
def test_each_rail_has_its_clamps_and_its_height(base: Base, placed: Placed) -> None:
    lines = list(plan_text(placed, Texts.of(base)))
    for rail in placed.rails:
        clamps = sum(len(piece.clamps) for piece in rail.pieces)
        assert counted(rail, lines) == (clamps, rail.y // 1000)


def test_the_highest_rail_stands_on_top(base: Base) -> None:
    lines = list(plan_text(block(3, 4), Texts.of(base)))
    heights = [int(m[2]) for m in map(RAIL.fullmatch, lines) if m]
    assert heights == sorted(heights, reverse=True)


def test_joints_and_splices_are_named_where_there_are_any(base: Base) -> None:
    long, short = (" ".join(plan_text(block(1, n), Texts.of(base))) for n in (60, 1))
    for sign in ("+ rigid joint", "= sliding joint", "(blank) gap between rails", "' splice"):
        assert sign in long
        assert sign not in short
