"""What was not a reason: nothing that is one, margins checked by hand and by judging again."""

from dataclasses import replace

import pytest

from selector.inference.answer import Desk
from selector.inference.bystanders import Bystander, bystanders
from selector.inference.changes import explained
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.job import Job
from selector.model.quantity import Candidates, Measured, Place
from selector.model.truth import Word
from tests.inference.test_again import job_named

REFUSED = [("copper-chapel", "from-the-van"), ("round-hall", "without-insert")]


def found(base: Base, judge: Judge, name: str, stack: str) -> dict[str, Bystander]:
    [option] = Desk(base, job_named(base, name), judge).stack(stack).options
    return {b.fact.path: b for b in bystanders(option.judgements, option.verdict)}


def moved(job: Job, path: str, by: int) -> Job:
    plane = next(iter(job.planes.values()))
    old = plane.observed[path]
    value = old.value
    assert isinstance(value, Measured)
    places = tuple(Place(p.low + by, p.high + by) for p in value.places)
    new = replace(old.sightings[0], value=Measured(value.dimension, places))
    other = replace(plane, observed={**plane.observed, path: replace(old, sightings=(new,))})
    return replace(job, planes={**job.planes, plane.id: other})


def test_aluminium_on_copper_is_no_question_of_size(base: Base, judge: Judge) -> None:
    """Head 6 to 6.3 mm +-0.5 in 5 to 8 mm, height 24 to 24.6 mm +-0.5 in 22 to 30 mm."""
    said = found(base, judge, "copper-chapel", "from-the-van")
    head, height = said["plane.seam.head"], said["plane.seam.height"]
    assert (head.margin, head.dimension, head.limit) == (500, "length", "5 to 8 mm")
    assert (height.margin, height.limit) == (1500, "22 to 30 mm")
    assert not {"plane.sheet.metal", "stack.inlay", "contact.upper"} & said.keys()


@pytest.mark.parametrize(("name", "stack"), REFUSED)
def test_no_fact_is_both_a_reason_and_none(base: Base, judge: Judge, name: str, stack: str) -> None:
    [option] = Desk(base, job_named(base, name), judge).stack(stack).options
    word = option.verdict.word
    guilty = {
        fact
        for finding in option.verdict.of_word(word)
        for reason in finding.judgement.reasons(f"rule:{finding.rule.id}")
        for fact in reason
    }
    named = bystanders(option.judgements, option.verdict)
    assert guilty and named
    assert not guilty & {b.fact for b in named}


def test_inside_its_margin_a_figure_stays_silent_and_beyond_it_speaks(
    base: Base, judge: Judge
) -> None:
    job = job_named(base, "copper-chapel")
    said = found(base, judge, "copper-chapel", "from-the-van")
    for path, way in (("plane.seam.head", -1), ("plane.seam.height", -1)):
        one = said[path]
        assert one.margin is not None
        for by, speaks in ((int(one.margin), False), (int(one.margin) + 100, True)):
            other = moved(job, path, way * by)
            [option] = Desk(base, other, judge).stack("from-the-van").options
            heard = {f.rule.id for f in option.verdict.findings}
            assert (one.rule.id in heard) is speaks, (path, by)


def test_a_yes_has_none(base: Base, judge: Judge) -> None:
    answer = explained(Desk(base, job_named(base, "mill-house"), judge), "planned")
    assert answer.options[0].verdict.word.is_yes
    assert answer.bystanders == ()


def test_a_rule_that_asks_for_a_record_has_no_margin(base: Base, judge: Judge) -> None:
    """Fanning seams make it the engineer's; the records that cover it are no figures."""
    job = job_named(base, "mill-house")
    plane = next(iter(job.planes.values()))
    old = plane.observed["plane.seam.parallel"]
    fans = replace(old.sightings[0], value=Candidates(frozenset({"fanning"})))
    observed = {**plane.observed, "plane.seam.parallel": replace(old, sightings=(fans,))}
    other = replace(job, planes={**job.planes, plane.id: replace(plane, observed=observed)})
    answer = explained(Desk(base, other, judge), "planned")
    assert answer.word == Word.ENGINEER
    assert answer.bystanders
    assert "plane.seam.parallel" not in {b.fact.path for b in answer.bystanders}
