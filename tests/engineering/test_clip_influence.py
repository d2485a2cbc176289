"""The seam over its clips against figures worked out by two other methods, and against statics.

WORKED, SEAMS: invented seams, worked out twice by other means; see the heads of the files.
"""

from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from selector.engineering.clip_influence import (
    beyond,
    goes_on,
    influence,
    shares,
    shares_of_part,
    spare_n,
    suction_pa,
    sums_n,
    tributaries_m,
    windows_m,
)
from selector.engineering.lines import BadInputError

HERE = Path(__file__)
WORKED: dict[str, Any] = {
    w["id"]: w
    for name in ("worked_beams.yaml", "worked_seams.yaml")
    for w in yaml.safe_load(HERE.with_name(name).read_text("utf-8"))
}
CLOSE = {"rel": 1e-6, "abs": 1e-7}
KILO = 1000.0


def worked(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    return WORKED[name]["inputs"], WORKED[name]["results"]


def random_clips(random: Random) -> tuple[float, ...]:
    """Two to ten clips, bays from 0.1 to 0.8 m."""
    places = [random.uniform(0.0, 0.5)]
    for _ in range(random.randint(1, 9)):
        places.append(places[-1] + random.uniform(0.1, 0.8))
    return tuple(places)


CLIPS = st.integers(0, 2**32).map(lambda seed: random_clips(Random(seed)))
PARTS = st.floats(0.0, 1.0)


def at(clips: tuple[float, ...], part: float) -> float:
    """A place from 0.2 m below the first to 0.2 m above the last clip."""
    return clips[0] - 0.2 + part * (clips[-1] - clips[0] + 0.4)


@pytest.mark.parametrize("name", ["M01", "M02", "M03", "M04", "M05"])
def test_shares_of_one_clamp(name: str) -> None:
    inputs, results = worked(name)
    assert [s["clamp_at_m"] for s in results["shares"]] == inputs["clamps_m"]
    for share in results["shares"]:
        found = shares(inputs["clips_m"], share["clamp_at_m"])
        assert found.rigid == pytest.approx(share["rigid"], **CLOSE)
        assert found.hinged == pytest.approx(share["hinged"], **CLOSE)
        assert found.counts == pytest.approx(share["counts"], **CLOSE)


def test_the_lever_alone_is_too_little_in_the_middle_of_a_bay() -> None:
    """Inner bay of eight equal ones, statics: 0.6005 on the near clip, not the lever's 0.500."""
    near = shares([0.5 * n for n in range(9)], 1.75).counts[3]
    assert near == pytest.approx(0.6005, abs=0.002)
    assert near != pytest.approx(0.500, abs=0.002)


def test_only_a_clamp_past_the_last_clip_stands_beyond() -> None:
    clips = WORKED["M03"]["inputs"]["clips_m"]
    assert [beyond(clips, x) for x in (-0.1, -0.05, 0.0, 2.0, 4.0, 4.001)] == [
        True,
        True,
        False,
        False,
        False,
        True,
    ]


def test_the_largest_share_of_each_clip() -> None:
    inputs, results = worked("M06")
    for number, clip in enumerate(results["clips"]):
        share, place = influence(inputs["clips_m"], number).largest()
        assert share == pytest.approx(clip["largest_ordinate"], rel=1e-5)
        assert place == pytest.approx(clip["at_m"], abs=1e-3)


@pytest.mark.parametrize("name", ["M07", "M08"])
def test_where_one_clamp_may_stand_between_two_clips(name: str) -> None:
    """Both ends are those of the middle clip, the only one with alike bays on both sides."""
    inputs, results = worked(name)
    spacing, force = inputs["clip_spacing_m"], inputs["clamp_force_kN"]
    clips = [n * spacing for n in range(inputs["inner_bay_of_bays"] + 1)]
    spares = [inputs["spare_per_clip_kN"]] * len(clips)
    low, high = results["window_counts_m"]
    ((above, _),) = windows_m(clips, 4, force, spares)
    ((_, below),) = windows_m(clips, 3, force, spares)
    assert above - 4 * spacing == pytest.approx(low, rel=1e-5)
    assert below - 3 * spacing == pytest.approx(high, rel=1e-5)
    ((start, end),) = windows_m([0.0, spacing], 0, force, spares[:2])  # two clips are the lever
    assert [start, end] == pytest.approx(results["hinged_window_m"], rel=1e-6)
    middle = shares(clips, 4.5 * spacing).counts[4] * force
    assert middle == pytest.approx(results["force_on_near_clip_at_mid_bay_kN"], rel=1e-5)


def test_a_window_loses_what_setting_out_may_be_off() -> None:
    clips = [n * 0.4 for n in range(9)]
    ((low, high),) = windows_m(clips, 4, 900.0, [600.0] * 9)
    ((less, more),) = windows_m(clips, 4, 900.0, [600.0] * 9, 0.01)
    assert [less - low, high - more] == pytest.approx([0.01, 0.01])
    assert windows_m(clips, 4, 900.0, [600.0] * 9, 0.03) == []
    assert windows_m(clips, 4, 1300.0, [600.0] * 9) == []  # more than twice what a clip can spare
    assert windows_m(clips, 4, 0.0, [0.0] * 9) == [(clips[4], clips[5])]


@given(CLIPS, st.integers(0, 8), st.floats(0.3, 1.5), PARTS)
def test_a_window_holds_just_the_places_that_every_clip_bears(
    clips: tuple[float, ...], bay: int, force: float, part: float
) -> None:
    bay %= len(clips) - 1
    x = clips[bay] + part * (clips[bay + 1] - clips[bay])
    windows = windows_m(clips, bay, force, [0.6] * len(clips))
    worst = max(shares(clips, x).counts) * force
    inside = any(low <= x <= high for low, high in windows)
    if abs(worst - 0.6) > 1e-9:
        assert inside == (worst < 0.6)


def test_a_seam_of_which_only_a_part_is_known() -> None:
    inputs, results = worked("M09")
    clips, place = inputs["clips_m"], inputs["clamp_m"]
    assert len(goes_on(clips, True, True)) == len(clips) + 2 * inputs["continued_clips_each_side"]
    assert shares_of_part(clips, place) == pytest.approx(results["counts"], **CLOSE)
    ends = results["counts_if_seam_ends"]
    assert shares_of_part(clips, place, False, False) == pytest.approx(ends, **CLOSE)


@pytest.mark.parametrize("name", ["M20", "M21"])
def test_sums_over_all_clamps(name: str) -> None:
    inputs, results = worked(name)
    found = sums_n(inputs["clips_m"], [tuple(c) for c in inputs["clamps_m_kN"]])
    assert found == pytest.approx(results["sum_counts_kN"], **CLOSE)


def test_what_the_bare_sheet_takes_of_each_clip() -> None:
    inputs, results = worked("M22")
    clips, width = inputs["clips_m"], inputs["bay_width_m"]
    pull = suction_pa(
        inputs["gamma_Q"],
        inputs["qp_kN_m2"] * KILO,
        inputs["cpe1"],
        inputs["cpi_towards_suction"],
    )
    assert pull / KILO == pytest.approx(results["own_suction_kN_m2"], rel=1e-6)
    lengths = tributaries_m(clips, clips[0], clips[-1])
    own = [pull * width * t / KILO for t in lengths]
    assert own == pytest.approx(results["own_suction_counts_kN"], **CLOSE)
    resistance = inputs["clip_design_resistance_kN"] * KILO
    spare = [spare_n(resistance, pull, width, t) / KILO for t in lengths]
    assert spare == pytest.approx(results["spare_kN"], **CLOSE)


def test_one_clamp_at_the_end_of_the_load_path() -> None:
    """The sheet starts at the eave, 0.3 m below its first clip."""
    inputs, results = worked("M50")
    clips, width = inputs["clips_m"], inputs["bay_width_m"]
    clamp = [(inputs["clamp_on_seam_at_m"], results["largest_clamp_kN"])]
    demand = sums_n(clips, clamp)
    assert demand == pytest.approx(results["clip_forces_from_array_kN"], **CLOSE)
    pull = suction_pa(inputs["gamma_Q"], inputs["qp_kN_m2"], inputs["cpe1"], inputs["cpi"])
    lengths = tributaries_m(clips, 0.0, clips[-1])
    own = [pull * width * t for t in lengths]
    assert own == pytest.approx(results["clip_own_suction_kN"], **CLOSE)
    spare = [spare_n(inputs["clip_Rd_kN"], pull, width, t) for t in lengths]
    assert spare == pytest.approx(results["clip_spare_kN"], **CLOSE)
    ratios = [d / s for d, s in zip(demand, spare, strict=True)]
    assert ratios == pytest.approx(results["clip_ratio"], **CLOSE)
    assert max(range(len(ratios)), key=ratios.__getitem__) == results["worst_clip_index"]


@given(CLIPS, PARTS)
def test_the_line_of_a_clip_says_what_the_beam_says(clips: tuple[float, ...], part: float) -> None:
    x = at(clips, part)
    found = shares(clips, x)
    lines = [influence(clips, n) for n in range(len(clips))]
    assert [line.rigid(x) for line in lines] == pytest.approx(found.rigid, abs=1e-9)
    assert [line.hinged(x) for line in lines] == pytest.approx(found.hinged, abs=1e-9)


@given(CLIPS, st.integers(0, 9), PARTS)
def test_a_line_is_the_natural_spline_through_its_lifted_clip(
    clips: tuple[float, ...], clip: int, part: float
) -> None:
    """Against a general library: cubic between the clips, no bending at the ends."""
    clip %= len(clips)
    lift = [float(n == clip) for n in range(len(clips))]
    spline = CubicSpline(clips, lift, bc_type="natural")
    x = clips[0] + part * (clips[-1] - clips[0])
    line = influence(clips, clip)
    assert line.rigid(x) == pytest.approx(float(spline(x)), abs=1e-9)
    assert line.slope == pytest.approx(float(spline(clips[clip], 1)), abs=1e-6)


@given(CLIPS, st.integers(0, 9))
def test_no_share_passes_the_largest_one(clips: tuple[float, ...], clip: int) -> None:
    line = influence(clips, clip % len(clips))
    most, place = line.largest()
    walk = [clips[0] + (clips[-1] - clips[0]) * n / 500 for n in range(501)]
    assert max(line.counts(x) for x in walk) <= most + 1e-12
    assert line.counts(place) == most


@given(CLIPS, PARTS)
def test_a_seam_turned_round_is_the_same_seam(clips: tuple[float, ...], part: float) -> None:
    x = at(clips, part)
    turned = tuple(-y for y in reversed(clips))
    assert shares(turned, -x).counts[::-1] == pytest.approx(shares(clips, x).counts, abs=1e-9)


@given(CLIPS, PARTS)
def test_shares_sum_up_to_the_whole_clamp_or_more(clips: tuple[float, ...], part: float) -> None:
    x = at(clips, part)
    found = shares(clips, x)
    assert sum(found.rigid) == pytest.approx(1.0)
    assert sum(found.hinged) == pytest.approx(1.0)
    assert sum(found.counts) >= 1 - 1e-9


@given(CLIPS, st.lists(st.tuples(PARTS, st.floats(0, 900)), min_size=1, max_size=5), PARTS)
def test_a_clamp_more_never_relieves_a_clip(
    clips: tuple[float, ...], clamps: list[tuple[float, float]], part: float
) -> None:
    placed = [(at(clips, where), force) for where, force in clamps]
    before = sums_n(clips, placed)
    after = sums_n(clips, [*placed, (at(clips, part), 300.0)])
    assert all(b >= a for a, b in zip(before, after, strict=True))


@given(CLIPS, st.lists(st.tuples(PARTS, st.floats(0, 900)), min_size=1, max_size=5))
def test_sums_grow_with_the_forces_in_proportion(
    clips: tuple[float, ...], clamps: list[tuple[float, float]]
) -> None:
    placed = [(at(clips, where), force) for where, force in clamps]
    whole = sums_n(clips, [(x, 2 * force) for x, force in placed])
    parts = [sums_n(clips, [clamp]) for clamp in placed]
    added = [2 * sum(column) for column in zip(*parts, strict=True)]
    assert whole == pytest.approx(added, abs=1e-6)


@given(CLIPS)
def test_no_part_of_the_sheet_hangs_on_nothing(clips: tuple[float, ...]) -> None:
    lengths = tributaries_m(clips, clips[0], clips[-1])
    halves = [0.0, *(b - a for a, b in pairwise(clips)), 0.0]
    for length, (a, b) in zip(lengths, pairwise(halves), strict=True):
        assert length >= (a + b) / 2 - 1e-9


@pytest.mark.parametrize(
    ("clips", "place"),
    [
        ((0.3,), 0.3),
        ((0.3, 0.3), 0.3),
        ((0.6, 0.3), 0.4),
        ((0.3, float("nan")), 0.4),
        ((0.3, 0.6), float("inf")),
    ],
)
def test_what_is_no_seam_is_refused(clips: tuple[float, ...], place: float) -> None:
    with pytest.raises(BadInputError):
        shares(clips, place)


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(BadInputError):
        suction_pa(1.5, 700.0, 0.3, 0.2)  # pressure, no suction
    with pytest.raises(BadInputError):
        sums_n((0.0, 0.5), [(0.2, -1.0)])
    with pytest.raises(BadInputError):
        spare_n(-1.0, 900.0, 0.5, 0.4)
    with pytest.raises(BadInputError):
        windows_m((0.0, 0.5), 1, 400.0, [300.0, 300.0])
    with pytest.raises(BadInputError):
        influence((0.5,), 0)
