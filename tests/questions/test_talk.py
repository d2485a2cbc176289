"""A talk is a row of jobs: undo goes back, a hint steers and proves nothing."""

from dataclasses import replace
from typing import Any

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file
from selector.model.quantity import Unknown
from selector.model.rule import Path
from selector.model.truth import Word
from selector.questions.order import ranked
from selector.questions.talk import Talk, assumed, job_in, state_of
from tests.conftest import ROOT
from tests.questions.told import refused

ARRAY = {
    "plane": "roof",
    "module": "demo/module-p35",
    "orientation": "portrait",
    "tilt": "parallel",
    "block": {"rows": 1, "columns": 4, "from_eave": "0.6 m", "from_left": "0.8 m", "gap": "20 mm"},
    "rail_lines": 2,
}
EMPTY: dict[str, Any] = {
    "seamwright": "job/1",
    "id": "talk",
    "as_of": "2031-02-03",
    "catalogues": ["demo"],
    "request": {"kind": "choose", "array": "a1"},
    "people": {"rn": {"role": "salesperson"}},
    "site": {},
    "planes": {"roof": {}},
    "arrays": {"a1": ARRAY},
    "stacks": {},
}


@pytest.fixture
def phone() -> Talk:
    return Talk(EMPTY, "a1", "rn", "phone")


@pytest.fixture
def roof() -> Talk:
    return Talk(EMPTY, "a1", "rn", "roof")


def say(talk: Talk, base: Base, path: str, text: str, how: str | None = None) -> Talk:
    return talk.answer(base.vocabulary.quantities[path], text, how)


def test_undo_goes_back_step_by_step(base: Base, roof: Talk) -> None:
    one = say(roof, base, "plane.seam.shape", "round")
    two = say(one, base, "plane.seam.bulb", "19 19 19")
    three = two.skip("plane.pitch")
    assert three.undone().job == two.job and three.undone().skipped == ()
    assert three.undone().undone().job == one.job
    first = three.undone().undone().undone()
    assert first.job == EMPTY
    assert first.undone() == first


def test_a_word_on_the_phone_is_a_hint_and_a_photo_is_not(base: Base, phone: Talk) -> None:
    said = say(phone, base, "plane.seam.shape", "double-lock")
    assert said.sightings(Path("plane", "seam.shape")) == [{"hint": "double-lock", "by": "rn"}]
    shown = say(phone, base, "plane.seam.shape", "double-lock", "photo of one seam end")
    assert shown.sightings(Path("plane", "seam.shape"))[0]["how"] == "photo of one seam end"
    owner = say(phone, base, "site.building", "existing")
    assert owner.sightings(Path("site", "building"))[0]["is"] == "existing"
    measured = say(phone, base, "plane.seam.height", "25 25 25 calliper")
    assert "places" in measured.sightings(Path("plane", "seam.height"))[0]


def test_on_the_roof_the_coarsest_tool_is_assumed(base: Base, roof: Talk) -> None:
    said = say(roof, base, "plane.seam.height", "25 25 25")
    tool = said.sightings(Path("plane", "seam.height"))[0]["tool"]
    tools = base.vocabulary.quantities["plane.seam.height"].tools
    assert tools[tool] == max(tools.values())


def test_a_metal_without_a_way_of_looking_is_a_hint_on_the_roof_too(
    base: Base, judge: Judge, roof: Talk
) -> None:
    metal = Path("plane", "sheet.metal")
    assert say(roof, base, str(metal), "copper").sightings(metal) == [
        {"hint": "copper", "by": "rn"}
    ]
    for how, known in (("cut edge", True), ("colour", False), ("by its magnet", False)):
        job = job_in(base, say(roof, base, str(metal), "copper", how).job)
        value = job.planes["roof"].observed[str(metal)].value
        assert (not isinstance(value, Unknown)) is known, how


def bare_offcut(talk: Talk, base: Base) -> Talk:
    """A talk with an offcut in hand that shows no coat."""
    paper = {"kind": "sample", "what": "offcut", "from": "rn", "dated": "2031-02-02"}
    with_paper = replace(talk, job={**talk.job, "papers": {"offcut": paper}})
    return say(with_paper, base, "plane.sheet.coating", "none", "offcut")


def test_a_colour_is_asked_where_metals_are_left_that_it_parts(
    base: Base, judge: Judge, roof: Talk
) -> None:
    metal, colour = "plane.sheet.metal", "plane.sheet.colour"
    offcut = bare_offcut(roof, base)
    either = say(offcut, base, metal, "copper or zinc or stainless", "scratch")

    def asked(talk: Talk) -> list[str]:
        return [a.path for a in state_of(talk, base, judge).ask]

    assert {metal, colour} <= set(asked(either))
    assert metal in asked(offcut) and colour not in asked(offcut)
    for settled in (
        say(offcut, base, metal, "zinc", "cut edge"),
        say(offcut, base, metal, "zinc or lead", "scratch"),  # no colour parts these two
        say(either, base, colour, "grey"),
        say(either, base, colour, "?"),
        say(roof, base, metal, "copper or zinc or stainless", "scratch"),  # perhaps below paint
    ):
        assert colour not in asked(settled)


def test_a_colour_is_a_word_of_its_list(base: Base, roof: Talk) -> None:
    colour = Path("plane", "sheet.colour")
    assert say(roof, base, str(colour), "silv").sightings(colour) == [
        {"is": "silvery", "how": "eyes", "by": "rn"}
    ]
    for typed, near in (("gray", "`grey`"), ("gr", "fits `green` and `grey`"), ("lilac", "1 to 7")):
        with refused(base, near):
            say(roof, base, str(colour), typed)


def test_a_hint_steers_but_proves_nothing(base: Base, judge: Judge, phone: Talk) -> None:
    talk = say(phone, base, "plane.seam.shape", "double-lock")
    hinted = state_of(talk, base, judge)
    alive = [c.name for c in hinted.left.candidates]
    assert alive and not any("rd-" in name for name in alive)
    real = Desk(base, job_in(base, talk.job), judge).choose("a1")
    assert not real.word.is_yes
    assert any(o.core.clamp == "demo/rd-1" for o in real.options)


def test_not_knowing_is_asked_once(base: Base, judge: Judge, roof: Talk) -> None:
    first = state_of(roof, base, judge).ask[0].path
    talk = say(roof, base, first, "?")
    assert first not in {a.path for a in state_of(talk, base, judge).ask}
    assert first in {a.path for a in state_of(talk.undone(), base, judge).ask}


def test_stop_questions_come_first(base: Base, judge: Judge, phone: Talk) -> None:
    asked = state_of(phone, base, judge).ask
    stops = [a.question is not None and a.question.stop for a in asked]
    assert stops[0] and stops == sorted(stops, reverse=True)


def test_what_contradicts_is_said_and_can_be_taken_back(
    base: Base, judge: Judge, roof: Talk
) -> None:
    metal = base.vocabulary.quantities["plane.sheet.metal"]
    talk = roof.answer(metal, "copper", "cut edge").answer(metal, "zinc", "offcut")
    [found] = state_of(talk, base, judge).contradicted
    assert found.path == "plane.sheet.metal"
    settled = talk.take_back(metal, 1)
    assert state_of(settled, base, judge).contradicted == ()


def test_what_a_guard_rules_out_is_not_asked(base: Base, judge: Judge, roof: Talk) -> None:
    for shape, asked, never in (("round", "bulb", "leg"), ("double-lock", "head", "bulb")):
        talk = say(roof, base, "plane.seam.shape", shape, "photo")
        paths = {a.path for a in state_of(talk, base, judge).ask}
        assert f"plane.seam.{asked}" in paths and f"plane.seam.{never}" not in paths


@pytest.mark.parametrize("name", ["mill-house", "first-call", "round-hall", "copper-chapel"])
def test_hints_taken_for_seen_read_as_a_job(base: Base, name: str) -> None:
    data = dict(read_file(ROOT / "examples" / name / "job.yaml", "job.yaml").data)
    job = job_in(base, assumed(data, base))
    assert not any(
        s.hint for p in job.planes.values() for o in p.observed.values() for s in o.sightings
    )


def test_where_a_stack_is_a_yes_nothing_is_asked(base: Base, judge: Judge) -> None:
    data = dict(read_file(ROOT / "examples/mill-house/job.yaml", "job.yaml").data)
    state = state_of(Talk(data, "a1", "tk", "roof"), base, judge)
    assert state.left.answer is not None and state.left.answer.word <= Word.CONDITIONAL
    assert state.left.settled and state.ask == ()
    assert ranked(base, state.left, "roof") is not None


def test_who_says_the_same_again_is_not_asked_a_third_time(base: Base, roof: Talk) -> None:
    once = say(roof, base, "plane.seam.height", "25 tape")
    assert once.skipped == ()  # three places by calliper would tell more
    twice = say(once, base, "plane.seam.height", "25 tape")
    assert twice.job == once.job and twice.skipped == ("plane.seam.height",)


def test_a_figure_off_a_map_counts_with_its_paper(base: Base, judge: Judge, phone: Talk) -> None:
    path = Path("site", "ground_snow")
    by_heart = say(phone, base, "site.ground_snow", "0.85")
    assert by_heart.sightings(path) == [{"hint": "0.85 kPa", "by": "rn"}]
    assert state_of(by_heart, base, judge).desk.job.site  # steers, and proves nothing
    assert isinstance(job_in(base, by_heart.job).site["site.ground_snow"].value, Unknown)
    sheet = {"kind": "national map sheet", "dated": "2030-01-01", "covers": ["ground snow"]}
    talk = phone.put({**phone.job, "papers": {"sheet": sheet}}, "papers")
    read = say(talk, base, "site.ground_snow", "0.85", "sheet")
    assert read.sightings(path) == [{"is": "0.85 kPa", "paper": "sheet", "by": "rn"}]
    value = job_in(base, read.job).site["site.ground_snow"].value
    assert str(value) == "0.85 kPa"
    again = say(read, base, "site.ground_snow", "0.85", "eyes")
    assert {"hint": "0.85 kPa", "by": "rn"} in again.sightings(path)
