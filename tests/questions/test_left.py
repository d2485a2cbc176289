"""What is left of a talk is the same with the memory of its steps and without."""

import random
from dataclasses import replace

import pytest

from selector.inference.answer import Desk, only_adds
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.truth import Word
from selector.questions import left as left_module
from selector.questions import screen
from selector.questions.left import Left, left_of, stopped
from selector.questions.talk import State, Talk, assumed, brisk, job_in, state_of
from tests.questions.simulate import Person, best, true_roof, unseen

Walk = list[tuple[Talk, State]]
Seen = tuple[list[tuple[str, int, tuple[str, ...]]], list[str], list[str]]


@pytest.fixture(scope="module")
def quick(base: Base) -> Judge:
    return brisk(base)


def steps(base: Base, judge: Judge, seed: str, most: int) -> Walk:
    """First steps of a talk about a roof drawn from a seed, each with the memory of the last."""
    truth = true_roof(base, random.Random(seed))
    person = Person(base, truth, seed)
    talk = Talk(unseen(truth), "a1", "x", "roof")
    state = state_of(talk, base, judge)
    found = [(talk, state)]
    while state.ask and not state.contradicted and len(found) < most:
        path = best(state, ())
        quantity = base.vocabulary.quantities.get(path)
        if quantity is None:
            talk = talk.skip(path)
        else:
            text, how = person.answer(quantity)
            talk = talk.answer(quantity, text, how or None)
        state = state_of(talk, base, judge, state.desk)
        found.append((talk, state))
    return found


@pytest.fixture(scope="module")
def walked(base: Base, quick: Judge) -> Walk:
    return steps(base, quick, "left 1", 12)


def told(state: State) -> Seen:
    candidates = [(c.name, c.weight, c.waits) for c in state.left.candidates]
    return candidates, sorted(state.left.died), [a.path for a in state.ask]


def test_each_step_is_what_it_is_without_a_memory(base: Base, quick: Judge, walked: Walk) -> None:
    for talk, state in walked[2::4]:
        assert told(state) == told(state_of(talk, base, quick)), len(talk.past)


@pytest.mark.slow
@pytest.mark.parametrize("seed", ["left 2", "left 3", "left 4"])
def test_every_step_is_what_it_is_without_a_memory(base: Base, quick: Judge, seed: str) -> None:
    for talk, state in steps(base, quick, seed, 40):
        assert told(state) == told(state_of(talk, base, quick)), len(talk.past)


def test_what_was_taken_back_lives_again(base: Base, quick: Judge, walked: Walk) -> None:
    talk, state = walked[5]
    first = walked[0][1]
    assert state.left.died
    back = state_of(walked[0][0], base, quick, state.desk)
    assert told(back) == told(first)
    shape = base.vocabulary.quantities["plane.seam.shape"]
    other = talk.take_back(shape)
    assert told(state_of(other, base, quick, state.desk)) == told(state_of(other, base, quick))


def test_fewer_worlds_never_make_a_yes(
    base: Base, judge: Judge, quick: Judge, walked: Walk
) -> None:
    for talk, _ in walked[3::4]:
        job = job_in(base, assumed(talk.job, base))
        words = {o.name: o.verdict.word for o in Desk(base, job, judge).choose("a1").options}
        for option in Desk(base, job, quick).choose("a1").options:
            assert option.verdict.word in (words[option.name], Word.OBSERVE), option.name


def test_a_job_that_only_adds(walked: Walk) -> None:
    jobs = [state.desk.job for _, state in walked]
    assert only_adds(jobs[0], jobs[-1])
    assert not only_adds(jobs[-1], jobs[0])
    plane = jobs[-1].planes["p1"]
    finer = replace(jobs[-1], planes={"p1": replace(plane, observed={**plane.observed})})
    assert only_adds(jobs[-1], finer)
    assert not only_adds(jobs[-1], replace(finer, arrays={}))


def of_many(base: Base, talk: Talk, judge: Judge) -> Left:
    job = job_in(base, assumed(talk.job, base))
    return left_of(Desk(base, job, judge), "a1")


def test_among_very_many_some_stand_for_all(
    base: Base, quick: Judge, walked: Walk, monkeypatch: pytest.MonkeyPatch
) -> None:
    talk, state = walked[0]
    assert state.left.whole
    every = {c.name for c in state.left.candidates}
    monkeypatch.setattr(left_module, "MANY", 8)
    some = of_many(base, talk, quick)
    assert not some.whole
    assert "and more" in screen.status(base, replace(state, left=some))
    assert "and more" not in screen.status(base, state)
    assert {c.name for c in some.candidates} < every
    assert set(some.paths) <= set(state.left.paths)


@pytest.mark.parametrize("many", [1, 3])
def test_what_may_become_a_yes_is_found_among_very_many(
    base: Base, quick: Judge, walked: Walk, monkeypatch: pytest.MonkeyPatch, many: int
) -> None:
    monkeypatch.setattr(left_module, "MANY", many)
    for talk, state in walked[5::3]:
        assert state.left.answer is not None
        some, every = of_many(base, talk, quick).candidates, state.left.candidates
        assert {c.name for c in some} <= {c.name for c in every}
        assert bool(some) == bool(every), len(talk.past)


def test_the_nearest_is_named_where_none_can_become_a_yes(
    base: Base, quick: Judge, walked: Walk
) -> None:
    talk, state = walked[5]
    assert not list(screen.nearest(base, state.left))
    lying = {**talk.job["arrays"]["a1"], "orientation": "landscape"}
    turned = replace(talk, job={**talk.job, "arrays": {"a1": lying}})
    found = state_of(turned, base, quick).left
    assert len(found.candidates) == 0
    said = " ".join(" ".join(screen.nearest(base, found)).split())
    assert found.answer is not None
    why = stopped(found.answer.options[0].verdict)
    assert why == "nobody has worked out the upper rails"  # two layers are the engineer's
    assert why in said
