"""`recheck` as a person runs it."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

CHAPEL = ROOT / "examples/copper-chapel/job.yaml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "jobs"
    folder.mkdir()
    shutil.copy(CHAPEL, folder / "chapel.yaml")
    return folder


@pytest.fixture
def stricter(tmp_path: Path) -> Path:
    """A base whose first clamp does not take the seam of the mill house."""
    folder = tmp_path / "base"
    for top in ("kb", "rules"):
        shutil.copytree(ROOT / top, folder / top)
    clamps = folder / "kb/catalogues/demo/clamps.yaml"
    text = clamps.read_text("utf-8")
    first = text.index("height: 22 to 30 mm")
    clamps.write_text(text[:first] + text[first:].replace("22 to 30", "22 to 24", 1), "utf-8")
    return folder


def test_a_folder(cli: Cli, folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "rows.jsonl"
    ran = cli("recheck", folder, "--out", out, "--workers", "1")
    assert ran.code == 5  # the chapel is forbidden
    assert "1 job judged again" in ran.flat and "nothing to compare with" in ran.flat
    assert [line for line in ran.out.splitlines() if len(line) > 80] == []
    head, row = map(json.loads, out.read_text("utf-8").splitlines())
    assert (head["schema"], row["word"], row["change"]) == ("recheck/1", "forbidden", "first")
    ran = cli("recheck", folder, "--out", out)
    assert "1 of them stood in the file already" in ran.flat


def test_what_is_kept_against_another_base(
    cli: Cli, tmp_path: Path, stricter: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    mill = ROOT / "examples/mill-house/job.yaml"
    cli("jobs", "keep", mill, "--stack", "planned")
    ran = cli("recheck", "--kept", "--kb", stricter, "--workers", "1")
    assert ran.code == 5
    assert "stricter: forbidden, before conditional: mill-house, 1, judge stack planned" in ran.flat
    assert "new: seam-outside-clamp-window" in ran.flat
    data = json.loads(cli("recheck", "--kept", "--kb", stricter, "--json").out)
    assert (data["schema"], data["against"], data["jobs"]) == ("recheck/1", "store", 1)
    assert data["moves"] == [{"before": "conditional", "now": "forbidden", "jobs": 1}]
    ran = cli("recheck", "--kept", "--lang", "de")
    assert "Kein Wort hat sich geändert" in ran.flat and ran.code == 0


def test_loosenings_are_marked(cli: Cli, tmp_path: Path, stricter: Path) -> None:
    job = tmp_path / "job.yaml"
    text = (ROOT / "examples/mill-house/job.yaml").read_text("utf-8")
    asked = "request: {kind: choose, array: a1, want: core}"
    assert text.count(asked) == 1
    job.write_text(text.replace(asked, "request: {kind: judge, stack: planned}"), "utf-8")
    ran = cli("recheck", job, "--against", stricter)
    assert ran.code == 0
    assert "milder: conditional, before forbidden" in ran.flat
    assert "somebody looks at each" in ran.flat


BAD: list[tuple[tuple[str, ...], str]] = [
    ((), "name job files or folders"),
    (("x", "--kept"), "give either job files or --kept"),
    (("--kept", "--against", str(ROOT)), "--against is for job files"),
    (("nowhere",), "no such file or folder"),
    ((str(CHAPEL), "--workers", "0"), "a number from 1 on"),
    ((str(CHAPEL), "--out", "no/folder/rows.jsonl"), "cannot write here"),
    (("--kept", "--store", "none.sqlite"), "nothing was kept yet"),
    ((str(CHAPEL), "--kb", "nowhere"), "no knowledge base here"),
]


@pytest.mark.parametrize(("options", "said"), BAD, ids=lambda x: " ".join(map(str, x))[-30:])
def test_bad_input_is_one_message(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = cli("recheck", *options)
    assert ran.code == 2
    assert said in ran.err and ran.out == ""


def test_a_stop_is_said_and_goes_on(
    cli: Cli, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from selector.interfaces.cli import recheck as command

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    out = tmp_path / "rows.jsonl"
    real: Callable[..., object] = command.recheck
    monkeypatch.setattr(command, "recheck", stopped)
    ran = cli("recheck", folder, "--out", out)
    assert ran.code == 2 and "the same command goes on from there" in ran.err
    assert "nothing was kept" in cli("recheck", folder).err
    monkeypatch.setattr(command, "recheck", real)
    assert cli("recheck", folder, "--out", out).code == 5
