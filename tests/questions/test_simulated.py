"""Talks about roofs that we know: what is said at the end is never more than the roof bears."""

import random
from collections.abc import Iterator

import pytest

from selector.inference.answer import Desk, Finder
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.quantity import Candidates, Measured
from selector.model.truth import Word
from selector.questions.talk import brisk
from tests.questions.simulate import (
    Person,
    best,
    exact,
    questionnaire,
    talk_through,
    true_roof,
)

ROOFS = [f"roof {number}" for number in range(60)]


@pytest.fixture(scope="module")
def steps(base: Base) -> Iterator[Judge]:
    judge = brisk(base)
    yield judge
    judge.close()


def test_the_roofs_are_of_many_shapes_and_some_are_bad(base: Base) -> None:
    roofs = [true_roof(base, random.Random(seed)) for seed in ROOFS]
    planes = [roof["planes"]["p1"] for roof in roofs]
    assert len({p["seam"]["shape"]["sightings"][0]["is"] for p in planes}) == 8
    assert len({p["sheet"]["metal"]["is"] for p in planes}) == 5
    assert any(p["deck"]["sound"]["is"] != "dry and sound" for p in planes)


def test_true_figures_have_no_tolerance_and_readings_keep_to_theirs(base: Base) -> None:
    height = base.vocabulary.quantities["plane.seam.height"]
    for seed in ROOFS[:20]:
        truth = true_roof(base, random.Random(seed))
        value = exact(base, truth).planes["p1"].observed["plane.seam.height"].value
        assert isinstance(value, Measured) and all(p.low == p.high for p in value.places)
        said, _ = Person(base, truth, seed).answer(height)
        if said != "?":
            *read, tool = said.split()
            assert tool == "calliper" and len(read) == 3
            for text, place in zip(read, value.places, strict=True):
                off = abs(int(text.removesuffix("um")) - place.low)
                assert off <= height.tools["calliper"]


def test_two_orders_meet_the_same_person(base: Base) -> None:
    truth = true_roof(base, random.Random(ROOFS[0]))
    one, other = Person(base, truth, ROOFS[0]), Person(base, truth, ROOFS[0])
    paths = list(base.vocabulary.quantities)
    forth = {path: one.answer(base.vocabulary.quantities[path]) for path in paths}
    back = {path: other.answer(base.vocabulary.quantities[path]) for path in paths[::-1]}
    assert forth == back
    known = [one.knows("plane.deck.sound")]
    known += [Person(base, truth, seed).knows("plane.deck.sound") for seed in ROOFS]
    assert 0.2 < sum(known) / len(known) < 0.8  # half of them, as its file says


@pytest.mark.slow
@pytest.mark.parametrize("seed", ROOFS[:4])
def test_no_talk_ends_in_a_false_yes(base: Base, judge: Judge, steps: Judge, seed: str) -> None:
    found = talk_through(base, judge, steps, seed, best)
    assert not found.false_yes
    assert found.said >= Word.CONDITIONAL or found.true.is_yes
    assert 0 < len(found.asked) <= 60
    assert len(set(found.asked)) == len(found.asked)


@pytest.mark.slow
def test_who_knows_all_gets_a_yes_that_is_true(base: Base, judge: Judge, steps: Judge) -> None:
    some = [ROOFS[n] for n in (3, 9, 11, 16, 27)]
    found = [talk_through(base, judge, steps, s, best, knows_all=True) for s in some]
    assert not any(f.false_yes for f in found)
    assert sum(bool(f.yes) for f in found) >= 2
    assert all(f.yes <= f.knowable == f.truly for f in found)


@pytest.mark.slow
def test_fewer_questions_than_a_questionnaire(base: Base, judge: Judge, steps: Judge) -> None:
    mine = [talk_through(base, judge, steps, seed, best) for seed in ROOFS[:5]]
    fixed = [talk_through(base, judge, steps, seed, questionnaire(base)) for seed in ROOFS[:5]]
    assert not any(found.false_yes for found in fixed)
    assert sum(len(f.asked) for f in mine) <= 0.75 * sum(len(f.asked) for f in fixed)


def test_no_true_roof_contradicts_itself(base: Base, judge: Judge) -> None:
    for number in range(40):
        roof = true_roof(base, random.Random(f"roof {number}"))
        job = exact(base, roof)
        view = Finder(Desk(base, job, judge), job.arrays["a1"]).about_plane.view
        for path in ("plane.seam.shape", "plane.sheet.metal"):
            assert isinstance(view.read(path).value, Candidates), (number, path)
        assert not job.contradictions(), number
