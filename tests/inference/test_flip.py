"""Which figure would turn a rule off and by how much, by hand and by trying it."""

import pytest

from selector.explanation.narrate import flip_text
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.flip import Flip, flips_of
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from tests.conftest import ROOT

MILL = (ROOT / "examples" / "mill-house" / "job.yaml").read_text(encoding="utf-8")
HEAD = "places: [6.0 mm, 6.2 mm, 6.1 mm]"
HEIGHT = "places: [24.8 mm, 25.1 mm, 25.3 mm]"
SHARE = "clip_share:              {is: 0.26 kN"


def flips(base: Base, judge: Judge, *changes: tuple[str, str]) -> dict[str, tuple[Flip, ...]]:
    text = MILL
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    desk = Desk(base, job_of(read_string(text, "job.yaml"), base.vocabulary), judge)
    found = flips_of(judge, desk.stack("planned").options[0].verdict)
    return {key.partition(" on ")[0]: each for key, each in found.items()}


def test_a_head_too_thick_at_one_place(base: Base, judge: Judge) -> None:
    # the jaws take 8 mm; 9.2 mm by calliper may be 9.7 mm: 1.7 mm too much
    found = flips(base, judge, (HEAD, "places: [6.0 mm, 9.2 mm, 6.1 mm]"))
    assert found["seam-outside-clamp-window"] == (
        Flip("plane.seam.head", "length", 1_700, "5 to 8 mm"),
    )


def test_a_seam_too_low(base: Base, judge: Judge) -> None:
    # the jaws take 22 mm and more; 19.8 mm may be 19.3 mm: 2.7 mm too little
    found = flips(base, judge, (HEIGHT, "places: [19.8 mm, 20.0 mm, 20.2 mm]"))
    [flip] = found["seam-outside-clamp-window"]
    assert (flip.path, flip.by) == ("plane.seam.height", -2_700)
    assert "2.7 mm larger" in flip_text(flip, Texts.of(base))


def test_a_share_above_the_spare_capacity(base: Base, judge: Judge) -> None:
    # record cl-01 spares 0.31 kN: 0.36 / 0.31 - 1
    [flip] = flips(base, judge, (SHARE, SHARE.replace("0.26", "0.36")))["clip-share-above-spare"]
    assert flip.dimension == "ratio"
    assert flip.by == pytest.approx(0.36 / 0.31 - 1)
    assert "14% less" in flip_text(flip, Texts.of(base))


def test_two_figures_that_both_miss_flip_nothing_alone(base: Base, judge: Judge) -> None:
    found = flips(
        base,
        judge,
        (HEAD, "places: [6.0 mm, 9.2 mm, 6.1 mm]"),
        (HEIGHT, "places: [19.8 mm, 20.0 mm, 20.2 mm]"),
    )
    assert "seam-outside-clamp-window" not in found


@pytest.mark.parametrize(("less", "fires"), [("7.5", False), ("7.6", False), ("8.6", True)])
def test_the_margin_is_where_the_rule_turns(
    base: Base, judge: Judge, less: str, fires: bool
) -> None:
    found = flips(base, judge, (HEAD, f"places: [6.0 mm, {less} mm, 6.1 mm]"))
    assert ("seam-outside-clamp-window" in found) is fires  # 7.6 straddles: open, not refused


def test_nothing_flips_where_nothing_is_refused(base: Base, judge: Judge) -> None:
    assert flips(base, judge) == {}
