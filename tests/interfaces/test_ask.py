"""The talk as a person has it: through a pipe and on a real terminal, stopped and gone on with."""

import os
import re
import select
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.model.quantity import Candidates
from tests.conftest import ROOT

PROGRAM = [sys.executable, "-c", "from selector.interfaces.cli.main import run; run()"]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """The first call before anybody asked whether one may step on; to be written into."""
    lines = (ROOT / "examples/first-call/job.yaml").read_text(encoding="utf-8").splitlines()
    path = tmp_path / "job.yaml"
    kept = [line for line in lines if not line.strip().startswith("brittle:")]
    path.write_text("\n".join([*kept, ""]), encoding="utf-8")
    return path


def talk(job: Path, *lines: str, **env: str) -> subprocess.CompletedProcess[str]:
    """What a talk prints when these lines are typed, and nothing after them."""
    return subprocess.run(
        [*PROGRAM, "ask", str(job), "--by", "rn"],
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)} | env,
        check=False,
    )


def asked(text: str) -> list[str]:
    """The questions of a talk, in order: the line after each line of what is alive."""
    return re.findall(r"^-- .*\n(?:! .*\n(?:  .*\n)*)?(.*)", text, re.MULTILINE)


def test_a_word_of_the_list_is_kept_and_the_next_question_comes(job: Path, base: Base) -> None:
    ran = talk(job, "none")
    assert ran.returncode == 3 and ran.stderr == ""
    assert asked(ran.stdout)[0].startswith("Brittle sheets, rooflights")
    assert len(asked(ran.stdout)) == 2
    value = read_job(job, base.vocabulary).site["site.brittle"].value
    assert value == Candidates(frozenset({"none"}))


def test_a_stopped_talk_goes_on_where_it_was(job: Path) -> None:
    first = talk(job, "none", "stop")
    second = talk(job)
    assert asked(second.stdout)[0] == asked(first.stdout)[1]


@pytest.mark.parametrize("word", ["back", "undo"])
def test_back_takes_the_last_answer_back(job: Path, base: Base, word: str) -> None:
    ran = talk(job, "none", word, "stop")
    questions = asked(ran.stdout)
    assert questions[0] == questions[2] != questions[1]
    assert "site.brittle" not in read_job(job, base.vocabulary).site


@pytest.mark.parametrize(
    "line",
    [
        "",
        "9",
        "perhaps wavy",
        "../../etc/passwd",
        "'; drop table",
        "é" * 300,
        "{unknown: x}",
        "- a",
    ],
)
def test_a_wrong_line_is_answered_and_nothing_is_written(job: Path, line: str) -> None:
    before = job.read_bytes()
    ran = talk(job, line, "stop")
    assert ran.returncode == 3 and ran.stderr == ""
    assert "Traceback" not in ran.stdout
    assert len(asked(ran.stdout)) == 1
    assert job.read_bytes() == before


def test_everything_told_on_demand_fits_the_terminal(job: Path) -> None:
    ran = talk(job, "help", "why", "alive", "said", "photos", "stop")
    told = ran.stdout.partition("Saved in")[0]
    assert max(map(len, told.splitlines())) <= 80
    for mark in ("why: ", "alive: ", "out: ", "Please send", "seam.shape: double-lock, photo"):
        assert mark in told


def test_the_drawings_are_shown_where_the_shape_is_asked(job: Path) -> None:
    text = job.read_text(encoding="utf-8")
    shape = next(line for line in text.splitlines() if line.strip().startswith("shape:"))
    job.write_text(text.replace(shape + "\n", ""), encoding="utf-8")
    ran = talk(job, "none", *["skip"] * 40)
    assert "Which picture matches the end of one seam?" in asked(ran.stdout)
    assert re.search(r"1 double-lock +2 single-lock\n.*head", ran.stdout)
    assert max(map(len, ran.stdout.partition("Saved in")[0].splitlines())) <= 80


def test_where_all_is_known_nothing_is_asked(tmp_path: Path) -> None:
    job = Path(shutil.copy(ROOT / "examples/mill-house/job.yaml", tmp_path / "job.yaml"))
    before = job.read_bytes()
    ran = subprocess.run(
        [*PROGRAM, "ask", str(job), "--roof"],
        input="",
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert ran.returncode == 0
    assert "Nothing more can change the answer: conditional." in ran.stdout
    assert asked(ran.stdout) == [] and job.read_bytes() == before


def test_a_talk_without_a_stack_left_can_be_taken_back(job: Path) -> None:
    refused = talk(job, "suspected", "?", "back", "stop")
    assert "no stack is left" in refused.stdout and "`back` to undo" in refused.stdout
    assert asked(refused.stdout)[0] == asked(refused.stdout)[2]


def test_kits_are_told_and_stand_at_the_end(job: Path) -> None:
    ran = talk(job, "kits", "stop")
    assert ran.stdout.count("Provisional, not an answer: ") == 2
    assert "counted as if seen (not sure): closing of the seam by hand" in ran.stdout


def test_an_ascii_locale_breaks_nothing(job: Path) -> None:
    ran = talk(job, "none", "alive", "stop", LC_ALL="C", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert ran.returncode == 3 and ran.stderr == ""
    assert ran.stdout.isascii()


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--by", "nobody"], "nobody `nobody` under `people`"),
        (["--kb", "/nowhere"], "nowhere"),
    ],
)
def test_wrong_options_are_one_message(job: Path, options: list[str], said: str) -> None:
    ran = subprocess.run(
        [*PROGRAM, "ask", str(job), *options],
        input="",
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        check=False,
    )
    assert ran.returncode == 2
    [line] = ran.stderr.splitlines()
    assert said in line


BY = ("--by", "rn")


def _heeds_interrupts() -> None:
    """As on any terminal, also where the tests themselves run in the background and ignore them."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class Terminal:
    """A talk on a pseudo terminal."""

    def __init__(self, job: Path | None, *options: str, folder: Path | None = None, **more: str):
        pty = pytest.importorskip("pty", reason="no pseudo terminal on this system")
        self.leader, follower = pty.openpty()
        env = os.environ | {"PYTHONPATH": str(ROOT), "TERM": "xterm", "COLUMNS": "80"} | more
        command = [*PROGRAM, "ask", *([str(job)] if job is not None else []), *options]
        self.process = subprocess.Popen(
            command,
            cwd=folder,
            stdin=follower,
            stdout=follower,
            stderr=follower,
            env=env,
            start_new_session=True,
            preexec_fn=_heeds_interrupts,
        )
        os.close(follower)
        self.text = ""

    def until(self, wanted: str, times: int = 1) -> str:
        """Read until a text was seen so often; everything read so far."""
        end = time.monotonic() + 60
        while self.text.count(wanted) < times and time.monotonic() < end:
            if not self.heard(1):
                break
        assert self.text.count(wanted) >= times, self.text
        return self.text

    def heard(self, seconds: float) -> bool:
        """Read what comes within so many seconds; False where nothing can come any more."""
        if not select.select([self.leader], [], [], seconds)[0]:
            return True
        try:
            read = os.read(self.leader, 4096)
        except OSError:
            return False
        self.text += read.decode("utf-8", "replace")
        return bool(read)

    def interrupt(self, until: str) -> int:
        """Ctrl-C until the talk says that it heard; its exit code.

        A line editor may lose one that comes just after the prompt, before it listens.
        """
        for _ in range(30):
            os.killpg(self.process.pid, signal.SIGINT)
            soon = time.monotonic() + 2
            while time.monotonic() < soon:
                if not self.heard(0.2) or until in self.text:
                    return self.end()
        raise AssertionError(f"it goes on: {self.text[-500:]}")

    def resize(self, rows: int, columns: int) -> None:
        """Another size of the window, as a person drags it."""
        import fcntl
        import struct
        import termios

        fcntl.ioctl(self.leader, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        os.killpg(self.process.pid, signal.SIGWINCH)

    def hang_up(self) -> int:
        """The window is closed; exit code of the talk."""
        os.close(self.leader)
        return self.process.wait(timeout=60)

    def type(self, keys: str) -> None:
        os.write(self.leader, keys.encode("utf-8"))

    def end(self) -> int:
        """Exit code of the talk."""
        soon = time.monotonic() + 120
        while time.monotonic() < soon and self.heard(1):
            pass
        code = self.process.wait(timeout=60)
        os.close(self.leader)
        return code


def test_arrow_keys_edit_a_line(job: Path, base: Base) -> None:
    terminal = Terminal(job, *BY)
    terminal.until("> ")
    terminal.type("nne\x1b[D\x1b[Do\r")  # two to the left, then the missing letter
    terminal.until("-- ", times=2)
    terminal.type("stop\r")
    assert terminal.end() == 3
    assert read_job(job, base.vocabulary).site["site.brittle"].value == Candidates(
        frozenset({"none"})
    )


def test_an_interrupt_saves_and_leaves(job: Path, base: Base) -> None:
    terminal = Terminal(job, *BY)
    terminal.until("> ")
    terminal.type("none\r")
    terminal.until("-- ", times=2)
    assert terminal.interrupt("Saved in") == 3
    assert "Saved in" in terminal.text and "Traceback" not in terminal.text
    assert "site.brittle" in read_job(job, base.vocabulary).site


def test_a_closed_terminal_loses_no_answer(job: Path, base: Base) -> None:
    terminal = Terminal(job, *BY)
    terminal.until("> ")
    terminal.type("none\r")
    terminal.until("-- ", times=2)
    terminal.process.kill()
    terminal.end()
    assert "site.brittle" in read_job(job, base.vocabulary).site


def test_pasted_lines_are_answers_one_by_one(job: Path, base: Base) -> None:
    terminal = Terminal(job, *BY)
    terminal.until("> ")
    terminal.type("none\rskip\rback\r?\rstop\r")
    assert terminal.end() == 3
    assert "site.brittle" in read_job(job, base.vocabulary).site
    assert terminal.text.count("-- ") == 5


def test_a_window_may_change_its_size(job: Path, base: Base) -> None:
    terminal = Terminal(job, *BY)
    terminal.until("> ")
    terminal.type("no")
    terminal.resize(12, 40)
    terminal.type("ne\r")
    terminal.until("-- ", times=2)
    terminal.resize(50, 200)
    terminal.type("stop\r")
    assert terminal.end() == 3 and "Traceback" not in terminal.text
    assert read_job(job, base.vocabulary).site["site.brittle"].value == Candidates(
        frozenset({"none"})
    )


def test_a_window_that_goes_away_loses_no_answer(job: Path, base: Base) -> None:
    terminal = Terminal(job, *BY)
    terminal.until("> ")
    terminal.type("none\r")
    terminal.until("-- ", times=2)
    assert terminal.hang_up() != 0
    assert "site.brittle" in read_job(job, base.vocabulary).site


@pytest.mark.parametrize(("locale", "utf8"), [("C.UTF-8", "1"), ("C", "0")])
def test_letters_beyond_ascii_on_a_terminal(job: Path, base: Base, locale: str, utf8: str) -> None:
    encoding = {"LC_ALL": locale, "PYTHONUTF8": utf8, "PYTHONIOENCODING": ""}
    if utf8 == "0":
        encoding |= {"PYTHONCOERCECLOCALE": "0", "PYTHONIOENCODING": "ascii"}
    terminal = Terminal(job, *BY, "--lang", "de", **encoding)
    terminal.until("> ")
    terminal.type("none :: Müller sah es über die Dachluke\r")
    terminal.until("-- ", times=2)
    terminal.type("said\rstop\r")
    assert terminal.end() == 3 and "Traceback" not in terminal.text
    assert "site.brittle" in read_job(job, base.vocabulary).site
    # words of the program alone: what was typed may be echoed twice, in pieces
    assert ("Aufbauten können" in terminal.text) == (utf8 == "1")
    assert ("Aufbauten koennen" in terminal.text) == (utf8 == "0")


def test_the_talk_speaks_german(job: Path) -> None:
    ran = subprocess.run(
        [*PROGRAM, "ask", str(job), "--by", "rn", "--lang", "de"],
        input="help\nalive\nnone\nstop\n",
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"},
        check=False,
    )
    assert ran.returncode == 3 and ran.stderr == ""
    assert "Klemmen sind heraus" in ran.stdout and "none (" in ran.stdout
    assert not re.search(r"\b(stacks|clamps|the|how):? ", ran.stdout.partition("Gesichert")[0])
