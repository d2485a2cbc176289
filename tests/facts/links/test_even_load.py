"""A net uplift on paper as an even load of drawn clamps, by pencil and paper.

The row of the judged case SUB-10: four modules of 1.13 m with gaps of 20 mm, 4.58 m in all; two
lines under 1.72 m, half of it on each; nine seams 530 mm apart, by tape, so 525 to 535 mm.
1.10 kPa x 0.86 m = 946 N/m. Five supports of a continuous beam with equal spans and no overhang
have 0.393, 1.143, 0.929, 1.143, 0.393 w l (tables of continuous beams).
"""

from dataclasses import replace
from typing import Any

import pytest

from selector.facts.links.even_load import _Line
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.worked import with_worked
from selector.jobs.read import job_of
from selector.jobs.write import text_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Worked
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.kb.judged import silent

Data = dict[str, Any]
W = 946.0
FORCE = "uplift_per_clamp"
MILL = (ROOT / "examples" / "mill-house" / "job.yaml").read_text(encoding="utf-8")


def second(**change: Any) -> Data:
    """The changed stack, its old figures gone; `change` lies over its array."""
    data = silent.merged("SUB-10")
    array, plan = data["arrays"]["a1"], data["stacks"]["planned"]
    stated = array["stated"]
    array["stated"] = {k: stated[k] for k in ("net_uplift", "net_down")}
    array["clamps"] = plan["layout"]["clamps"] = "every second seam"
    array |= change
    data["request"] = {"kind": "judge", "stack": "planned"}
    return data


def worked(base: Base, judge: Judge, data: Data) -> dict[str, Worked]:
    job = job_of(read_string(text_of(data), "job.yaml"), base.vocabulary)
    return with_worked(Desk(base, job, judge), "planned").job.stacks["planned"].worked


def test_a_clamp_gets_what_a_beam_hands_it(base: Base, judge: Judge) -> None:
    found = worked(base, judge, second())[FORCE]
    assert found.least is not None
    # with hinges an inner clamp has one whole span; the first inner one of the beam has 1.143
    assert W * 1.05 <= found.least / 1000 <= 1.143 * W * 1.07
    assert found.value / 1000 == pytest.approx(1.143 * W * 1.07, rel=0.005)
    assert found.status == "judgement" and "that paper case states" in found.how


def test_every_seam_gets_about_half(base: Base, judge: Judge) -> None:
    data = second(clamps="every seam")
    data["stacks"]["planned"]["layout"]["clamps"] = "every seam"
    found = worked(base, judge, data)[FORCE]
    assert found.least is not None
    assert 0.999 * W * 0.525 <= found.least / 1000 <= 1.143 * W * 0.535
    # the row as far to the left as it goes: 380 mm beyond the first seam, by the lever
    end = 0.380 + 0.525 / 2 + 0.380**2 / 2 / 0.525
    assert found.value / 1000 == pytest.approx(W * end, rel=0.01)


def test_a_spacing_inside_the_reading_may_be_the_worst() -> None:
    # 1 m on two clamps, 0.45 to 0.55 m apart: at 0.50 m one may stand in the middle, with all of it
    forces = _Line(1.0, 2, (0, 1)).forces(1000.0, (0.45, 0.55))
    assert forces[0].high == pytest.approx(1000.0)


def test_a_spacing_that_does_not_fit_leaves_no_gap_before_it() -> None:
    # three seams need 2 x 0.50 m of the 1 m: at just that the outer clamps stand at both ends
    forces = _Line(1.0, 3, (0, 1, 2)).forces(1000.0, (0.49, 0.52))
    assert forces[1].high == pytest.approx(1.25 * 1000.0 * 0.5)


def test_clips_beside_it_get_more_than_they_spare(base: Base, judge: Judge) -> None:
    """By the judge: 1.25 x 1.00 kN x 0.5 = 0.63 kN against 0.35 kN, whatever tolerances do."""
    found = worked(base, judge, second())
    share = found["clip_share"]
    assert share.ratio is not None and share.ratio[0] > 1
    assert share.ratio[0] < 0.63 / 0.35 < share.ratio[1]
    assert share.status == "judgement"


def test_a_range_over_a_limit_is_no_refusal(base: Base, judge: Judge) -> None:
    """1.00 to 1.16 kN of 1.10 kN: the record of the clamp may hold it, or may not."""
    job = job_of(read_string(text_of(second()), "job.yaml"), base.vocabulary)
    desk = with_worked(Desk(base, job, judge), "planned")
    verdict = desk.planned(desk.job.stacks["planned"]).verdict
    found = {f.rule.id: f.surely for f in verdict.findings}
    assert found["clamp-uplift-above-its-record"] is False
    assert found["clip-share-above-spare"] is True


def test_no_yes_without_the_word_of_a_person(base: Base, judge: Judge) -> None:
    """Half of the pressure on every seam holds: all else on paper, it still asks to confirm."""
    data = silent.merged("SUB-10")
    stated = data["arrays"]["a1"]["stated"]
    for name in (FORCE, "clip_share"):
        del stated[name]
    stated["net_uplift"]["is"] = "0.60 kPa"
    job = job_of(read_string(text_of(data), "job.yaml"), base.vocabulary)
    desk = with_worked(Desk(base, job, judge), "planned")
    verdict = desk.planned(desk.job.stacks["planned"]).verdict
    assert verdict.word == Word.CONDITIONAL
    assert "stated.clip_share" in {fact.path for fact in verdict.confirm}


def test_a_paper_goes_before_it(base: Base, judge: Judge) -> None:
    job = job_of(read_string(text_of(silent.merged("SUB-10")), "job.yaml"), base.vocabulary)
    desk = Desk(base, job, judge)
    assert with_worked(desk, "planned") is desk


@pytest.mark.parametrize("force", ["0.30 kN", "0.80 kN"])
def test_a_paper_that_an_even_load_contradicts(base: Base, judge: Judge, force: str) -> None:
    """0.50 to 0.74 kN a clamp on every seam: a paper with less or more has another load behind."""
    data, was = second(), silent.merged("SUB-10")
    was["arrays"]["a1"]["stated"][FORCE]["is"] = force
    before, after = (
        Desk(base, job_of(read_string(text_of(d), "job.yaml"), base.vocabulary), judge)
        for d in (was, data)
    )
    assert with_worked(after, "planned", before) is after
    assert with_worked(after, "planned") is not after


def measured(force: str | None) -> Data:
    """The mill house with its seams measured one by one, and this force of a clamp on paper."""
    data = read_string(MILL, "job.yaml").data
    at = {f"s{n:02}": f"{0.2 + 0.53 * (n - 1):.3f} m" for n in range(1, 24)}
    data["planes"]["south"]["seams"] = {"tool": "tape", "by": "tk", "at": at}
    stated = data["arrays"]["a1"]["stated"]
    data["arrays"]["a1"]["stated"] = {"net_uplift": stated["net_uplift"]}
    if force is not None:
        data["arrays"]["a1"]["stated"][FORCE] = stated[FORCE] | {"is": force}
    return data


@pytest.mark.parametrize(
    ("force", "worked_out"), [("1.90 kN", False), ("0.47 kN", True), (None, True)]
)
def test_on_measured_seams_a_force_as_planned_speaks_against_it_too(
    base: Base, judge: Judge, force: str | None, worked_out: bool
) -> None:
    """0.90 kPa on half of 1.74 m and 0.53 m of a line are 0.415 kN; of a beam over five clamps the
    second gets 1.143 of that (textbook of continuous beams), 0.47 kN."""
    before, after = (
        Desk(base, job_of(read_string(text_of(d), "job.yaml"), base.vocabulary), judge)
        for d in (measured(force), measured(None))
    )
    found = with_worked(after, "planned", before).job.stacks["planned"].worked
    assert (FORCE in found) is worked_out


@pytest.mark.parametrize("wrong", [{"until": "2031-01-01"}, {"covers": ["array a1"]}])
def test_a_force_whose_paper_does_not_count_speaks_against_it_too(
    base: Base, judge: Judge, wrong: Data
) -> None:
    """1.90 kN by a paper that has run out, or of something else: why so, is asked, never passed."""
    data = second(clamps="every seam")
    data["stacks"]["planned"]["layout"]["clamps"] = "every seam"
    assert FORCE in worked(base, judge, data)
    data["papers"]["old"] = data["papers"]["case"] | {"dated": "2030-06-01"} | wrong
    stated = {"is": "1.90 kN", "paper": "old", "covers": ["array a1"]}
    data["arrays"]["a1"]["stated"][FORCE] = stated
    assert worked(base, judge, data) == {}


@pytest.mark.parametrize(
    "change",
    [
        {"zones": ["edge"], "stated": {"net_uplift": {"is": "1.10 kPa", "paper": "case"}}},
        {"stated": {}},
        {"tilt": "10 deg"},
        {"block": {"rows": 1, "columns": 4, "from_left": "1.20 m", "gap": "20 mm"}},
        {"crosses": [f"s{n:02d}" for n in range(1, 16)]},
        {"crosses": ["s01", "s02", "s03"]},
    ],
)
def test_nothing_is_worked_out_of_less(base: Base, judge: Judge, change: Data) -> None:
    """A paper for other zones or none, a load that is not even, seams that do not fit."""
    if change.get("stated"):
        change["stated"]["net_uplift"]["covers"] = ["array a1", "field zone"]
    assert FORCE not in worked(base, judge, second(**change))


def test_nothing_is_worked_out_of_other_drawings(base: Base, judge: Judge) -> None:
    for clamps in ({"s01": ["1750 mm"], "s20": ["1750 mm"]}, {"s01": ["1750 mm", "2750 mm"]}):
        data = second()
        data["stacks"]["planned"]["layout"]["clamps"] = clamps
        assert FORCE not in worked(base, judge, data)
    data = second()
    data["planes"]["roof"]["seam"]["parallel"] = {"is": "fanning", "paper": "case"}
    assert FORCE not in worked(base, judge, data)
    data = second()
    data["stacks"]["planned"]["layout"]["rails"]["low"]["cut_at"] = ["2 m"]
    data["stacks"]["planned"]["layout"]["splices"] = {"low": ["sliding"]}
    assert FORCE not in worked(base, judge, data)


def test_measured_seams_are_laid_out_with_it(base: Base, judge: Judge) -> None:
    """The first seam 0.17 m from the row: no range, the same beam."""
    data = second()
    data["planes"]["roof"] |= {
        "seams": {"first": "1.37 m", "paper": "case"},
        "outline": {"rectangle": ["7 m", "7.5 m"], "paper": "case"},
        "form": {"is": "monopitch", "paper": "case"},  # edges of 0.7 m: the block lies in the field
    }
    job = job_of(read_string(text_of(data), "job.yaml"), base.vocabulary)
    desk = Desk(base, job, judge)
    found = with_worked(desk, "planned").job.stacks["planned"].worked[FORCE]
    assert found.least is None and found.status == "judgement"
    assert W * 1.06 <= found.value / 1000 <= 1.143 * W * 1.07
    plan = replace(job.stacks["planned"], worked={FORCE: found})
    assert desk.planned(plan).verdict.word != Word.ALLOWED
