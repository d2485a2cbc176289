"""Zones that a layout reaches, where nobody said which: the clips of an edge are asked for."""

from collections.abc import Callable

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.inference.test_repair import worked

Lay = Callable[[str], LaidOut]
FIELD = "    zones: [field]\n"
FORM = "    form:    {is: duopitch, how: aerial view, by: cs}\n"


@pytest.fixture
def lay(base: Base, judge: Judge) -> Lay:
    def laid(text: str) -> LaidOut:
        job = job_of(read_string(text, "job.yaml"), base.vocabulary)
        return lay_out(Desk(base, job, judge), job.stacks["planned"])

    return laid


def rules_of(laid: LaidOut) -> set[str]:
    verdict = laid.option.verdict
    return {f.rule.id for f in verdict.findings}


def zones_of(laid: LaidOut) -> frozenset[str] | None:
    judgement = next(j for j in laid.option.judgements if j.subject.kind == "stack")
    assert judgement.view.binding.array is not None
    array = judgement.view.binding.array
    return frozenset(array.named_zones) if array.reached.settled else None


def test_clips_at_the_edge_are_asked_for_where_the_layout_reaches_it(lay: Lay) -> None:
    text = worked()
    assert FIELD in text
    unsaid = lay(text.replace(FIELD, ""))
    # the block begins 0.76 m from the left end; e / 10 of 13.9 m is 1.39 m: corner and edge
    assert zones_of(unsaid) == {"field", "edge", "corner"}
    assert "edge-clips-not-measured" in rules_of(unsaid) and unsaid.word >= Word.OBSERVE


def test_what_somebody_said_takes_no_reached_zone_away(lay: Lay) -> None:
    said = lay(worked())
    assert zones_of(said) == {"field", "edge", "corner"}
    assert "edge-clips-not-measured" in rules_of(said) and said.word >= Word.OBSERVE


def test_where_the_form_is_unknown_nobody_knows_the_zones(lay: Lay) -> None:
    formless = worked().replace(FORM, "").replace("      - roof zones\n", "")
    for text in (formless, formless.replace(FIELD, "")):
        unknown = lay(text)
        assert zones_of(unknown) is None and unknown.word >= Word.OBSERVE
