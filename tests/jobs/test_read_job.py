"""A job file says what it says, or one clear problem with its line and what to do."""

import random
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from selector.errors import InputError, Problem
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import LARGEST_FILE
from selector.model.job import Job, Line
from selector.model.quantity import Candidates, Measured, Place, Unknown

Change = Callable[[str, str], str]
Read = Callable[[str], Job]
Faults = Callable[[str], tuple[Problem, ...]]

TOP = "    module_clamp: demo/mc-1\n"
RAIL_2 = "        r2: {from_eave: 2.32 m}\n"
THICKNESS = "is: 26 mm, tool: steel rule, by: tk"
KIND = "{is: boards, how: seen from the loft, by: tk}"
REQUEST = "request: {kind: choose, array: a1, want: core}"
PAINT = "{is: 0.65 mm, tool: micrometer, over: paint 0.05 mm, paper: offcut}"
MARKS = "s03: [310 mm, 760 mm, 1210 mm, 1660 mm, 2110 mm, 2560 mm, 3010 mm, 3460 mm, 3910 mm]"


def line_of(text: str, part: str) -> int:
    """Line on which a part of the text starts."""
    return text.count("\n", 0, text.index(part)) + 1


# --- what a file says --------------------------------------------------------------------


@pytest.fixture(scope="module")
def job(read: Read, mill: str) -> Job:
    return read(mill)


def test_head_people_and_request(job: Job) -> None:
    assert (job.id, job.as_of, job.catalogues) == ("mill-house", "2031-03-14", ("demo",))
    assert (job.request.kind, job.request.array, job.request.want) == ("choose", "a1", "core")
    assert job.people == {"cs": "salesperson", "tk": "installer", "ow": "owner of the house"}
    assert job.chosen is None
    assert job.contradictions() == []


def test_papers_say_what_they_cover_and_up_to_what(job: Job, mill: str) -> None:
    reserve = job.papers["reserve"]
    assert (reserve.covers, reserve.up_to) == (("roof-parallel",), 250_000)
    assert reserve.title == "engineer's statement 31-044 of 2031-03-02"
    assert reserve.line == line_of(mill, "  reserve: {")
    assert job.papers["calc"].covers[:3] == ("array a1", "roof zones", "uplift per clamp")
    assert job.papers["offcut"].up_to is None


def test_places_keep_their_own_tolerance(job: Job) -> None:
    height = job.planes["south"].observed["plane.seam.height"].value
    places = (Place(24_300, 25_300), Place(24_600, 25_600), Place(24_800, 25_800))
    assert height == Measured("length", places)
    pitch = job.planes["south"].observed["plane.pitch"].value
    assert pitch == Measured("angle", (Place(21_000, 23_000),))


def test_a_tool_may_be_exact_in_percent(job: Job) -> None:
    assert job.site["site.sea_distance"].value == Measured(
        "length", (Place(192_000_000_000, 288_000_000_000),)
    )


def test_paint_comes_off_the_thickness(job: Job, read: Read, change: Change) -> None:
    painted = job.planes["south"].observed["plane.sheet.thickness"].value
    assert painted == Measured("length", (Place(550, 650),))
    text = change(PAINT, PAINT.replace("over: paint 0.05 mm, ", ""))
    bare = read(text).planes["south"].observed["plane.sheet.thickness"].value
    assert bare == Measured("length", (Place(600, 700),))


def test_within_widens_the_tolerance(read: Read, change: Change) -> None:
    text = change(THICKNESS, "is: 26 mm, tool: steel rule, within: 3 mm, by: tk")
    deck = read(text).planes["south"].observed["plane.deck.thickness"].value
    assert deck == Measured("length", (Place(23_000, 29_000),))
    text = change(THICKNESS, "is: 26 mm, tool: steel rule, within: 50 %, by: tk")
    deck = read(text).planes["south"].observed["plane.deck.thickness"].value
    assert deck == Measured("length", (Place(13_000, 39_000),))


def test_within_equal_to_the_tool_is_no_narrowing(read: Read, change: Change) -> None:
    text = change(THICKNESS, "is: 26 mm, tool: steel rule, within: 2 mm, by: tk")
    deck = read(text).planes["south"].observed["plane.deck.thickness"].value
    assert deck == Measured("length", (Place(24_000, 28_000),))


def test_candidates_and_sightings(job: Job, mill: str) -> None:
    shape = job.planes["south"].observed["plane.seam.shape"]
    assert [s.value for s in shape.sightings] == [
        Candidates(frozenset({"double-lock"})),
        Candidates(frozenset({"double-lock", "single-lock"})),
    ]
    assert shape.value == Candidates(frozenset({"double-lock"}))
    assert [s.way for s in shape.sightings] == ["p1", "head by calliper"]
    assert shape.sightings[1].line == line_of(mill, "- {one_of: [double-lock, single-lock]")
    assert job.site["site.terrain"].value == Candidates(frozenset({"II", "III"}))


def test_three_sightings_narrow_one_another(read: Read, change: Change) -> None:
    third = (
        "          - {one_of: [single-lock, round, double-lock], how: from the ladder, by: cs}\n"
    )
    anchor = "      height:   {places: [24.8 mm"
    shape = read(change(anchor, third + anchor)).planes["south"].observed["plane.seam.shape"]
    assert len(shape.sightings) == 3
    assert shape.value == Candidates(frozenset({"double-lock"}))
    assert not shape.contradicted


def test_sightings_that_exclude_each_other_are_unknown(read: Read, change: Change) -> None:
    job = read(change("one_of: [double-lock, single-lock], how", "is: round, how"))
    shape = job.planes["south"].observed["plane.seam.shape"]
    assert shape.value == Unknown("contradicted")
    assert len(shape.sightings) == 2
    assert job.contradictions() == [shape]


def test_layers_of_a_coating_are_one_candidate(job: Job) -> None:
    coating = job.planes["south"].observed["plane.sheet.coating"].value
    assert coating == Candidates(frozenset({"paint on zinc"}))


@pytest.mark.parametrize("why", ["don't know", "can't reach", "not asked", "not sure"])
def test_each_kind_of_unknown_is_kept(read: Read, change: Change, why: str) -> None:
    job = read(change(KIND, f"{{unknown: {why}}}"))
    assert job.planes["south"].observed["plane.deck.kind"].value == Unknown(why)


def test_a_hint_is_not_a_reading(read: Read, change: Change) -> None:
    text = change(KIND, "{hint: boards, how: knocking, by: tk}")
    deck = read(text).planes["south"].observed["plane.deck.kind"]
    assert (deck.value, deck.sightings[0].hint) == (Unknown("not sure"), "boards")


def test_marks_of_each_seam(job: Job, read: Read, change: Change) -> None:
    marks = job.planes["south"].marks
    assert marks is not None
    assert sorted(marks.seams) == ["s03", "s04", "s05", "s06", "s07"]
    first = marks.seams["s03"]
    assert isinstance(first, Measured)
    assert (first.places[0], len(first.places)) == (Place(300_000, 320_000), 9)
    hidden = read(change(MARKS, "s03: {unknown: can't reach}")).planes["south"].marks
    assert hidden is not None
    assert hidden.seams["s03"] == Unknown("can't reach")


ZONE = "      fixed_zone: {is: upper third, how: closely spaced marks, by: tk}\n"
FIXED = "{how: closely spaced marks, by: tk, seams: {s03: 6.1 m, s04: {unknown: not asked}}}"


def test_where_each_sheet_is_held(read: Read, change: Change) -> None:
    plane = read(change(ZONE, f"{ZONE}      fixed_at: {FIXED}\n")).planes["south"]
    assert plane.fixed is not None and plane.fixed.seen == "closely spaced marks, tk"
    assert plane.fixed.seams == {
        "s03": Measured("length", (Place(6_100_000, 6_100_000),)),
        "s04": Unknown("not asked"),
    }
    assert plane.observed["plane.sheet.fixed_zone"].value == Candidates(frozenset({"upper third"}))


def test_days_below_freezing(read: Read, change: Change) -> None:
    days = "    rail_temperature: {places: [-4 C, 18.5 C], tool: contact thermometer, by: tk}\n"
    plane = read(change("    seam:\n", f"{days}    seam:\n")).planes["south"]
    assert plane.observed["plane.rail_temperature"].value == Measured(
        "temperature", (Place(-6_000, -2_000), Place(16_500, 20_500))
    )


def test_array_and_what_is_stated_for_it(job: Job, mill: str) -> None:
    array = job.arrays["a1"]
    assert (array.plane, array.module, array.tilt) == ("south", "demo/module-p35", None)
    assert (array.rows, array.columns, array.from_eave, array.gap) == (1, 2, 790_000, 20_000)
    assert array.crosses == ("s03", "s04", "s05", "s06", "s07")
    uplift = array.stated["uplift_per_clamp"]
    assert (uplift.dimension, uplift.value, uplift.paper.id) == ("force", 420_000, "calc")
    assert uplift.covers == ("array a1", "field")
    assert uplift.line == line_of(mill, "      uplift_per_clamp:")
    assert array.stated["net_uplift"].value == 900_000


def test_where_the_block_lies_may_be_left_out(read: Read, change: Change) -> None:
    array = read(change("from_eave: 0.79 m, from_left: 1.20 m, ", "")).arrays["a1"]
    assert (array.from_eave, array.from_left, array.gap) == (None, None, 20_000)
    assert read(change("from_left: 1.20 m, ", "")).arrays["a1"].from_eave == 790_000


def test_stack_with_its_layout(job: Job) -> None:
    stack = job.stacks["planned"]
    assert (stack.slots["clamp"], stack.slots["rail"]) == ("demo/dl-1", "demo/rail-u")
    assert {k for k, v in stack.slots.items() if v is None} >= {"insert", "inlay", "bolts"}
    assert stack.layout is not None
    assert [(r.id, r.from_eave) for r in stack.layout.rails] == [
        ("r1", 1_000_000),
        ("r2", 2_320_000),
    ]
    assert stack.layout.clamps == "every seam"


def test_what_a_crew_did_on_site(job: Job, read: Read, change: Change) -> None:
    untouched = job.stacks["planned"]
    assert (untouched.improvised, untouched.tightened) == ({}, "as listed")
    assert (untouched.beside_clamps, untouched.beside_rails) == ("none", "none")
    assert untouched.bonding_wire == "not stated"
    said = f"""{TOP}    improvised: {{fit: jaw filed open, inlay: strips of membrane}}
    tightened: in the wrong order
    bonding_wire: bare copper
    beside: {{clamps: old, rails: other family}}
"""
    stack = read(change(TOP, said)).stacks["planned"]
    assert stack.improvised == {"fit": "jaw filed open", "inlay": "strips of membrane"}
    assert (stack.tightened, stack.bonding_wire) == ("in the wrong order", "bare copper")
    assert (stack.beside_clamps, stack.beside_rails) == ("old", "other family")


def test_lines_and_collars_of_a_layout(job: Job, read: Read, change: Change) -> None:
    bare = job.stacks["planned"].layout
    assert bare is not None
    assert (bare.lines, bare.collar_distance) == ((), None)
    drawn = "      lines: {dormer: {from_left: 2.31 m}, step: {from_eave: 0 m}}\n"
    text = change(RAIL_2, f"{RAIL_2}{drawn}      collar_distance: 0.45 m\n")
    layout = read(text).stacks["planned"].layout
    assert layout is not None
    assert layout.lines == (Line("dormer", True, 2_310_000), Line("step", False, 0))
    assert layout.collar_distance == 450_000


# --- what is refused, in one problem -------------------------------------------------------

# place in the file, what stands there instead, text, remedy
ONE_PROBLEM: list[tuple[str, str, str, str]] = [
    ("height:   {places", "heigth:   {places", "unknown key `heigth`", "did you mean `height`?"),
    ("rail: demo/rail-u", "rial: demo/rail-u", "unknown key `rial`", "did you mean `rail`?"),
    ("people:\n", "people: {}\npeeple:\n", "unknown key `peeple`", "did you mean `people`?"),
    ("is: 22 deg", "is: 22 mm", "`pitch`: expected a", "`22 deg`; `22 mm` is a length"),
    ("is: 22 deg", "is: 22 ells", "unit `ells` is not known here", "use deg"),
    ("is: 22 deg", "is: 22", "with its unit, given `22`", "such as `22 deg`"),
    ("is: 22 deg", 'is: "22"', "`22` has no unit", "such as `22 deg`"),
    ("gap: 20 mm", "gap: 20 kg", "`gap`: expected a length", "`20 kg` is a mass"),
    ("up_to: 0.25 kN/m2", "up_to: 0.25 kN", "`up_to`: expected a pressure", "is a force"),
    ("is: 0.42 kN", "is: 0.42 kPa", "expected a force", "`0.42 kPa` is a pressure"),
    ("is: 26 mm", "is: 99999999999 km", "`99999999999 km` is absurdly large", ""),
    ("is: 26 mm", "is: 1e3 mm", "expected a length", "given `1e3 mm`"),
    ("is: 26 mm", "is: -26 mm", "negative", ""),
    ("is: 26 mm", 'is: "26,5 mm"', "expected a length such as `25.4 mm`", "given `26,5 mm`"),
    (
        "is: 0.42 kN",
        "is: -0.42 kN",
        "`uplift_per_clamp`: a design force or pressure is above zero",
        "",
    ),
    ("is: 1998", "is: -5", "`year`: expected a whole number", "given `-5`"),
    ("is: strong,", "is: strong, is: weak,", "key `is` is written twice", "keep one of them"),
    (
        "rail: demo/rail-u",
        "rail: demo/rail-p\n    rail: demo/rail-u",
        "key `rail` is written twice",
        "keep one of them",
    ),
    ("seamwright: job/1", "seamwright: job/2", "`job/2`", "install a newer version"),
    ("seamwright: job/1", "seamwright: job/0", "`job/0`", "no step leads from it"),
    ("seamwright: job/1\n", "", "its first key must be `seamwright: job/1`", "start from"),
    ("seamwright: job/1", "seamwright: roof/1", "this is not a job file", "start from"),
    ("      magnet:", "\tmagnet:", "not readable as YAML", "indent with spaces, not tabs"),
    ("is: existing, by", "is: not applicable, by", "`not applicable` is no word", "existing, new"),
    (
        "is: 26 mm, tool",
        "unknown: not applicable, tool",
        "`unknown` is `not applicable`",
        "use one",
    ),
    (KIND, "{is: boards, how: loft, on: 2031-03-12, by: tk}", "unknown key `on`", "dated"),
    (KIND, "{is: boards, how: loft, dated: 12.3.2031, by: tk}", "a date such as 2031-03-14", ""),
    (KIND, "{is: board, how: loft, by: tk}", "`board` is no word here", "did you mean `boards`?"),
    (KIND, "{is: yes, how: loft, by: tk}", "`kind`: `yes` is no word here", "boards"),
    ("{is: none, how: eyes from the ridge", "{is: no, how: eyes from the ridge", "`no` is", "none"),
    ("rows: 1,", "rows: yes,", "`rows`: ", "given `yes`"),
    ("rows: 1,", "rows: 0,", "`rows`: ", "given `0`"),
    (KIND, "{is: boards, how: loft}", "neither `by` nor `paper`", "who saw it?"),
    (KIND, "{is: boards, by: tk}", "does not say how it was seen", "add `how` or `tool`"),
    (KIND, "{is: boards, how: loft, by: tkk}", "nobody `tkk` under `people`", "did you mean `tk`?"),
    (KIND, "boards", "`kind` is bare: `boards`", "write {is: ..., how: ..., by: ...}"),
    (KIND, "{how: loft, by: tk}", "exactly one of `is`, `one_of`", "found none"),
    (KIND, "{is: boards, unknown: not sure}", "exactly one of", "found `is` and `unknown`"),
    (KIND, "{is: [boards, OSB], how: loft, by: tk}", "one word is expected", "under `one_of`"),
    (KIND, "{one_of: [], how: loft, by: tk}", "`one_of` is empty", ""),
    (
        THICKNESS,
        "is: 26 mm, how: eye, by: tk",
        "how exact is it?",
        "`tool` (steel rule, tape, call",
    ),
    (THICKNESS, "is: 26 mm, tool: steel rul, by: tk", "has no tolerance", "`steel rule`"),
    (THICKNESS, f"{THICKNESS}, within: 1 mm", "`within` may widen", "never narrow it"),
    (THICKNESS, f"{THICKNESS}, within: 1 kg", "expected a length", "`1 kg` is a mass"),
    (THICKNESS, "one_of: [26 mm], tool: tape, by: tk", "a measurement is `is` or `places`", ""),
    (PAINT, PAINT.replace("offcut", "offcat"), "no paper `offcat`", "did you mean `offcut`?"),
    (PAINT, PAINT.replace("0.05 mm", "5 mm"), "negative", ""),
    ("is: 0.42 kN, paper: calc,", "is: 0.42 kN,", "`paper` is missing", "add it"),
    ("is: 0.42 kN, paper: calc,", "is: 0.42 kN, paper: calk,", "no paper `calk`", "`calc`?"),
    ("  uplift_per_clamp: ", "  uplift_per_clmp: ", "no figure `uplift_per_clmp`", "did you mean"),
    ("plane: south", "plane: sout", "no plane `sout`", "did you mean `south`?"),
    ("zones: [field]", "zones: [felt]", "`felt` is no zone", "did you mean `field`?"),
    ("    array: a1\n", "    array: a2\n", "no array `a2`", "known here: a1"),
    (REQUEST, "request: {kind: choose, array: b1}", "no array `b1`", "known here: a1"),
    (REQUEST, "request: {kind: judge, stack: plannd}", "no stack `plannd`", "`planned`?"),
    (REQUEST, "request: {kind: chose, array: a1}", "chose", "choose"),
    (REQUEST, "request: {kind: act, act: fly}", "`fly` is no act", "known here: "),
    (REQUEST, "request: {kind: swap, stack: planned, out: x}", "either `out` and `in`, or", ""),
    (REQUEST, "request: {kind: choose, array: a1, must_use: {clmp: x}}", "no slot `clmp`", "clamp"),
    ("r2: {from_eave: 2.32 m}", "r2: {from_eave: 2.32 m, cut_at: [3 m]}", "1 cuts", "one word a"),
    (
        "        r2: {from_eave: 2.32 m}\n",
        "",
        "1 rail lines are drawn; the array has 2",
        "draw every",
    ),
    (
        "  clamps: every seam\n\n",
        "  clamps: {s03: [2 m]}\n\n",
        "on `s03` is on no rail line",
        "give it",
    ),
    (ZONE, f"{ZONE}      fixed_at: {{how: eyes, seams: {{s03: 6 m}}}}\n", "neither `by`", ""),
    (ZONE, f"{ZONE}      fixed_at: {{how: eyes, by: tk, seams: {{}}}}\n", "`seams`", ""),
    (
        ZONE,
        f"{ZONE}      fixed_at: {{how: eyes, by: tk, seams: {{s03: 6}}}}\n",
        "with its unit",
        "",
    ),
    (
        ZONE,
        f"{ZONE}      fixed_at: {{how: eyes, by: tk, seams: {{s03: 600 m}}}}\n",
        "cannot be so far from the eave",
        "check number and unit",
    ),
    (
        ZONE,
        f"{ZONE}      fixed_at: {{how: eyes, by: nobody, seams: {{s03: 6 m}}}}\n",
        "nobody `nobody`",
        "",
    ),
    (
        "    seam:\n",
        "    rail_temperature: {is: 90 C, tool: contact thermometer, by: tk}\n    seam:\n",
        "-20 to 80 C is plausible",
        "",
    ),
    (
        "    seam:\n",
        "    rail_temperature: {is: 20 K, tool: contact thermometer, by: tk}\n    seam:\n",
        "`20 K` is a temperature step",
        "",
    ),
    (MARKS, "s03: [910 mm, 760 mm]", "marks of seam `s03` must rise from the eave", ""),
    ("dated: 2031-03-10", "dated: 2031-03-20", "`offcut` is dated 2031-03-20", "check both"),
    ("as_of: 2031-03-14", "as_of: 14.3.2031", "expected a date such as 2031-03-14", ""),
    ("id: mill-house", "id: Mill House", "`id`: expected a short name of small letters", ""),
    (TOP, f"{TOP}    tightened: by feel\n", "`tightened` is `by feel`", "as listed"),
    (TOP, f"{TOP}    bonding_wire: copper\n", "`bonding_wire` is `copper`", "bare copper"),
    (TOP, f"{TOP}    beside: {{clamps: older}}\n", "`clamps` is `older`", "'old' or 'new'"),
    (TOP, f"{TOP}    improvised: {{tape: yes}}\n", "unknown key `tape`", "adapter, fit, inlay"),
    (RAIL_2, f"{RAIL_2}      lines: {{a: {{}}}}\n", "either `from_left` or `from_eave`", ""),
    ("tilt: parallel", "tilt: flat", "`tilt`: expected a", "given `flat`"),
    (
        "  pool_hall:",
        "  salt: {is: none, by: cs}\n  pool_hall:",
        "`salt` is worked out",
        "remove it",
    ),
]


@pytest.mark.parametrize(("old", "new", "text", "remedy"), ONE_PROBLEM)
def test_one_clear_problem(
    change: Change, mill: str, faults: Faults, old: str, new: str, text: str, remedy: str
) -> None:
    [problem] = faults(change(old, new))
    said = str(problem)
    first = line_of(mill, old)
    # where a second line is put in, the fault is on that line; what is missing is said above
    last = first + new.rstrip("\n").count("\n")
    assert problem.line in range(first if new else first - 2, last + 1)
    assert said.startswith(f"job.yaml:{problem.line}: ")
    assert text in said
    assert remedy in said


def test_a_key_that_is_missing_names_its_owner(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change("    rail_lines: 2\n", ""))
    assert str(problem) == (
        f"job.yaml:{line_of(mill, '  a1:')}: key `rail_lines` is missing in `a1`; add it"
    )


def test_a_second_adapter_too_many(change: Change, faults: Faults) -> None:
    adapters = "    adapters: [demo/ad-1, demo/ad-2, demo/ad-3]\n"
    text = change("    clamp: demo/dl-1\n", "    clamp: demo/dl-1\n" + adapters)
    assert [str(p) for p in faults(text)] == [
        f"job.yaml:{line_of(text, adapters)}: a stack has two adapters at most; drop one"
    ]


def test_several_problems_come_in_one_message(change: Change, faults: Faults) -> None:
    text = change("plane: south", "plane: sout")
    for old, new in (
        ("is: 22 deg", "is: 22 mm"),
        (THICKNESS, "is: 26 mm"),
        ("zones: [field]", "zones: [felt]"),
        ("    array: a1\n", "    array: a2\n"),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    found = faults(text)
    assert [p.line for p in found] == sorted(p.line for p in found)
    said = "\n".join(map(str, found))
    for part in ("22 mm", "neither `by`", "how exact is it?", "`felt`", "`sout`", "`a2`"):
        assert part in said


def test_shape_problems_are_gathered(change: Change, faults: Faults) -> None:
    text = change("rail_lines: 2", "rail_line: 2").replace("gap: 20 mm", "gap: 20")
    said = [p.text for p in faults(text)]
    assert "unknown key `rail_line`" in said
    assert "key `rail_lines` is missing in `a1`" in said
    assert any("`gap`" in text for text in said)


# --- what the file itself can be -----------------------------------------------------------


def test_files_that_are_no_job(tmp_path: Path, base: Base) -> None:
    (tmp_path / "empty.yaml").write_text("")
    (tmp_path / "binary.yaml").write_bytes(bytes(range(256)) * 4)
    (tmp_path / "list.yaml").write_text("- a\n- b\n")
    (tmp_path / "word.yaml").write_text("hello\n")
    (tmp_path / "folder.yaml").mkdir()
    with (tmp_path / "large.yaml").open("wb") as file:
        file.truncate(50_000_000)
    for name, said, remedy in (
        ("missing.yaml", "no such file", "check the path"),
        ("empty.yaml", "the file is empty", "start from"),
        ("binary.yaml", "not UTF-8", "save it as text"),
        ("list.yaml", "this is not a job file", "start from"),
        ("word.yaml", "this is not a job file", "start from"),
        ("folder.yaml", "this is a folder", "name a file"),
        ("large.yaml", f"50,000,000 bytes; at most {LARGEST_FILE:,}", "is this the right file?"),
    ):
        with pytest.raises(InputError) as caught:
            read_job(tmp_path / name, base.vocabulary)
        [problem] = caught.value.problems
        assert said in problem.text
        assert remedy in problem.remedy
        assert problem.place.startswith(name)


def test_alias_bomb_in_a_job(mill: str, faults: Faults) -> None:
    rows = ["x0: &x0 [y, y]"] + [f"x{i}: &x{i} [*x{i - 1}, *x{i - 1}]" for i in range(1, 30)]
    text = mill + "\n".join(rows) + "\n"
    first = faults(text)[0]
    assert (first.line, first.remedy) == (line_of(text, "x0: &x0"), "remove it")
    assert first.text == "the anchor `&x0` is not taken"


def test_a_job_of_absolute_path_shows_its_name(tmp_path: Path, base: Base, mill: str) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text(mill.replace("is: 22 deg", "is: 22 mm"), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_job(path, base.vocabulary)
    assert str(caught.value).startswith(f"mine.yaml:{line_of(mill, 'is: 22 deg')}: ")


def test_windows_line_ends_and_byte_order_mark_read(read: Read, mill: str, job: Job) -> None:
    assert read("\ufeff" + mill.replace("\n", "\r\n")).raw == job.raw


# --- what must not pass silently -----------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("from_eave: 0.79 m,", "from_eave: -0.79 m,"),
        ("gap: 20 mm", "gap: -20 mm"),
        ("r1: {from_eave: 1.00 m}", "r1: {from_eave: -1.00 m}"),
        ("[7.00 m, 7.50 m]", "[-7.00 m, 7.50 m]"),
        ("is: 5.2 m", "is: -5.2 m"),
        (MARKS, "s03: [-310 mm, 760 mm]"),
        ("is: 26 mm", "is: -1 mm"),
    ],
)
def test_a_negative_length_is_refused(
    change: Change, mill: str, faults: Faults, old: str, new: str
) -> None:
    [problem] = faults(change(old, new))
    assert problem.line == line_of(mill, old)
    assert re.search("negative|below|at least|sign", str(problem))


def test_a_negative_pressure_of_a_paper_is_refused(
    change: Change, mill: str, faults: Faults
) -> None:
    [problem] = faults(change("up_to: 0.25 kN/m2", "up_to: -0.25 kN/m2"))
    assert (problem.line, "up_to" in problem.text) == (line_of(mill, "up_to: 0.25"), True)


def test_negative_paint_never_thickens_a_sheet(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change("paint 0.05 mm", "paint -0.05 mm"))
    assert problem.line == line_of(mill, "paint 0.05 mm")


def test_over_without_a_figure_says_how_to_write_it(
    change: Change, mill: str, faults: Faults
) -> None:
    for new in ("over: paint", "over: 0.05 mm"):
        [problem] = faults(change("over: paint 0.05 mm", new))
        assert problem.line == line_of(mill, "over: paint")
        assert "over" in str(problem)


def test_an_empty_list_is_no_word(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change(KIND, "{is: [], how: loft, by: tk}"))
    assert (problem.line, "`kind`" in problem.text) == (line_of(mill, KIND), True)
    [problem] = faults(change("coating:   {is: [paint, zinc]", "coating:   {is: []"))
    assert "`coating`" in problem.text


def test_marks_of_a_seam_without_marks(change: Change, mill: str, faults: Faults) -> None:
    for new in ("s03: {}", "s03: []"):
        [problem] = faults(change(MARKS, new))
        assert problem.line == line_of(mill, MARKS)
        assert "`s03`" in problem.text


def test_a_decimal_comma_between_braces_is_named(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change("is: 26 mm", "is: 26,5 mm"))
    assert problem.line == line_of(mill, "is: 26 mm")
    assert re.search("comma|point", str(problem))


def test_a_truth_value_is_no_count(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change("rows: 1,", "rows: true,"))
    assert (problem.line, "`rows`" in problem.text) == (line_of(mill, "rows: 1,"), True)


def test_a_figure_where_a_word_is_meant_offers_quotes_or_reads(
    change: Change, read: Read, faults: Faults
) -> None:
    text = change("one_of: [II, III]", "one_of: [0, II]")
    try:
        assert read(text).site["site.terrain"].value == Candidates(frozenset({"0", "II"}))
    except InputError:
        [problem] = faults(text)
        assert "did you mean `0`?" not in str(problem)


def test_a_paper_number_of_digits_reads_or_says_to_quote_it(
    change: Change, read: Read, faults: Faults
) -> None:
    text = change("number: 31-044", "number: 31044")
    try:
        assert read(text).papers["reserve"].number == "31044"
    except InputError:
        [problem] = faults(text)
        assert "quote" in str(problem)


def test_a_day_that_no_calendar_has(change: Change, mill: str, faults: Faults) -> None:
    found = faults(change("as_of: 2031-03-14", "as_of: 2031-02-31"))
    assert found[0].line == line_of(mill, "as_of")
    assert "`as_of`" in found[0].text


def test_an_outline_by_nobody(change: Change, mill: str, faults: Faults) -> None:
    old = "7.50 m], tool: tape, by: tk}"
    [problem] = faults(change(old, "7.50 m], tool: tape, by: kt}"))
    assert (problem.line, "nobody `kt`" in problem.text) == (line_of(mill, old), True)


def test_a_chosen_stack_that_is_not_there(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change("chosen: none yet", "chosen: plannd"))
    assert problem.line == line_of(mill, "chosen: none yet")
    assert "`planned`" in problem.remedy


def test_a_pitch_beyond_the_vertical(change: Change, mill: str, faults: Faults) -> None:
    [problem] = faults(change("is: 22 deg", "is: 122 deg"))
    assert (problem.line, "`pitch`" in problem.text) == (line_of(mill, "is: 22 deg"), True)


# --- any change at all -----------------------------------------------------------------------

JUNK = [
    "", "{}", "[]", "null", "true", "-1", "3.5", "yes", "26,5 mm", "-9 mm", "1e9 mm", "99 kN",
    "[a, [b]]", "{is: 3}", "{unknown: x}", "{sightings: []}", "'", '"', ": ", "&a x", "*a", "!!x y",
    "\t", "\x00", "½", "a" * 300, "2031-03-14", "{is: [], how: x, by: tk}", "[1 mm, 2 mm]",
]  # fmt: skip


def mutated(text: str, seed: int) -> str:
    """One to three small accidents: a lost line, swapped letters, junk for a value."""
    chance = random.Random(seed)
    for _ in range(chance.randint(1, 3)):
        lines = text.split("\n")
        i = chance.randrange(len(lines))
        way = chance.choice(["lose", "swap", "junk", "value", "double", "cut"])
        if way == "lose":
            del lines[i]
        elif way == "double":
            lines.insert(i, lines[chance.randrange(len(lines))])
        elif way == "swap" and len(lines[i]) > 1:
            j = chance.randrange(len(lines[i]) - 1)
            lines[i] = lines[i][:j] + lines[i][j + 1] + lines[i][j] + lines[i][j + 2 :]
        elif way == "junk":
            head, colon, _ = lines[i].partition(":")
            lines[i] = head + colon + " " + chance.choice(JUNK)
        elif way == "value":
            values = list(re.finditer(r"(?<=: )[^,{}\[\]]+", lines[i]))
            if values:
                value = chance.choice(values)
                new = chance.choice(JUNK)
                lines[i] = lines[i][: value.start()] + new + lines[i][value.end() :]
        elif way == "cut":
            lines[i] = lines[i][: chance.randrange(len(lines[i]) + 1)]
        text = "\n".join(lines)
    return text


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10**9))
def test_any_accident_reads_or_is_explained(read: Read, mill: str, seed: int) -> None:
    text = mutated(mill, seed)
    try:
        assert read(text).file == "job.yaml"
    except InputError as error:
        lines = text.count("\n") + 1
        for problem in error.problems:
            assert problem.file == "job.yaml"
            assert 1 <= problem.line <= lines
            assert problem.text.strip()
