"""`kb handbook`: pages in a folder, and the address of a page in every finding."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from selector.interfaces.cli import main
from selector.knowledge.locate import home
from tests.conftest import ROOT

Cli = Callable[..., tuple[int, str, str]]


@pytest.fixture
def cli(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Cli:
    """Run the entry point in this process: exit code, output, problems."""

    def ran(*arguments: str | Path) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["seamwright", *map(str, arguments)])
        capsys.readouterr()
        code: object = 0
        try:
            main.run()
        except SystemExit as end:
            code = end.code or 0
        said = capsys.readouterr()
        assert isinstance(code, int)
        return code, said.out, said.err

    return ran


def loads_templates(*arguments: str, cwd: Path) -> bool:
    """Whether a command, run by itself, imports the library of the templates."""
    told = (
        "import atexit, sys; from selector.interfaces.cli.main import run;"
        "atexit.register(lambda: print('jinja2' in sys.modules, file=sys.stderr)); run()"
    )
    ran = subprocess.run(
        [sys.executable, "-c", told, *arguments],
        cwd=cwd,
        env={"PYTHONPATH": str(ROOT), "HOME": str(cwd)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode in (0, 3), ran.stderr
    return {"True": True, "False": False}[ran.stderr.splitlines()[-1]]


def test_it_says_where_it_wrote(cli: Cli, tmp_path: Path) -> None:
    code, out, err = cli("kb", "handbook", "--into", tmp_path / "book")
    assert (code, err) == (0, "")
    assert out.startswith(f"{tmp_path / 'book' / 'index.html'}: ")
    assert "pages; base " in out
    assert (tmp_path / "book" / "index.html").is_file()


def test_without_into_it_writes_beside_where_one_stands(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, _ = cli("kb", "handbook")
    assert code == 0
    assert out.startswith("handbook/index.html: ")
    assert (tmp_path / "handbook" / "rules.html").is_file()


def test_a_folder_of_somebody_else_is_bad_input(cli: Cli, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine", encoding="utf-8")
    code, out, err = cli("kb", "handbook", "--into", tmp_path)
    assert (code, out) == (2, "")
    assert "`letter.txt`" in err
    assert "--into" in err
    assert [p.name for p in tmp_path.iterdir()] == ["letter.txt"]


def test_a_base_that_is_not_sound_writes_nothing(cli: Cli, tmp_path: Path) -> None:
    for folder in ("kb", "rules"):
        shutil.copytree(ROOT / folder, tmp_path / "mine" / folder)
    numbers = tmp_path / "mine" / "kb" / "trade" / "numbers.yaml"
    text = numbers.read_text(encoding="utf-8").replace("value: 10 mm", "value: 10", 1)
    numbers.write_text(text, encoding="utf-8")
    code, out, err = cli("kb", "handbook", "--into", tmp_path / "book", "--kb", tmp_path / "mine")
    assert (code, out) == (2, "")
    assert "kb/trade/numbers.yaml" in err
    assert not (tmp_path / "book").exists()


def findings(node: Any) -> Iterator[dict[str, Any]]:
    """Everything in an answer that names a rule with its text."""
    if isinstance(node, dict):
        if {"rule", "text", "why"} <= node.keys():
            yield node
        for value in node.values():
            yield from findings(value)
    elif isinstance(node, list):
        for value in node:
            yield from findings(value)


def test_every_finding_names_a_page_that_is_there(cli: Cli, tmp_path: Path) -> None:
    cli("kb", "handbook", "--into", tmp_path / "book")
    job = home().examples / "copper-chapel" / "job.yaml"
    _, out, _ = cli("judge", job, "--stack", "from-the-van", "--json")
    found = list(findings(json.loads(out)))
    assert len(found) > 5
    for finding in found:
        page = tmp_path / "book" / finding["page"]
        assert page.is_file(), finding["rule"]
        assert finding["rule"] in page.name


PICK = ["pick", "examples/first-call/job.yaml", "--json"]


@pytest.mark.parametrize("arguments", [["--help"], ["kb", "--help"], PICK], ids=" ".join)
def test_other_commands_do_not_load_the_templates(arguments: list[str], tmp_path: Path) -> None:
    shutil.copytree(ROOT / "examples" / "first-call", tmp_path / "examples" / "first-call")
    assert not loads_templates(*arguments, cwd=tmp_path)


def test_the_command_itself_does(tmp_path: Path) -> None:
    assert loads_templates("kb", "handbook", cwd=tmp_path)


def test_help_says_what_page_means(cli: Cli) -> None:
    code, out, _ = cli("kb", "handbook", "--help")
    assert code == 0
    assert "`page`" in out
    assert "index.html" in out
