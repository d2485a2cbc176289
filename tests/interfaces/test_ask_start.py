"""A talk without a job file: through a pipe and on a real terminal, left half way, gone on with."""

import errno
import os
import subprocess
import tempfile
from datetime import date
from pathlib import Path

import pytest

from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.model.quantity import Candidates, Unknown
from tests.conftest import ROOT
from tests.interfaces.conftest import Cli
from tests.interfaces.test_ask import PROGRAM, Terminal, asked

DEMO = ("demo", "2031-02-03") if date.today().isoformat() < "2030" else ("demo",)
START = ("", *DEMO, "module-p35", "", "1 x 4", "", "", "")


def begun(
    name: str | None, *lines: str, folder: Path, options: tuple[str, ...] = (), **env: str
) -> subprocess.CompletedProcess[str]:
    """What `ask` prints in a folder when these lines are typed, and nothing after them."""
    return subprocess.run(
        [*PROGRAM, "ask", *([name] if name is not None else []), *options],
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(ROOT)} | env,
        check=False,
    )


def files(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_a_few_answers_make_a_job_and_the_talk_goes_on(tmp_path: Path, base: Base) -> None:
    ran = begun("mill.yaml", *START, "stop", folder=tmp_path)
    assert ran.stderr == "" and ran.returncode in (3, 4)
    assert files(tmp_path) == ["mill.yaml"]
    job = read_job(tmp_path / "mill.yaml", base.vocabulary)
    assert job.id == "mill" and job.people == {"sales": "salesperson"}
    assert len(asked(ran.stdout)) == 1
    assert max(map(len, ran.stdout.partition("Saved in")[0].splitlines())) <= 80
    again = begun("mill.yaml", "stop", folder=tmp_path)
    assert asked(again.stdout) == asked(ran.stdout)


def test_a_name_is_proposed_and_no_file_is_written_over(tmp_path: Path) -> None:
    today = date.today().isoformat()
    (tmp_path / f"roof-{today}.yaml").write_text("kept", encoding="utf-8")
    ran = begun(None, "", *START, "stop", folder=tmp_path)
    assert f"roof-{today}-2.yaml" in ran.stdout
    assert files(tmp_path) == [f"roof-{today}-2.yaml", f"roof-{today}.yaml"]
    assert (tmp_path / f"roof-{today}.yaml").read_text(encoding="utf-8") == "kept"


def test_a_name_that_is_taken_or_cannot_be_is_asked_again(tmp_path: Path) -> None:
    (tmp_path / "mill.yaml").write_text("kept", encoding="utf-8")
    (tmp_path / "folder.yaml").mkdir()
    ran = begun(None, "mill", "folder.yaml", "no/where.yaml", "barn", *START, folder=tmp_path)
    assert ran.stdout.count("is there already") == 2
    assert "there is no folder `no`" in ran.stdout
    assert files(tmp_path) == ["barn.yaml", "folder.yaml", "mill.yaml"]
    assert (tmp_path / "mill.yaml").read_text(encoding="utf-8") == "kept"


def test_a_name_without_its_ending_means_the_job(tmp_path: Path) -> None:
    begun("mill", *START, "stop", folder=tmp_path)
    ran = begun("mill", "stop", folder=tmp_path)
    assert "is new" not in ran.stdout and files(tmp_path) == ["mill.yaml"]


def test_a_file_that_came_meanwhile_is_kept(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path / "mill.yaml")
    for number, line in enumerate(START, 1):
        if number == len(START):
            (tmp_path / "mill.yaml").write_text("kept", encoding="utf-8")
        terminal.until("> ", times=number)
        terminal.type(f"{line}\r")
    assert terminal.end() == 2 and "nothing was written" in terminal.text
    assert (tmp_path / "mill.yaml").read_text(encoding="utf-8") == "kept"
    assert files(tmp_path) == ["mill.yaml"]


@pytest.mark.parametrize(
    ("name", "options", "said"),
    [
        ("no/where.yaml", (), "there is no folder"),
        ("folder", (), "folder"),
        ("mill.yaml", ("--by", "No Name"), "no short name"),
        ("mill.yaml", ("--kb", "/nowhere"), "nowhere"),
        ("x" * 300 + ".yaml", (), "xxx"),
    ],
)
def test_what_cannot_be_written_is_said_before_anything_is_asked(
    tmp_path: Path, name: str, options: tuple[str, ...], said: str
) -> None:
    (tmp_path / "folder").mkdir()
    ran = begun(name, *START, folder=tmp_path, options=options)
    assert ran.returncode == 2
    [line] = ran.stderr.splitlines()
    assert line.startswith("error: ") and said in line
    assert "Who is talking?" not in ran.stdout
    assert files(tmp_path) == ["folder"]


def test_a_folder_that_cannot_be_written(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(**_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(tempfile, "mkstemp", full)
    ran = cli("ask", tmp_path / "mill.yaml")
    assert ran.code == 2
    assert "cannot write here" in ran.err
    assert "Who is talking?" not in ran.out
    assert len(ran.err.splitlines()) == 1
    assert files(tmp_path) == []


@pytest.mark.parametrize("lines", [(), ("",), START[:-1], (*START[:-1], "stop"), ("stop",)])
def test_who_leaves_before_the_job_is_whole_writes_nothing(
    tmp_path: Path, lines: tuple[str, ...]
) -> None:
    ran = begun("mill.yaml", *lines, folder=tmp_path)
    assert ran.returncode == 2 and ran.stderr == ""
    assert "Nothing was written." in ran.stdout and files(tmp_path) == []


def test_back_help_and_wrong_lines(tmp_path: Path, base: Base) -> None:
    wrong = ("?", "!", "help", "back", "wavy", "é" * 3000, "\x1b[A\x00\x07", "{a: b}", "- x")
    lines = (*wrong, "roofer", "demo", "back", *START[1:-1], "back", "", "", "stop")
    ran = begun("mill.yaml", *lines, folder=tmp_path)
    assert ran.stderr == "" and "Traceback" not in ran.stdout
    assert "no job can do without this" in ran.stdout and "one question back" in ran.stdout
    assert ran.stdout.count("Whose parts") == 2 and ran.stdout.count("How do the modules lie") == 2
    assert read_job(tmp_path / "mill.yaml", base.vocabulary).people == {"roofer": "roofer"}


PAPER = ("paper", "letter", "2031-02-01", "", "1 5")


def test_everything_can_be_typed_without_its_question(tmp_path: Path, base: Base) -> None:
    lines = (
        "pitch: 22 pitch meter",
        "crosses: s03 to s05",
        "marks: s03: 310 760 mm; s04: ? :: low sun",
        "rows: 2 x 3",
        *PAPER,
        "said",
        "stop",
    )
    ran = begun("mill.yaml", *START, *lines, folder=tmp_path, options=("--roof",))
    job = read_job(tmp_path / "mill.yaml", base.vocabulary)
    assert (job.arrays["a1"].rows, job.arrays["a1"].crosses) == (2, ("s03", "s04", "s05"))
    assert job.papers["letter"].covers == ("roofer consent", "safe access")
    assert "plane.pitch" in job.planes["roof"].observed
    for told in (
        "- pitch: 22 deg, pitch meter",
        "- clips.marks s03: 310 mm / 760 mm",
        "- papers.letter: letter of 2031-02-01",
    ):
        assert told in ran.stdout
    assert "installer" in job.people.values()


def test_what_cannot_be_is_said_and_not_kept(tmp_path: Path) -> None:
    wrong = {
        "crosses: s05 to s03": "from left to right",
        "outline: 0 x 0 m": "has no length",
        "kind: boards": "type more of it",
        "marks: s03: 310 760": "how were they found",
        "pitch: 22 tape": "no tool of this",
        f"none :: {'y' * 300}": "200 characters at most",
        "rows: 900 x 9": "cannot be right",
        "as_of: 2040-01-01": "not in the list",
    }
    begun("mill.yaml", *START, "stop", folder=tmp_path)
    before = (tmp_path / "mill.yaml").read_bytes()
    ran = begun("mill.yaml", *wrong, "stop", folder=tmp_path)
    told = " ".join(ran.stdout.split())
    assert [said for said in wrong.values() if said not in told] == [] and ran.stderr == ""
    assert (tmp_path / "mill.yaml").read_bytes() == before
    assert len(asked(ran.stdout)) == 1


@pytest.mark.parametrize("left", [("back",), ("letter", "stop"), ("letter", "back", "back"), ()])
def test_a_paper_left_half_way_is_not_kept(tmp_path: Path, left: tuple[str, ...]) -> None:
    ran = begun("mill.yaml", *START, "paper", *left, folder=tmp_path)
    assert "papers" not in (tmp_path / "mill.yaml").read_text(encoding="utf-8")
    assert "Saved in" in ran.stdout and ran.stderr == ""


def test_german_words_are_taken_and_a_bare_word_is_a_hint(tmp_path: Path, base: Base) -> None:
    lines = ("Falz oder Stoß :: Foto", "zones: Randbereich", "shape: Rundfalz", "steps: weiß nicht")
    env = {"PYTHONIOENCODING": "utf-8"}
    options = ("--lang", "de")
    ran = begun("mill.yaml", *START, *lines, "stop", folder=tmp_path, options=options, **env)
    job = read_job(tmp_path / "mill.yaml", base.vocabulary)
    assert job.arrays["a1"].zones == ("edge",)
    seen = job.planes["roof"].observed
    assert seen["plane.seam.branch"].value == Candidates(frozenset({"fold or joint"}))
    assert seen["plane.seam.shape"].sightings[0].hint == "round"
    assert seen["plane.steps"].value == Unknown("don't know")
    assert "als nicht sicher behalten" in ran.stdout


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    ran = subprocess.run(
        [*PROGRAM, "ask", "mill.yaml"],
        input=b"\xff\xfe\n\xc3\n",
        capture_output=True,
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
        check=False,
    )
    assert ran.returncode == 2 and ran.stderr == b"" and files(tmp_path) == []


def test_the_start_speaks_german_and_ascii(tmp_path: Path) -> None:
    ran = begun("mill.yaml", "stop", folder=tmp_path, options=("--lang", "de"))
    assert "Nichts wurde geschrieben." in ran.stdout and "Wer spricht?" in ran.stdout
    plain = {"LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    ran = begun("mill.yaml", "é", *START, folder=tmp_path, options=("--lang", "de"), **plain)
    assert ran.stderr == "" and ran.stdout.isascii() and files(tmp_path) == ["mill.yaml"]


# --- on a terminal -------------------------------------------------------------------------


def typed(terminal: Terminal, *lines: str) -> None:
    """Type lines, each when it is asked for."""
    for line in lines:
        terminal.until("> ", times=terminal.text.count("> ") or 1)
        seen = terminal.text.count("> ")
        terminal.type(f"{line}\r")
        terminal.until("> ", times=seen + 1)


def test_arrow_keys_resize_and_paste_in_the_start(tmp_path: Path, base: Base) -> None:
    terminal = Terminal(tmp_path / "mill.yaml")
    terminal.until("> ")
    terminal.type("roofr\x1b[De\r")  # one to the left, then the missing letter
    terminal.until("Whose parts")
    terminal.resize(10, 40)
    terminal.type("\r".join(START[1:]) + "\r")
    terminal.until("-- ")
    terminal.type("stop\r")
    assert terminal.end() in (3, 4) and "Traceback" not in terminal.text
    assert read_job(tmp_path / "mill.yaml", base.vocabulary).people == {"roofer": "roofer"}


@pytest.mark.parametrize("after", [0, 1, 5])
def test_an_interrupt_in_the_start_writes_nothing_and_says_so(tmp_path: Path, after: int) -> None:
    terminal = Terminal(tmp_path / "mill.yaml")
    typed(terminal, *START[:after])
    terminal.until("> ")
    assert terminal.interrupt("Nothing was written.") == 2
    assert "Nothing was written." in terminal.text and "Traceback" not in terminal.text
    assert files(tmp_path) == []


def test_an_interrupt_while_a_name_is_asked(tmp_path: Path) -> None:
    terminal = Terminal(None, folder=tmp_path)
    terminal.until("> ")
    assert (
        terminal.interrupt("Nothing was written.") == 2 and "Nothing was written." in terminal.text
    )
    assert files(tmp_path) == []


def test_a_window_that_goes_away_in_the_start_leaves_nothing(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path / "mill.yaml")
    typed(terminal, *START[:3])
    assert terminal.hang_up() != 0
    assert files(tmp_path) == []


@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_locales_in_the_start(tmp_path: Path, encoding: str, base: Base) -> None:
    more = {"LC_ALL": "C.UTF-8", "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    terminal = Terminal(tmp_path / "mill.yaml", "--lang", "de", **more)
    terminal.until("> ")
    terminal.type("Müller\r")
    typed(terminal, *START)
    terminal.type("stop\r")
    assert terminal.end() in (3, 4) and "Traceback" not in terminal.text
    read_job(tmp_path / "mill.yaml", base.vocabulary)
