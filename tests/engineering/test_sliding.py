"""Down-slope sums against figures worked out term by term elsewhere, and two judged cases.

SEAMS: invented seams; see the head of the file. A judged case of the trade is worked by hand.
"""

import math
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError
from selector.engineering.sliding import (
    Load,
    Sharing,
    Strip,
    Sums,
    _turning,
    along_pa,
    fixed_clip_ratio,
    held_back_n_per_m,
    sum_hulls,
    sums,
    worst_line_n,
)

WORKED: dict[str, Any] = {
    w["id"]: w
    for w in yaml.safe_load(Path(__file__).with_name("worked_seams.yaml").read_text("utf-8"))
}
CLOSE = {"rel": 1e-6, "abs": 1e-9}
UNEVEN = Sharing({1: 1.0, 2: 0.60, 3: 0.45}, 1.5, 1.2)  # judgement
KILO = 1000.0


def of(inputs: dict[str, Any]) -> tuple[Load, Strip]:
    load = Load(
        inputs["pitch_deg"],
        inputs["snow_on_plan_kN_m2"] * KILO,
        inputs["sheet_kN_m2"] * KILO,
        inputs["array_kN_m2"] * KILO,
        inputs["gamma_G"],
        inputs["gamma_Q"],
    )
    array, above = inputs["array_length_m"], inputs["bare_above_array_m"]
    strip = Strip(
        inputs["bay_width_m"],
        inputs["gripped_width_m"],
        round(inputs["sheet_length_m"] - array - above, 9),
        array,
        above,
        inputs["slope_above_sheet_m"],
    )
    return load, strip


@pytest.mark.parametrize("name", ["M34", "M35", "M36"])
def test_every_term_on_its_own(name: str) -> None:
    inputs, results = WORKED[name]["inputs"], WORKED[name]["results"]
    load, strip = of(inputs)
    found = sums(load, strip)
    terms = {
        "sheet_own_weight_kN": found.sheet_weight_n,
        "array_weight_kN": found.array_weight_n,
        "snow_on_modules_kN": found.snow_on_modules_n,
        "snow_on_bare_sheet_above_kN": found.snow_above_n,
        "snow_on_bare_sheet_below_kN": found.snow_below_n,
        "snow_from_beyond_the_sheet_kN": found.snow_beyond_n,
        "fixed_clips_sum_kN": found.fixed_clips_n,
        "clamps_sum_kN": found.clamps_n,
        "array_only_kN": found.array_n,
        "held_back_line_load_kN_per_m": held_back_n_per_m(load, strip),
    }
    assert {k: v / KILO for k, v in terms.items()} == pytest.approx(
        {k: results[k] for k in terms}, **CLOSE
    )
    clips, slip = inputs["fixed_clips"], inputs["fixed_clip_slip_kN"] * KILO
    ratio = fixed_clip_ratio(found.fixed_clips_n, clips, slip)
    assert ratio == pytest.approx(results["ratio_fixed_clips"], **CLOSE)


def test_uplift_at_the_same_time_adds_to_the_use_of_the_fixed_clips() -> None:
    inputs, results = WORKED["M36"]["inputs"], WORKED["M36"]["results"]
    ratio = fixed_clip_ratio(
        results["fixed_clips_sum_kN"],
        inputs["fixed_clips"],
        inputs["fixed_clip_slip_kN"],
        inputs["uplift_on_fixed_clips_kN"],
        inputs["fixed_clip_uplift_kN"],
    )
    assert ratio == pytest.approx(results["interaction_ratio"], **CLOSE)


def test_parts_of_the_worst_rail_line() -> None:
    inputs, results = WORKED["M37"]["inputs"], WORKED["M37"]["results"]
    force, lines = inputs["down_slope_force_kN"], inputs["rail_lines"]
    even = [worst_line_n(force, n, None) for n in lines]
    uneven = [worst_line_n(force, n, UNEVEN) for n in lines]
    assert even == pytest.approx(results["plateau_proved_kN"], rel=1e-9)
    assert uneven == pytest.approx(results["no_plateau_worst_line_kN"], rel=1e-9)


def test_steep_roof_below_the_ridge_as_worked_by_hand() -> None:
    """35 degrees, 2.8 kPa design snow, two rows of 1.72 m, 530 mm: 2.61 kN against 4 x 0.60 kN."""
    two = sums(Load(35, 2800, 0, 150, 1.35, 1.0), Strip(0.53, 0.53, 5.56, 3.44, 0.0, 0.0))
    one = sums(Load(35, 2800, 0, 150, 1.35, 1.0), Strip(0.53, 0.53, 7.28, 1.72, 0.0, 0.0))
    assert round(two.clamps_n, -1) == 2610
    assert round(one.clamps_n, -1) == 1310  # one row only
    assert fixed_clip_ratio(two.clamps_n, 4, 600) > 1 > fixed_clip_ratio(one.clamps_n, 4, 600)


def test_the_snow_above_the_array_is_not_forgotten() -> None:
    """The same seam with 5.56 m of bare sheet above: statics, 6.487 kN; 2.61 leaves it out."""
    load = Load(35, 2800, 0, 150, 1.35, 1.0)
    found = sums(load, Strip(0.53, 0.53, 0.0, 3.44, 5.56, 0.0)).clamps_n
    assert found == pytest.approx(6487, abs=10)
    assert found != pytest.approx(2610, abs=10)


def test_a_seam_that_serves_two_bays_holds_back_the_snow_of_both() -> None:
    load = Load(30, 1000, 50, 150, 1.35, 1.5)
    one = sums(load, Strip(0.5, 0.5, 2.0, 3.0, 1.0, 1.0))
    two = sums(load, Strip(0.5, 1.0, 2.0, 3.0, 1.0, 1.0))
    assert two.clamps_n == pytest.approx(2 * one.clamps_n)
    assert two.sheet_weight_n == one.sheet_weight_n
    assert two.snow_below_n == one.snow_below_n


def test_a_line_never_takes_less_than_its_mean_nor_more_than_all() -> None:
    assert worst_line_n(1200, 3, Sharing({3: 0.2}, 1.0, 1.0)) == 400
    assert worst_line_n(1200, 1, UNEVEN) == 1200


LOADS = st.builds(
    Load,
    st.floats(0, 80),
    st.floats(0, 5000),
    st.floats(0, 200),
    st.floats(0, 400),
    st.floats(1, 1.35),
    st.floats(0, 1.5),
)
STRIPS = st.builds(
    Strip,
    st.just(0.5),
    st.floats(0.5, 1.5),
    st.floats(0, 8),
    st.floats(0, 8),
    st.floats(0, 8),
    st.floats(0, 8),
)


@given(LOADS, STRIPS)
def test_all_terms_are_the_vertical_load_times_the_sine(load: Load, strip: Strip) -> None:
    """Snow lies on plan, so its vertical load on a slope is that of the plan below it."""
    found = sums(load, strip)
    slope = math.radians(load.pitch_deg)
    plan = load.gamma_q * load.snow_pa * math.cos(slope)
    wide = strip.gripped_m * (strip.array_m + strip.above_m + strip.beyond_m)
    weight = load.gamma_g * (
        load.sheet_pa * strip.bay_m * strip.sheet_m
        + load.array_pa * strip.gripped_m * strip.array_m
    )
    vertical = weight + plan * (wide + strip.bay_m * strip.below_m)
    assert found.fixed_clips_n == pytest.approx(vertical * math.sin(slope), abs=1e-6)
    assert found.fixed_clips_n >= found.clamps_n >= found.array_n


@given(LOADS, STRIPS, LOADS, STRIPS, st.floats(0, 1))
def test_ranges_hold_what_lies_between(
    one: Load, least: Strip, other: Load, most: Strip, part: float
) -> None:
    def between(a: Any, b: Any, pick: Any) -> dict[str, float]:
        return {k: pick(getattr(a, k), getattr(b, k)) for k in a.__dataclass_fields__}

    low, high = Load(**between(one, other, min)), Load(**between(one, other, max))
    short, long = Strip(**between(least, most, min)), Strip(**between(least, most, max))

    def blend(a: float, b: float) -> float:
        return min(max(a + part * (b - a), a), b)

    found = sum_hulls(low, high, short, long)
    pitch = blend(low.pitch_deg, high.pitch_deg)
    for load, strip in ((low, short), (high, long)):
        here = Load(**{**between(load, load, min), "pitch_deg": pitch})
        inside = sums(here, strip)
        held = held_back_n_per_m(here, strip)
        for hull, value in (
            (found.fixed_clips_n, inside.fixed_clips_n),
            (found.clamps_n, inside.clamps_n),
            (found.held_back_n_per_m, held),
        ):
            slack = 1e-9 * (1 + value)
            assert hull.low - slack <= value <= hull.high + slack


def test_the_ends_of_a_range_of_pitches_are_not_enough() -> None:
    """Snow alone is worst at 45 degrees."""
    low, high = Load(40, 1000, 0, 0, 1.35, 1.5), Load(50, 1000, 0, 0, 1.35, 1.5)
    strip = Strip(0.5, 0.5, 0.0, 2.0, 0.0, 0.0)
    top = sum_hulls(low, high, strip, strip).clamps_n.high
    assert top == pytest.approx(1.5 * 1000 * 0.5 * 0.5 * 2.0)
    assert top > max(sums(low, strip).clamps_n, sums(high, strip).clamps_n) * 1.01


@given(LOADS, STRIPS, st.floats(0, 3))
def test_more_snow_slope_or_sheet_never_lightens(load: Load, strip: Strip, more: float) -> None:
    before = sums(load, strip)
    longer = Strip(0.5, strip.gripped_m, strip.below_m, strip.array_m, strip.above_m + more, 9.0)
    for after in (
        sums(load, longer),
        sums(Load(load.pitch_deg, load.snow_pa + more, *_rest(load)), strip),
    ):
        assert after.clamps_n >= before.clamps_n - 1e-9
        assert after.fixed_clips_n >= before.fixed_clips_n - 1e-9


def _rest(load: Load) -> tuple[float, float, float, float]:
    return load.sheet_pa, load.array_pa, load.gamma_g, load.gamma_q


def test_terms_are_named_once() -> None:
    assert Sums(1, 2, 4, 8, 16, 32).fixed_clips_n == 63
    assert Sums(1, 2, 4, 8, 16, 32).clamps_n == 2 + 4 + 8 + 32
    assert Sums(1, 2, 4, 8, 16, 32).held_back_n == 8 + 32


GOOD = Load(30, 1000, 50, 150, 1.35, 1.5)
SOUND = Strip(0.5, 0.5, 1.0, 2.0, 1.0, 0.0)


@pytest.mark.parametrize(
    ("load", "strip"),
    [
        (Load(91, 1000, 50, 150, 1.35, 1.5), SOUND),
        (Load(30, -1, 50, 150, 1.35, 1.5), SOUND),
        (Load(30, 1000, 50, float("nan"), 1.35, 1.5), SOUND),
        (Load(30, 1000, 50, 150, 13.5, 1.5), SOUND),
        (GOOD, Strip(0.0, 0.5, 1.0, 2.0, 1.0, 0.0)),
        (GOOD, Strip(0.5, 0.4, 1.0, 2.0, 1.0, 0.0)),  # a seam serves one bay at least
        (GOOD, Strip(0.5, 0.5, -0.1, 2.0, 1.0, 0.0)),
    ],
)
def test_what_is_no_roof_is_refused(load: Load, strip: Strip) -> None:
    with pytest.raises(BadInputError):
        sums(load, strip)


def test_other_figures_that_cannot_be_are_refused() -> None:
    for wrong in (0, 1.5, True, -1):
        with pytest.raises(BadInputError):
            worst_line_n(100, wrong, UNEVEN)  # type: ignore[arg-type]
    with pytest.raises(BadInputError):
        fixed_clip_ratio(100, 4, 600, 50)  # uplift, and nothing known against it
    with pytest.raises(BadInputError):
        along_pa(1000, -1)
    with pytest.raises(BadInputError):
        sum_hulls(Load(40, 1000, 0, 0, 1.35, 1.5), GOOD, SOUND, SOUND)
    assert fixed_clip_ratio(100, 4, 0) == math.inf


def test_forces_too_small_for_squares_still_have_a_range() -> None:
    # statics: S far below W turns where W sin does, at 90 degrees; S alone at 45
    assert _turning(2.3e-180, 8.6e-196) == pytest.approx(90.0)
    assert _turning(0.0, 1e-200) == pytest.approx(45.0)
    assert _turning(1.0, 1.0) == pytest.approx(math.degrees(math.acos(0.5)))
