"""Mutation of the rules: every small change to a rule is noticed, or stands in survivors.yaml.

Cases tell whether a rule fires. What word it gives and what it proves only the answers of the
examples tell; such mutants stand in survivors.yaml as one group, or one by one.
"""

import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any, NamedTuple

import pytest
from rich.console import Console

from selector.explanation.console import show
from selector.inference.answer import Answer, Desk
from selector.inference.durable import Steps
from selector.inference.horn import Program
from selector.inference.judge import Judge
from selector.inference.rulesets import Rulesets
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_string
from selector.maintenance.mutants import (
    SAID_ONLY,
    Mutant,
    cases_of,
    first_problem,
    killer,
    moved,
    mutants,
    slice_of,
    step_of,
)
from selector.model.job import Job
from selector.model.quantity import Window
from selector.model.rule import Limit
from selector.model.truth import Bits
from tests.conftest import ROOT

SURVIVORS = ROOT / "tests" / "kb" / "survivors.yaml"
EXAMPLES = sorted((ROOT / "examples").glob("*/job.yaml"))


class Listed(NamedTuple):
    """survivors.yaml as read: what the answers show, and what nothing shows, with reasons."""

    by_answers: set[str]
    unseen: dict[str, str]


@cache
def listed() -> Listed:
    data: Any = read_string(SURVIVORS.read_text(encoding="utf-8"), "survivors.yaml").data
    unseen = {i: group["because"] for group in data["seen by nothing"] for i in group["mutants"]}
    return Listed(set(data["seen by the answers of the examples"]["mutants"]), unseen)


@pytest.fixture(scope="module")
def survivors(base: Base) -> dict[str, Mutant]:
    """Mutants that no case notices."""
    made = mutants(base)
    alive = {m.id: m for m in made if killer(base, m) is None}
    total, left = Counter(m.sort for m in made), Counter(m.sort for m in alive.values())
    lines = [f"{sort}: {total[sort] - left[sort]} of {total[sort]}" for sort in sorted(total)]
    print(f"killed by cases {len(made) - len(alive)} of {len(made)};", "; ".join(lines))
    return alive


def test_unchanged_the_slices_pass_all_their_cases(base: Base) -> None:
    for rule in base.rules:
        assert first_problem(slice_of(base, [rule.id]), cases_of(base, [rule.id])) is None


def test_every_mutant_is_noticed_by_a_case_or_listed(
    base: Base, survivors: dict[str, Mutant]
) -> None:
    known = listed().by_answers | listed().unseen.keys()
    assert not listed().by_answers & listed().unseen.keys()
    assert sorted(survivors.keys() - known) == [], "add a case, or list it with its reason"
    assert sorted(known - survivors.keys()) == [], "no longer a survivor: take it off the list"
    assert all(len(reason) > 30 for reason in listed().unseen.values())


def test_only_what_a_case_cannot_tell_is_left_to_the_answers(survivors: dict[str, Mutant]) -> None:
    assert {survivors[i].sort for i in listed().by_answers} <= SAID_ONLY | {"then"}


# --- the answers of the examples ---------------------------------------------------------


class _Kept:
    """An engine with its results, shared by all judges whose rules of this kind are equal."""

    def __init__(self, program: Program):
        self.program = program
        self.engine = Rulesets(program)
        self.results: dict[frozenset[tuple[str, Bits]], tuple[dict[str, Bits], Steps]] = {}

    def run(self, bits: dict[str, Bits]) -> tuple[dict[str, Bits], Steps]:
        key = frozenset(bits.items())
        if key not in self.results:
            self.results[key] = self.engine.run(bits)
        return self.results[key]

    def close(self) -> None:
        """Kept until the pool is closed."""


class _Pool:
    """Engines of the unchanged rules, and one of the changed kind at a time."""

    def __init__(self) -> None:
        self.whole: dict[str, _Kept] = {}
        self.changed: _Kept | None = None

    def __call__(self, program: Program) -> _Kept:
        kept = self.whole.setdefault(program.kind, _Kept(program))
        if kept.program == program:
            return kept
        self.changed = _Kept(program)
        return self.changed

    def drop_changed(self) -> None:
        if self.changed is not None:
            self.changed.engine.close()
            self.changed = None


class _Ear(Judge):
    """A judge that remembers which rules may fire."""

    heard: set[str]

    def judge(self, *args: Any, **more: Any) -> Any:
        judgement = super().judge(*args, **more)
        self.heard |= {r.id for r in judgement.program.rules if judgement.fires(r).possibly}
        return judgement


class Bench:
    """The examples answered under one changed rule after another."""

    def __init__(self, base: Base):
        self.base = base
        self.pool = _Pool()
        self.jobs = {f: read_job(f, base.vocabulary) for f in EXAMPLES}
        self.fire: dict[Any, set[str]] = {}
        self.texts: dict[Any, list[str]] = {}
        for file, job in self.jobs.items():
            ear = _Ear(base, self.pool)  # type: ignore[arg-type]
            ear.heard = set()
            self.texts[file] = list(_texts(base, job, ear))
            self.fire[file] = ear.heard

    def tells(self, mutant: Mutant) -> bool:
        """Whether some answer of an example reads otherwise under a mutant."""
        rules = tuple(mutant.rule if r.id == mutant.rule.id else r for r in self.base.rules)
        changed = replace(self.base, rules=rules)
        judge = Judge(changed, self.pool)  # type: ignore[arg-type]
        try:
            return any(
                new != old
                for file, job in self.jobs.items()
                if mutant.sort != "word" or mutant.rule.id in self.fire[file]
                for new, old in zip(_texts(changed, job, judge), self.texts[file], strict=True)
            )
        finally:
            judge.close()
            self.pool.drop_changed()


def _texts(base: Base, job: Job, judge: Judge) -> Iterator[str]:
    desk = Desk(base, job, judge)
    for stack in job.stacks:
        yield _text(desk.stack(stack), base, job)
    for array in job.arrays:
        yield _text(desk.choose(array), base, job)


def _text(answer: Answer, base: Base, job: Job) -> str:
    out = io.StringIO()
    show(answer, base, job, "VERSION", Console(file=out, width=80, no_color=True), 5)
    return out.getvalue()
