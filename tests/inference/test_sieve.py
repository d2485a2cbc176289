"""Clamps refused alike are refused one by one too, and nothing else is left out."""

import random
from dataclasses import replace

import pytest

from selector.inference.answer import Answer, Desk
from selector.inference.judge import Judge
from selector.inference.sieve import Sieve
from selector.knowledge.base import Base
from selector.model.job import Job
from selector.model.rule import Condition, Path, Rule
from selector.model.truth import Word
from tests.inference.test_again import EXAMPLES, changed, job_named


def jobs(base: Base) -> list[tuple[str, Job]]:
    """The examples, and each with two observations changed in turn."""
    found = []
    for name in EXAMPLES:
        job = job_named(base, name)
        chance = random.Random(f"sieve {name}")
        found.append((name, job))
        for _ in range(2):
            job, path = changed(base, job, chance)
            found.append((f"{name}, {path}", job))
    return found


def one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every clamp a sort of its own."""

    def alone(sieve: Sieve, view: object) -> list[list[object]]:
        return [[clamp] for group in sieve._groups for clamp in group]

    monkeypatch.setattr(Sieve, "sorts", alone)


def refused(answer: Answer) -> set[str]:
    """Parts that the answer refuses on this plane, alike ones too."""
    parts = [r for r in answer.refusals if r.level == "part"]
    return {i for r in parts for i in (r.id, *r.alike)}


def test_an_answer_refuses_and_offers_what_it_would_without(
    base: Base, judge: Judge, monkeypatch: pytest.MonkeyPatch
) -> None:
    every = jobs(base)
    sorted_ = [Desk(base, job, judge).choose("a1") for _, job in every]
    assert any(r.alike for answer in sorted_ for r in answer.refusals if r.level == "part")
    one_by_one(monkeypatch)
    for (name, job), mine in zip(every, sorted_, strict=True):
        alone = Desk(base, job, judge).choose("a1")
        assert refused(mine) == refused(alone), name
        assert [(o.name, o.verdict.word) for o in mine.options] == [
            (o.name, o.verdict.word) for o in alone.options
        ], name


def test_each_clamp_named_alike_fails_the_same_requirement(
    base: Base, judge: Judge, monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = judge.stock(("demo",)).sieve.rules
    together = [(name, job, Desk(base, job, judge).choose("a1")) for name, job in jobs(base)]
    one_by_one(monkeypatch)
    for name, job, answer in together:
        alone = {r.id: r for r in Desk(base, job, judge).choose("a1").refusals}
        for refusal in (r for r in answer.refusals if r.level == "part"):
            [first] = refusal.judgements
            mine = {r.id for r in rules if first.fires(r).surely}
            for other in refusal.alike:
                [judged] = alone[other].judgements
                assert {r.id for r in rules if judged.fires(r).surely} == mine, (name, other)


def with_rule(base: Base, rule: Rule) -> Judge:
    return Judge(replace(base, rules=(*base.rules, rule)))


def a_rule(base: Base, rule_id: str, like: str, **parts: object) -> Rule:
    [pattern] = [r for r in base.rules if r.id == like]
    return replace(pattern, id=rule_id, proves=(), excepts=(), **parts)  # type: ignore[arg-type]


def test_a_clamp_that_a_rule_exempts_is_no_longer_alike(base: Base, judge: Judge) -> None:
    job = job_named(base, "round-hall")
    clamps = [p for p in base.parts_of(("demo",)) if p.slot == "clamp"]
    old = {p.id for p in clamps if p.shape.generation == "old"}  # type: ignore[attr-defined]
    assert old & refused(Desk(base, job, judge).choose("a1"))
    is_old = Condition(Path("clamp", "generation"), "is", ("old",))
    rule = a_rule(base, "old-ones-fit-all", "shape-not-gripped", kind="support", when=((is_old,),))
    rule = replace(rule, require=(), otherwise=None, excepts=("shape-not-gripped",))
    judge = with_rule(base, rule)
    try:
        found = Desk(judge.base, job, judge).choose("a1")
    finally:
        judge.close()
    refused_for_shape = [r for r in found.refusals if r.level == "part" and r.alike]
    assert refused_for_shape
    for refusal in refused_for_shape:
        assert not old & {refusal.id, *refusal.alike}


def test_what_reads_more_than_the_clamp_is_judged_one_by_one(base: Base) -> None:
    fits = Condition(Path("plane", "seam.height"), "within", Path("clamp", "grips.height"))
    rule = a_rule(base, "must-hold-the-height", "shape-not-gripped", when=(), require=(fits,))
    judge = with_rule(base, replace(rule, otherwise=Word.FORBIDDEN))
    try:
        sieve = judge.stock(("demo",)).sieve
    finally:
        judge.close()
    clamps = [p for p in base.parts_of(("demo",)) if p.slot == "clamp"]
    assert sorted(len(group) for group in sieve._groups) == [1] * len(clamps)
