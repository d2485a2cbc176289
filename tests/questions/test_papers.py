"""A paper is put into the job as its kind allows, with the figures it states."""

from typing import Any

import pytest

from selector.knowledge.base import Base
from selector.questions.form import Form
from selector.questions.papers import paper_form, several, topics, with_paper
from selector.questions.talk import job_in
from tests.questions.test_talk import EMPTY
from tests.questions.told import refused


def filled(base: Base, *lines: str) -> Form:
    form = paper_form(base, EMPTY, "a1")
    for line in lines:
        form = form.answered(line)
    return form


def paper(base: Base, *lines: str) -> dict[str, Any]:
    form = filled(base, *lines)
    assert form.item is None, form.item
    return with_paper(EMPTY, "a1", form.given)


def test_a_letter_of_the_roofer(base: Base) -> None:
    job = job_in(base, paper(base, "letter", "3.2.2031", "", "roofer consent, safe access"))
    found = job.papers["letter"]
    assert (found.kind, found.dated, found.until) == ("letter", "2031-02-03", "")
    assert found.covers == ("roofer consent", "safe access")


def test_a_statement_on_the_reserve(base: Base) -> None:
    lines = ("engineer's statement", "2031-01-01", "2035-12-31", "roof-parallel", "0,25")
    found = job_in(base, paper(base, *lines)).papers["statement"]
    assert (found.up_to, found.until) == (250_000, "2035-12-31")
    assert "up_to" not in paper(base, *lines[:-1], "none")["papers"]["statement"]


def test_a_calculation_states_figures_for_the_array_and_its_zones(base: Base) -> None:
    figures = "uplift per clamp 0.42 kN; net uplift 0.9 kPa; 3: 0,26"
    lines = ("engineer's calc", "2031-01-05", "", "array a1, building, roof-parallel, field")
    job = job_in(base, paper(base, *lines, "", figures))
    stated = job.arrays["a1"].stated
    assert {n: s.value for n, s in stated.items()} == {
        "uplift_per_clamp": 420_000,
        "net_uplift": 900_000,
        "clip_share": 260_000,
    }
    assert stated["clip_share"].covers == ("array a1", "field")
    assert {"array a1", "uplift per clamp", "net uplift", "clip share"} <= set(
        job.papers["calc"].covers
    )


def test_figures_need_the_array_under_what_the_paper_covers(base: Base) -> None:
    names = [filled(base, "engineer's calc", "2031-01-05", "", c).item for c in ("building", "")]
    assert names == [None, None]


def test_names_of_papers_never_meet(base: Base) -> None:
    once = paper(base, "letter", "2031-01-01", "", "fire")
    form = paper_form(base, once, "a1")
    for line in ("letter", "2031-01-02", "", "lightning"):
        form = form.answered(line)
    assert set(with_paper(once, "a1", form.given)["papers"]) == {"letter", "letter-2"}


def test_only_the_owner_of_a_roof_tells_of_profiles(base: Base) -> None:
    own = topics(base, EMPTY, "a1", "papers of the roof system")
    assert {"sheet data", "profile rib-lean", "clamp as-1", "aluminium", "array a1"} <= set(own)
    assert not any(t.startswith("profile") for t in topics(base, EMPTY, "a1", "invoice"))
    for kind in ("photo", "sample", "test report"):
        assert topics(base, EMPTY, "a1", kind) == ()
    for kind in base.vocabulary.words["paper"]:
        assert ("building" in topics(base, EMPTY, "a1", kind)) == (kind == "engineer's calculation")


@pytest.mark.parametrize(
    ("before", "line", "said"),
    [
        ([], "newspaper", "not in the list"),
        (["letter"], "2031-02-04", "after the day of the job"),
        (["letter"], "yesterday", "expected a date"),
        (["letter"], "31.2.2031", "expected a date"),
        (["letter"], "31-02-01", "expected a date"),
        (["letter", "2031-01-01", ""], "goodwill", "not in the list"),
        (["letter", "2031-01-01", ""], "1 99", "no number"),
        (["letter", "2031-01-01", ""], "roof", "word for word"),  # not the roofer's consent
        (["engineer's st", "2031-01-01", "", "roof-parallel"], "90 kPa", "plausible"),
        (["engineer's st", "2031-01-01", "", "roof-parallel"], "plenty", "expected a number"),
        (["engineer's c", "2031-01-01", "", "array a1"], "uplift 0.4 kN", "type more of it"),
        (
            ["engineer's c", "2031-01-01", "", "array a1"],
            "1 0.4 mm",
            r"does not fit \(length\)",
        ),
        (["engineer's c", "2031-01-01", "", "array a1"], "1 0", "plausible"),
        (["engineer's c", "2031-01-01", "", "array a1"], "1 0.4; 1 0.5", "stated already"),
        (["engineer's c", "2031-01-01", "", "array a1"], "many", "expected figures"),
    ],
)
def test_a_wrong_line_says_what_is_expected(
    base: Base, before: list[str], line: str, said: str
) -> None:
    with refused(base, said):
        filled(base, *before).answered(line)


def test_several_words_in_the_order_of_the_list() -> None:
    words = ("roof", "sheet data", "fire")
    assert several("3 1", words) == several("fire, roof", words) == ["roof", "fire"]
    assert several("none", words) == []
