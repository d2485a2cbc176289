"""What the crew did on site, what stands beside a stack, and which papers count for what."""

import pytest

from selector.facts.view import View
from selector.model.quantity import Candidates, Filled
from tests.facts.conftest import Sees

PLANNED = "    module_clamp: demo/mc-1\n    layout:"
CONSENT = "covers: [roofer consent]}"


def planned(sees: Sees, extra: str) -> View:
    return sees("mill-house", {PLANNED: f"    {extra}\n{PLANNED}"} if extra else {}, "planned")


@pytest.mark.parametrize(
    ("path", "untouched", "extra", "said"),
    [
        ("stack.improvised.fit", None, "improvised: {fit: jaw filed open}", "jaw filed open"),
        ("stack.improvised.inlay", None, "improvised: {inlay: tape}", "tape"),
        ("stack.improvised.adapter", None, "improvised: {adapter: flat bar}", "flat bar"),
        (
            "stack.tightened",
            "as listed",
            "tightened: loosened and set again",
            "loosened and set again",
        ),
        ("stack.beside.clamps", "none", "beside: {clamps: old}", "old"),
        ("stack.beside.rails", "none", "beside: {rails: other family}", "other family"),
    ],
)
def test_what_a_stack_does_not_say_is_not_there(
    sees: Sees, path: str, untouched: str | None, extra: str, said: str
) -> None:
    def value(text: str) -> object:
        found = planned(sees, text).read(path).value
        return next(iter(found.left)) if isinstance(found, Candidates) else found.what

    assert value("") == untouched
    assert value(extra) == said


@pytest.mark.parametrize(("orientation", "side"), [("portrait", "long"), ("landscape", "short")])
def test_one_layer_of_rails_clamps_the_sides_it_crosses(
    sees: Sees, orientation: str, side: str
) -> None:
    view = sees("mill-house", {"orientation: portrait": f"orientation: {orientation}"}, "planned")
    assert view.read("stack.side").value == Candidates(frozenset({side}))
    assert view.read("array.module_sides").value == Candidates(frozenset({"long"}))


def test_only_an_engineer_settles_snow_from_above(sees: Sees) -> None:
    letter = {CONSENT: "covers: [roofer consent, snow from a higher roof]}"}
    view = sees("mill-house", letter)
    assert view.read("site.papers.snow_from_above").value == Filled(None)
    word = {
        "covers: [roof-parallel], up_to": "covers: [roof-parallel, snow from a higher roof], up_to"
    }
    assert sees("mill-house", word).read("site.papers.snow_from_above").value.what


@pytest.mark.parametrize(
    ("topic", "text"),
    [("washing", "washing plan"), ("roof_life", "remaining life"), ("roof", "roof")],
)
def test_a_letter_counts_for_what_it_covers(sees: Sees, topic: str, text: str) -> None:
    path = f"site.papers.{topic}"
    assert sees("mill-house").read(path).value == Filled(None)
    covers = {CONSENT: f"covers: [roofer consent, {text}]}}"}
    assert sees("mill-house", covers).read(path).value == Filled("letter of 2031-03-09")
    gone = {CONSENT: f"covers: [{text}], until: 2031-03-10}}"}
    assert sees("mill-house", gone).read(path).value == Filled(None)


def test_papers_of_the_roof_system_are_papers_of_the_roof(sees: Sees) -> None:
    view = sees("round-hall")
    assert view.read("site.papers.roof").value == Filled("papers of the roof system of 2030-11-02")


@pytest.mark.parametrize(
    ("path", "covers"),
    [
        ("array.rows_calculated", ["elevated", "drift snow", "wind from behind"]),
        ("array.rear_calculated", ["elevated", "front and rear clamps"]),
    ],
)
def test_a_calculation_counts_whole_or_not_at_all(sees: Sees, path: str, covers: list[str]) -> None:
    item = "      - uplift per clamp\n"

    def value(words: list[str]) -> object:
        more = "".join(f"      - {w}\n" for w in words)
        return sees("mill-house", {item: f"{item}{more}"}).read(path).value

    assert value(covers) == Filled("engineer's calculation 31-051 of 2031-03-05")
    for word in covers:
        assert value([w for w in covers if w != word]) == Filled(None)


def test_loads_that_an_engineer_worked_out(sees: Sees) -> None:
    assert sees("mill-house").read("array.loads_calculated").value.what
    assert sees("first-call").read("array.loads_calculated").value == Filled(None)


def test_a_look_inside_stands_for_papers(sees: Sees) -> None:
    assert sees("mill-house").read("plane.looked_inside").value == Filled("seen from the loft, tk")
    assert sees("first-call").read("plane.looked_inside").value == Filled(None)
    deck = "kind:      {is: boards, how: seen from the loft, by: tk}"
    nails = {deck: "kind:      {unknown: can't reach}"}
    assert sees("mill-house", nails).read("plane.looked_inside").value == Filled(
        "one opened clip, tk"
    )
