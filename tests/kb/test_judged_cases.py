"""Twenty cases that somebody of the trade has judged, in a closed world of invented parts.

A case is its own facts over what all cases leave unsaid (`judged/silent.yaml`); words, stacks,
questions, conditions and reasons are the judge's (`judged/expected.yaml`).
"""

from collections.abc import Iterator
from typing import Any

import pytest

from selector.explanation.as_json import open_gates
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.worked import with_worked
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file
from selector.model.truth import Word
from tests.kb.judged import silent
from tests.kb.judged.compare import Judged

Data = dict[str, Any]
EXPECTED: Data = read_file(silent.HERE / "expected.yaml", "expected.yaml").data
UNREACHED: Data = read_file(silent.HERE / "unreached.yaml", "unreached.yaml").data


@pytest.fixture(scope="module")
def judged(base: Base, judge: Judge) -> Iterator[dict[str, Judged]]:
    yield {name: Judged(name, EXPECTED[name], base, judge) for name in silent.cases()}


def test_every_case_has_a_job_and_a_judgement() -> None:
    assert silent.cases() == sorted(EXPECTED)
    assert len(EXPECTED) == 20


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_never_a_yes_where_the_judge_says_no(judged: dict[str, Judged], name: str) -> None:
    assert judged[name].fatal() == []


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_the_answer_is_the_judges(judged: dict[str, Judged], name: str) -> None:
    """Whole, but for what `judged/unreached.yaml` lists; that list holds no more than is missed."""
    known = UNREACHED.get(name, {}).get("misses", [])
    assert sorted(judged[name].misses()) == sorted(known)


@pytest.mark.parametrize(
    ("name", "share"),
    [  # k F (s - a) / s and never more than F, k = 1.25; F of the case, else 0.30 kN; in kN
        ("EXP-01", 1.25 * 0.30 * 250 / 400),
        ("EXP-02", 1.25 * 0.50 * 200 / 400),
        ("EXP-03", 1.25 * 0.30 * 280 / 400),
        ("EXP-04", 0.20),
        ("EXP-05", 1.25 * 0.30 * 200 / 400),
        ("EXP-06", 1.25 * 0.30 * 165 / 330),
        ("EXP-07", 1.25 * 0.30 * 180 / 300),
        ("EXP-08", 0.25),
    ],
)
def test_shares_of_drawn_clips_are_the_hand_rules(
    base: Base, judge: Judge, name: str, share: float
) -> None:
    job = silent.job(name, base.vocabulary, drawn=True)
    assert "clip_share" not in job.arrays["a1"].stated
    worked = with_worked(Desk(base, job, judge), "refused").job.stacks["refused"].worked
    assert set(worked) == {"clip_share"}
    found = worked["clip_share"]
    assert found.least is not None and found.how.endswith("by hand")
    assert found.least <= share * 1e6 <= found.value
    # marks within 10 mm and clamps within 10 mm: at most so much nearer to a clip
    assert found.value <= share * 1e6 + 1.25 * 0.50 * 30 / 300 * 1e6


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_every_gate_is_closed(judged: dict[str, Judged], name: str) -> None:
    assert open_gates(judged[name].answer) == []


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_no_answer_turns_on_a_figure_that_the_case_leaves_open(
    base: Base, judge: Judge, judged: dict[str, Judged], name: str
) -> None:
    """Checks that pass may lie anywhere from nothing to 0.85 of their limit."""
    light = Judged(name, EXPECTED[name], base, judge, silent.light(name))
    assert light.answer.word == judged[name].answer.word
    assert light.fatal() == []
    assert light.yes() == judged[name].yes()


def test_what_is_unreached_says_why_and_what_would_reach_it() -> None:
    assert set(UNREACHED) <= set(EXPECTED)
    for entry in UNREACHED.values():
        assert set(entry) == {"misses", "because", "reached_by"}
        assert entry["misses"] and entry["because"] and entry["reached_by"]


def test_one_word_in_each_world_is_a_word(judged: dict[str, Judged]) -> None:
    """Near salt aluminium is forbidden on stainless and the engineer's on galvanised steel."""
    options = judged["SEL-03"].answer.options
    words = {o.core.clamp.partition("/")[2]: o.verdict.word for o in options}
    assert words["double-stainless-slideon"] == Word.OBSERVE
    assert words["double-alu-slideon"] == Word.ENGINEER
    assert options[0].core.clamp.endswith("double-stainless-slideon")
