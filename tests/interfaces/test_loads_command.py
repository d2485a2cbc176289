"""`seamwright loads` from outside: exit codes, options, wrong input, all of it or nothing."""

import json
import xml.etree.ElementTree as ET
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli, Ran

EXAMPLES = ROOT / "examples"
HALL = EXAMPLES / "reading-hall" / "job.yaml"
MILL = EXAMPLES / "mill-house" / "job.yaml"


Loads = Callable[..., Ran]


@pytest.fixture
def loads(cli: Cli) -> Loads:
    """Run `seamwright loads`."""
    return partial(cli, "loads")


def edited(tmp_path: Path, old: str, new: str) -> Path:
    """The hall's job with one place changed."""
    text = HALL.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path = tmp_path / "job.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


# --- whatever the word, it was read: exit 0 ---------------------------------------------------


def test_the_exit_is_0_whatever_the_word(loads: Loads, tmp_path: Path) -> None:
    steep = edited(tmp_path, "{is: duopitch, paper", "{is: other, paper")
    for job, word in ((HALL, "CONDITIONAL"), (MILL, "OBSERVE"), (steep, "ENGINEER")):
        ran = loads(job)
        assert (ran.code, ran.err) == (0, "")
        assert ran.out.count(word) == 1


def test_what_is_looked_at_first_stands_on_top(loads: Loads) -> None:
    lines = loads(HALL).out.splitlines()
    top = "\n".join(lines[:26])
    for first in (
        "CONDITIONAL",
        "peak wind pressure",
        "wind lifts",
        "snow on the roof",
        "uplift-EQU",
    ):
        assert first in top
    assert len(lines) < 75


def test_the_caution_is_said_once(loads: Loads) -> None:
    ran = loads(HALL, "--all")
    assert ran.flat.count("a licensed engineer and the local building code decide") == 1
    assert ran.flat.count("no clamp, clip, rail, module or building is checked here") == 1


def test_what_is_invented_is_said(loads: Loads) -> None:
    assert "DEMO, invented: `demo`." in loads(HALL).out
    assert "DEMO, invented: `demo`, `example-land`." in loads(MILL).out


@pytest.mark.parametrize("topic", ["wind", "snow", "weight", "combinations"])
def test_one_topic_alone(loads: Loads, topic: str) -> None:
    ran = loads(HALL, "--only", topic)
    assert ran.code == 0
    heads = [line for line in ran.out.splitlines() if "line by line" in line]
    assert len(heads) == 1
    assert heads[0].lower().startswith(topic)
    assert "Characteristic actions" not in ran.out


def test_every_zone_has_its_table_and_status(loads: Loads) -> None:
    flat = loads(HALL, "--only", "wind").flat
    _, _, zones = flat.partition("Zones of the plane in four winds")
    assert zones.count("table 7.4a and figure 7.2") == 6  # F twice, G, H; J, I
    assert zones.count("table 7.4b and figure 7.2") == 8  # F, G, H, I of either end
    assert zones.count("; from memory") == 14


def test_all_four_topics_and_all_four_winds(loads: Loads) -> None:
    ran = loads(HALL, "--all")
    assert ran.out.count("line by line") == 4
    assert ran.out.count("Zones in the wind") == 4


@pytest.mark.parametrize("options", [(), ("--all",), ("--only", "wind")])
@pytest.mark.parametrize("job", ["reading-hall", "mill-house", "first-call"])
@pytest.mark.parametrize("lang", ["en", "de"])
def test_eighty_columns_without_colour(
    loads: Loads, options: tuple[str, ...], job: str, lang: str
) -> None:
    ran = loads(EXAMPLES / job / "job.yaml", *options, "--lang", lang)
    assert ran.code == 0
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    assert "\x1b" not in ran.out
    assert all(line == line.rstrip() for line in ran.out.splitlines())


# --- data ---------------------------------------------------------------------------------------


def test_the_data_is_one_object(loads: Loads) -> None:
    ran = loads(HALL, "--json")
    data = json.loads(ran.out)
    assert data["schema"] == "loads/1"
    assert (data["word"], data["unit"], data["demo"]) == ("conditional", "Pa", ["demo"])
    assert data["snow"] == [520.0, 520.0]
    assert data["lift"]["module"]["zone"] == "H"
    assert data["governing"]["fixing"]["uplift"]["name"] == "uplift-EQU"
    assert len(data["zones"]) == 14
    assert {zone["clause"] for zone in data["zones"]} == {"table 7.4a", "table 7.4b"}
    assert set(data["topics"]) == {"wind", "snow", "weight", "combinations"}
    for topic in data["topics"].values():
        assert topic["open"] == []
        known: set[str] = set()
        for row in topic["rows"]:
            assert row["status"]
            assert row["clause"]
            assert set(row["inputs"]) <= known, row["symbol"]
            known.add(row["symbol"])


def test_data_of_one_topic_leaves_the_rows_of_the_others_out(loads: Loads) -> None:
    data = json.loads(loads(HALL, "--json", "--only", "snow").out)
    assert "rows" in data["topics"]["snow"]
    assert "rows" not in data["topics"]["wind"]
    assert not {"zones", "sets"} & data.keys()
    assert data["peak"]


def test_data_says_what_is_missing(loads: Loads) -> None:
    data = json.loads(loads(MILL, "--json").out)
    assert (data["word"], data["peak"], data["lift"]) == ("observe", None, {})
    about = {one["about"] for one in data["topics"]["wind"]["open"]}
    assert {"plane.parapet", "site.hilltop", "array.gap_below"} <= about


def test_keys_are_english_whatever_the_language(loads: Loads) -> None:
    one, other = (json.loads(loads(MILL, "--json", "--lang", x).out) for x in ("en", "de"))
    assert one.keys() == other.keys()
    assert (one["word"], one["topics"].keys()) == (other["word"], other["topics"].keys())
    said = [d["topics"]["wind"]["open"][0]["text"] for d in (one, other)]
    assert said[0] != said[1]


# --- a code on trial ----------------------------------------------------------------------------


@pytest.mark.parametrize("code", ["asce-7-16", "asce-7-22"])
def test_a_code_on_trial_has_the_same_data(loads: Loads, tmp_path: Path, code: str) -> None:
    path = edited(tmp_path, "{is: en-first-generation}", f"{{is: {code}}}")
    plain = loads(path, "--json")
    data, usual = json.loads(plain.out), json.loads(loads(HALL, "--json").out)
    assert plain.code == 0
    assert data.keys() == usual.keys()
    assert (data["schema"], data["word"], data["code"]) == ("loads/1", "engineer", code)
    assert (data["peak"], data["lift"], data["sets"]) == (None, {}, {})
    opens = {(o["word"], o["kind"], o["about"]) for o in data["topics"]["wind"]["open"]}
    assert opens == {
        ("engineer", "trial", "code"),
        ("engineer", "engineer", "pressure coefficient (GCp) of the roof zone"),
        ("observe", "missing", "site.exposure"),
    }
    text = path.read_text(encoding="utf-8")
    exposed = "  exposure: {is: C, how: aerial view, by: lw}\n  hilltop:"
    path.write_text(text.replace("  hilltop:", exposed), encoding="utf-8")
    data = json.loads(loads(path, "--json", "--only", "wind").out)
    assert data["word"] == "engineer"
    [qh] = [row for row in data["topics"]["wind"]["rows"] if row["symbol"] == "qh"]
    assert qh["value"] == data["peak"]
    for lang, word in (("en", "ENGINEER"), ("de", "STATIKER")):
        ran = loads(path, "--only", "wind", "--lang", lang)
        assert (ran.code, ran.out.count(word)) == (0, 1)
        assert [line for line in ran.out.splitlines() if len(line) > 80] == []


def test_nothing_is_drawn_of_a_code_on_trial(loads: Loads, tmp_path: Path) -> None:
    path = edited(tmp_path, "{is: en-first-generation}", "{is: asce-7-16}")
    ran = loads(path, "--picture", tmp_path / "zones.svg")
    assert (ran.code, ran.out) == (2, "")
    assert "a code on trial" in ran.err
    assert [p.name for p in tmp_path.iterdir()] == ["job.yaml"]


# --- the picture --------------------------------------------------------------------------------


def test_the_picture_shows_every_zone_and_the_array(loads: Loads, tmp_path: Path) -> None:
    path = tmp_path / "zones.svg"
    assert loads(HALL, "--picture", path).code == 0
    text = path.read_text(encoding="utf-8")
    root = ET.fromstring(text)
    shown = [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]
    assert {"F", "G", "H", "I", "J", "a1"} <= set(shown)
    assert shown.count("a1") == 4
    assert any("which lifts most" in (x or "") for x in shown)
    assert not {"script", "style", "image"} & {e.tag.rpartition("}")[2] for e in root.iter()}
    colours = {v for e in root.iter() for k, v in e.attrib.items() if k in ("fill", "stroke")}
    assert colours <= {"black", "white", "none"}


@pytest.mark.parametrize("name", ["zones.jpg", "no-folder/zones.svg"])
def test_a_picture_that_cannot_be_written(loads: Loads, tmp_path: Path, name: str) -> None:
    ran = loads(HALL, "--picture", tmp_path / name)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("error: ")
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_drawn_of_a_roof_that_is_open(loads: Loads, tmp_path: Path) -> None:
    ran = loads(MILL, "--picture", tmp_path / "zones.svg")
    assert (ran.code, ran.out) == (2, "")
    assert "nothing to draw" in ran.err
    assert list(tmp_path.iterdir()) == []


# --- bad input: exit 2, one clear message, nothing else -------------------------------------------


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--only", "winds"), "no topic `winds`"),
        (("--array", "a2"), "no array `a2` in this job"),
        (("--lang", "eo"), "no texts in `eo`"),
    ],
)
def test_wrong_options(loads: Loads, args: tuple[str, ...], said: str) -> None:
    ran = loads(HALL, *args)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("{is: 26 m/s", "{is: -26 m/s"),
        ("{is: 26 m/s", "{is: .nan"),
        ("{is: 26 m/s", "{is: 1e9 m/s"),
        ("{is: 0.65 kN/m2", "{is: .inf"),
        ("rectangle: [60 m, 16.178 m]", "rectangle: [60 m]"),
        ("gap_below: 120 mm", "gap_below: -1 mm"),
        ("from_eave: 4.00 m", "from_eave: .nan"),
        ("{is: III", "{is: ocean"),
    ],
)
def test_figures_that_cannot_be(loads: Loads, tmp_path: Path, old: str, new: str) -> None:
    ran = loads(edited(tmp_path, old, new))
    assert (ran.code, ran.out) == (2, "")
    assert "job.yaml:" in ran.err


def test_a_job_without_an_array(loads: Loads, tmp_path: Path) -> None:
    text = HALL.read_text(encoding="utf-8")
    head, _, _ = text.partition("arrays:\n")
    act = "request: {kind: act, act: hook a lanyard to a rail}"
    path = tmp_path / "job.yaml"
    path.write_text(
        head.replace("request: {kind: choose, array: a1, want: core}", act), encoding="utf-8"
    )
    ran = loads(path)
    assert (ran.code, ran.out) == (2, "")
    assert "no array to work out loads for" in ran.err


def test_several_arrays_and_none_named(loads: Loads, tmp_path: Path) -> None:
    text = HALL.read_text(encoding="utf-8")
    act = "request: {kind: act, act: hook a lanyard to a rail}"
    text = text.replace("request: {kind: choose, array: a1, want: core}", act)
    start, end = text.index("  a1:\n"), text.index("stacks:")
    second = text[start:end].replace("  a1:", "  a2:")
    path = tmp_path / "job.yaml"
    path.write_text(text[:end] + second + text[end:], encoding="utf-8")
    ran = loads(path)
    assert ran.code == 2
    assert "a1, a2" in ran.err
    assert "array a2" in loads(path, "--array", "a2").out


def test_invented_figures_are_never_said_to_be_of_use(loads: Loads) -> None:
    ran = loads(HALL)
    assert "Never build from this" in ran.flat
    assert "use none of them" in ran.flat
    assert "may be used" not in ran.flat
