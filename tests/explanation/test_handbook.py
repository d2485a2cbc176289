"""The handbook: whole, well formed, every link good, everything escaped, the same bytes twice."""

import json
import posixpath
import re
from dataclasses import replace
from html.parser import HTMLParser

import html5lib
import pytest

from selector.explanation.handbook import address
from selector.explanation.handbook.contents import as_of
from selector.explanation.handbook.phrases import noun
from selector.explanation.handbook.question_page import where
from selector.explanation.handbook.render import render
from selector.explanation.handbook.rule_page import paths_of, rule_page
from selector.explanation.handbook.sentences import filled, say
from selector.knowledge.base import Base
from selector.model.quantity import Window
from selector.model.rule import Condition, Limit, Path, Rule
from tests.engineering.published import NEGATIVE, TERRAIN

VERSION = "0.0.0"


class Links(HTMLParser):
    """Addresses that a page names, ids that it has, and its text."""

    def __init__(self, text: str):
        super().__init__()
        self.targets: list[str] = []
        self.ids: list[str] = []
        self.text: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in ("href", "src", "action") and value is not None:
                self.targets.append(value)
            if name == "id" and value is not None:
                self.ids.append(value)

    def handle_data(self, data: str) -> None:
        self.text.append(data)

    @property
    def plain(self) -> str:
        """All text with single spaces."""
        return " ".join(" ".join(self.text).split())


@pytest.fixture(scope="module")
def files(base: Base) -> dict[str, str]:
    return render(base, VERSION)


@pytest.fixture(scope="module")
def pages(files: dict[str, str]) -> dict[str, Links]:
    return {name: Links(text) for name, text in files.items() if name.endswith(".html")}


def test_everything_has_its_page(base: Base, files: dict[str, str]) -> None:
    wanted = {address.rule(rule.id) for rule in base.rules}
    wanted |= {address.part(p) for c in base.catalogues.values() for p in c.parts}
    wanted |= {address.question(question.name) for question in base.questions.values()}
    wanted |= {address.drawing(shape) for shape in base.drawings}
    wanted |= {address.source(source) for source in base.sources}
    wanted |= {address.code(code) for code in (*base.codes.editions, *base.codes.nationals)}
    assert wanted <= files.keys()


def test_every_path_that_can_be_asked_for_has_its_place(
    base: Base, pages: dict[str, Links]
) -> None:
    places = where(base)
    assert places.keys() == base.vocabulary.asks.keys() >= base.vocabulary.quantities.keys()
    for path, place in places.items():
        page, _, fragment = place.partition("#")
        assert base.vocabulary.ask(path).ask.lower() in pages[page].plain.lower()
        assert not fragment or fragment in pages[page].ids


def test_a_question_page_says_all_that_the_question_says(
    base: Base, pages: dict[str, Links]
) -> None:
    for question in base.questions.values():
        text = pages[address.question(question.name)].plain.lower()
        for part in (question.title, question.ask, question.why, question.caution, *question.look):
            assert " ".join(part.split()).lower() in text, f"{question.name}: {part}"
        assert ("no yes without it" in text) == (question.never_skip is not None), question.name


def test_every_link_and_anchor_leads_somewhere(
    files: dict[str, str], pages: dict[str, Links]
) -> None:
    for name, page in pages.items():
        assert page.targets, name
        for target in page.targets:
            path, _, fragment = target.partition("#")
            assert "//" not in target, f"{name}: {target} leaves the folder"
            there = posixpath.normpath(posixpath.join(posixpath.dirname(name), path))
            if not path:
                there = name
            assert there in files, f"{name}: {target}"
            if fragment:
                assert fragment in pages[there].ids, f"{name}: {target}"


def test_every_page_is_reached_from_the_start(pages: dict[str, Links]) -> None:
    seen: set[str] = set()
    todo = ["index.html"]
    while todo:
        name = todo.pop()
        if name in seen:
            continue
        seen.add(name)
        here = posixpath.dirname(name)
        for target in pages[name].targets:
            path = posixpath.normpath(posixpath.join(here, target.partition("#")[0]))
            if path in pages and path != "search.html":  # the search page lists everything
                todo.append(path)
    assert seen == pages.keys() - {"search.html"}


def test_no_id_stands_twice_on_a_page(pages: dict[str, Links]) -> None:
    for name, page in pages.items():
        assert len(set(page.ids)) == len(page.ids), name


def test_pages_are_well_formed(files: dict[str, str]) -> None:
    """By the parsing rules of the HTML standard, as html5lib has them."""
    for name, text in files.items():
        if name.endswith(".html"):
            parser = html5lib.HTMLParser(strict=False)
            parser.parse(text)
            faults = [f"{at}: {code} {data}" for at, code, data in parser.errors]
            assert not faults, f"{name}: {faults[:3]}"


def test_the_checker_sees_a_fault() -> None:
    parser = html5lib.HTMLParser(strict=False)
    parser.parse("<!DOCTYPE html><title>x</title><p>a</b><div>")
    assert parser.errors


def test_the_same_base_gives_the_same_bytes(base: Base, files: dict[str, str]) -> None:
    assert render(base, VERSION) == files


def test_digest_and_date_are_shown_and_no_clock_is_read(
    base: Base, pages: dict[str, Links]
) -> None:
    days = [rule.reviewed for rule in base.rules] + [s.read for s in base.sources.values()]
    assert as_of(base) == max(days)
    for name, page in pages.items():
        assert base.digest[:12] in page.plain, name
        assert max(days) in page.plain, name


def test_a_rule_page_says_all_that_the_rule_says(base: Base, pages: dict[str, Links]) -> None:
    for rule in base.rules:
        text = pages[address.rule(rule.id)].plain.lower()
        wanted = [rule.title, rule.why, rule.who_is_hurt, rule.basis, rule.since, rule.reviewed]
        wanted += [base.sources[rule.source].title, *rule.trade, rule.file]
        wanted += [base.rule(other).title for other in rule.excepts]
        wanted += [case.name for case in base.cases if case.rule == rule.id]
        wanted += [word for word in (rule.lifted, rule.gate, rule.aspect) if word]
        if rule.word is not None and rule.gate is None:
            wanted.append(rule.word.text)
        for part in wanted:
            assert " ".join(part.split()).lower() in text, f"{rule.id}: {part}"


def test_exceptions_stand_on_both_pages(base: Base, pages: dict[str, Links]) -> None:
    pairs = [(rule, other) for rule in base.rules for other in rule.excepts]
    assert pairs
    for rule, other in pairs:
        target = posixpath.basename(address.rule(rule.id))
        assert target in pages[address.rule(other)].targets, f"{other} does not name {rule.id}"


def test_invented_parts_say_so_in_big_letters(base: Base, pages: dict[str, Links]) -> None:
    for catalogue in base.catalogues.values():
        assert catalogue.tag == "invented"
        for part in catalogue.parts:
            assert "INVENTED" in pages[address.part(part)].plain


def test_a_part_page_shows_its_records(base: Base, pages: dict[str, Links]) -> None:
    text = pages[address.part("demo/dl-1")].plain
    record = next(r for r in base.catalogues["demo"].records if r.id == "ev-01")
    assert record.shape.valid.since in text
    # kb/catalogues/demo/records/clamp-on-seam.yaml: ev-01
    for shown in ("0.86 kN design", "0.54 to 0.72 mm", "11 Nm", "counts as zero", "R-ev-01"):
        assert shown in text
    for catalogue in base.catalogues.values():
        whole = pages[address.catalogue(catalogue.name)]
        assert {address.anchor("record", r.id) for r in catalogue.records} <= set(whole.ids)


def test_a_source_page_names_all_that_rests_on_it(base: Base, pages: dict[str, Links]) -> None:
    for rule in base.rules:
        here = address.source(rule.source)
        assert f"../{address.rule(rule.id)}" in pages[here].targets
    for number in base.numbers.values():
        assert f"../{address.number(number.id)}" in pages[address.source(number.source)].targets


def test_every_number_stands_with_its_status(base: Base, pages: dict[str, Links]) -> None:
    text = pages["numbers.html"].plain
    for number in base.numbers.values():
        title = base.sources[number.source].title
        value = str(number.value)
        if number.value.dimension == "expansion":
            value = f"({value})"
        assert f"{value} source {title} {number.status}" in text, number.id
    # 24e-6 for each kelvin (EN 1991-1-5, table C.1) is 0.024 mm on a metre
    assert "0.024 mm for each metre and kelvin (24 um/m/K)" in text
    assert any(number.status == "from memory" for number in base.numbers.values())


def test_a_code_page_shows_every_row_with_its_clause_and_status(
    base: Base, pages: dict[str, Links]
) -> None:
    text = pages[address.code("en-1991-1-4-2005")].plain
    # EN 1991-1-4:2005 tables 4.1 and 7.4a, as typed from other documents
    for word, (z0, zmin) in TERRAIN.items():
        assert f"{word} {z0:g} {zmin:g} table 4.1 ; en-1991-1-4 published" in text.replace(
            ";", " ;"
        )
    for (roof, theta), rows in NEGATIVE.items():
        assert f"{roof}, wind {theta} deg, negative row".capitalize() in text
        for at, zones in rows.items():
            cells = " ".join(f"{ten:g} / {one:g}" for ten, one in zones.values())
            assert f"{at:g} {cells}" in text or "-" in cells, (roof, theta, at)
    assert "straight line in pitch between values of one sign" in text
    assert "from memory" in text
    for edition in (*base.codes.editions.values(), *base.codes.nationals.values()):
        page = pages[address.code(edition.id)].plain
        assert edition.title.lower() in page.lower()
        for figure in edition.figures.values():
            assert figure.text in page
            assert figure.ref.clause in page


def test_a_country_says_what_it_takes_and_whether_it_is_real(
    base: Base, pages: dict[str, Links]
) -> None:
    for national in base.codes.nationals.values():
        page = pages[address.code(national.id)]
        assert ("INVENTED" in page.plain) == (national.tag == "invented")
        for variant in national.variants.values():
            assert f"{variant.name} {variant.value}" in page.plain
        for edition in national.editions.values():
            assert posixpath.basename(address.code(edition)) in page.targets


def test_a_code_on_trial_says_so(base: Base, pages: dict[str, Links]) -> None:
    for edition in base.codes.editions.values():
        assert ("On trial." in pages[address.code(edition.id)].plain) == edition.trial


def test_a_source_of_a_code_names_its_page(pages: dict[str, Links]) -> None:
    there = f"../{address.code('en-1991-1-4-2005')}"
    for source in ("en-1991-1-4", "steel-buildings-actions"):
        assert there in pages[address.source(source)].targets


def test_a_hostile_name_is_harmless(base: Base) -> None:
    bad = "<script>alert(1)</script>"
    demo = base.catalogues["demo"]
    part = demo.parts["demo/dl-1"]
    shape = part.shape.model_copy(update={"text": f'{bad} "quoted" & more'})
    parts = {**demo.parts, f"demo/{bad}": replace(part, id=f"demo/{bad}", shape=shape)}
    catalogues = {**base.catalogues, "demo": replace(demo, parts=parts)}
    rules = tuple(replace(rule, why=bad, title=bad) for rule in base.rules)
    hostile = render(replace(base, catalogues=catalogues, rules=rules), VERSION)
    assert address.part(f"demo/{bad}") in hostile
    for name, text in hostile.items():
        assert "<script>alert" not in text, name
        assert re.fullmatch(r"[a-z0-9./_~-]+", name), name
    assert "&lt;script&gt;alert(1)" in hostile[address.part(f"demo/{bad}")]


@pytest.mark.parametrize("name", ["..", ".", "a/b", "A", "T", "x" * 500, "ü", "a b", "~61", "-"])
def test_a_name_becomes_a_file_name_of_its_own(name: str) -> None:
    found = address.slug(name)
    assert re.fullmatch(r"[a-z0-9._~-]{1,120}", found)
    assert not found.startswith(".")
    others = {"a", "t", "a-b", "x" * 499, "u", "b"}
    assert found not in {address.slug(other) for other in others}


def test_the_search_index_holds_every_page(files: dict[str, str], pages: dict[str, Links]) -> None:
    text = files["search-index.js"]
    assert text.startswith("const PAGES = [\n")
    rows = json.loads(text.removeprefix("const PAGES = ").removesuffix(";\n"))
    found = {target for _, target, _, _ in rows}
    top = {name for name in pages if "/" not in name}
    assert found == pages.keys() - top
    assert "</" not in text


def test_no_page_fetches_and_only_the_search_runs_a_script(files: dict[str, str]) -> None:
    for name, text in files.items():
        if name.endswith(".svg"):
            assert "<script" not in text, name
            continue
        assert "fetch(" not in text, name
        assert "http:" not in text, name
        assert "https:" not in text, name
        assert ("<script" in text) == (name == "search.html"), name


# --- sentences -------------------------------------------------------------------------


SAID = [
    (
        Condition(Path("plane", "seam.height"), "within", Path("clamp", "grips.height"), places=3),
        "the height of the seam lies within the clamp's window for the height, "
        "measured at three places or more",
    ),
    (
        Condition(Path("plane", "deck.thickness"), "at least", Limit("length", 24_000)),
        "the thickness of the deck is at least 24 mm",
    ),
    (
        Condition(Path("plane", "pitch"), "at most", Limit("angle", 10_000), negated=True),
        "the pitch of the roof is more than 10 deg",
    ),
    (
        Condition(Path("plane", "pitch"), "at least", Limit("angle", 10_000), negated=True),
        "the pitch of the roof is less than 10 deg",
    ),
    (
        Condition(Path("plane", "seam.leg"), "within", Window("length", 8_000, 12_000), True),
        "the leg of the seam lies outside 8 to 12 mm",
    ),
    (
        Condition(Path("plane", "sheet.metal"), "is one of", ("zinc", "lead")),
        "the metal of the sheet is zinc or lead",
    ),
    (Condition(Path("stack", "rail"), "absent"), "there is no rail"),
    (Condition(Path("stack", "rail"), "present", negated=True), "there is no rail"),
    (Condition(Path("stack", "rail"), "absent", negated=True), "there is a rail"),
    (
        Condition(Path("stack", "evidence"), "covered by", "bad clamp on seam", negated=True),
        "no record of a failed test covers this clamp on this seam and sheet",
    ),
    (
        Condition(Path("stack", "evidence"), "covered by", "clamp on seam", negated=True),
        "no good and valid record covers this clamp on this seam and sheet",
    ),
    (
        Condition(Path("site", "sea_distance"), "at most", Path("trade", "salt_distance")),
        "the distance to the sea is at most 1000 m (salt of the sea counts up to this distance)",
    ),
    (Condition(Path("rail", "paint_shop"), "is", "far"), "the paint shop of the rail is far"),
]


@pytest.mark.parametrize(("condition", "said"), SAID, ids=[said for _, said in SAID])
def test_conditions_in_plain_words(base: Base, condition: Condition, said: str) -> None:
    rule = base.rule("seam-outside-clamp-window")
    assert say(condition, rule, base).text == said


def test_no_sentence_shows_a_path(base: Base) -> None:
    texts = {f"trade.{number.id}": number.text for number in base.numbers.values()}
    for rule in base.rules:
        for condition in rule.conditions:
            text = say(condition, rule, base).text
            assert "_" not in text, f"{rule.id}: {text}"
            assert str(condition.left) not in text.split(), f"{rule.id}: {text}"
        for path in map(str, paths_of(rule)):
            assert "_" not in noun(path, texts), path


def test_code_is_that_of_the_rule_file(base: Base) -> None:
    """rules/clips/clamp-too-near-clip.yaml, read by eye."""
    page = rule_page(base.rule("clamp-too-near-clip"), base)
    assert [said.code for group in page.when for said in group] == [
        "not p.clips.strength is strong"
    ]
    assert [s.code for s in page.require] == ["k.distance_to_nearest_clip at least c.clip_distance"]


def test_gaps_of_a_message_are_named(base: Base) -> None:
    rule: Rule = base.rule("seam-outside-clamp-window")
    pieces = filled(rule.message, rule, base)
    assert ("clamp's window for the height", True) in pieces
    assert "{" not in "".join(text for text, _ in pieces)


# --- colours ---------------------------------------------------------------------------


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    low = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * low[0] + 0.7152 * low[1] + 0.0722 * low[2]


def test_text_stands_out_in_light_and_dark(files: dict[str, str]) -> None:
    """WCAG 2.2, 1.4.3: text at least 4.5 to 1; 1.4.11: lines of fields at least 3 to 1."""
    colours = re.compile(r"--(\w+): (#[0-9a-f]{6});")
    light, dark = (dict(colours.findall(part)) for part in files["style.css"].split("@media")[:2])
    assert light.keys() == dark.keys() >= {"ink", "paper"}
    for theme in (light, dark):
        for ground in ("paper", "sheet"):
            for name in theme.keys() - {"paper", "sheet"}:
                one, other = sorted((luminance(theme[name]), luminance(theme[ground])))
                ratio = (other + 0.05) / (one + 0.05)
                assert ratio >= (3 if name == "rule" else 4.5), (name, ground, ratio)
