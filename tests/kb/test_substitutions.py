"""Ten substitutions that somebody of the trade has judged, in the closed world of the cases.

Each is a few facts over `judged/silent.yaml`, an original that was accepted with its conditions,
and one change; words, conditions and ways out are the judge's (`judged/substitutions.yaml`).
"""

import re
from functools import cache
from typing import Any

import pytest

from selector.explanation.narrate import fill
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.swap import Swapped, swapped
from selector.inference.verdict import Finding
from selector.jobs.changed import exchanged, with_set
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_file
from selector.model.truth import Word
from tests.kb.judged import silent

Data = dict[str, Any]
FILE = "substitutions.yaml"
EXPECTED: Data = read_file(silent.HERE / FILE, FILE).data
NAMES = sorted(EXPECTED)


@cache
def found(name: str, accepted: bool = True) -> Swapped:
    base = load_base()
    judge = Judge(base)
    document = silent.document(name, None if accepted else _unaccepted(name))
    job = job_of(document, base.vocabulary)
    request = job.request
    assert request.stack is not None
    sets = request.changes
    if request.out is not None and request.into is not None:
        sets = exchanged(document, request.stack, [(request.out, request.into)])
    changed = with_set(document, base.vocabulary, request.stack, sets)
    desk = Desk(base, job, judge)
    other = Desk(base, changed.job, judge, before=desk)
    moved = changed.places_moved
    return swapped(desk, other, request.stack, void=changed.void, places_moved=moved)


def _unaccepted(name: str) -> Data:
    stacks = read_file(silent.HERE / name / "job.yaml", name).data["stacks"]
    return {"stacks": {stack: {"accepted": []} for stack in stacks}}


def carried(one: Swapped) -> set[str]:
    """Rules of the trade behind a word: those that give a no, or that carry a yes."""
    verdict = one.option.verdict
    if not one.word.is_yes:
        return {
            i
            for f in verdict.findings
            if f.surely and f.rule.word == one.word
            for i in f.rule.trade
        }
    rules = [f.rule for f in verdict.conditions]
    for judgement in one.option.judgements:
        for rule in judgement.program.rules:
            fires = judgement.fires(rule)
            met = rule.kind == "require" and not fires.possibly
            if met or (rule.kind == "support" and fires.surely):
                rules.append(rule)
    return {i for rule in rules for i in rule.trade}


def test_every_case_has_a_job_and_a_judgement() -> None:
    assert silent.swaps() == NAMES
    assert len(NAMES) == 10


@pytest.mark.parametrize("name", NAMES)
def test_the_word_is_the_judges(name: str) -> None:
    wanted = next(w for w in Word if w.text == EXPECTED[name]["word"])
    assert found(name).word == wanted


@pytest.mark.parametrize("name", NAMES)
def test_the_reason_is_the_judges(name: str) -> None:
    assert set(EXPECTED[name]["decisive"]) <= carried(found(name))


@pytest.mark.parametrize("name", [n for n in NAMES if "conditions" in EXPECTED[n]])
def test_new_conditions_are_said_and_no_old_one(name: str) -> None:
    fresh = {i for f in found(name).fresh for i in f.rule.trade}
    wanted = set(EXPECTED[name]["conditions"])
    assert wanted <= fresh
    assert bool(wanted) == bool(fresh)
    old = {(f.rule.id, _limits(f)) for f in found(name).before.verdict.conditions}
    assert not old & {(f.rule.id, _limits(f)) for f in found(name).fresh}


def _limits(finding: Finding) -> tuple[str, ...]:
    """What a condition says besides names, read off its sentence."""
    text = fill(finding.rule.message, finding.rule, finding.judgement, Texts.of(load_base()))
    return tuple(re.findall(r"[0-9.]+ k?[a-zA-Z]+", text))


def test_a_condition_with_another_figure_is_new() -> None:
    """The rails of the two families reach 0.30 and 0.40 m beyond their last clamp."""
    [rail_end] = [f for f in found("SUB-02").fresh if f.rule.id == "rail-end-to-be-kept-short"]
    assert _limits(rail_end) == ("400 mm",)
    assert "rail-end-to-be-kept-short" in {f.rule.id for f in found("SUB-08").met}


@pytest.mark.parametrize("name", [n for n in NAMES if "way_out" in EXPECTED[n]])
def test_the_way_out_is_the_judges(name: str) -> None:
    changes = found(name).answer.changes
    for slot, to in EXPECTED[name]["way_out"]:
        fitting = [c for c in changes for m in c.moved if m[0] == slot and to in ("", m[2])]
        assert fitting, (slot, [c.moved for c in changes])
        assert all(c.option.verdict.word < found(name).word for c in fitting)


@pytest.mark.parametrize("name", NAMES)
def test_what_nobody_accepted_gives_no_credit(name: str) -> None:
    bare = found(name, accepted=False)
    assert bare.word >= found(name).word
    assert bare.word != Word.ALLOWED
    assert bare.met == ()


def test_figures_of_other_places_fall_away(base: Base) -> None:
    assert "uplift_per_clamp" in found("SUB-05").void
    assert "net_uplift" not in found("SUB-05").void  # the modules lie where they lay
    assert "net_uplift" in found("SUB-07").void
    assert found("SUB-08").void == ()


def test_what_comes_and_goes_with_a_part() -> None:
    assert found("SUB-01").leaves == ("bond-jumper",)
    moved = {slot for slot, *_ in found("SUB-02").moved}
    assert {"rail", "adapters", "bolts"} <= moved
