"""Uplift and sliding at once, set by set: by hand, and never milder nor stricter than it can be.

The granary of the examples with its actions worked out; the record of its clamp takes 0.86 kN up
and 0.44 kN along, that of its clips 0.31 kN up and 0.54 kN along. Pitch 22 deg +-1.
"""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.check import together
from selector.facts.actions.model import Ends
from selector.facts.links.clip_sums import ClipLoad, ClipSums
from selector.facts.links.together import (
    SetForces,
    fixed_zone,
    on_fixed_clips,
)
from selector.facts.view import View
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.links import chain_of
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Worked
from selector.model.quantity import Ratio
from selector.model.truth import Word
from tests.inference.test_repair import worked

NAILS = "      nails:   {is: sound, how: one opened clip, by: tk}\n"
CALM = (
    worked()
    .replace("basic_wind:         {is: 25 m/s", "basic_wind:         {is: 12 m/s")
    .replace("ground_snow:        {is: 0.85 kN/m2", "ground_snow:        {is: 0.25 kN/m2")
    .replace(NAILS, NAILS + "      fixed:   {is: 8, how: marks, by: tk}\n")
)
UP, ALONG, SLIP = 860.0, 440.0, 540.0
CORNER_SLIP = 520.0  # by the clips' record of the corner, which the block reaches
Lay = Callable[[str], LaidOut]


@pytest.fixture(scope="module")
def lay(base: Base, judge: Judge) -> Lay:
    def laid(text: str) -> LaidOut:
        job = job_of(read_string(text, "job.yaml"), base.vocabulary)
        return lay_out(Desk(base, job, judge), job.stacks["planned"])

    return laid


@pytest.fixture(scope="module")
def calm(lay: Lay) -> LaidOut:
    return lay(CALM)


def stack_of(laid: LaidOut) -> View:
    return next(j.view for j in laid.option.judgements if j.subject.kind == "stack")


def ratio_of(laid: LaidOut, path: str) -> Ratio:
    value = stack_of(laid).read(path).value
    assert isinstance(value, Ratio)
    return value


# --- clamps ----------------------------------------------------------------------------


def test_every_set_has_the_pair_that_its_own_factors_give(calm: LaidOut) -> None:
    loads, worked_out = calm.loads, calm.worked
    pairs = {
        name: (up / 1000, down / 1000) for name, up, down in worked_out["slide_with_uplift"].pairs
    }
    assert set(pairs) == {
        f"slide-{lead}, {weight}"
        for lead in ("wind-leading", "snow-leading", "wind-no-snow")
        for weight in ("heavy", "light")
    }
    assert loads.weight_pa is not None and loads.snow_pa is not None
    assert loads.accidental_pa is not None
    steep = math.radians(23)
    # bare sheet above, as far as a tape may be off, and slope beyond the shortest sheet
    above = 7.5 + 0.1 - (1.025 + 2 * 1.74 + 0.02) + (7.5 - 7.4)

    def slides(gamma_g: float, weight: float, gamma_q: float, snow: float) -> float:
        """Per metre across, down the slope: weight and snow on 1.74 m, snow on the sheet above."""
        along = gamma_q * snow * math.cos(steep) * math.sin(steep)
        return (gamma_g * weight * math.sin(steep) + along) * 1.74 + along * above

    heavy, light, snow = loads.weight_pa.high, loads.weight_pa.low, loads.snow_pa.high
    rare = slides(1.0, heavy, 1.0, loads.accidental_pa.high)  # exceptional snow
    whole = max(rare, slides(1.35, heavy, 1.5, snow))
    governing = worked_out["slide_per_clamp"].value / 1000
    for name, part in (
        ("slide-wind-no-snow, light", slides(1.0, light, 0.0, snow)),
        ("slide-wind-no-snow, heavy", slides(1.35, heavy, 0.0, snow)),
        ("slide-snow-leading, heavy", slides(1.35, heavy, 1.5, snow)),
        ("slide-wind-leading, heavy", slides(1.35, heavy, 1.5 * 0.5, snow)),
    ):
        assert pairs[name][1] == pytest.approx(governing * part / whole, rel=1e-3), name
    # the lightest array without snow is lifted as the governing set lifts it, by EN 1990 A1.2(B)
    lifted = worked_out["uplift_per_clamp"].value / 1000
    strength = loads.sets["fixing"]
    both = {(r.name, r.part): r.value_pa.high for r in strength.sets}
    assert both["slide-wind-no-snow, light", "uplift"] == both["uplift-STR", "uplift"]
    assert (
        0 < pairs["slide-wind-no-snow, heavy"][0] < pairs["slide-wind-no-snow, light"][0] <= lifted
    )


def test_the_set_that_uses_most_counts_and_is_named(calm: LaidOut) -> None:
    pairs = calm.worked["slide_with_uplift"].pairs
    by_hand = {name: up / 1000 / UP + down / 1000 / ALONG for name, up, down in pairs}
    found = ratio_of(calm, "stack.clamp_together")
    alone = [ratio_of(calm, f"stack.clamp_{way}").high for way in ("uplift", "slide")]
    assert found.high == pytest.approx(max(*by_hand.values(), *alone))
    assert found.high < sum(alone)  # worst of each at once belongs to no set
    worst = max(by_hand, key=lambda name: by_hand[name])
    link = next(one for one in chain_of(calm.option) if one.name == "clamp_together")
    assert f"set {worst} " in link.how


def test_a_force_on_paper_belongs_to_no_set(lay: Lay) -> None:
    figure = "{is: 0.30 kN, paper: calc, covers: [array a1, field, edge, corner]}"
    start = CALM.index("\nstacks:")
    text = f"{CALM[:start].rstrip()}\n    stated:\n      uplift_per_clamp: {figure}\n{CALM[start:]}"
    laid = lay(text)
    found = ratio_of(laid, "stack.clamp_together")
    alone = [ratio_of(laid, f"stack.clamp_{way}").high for way in ("uplift", "slide")]
    assert alone[0] == pytest.approx(300 / UP)
    assert found.high == pytest.approx(sum(alone))


PART = st.just(0.0) | st.floats(1e-6, 1)
POSITIVE = st.just(0.0) | st.floats(1e-3, 1e5)


@given(POSITIVE, POSITIVE, PART, PART, st.floats(0, 3), st.floats(0, 3))
def test_a_pair_uses_no_more_than_the_worst_of_each(
    up: float, down: float, a: float, b: float, one: float, other: float
) -> None:
    found = together((up * a, down * b), (up, down), (one, other))
    assert found <= (one + other) * (1 + 1e-9)
    assert found == pytest.approx((a * one if up * a else 0) + (b * other if down * b else 0))


def test_a_force_that_its_whole_does_not_hold_is_never_milder() -> None:
    assert together((1.0, 0.0), (0.0, 1.0), (0.0, 0.5)) == math.inf
    with pytest.raises(ValueError, match="not negative"):
        together((-1.0, 0.0), (1.0, 1.0), (0.5, 0.5))


# --- fixed clips -----------------------------------------------------------------------


def clip(mark: int, at: float, gets: float, **rest: float) -> ClipLoad:
    place = (round(at * 1e6), round(at * 1e6))
    spare = Ends(rest.get("spare", 310.0), rest.get("spare", 310.0))
    gross, suction = rest.get("gross"), rest.get("suction")
    own = None if suction is None else Ends(suction, suction)
    ends = Ends(gets, gets)
    word = Word.ALLOWED
    return ClipLoad("s1", mark, place, "influence", ends, ends, spare, word, (), gross, own)


def sums(*clips: ClipLoad) -> ClipSums:
    return ClipSums("influence", Word.ALLOWED, clips, ())


ALONE = Worked("slide_per_fixed_clip", "force", 300_000, "alone", "measured")


def forces(name: str, slides: float, part: float, wind: float = 1.0) -> SetForces:
    return SetForces(name, 0.0, {"slide_per_fixed_clip": slides}, part, wind)


def test_slip_and_uplift_of_one_set_add_up() -> None:
    sets = (forces("snow", 300.0, 0.1), forces("wind", 50.0, 1.0))
    clips = sums(clip(3, 1.0, 280.0), clip(12, 5.0, 155.0))
    found = on_fixed_clips(sets, clips, ALONE, Ends(SLIP, SLIP), None)
    # any clip may be fixed: 50 / 540 + 280 / 310 = 0.996; 300 / 540 + 28 / 310 = 0.646
    assert found.ratio == pytest.approx((300 / SLIP, 50 / SLIP + 280 / 310))
    assert found.how.startswith("set wind ")
    # fixed in the upper third of 6 m: only the clip at 5 m; 300 / 540 + 15.5 / 310 governs
    upper = fixed_zone(frozenset({"upper third"}), Ends(6.0, 6.0), 0.45)
    assert upper == pytest.approx((4.0 - 0.45, 6.45))
    found = on_fixed_clips(sets, clips, ALONE, Ends(SLIP, SLIP), upper)
    assert found.ratio == pytest.approx((300 / SLIP, 300 / SLIP + 15.5 / 310))
    assert found.how.startswith("set snow ")


def test_the_suction_of_the_sheet_is_with_the_uplift_of_a_gross_record() -> None:
    one = clip(3, 1.0, 100.0, spare=500.0, gross=900.0, suction=400.0)
    found = on_fixed_clips(
        [forces("wind", 54.0, 0.5, 0.6)], sums(one), ALONE, Ends(SLIP, SLIP), None
    )
    # 54 / 540 + max(50 / 500, (50 + 0.6 x 400) / 900) = 0.422, below 300 / 540 alone
    assert found.ratio == pytest.approx((300 / SLIP, 300 / SLIP))
    assert found.how == "alone"
    found = on_fixed_clips(
        [forces("wind", 200.0, 0.5, 0.6)], sums(one), ALONE, Ends(SLIP, SLIP), None
    )
    assert found.ratio is not None and found.ratio[1] == pytest.approx(200 / SLIP + 290 / 900)


def test_a_fixed_zone_that_nobody_knows_is_anywhere() -> None:
    assert fixed_zone(None, Ends(6.0, 6.0), 0.45) is None
    both = fixed_zone(frozenset({"eave", "ridge"}), Ends(5.9, 6.1), 0.45)
    assert both == pytest.approx((-0.45, 6.55))


def test_the_fixed_clips_of_a_layout(lay: Lay) -> None:
    # a sheet that ends so near above its last clip that no clip can follow there
    ends = CALM.replace("length:    {is: 7.5 m", "length:    {is: 7.25 m")
    assert ends != CALM
    short = lay(ends)
    found = ratio_of(short, "stack.sheet_slide")
    slides = short.worked["slide_per_fixed_clip"].value / 1000
    assert found.low == pytest.approx(slides / CORNER_SLIP)
    assert short.sums is not None
    most = max(c.ratio.high for c in short.sums.clips if c.ratio is not None)
    assert slides / CORNER_SLIP <= found.high <= slides / CORNER_SLIP + most
    zone = "      fixed_zone: {is: upper third, how: closely spaced marks, by: tk}\n"
    assert zone in ends
    unknown = ratio_of(lay(ends.replace(zone, "")), "stack.sheet_slide")
    assert unknown.high >= found.high
    assert unknown.high > slides / CORNER_SLIP  # some clip is lifted while the sheet slides
