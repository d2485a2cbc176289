"""`seamwright clips` from outside: what a roofer reads first, options, wrong input, pictures."""

import json
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
import resvg_py

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli, Ran

EXAMPLES = ROOT / "examples"
MILL = EXAMPLES / "mill-house" / "job.yaml"
PAGES = ROOT / "tests" / "interfaces" / "clip_pages"
S05 = "s05: [305 mm, 755 mm, 1205 mm, 1655 mm, 2110 mm, 2560 mm, 3005 mm, 3455 mm, 3910 mm]"
AWKWARD = "s05: [85 mm, 535 mm, 985 mm, 1435 mm, 1885 mm, 2335 mm, 2785 mm, 3235 mm, 3685 mm]"

MARKS = re.compile(r"        seams:\n(          s\d\d: .*\n)+")
LINES = MILL.read_text(encoding="utf-8")
MOVED = [("from_eave: 0.79 m", "from_eave: 0.85 m")]


def two_rows() -> list[tuple[str, str]]:
    """The mill with clips up to the ridge and a second row, which loads the clips of the first."""
    found = MARKS.search(LINES)
    assert found is not None
    starts = {3: 310, 4: 300, 5: 305, 6: 310, 7: 300}
    rows = (
        f"          s{n:02}: [{', '.join(f'{a + 450 * i} mm' for i in range(16))}]\n"
        for n, a in starts.items()
    )
    drawn = re.search(r"    layout:\n(      .*\n)+", LINES)
    assert drawn is not None
    block = ("rows: 1, columns: 2", "rows: 2, columns: 2")
    return [(found.group(), "        seams:\n" + "".join(rows)), block, (drawn.group(), "")]


Clips = Callable[..., Ran]


@pytest.fixture
def clips(cli: Cli) -> Clips:
    """Run `seamwright clips`."""
    return partial(cli, "clips")


def edited(tmp_path: Path, *changes: tuple[str, str], source: Path = MILL) -> Path:
    """A job with places changed."""
    text = source.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return path


# --- what is read first -------------------------------------------------------------------------


def test_the_heights_to_mark_stand_on_top(clips: Clips) -> None:
    lines = clips(MILL).out.splitlines()
    top = "\n".join(lines[:12])
    for first in ("CONDITIONAL", "DEMO", "s03, s04, s05, s06, s07", "1003 mm", "2310 mm"):
        assert first in top
    assert len(lines) < 60


def test_a_block_that_has_to_move_says_so_before_any_height(clips: Clips, tmp_path: Path) -> None:
    out = clips(edited(tmp_path, *two_rows())).out
    assert out.index("not as drawn") < out.index("move the whole block") < out.index("mark at")


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ([(S05, AWKWARD)], "FORBIDDEN"),
        ([("          " + S05 + "\n", "")], "OBSERVE"),
        ([(S05, S05.replace("2560 mm, 3005 mm", "2560 mm, 3105 mm"))], "ENGINEER"),
    ],
)
def test_without_a_yes_no_height_is_told_to_be_marked(
    clips: Clips, tmp_path: Path, changes: list[tuple[str, str]], word: str
) -> None:
    ran = clips(edited(tmp_path, *changes))
    assert ran.code == 0
    assert ran.out.count(word) == 1
    assert "Mark from the eave" not in ran.out
    assert "window from the eave" not in ran.out
    assert json.loads(clips(tmp_path / "job.yaml", "--json").out)["mark"] == []


def test_the_cautions_are_said_once(clips: Clips) -> None:
    ran = clips(MILL)
    assert ran.flat.count("a licensed engineer and the local building code decide") == 1
    assert ran.flat.count("fall protection before the first step") == 1
    assert ran.flat.count("whether the stack may be built says `seamwright judge`") == 1
    assert "brighter spots, low sun, tk" in ran.flat


@pytest.mark.parametrize("lang", ["en", "de"])
@pytest.mark.parametrize("job", sorted(p.parent.name for p in EXAMPLES.glob("*/job.yaml")))
def test_eighty_columns_without_colour(clips: Clips, job: str, lang: str) -> None:
    ran = clips(EXAMPLES / job / "job.yaml", "--lang", lang)
    assert (ran.code, ran.err) == (0, "")
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert "\x1b" not in ran.out
    assert all(line == line.rstrip() for line in ran.out.splitlines())
    assert "{" not in ran.out


GOLDEN = {
    "mill-house": [],
    "no-window": [(S05, AWKWARD)],
    "seam-not-marked": [("          " + S05 + "\n", "")],
    "moved": MOVED,
    "two-rows": two_rows(),
}


@pytest.mark.parametrize("lang", ["en", "de"])
@pytest.mark.parametrize("name", GOLDEN)
def test_the_page_is_the_text_beside(
    clips: Clips, tmp_path: Path, name: str, lang: str, request: pytest.FixtureRequest
) -> None:
    job = edited(tmp_path, *GOLDEN[name])
    text = re.sub(
        r"seamwright \S+, (\S+) [0-9a-f]{12}",
        r"seamwright VERSION, \1 DIGEST",
        clips(job, "--lang", lang).out,
    )
    assert "DIGEST" in text
    file = PAGES / f"{name}.{lang}.txt"
    if request.config.getoption("--rewrite"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


# --- data ---------------------------------------------------------------------------------------


def test_the_data_is_one_object_with_all_windows(clips: Clips) -> None:
    data = json.loads(clips(MILL, "--json").out)
    assert (data["schema"], data["word"], data["unit"]) == ("clips/1", "conditional", "mm")
    first, second = data["lines"]
    assert first["windows"] == [[1000.0, 1085.0]]
    assert second["windows"] == [[2225.0, 2320.0]]
    assert [x["at"] for x in data["mark"]] == [1003.0, 2310.0]
    assert first["ends"]["below"] == {"seam": None, "mark": None}
    assert data["task"]["share"] == {"force_kn": 0.42, "spare_kn": 0.31, "factor": 1.2}
    assert data["moved_first"] is None
    for low, high in data["shifts"]:
        assert low <= high


def test_data_of_a_moved_block(clips: Clips, tmp_path: Path) -> None:
    data = json.loads(clips(edited(tmp_path, *two_rows()), "--json").out)
    assert {x["miss"]["cause"] for x in data["lines"] if x["miss"]} == {"share"}
    assert data["moved_first"]["kind"] == "shift"
    assert len(set(data["moved_first"]["by"])) == 1
    assert len(data["mark"]) == 4
    assert {c["kind"] for c in data["changes"]} >= {"shift", "rows"}
    efforts = [c["effort"] for c in data["changes"]]
    assert efforts == sorted(efforts)


def test_another_number_of_lines_leaves_its_figures_out(clips: Clips) -> None:
    data = json.loads(clips(MILL, "--lines", "3", "--json").out)
    assert data["task"]["rail_lines"] == 3
    assert data["task"]["share"] is None
    assert data["share_lacks"] == ["force"]
    assert data["drawn"] == []
    assert len(data["lines"]) == 3


# --- pictures -----------------------------------------------------------------------------------


def test_the_picture_is_whole_and_renders(clips: Clips, tmp_path: Path) -> None:
    file = tmp_path / "clips.svg"
    assert clips(MILL, "--picture", file).code == 0
    text = file.read_text(encoding="utf-8")
    root = ET.fromstring(text)
    words = [e.text or "" for e in root.iter() if e.tag.endswith("text")]
    for shown in ("s03", "s07", "1003 mm", "2310 mm", "1210", "1006"):
        assert shown in words
    assert "script" not in text
    assert "href" not in text
    assert len(bytes(resvg_py.svg_to_bytes(svg_string=text))) > 5_000


def test_nothing_is_drawn_to_be_marked_without_a_yes(clips: Clips, tmp_path: Path) -> None:
    file = tmp_path / "clips.svg"
    clips(edited(tmp_path, (S05, AWKWARD)), "--picture", file)
    text = file.read_text(encoding="utf-8")
    assert "FORBIDDEN" in text
    assert "stroke-width='3'" not in text


# --- wrong input --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--stack", "plan"), "no stack `plan`; use --stack with one of: planned"),
        (("--array", "a2"), "no array `a2` in this job; "),
        (("--lines", "4"), "4 rail lines a module are not kept here; 1, 2 or 3 are"),
        (("--picture", "clips.jpg"), "a picture is an .svg or a .png file"),
        (("--picture", "nowhere/clips.svg"), "there is no such folder"),
    ],
)
def test_wrong_options_are_one_message(clips: Clips, options: tuple[str, ...], said: str) -> None:
    ran = clips(MILL, *options)
    assert (ran.code, ran.out) == (2, "")
    assert said in " ".join(ran.err.split())


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            (S05, S05.replace("3910 mm", "9.91 m")),
            "lies 9.91 m from the eave; the sheet ends at 7.6 m",
        ),
        ((S05, S05.replace("1205 mm", "205 mm")), "marks of seam `s05` must rise from the eave"),
        ((S05, S05.replace("1205 mm", "1205")), "with its unit, given `1205`"),
    ],
)
def test_wrong_marks_are_named_with_their_line(
    clips: Clips, tmp_path: Path, change: tuple[str, str], said: str
) -> None:
    job = edited(tmp_path, change)
    ran = clips(job)
    assert (ran.code, ran.out) == (2, "")
    line = next(n for n, x in enumerate(job.read_text().splitlines(), 1) if "s05:" in x)
    assert f"job.yaml:{line}: " in ran.err
    assert said in ran.err


def test_a_picture_that_cannot_be_drawn_leaves_no_file(clips: Clips, tmp_path: Path) -> None:
    file = tmp_path / "clips.svg"
    job = edited(tmp_path, ("    crosses: [s03, s04, s05, s06, s07]\n", ""))
    ran = clips(job, "--picture", file)
    assert (ran.code, ran.out) == (2, "")
    assert "nothing to draw" in ran.err
    assert not file.exists()


def test_seams_by_their_places_stand_in_for_those_named(clips: Clips, tmp_path: Path) -> None:
    """Seams at 300 + 560 n; the block lies 1.20 to 3.40 m from the left: s03 to s06."""
    at = ", ".join(f"s{n + 1:02}: {300 + 560 * n} mm" for n in range(12))
    seams = f"    seams: {{at: {{{at}}}, tool: tape, by: tk}}\n    outline:"
    job = edited(
        tmp_path,
        ("    crosses: [s03, s04, s05, s06, s07]\n", ""),
        ("    outline:", seams),
    )
    data = json.loads(clips(job, "--json").out)
    assert list(data["task"]["seams"]) == ["s03", "s04", "s05", "s06"]
