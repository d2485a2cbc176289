"""The bar of long work: on a terminal only, after a while only, and gone when it is done."""

import io
import sys

import pytest

from selector.interfaces.cli import waiting as module
from selector.interfaces.cli.waiting import counting, waiting


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def terminal(patch: pytest.MonkeyPatch) -> Terminal:
    """The error stream as a terminal; set within a test, since pytest sets it anew before each."""
    found = Terminal()
    patch.setattr(sys, "stderr", found)
    patch.setenv("TERM", "xterm")
    patch.setenv("COLUMNS", "80")
    return found


def test_a_share(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminal(monkeypatch)
    with waiting("judging", 0.0) as tick:
        tick(0.5)
    assert "judging" in screen.getvalue() and "50 %" in screen.getvalue()


def test_a_count(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminal(monkeypatch)
    monkeypatch.setattr(module, "PATIENCE_S", 0.0)
    with counting("judging", 40) as tick:
        tick(10)
    assert "judging" in screen.getvalue() and "10/40" in screen.getvalue()


def test_short_work_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = terminal(monkeypatch)
    with waiting("judging", 60.0) as tick:
        tick(0.5)
    with counting("judging", 40) as tick:
        tick(40)
    assert screen.getvalue() == ""


def test_a_pipe_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", io.StringIO())
    with waiting("judging", 0.0) as tick:
        tick(1.0)
    assert sys.stderr.getvalue() == ""  # type: ignore[attr-defined]
