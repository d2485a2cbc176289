"""Mutation of the rules: every small change to a rule is noticed, or stands in survivors.yaml.

Cases tell whether a rule fires. What word it gives and what it proves only the answers of the
examples tell; such mutants stand in survivors.yaml as one group, or one by one.
"""

import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from operator import ne
from typing import Any

import pytest
from rich.console import Console

from selector.explanation.console import show
from selector.inference.answer import Answer, Desk
from selector.inference.changes import explained
from selector.inference.durable import Steps
from selector.inference.horn import Program
from selector.inference.judge import Judge, Judgement, Subject
from selector.inference.rulesets import Rulesets
from selector.jobs.read import job_of, read_job
from selector.knowledge.base import Base
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
from selector.model.fact import Reading
from selector.model.job import Job
from selector.model.quantity import Window
from selector.model.rule import Limit
from selector.model.truth import Bits, Word
from tests.conftest import ROOT
from tests.inference.test_never_yes import CHANGES, changed

SURVIVORS = ROOT / "tests" / "kb" / "survivors.yaml"
EXAMPLES = sorted((ROOT / "examples").glob("*/job.yaml"), reverse=True)
Key = tuple[Any, ...]
EXAMPLE, NEVER_YES, NOTHING = "seen by the examples", "seen by test_never_yes", "seen by nothing"


@cache
def listed() -> dict[str, tuple[str, str]]:
    """survivors.yaml: mutant -> what sees it, and why no case does."""
    data: Any = read_string(SURVIVORS.read_text(encoding="utf-8"), "survivors.yaml").data
    rows = [
        (mutant, group, data[group]["because"])
        for group in (EXAMPLE, NEVER_YES)
        for mutant in data[group]["mutants"]
    ]
    rows += [(row["mutant"], NOTHING, row["because"]) for row in data[NOTHING]]
    found = {mutant: (group, because) for mutant, group, because in rows}
    assert len(found) == len(rows), "a mutant is listed twice"
    return found


@pytest.fixture(scope="module")
def survivors(base: Base) -> dict[str, Mutant]:
    """Mutants that no case notices."""
    made = mutants(base)
    alive = {m.id: m for m in made if killer(base, m) is None}
    total, left = Counter(m.sort for m in made), Counter(m.sort for m in alive.values())
    lines = [f"{sort} {total[sort] - left[sort]} of {total[sort]}" for sort in sorted(total)]
    print(f"cases notice {len(made) - len(alive)} of {len(made)} mutants:", ", ".join(lines))
    return alive


def test_unchanged_the_slices_pass_all_their_cases(base: Base) -> None:
    for rule in base.rules:
        assert first_problem(slice_of(base, [rule.id]), cases_of(base, [rule.id])) is None


def test_every_mutant_is_noticed_by_a_case_or_listed(
    base: Base, survivors: dict[str, Mutant]
) -> None:
    assert sorted(survivors.keys() - listed().keys()) == [], "add a case, or list it with a reason"
    assert sorted(listed().keys() - survivors.keys()) == [], "no survivor: take it off the list"
    assert len(mutants(base)) > 3 * len(survivors)
    assert all(len(because) > 30 for _, because in listed().values())


def test_a_case_sees_every_change_of_what_a_rule_asks(survivors: dict[str, Mutant]) -> None:
    assert {m.sort for m in survivors.values()} <= SAID_ONLY


@pytest.mark.slow
def test_what_no_case_sees_the_answers_see_as_listed(
    base: Base, survivors: dict[str, Mutant]
) -> None:
    bench = Bench(base)
    unchanged = Mutant("unchanged", "none", base.rules[0])
    assert bench.seen_by(unchanged) == NOTHING
    seen = {i: bench.seen_by(m) for i, m in survivors.items()}
    bench.close()
    print(Counter(seen.values()))
    assert seen == {i: group for i, (group, _) in listed().items()}


# --- the changes themselves --------------------------------------------------------------


def test_a_limit_moves_by_one_of_its_last_printed_digit() -> None:
    assert step_of(25_000, "length") == 1_000  # 25 mm
    assert step_of(25_400, "length") == 100  # 25.4 mm
    assert step_of(2_500_000, "length") == 100_000  # 2.5 m
    assert step_of(450_000, "force") == 10_000  # 0.45 kN
    assert step_of(30_000, "share") == 10_000  # 3 %
    assert step_of(2, "count") == 1
    assert dict(moved(Limit("count", 2))) == {
        "limit up": Limit("count", 3),
        "limit down": Limit("count", 1),
    }
    window = Window("length", 22_000, 30_000)
    assert {(w.low, w.high) for _, w in moved(window) if isinstance(w, Window)} == {
        (23_000, 30_000),
        (21_000, 30_000),
        (22_000, 31_000),
        (22_000, 29_000),
    }
    assert list(moved(Window("length", None, None))) == []
    assert list(moved("steel")) == []


def test_every_sort_of_change_is_made_and_changes_one_rule(base: Base) -> None:
    made = mutants(base)
    assert {m.sort for m in made} == {
        *("drop", "negate", "limit", "list", "places", "any to all", "all to any"),
        *("word", "except", "proves", "then"),
    }
    assert len({m.id for m in made}) == len(made)
    for mutant in made:
        rule = base.rule(mutant.rule.id)
        assert mutant.rule != rule
        assert mutant.id.startswith(f"{rule.id} / ")


def test_a_rule_without_its_cases_lets_every_mutant_live(base: Base) -> None:
    bare = replace(base, cases=())
    assert {killer(bare, m) for m in mutants(base)[:20]} == {None}


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
    """Engines of the unchanged rules, and those of the changed rules one mutant at a time."""

    def __init__(self) -> None:
        self.whole: dict[str, _Kept] = {}
        self.changed: list[_Kept] = []

    def __call__(self, program: Program) -> _Kept:
        if program.kind not in self.whole:  # the unchanged rules come first
            self.whole[program.kind] = _Kept(program)
        kept = self.whole[program.kind]
        if kept.program != program:
            kept = _Kept(program)
            self.changed.append(kept)
        return kept

    def drop_changed(self) -> None:
        for kept in self.changed:
            kept.engine.close()
        self.changed.clear()

    def close(self) -> None:
        self.drop_changed()
        for kept in self.whole.values():
            kept.engine.close()


class _Again(Judge):
    """A judge that judges anew what a mutant affects, and knows the rest from before."""

    def __init__(
        self, base: Base, pool: _Pool, known: dict[Key, Judgement], mutant: Mutant | None = None
    ):
        super().__init__(base, pool)  # type: ignore[arg-type]
        self.known = known
        self.mutant = mutant

    def judge(
        self,
        subject: Subject,
        job: Job | None,
        derived: dict[str, Reading] | None = None,
        given: dict[str, Reading] | None = None,
    ) -> Judgement:
        key = _key(subject, job, derived)
        kept = self.known.get(key) if given is None else None
        if kept is not None and not self.affects(kept):
            return kept
        found = super().judge(subject, job, derived, given)
        if self.mutant is None and given is None:
            self.known[key] = found
        return found

    def affects(self, before: Judgement) -> bool:
        """Whether a mutant can make a judgement another one."""
        if self.mutant is None:
            return False
        rule = self.mutant.rule
        if self.mutant.sort == "word":
            return before.outcome(rule) in ("fires", "may fire")
        if self.mutant.sort == "proves":
            old = {need for r in before.program.rules if r.id == rule.id for need in r.proves}
            return any(before.proven(need).possibly for need in old - set(rule.proves))
        return True


def _key(subject: Subject, job: Job | None, derived: dict[str, Reading] | None) -> Key:
    b = subject.binding
    parts = (b.plane, b.array, b.clamp, b.rail, b.plan)
    shown = tuple((path, str(reading.value)) for path, reading in sorted((derived or {}).items()))
    return (
        job.file if job is not None else "",
        *(subject.kind, subject.id, shown),
        *(p.id if p is not None else None for p in parts),
        *(b.core, b.module_clamp, b.joint, b.contact, b.place, b.act),
    )


class Bench:
    """The jobs of the examples answered under one changed rule after another."""

    def __init__(self, base: Base):
        self.base = base
        self.pool = _Pool()
        self.known: dict[Key, Judgement] = {}
        self.examples = [
            replace(read_job(f, base.vocabulary), file=f"{f.parent.name}/job.yaml")
            for f in EXAMPLES
        ]
        self.mills = [
            (_changed_mill(base, i, old, new), mildest)
            for i, (old, new, mildest) in enumerate(CHANGES)
        ]
        whole = _Again(base, self.pool, self.known)
        self.texts = {job.file: list(_texts(base, job, whole)) for job in self.examples}
        assert all(_mild_enough(base, job, whole, word) for job, word in self.mills)
        whole.close()
        self.outcomes: dict[str, set[tuple[str, str]]] = {}
        for (file, *_), judgement in self.known.items():
            heard = {(r.id, judgement.outcome(r)) for r in judgement.program.rules}
            self.outcomes.setdefault(str(file), set()).update(heard)

    def touched(self, job: Job, mutant: Mutant, *outcomes: str) -> bool:
        """Whether a mutant can matter to a job: a word does only where its rule fires."""
        found = self.outcomes[job.file]
        return mutant.sort != "word" or any((mutant.rule.id, o) in found for o in outcomes)

    def close(self) -> None:
        self.pool.close()

    def may_be_milder(self, mutant: Mutant) -> bool:
        """Whether a verdict can become milder: not by a stronger word, nor by one proof less."""
        old, new = self.base.rule(mutant.rule.id), mutant.rule
        if mutant.sort == "word":
            beside = old.subject == "act" or old.gate is not None  # said, but never in a verdict
            return not beside and (new.word or Word.ALLOWED) < (old.word or Word.ALLOWED)
        return mutant.sort != "proves"

    def seen_by(self, mutant: Mutant) -> str:
        """Which list tells a mutant: the texts of the examples, the changed jobs, or nothing."""
        rules = tuple(mutant.rule if r.id == mutant.rule.id else r for r in self.base.rules)
        base = replace(self.base, rules=rules)
        judge = _Again(base, self.pool, self.known, mutant)

        shown = [j for j in self.examples if self.touched(j, mutant, "fires", "may fire")]
        asked = [(j, w) for j, w in self.mills if self.touched(j, mutant, "fires")]
        if not self.may_be_milder(mutant):
            asked = []
        try:
            for job in shown:
                if any(map(ne, _texts(base, job, judge), self.texts[job.file])):
                    return EXAMPLE
            if not all(_mild_enough(base, job, judge, word) for job, word in asked):
                return NEVER_YES
            return NOTHING
        finally:
            judge.close()
            self.pool.drop_changed()


def _changed_mill(base: Base, index: int, old: str, new: str) -> Job:
    return job_of(read_string(changed(old, new), f"changed-{index}.yaml"), base.vocabulary)


def _mild_enough(base: Base, job: Job, judge: Judge, mildest: Word | None) -> bool:
    """What tests/inference/test_never_yes.py asks of a changed job."""
    desk = Desk(base, job, judge)
    planned = desk.stack("planned").word
    if mildest is None:
        return planned >= Word.OBSERVE
    answer = desk.choose("a1")
    yes = any(option.verdict.word.is_yes for option in answer.options)
    return min(answer.word, planned) >= mildest and not yes


def _texts(base: Base, job: Job, judge: Judge) -> Iterator[str]:
    desk = Desk(base, job, judge)
    for stack in job.stacks:
        yield _text(explained(desk, stack), base, job)
    for array in job.arrays:
        yield _text(desk.choose(array), base, job)


def _text(answer: Answer, base: Base, job: Job) -> str:
    out = io.StringIO()
    show(answer, base, job, "VERSION", Console(file=out, width=80, no_color=True), 5)
    return out.getvalue()
