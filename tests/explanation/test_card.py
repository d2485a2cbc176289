"""The card for the roof: whole, harmless, and of one mind with what judges a stack."""

import json
import random
import re
from dataclasses import replace
from functools import cache

import html5lib
import pytest

from selector.explanation.as_json import EXIT
from selector.explanation.card.card import Card, card_of
from selector.explanation.card.render import render
from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.likely import STACK, Likely, likely
from selector.inference.worked import with_worked
from selector.interfaces.cli.sheet import case_of
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.changed import with_set
from selector.jobs.read import job_of, read_job
from selector.jobs.write import text_of
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_file, read_string
from selector.model.truth import Word
from tests.conftest import ROOT

SECTIONS = ("word", "look", "stack", "torque", "never", "gates", "cautions", "dates")


@cache
def judged(name: str, language: str = "en") -> tuple[Card, str, tuple[Likely, ...]]:
    base = speaking(load_base(), language)
    desk = Desk(base, read_job(ROOT / "examples" / name / "job.yaml", base.vocabulary))
    plan = stack_of(desk, Texts.of(base), None, None)
    case = case_of(desk, base, plan)
    found = tuple(likely(desk, plan)) if case.stack is not None else ()
    card = card_of(case, found)
    return card, render(card, base), found


@pytest.mark.parametrize(("name", "language"), [("granary", "en"), ("granary", "de")])
def test_the_card_is_whole_and_fetches_nothing(name: str, language: str) -> None:
    card, html, found = judged(name, language)
    assert tuple(section.id for section in card.sections) == SECTIONS
    html5lib.HTMLParser(strict=True).parse(html)
    assert not re.search(r"<link|<img|<iframe|@import|url\(|src=|https?://", html)
    assert html.count("<script>") == 1
    sets = [s for group in card.groups for entry in group.entries for s in entry.sets]
    assert len(sets) == len(found) > 40
    assert all(0 < len(e.lines) <= 6 for group in card.groups for e in group.entries)


def test_a_forbidden_stack_has_no_parts_no_torque_and_no_changes() -> None:
    card, html, _ = judged("copper-chapel")
    assert card.head.banner[0].startswith("FORBIDDEN")
    assert card.groups == ()
    assert "11 Nm</bdi></td>" not in html
    assert 'class="change"' not in html


def test_the_card_ends_with_the_first_of_what_it_rests_on() -> None:
    card, _, _ = judged("granary")
    # as_of 2031-05-06 and 90 days; no record or paper of the job ends before.
    assert (card.since, card.until) == ("2031-05-06", "2031-08-04")


def test_a_word_on_the_card_is_one_of_five_and_yes_comes_first() -> None:
    card, _, _ = judged("granary")
    for group in card.groups:
        words = [entry.word for entry in group.entries]
        assert words == sorted(words)


def test_what_somebody_typed_is_text_and_no_markup() -> None:
    """A tip of screws is typed in the words of the crew; the card tells it with what goes back."""
    base = load_base()
    document = read_file(ROOT / "examples" / "granary" / "job.yaml", "job.yaml")
    typed = with_set(document, base.vocabulary, "planned", {"screw_tip": "<img src=x onerror=a()>"})
    desk = Desk(base, typed.job)
    plan = typed.job.stacks["planned"]
    case = replace(case_of(desk, base, plan), word=Word.ENGINEER)
    [one] = [x for x in likely(desk, plan) if x.about == "screw_tip"]
    html = render(card_of(case, [one]), base)
    assert "&lt;img" in html
    assert "<img" not in html


@pytest.mark.slow
def test_card_and_judge_agree_on_500_changes() -> None:
    """Each change written into the job file and judged as a stack of its own, from other roofs."""
    base = load_base()
    source = random.Random(20310506)
    text = (ROOT / "examples" / "granary" / "job.yaml").read_text(encoding="utf-8")
    looked = 0
    for roof in range(20):
        data = read_string(text, "job.yaml").data
        _varied(data, source)
        document = read_string(text_of(data), "job.yaml")
        desk = Desk(base, job_of(document, base.vocabulary))
        plan = desk.job.stacks["planned"]
        found = [one for one in likely(desk, plan) if one.about != STACK or source.random() < 0.7]
        for one in source.sample(found, 25):
            changed = with_set(document, base.vocabulary, "planned", dict(one.sets))
            again = Desk(base, changed.job, desk.judge)
            word = with_worked(again, "planned").stack("planned").word
            assert one.swap.answer.options[0].verdict.word == word, (roof, one.sets)
            assert EXIT[one.swap.word] == EXIT[word]
            looked += 1
    assert looked >= 500


def _varied(data: dict[str, object], source: random.Random) -> None:
    """Another roof: height, metal, stack, what is known of it."""
    plane = data["planes"]["south"]  # type: ignore[index]
    seam = plane["seam"]
    low = source.choice([19, 22, 24, 27, 31])
    for sighting in _sightings(seam["height"]):
        if "places" in sighting:
            sighting["places"] = [f"{low} mm"] * 3
        elif "is" in sighting:
            sighting["is"] = f"{low} mm"
    if source.random() < 0.3:
        plane["sheet"]["metal"] = {"unknown": "don't know"}
    if source.random() < 0.2:
        del data["arrays"]["a1"]["stated"]["clip_share"]  # type: ignore[index]
    plan = data["stacks"]["planned"]  # type: ignore[index]
    clamp, rail = source.choice(
        [("demo/dl-1", "demo/rail-u"), ("demo/dl-2", "demo/rail-p"), ("demo/duo-1", "demo/rail-h")]
    )
    plan |= {"clamp": clamp, "rail": rail}


def _sightings(quantity: dict[str, object]) -> list[dict[str, object]]:
    found = quantity.get("sightings", [quantity])
    assert isinstance(found, list)
    return found


def test_what_a_job_file_would_say_stands_with_each_change() -> None:
    _, html, found = judged("granary")
    given = set(re.findall(r'data-sets="([^"]*)"', html))
    lines = {line.replace("&#34;", '"') for text in given for line in text.split("\n")}
    assert {json.dumps(dict(one.sets), sort_keys=True) for one in found} == lines
    assert Word.ALLOWED.text not in re.findall(r'data-word="([^"]*)"', html)  # nothing was accepted
