"""The sheet for the roof: whole, in its order, honest about what is missing, harmless."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import html5lib
import pytest

from selector.explanation.language import speaking
from selector.explanation.places.plan_svg import Plan
from selector.explanation.sheet.blocks import Figure, KitGroup, Table
from selector.explanation.sheet.case import Case
from selector.explanation.sheet.render import render
from selector.explanation.sheet.sheet import ORDER, sheet_of
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.interfaces.cli.sheet import case_of
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import job_of, read_job
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_string
from selector.layout.model import Placed
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.layout.sample import small
from tests.layout.strategies import block

JOBS = sorted(p.parent.name for p in (ROOT / "examples").glob("*/job.yaml"))
SECTIONS = (
    *("verdict", "observed", "stack", "forbidden", "plan", "section", "torque", "kit", "checks"),
    *("cautions", "versions", "signatures", "log"),
)


@cache
def case(name: str, language: str = "en") -> Case:
    base = speaking(load_base(), language)
    desk = Desk(base, read_job(ROOT / "examples" / name / "job.yaml", base.vocabulary))
    return case_of(desk, base, stack_of(desk, Texts.of(base), None, None))


@cache
def plain(html: str) -> str:
    """All text of a page in one line; what is drawn included."""
    page = re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL)
    for tag in ("<wbr>", "<bdi>", "</bdi>"):
        page = page.replace(tag, "")
    found = html5lib.parse(page)
    return " ".join(" ".join(found.itertext()).split())


def told(one: Case) -> str:
    return plain(render(sheet_of(one)))


# --- whole and well-formed -------------------------------------------------------------------


SPOKEN = [*((name, "en") for name in JOBS), ("granary", "de"), ("copper-chapel", "de")]


@pytest.mark.parametrize(("name", "language"), SPOKEN)
def test_every_example_has_its_whole_sheet(name: str, language: str) -> None:
    sheet = sheet_of(case(name, language))
    assert tuple(section.id for section in sheet.sections) == SECTIONS
    assert all(section.blocks for section in sheet.sections)
    for section in sheet.sections:
        for one in section.blocks:
            if isinstance(one, Table):
                assert {len(row) for row in one.rows} <= {len(one.heads)}
    html = render(sheet)
    html5lib.HTMLParser(strict=True).parse(html)
    assert not re.search(r"<script|<link|<img|@import|url\(|src=|http-equiv=.refresh", html)
    assert re.findall(r"https?://[^\"' ]+", html).count("http://www.w3.org/2000/svg") == len(
        re.findall(r"https?://", html)
    )
    assert len(ORDER) == len(SECTIONS)


def test_the_same_case_gives_the_same_bytes() -> None:
    assert render(sheet_of(case("granary"))) == render(sheet_of(case("granary")))


def test_german_leaves_no_english_sentence() -> None:
    english, german = (told(case("granary", x)) for x in ("en", "de"))
    for said in ("NOT RELEASED", "Set no clamp by eye", "Fall protection stands", "torque wrench"):
        assert said not in german
    assert "NICHT FREIGEGEBEN" in german
    assert "Absturzsicherung" in german
    assert "NOT RELEASED" in english


# --- what is missing is said -----------------------------------------------------------------


def test_without_positions_there_is_no_plan_and_it_is_said() -> None:
    one = case("mill-house")
    assert one.placed is None
    assert not one.released
    plan = next(s for s in sheet_of(one).sections if s.id == "plan")
    assert not [b for b in plan.blocks if isinstance(b, Figure)]
    assert "Set no clamp by eye" in told(one)
    assert one.no_plan
    assert all(plain(why) in told(one) for why in one.no_plan)
    assert "NOT KNOWN" in told(one)


def test_with_positions_the_plan_and_each_rail_stand_there() -> None:
    one = case("granary")
    assert one.placed is not None
    plan = next(s for s in sheet_of(one).sections if s.id == "plan")
    assert len([b for b in plan.blocks if isinstance(b, Figure)]) == 1
    [table] = [b for b in plan.blocks if isinstance(b, Table)]
    assert [row[0] for row in table.rows] == [rail.id for rail in one.placed.rails]
    for row, rail in zip(table.rows, one.placed.rails, strict=True):
        clamps = [c for piece in rail.pieces for c in piece.clamps]
        assert row[1] == f"{rail.y / 1000:.1f}".removesuffix(".0")
        assert row[2] == str(len(clamps))
        assert [s.split()[0] for s in row[4].split(", ")] == [c.seam for c in clamps]
        near = [c.from_clip for c in clamps if c.from_clip is not None]
        assert row[3] == (f"{min(near) / 1000:g}" if len(near) == len(clamps) else "-")


def first_rail(placed: Placed) -> tuple[str, ...]:
    """Row of the first rail in the table below the plan."""
    one = replace(case("granary"), picture=Plan(placed, {}))
    table = next(s for s in sheet_of(one).sections if s.id == "plan").blocks[-1]
    assert isinstance(table, Table)
    return table.rows[0]


def test_a_distance_that_is_not_known_is_never_a_number() -> None:
    placed = block(1, 3)
    assert first_rail(placed)[3] == "120"
    [rail, *others] = placed.rails
    [piece] = rail.pieces
    open_clamp = replace(piece.clamps[0], from_clip=None)
    piece = replace(piece, clamps=(open_clamp, *piece.clamps[1:]))
    rails = (replace(rail, pieces=(piece,)), *others)
    row = first_rail(replace(placed, rails=rails))
    assert row[3] == "-"
    assert row[4].startswith(f"{open_clamp.seam}\u00a0(?), ")


def test_where_forbidden_no_stack_is_shown() -> None:
    one = case("copper-chapel")
    assert one.word == Word.FORBIDDEN
    found = {s.id: s for s in sheet_of(one).sections}
    for name in ("plan", "section", "torque", "kit", "log"):
        assert not [b for b in found[name].blocks if isinstance(b, Figure | Table)], name
    assert "This stack is forbidden" in told(one)
    assert "FORBIDDEN · NOT RELEASED" in told(one)


def test_a_plan_of_a_forbidden_stack_is_never_shown() -> None:
    one = replace(case("copper-chapel"), picture=Plan(small(), {}))
    found = {s.id: s for s in sheet_of(one).sections}
    assert not [b for b in found["plan"].blocks if isinstance(b, Figure)]


def test_a_kit_that_nobody_counted_is_said() -> None:
    assert "nothing may be ordered from this sheet" in told(case("mill-house"))
    group = KitGroup("Boxes", ("part", "count"), (("odd-part", "17"),))
    assert "odd-part 17" in told(replace(case("mill-house"), kit=(group,)))


# --- released or not -------------------------------------------------------------------------


@pytest.mark.parametrize("name", JOBS)
def test_an_example_is_never_released(name: str) -> None:
    one = case(name)
    assert one.invented
    assert not one.released
    assert sheet_of(one).head.banner[0].endswith("NOT RELEASED")
    assert "DEMO" in sheet_of(one).head.banner[1]


def bare(word: Word) -> Case:
    """A case that nothing holds back but its word."""
    one = case("granary")
    answer = replace(one.answer, invented=(), site=replace(one.answer.site, gates={}))
    return replace(one, answer=answer, loads=None, kit_stops=(), word=word)


@pytest.mark.parametrize("word", list(Word))
def test_only_a_yes_is_released(word: Word) -> None:
    assert bare(word).released == (word <= Word.CONDITIONAL)


def test_anything_held_keeps_it_from_release() -> None:
    one = bare(Word.ALLOWED)
    assert not replace(one, kit_stops=("a paper is missing",)).released
    assert not replace(one, answer=replace(one.answer, invented=("demo",))).released
    gates = case("granary").answer.site.gates
    assert any(gates.values())
    site = replace(one.answer.site, gates=gates)
    assert not replace(one, answer=replace(one.answer, site=site)).released


# --- content ---------------------------------------------------------------------------------


def test_every_sighting_of_plane_and_site_is_there() -> None:
    one = case("mill-house")
    said = told(one)
    table = [
        row
        for b in next(s for s in sheet_of(one).sections if s.id == "observed").blocks
        if isinstance(b, Table) and len(b.heads) == 4
        for row in b.rows
    ]
    seen = [*one.plane.observed.values(), *one.job.site.values()]
    assert len(table) == sum(len(o.sightings) for o in seen) + 1  # and the outline
    # by hand from the job: value with tolerance, tool, person with role
    assert ("deck thickness", "26 mm +-2 mm", "steel rule", "tk, installer") in table
    assert "310 · 760 · 1210 · 1660 · 2110 · 2560 · 3010 · 3460 · 3910 10" in said


def test_the_acts_that_kill_are_forbidden_in_large_print() -> None:
    found = next(s for s in sheet_of(case("granary")).sections if s.id == "forbidden")
    large = found.blocks[0]
    assert getattr(large, "look", "") == "large"
    assert any("lanyard" in item for item in getattr(large, "items", ()))


def test_torque_is_that_of_the_clamp() -> None:
    one = case("granary")
    found = next(s for s in sheet_of(one).sections if s.id == "torque").blocks[0]
    assert isinstance(found, Table)
    assert found.rows[0][1] == "11 Nm"  # dl-1 of the demo catalogue
    assert "never by impact driver" in told(one)


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("en", "M8, class 70: 12 Nm; stainless with wax or molybdenum disulphide"),
        (
            "de",
            "M8, Festigkeitsklasse 70: 12 Nm; nichtrostend mit Wachs oder Molybdändisulfid",
        ),
    ],
)
def test_bolts_are_told_with_their_finish(language: str, said: str) -> None:
    """mc-1 of the demo catalogue lists a bolt of its own; a torque is nothing without friction."""
    one = case("granary", language)
    found = next(s for s in sheet_of(one).sections if s.id == "torque").blocks[0]
    assert isinstance(found, Table)
    assert found.rows[-1] == ("mc-1", said)


@pytest.mark.parametrize(
    ("language", "lowest", "highest", "said"),
    [
        ("en", "5 Nm", "50 Nm", "11 Nm set gives 10.56 Nm to 11.44 Nm (4 %)"),  # ISO 6789
        ("en", "20 Nm", "80 Nm", "out of its range: 20 to 80 Nm"),
        ("de", "5 Nm", "50 Nm", "auf 11 Nm gestellt gibt er 10,56 Nm bis 11,44 Nm (4 %)"),
    ],
)
def test_the_wrench_at_hand_is_told(language: str, lowest: str, highest: str, said: str) -> None:
    one = case("granary", language)
    text = (ROOT / "examples" / "granary" / "job.yaml").read_text(encoding="utf-8")
    assert text.count("\nsite:\n") == 1
    ends = (("wrench_lowest", lowest), ("wrench_highest", highest))
    rows = "".join(f"  {key}: {{is: {end}, tool: scale, by: tk}}\n" for key, end in ends)
    changed = text.replace("\nsite:\n", f"\nsite:\n{rows}")
    job = job_of(read_string(changed, "job.yaml"), one.base.vocabulary)
    found = next(s for s in sheet_of(replace(one, job=job)).sections if s.id == "torque").blocks[0]
    assert isinstance(found, Table)
    assert found.rows[-2][1] == said


def log_of(one: Case) -> tuple[tuple[str, ...], ...]:
    table = next(s for s in sheet_of(one).sections if s.id == "log").blocks[-1]
    assert isinstance(table, Table)
    return table.rows


def test_the_log_has_a_line_for_each_clamp_and_room_to_write() -> None:
    one = case("granary")
    assert one.placed is not None
    wanted = [
        (rail.id, clamp.seam, "11 Nm", "", "", "", "")
        for rail in one.placed.rails
        for piece in rail.pieces
        for clamp in piece.clamps
    ]
    assert list(log_of(one)) == wanted
    many = log_of(replace(one, picture=Plan(block(10, 60), {})))
    assert [row[0] for row in many] == [rail.id for rail in block(10, 60).rails]
    # By hand: from 1030 mm the third seam, at 1320 mm; the last rail piece starts at 61010 mm with
    # seam 116, every second seam of it has a clamp, and seam 127 is the last below it.
    assert many[0][1] == "s003 - s126"
    assert len(log_of(case("mill-house"))) > 20


def test_cautions_and_versions() -> None:
    one = case("granary")
    for said in (
        "Fall protection stands before anybody steps on the roof",
        "No lanyard, rope or lifting gear on rails",
        "The local building code and licensed practice stand above this sheet",
        "A licensed engineer answers",
        one.base.digest,
        "as of 2031-05-06",
    ):
        assert said in told(one)


def test_no_address_stands_on_it() -> None:
    """The sheet goes from hand to hand: nothing of the site but what was observed."""
    for block_ in next(s for s in sheet_of(case("granary")).sections if s.id == "verdict").blocks:
        assert "address" not in str(block_).lower()


# --- hostile jobs ----------------------------------------------------------------------------

HOSTILE = (
    "<script>alert(1)</script>",
    "</style><img src=x onerror=alert(1)>",
    "\u202eright to left\u202c",
    "W" * 400,
    "]]> & \" ' {{ 7*7 }} {% raw %}",
    "\x07bell",
)


@pytest.mark.parametrize("bad", HOSTILE)
def test_hostile_text_is_text(bad: str) -> None:
    one = case("granary")
    assert one.placed is not None
    job = replace(one.job, id=bad, people=dict.fromkeys(one.job.people, bad))
    array = replace(one.array, id=bad)
    placed = replace(one.placed, job=bad, array=bad)
    html = render(sheet_of(replace(one, job=job, array=array, picture=Plan(placed, {}))))
    html5lib.HTMLParser(strict=True).parse(html)
    assert "<script" not in html
    assert "<img" not in html
    assert html.count("</style>") == 1
    assert "49" not in plain(html).split()
    assert not {"\u202e", "\x07"} & set(html)
    shown = re.sub(r"<(svg|title|style).*?</\1>|<[^>]*>", " ", html, flags=re.DOTALL)
    assert max(map(len, shown.split())) < 100


def test_an_own_name_is_kept_whole(tmp_path: Path) -> None:
    one = case("granary")
    html = render(sheet_of(replace(one, job=replace(one.job, id="x" * 60))))
    assert "x" * 60 in plain(html)


def test_black_on_white_and_no_letter_below_9_points() -> None:
    html = render(sheet_of(case("granary")))
    style = html[html.index("<style>") : html.index("</style>")]
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b", style)) == {"#000", "#fff"}
    assert not re.search(r"\b(rgb|hsl|opacity|gray|grey|silver)", style)
    sizes = [float(size) for size in re.findall(r"([0-9.]+)pt", style)]
    assert len(sizes) > 5
    assert min(sizes) >= 9
    drawn = [float(size) for size in re.findall(r'<text[^>]* font-size="([0-9.]+)"', html)]
    assert len(drawn) > 50
    assert min(drawn) / 25.4 * 72 >= 9  # a point is 1/72 inch
