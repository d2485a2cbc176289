"""Which language a command speaks, and how it is written where letters are missing."""

import json
import os
import subprocess
import sys

import pytest

from selector.interfaces.cli.screen import language
from tests.conftest import ROOT

PROGRAM = "from selector.interfaces.cli.main import run; run()"
JOB = str(ROOT / "examples" / "mill-house" / "job.yaml")
LOCALES = ("LC_ALL", "LC_MESSAGES", "LANG")


def program(*args: str, **env: str) -> "subprocess.CompletedProcess[str]":
    """Run the entry point with nothing of our own locale."""
    ours = {k: v for k, v in os.environ.items() if k not in LOCALES}
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, *args],
        capture_output=True,
        encoding="utf-8",
        env={**ours, "PYTHONPATH": str(ROOT), **env},
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize(
    ("set_to", "wanted"),
    # the order of the three is POSIX's, 8.2 Internationalization Variables
    [
        ({}, "en"),
        ({"LANG": "de_DE.UTF-8"}, "de"),
        ({"LC_MESSAGES": "de_AT", "LANG": "en_GB.UTF-8"}, "de"),
        ({"LC_ALL": "C", "LC_MESSAGES": "de_DE", "LANG": "de_DE"}, "en"),
        ({"LC_ALL": "", "LANG": "de"}, "de"),
        ({"LANG": "de@euro"}, "de"),
        ({"LANG": "fr_FR.UTF-8"}, "en"),
    ],
)
def test_the_locale_chooses(
    monkeypatch: pytest.MonkeyPatch, set_to: dict[str, str], wanted: str
) -> None:
    for name in LOCALES:
        monkeypatch.delenv(name, raising=False)
    for name, value in set_to.items():
        monkeypatch.setenv(name, value)
    assert language(None, ("en", "de")) == wanted
    assert language("xx", ("en", "de")) == "xx"


def test_the_option_wins_before_the_command_and_after_it() -> None:
    for args in (["--lang", "de", "judge", JOB], ["judge", JOB, "--lang", "de"]):
        ran = program(*args, "--stack", "planned", LANG="en_GB.UTF-8")
        assert ran.returncode == 0
        assert ran.stdout.startswith("Auftrag mill-house")
    ran = program("judge", JOB, "--stack", "planned", "--lang", "en", LANG="de_DE.UTF-8")
    assert ran.stdout.startswith("Job mill-house")


def test_a_language_that_is_not_there_is_bad_input() -> None:
    ran = program("pick", JOB, "--lang", "eo")
    assert (ran.returncode, ran.stdout) == (2, "")
    assert ran.stderr == "error: this base has no texts in `eo`; known here: de, en\n"


def test_bad_input_is_told_in_german() -> None:
    ran = program("judge", JOB, "--stack", "nobody", LANG="de_DE.UTF-8", PYTHONUTF8="1")
    assert ran.returncode == 2
    assert "kein Aufbau `nobody`; --stack mit einem von: planned" in ran.stderr


def test_german_in_letters_of_ascii() -> None:
    env = {"LC_ALL": "C", "PYTHONIOENCODING": "ascii"}
    ran = program("judge", JOB, "--stack", "planned", "--lang", "de", **env)
    assert ran.returncode == 0
    assert ran.stdout.isascii()
    # ae, oe, ue, ss for the letters that ASCII lacks: common practice, no source
    for said in ("Abstuerze toeten", "Gewindestifte", "hoechstens", "zulaessig", "+-0,5 mm"):
        assert said in ran.stdout
    assert "\\x" not in ran.stdout
    assert "?" not in ran.stdout
    assert all(len(line) <= 80 for line in ran.stdout.splitlines())


def test_data_keeps_its_keys_and_words() -> None:
    english, german = (
        json.loads(program("judge", JOB, "--stack", "planned", "--json", "--lang", x).stdout)
        for x in ("en", "de")
    )

    def bones(data: object) -> object:
        """Keys, and the values of those that programs read."""
        if isinstance(data, dict):
            return {k: v if k in WORDS else bones(v) for k, v in data.items()}
        return [bones(x) for x in data] if isinstance(data, list) else type(data)

    assert bones(english) == bones(german)
    assert english["stacks"][0]["proven"] != german["stacks"][0]["proven"]


WORDS = {
    *("schema", "base", "job", "word", "exit", "may_become", "aspects", "rule", "path", "need"),
    *("aspect", "subject", "basis", "source", "lifted", "who", "status", "level", "id", "origin"),
}
