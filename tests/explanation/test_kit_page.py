"""The kit as a page, as a table and as data: complete, in plain words, and alike in all three."""

import csv
import io
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.explanation.handbook.trade_pages import topics
from selector.explanation.kit.as_json import kit_data
from selector.explanation.kit.page import page
from selector.explanation.kit.table import cell, table
from selector.explanation.kit.telling import KitTelling
from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.inference.judge import Judge
from selector.kit.model import GROUPS, Kit
from selector.knowledge.base import Base
from selector.knowledge.texts import FIRST
from tests.conftest import ROOT
from tests.kb import roofs
from tests.kit.made import PLATE, ROUND, STEEL, kit_on, roof_for


def told(kit: Kit, base: Base, language: str = FIRST) -> KitTelling:
    spoken = speaking(base, language)
    return KitTelling(kit, spoken, Texts.of(spoken))


@pytest.fixture(scope="module")
def steel(base: Base, judge: Judge) -> Kit:
    return kit_on(base, judge, roof_for(base, STEEL))


@pytest.fixture(scope="module")
def kits(base: Base, judge: Judge, steel: Kit) -> list[Kit]:
    copper = roof_for(base, {**STEEL, "inlay": "demo/in-1"}, "copper")
    others = [kit_on(base, judge, roof_for(base, slots)) for slots in (ROUND, PLATE)]
    return [steel, kit_on(base, judge, copper), *others]


# --- the page ----------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "de"])
def test_eighty_columns_and_no_trailing_blanks(base: Base, kits: list[Kit], language: str) -> None:
    for kit in kits:
        lines = page(told(kit, base, language), "0", "job.yaml")
        assert [x for x in lines if len(x) > 80 or x != x.rstrip()] == []


def test_not_released_stands_on_top_and_over_every_group(base: Base, steel: Kit) -> None:
    lines = page(told(steel, base), "0", "job.yaml")
    heads = [lines[n - 1] for n, line in enumerate(lines) if set(line) == {"-"}]
    marked = [head for head in heads if "(NOT RELEASED, DEMO)" in head]
    assert len(marked) == len(GROUPS) + 1  # and what must not be in the box
    assert "NOT RELEASED, DEMO" in lines[:8]


def test_a_released_kit_says_so(base: Base, steel: Kit) -> None:
    papers = tuple(replace(x, there=True) if x.item else x for x in steel.lines)
    yes = replace(steel, invented=(), gates=(), lines=papers)
    assert steel.word.is_yes and yes.released
    assert "RELEASED" in page(told(yes, base), "0", "job.yaml")
    for held in (
        replace(yes, gates=("fire",)),
        replace(yes, invented=("demo",)),
        replace(yes, preliminary=True),
        replace(yes, lines=steel.lines),  # the roofer's letter is missing
        replace(yes, lines=(replace(papers[0], listed=False), *papers[1:])),
        replace(yes, lines=(replace(papers[0], fault="zinc"), *papers[1:])),
    ):
        assert not held.released
        assert "RELEASED" not in page(told(held, base), "0", "job.yaml")


def test_reasons_stand_in_words_with_their_figures(base: Base, steel: Kit) -> None:
    flat = " ".join(" ".join(page(told(steel, base), "0", "job.yaml")).split())
    for reason in (
        "4 rail pieces with 3 clamps each",
        "3 modules in each of 2 rows; 2 gaps between modules x 4 rail lines",
        "two ends x 1 unbroken run x 4 rail lines",
        "4 pieces to cut; 3.56 m is left over (21 %)",
        "24 set screws come with the clamps: 5 % of them, 5 at least",
        "1 from the first row to the second, since no tested joint ties them",
        "order 20: 1 pack of 20",
    ):
        assert reason in flat


def test_a_forbidden_stack_shows_no_kit_and_the_reason(base: Base, judge: Judge) -> None:
    kit = kit_on(base, judge, roof_for(base, STEEL, "copper"))
    lines = page(told(kit, base), "0", "job.yaml")
    flat = " ".join(lines)
    assert kit.forbidden and kit.lines == () and kit.totals is None
    assert "FORBIDDEN" in flat and "aluminium-on-copper-without-inlay" in flat
    assert "seam clamp" not in flat and "torque wrench" not in flat
    data = kit_data(told(kit, base), "0")
    assert (data["lines"], data["leave_out"], data["totals"]) == ([], [], None)
    assert data["forbidden_by"][0]["rule"] == "aluminium-on-copper-without-inlay"


MANY = "rails|clamps|gaps|rows|modules|packs|sets|bars|Klemmen|Lücken|Reihen|Sätze|Stangen"


@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_that_a_clerk_laughs_at(base: Base, kits: list[Kit], language: str) -> None:
    """No half pieces, no zeros, no `1 rails`, no millimetres, no brackets left open."""
    for kit in kits:
        for line in kit.lines:
            assert line.number is None or (isinstance(line.number, int) and line.number > 0)
            assert line.spare >= 0
        whole = " ".join(page(told(kit, base, language), "0", "job.yaml"))
        assert re.findall(r"\{[a-z_]*\}", whole) == []
        assert re.findall(r"(?<![\d.,])0 (?:x|\+|rail|clamps|gaps)", whole) == []
        assert re.findall(rf"(?<![\d.,])1 (?:{MANY})\b", whole) == []
        assert "?" not in whole
        assert "None" not in whole


def test_every_reason_and_name_that_a_kit_gives_has_words(base: Base) -> None:
    """Names of reasons, things and faults as the source of the kit writes them."""
    texts = base.texts[FIRST].texts
    bare = {re.sub(r"\.(one|other)$", "", name) for name in texts}
    source = "".join(
        path.read_text(encoding="utf-8") for path in sorted((ROOT / "selector/kit").glob("*.py"))
    )
    reasons = set(re.findall(r'Because\(\s*"(\w+)"', source))
    reasons |= set(re.findall(r'_each\(\s*[\w.]+,\s*"(\w+)"', source))
    reasons |= {f"each_{x}" for x in ("clamp", "head", "crossing")}
    nouns = set(re.findall(r'Noun\(\s*"(\w+)"', source))
    assert len(reasons) > 15 and len(nouns) > 4
    assert {f"kit.because.{x}" for x in reasons} <= bare
    assert {f"kit.noun.{x}" for x in nouns} <= bare
    faults = {
        f"kit.fault.{x}{y}"
        for x in ("zinc", "bare_copper", "not_stainless", "grade")
        for y in ("", "_perhaps")
    }
    assert faults <= bare


# --- sums --------------------------------------------------------------------------------------


def test_sums_are_the_sums_of_the_lines(base: Base, kits: list[Kit]) -> None:
    for kit in kits:
        data = kit_data(told(kit, base), "0")
        goods = [x for x in data["lines"] if x["mass_kg"] is not None]
        assert data["totals"]["mass_kg"] == pytest.approx(sum(x["mass_kg"] for x in goods))
        assert data["totals"]["on_roof_kg"] == pytest.approx(sum(x["on_roof_kg"] for x in goods))
        prices = [Decimal(x["price"]) for x in data["lines"] if x["price"] is not None]
        assert Decimal(data["totals"]["prices"]["EUR"]) == sum(prices)
        assert data["totals"]["weighed"] == data["totals"]["lines"] == len(goods)


def test_without_every_price_there_is_no_sum(base: Base, steel: Kit) -> None:
    assert steel.totals is not None
    found = replace(steel.totals, prices={}, priced=steel.totals.lines - 2)
    whole = " ".join(page(told(replace(steel, totals=found), base), "0", "job.yaml"))
    assert "7 of 9 lines have a price: no sum" in whole
    assert "at catalogue prices" not in whole


def test_what_is_heavier_than_the_loads_or_the_paper_is_said(base: Base, steel: Kit) -> None:
    assert steel.totals is not None
    light = " ".join(page(told(steel, base), "0", "job.yaml"))
    assert "ABOVE" not in light
    # on 11.52 m2: 14.4 kg of fixings are 1.25 kg/m2; 143.4 kg are 12.45 kg/m2 or 0.1221 kN/m2
    # (x 9.80665, CGPM 1901)
    assert "without the modules 1.3 kg/m2" in light and "12.5 kg/m2 or 0.122 kN/m2" in light
    tight = replace(steel.totals, allowance=1_200, reserve=122_000, paper="letter of 2031-01-01")
    heavy = " ".join(page(told(replace(steel, totals=tight), base), "0", "job.yaml"))
    assert "ABOVE the 1.2 kg/m2 that the loads" in heavy
    assert "ABOVE the 0.122 kN/m2 that letter of 2031-01-01" in heavy


def test_a_line_without_mass_makes_every_sum_a_least(base: Base, judge: Judge) -> None:
    row = roof_for(base, STEEL)
    row["catalogues"] = ["cases"]
    slots = {
        "clamp": "cases/double-alu-slideon",
        "rail": "cases/rail-slideon",
        "module_clamp": "cases/clamp-mid",
    }
    row["stacks"] = {"one": {"array": "a1", **slots}}
    row = roofs.changed(row, arrays__a1__module="cases/case-module")
    kit = kit_on(base, judge, row)
    flat = " ".join(" ".join(page(told(kit, base), "0", "job.yaml")).split())
    assert "at least" in flat and "nothing here is shown to be light enough" in flat
    assert "not listed in the catalogue, ask" in flat


# --- table and data ----------------------------------------------------------------------------


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_table_is_the_data(base: Base, kits: list[Kit], language: str) -> None:
    for kit in kits:
        telling = told(kit, base, language)
        rows, lines = read(table(telling)), kit_data(telling, "0")["lines"]
        assert len(rows) == len(lines) > 20
        for row, line in zip(rows, lines, strict=True):
            assert row.pop("release") == telling.mark
            assert row == {key: shown(value) for key, value in line.items()}


def shown(value: Any) -> str:
    """A value of the data as text, by the rules that the table states."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def test_the_table_is_plain_csv(base: Base, steel: Kit) -> None:
    """RFC 4180: a header row, lines end in CR LF, quotes doubled; the csv module reads it back."""
    text = table(told(steel, base))
    assert text.endswith("\r\n") and "\n" not in text.replace("\r\n", "")
    assert text.splitlines()[0].startswith("release,group,kind,what,part,number,unit,")
    assert not text.startswith("\ufeff")
    text.encode("utf-8")


@given(st.text())
def test_no_cell_is_computed(text: str) -> None:
    """A cell that starts with one of these is a formula to a spreadsheet (OWASP, CSV injection)."""
    assert not cell(text).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert cell(text).removeprefix("'").endswith(text.removeprefix("'"))


def test_prices_are_decimal_texts(base: Base, steel: Kit) -> None:
    data = kit_data(told(steel, base), "0")
    for line in data["lines"]:
        for key in ("price", "price_each"):
            assert line[key] is None or re.fullmatch(r"[0-9]+\.[0-9]{2}", line[key])
    assert data["schema"] == "kit/1" and data["complete"] is True


def test_the_handbook_shows_every_row_of_the_kit(base: Base) -> None:
    shown = {block.id for topic in topics(base) for block in topic.blocks}
    assert {item.id for item in base.kits.items} <= shown
    assert {f"spare-{name}" for name in base.kits.spares} <= shown
    whole = " ".join(v for t in topics(base) for b in t.blocks for _, v in b.fields)
    assert "{" not in whole
