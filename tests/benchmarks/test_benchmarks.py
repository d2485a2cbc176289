"""What can be tested without a clock: help must not load what only the work needs."""

from pathlib import Path

from run import FORBIDDEN, JOB, forbidden, loaded_after


def test_help_loads_nothing_that_only_the_work_needs(tmp_path: Path) -> None:
    for arguments in (["--help"], ["kb", "--help"], ["pick", "--help"]):
        loaded = loaded_after(arguments, {"XDG_CACHE_HOME": str(tmp_path)})
        assert "typer" in loaded
        assert forbidden(loaded) == []


def test_the_list_of_loaded_modules_sees_the_work(tmp_path: Path) -> None:
    loaded = loaded_after(["pick", JOB], {"XDG_CACHE_HOME": str(tmp_path)})
    assert set(forbidden(loaded)) == set(FORBIDDEN) - {"numpy"}
