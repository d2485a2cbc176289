"""Every change that is offered is milder when built, and none of it can be left out."""

from dataclasses import replace
from itertools import combinations

import pytest

from selector.inference.answer import Change, Desk
from selector.inference.changes import MOST, changes
from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.model.job import StackPlan
from selector.model.truth import Word
from tests.conftest import ROOT

REFUSED = [
    ("copper-chapel", "from-the-van"),
    ("round-hall", "without-insert"),
    ("case-yard", "wrong-rail"),
]


def desk_of(base: Base, judge: Judge, name: str) -> Desk:
    return Desk(base, read_job(ROOT / "examples" / name / "job.yaml", base.vocabulary), judge)


def applied(plan: StackPlan, moved: tuple[tuple[str, str | None, str | None], ...]) -> StackPlan:
    """The plan with these slots filled anew."""
    slots, adapters, torque = dict(plan.slots), plan.adapters, plan.torque
    for slot, _, new in moved:
        if slot == "adapters":
            adapters = tuple(new.split(", ")) if new else ()
        elif slot == "torque":
            torque = None
        else:
            slots[slot] = new
    return replace(plan, id=f"{plan.id} {moved}", slots=slots, adapters=adapters, torque=torque)


@pytest.mark.parametrize(("name", "stack"), REFUSED)
def test_each_change_is_milder_and_needs_all_it_moves(
    base: Base, judge: Judge, name: str, stack: str
) -> None:
    desk = desk_of(base, judge, name)
    plan = desk.job.stacks[stack]
    now = desk.planned(plan).verdict.word
    found = changes(desk, stack)
    assert 1 <= len(found) <= MOST
    for change in found:
        built = desk.planned(applied(plan, change.moved))
        assert built.verdict.word == change.option.verdict.word < now
        for size in range(len(change.moved)):
            for fewer in combinations(change.moved, size):
                assert desk.planned(applied(plan, fewer)).verdict.word > built.verdict.word


def moved(change: Change) -> dict[str, str | None]:
    return {slot: new for slot, _, new in change.moved}


def test_the_inlay_comes_first_and_brings_its_jumper(base: Base, judge: Judge) -> None:
    first = changes(desk_of(base, judge, "copper-chapel"), "from-the-van")[0]
    assert moved(first) == {"inlay": "demo/in-1"}
    assert first.brings == ("bonding-jumper",)


def test_a_wrong_torque_is_set_right_and_nothing_else(base: Base, judge: Judge) -> None:
    desk = desk_of(base, judge, "mill-house")
    wrong = replace(desk.job.stacks["planned"], torque=18_000)
    job = replace(desk.job, stacks={"planned": wrong})
    [change] = changes(Desk(base, job, judge), "planned")
    assert change.moved == (("torque", "18 Nm", "as listed"),)
    assert change.option.verdict.word == Word.CONDITIONAL


def test_what_only_waits_for_a_look_is_not_changed(base: Base, judge: Judge) -> None:
    desk = desk_of(base, judge, "copper-chapel")
    assert desk.stack("stainless").word == Word.OBSERVE
    assert changes(desk, "stainless") == ()
