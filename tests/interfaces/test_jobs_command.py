"""The commands of the store as a person runs them."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from selector.explanation.language import speaking
from selector.interfaces.cli import keeping
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

MILL = str(ROOT / "examples/mill-house/job.yaml")
CHAPEL = str(ROOT / "examples/copper-chapel/job.yaml")
ACT = ("--act", "hook a lanyard to a rail")


@pytest.fixture(autouse=True)
def own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The data folder of a user of its own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data/seamwright/jobs.sqlite"


def lines_fit(text: str) -> None:
    assert [line for line in text.splitlines() if len(line) > 80] == []


def test_keep_list_show_replay(cli: Cli, own_data: Path) -> None:
    plain = cli("judge", CHAPEL, "--stack", "from-the-van")
    ran = cli("judge", CHAPEL, "--stack", "from-the-van", "--keep")
    assert (ran.code, ran.out) == (5, plain.out)
    assert f"kept as number 1 of {own_data}" in ran.err
    ran = cli("jobs", "keep", MILL, *ACT, "--by", "ow", "--note", "asked twice")
    assert ran.code == 5 and "number 2" in ran.err

    ran = cli("jobs", "list")
    assert ran.code == 0
    lines_fit(ran.out)
    assert "2 entries of 2 jobs" in ran.flat
    assert ran.out.index("mill-house") < ran.out.index("copper-chapel")

    ran = cli("jobs", "show", "mill-house")
    lines_fit(ran.out)
    for said in ("number 2", "by ow", "note: asked twice", "calc: engineer's calculation of"):
        assert said in ran.flat

    ran = cli("jobs", "replay", "copper-chapel")
    assert ran.code == 0
    lines_fit(ran.out)
    assert ran.out.startswith(plain.out)  # the old answer, byte for byte
    assert "the same answer again, byte for byte" in ran.flat
    assert "The knowledge is the same today" in ran.flat


def test_the_kept_data_is_what_json_prints(cli: Cli) -> None:
    plain = cli("judge", CHAPEL, "--stack", "from-the-van", "--json", "--keep").out
    command = "from selector.interfaces.cli.main import run; run()"
    ran = subprocess.run(
        [sys.executable, "-c", command, "jobs", "replay", "1", "--bytes"],
        cwd=ROOT,
        capture_output=True,
        timeout=120,
    )
    assert ran.stdout == plain.removesuffix("\n").encode()


def test_in_german(cli: Cli) -> None:
    ran = cli("judge", MILL, *ACT, "--keep", "--lang", "de")
    assert "aufgehoben als Nummer 1" in ran.err
    said = {
        ("jobs", "list"): "1 Eintrag zu 1 Auftrag",
        ("jobs", "show", "1"): "Verlauf dieses Auftrags",
        ("jobs", "replay", "1"): "wieder dieselbe Antwort, Byte für Byte",
    }
    for command, text in said.items():
        ran = cli(*command, "--lang", "de")
        lines_fit(ran.out)
        assert text in ran.flat, ran.out
    assert "VERBOTEN" in ran.out  # kept as it was spoken
    assert "VERBOTEN" in cli("jobs", "replay", "1", "--lang", "en").out


def test_an_answer_kept_for_a_screen_of_ascii_replays(cli: Cli, base: Base) -> None:
    found = keeping.open_job(Path(MILL), None, "de")
    assert found.base.texts["de"].texts == speaking(base, "de").texts["de"].texts


def test_the_list_is_filtered(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    for day, job, note in (
        ("2031-03-14", MILL, "first"),
        ("2031-03-15", CHAPEL, "second"),
        ("2031-03-16", MILL, "third"),
    ):
        monkeypatch.setattr(keeping, "now", lambda day=day: f"{day}T10:00:00+00:00")
        assert cli("jobs", "keep", job, *ACT, "--note", note).code == 5

    def notes(*options: str) -> list[str]:
        data = json.loads(cli("jobs", "list", "--json", *options).out)
        assert data["schema"] == "jobs/1" and data["entries"] == 3
        return [row["note"] for row in data["jobs"]]

    assert notes() == ["first", "second", "third"]
    assert notes("--since", "2031-03-15") == ["second", "third"]
    assert notes("--until", "2031-03-15") == ["first", "second"]
    assert notes("--since", "2031-03-15", "--until", "2031-03-15") == ["second"]
    assert notes("--word", "forbidden") == ["first", "second", "third"]
    assert notes("--word", "verboten", "--lang", "de") == ["first", "second", "third"]
    assert notes("--word", "allowed") == []
    assert notes("MILL-house") == ["first", "third"]
    assert notes("copper") == ["second"]  # in the text of its job
    assert "Nothing here fits" in cli("jobs", "list", "no such text").flat


def test_the_clock_set_back_is_said(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    for year in ("2031", "2029"):
        monkeypatch.setattr(keeping, "now", lambda year=year: f"{year}-03-14T10:00:00+00:00")
        ran = cli("jobs", "keep", MILL, *ACT)
    assert "The clock was set back: number 2" in ran.err
    ran = cli("jobs", "list")
    assert "2*" in ran.out and "the clock was set back" in ran.flat
    assert "the clock was set back before that" in cli("jobs", "show", "2").flat


def test_take_along(cli: Cli, tmp_path: Path) -> None:
    cli("jobs", "keep", MILL, *ACT)
    key = tmp_path / "key"
    key.write_bytes(b"k" * 32)
    out, other = tmp_path / "mill.json", tmp_path / "other.sqlite"
    ran = cli("jobs", "export", "mill-house", "--out", out, "--key", key)
    assert ran.code == 0 and "signed with your key" in ran.flat
    assert "No key was given" in cli("jobs", "export", "1", "--out", tmp_path / "plain.json").flat

    ran = cli("jobs", "import", out, "--store", other)
    assert "1 entry brought in" in ran.flat and "the signature was not looked at" in ran.flat
    ran = cli("jobs", "import", out, "--store", other, "--key", key)
    assert "is here already" in ran.flat and "fits your key" in ran.flat
    ran = cli("jobs", "replay", "mill-house", "--store", other)
    assert "byte for byte" in ran.flat and "brought in" in ran.flat

    text = out.read_text("utf-8").replace("25.1 mm", "26.1 mm")
    out.write_text(text, encoding="utf-8")
    third = tmp_path / "third.sqlite"
    ran = cli("jobs", "import", out, "--store", third)
    assert ran.code == 2 and "the job of entry 1 is another one; nothing was imported" in ran.err
    assert not third.exists()


BAD = [
    (("jobs", "show", "nobody"), "nothing is kept of `nobody`"),
    (("jobs", "replay", "99"), "nothing is kept of `99`"),
    (("jobs", "export", "nobody", "--out", "x.json"), "nothing is kept of `nobody`"),
    (("jobs", "list", "--word", "perhaps"), "`perhaps` is no word"),
    (("jobs", "list", "--since", "yesterday"), "`yesterday` is no date"),
    (("jobs", "replay", "1", "--bytes", "--json"), "give either --bytes or --json"),
    (("jobs", "import", "nowhere.json"), "cannot be read"),
    (("jobs", "import", MILL), "it is no whole JSON"),
    (("jobs", "export", "1", "--out", "no/folder/x.json"), "cannot write here"),
    (("jobs", "import", MILL, "--key", "short.key"), "the key has 5 bytes"),
    (("jobs", "list", "--store", MILL), "this is no store of jobs"),
    (("jobs", "list", "--store", "none.sqlite"), "nothing was kept yet"),
    (("jobs", "keep", MILL, "--stack", "a", "--act", "b"), "give either --stack or --act"),
    (("jobs", "keep", MILL, "--stack", "nobody"), "no stack `nobody`"),
    (("jobs", "keep", "nowhere.yaml"), "no such file"),
    (("judge", MILL, *ACT, "--keep", "--store", "/proc/none/x.sqlite"), "nothing was kept"),
]


@pytest.mark.parametrize(("command", "said"), BAD, ids=lambda x: " ".join(map(str, x))[:40])
def test_bad_input_is_one_message(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: tuple[str, ...], said: str
) -> None:
    cli("jobs", "keep", MILL, *ACT)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "short.key").write_bytes(b"short")
    ran = cli(*command)
    assert ran.code == 2
    assert said in ran.err
    assert ran.out == ""


def test_show_and_replay_as_data(cli: Cli) -> None:
    answer = json.loads(cli("judge", MILL, *ACT, "--json").out)
    cli("jobs", "keep", MILL, *ACT)
    data = json.loads(cli("jobs", "show", "1", "--json").out)
    assert (data["schema"], data["number"], data["answer"]) == ("jobs/1", 1, answer)
    data = json.loads(cli("jobs", "replay", "1", "--json").out)
    assert (data["schema"], data["same"], data["today"]) == ("replay/1", True, None)
    assert data["base"] == load_base().digest
