"""Answers change a job as data; nothing seen is lost, and the old job stays as it was."""

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.jobs.read import job_of
from selector.jobs.write import text_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file, read_string
from selector.model.quantity import Candidates, Measured, Unknown
from selector.model.rule import Path
from selector.questions.edit import answered, seen, withdrawn
from tests.conftest import ROOT

HEIGHT, METAL, SEA = (
    Path("plane", "seam.height"),
    Path("plane", "sheet.metal"),
    Path("site", "sea_distance"),
)
CALLIPER = {"places": ["24.8 mm", "25 mm", "25.2 mm"], "tool": "calliper", "by": "rn"}


@pytest.fixture
def job() -> dict[str, Any]:
    return dict(read_file(ROOT / "examples/first-call/job.yaml", "job.yaml").data)


def test_a_second_look_stands_beside_the_first(base: Base, job: dict[str, Any]) -> None:
    before = deepcopy(job)
    after = answered(job, HEIGHT, CALLIPER, "street")
    assert job == before
    assert [s.get("tool") for s in seen(after, HEIGHT, "street")] == ["tape", "calliper"]
    read = job_of(read_string(text_of(after), "job.yaml"), base.vocabulary)
    value = read.planes["street"].observed["plane.seam.height"].value
    assert isinstance(value, Measured) and len(value.places) == 3


def test_an_unknown_gives_way_to_a_sighting_and_never_the_other_way(job: dict[str, Any]) -> None:
    unknown = {"unknown": "don't know", "by": "ow"}
    asked = answered(job, Path("plane", "sheet.coating"), unknown, "street")
    found = answered(asked, Path("plane", "sheet.coating"), {"is": "paint", "by": "rn"}, "street")
    assert seen(found, Path("plane", "sheet.coating"), "street") == [{"is": "paint", "by": "rn"}]
    again = answered(found, Path("plane", "sheet.coating"), unknown, "street")
    assert again == found


def test_the_same_sighting_twice_is_one(job: dict[str, Any]) -> None:
    once = answered(job, HEIGHT, CALLIPER, "street")
    assert answered(once, HEIGHT, CALLIPER, "street") == once


def test_what_contradicts_is_kept_and_unknown(base: Base, job: dict[str, Any]) -> None:
    one = answered(job, METAL, {"is": "copper", "how": "cut edge", "by": "rn"}, "street")
    two = answered(one, METAL, {"is": "zinc", "how": "offcut", "by": "rn"}, "street")
    read = job_of(read_string(text_of(two), "job.yaml"), base.vocabulary)
    value = read.planes["street"].observed["plane.sheet.metal"].value
    assert isinstance(value, Unknown) and value.why == "contradicted"
    numbers = [i for i, s in enumerate(seen(two, METAL, "street")) if s.get("is") == "zinc"]
    settled = withdrawn(two, METAL, "street", numbers[0])
    read = job_of(read_string(text_of(settled), "job.yaml"), base.vocabulary)
    value = read.planes["street"].observed["plane.sheet.metal"].value
    assert value == Candidates(frozenset({"copper"}))


def test_a_place_of_a_new_job_is_made(base: Base) -> None:
    assert answered({}, SEA, {"is": "60 km", "tool": "map", "by": "rn"}, "p") == {
        "site": {"sea_distance": {"is": "60 km", "tool": "map", "by": "rn"}}
    }
    with pytest.raises(ValueError, match=r"no quantity of a site or a plane"):
        answered({}, Path("clamp", "torque"), {"is": "1 Nm"}, "p")


@settings(max_examples=60)
@given(st.lists(st.sampled_from(["steel", "zinc", "copper"]), min_size=1, max_size=4, unique=True))
def test_withdrawing_each_in_turn_leaves_nothing(words: list[str]) -> None:
    job: dict[str, Any] = {"planes": {"p": {}}}
    for word in words:
        job = answered(job, METAL, {"is": word, "how": "cut edge", "by": "rn"}, "p")
    assert [s["is"] for s in seen(job, METAL, "p")] == words
    for _ in words:
        job = withdrawn(job, METAL, "p", 0)
    assert seen(job, METAL, "p") == []
