"""`seamwright loads` on a hall with a hood, a stack and a taller building beside the array."""

import json
from pathlib import Path

import pytest

from tests.facts.actions.beside import BESIDE, HOOD, obstacles, taller
from tests.facts.actions.conftest import HALL, changed
from tests.interfaces.conftest import Cli

# by hand in tests/facts/actions/test_drifts_by_hand.py: mu 1.490 at 1.70 m from the hood
SNOW = 650 * (0.8 + (2 * 0.6 / 0.65 - 0.8) * (1 - 1.70 / 5))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.yaml"
    path.write_text(changed(HALL, BESIDE), encoding="utf-8")
    return path


def test_the_page_says_which_drift_counts_and_which_ends_before(cli: Cli, job: Path) -> None:
    ran = cli("loads", str(job))
    flat = " ".join(ran.out.split())
    assert ran.code == 0
    assert "snow on the roof, on plan 0.969 kPa" in flat
    assert "snow drifts at `hood`, 1.70 m away, over 5.00 m: 0.969 kPa" in flat
    assert "the drift at `stack` is 5.00 m long and the array 26.70 m away: clear of it" in flat
    assert max(map(len, ran.out.splitlines())) <= 80


def test_the_same_in_german(cli: Cli, job: Path) -> None:
    flat = " ".join(cli("--lang", "de", "loads", str(job)).out.split())
    assert "Schnee verweht an `hood`, 1,70 m entfernt, auf 5,00 m: 0,969 kPa" in flat
    assert "die Verwehung an `stack` ist 5,00 m lang" in flat
    assert "`höherer Teil links`" in flat


def test_every_line_of_a_drift_has_its_clause_and_status(cli: Cli, job: Path) -> None:
    flat = " ".join(cli("loads", str(job), "--only", "snow").out.split())
    assert "mu2 at hood 1.846 6.2 from memory" in flat
    assert "mu_w at taller part left 4 5.3.6, (5.8)" in flat
    assert "drift_pitch 30 deg working value judgement" in flat


def test_drifts_for_programs(cli: Cli, job: Path) -> None:
    data = json.loads(cli("loads", str(job), "--json", "--only", "snow").out)
    assert data["snow"] == pytest.approx([SNOW, SNOW])
    assert data["accidental_drift"] is None
    hood, stack, wall = data["drifts"]
    assert hood == {
        "at": "hood",
        "kind": "obstacle",
        "distance_m": pytest.approx([1.7, 1.7]),
        "length_m": [5, 5],
        "snow": pytest.approx([SNOW, SNOW]),
        "reaches": True,
    }
    assert (stack["reaches"], wall["reaches"]) == (False, True)
    symbols = [row["symbol"] for row in data["topics"]["snow"]["rows"]]
    assert symbols[-1] == "s"
    assert "s,d at hood" in symbols


@pytest.mark.parametrize(
    ("changes", "code", "said"),
    [
        (obstacles(HOOD.replace("0.60 m", "-0.60 m")), 2, "`rises`"),
        (obstacles(HOOD.replace("0.60 m", ".nan")), 2, "`rises`"),
        (obstacles(HOOD.replace("0.60 m", "900 m")), 2, "at most 100 m is plausible"),
        (taller(word="none"), 0, "`none` and `some` cannot both be true"),
        (taller(step=""), 0, "[plane.taller_step] (for snow)"),
    ],
    ids=("negative", "no number", "absurd", "contradictory", "missing"),
)
def test_wrong_heights(
    cli: Cli, tmp_path: Path, changes: dict[str, str], code: int, said: str
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(changed(HALL, changes), encoding="utf-8")
    ran = cli("loads", str(path))
    assert ran.code == code
    assert said in " ".join((ran.out + ran.err).split())
    assert "Traceback" not in ran.out + ran.err
    if code == 0:
        assert "snow on the roof, on plan no figure" in " ".join(ran.out.split())
