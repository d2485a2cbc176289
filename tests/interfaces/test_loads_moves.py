"""`seamwright loads --stack`: sheets under one rail, and the day on which the rails are fitted."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

GRANARY = ROOT / "examples" / "granary" / "job.yaml"
ZONE = "      fixed_zone: {is: upper third, how: closely spaced marks, by: tk}\n"
SOME = f"{ZONE}      fixed_at: {{how: drawing, by: tk, seams: {{s03: 6.1 m, s04: 3.0 m}}}}\n"


@pytest.fixture
def links(cli: Cli, tmp_path: Path) -> Any:
    """Links of the granary's stack by name, with one place of its job changed."""

    def found(old: str = "", new: str = "") -> dict[str, Any]:
        text = GRANARY.read_text(encoding="utf-8")
        assert not old or text.count(old) == 1
        job = tmp_path / "job.yaml"
        job.write_text(text.replace(old, new) if old else text, encoding="utf-8")
        chain = json.loads(cli("loads", job, "--stack", "planned", "--json").out)["chain"]
        return {link["link"]: link for link in chain}

    return found


def test_sheets_held_alike_are_no_link(links: Any) -> None:
    found = links()
    assert "move_across" in found and "move_sheets" not in found


def test_sheets_held_nobody_knows_where_are_a_link_that_waits(links: Any) -> None:
    link = links(ZONE, "")["move_sheets"]
    assert (link["word"], link["demand"]) == ("observe", None)
    assert "plane.sheet.fixed_zone" in link["missing"]


def test_a_few_sheets_that_are_known_leave_the_others_open(links: Any) -> None:
    """Steel, 100 K, 3.1 m apart and each half a metre off: 2.52 to 4.92 mm, by hand."""
    link = links(ZONE, SOME)["move_sheets"]
    assert link["word"] == "observe"
    assert "plane.sheet.fixed_at" in link["missing"]
    assert link["demand"] == pytest.approx([12e-3 * 100 * 2.1, 12e-3 * 100 * 4.1])
