"""The entry point as a person runs it, in this process."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from selector.interfaces.cli import main


@dataclass(frozen=True)
class Ran:
    """How a command ended, and what it printed."""

    code: int
    out: str
    err: str

    @property
    def flat(self) -> str:
        """The output in one line."""
        return " ".join(self.out.split())


Cli = Callable[..., Ran]


@pytest.fixture
def cli(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Cli:
    """Run `seamwright` with some arguments on a screen of 80 columns; never a traceback."""
    monkeypatch.setenv("COLUMNS", "80")

    def ran(*args: str | Path) -> Ran:
        monkeypatch.setattr(sys, "argv", ["seamwright", *map(str, args)])
        capsys.readouterr()
        code: object = 0
        try:
            main.run()
        except SystemExit as end:
            code = end.code or 0
        assert isinstance(code, int)
        said = capsys.readouterr()
        assert "Traceback" not in said.err + said.out
        return Ran(code, said.out, said.err)

    return ran
