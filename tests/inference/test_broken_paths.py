"""Each inference path broken on purpose: the other one notices, and nothing becomes a yes."""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from selector.explanation.as_json import answer_data
from selector.inference import plain
from selector.inference.answer import Desk
from selector.inference.durable import Steps
from selector.inference.horn import Clause, Literal, Program
from selector.inference.judge import Judge
from selector.inference.rulesets import Rulesets
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.maintenance.cases import run_case
from selector.model.truth import Bits, Word
from tests.conftest import ROOT


def noticed(base: Base, judge: Judge) -> int:
    """Cases on which the two paths disagree."""
    found = 0
    for case in base.cases:
        problems = run_case(base, judge, case).problems
        found += any("the two paths disagree" in p.text for p in problems)
    judge.close()
    return found


Clauses = tuple[Clause, ...]


def drop_a_literal(clauses: Clauses) -> Clauses:
    return tuple(
        replace(c, literals=c.literals[:-1]) if len(c.literals) > 1 else c for c in clauses
    )


def _other(literal: Literal) -> Literal:
    return Literal(literal.name, not literal.positive)


def negate_a_literal(clauses: Clauses) -> Clauses:
    return tuple(
        replace(c, literals=(_other(c.literals[0]), *c.literals[1:])) if c.literals else c
        for c in clauses
    )


def forget_a_clause(clauses: Clauses) -> Clauses:
    return clauses[1:]


class _Damaged(Rulesets):
    """An engine that was given other clauses than the rules say."""

    damage: Callable[[Clauses], Clauses]

    def __init__(self, program: Program):
        clauses = type(self).damage(program.clauses)
        super().__init__(replace(program, clauses=clauses))


@pytest.mark.parametrize("damage", [drop_a_literal, negate_a_literal, forget_a_clause])
def test_the_plain_path_notices_other_clauses(
    base: Base, damage: Callable[[Clauses], Clauses]
) -> None:
    engine: Any = type("Engine", (_Damaged,), {"damage": staticmethod(damage)})
    assert noticed(base, Judge(base, engine)) > 0


class _Swapped(Rulesets):
    """An engine that mixes up what is sure and what is possible."""

    def run(self, bits: dict[str, Bits]) -> tuple[dict[str, Bits], Steps]:
        heads, steps = super().run(bits)
        return {h: Bits(b.possibly, b.surely) for h, b in heads.items()}, steps


def test_the_plain_path_notices_swapped_bits(base: Base) -> None:
    assert noticed(base, Judge(base, _Swapped)) > 0


@pytest.mark.parametrize("broken", ["_measure", "_among", "_flip", "_and", "_or"])
def test_the_engine_path_notices_a_broken_comparison(
    base: Base, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    whole = getattr(plain, broken)

    def flipped(*args: Any) -> plain.Pair:
        one, other = whole(*args)
        return not other, not one

    monkeypatch.setattr(plain, broken, flipped)
    assert noticed(base, Judge(base)) > 0


def test_a_disagreement_is_never_a_yes(base: Base) -> None:
    job = read_job(ROOT / "examples" / "mill-house" / "job.yaml", base.vocabulary)
    engine: Any = type("Engine", (_Damaged,), {"damage": staticmethod(negate_a_literal)})
    judge = Judge(base, engine)
    desk = Desk(base, job, judge)
    planned = desk.stack("planned")
    assert planned.options[0].verdict.withheld
    assert planned.word >= Word.ENGINEER
    assert not any(o.verdict.word.is_yes for o in desk.choose("a1").options)
    judge.close()


def test_a_disagreement_is_handed_out_whole(base: Base) -> None:
    """What is sent in names the head, and the bits of both paths that differ."""
    job = read_job(ROOT / "examples" / "mill-house" / "job.yaml", base.vocabulary)
    engine: Any = type("Engine", (_Damaged,), {"damage": staticmethod(negate_a_literal)})
    judge = Judge(base, engine)
    answer = Desk(base, job, judge).stack("planned")
    data = json.loads(json.dumps(answer_data(answer, base, job, "")))
    judge.close()
    assert data["exit"] == 70
    assert data["disagreements"]
    for found in data["disagreements"]:
        head = found["difference"].partition(": engine")[0]
        heads = [world["heads"][head] for world in found["worlds"]]
        assert any(bits["engine"] != bits["plain"] for bits in heads)
        conditions = [bits for world in found["worlds"] for bits in world["conditions"].values()]
        assert all(bits["engine"] == bits["plain"] for bits in conditions)
