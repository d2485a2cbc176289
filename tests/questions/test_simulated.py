"""Talks about roofs that we know: what is said at the end is never more than the roof bears."""

import random

import pytest

from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.truth import Word
from tests.questions.simulate import best, talk_through, true_roof


def test_the_roofs_are_of_many_shapes_and_some_are_bad(base: Base) -> None:
    roofs = [true_roof(base, random.Random(f"roof {i}")) for i in range(60)]
    planes = [roof["planes"]["p1"] for roof in roofs]
    assert len({p["seam"]["shape"]["sightings"][0]["is"] for p in planes}) == 8
    assert len({p["sheet"]["metal"]["is"] for p in planes}) == 5
    assert any(p["deck"]["sound"]["is"] != "dry and sound" for p in planes)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(6))
def test_no_talk_ends_in_a_false_yes(base: Base, judge: Judge, number: int) -> None:
    found = talk_through(base, judge, f"roof {number}", best)
    assert not found.false_yes
    assert found.said >= Word.CONDITIONAL or found.true.is_yes
    assert 0 < found.questions <= 60
