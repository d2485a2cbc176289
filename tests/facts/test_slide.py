"""What slides down the slope, by hand for the granary with its actions worked out.

Pitch 22 deg +-1 (the steeper 23 counts), snow 0.8 x 0.85 = 0.68 kPa on plan, weight by catalogue.
"""

import math

import pytest

from selector.facts.actions.gather import Gather
from selector.facts.links.slide import slides
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from tests.inference.test_repair import worked

FIXED = "      nails:   {is: sound, how: one opened clip, by: tk}\n"


def laid(base: Base, judge: Judge, text: str) -> LaidOut:
    job = job_of(read_string(text, "job.yaml"), base.vocabulary)
    return lay_out(Desk(base, job, judge), job.stacks["planned"])


def test_a_clamp_of_the_top_row_by_hand(base: Base, judge: Judge) -> None:
    found = laid(base, judge, worked())
    loads = found.loads
    assert loads.snow_pa is not None and loads.weight_pa is not None
    assert loads.accidental_pa is not None
    pitch = math.radians(23)
    sheet = 7.5 + 0.1  # a tape is off by 100 mm on a sheet of 7.5 m
    above = sheet - (1.025 + 2 * 1.74 + 0.02)
    most = 0.0
    for gamma_g, gamma_q, snow in (
        (1.35, 1.5, loads.snow_pa.high),
        (1.0, 1.0, loads.accidental_pa.high),
    ):
        down = gamma_g * loads.weight_pa.high * math.sin(pitch)
        along = gamma_q * snow * math.cos(pitch) * math.sin(pitch)
        # the widest that one clamp serves: half way to its neighbours, the whole rail end
        wide = 0.53
        seam = wide * (1.74 * (down + along) + above * along)
        most = max(most, 1.2 * 0.60 * seam)
    figure = found.worked["slide_per_clamp"].value / 1000
    assert figure == pytest.approx(most, rel=0.25) and figure >= most * 0.999


def test_fixed_clips_are_counted_on_the_roof(base: Base, judge: Judge) -> None:
    without = laid(base, judge, worked())
    assert "slide_per_fixed_clip" not in without.worked
    assert [one.about for one in without.lacking] == ["plane.clips.fixed"]
    counted = worked().replace(FIXED, FIXED + "      fixed:   {is: 4, how: marks, by: tk}\n")
    four = laid(base, judge, counted)
    eight = laid(base, judge, counted.replace("{is: 4, how", "{is: 8, how"))
    a, b = (x.worked["slide_per_fixed_clip"].value for x in (four, eight))
    assert a == pytest.approx(2 * b, rel=1e-5)
    # all that is on the sheet is more than what one row brings to its clamps
    assert 4 * a > without.worked["slide_per_clamp"].value


def test_more_snow_slides_more(base: Base, judge: Judge) -> None:
    figures = []
    for snow in ("0.40", "0.85", "1.60"):
        text = worked().replace(
            "ground_snow:        {is: 0.85", f"ground_snow:        {{is: {snow}"
        )
        figures.append(laid(base, judge, text).worked["slide_per_clamp"].value)
    assert figures == sorted(figures) and figures[0] < figures[-1]


def test_a_drift_at_the_vent_slides_with_the_array(base: Base, judge: Judge) -> None:
    low, tall = (laid(base, judge, worked(vent=rises)) for rises in ("0.10 m", "1.20 m"))
    assert low.loads.snow_pa is not None and tall.loads.snow_pa is not None
    assert tall.loads.drift_pa is not None  # the country has exceptional drifts
    assert tall.loads.snow_pa.high > low.loads.snow_pa.high == pytest.approx(0.8 * 850)
    assert tall.worked["slide_per_clamp"].value > low.worked["slide_per_clamp"].value


def test_without_the_length_of_the_sheet_nothing_is_worked_out(base: Base, judge: Judge) -> None:
    found = laid(base, judge, worked())
    assert found.placed is not None
    text = worked().replace("      length:    {is: 7.5 m, tool: tape, by: tk}\n", "")
    job = job_of(read_string(text, "job.yaml"), base.vocabulary)
    g = Gather(base, job, job.arrays["a1"])
    assert slides(g, found.loads, found.placed) == {}
    assert "plane.sheet.length" in [one.about for one in g.opens]
