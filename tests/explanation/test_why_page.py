"""The explanation as it is read: four voices, 80 columns, a picture without colour."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

import pytest

from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.explanation.why.as_json import why_data
from selector.explanation.why.page import ORDER, SECTIONS, page
from selector.explanation.why.picture_svg import WIDTH, picture_svg
from selector.explanation.why.sheet import Sheet
from selector.explanation.why.telling import VOICES, Telling
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.why import Why, why
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.model.job import Job
from tests.kb.judged import silent
from tests.kb.roofs import yellow_zinc

CASES = ("EXP-01", "EXP-04", "EXP-06", "EXP-08")
STACK = "refused"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def told(base: Base, judge: Judge) -> Callable[[str], tuple[Job, Why]]:
    kept: dict[str, tuple[Job, Why]] = {}

    def explain(name: str) -> tuple[Job, Why]:
        if name not in kept:
            job = silent.job(name, base.vocabulary)
            desk = Desk(base, job, judge)
            other = (desk, "other") if "other" in job.stacks else None
            kept[name] = job, why(desk, STACK, other)
        return kept[name]

    return explain


def telling(base: Base, found: tuple[Job, Why], voice: str, *, every: bool = False) -> Telling:
    job, explained = found
    return Telling(explained, base, job, Texts.of(base), voice, every)


def joined(lines: list[str]) -> str:
    return re.sub(r"\s+", " ", " ".join(lines))


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("every", [False, True])
def test_all_voices_name_the_same_facts_and_rules(
    base: Base, told: Callable[[str], tuple[Job, Why]], name: str, every: bool
) -> None:
    """Other words and another order, but not one fact or rule more or less."""
    found = told(name)
    rules = {r.id for r in base.rules}
    named, shown = [], []
    for voice in VOICES:
        one = telling(base, found, voice, every=every)
        text = joined(page(one, "VERSION"))
        named.append({w for w in re.findall(r"[a-z]+(?:-[a-z]+)+", text) if w in rules})
        answer = found[1].answer
        facts = {f for g in found[1].grounds.each for f in g.facts}
        facts |= {b.fact for b in answer.bystanders}
        shown.append({one.value(f) for f in facts if one.value(f) in text})
    assert named[1:] == named[:1] * 3
    assert shown[1:] == shown[:1] * 3
    first = found[1].grounds.folded[0][0]
    assert {one.value(f) for f in first.facts} <= shown[0]
    assert {f.rule.id for g in found[1].grounds.each for f in g.findings} <= named[0]


def test_every_voice_has_every_section_in_an_order_of_its_own() -> None:
    assert set(ORDER) == set(VOICES)
    for order in ORDER.values():
        assert sorted(order) == sorted(SECTIONS)
    assert len(set(ORDER.values())) == len(VOICES)
    assert ORDER["roofer"] == tuple(SECTIONS)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("voice", VOICES)
@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_is_wider_than_the_paper(
    base: Base, told: Callable[[str], tuple[Job, Why]], name: str, voice: str, language: str
) -> None:
    spoken = speaking(base, language)
    for width in (80, 60):
        lines = page(telling(spoken, told(name), voice), "VERSION", width)
        assert [x for x in lines if len(x) > width] == []
        assert not any("\x1b" in x for x in lines)
        assert not any("{" in x for x in lines)


SCREEN = 24  # lines of a small terminal


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("voice", VOICES)
@pytest.mark.parametrize("language", ["en", "de"])
def test_the_first_screen_holds_word_reason_and_least_change(
    base: Base, told: Callable[[str], tuple[Job, Why]], name: str, voice: str, language: str
) -> None:
    one = telling(speaking(base, language), told(name), voice)
    lines = page(one, "VERSION")[:SCREEN]
    text = joined(lines)
    assert any(x.startswith(one.word(one.why.word.text).upper()) for x in lines)
    finding = one.why.grounds.folded[0][0].findings[0]
    assert finding.rule.title in text
    for change in one.why.answer.changes[:1]:
        assert one.line(change) in text
    if not one.why.answer.changes:
        assert one.say("why.short.way_out", help="").strip() in text


def test_what_is_to_be_got_is_said_not_to_be_there(
    base: Base, told: Callable[[str], tuple[Job, Why]]
) -> None:
    found = told("EXP-06")
    text = joined(page(telling(base, found, "roofer"), "VERSION"))
    assert "-> conditional once it is there, not today" in text
    assert "from: engineer" in text
    got = why_data(telling(base, found, "roofer"), "VERSION")["changes"][0]
    assert got["to_get"] is True
    assert got["from"] == ["engineer"]
    record = joined(page(telling(base, told("EXP-07"), "sales"), "VERSION"))
    assert "to show: uplift per clamp at least 0.3 kN, slide per clamp at least 0.06 kN" in record
    assert "from: knowledge owner" in record


def test_each_voice_says_what_it_is_for(base: Base, told: Callable[[str], tuple[Job, Why]]) -> None:
    found = told("EXP-08")
    texts = {v: joined(page(telling(base, found, v), "VERSION")) for v in VOICES}
    rules = [base.rule("aluminium-on-copper-without-inlay"), base.rule("clamp-too-near-clip")]
    for rule in rules:
        assert f"hurt: {rule.who_is_hurt}" in texts["owner"]
        assert ", ".join(rule.trade) in texts["engineer"]
        assert f"do: {rule.help}" in texts["roofer"]
        assert f"offer: {rule.help}" in texts["sales"]
    assert "common practice" in texts["engineer"]
    assert "fetch:" in texts["sales"]
    assert "nobody can allow it" in texts["owner"]


def test_independent_reasons_and_two_changes_are_said(
    base: Base, told: Callable[[str], tuple[Job, Why]]
) -> None:
    text = joined(page(telling(base, told("EXP-08"), "roofer"), "VERSION"))
    assert "independent of reason 2, 3" in text
    assert "cure each of them" in text
    assert "it takes 2 changes together" in text
    alone = joined(page(telling(base, told("EXP-01"), "roofer"), "VERSION"))
    assert "independent" not in alone
    assert "changes together" not in alone


def test_no_change_says_the_way_out(base: Base, told: Callable[[str], tuple[Job, Why]]) -> None:
    text = joined(page(telling(base, told("EXP-01"), "roofer"), "VERSION"))
    assert "no part, drawing, record or paper makes it milder" in text
    assert base.rule("seam-outside-clamp-window").help in text


def test_what_differs_has_a_sign_and_no_colour(
    base: Base, told: Callable[[str], tuple[Job, Why]]
) -> None:
    lines = page(telling(base, told("EXP-08"), "roofer"), "VERSION")
    marked = [x for x in lines if x.startswith(">  ")]
    assert [x.split()[1] for x in marked] == ["inlay", "rail"]
    assert "> marks what differs" in lines


def test_effort_is_called_what_it_is(base: Base, told: Callable[[str], tuple[Job, Why]]) -> None:
    for row in base.trade.site_effort:
        assert row.shape.status == "common practice"
    text = joined(page(telling(base, told("EXP-04"), "roofer"), "VERSION"))
    assert "effort 1 (a hand's turn) to 5 (days) a move; common practice, no source" in text


def test_a_long_word_is_broken_and_columns_stay_apart() -> None:
    sheet = Sheet(30)
    sheet.rows([("a" * 25, "b")], (10, 10))
    assert sheet.lines == ["aaaaaaaaaa  b", "aaaaaaaaaa", "aaaaa"]
    sheet = Sheet(30)
    sheet.add("- ", "x" * 40)
    assert all(len(x) <= 30 for x in sheet.lines)


# --- the picture -------------------------------------------------------------------------


def drawn(base: Base, found: tuple[Job, Why]) -> ET.Element:
    return ET.fromstring(picture_svg(telling(base, found, "roofer")))


@pytest.mark.parametrize("name", CASES)
def test_the_picture_stands_alone(
    base: Base, told: Callable[[str], tuple[Job, Why]], name: str
) -> None:
    root = drawn(base, told(name))
    kinds = {e.tag.removeprefix(SVG) for e in root.iter()}
    assert kinds == {"svg", "title", "desc", "rect", "text", "line", "circle"}
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert desc is not None
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert desc.text is not None
    assert "Broken: " in desc.text
    names = {a for e in root.iter() for a in e.attrib}
    assert not names & {"href", "style", "class", "onload", "onclick"}


@pytest.mark.parametrize("name", CASES)
def test_what_is_broken_is_dashed_crossed_out_and_named(
    base: Base, told: Callable[[str], tuple[Job, Why]], name: str
) -> None:
    found = told(name)
    root = drawn(base, found)
    column = found[1].column
    broken = sum(bool(x.broken) for x in column.boxes) + sum(bool(x.broken) for x in column.edges)
    dashed = [e for e in root.iter() if e.get("stroke-dasharray")]
    crossed = list(root.iter(f"{SVG}circle"))
    assert len(dashed) == len(crossed) == broken > 0
    text = joined([e.text or "" for e in root.iter(f"{SVG}text")])
    for rule in column.broken:
        assert base.rule(rule).title in text
    assert "DEMO" in text
    colours = {e.get(a) for e in root.iter() for a in ("fill", "stroke")} - {None}
    assert colours == {"white", "black", "none"}


@pytest.mark.parametrize("name", CASES)
def test_the_picture_is_no_wider_than_a_phone(
    base: Base, told: Callable[[str], tuple[Job, Why]], name: str
) -> None:
    """A letter of a plain sans is in the mean at most 0.6 of its height wide: from memory."""
    root = drawn(base, told(name))
    assert root.get("width") == str(WIDTH) == "360"
    for text in root.iter(f"{SVG}text"):
        size, letters = float(text.get("font-size", "0")), len(text.text or "")
        assert size >= 14
        assert float(text.get("x", "0")) + 0.6 * size * letters <= WIDTH + 20
    height = float(root.get("height", "0"))
    assert all(float(t.get("y", "0")) < height for t in root.iter(f"{SVG}text"))


# --- data --------------------------------------------------------------------------------


def test_the_data_says_what_the_screen_says(
    base: Base, told: Callable[[str], tuple[Job, Why]]
) -> None:
    found = told("EXP-08")
    data = why_data(telling(base, found, "roofer"), "VERSION")
    assert data["schema"] == "why/1"
    assert data["word"] == "forbidden"
    assert len(data["reasons"]) == 7
    assert data["independent"] == [[1], [2, 3]]
    assert data["fewest_facts"] == 2
    assert [len(c["moved"]) for c in data["changes"]] == [2, 2]
    assert data["changes"][0]["brings"] == ["bond-jumper"]
    assert [r["what"] for r in data["nearest"]["rows"] if r["this"] != r["nearest"]] == [
        "inlay",
        "line low",
    ]
    assert [e["broken"] for e in data["picture"]["edges"] if e["broken"]] == [
        ["aluminium-on-copper-without-inlay", "clamp-too-near-clip"]
    ]
    assert all(f["needed"] for r in data["reasons"] for f in r["facts"])


@pytest.mark.parametrize("voice", VOICES)
def test_every_voice_says_why_the_rule_is_there(
    base: Base, told: Callable[[str], tuple[Job, Why]], voice: str
) -> None:
    found = told("EXP-01")
    rules = [f.rule for g in found[1].grounds.each for f in g.findings]
    text = joined(page(telling(base, found, voice), "VERSION"))
    assert rules and all(re.sub(r"\s+", " ", rule.why) in text for rule in rules)


def test_what_is_less_strong_is_told_by_title_and_no_path_is_shown(
    base: Base, told: Callable[[str], tuple[Job, Why]]
) -> None:
    for name in CASES:
        found = told(name)
        text = joined(page(telling(base, found, "sales"), "VERSION"))
        assert not re.search(r"see: (stack|plane|site|stated|part)\.", text)
        for words in re.findall(r"less strong, and said too: (.*?) (?=[A-Z!-])", text):
            titles = {r.title for r in base.rules}
            each = [w.partition(", ")[2] for w in words.split("; ")]
            assert each and all(any(t.startswith(e) for t in titles) for e in each), words


@pytest.mark.parametrize("voice", VOICES)
def test_what_excludes_each_other_comes_before_all_that_follows(
    base: Base, judge: Judge, voice: str
) -> None:
    job = job_of(yellow_zinc(), base.vocabulary)
    found = job, why(Desk(base, job, judge), "planned")
    lines = page(telling(base, found, voice), "VERSION")
    heads = [lines[n - 1] for n, line in enumerate(lines) if line and not line.strip("-")]
    assert heads[0] == "Contradictory: look again"
    text = joined(lines)
    for seen in ("none (cut edge of the offcut", "yellow (x, tk)", "zinc (cut edge of the offcut"):
        assert text.index(f"- {seen}") < text.index(heads[1])
    data = why_data(telling(base, found, voice), "VERSION")["contradicted"]
    assert {o["path"] for o in data} == {f"plane.sheet.{w}" for w in ("coating", "colour", "metal")}


def test_nothing_is_looked_at_again_where_nothing_excludes_anything(
    base: Base, told: Callable[[str], tuple[Job, Why]]
) -> None:
    one = telling(base, told("EXP-01"), VOICES[0])
    assert "Contradictory" not in joined(page(one, "VERSION"))
    assert why_data(one, "VERSION")["contradicted"] == []
