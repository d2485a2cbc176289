"""Clamps that are judged for their like come out as if each were judged by itself."""

import random
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import pytest

from selector.inference.answer import Desk, Finder
from selector.inference.judge import Judge, Judgement
from selector.knowledge.base import Base, Part
from selector.model.truth import Word
from selector.questions import alive as alive_module
from selector.questions.alive import Alive
from selector.questions.left import left_of, stopped
from selector.questions.talk import State, Talk, assumed, brisk, job_in, state_of
from tests.questions.simulate import Person, best, true_roof, unseen

COPIES = 6  # of each clamp, none with a record, each with jaws of another one


@pytest.fixture(scope="module")
def many(base: Base) -> Base:
    """The shipped base with many clamps that nobody has tested."""
    demo, chance = base.catalogues["demo"], random.Random("many")
    clamps = [p for p in demo.parts.values() if p.slot == "clamp"]
    more = {}
    for number in range(COPIES):
        for clamp in clamps:
            grips = getattr(chance.choice(clamps).shape, "grips", ())
            shape = clamp.shape.model_copy(update={"grips": grips})
            part = replace(clamp, id=f"demo/x-{clamp.handle}-{number}", shape=shape)
            more[part.id] = part
    catalogue = replace(demo, parts=demo.parts | more)
    return replace(base, catalogues=base.catalogues | {"demo": catalogue})


@pytest.fixture(scope="module")
def quick(many: Base) -> Judge:
    return brisk(many)


def walk(base: Base, judge: Judge, seed: str) -> list[tuple[Talk, State]]:
    """A talk about a roof drawn from a seed, to its end."""
    truth = true_roof(base, random.Random(seed))
    person = Person(base, truth, seed)
    talk = Talk(unseen(truth), "a1", "x", "roof")
    state = state_of(talk, base, judge)
    found = [(talk, state)]
    while state.ask and not state.contradicted:
        path = best(state, ())
        quantity = base.vocabulary.quantities.get(path)
        text, how = person.answer(quantity) if quantity is not None else ("", None)
        talk = talk.answer(quantity, text, how or None) if quantity is not None else talk.skip(path)
        state = state_of(talk, base, judge, state.desk)
        found.append((talk, state))
    return found


@contextmanager
def each_by_itself(patch: pytest.MonkeyPatch) -> Iterator[None]:
    def by_itself(self: Alive, clamp: Part, _view: object) -> Judgement:
        return self._by_itself(clamp)

    with patch.context() as patched:
        patched.setattr(Alive, "_of_like", by_itself)
        patched.setattr(Alive, "_killed", lambda *_: None)
        yield


@pytest.mark.parametrize("enough", [1, 24])
@pytest.mark.parametrize("seed", ["roof 0", "roof 3", "roof 9"])
def test_like_clamps_come_out_alike(
    many: Base, quick: Judge, monkeypatch: pytest.MonkeyPatch, seed: str, enough: int
) -> None:
    monkeypatch.setattr(alive_module, "ENOUGH", enough)
    for talk, _ in walk(many, quick, seed)[::6]:
        job = job_in(many, assumed(talk.job, many))
        passed = frozenset(talk.skipped)
        mine = left_of(Desk(many, job, quick), "a1", passed)
        with each_by_itself(monkeypatch):
            other = left_of(Desk(many, job, quick), "a1", passed)
        names = [(c.name, c.weight, c.waits) for c in mine.candidates]
        assert names == [(c.name, c.weight, c.waits) for c in other.candidates]
        assert sorted(mine.died) == sorted(other.died)
        assert mine.whole == other.whole
        if mine.answer is None:  # a clamp is told of by its own data, not by that of its like
            assert all(c.judgements[-1].subject.id == c.name for c in mine.candidates)


@pytest.mark.parametrize("most", [1, 5])
def test_all_clamps_are_gone_through_once(many: Base, quick: Judge, most: int) -> None:
    talk = Talk(unseen(true_roof(many, random.Random("roof 9"))), "a1", "x", "roof")
    desk = Desk(many, job_in(many, assumed(talk.job, many)), quick)
    alive, seen, whole = Alive(desk, Finder(desk, desk.job.arrays["a1"])), [], False
    while not whole:
        batch = alive.more(most)
        assert len(batch.clamps) <= most
        whole = batch.whole
        seen += [clamp.id for clamp, _ in batch.clamps]
        alive.alike = True
    every = {p.id for p in many.parts_of(desk.job.catalogues) if p.slot == "clamp"}
    assert len(seen) == len(set(seen))
    assert set(seen) | set(desk.died) == every
    assert not set(seen) & set(desk.died)


def test_without_a_record_no_stack_can_become_a_yes(many: Base, quick: Judge) -> None:
    looked = 0
    for talk, _ in walk(many, quick, "roof 9")[::9]:
        desk = Desk(many, job_in(many, assumed(talk.job, many)), quick)
        finder = Finder(desk, desk.job.arrays["a1"])
        for clamp in desk.stock.mixed[:40]:
            if not many.catalogues[clamp.catalogue].of_clamp(clamp.handle):
                for option in list(finder.above(clamp))[:3]:
                    lost = any(m.lost for m in option.verdict.missing)
                    assert option.verdict.word >= Word.ENGINEER or lost, option.name
                    assert stopped(option.verdict)
                    looked += 1
    assert looked > 50
