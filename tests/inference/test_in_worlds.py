"""A word that each candidate gets by another rule: which rules, and where each gives it."""

from typing import Any

import pytest

from selector.explanation.as_json import answer_data
from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.explanation.worlds import worlds_lines
from selector.inference.answer import Desk
from selector.inference.in_worlds import giving, in_worlds
from selector.inference.judge import Judge
from selector.inference.verdict import Verdict
from selector.knowledge.base import Base
from selector.model.job import Job
from selector.model.truth import Word
from tests.kb.judged import silent

STACK = "refused"
PHOTO = {"how": "photo of one seam end", "by": "judge"}


def either(base: Base, *shapes: str) -> Job:
    """A seam 21 mm high, one of these shapes: double-lock is too low, no other is gripped."""
    shape: dict[str, Any] = {"one_of": list(shapes), **PHOTO}
    change = {"planes": {"roof": {"seam": {"shape": shape}}}}
    return silent.job("EXP-01", base.vocabulary, change)


@pytest.fixture
def verdict(base: Base, judge: Judge) -> Verdict:
    job = either(base, "double-lock", "single-lock")
    return Desk(base, job, judge).stack(STACK).options[0].verdict


def test_each_world_has_its_rule(verdict: Verdict) -> None:
    assert verdict.word == Word.FORBIDDEN
    assert verdict.of_word(verdict.word) == []
    [found] = in_worlds(verdict)
    cases = {tuple(r.id for r in rules): {w for [(_, w)] in words} for words, rules in found.cases}
    assert cases == {
        ("seam-outside-clamp-window",): {"double-lock"},
        ("shape-not-gripped",): {"single-lock"},
    }
    assert {f.rule.id for f in giving(verdict)} == {
        "seam-outside-clamp-window",
        "shape-not-gripped",
    }


def test_only_what_the_rules_turn_on_is_named(base: Base, judge: Judge) -> None:
    """The metal is open as well; no rule here asks for it."""
    metal = {"one_of": ["steel", "zinc"], "how": "colour", "by": "judge"}
    shape = {"one_of": ["double-lock", "single-lock"], **PHOTO}
    seen = {"seam": {"shape": shape}, "sheet": {"metal": metal}}
    job = silent.job("EXP-01", base.vocabulary, {"planes": {"roof": seen}})
    [found] = in_worlds(Desk(base, job, judge).stack(STACK).options[0].verdict)
    paths = {p for words, _ in found.cases for w in words for p, _ in w}
    assert paths == {"plane.seam.shape"}


def test_a_word_with_a_finding_needs_no_worlds(base: Base, judge: Judge) -> None:
    sure = Desk(base, either(base, "double-lock"), judge).stack(STACK).options[0].verdict
    assert sure.of_word(Word.FORBIDDEN)
    assert in_worlds(sure) == ()
    assert {f.rule.id for f in giving(sure)} == {f.rule.id for f in sure.of_word(sure.word)}


def test_one_line_says_so_in_each_language(base: Base, verdict: Verdict) -> None:
    [english] = worlds_lines(verdict, Texts.of(base))
    assert english == (
        "double-alu-slideon: forbidden whatever it is, by another rule each time: seam shape"
        " double-lock: forbidden by seam-outside-clamp-window; single-lock:"
        " forbidden by shape-not-gripped"
    )
    [german] = worlds_lines(verdict, Texts.of(speaking(base, "de")))
    assert german == (
        "double-alu-slideon: verboten, was immer es ist, jeweils durch eine andere Regel: Falzform"
        " Doppelstehfalz: verboten durch seam-outside-clamp-window; Winkelstehfalz:"
        " verboten durch shape-not-gripped"
    )


def test_judge_and_pick_hand_it_out_as_data(base: Base, judge: Judge) -> None:
    job = either(base, "double-lock", "single-lock")
    desk = Desk(base, job, judge)
    [told] = answer_data(desk.stack(STACK), base, job, "VERSION")["stacks"][0]["by_world"]
    assert [case["rules"] for case in told["cases"]] == [
        ["seam-outside-clamp-window"],
        ["shape-not-gripped"],
    ]
    assert told["cases"][0]["where"] == [{"plane.seam.shape": "double-lock"}]
    refused = answer_data(desk.choose("a1"), base, job, "VERSION")["refused"]
    bare = [r for r in refused if not any(f["surely"] for f in r["findings"])]
    assert bare
    assert all(r["by_world"] for r in bare)
