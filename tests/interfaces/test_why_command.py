"""`seamwright why` from outside: exit codes, wrong input, the picture, all of it or nothing."""

import json
import xml.etree.ElementTree as ET
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli, Ran

EXAMPLES = ROOT / "examples"
CHAPEL = EXAMPLES / "copper-chapel" / "job.yaml"
MILL = EXAMPLES / "mill-house" / "job.yaml"
YARD = EXAMPLES / "case-yard" / "job.yaml"
REFUSED = ("--stack", "from-the-van")


Why = Callable[..., Ran]


@pytest.fixture
def why(cli: Cli) -> Why:
    """Run `seamwright why`."""
    return partial(cli, "why")


def test_an_explanation_was_given_whatever_the_word(why: Why) -> None:
    for stack, word in (("from-the-van", "FORBIDDEN"), ("stainless", "OBSERVE")):
        ran = why(CHAPEL, "--stack", stack)
        assert ran.code == 0
        assert ran.err == ""
        assert word in ran.out


def test_after_a_talk_no_stack_is_named_yet(why: Why) -> None:
    ran = why(EXAMPLES / "first-call" / "job.yaml", "--stack", "offer")
    assert ran.code == 2
    assert "this job names no stack yet; leave --stack out for the first one of `pick`" in ran.err


def test_what_only_waits_says_for_what(why: Why) -> None:
    ran = why(CHAPEL, "--stack", "stainless")
    assert "What it waits for" in ran.out
    assert "are clips and nails sound?" in ran.out
    assert "What to change" not in ran.out


def test_a_yes_says_so(why: Why) -> None:
    ran = why(MILL, "--stack", "planned")
    assert ran.code == 0
    assert "there is nothing to explain away" in " ".join(ran.out.split())
    assert "BROKEN" not in ran.out
    assert "What stops it" not in ran.out


def test_the_data_is_one_object(why: Why) -> None:
    ran = why(CHAPEL, *REFUSED, "--json", "--against", MILL, "--against-stack", "planned")
    assert ran.code == 0
    data = json.loads(ran.out)
    assert data["schema"] == "why/1"
    assert data["word"] == "forbidden"
    assert data["contrast"]["stack"] == "planned"
    assert [d["what"] for d in data["contrast"]["differences"]] == ["plane.sheet.metal"]


def test_the_only_stack_of_another_job_needs_no_name(why: Why) -> None:
    ran = why(CHAPEL, *REFUSED, "--against", MILL)
    assert ran.code == 0
    assert "stack planned of job mill-house: conditional" in ran.out


def test_a_stack_of_the_same_job_is_held_beside(why: Why) -> None:
    ran = why(YARD, "--stack", "wrong-rail", "--against", YARD, "--against-stack", "right-rail")
    assert ran.code == 0
    assert "put in here: conditional" in ran.out


@pytest.mark.parametrize("voice", ["roofer", "sales", "owner", "engineer"])
def test_every_voice_can_be_asked_for(why: Why, voice: str) -> None:
    ran = why(CHAPEL, *REFUSED, "--voice", voice)
    assert ran.code == 0
    assert all(len(line) <= 80 for line in ran.out.splitlines())


def test_german_is_spoken(why: Why) -> None:
    ran = why(CHAPEL, *REFUSED, "--lang", "de")
    assert ran.code == 0
    assert "VERBOTEN" in ran.out
    assert "Woran es scheitert" in ran.out


# --- wrong input -------------------------------------------------------------------------

WRONG = [
    (("--stack", "nowhere"), "no stack `nowhere`", "from-the-van"),
    ((), "which stack?", "from-the-van, stainless, with-inlay"),
    ((*REFUSED, "--voice", "rofer"), "no voice `rofer`", "roofer"),
    ((*REFUSED, "--against-stack", "planned"), "--against-stack goes with --against", ""),
    ((*REFUSED, "--against", YARD), "which stack of this job", "right-rail, wrong-rail"),
    ((*REFUSED, "--against", MILL, "--against-stack", "x"), "no stack `x`", "planned"),
    ((*REFUSED, "--against", "nowhere.yaml"), "nowhere.yaml", ""),
    ((*REFUSED, "--picture", "picture.jpg"), "a picture is an .svg or a .png file", ""),
]


@pytest.mark.parametrize(("args", "said", "remedy"), WRONG, ids=lambda v: str(v)[:30])
def test_wrong_input_is_one_clear_message(
    why: Why, args: tuple[str | Path, ...], said: str, remedy: str
) -> None:
    ran = why(CHAPEL, *args)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.strip().splitlines()) == 1
    assert said in ran.err
    assert remedy in ran.err


def test_a_job_for_another_base_is_refused(why: Why, tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    text = MILL.read_text(encoding="utf-8")
    other.write_text(
        text.replace("catalogues: [demo]", "catalogues: [elsewhere]"), encoding="utf-8"
    )
    ran = why(CHAPEL, *REFUSED, "--against", other)
    assert ran.code == 2
    assert ran.out == ""
    assert "no catalogue `elsewhere`" in ran.err
    assert "other.yaml" in ran.err


# --- the picture -------------------------------------------------------------------------


def test_the_picture_is_written_whole(why: Why, tmp_path: Path) -> None:
    file = tmp_path / "chapel.svg"
    file.write_text("old", encoding="utf-8")
    ran = why(CHAPEL, *REFUSED, "--picture", file)
    assert ran.code == 0
    assert ET.parse(file).getroot().tag.endswith("svg")
    assert [p.name for p in tmp_path.iterdir()] == ["chapel.svg"]


def test_no_folder_no_picture_and_no_text(why: Why, tmp_path: Path) -> None:
    ran = why(CHAPEL, *REFUSED, "--picture", tmp_path / "nowhere" / "chapel.svg")
    assert ran.code == 2
    assert ran.out == ""
    assert "there is no such folder" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_a_picture_where_a_folder_lies_is_refused(why: Why, tmp_path: Path) -> None:
    (tmp_path / "chapel.svg").mkdir()
    ran = why(CHAPEL, *REFUSED, "--picture", tmp_path / "chapel.svg")
    assert ran.code == 2
    assert ran.out == ""
    assert [p.name for p in tmp_path.iterdir()] == ["chapel.svg"]


def test_wrong_input_leaves_an_old_picture(why: Why, tmp_path: Path) -> None:
    file = tmp_path / "chapel.svg"
    file.write_text("old", encoding="utf-8")
    assert why(CHAPEL, "--stack", "nowhere", "--picture", file).code == 2
    assert file.read_text(encoding="utf-8") == "old"


# --- a job that names no stack -------------------------------------------------------------

CALL = EXAMPLES / "first-call" / "job.yaml"
UNNAMED = [EXAMPLES / name / "job.yaml" for name in ("first-call", "harbour-shed", "long-barn")]


@pytest.fixture
def too_high(tmp_path: Path) -> Path:
    """The first call on a seam that is higher than the jaws of any clamp reach."""
    path = tmp_path / "job.yaml"
    text = CALL.read_text(encoding="utf-8").replace("{is: 25 mm, tool", "{is: 70 mm, tool")
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("job", UNNAMED, ids=lambda p: p.parent.name)
def test_of_a_job_without_a_stack_the_first_of_pick_is_explained(
    why: Why, cli: Cli, job: Path
) -> None:
    first = json.loads(cli("pick", job, "--json").out)["stacks"][0]
    ran = why(job, "--json")
    assert (ran.code, ran.err) == (0, "")
    told = json.loads(ran.out)
    assert (told["stack"], told["taken"]) == (first["name"], "first")
    assert told["word"] == first["word"]
    parts = {box["id"] for box in told["picture"]["boxes"]}
    assert {first["clamp"], first["module_clamp"]} <= parts


def test_which_stack_was_taken_is_one_line(why: Why) -> None:
    ran = why(CALL)
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert "Stack dl-2 + rail-p: dl-2 + rail-p + mc-1" in lines
    assert "The job names no stack: this one is the first that `pick` lists." in lines
    assert "Der Auftrag nennt keinen Aufbau" in why(CALL, "--lang", "de").out


def test_a_stack_that_is_named_was_not_taken(why: Why) -> None:
    assert json.loads(why(CHAPEL, *REFUSED, "--json").out)["taken"] == "named"
    assert "names no stack" not in why(CHAPEL, *REFUSED).out


def test_where_none_is_left_the_nearest_is_explained(why: Why, cli: Cli, too_high: Path) -> None:
    assert json.loads(cli("pick", too_high, "--json").out)["stacks"] == []
    ran = why(too_high)
    assert (ran.code, ran.err) == (0, "")
    assert "FORBIDDEN" in ran.out and "What stops it" in ran.out
    assert "The job names no stack and none is left: this one is the nearest" in ran.flat
    assert "seam height: 70 mm" in ran.flat
    assert json.loads(why(too_high, "--json").out)["taken"] == "nearest"


def test_a_job_without_an_array_says_so(why: Why, tmp_path: Path) -> None:
    path = tmp_path / "job.yaml"
    text = CALL.read_text(encoding="utf-8")
    head, _, _ = text.partition("arrays:")
    request = "request: {kind: choose, array: a1, want: core}"
    path.write_text(
        head.replace(request, "request: {kind: act, act: walk}") + "arrays: {}\nstacks: {}\n",
        encoding="utf-8",
    )
    ran = why(path)
    assert (ran.code, ran.out) == (2, "")
    assert "array" in ran.err
