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
    assert "this job names no stack yet; write one under `stacks`" in ran.err


def test_what_only_waits_says_for_what(why: Why) -> None:
    ran = why(CHAPEL, "--stack", "stainless")
    assert "What it waits for" in ran.out
    assert "are the nails of the clips sound?" in ran.out
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
    ((*REFUSED, "--picture", "picture.png"), "ends in .svg", ""),
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
    assert "there is no folder" in ran.err
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
