"""The commands that people wait for do without the large numeric libraries."""

import subprocess
import sys

import pytest

from tests.conftest import ROOT

HEAVY = ("numpy", "scipy", "polars", "clingo")
SEEN = (
    "import atexit, sys; from selector.interfaces.cli.main import run; "
    "atexit.register(lambda: print('loaded:', *sys.modules, file=sys.stderr)); run()"
)


@pytest.mark.parametrize(
    "line",
    ["pick examples/mill-house/job.yaml", "loads examples/reading-hall/job.yaml --only wind"],
    ids=lambda line: line.split()[0],
)
def test_no_numeric_library_is_loaded(line: str) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", SEEN, *line.split()],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )
    loaded = ran.stderr.partition("loaded:")[2].split()
    assert "selector.interfaces.cli.main" in loaded
    assert not {name.partition(".")[0] for name in loaded} & set(HEAVY)
