"""`seamwright layout` from outside: exit codes, pictures, data, wrong input."""

import json
import xml.etree.ElementTree as ET
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from selector.interfaces.cli.waiting import waiting
from tests.conftest import ROOT
from tests.interfaces.conftest import Cli, Ran

GRANARY = ROOT / "examples" / "granary" / "job.yaml"
FIRST_CALL = ROOT / "examples" / "first-call" / "job.yaml"
Lay = Callable[..., Ran]


@pytest.fixture
def lay(cli: Cli) -> Lay:
    """Run `seamwright layout`."""
    return partial(cli, "layout")


def edited(tmp_path: Path, old: str, new: str) -> Path:
    """The granary's job with one place changed."""
    text = GRANARY.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path = tmp_path / "job.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


def test_the_page_is_plain_and_narrow(lay: Lay) -> None:
    ran = lay(GRANARY)
    assert ran.code == 0 and ran.err == ""
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    assert "\x1b" not in ran.out
    assert "DEMO" in ran.out and "NOT RELEASED" not in ran.out


def test_every_clamp_is_in_the_data(lay: Lay) -> None:
    ran = lay(GRANARY, "--json")
    data = json.loads(ran.out)
    assert data["schema"] == "layout/1" and data["word"] == "conditional"
    clamps = [c for r in data["layout"]["rails"] for p in r["pieces"] for c in p["clamps"]]
    assert len(clamps) == 64
    assert all(c["from_clip"] >= 95_000 and 0 < c["ratio"] < 1 for c in clamps)
    assert sum(b["stock"] for b in data["layout"]["cut"]["bars"]) == 35_200_000


def test_a_drawing_as_svg_holds_every_clamp(lay: Lay, tmp_path: Path) -> None:
    file = tmp_path / "plan.svg"
    assert lay(GRANARY, "--picture", file).code == 0
    drawn = [e for e in ET.parse(file).getroot().iter() if "data-clamp" in e.attrib]
    assert len(drawn) == 64


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("from_left: 0.76 m", "from_left: 5.76 m", "lies outside the plane"),
        (
            "{rectangle: [12.19 m, 7.50 m]",
            "{polygon: [[0 m, 0 m], [12 m, 7 m], [12 m, 0 m], [0 m, 7 m]]",
            "crosses itself",
        ),
    ],
)
def test_what_cannot_be_is_named_and_marked_and_ends_with_2(
    lay: Lay, tmp_path: Path, old: str, new: str, told: str
) -> None:
    file = tmp_path / "plan.svg"
    ran = lay(edited(tmp_path, old, new), "--picture", file)
    assert ran.code == 2 and "FORBIDDEN" in ran.out
    assert told in ran.out
    assert told in " ".join("".join(ET.parse(file).getroot().itertext()).split())


def test_a_first_call_is_not_laid_out_and_says_what_is_missing(lay: Lay) -> None:
    ran = lay(FIRST_CALL)
    assert ran.code in (0, 2)
    assert "Traceback" not in ran.out + ran.err
    assert "0 clamps" not in ran.out and "To mark on the roof" not in ran.out


@pytest.mark.parametrize(
    "options",
    [
        ("--clamps", "every third seam"),
        ("--stack", "nobody"),
        ("--array", "a9"),
        ("--picture", "plan.pdf"),
        ("--picture", "no/such/folder/plan.svg"),
    ],
)
def test_wrong_options_are_one_message(lay: Lay, options: tuple[str, str]) -> None:
    ran = lay(GRANARY, *options)
    assert ran.code == 2 and ran.out == ""
    assert ran.err.startswith("error: ") and "Traceback" not in ran.err


def test_german(lay: Lay) -> None:
    ran = lay(GRANARY, "--lang", "de")
    assert ran.code == 0 and "Auf dem Dach anzuzeichnen" in ran.out


def test_no_bar_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    with waiting("laying out", patience_s=0.0) as tick:
        for share in (0.2, 0.6, 1.0):
            tick(share)
    assert capsys.readouterr() == ("", "")
