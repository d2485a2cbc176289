"""`seamwright loads --stack`: what the clips of the sheet carry, and what is open about them."""

import json
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

EXAMPLES = ROOT / "examples"
GRANARY = EXAMPLES / "granary" / "job.yaml"
TRAPS = EXAMPLES / "seven-traps" / "job.yaml"
HEAD = "What the clips of the sheet carry"
ABOVE = "the paper counts once whoever signed it has seen both"
BELOW = "an engineer decides which is right"


def section(page: str) -> list[str]:
    """Lines below the heading of the clips, up to the next heading."""
    lines = page[page.index(HEAD) :].splitlines()[2:]
    return lines[: lines.index("")]


def test_both_methods_stand_side_by_side_and_their_dissent_is_an_engineers(cli: Cli) -> None:
    lines = section(cli("loads", GRANARY, "--stack", "planned").out)
    table = [line.split("  ")[0] for line in lines if line[:1] == "s" and "." in line]
    assert len(table) == 5 and table[0] == "s03"
    assert any(line.startswith("engineer") and "s02, s03" in line for line in lines)


def test_a_paper_that_is_milder_than_the_sum_is_told(cli: Cli, tmp_path: Path) -> None:
    assert ABOVE in " ".join(cli("loads", GRANARY, "--stack", "planned").out.split())
    text = GRANARY.read_text(encoding="utf-8")
    old, new = "{is: 0.26 kN, paper: calc", "{is: 0.4 kN, paper: calc"
    assert text.count(old) == 1
    stricter = tmp_path / "job.yaml"
    stricter.write_text(text.replace(old, new), encoding="utf-8")
    page = cli("loads", stricter, "--stack", "planned").out
    assert HEAD in page and ABOVE not in " ".join(page.split())
    lower = tmp_path / "lower.yaml"
    lower.write_text(text.replace(old, "{is: 0.2 kN, paper: calc"), encoding="utf-8")
    page = " ".join(cli("loads", lower, "--stack", "planned").out.split())
    assert BELOW in page and ABOVE not in page


def test_clips_that_nobody_looked_for_are_no_figure(cli: Cli) -> None:
    ran = cli("loads", TRAPS, "--stack", "clips-not-looked-for", "--json")
    clips = json.loads(ran.out)["clips"]
    assert (clips["word"], clips["clips"]) == ("observe", [])
    [one] = clips["open"]
    assert one["kind"] == "unmarked" and one["seams"] == [f"s{n:02}" for n in range(2, 9)]


def test_a_second_row_on_a_clip_adds_to_it(cli: Cli) -> None:
    def most(stack: str) -> float:
        found = json.loads(cli("loads", TRAPS, "--stack", stack, "--json").out)["clips"]
        assert all(0 <= c["influence"][0] <= c["influence"][1] for c in found["clips"])
        return max(float(c["influence"][1]) for c in found["clips"])

    assert most("two-rows-on-one-clip") > most("clip-behind-the-clamp") > 310  # N that one takes


@pytest.mark.parametrize("lang", ["en", "de"])
def test_the_page_fits_80_columns(cli: Cli, lang: str) -> None:
    page = cli("loads", GRANARY, "--stack", "planned", "--lang", lang).out
    assert max(map(len, page.splitlines())) <= 80


def test_an_array_alone_has_no_clips(cli: Cli) -> None:
    assert json.loads(cli("loads", GRANARY, "--array", "a1", "--json").out)["clips"] is None
