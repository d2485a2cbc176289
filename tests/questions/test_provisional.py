"""Provisional kits: what is left, counted from the array alone, hints named, never a yes."""

from dataclasses import replace
from typing import Any

import pytest

from selector.explanation.language import speaking
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file
from selector.model.truth import Word
from selector.questions.kits_screen import LINES, kits
from selector.questions.provisional import (
    Provisional,
    left_over,
    provisional_data,
    provisional_of,
)
from selector.questions.talk import Talk, job_in, state_of
from tests.conftest import ROOT
from tests.questions.test_talk import EMPTY


def example(name: str) -> dict[str, Any]:
    return dict(read_file(ROOT / "examples" / name / "job.yaml", "job.yaml").data)


def found_in(base: Base, judge: Judge, data: dict[str, Any]) -> tuple[Provisional | None, Desk]:
    desk = Desk(base, job_in(base, data), judge)
    return provisional_of(desk, desk.choose("a1"), "a1"), desk


@pytest.fixture(scope="module")
def first_call(base: Base, judge: Judge) -> Provisional:
    found, _ = found_in(base, judge, example("first-call"))
    assert found is not None
    return found


def test_only_what_is_to_be_observed_has_provisional_kits(base: Base, judge: Judge) -> None:
    for name, word in (("mill-house", Word.CONDITIONAL), ("harbour-shed", Word.ENGINEER)):
        found, desk = found_in(base, judge, example(name))
        assert desk.choose("a1").word == word and found is None


def test_hints_count_as_seen_and_are_named(
    base: Base, judge: Judge, first_call: Provisional
) -> None:
    assert dict(first_call.hints) == {"plane.seam.made": "by hand", "plane.sheet.metal": "steel"}
    seen = example("first-call")
    seen["planes"]["street"]["seam"]["made"] = {"is": "by hand", "how": "tool marks", "by": "ow"}
    seen["planes"]["street"]["sheet"]["metal"] = {"is": "steel", "how": "cut edge", "by": "ow"}
    surely, desk = found_in(base, judge, seen)
    assert surely is not None and surely.hints == ()
    assert surely.kits == first_call.kits
    names = {o.core for o in desk.choose("a1").options}
    assert {kit.core for kit in surely.kits} <= names


def test_what_every_kit_has_is_common_and_the_rest_differs(first_call: Provisional) -> None:
    kits_left = first_call.kits
    assert len(kits_left) > 1
    for slot, parts in first_call.common:
        assert {kit.filling(slot) for kit in kits_left} == {parts}
    for slot, each in first_call.differs:
        assert {kit.filling(slot) for kit in kits_left} == set(each) and len(each) > 1
    assert sum(len(below) for _, _, below in first_call.groups) == len(kits_left)


def test_pieces_follow_from_rows_columns_and_rail_lines(base: Base, judge: Judge) -> None:
    """Two rows of five modules of 1.09 m with gaps of 20 mm on two rail lines each: the plan."""
    data = example("first-call")
    data["arrays"]["a1"]["block"] |= {"rows": 2, "columns": 5}
    found, _ = found_in(base, judge, data)
    assert found is not None
    counts = {c.slot: c for c in found.counts}
    assert counts["rail"].pieces == 4
    assert counts["rail"].length == 5 * 1_090_000 + 4 * 20_000
    # two ends and four gaps a rail line
    assert (counts["module_clamp"].pieces, counts["module_clamp"].ends) == (4 * 6, 4 * 2)
    assert "clamp" not in counts  # nobody said which seams it crosses
    data["arrays"]["a1"] |= {"crosses": ["s01", "s02", "s03"], "clamps": "every second seam"}
    found, _ = found_in(base, judge, data)
    assert found is not None
    assert {c.slot: c.pieces for c in found.counts}["clamp"] == 4 * 2


@pytest.mark.parametrize("change", [{"orientation": "landscape"}, {"tilt": "10 deg"}])
def test_nothing_is_counted_where_the_rails_are_not_known(
    base: Base, judge: Judge, change: dict[str, str]
) -> None:
    data = example("first-call")
    data["arrays"]["a1"] |= change
    desk = Desk(base, job_in(base, data), judge)
    state = state_of(Talk(data, "a1", "rn", "phone"), base, judge)
    assert left_over(desk, state.left, "a1", ()).counts == ()


def test_many_clamps_are_named_before_their_kits_are_judged(base: Base, judge: Judge) -> None:
    state = state_of(Talk(EMPTY, "a1", "rn", "phone"), base, judge)
    assert state.left.answer is None
    found = left_over(state.desk, state.left, "a1", ())
    assert not found.whole and len(found.clamps) == len(state.left.candidates)
    assert len(found.kits) >= sum(c.weight for c in state.left.candidates)
    assert provisional_data(found)["groups"] == []


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", ["first-call", "long-barn"])
def test_a_screen_of_eight_lines_that_is_no_yes(
    base: Base, judge: Judge, name: str, language: str
) -> None:
    found, _ = found_in(base, judge, example(name))
    assert found is not None
    lines = kits(speaking(base, language), found)
    assert 3 <= len(lines) <= LINES and max(map(len, lines)) < 80
    start = {"en": "Provisional, not an answer", "de": "Vorläufig, keine Antwort"}[language]
    assert lines[0].startswith(start)
    for word in ("ALLOWED", "allowed", "erlaubt", "CONDITIONAL"):
        assert not any(word in line for line in lines)


def test_a_screen_never_grows(base: Base, judge: Judge, first_call: Provisional) -> None:
    many = tuple((f"plane.x{i}", "a long word that somebody typed") for i in range(30))
    lines = kits(base, replace(first_call, hints=many, kits=first_call.kits * 20))
    assert len(lines) <= LINES and max(map(len, lines)) < 80
    state = state_of(Talk(EMPTY, "a1", "rn", "phone"), base, judge)
    wide = left_over(state.desk, state.left, "a1", many)
    assert len(kits(base, wide)) <= LINES


def test_clamps_that_nobody_looked_at_leave_nothing_common(base: Base, judge: Judge) -> None:
    state = state_of(Talk(EMPTY, "a1", "rn", "phone"), base, judge)
    found = left_over(state.desk, replace(state.left, whole=False), "a1", ())
    assert found.more and found.kits == () and found.common == () and found.counts == ()
    [line, *rest] = kits(base, found)
    assert "clamps and more" in line and not any("every one" in r for r in rest)


def test_nothing_left_says_nothing(base: Base, first_call: Provisional) -> None:
    assert kits(base, replace(first_call, kits=(), clamps=())) == []
