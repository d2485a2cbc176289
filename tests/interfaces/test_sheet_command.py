"""`seamwright sheet` from outside: a file or nothing, exit codes, wrong input."""

from pathlib import Path

import html5lib
import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

EXAMPLES = ROOT / "examples"
GRANARY = EXAMPLES / "granary" / "job.yaml"
MILL = EXAMPLES / "mill-house" / "job.yaml"


@pytest.mark.parametrize(("lang", "state"), [("en", "NOT RELEASED"), ("de", "NICHT FREIGEGEBEN")])
def test_the_file_is_written_and_its_word_said(
    cli: Cli, tmp_path: Path, lang: str, state: str
) -> None:
    out = tmp_path / "sheet.html"
    ran = cli("sheet", GRANARY, "--out", out, "--lang", lang)
    assert (ran.code, ran.err) == (0, "")
    assert state in ran.out
    assert str(out) in ran.out
    text = out.read_text(encoding="utf-8")
    html5lib.HTMLParser(strict=True).parse(text)
    assert f'<html lang="{lang}">' in text
    assert state in text


def test_the_exit_is_0_whatever_the_word(cli: Cli, tmp_path: Path) -> None:
    for name, word in (("mill-house", "OBSERVE"), ("copper-chapel", "FORBIDDEN")):
        ran = cli("sheet", EXAMPLES / name / "job.yaml", "--out", tmp_path / f"{name}.html")
        assert (ran.code, ran.err) == (0, "")
        assert f": {word}, NOT RELEASED" in ran.flat


def test_one_stack_by_its_name(cli: Cli, tmp_path: Path) -> None:
    out = tmp_path / "a.html"
    assert cli("sheet", MILL, "--out", out, "--stack", "planned").code == 0
    assert "planned" in out.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--out", "sheet.pdf"), "a sheet is an .html file"),
        (("--out", "none/sheet.html"), "no such folder"),
        (("--out", "a.html", "--stack", "nobody"), "no stack `nobody`"),
        (("--out", "a.html", "--array", "a9"), "no array `a9`"),
        (("--out", "a.html", "--lang", "eo"), "no texts in `eo`"),
    ],
)
def test_wrong_options_leave_nothing(
    cli: Cli, tmp_path: Path, args: tuple[str, ...], said: str
) -> None:
    at = (args[0], str(tmp_path / args[1]), *args[2:])
    ran = cli("sheet", GRANARY, *at)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert list(tmp_path.iterdir()) == []


def test_a_job_that_is_not_there(cli: Cli, tmp_path: Path) -> None:
    ran = cli("sheet", tmp_path / "no.yaml", "--out", tmp_path / "a.html")
    assert (ran.code, ran.out) == (2, "")
    assert list(tmp_path.iterdir()) == []


def test_an_old_sheet_stays_where_the_new_one_fails(cli: Cli, tmp_path: Path) -> None:
    out = tmp_path / "a.html"
    out.write_text("old", encoding="utf-8")
    assert cli("sheet", GRANARY, "--out", out, "--stack", "nobody").code == 2
    assert out.read_text(encoding="utf-8") == "old"
