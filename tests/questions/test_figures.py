"""A figure that was copied wrong from a paper is put right in its place; all else stays."""

from copy import deepcopy
from typing import Any

import pytest

from selector.knowledge.base import Base
from selector.questions.entries import no_quantities
from selector.questions.figures import figure_named, with_figure
from selector.questions.talk import job_in
from tests.questions.test_talk import EMPTY
from tests.questions.told import refused

COVERS = ["array a1", "field"]
TOPICS = ["array a1", "uplift per clamp", "net uplift", "roof-parallel"]
STATED: dict[str, Any] = {
    "uplift_per_clamp": {"is": "0.42 kN", "paper": "calc", "covers": COVERS},
    "net_uplift": {"is": "0.9 kPa", "paper": "calc-2", "covers": COVERS},
}
CALCULATION = {"kind": "engineer's calculation", "dated": "2031-01-05", "covers": TOPICS}
JOB: dict[str, Any] = {
    **EMPTY,
    "papers": {"calc": CALCULATION, "calc-2": {**CALCULATION, "up_to": "0.25 kPa"}},
    "arrays": {"a1": {**EMPTY["arrays"]["a1"], "stated": STATED}},
}


def changed(key: str, text: str) -> Any:
    figure = figure_named(JOB, "a1", key)
    assert figure is not None
    return with_figure(JOB, "a1", figure, text)


@pytest.mark.parametrize(
    "key", ["stated.uplift_per_clamp", "Uplift per clamp", "papers.calc", "Papers.Calc "]
)
@pytest.mark.parametrize("text", ["0.2 kN", "0,2", "200 N"])
def test_the_new_figure_stands_and_nothing_else_changes(base: Base, key: str, text: str) -> None:
    before = deepcopy(JOB)
    after = changed(key, text)
    assert before == JOB
    figure = after["arrays"]["a1"]["stated"]["uplift_per_clamp"]
    assert job_in(base, after).arrays["a1"].stated["uplift_per_clamp"].value == 200_000  # mN
    figure["is"] = "0.42 kN"
    assert after == before


def test_a_load_reserve_is_changed_in_its_paper(base: Base) -> None:
    after = changed("papers.calc-2.up_to", "0.4")
    assert job_in(base, after).papers["calc-2"].up_to == 400_000  # mPa
    after["papers"]["calc-2"]["up_to"] = "0.25 kPa"
    assert after == JOB


def test_what_can_be_changed_is_told_by_its_key() -> None:
    told = dict(no_quantities(JOB, "a1"))
    assert told["stated.uplift_per_clamp"] == "0.42 kN, paper calc"
    assert told["papers.calc-2.up_to"] == "0.25 kPa"
    assert figure_named(JOB, "a1", "papers.calc-2.up_to") is not None


def test_of_several_figures_none_is_taken_for_meant(base: Base) -> None:
    with refused(base, "`papers.calc-2.up_to` and `stated.net_uplift`; type more of it"):
        figure_named(JOB, "a1", "papers.calc-2")


@pytest.mark.parametrize("key", ["clip_share", "stated.net_down", "papers.calc.up_to", "pitch", ""])
def test_a_figure_that_is_not_there_is_not_made(key: str) -> None:
    assert figure_named(JOB, "a1", key) is None
    assert figure_named(EMPTY, "a1", key) is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("plenty", "expected a number in kN"),
        ("?", "expected a number in kN"),
        ("", "expected a number in kN"),
        ("0.2 kPa", "does not fit"),
        ("-0.2 kN", "plausible"),
        ("0", "plausible"),
        ("4000 kN", "plausible"),
    ],
)
def test_a_wrong_figure_says_what_is_expected(base: Base, text: str, said: str) -> None:
    with refused(base, said):
        changed("stated.uplift_per_clamp", text)
