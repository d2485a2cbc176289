"""`seamwright loads --stack` of an elevated array: front and rear, laid out for the engineer."""

import json
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

TRAPS = ROOT / "examples" / "seven-traps" / "job.yaml"
HEAD = "Elevated: front and rear of one module, for the engineer"
WEDGE = "--stack", "a-few-degrees"


def test_front_and_rear_are_told_apart(cli: Cli) -> None:
    ran = cli("loads", TRAPS, *WEDGE)
    assert ran.code == 0 and HEAD in ran.out
    assert "No wind coefficient of this tool covers a module" in " ".join(ran.out.split())
    found = json.loads(cli("loads", TRAPS, *WEDGE, "--json").out)["elevated"]
    assert found["word"] == "engineer"
    # by hand: 1.74 x 1.09 m under 1 kPa is 1896.6 N; at 6 deg 1886.2 N away from the roof and
    # 198.2 N along it; lines at 0.405 and 1.320 m: ((0.87 cos 6 - 0.405) * 1886.2
    # + 0.87 sin 6 * 198.2) / 0.915 on the upper one
    middle = found["for_each_kpa"][1]
    assert middle["rear"] == pytest.approx([968.4, 968.4], abs=0.5)
    assert middle["front"] == pytest.approx([917.8, 917.8], abs=0.5)
    assert middle["down_slope"] == pytest.approx([198.2, 198.2], abs=0.1)


def test_lines_that_are_not_drawn_are_asked_for(cli: Cli, tmp_path: Path) -> None:
    text = TRAPS.read_text(encoding="utf-8")
    start = text.index("  a-few-degrees:")
    drawn = text[
        text.index("    layout:", start) : text.index("  pinned-on-a-sliding-clip:", start)
    ]
    job = tmp_path / "job.yaml"
    job.write_text(text[:start] + text[start:].replace(drawn, "", 1), encoding="utf-8")
    ran = cli("loads", job, *WEDGE)
    assert HEAD in ran.out and "rail lines of a module are not drawn" in ran.out
    assert json.loads(cli("loads", job, *WEDGE, "--json").out)["elevated"]["word"] == "observe"


def test_modules_that_lie_parallel_have_no_couple(cli: Cli) -> None:
    ran = cli("loads", TRAPS, "--stack", "clip-behind-the-clamp", "--json")
    assert json.loads(ran.out)["elevated"] is None
