"""Over the whole table: what is worse for metals never makes an answer milder."""

from dataclasses import replace
from functools import cache

import pytest

from selector.explanation.texts import Texts
from selector.inference.judge import Judge
from selector.inference.pair import WATER, air_of_site, judge_pair, touching
from selector.knowledge.base import Base
from selector.model.job import Observed, Sighting
from selector.model.quantity import Candidates
from selector.model.truth import Word
from selector.questions.pair_typed import air_of

pytestmark = pytest.mark.slow

PLACES = ("on the sheet", "between parts", "above")
# Each air with one that adds something to it.
WORSE = [
    ("clean", "sea 5 km"),
    ("sea 9 km", "sea 5 km"),
    ("sea 5 km", "sea 0.5 km"),
    ("sea 0.5 km", "sea 0.1 km"),
    ("clean", "salted road"),
    ("clean", "pool hall"),
    ("clean", "soot"),
    ("clean", "ammonia"),
    ("sea 5 km", "sea 5 km, salted road"),
    ("sea 5 km", "sea 5 km, soot"),
    ("sea 5 km", "sea 5 km, ammonia"),
]


class Words:
    """Words of every cell of the table, each judged once."""

    def __init__(self, base: Base, judge: Judge):
        self.base, self.judge, self.texts = base, judge, Texts.of(base)
        self.metals = [metal for row in base.trade.finishes for metal in row.shape.shown]
        self.of = cache(self._of)

    def _of(self, place: str, air: str | None, washed: bool, water: str) -> dict[str, Word]:
        site = air_of(self.texts, self.base, air)
        left = Candidates(frozenset({water}))
        site[WATER] = Observed(WATER, (Sighting(left, "asked", "asked", 0),))
        around = air_of_site(self.judge, site)
        return {
            f"{upper.text} {upper.grade} / {lower.text} {lower.grade}": judge_pair(
                self.judge, replace(touching(place, upper, lower), washed=washed), around
            ).word
            for upper in self.metals
            for lower in self.metals
        }


@pytest.fixture(scope="module")
def words(base: Base, judge: Judge) -> Words:
    return Words(base, judge)


def milder(one: dict[str, Word], other: dict[str, Word]) -> list[str]:
    """Cells of the second table that are milder than in the first."""
    return [name for name in one if other[name] < one[name]]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("air", "worse"), WORSE)
def test_worse_air_is_never_better(words: Words, place: str, air: str, worse: str) -> None:
    before, after = (words.of(place, one, False, "none") for one in (air, worse))
    assert milder(before, after) == []


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("air", ["clean", "sea 5 km", "soot"])
def test_shelter_is_never_better(words: Words, place: str, air: str) -> None:
    before, after = (words.of(place, air, washed, "none") for washed in (True, False))
    assert milder(before, after) == []


@pytest.mark.parametrize("place", PLACES[:2])
@pytest.mark.parametrize("air", ["clean", "sea 5 km"])
def test_water_of_copper_is_never_better(words: Words, place: str, air: str) -> None:
    before, after = (words.of(place, air, False, water) for water in ("none", "copper"))
    assert milder(before, after) == []
    assert any(after[name] > before[name] for name in before)


@pytest.mark.parametrize("place", PLACES)
def test_an_air_that_nobody_tells_is_a_yes_only_where_every_air_is(
    words: Words, place: str
) -> None:
    unknown = words.of(place, None, False, "none")
    airs = ["clean", *(worse for _, worse in WORSE)]
    for name, word in unknown.items():
        if word.is_yes:
            assert all(words.of(place, air, False, "none")[name].is_yes for air in airs), name


def test_some_of_it_is_worse_indeed(words: Words) -> None:
    """Each addition makes some cell of the table stricter, so that the tests above can fail."""
    for worse in ("sea 0.1 km", "salted road", "pool hall", "soot", "ammonia"):
        before, after = (words.of(PLACES[0], air, False, "none") for air in ("clean", worse))
        assert any(after[name] > before[name] for name in before), worse
