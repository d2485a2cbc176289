"""Beams on supports against a handbook, figures worked out by two other methods, and statics.

HANDBOOK: T. G. Hicks, Civil Engineering Formulas, table 2.1, equal spans under one spread load.
WORKED: invented beams, worked out twice by other means; see the head of the file.
"""

from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.beam import Beam, Point, Solved, Spread, forces_n, hinged, rigid
from selector.engineering.lines import BadInputError

HANDBOOK = {  # spans -> reactions in w l, moments over supports and of spans in w l2
    1: ([0.5, 0.5], [0, 0], [0.125]),
    2: ([3 / 8, 10 / 8, 3 / 8], [0, 1 / 8, 0], [0.0703, 0.0703]),
    3: ([0.4, 1.1, 1.1, 0.4], [0, 0.1, 0.1, 0], [0.08, 0.025, 0.08]),
    4: (
        [0.39286, 1.14286, 0.92857, 1.14286, 0.39286],
        [0, 0.10714, 0.07143, 0.10714, 0],
        [0.0772, 0.0364, 0.0364, 0.0772],
    ),
    5: (
        [0.39474, 1.13158, 0.97368, 0.97368, 1.13158, 0.39474],
        [0, 0.10526, 0.07895, 0.07895, 0.10526, 0],
        [0.0779, 0.0332, 0.0461, 0.0332, 0.0779],
    ),
}
WORKED: list[dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("worked_beams.yaml").read_text("utf-8")
)
CLOSE = {"rel": 1e-6, "abs": 1e-7}


def with_results(*names: str) -> list[Any]:
    """Worked beams whose results have one of these names."""
    found = [w for w in WORKED if set(names) & set(w["results"])]
    assert found, names
    return [pytest.param(w["inputs"], w["results"], id=w["id"]) for w in found]


def beam_of(
    length: float,
    supports: list[float],
    spreads: list[tuple[float, float, float]],
    points: list[tuple[float, float]],
) -> Beam:
    return Beam(
        0.0,
        length,
        tuple(supports),
        tuple(Spread(*s) for s in spreads),
        tuple(Point(*p) for p in points),
    )


def under(supports: list[float], points: list[tuple[float, float]]) -> Beam:
    """A beam that ends at its last supports, or at a load beyond them."""
    places = [*supports, *(x for x, _ in points)]
    loads = tuple(Point(*p) for p in points)
    return Beam(min(places), max(places), tuple(supports), (), loads)


def random_beam(random: Random) -> Beam:
    """Two to eight supports, both overhangs, spread loads in steps and loads at points."""
    supports = [random.uniform(0.0, 0.5)]
    for _ in range(random.randint(1, 7)):
        supports.append(supports[-1] + random.uniform(0.3, 2.0))
    length = supports[-1] + random.uniform(0.0, 0.5)
    spreads = []
    for _ in range(random.randint(0, 3)):
        low, high = sorted((random.uniform(0, length), random.uniform(0, length)))
        spreads.append((low, high, random.uniform(0.1, 3.0)))
    points = [(random.uniform(0, length), random.uniform(0.1, 2.0)) for _ in range(3)]
    return beam_of(length, supports, spreads, points)


BEAMS = st.integers(0, 2**32).map(lambda seed: random_beam(Random(seed)))


@pytest.mark.parametrize("spans", HANDBOOK)
def test_equal_spans_as_the_handbook_has_them(spans: int) -> None:
    reactions, over, within = HANDBOOK[spans]
    supports = [float(i) for i in range(spans + 1)]
    solved = rigid(beam_of(spans, supports, [(0, spans, 1.0)], []))
    assert solved.reactions_n == pytest.approx(reactions, abs=5.1e-6)
    assert [-m for m in solved.moments_nm] == pytest.approx(over, abs=5.1e-6)
    assert solved.span_moments_nm == pytest.approx(within, abs=5.1e-5)


@pytest.mark.parametrize(("inputs", "results"), with_results("share_of_module_rigid"))
def test_a_module_on_its_rails(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    length, load = inputs["module_length_m"], inputs["strip_load_kN_per_m"]
    beam = beam_of(length, inputs["rails_at_m"], [(0, length, load)], [])
    solved = rigid(beam)
    assert solved.reactions_n == pytest.approx(
        results["rail_line_loads_rigid_kN_per_m_width"], **CLOSE
    )
    shares = [r / load / length for r in solved.reactions_n]
    assert shares == pytest.approx(results["share_of_module_rigid"], **CLOSE)
    assert hinged(beam).reactions_n == pytest.approx(results["hinged"], **CLOSE)
    assert forces_n(beam) == pytest.approx(results["counts"], **CLOSE)
    assert solved.moments_nm == pytest.approx(results["support_moments_kNm_per_m"], **CLOSE)


@pytest.mark.parametrize(("inputs", "results"), with_results("reactions_rigid_kN"))
def test_a_rail_on_its_clamps(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    beam = beam_of(
        inputs["rail_length_m"],
        inputs["clamps_at_m"],
        inputs["line_loads_m_m_kN_per_m"],
        inputs["point_loads_m_kN"],
    )
    solved = rigid(beam)
    assert solved.reactions_n == pytest.approx(results["reactions_rigid_kN"], **CLOSE)
    assert hinged(beam).reactions_n == pytest.approx(results["reactions_hinged_kN"], **CLOSE)
    assert forces_n(beam) == pytest.approx(results["clamp_force_counts_kN"], **CLOSE)
    assert solved.moments_nm == pytest.approx(results["support_moments_kNm"], **CLOSE)
    assert solved.span_moments_nm == pytest.approx(results["span_max_moments_kNm"], rel=1e-4)
    assert solved.span_at_m == pytest.approx(results["span_max_at_m"], abs=1e-3)


@pytest.mark.parametrize(("inputs", "results"), with_results("shares"))
def test_shares_of_one_force(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    for share in results["shares"]:
        beam = under(inputs["clips_m"], [(share["clamp_at_m"], 1.0)])
        assert rigid(beam).reactions_n == pytest.approx(share["rigid"], **CLOSE)
        assert hinged(beam).reactions_n == pytest.approx(share["hinged"], **CLOSE)
        assert forces_n(beam) == pytest.approx(share["counts"], **CLOSE)


@pytest.mark.parametrize(("inputs", "results"), with_results("sum_rigid_kN"))
def test_sums_of_forces(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    """All at once for either solve; relief does not count, so the third is added one by one."""
    loads = [(at, force) for at, force in inputs["clamps_m_kN"]]
    beam = under(inputs["clips_m"], loads)
    assert rigid(beam).reactions_n == pytest.approx(results["sum_rigid_kN"], **CLOSE)
    assert hinged(beam).reactions_n == pytest.approx(results["sum_hinged_kN"], **CLOSE)
    single = [forces_n(under(inputs["clips_m"], [load])) for load in loads]
    added = [sum(column) for column in zip(*single, strict=True)]
    assert added == pytest.approx(results["sum_counts_kN"], **CLOSE)


@pytest.mark.parametrize(("inputs", "results"), with_results("clips"))
def test_largest_share_of_each_support(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    places = inputs["clips_m"]
    steps = [places[-1] * n / 3400 for n in range(3401)]
    for number, clip in enumerate(results["clips"]):
        shares = [(rigid(under(places, [(x, 1.0)])).reactions_n[number], x) for x in steps]
        share, at = max(shares)
        assert share == pytest.approx(clip["largest_ordinate"], rel=1e-5)
        assert at == pytest.approx(clip["at_m"], abs=1e-3)


@pytest.mark.parametrize(("inputs", "results"), with_results("window_counts_m"))
def test_a_window_between_two_supports(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    """At its ends the nearer support, the middle one of all, takes just what it may."""
    spacing, force = inputs["clip_spacing_m"], inputs["clamp_force_kN"]
    clips = [n * spacing for n in range(inputs["inner_bay_of_bays"] + 1)]
    low, high = results["window_counts_m"]
    for x in (4 * spacing + low, 3 * spacing + high):
        near = forces_n(under(clips, [(x, force)]))[4]
        assert near == pytest.approx(inputs["spare_per_clip_kN"], rel=1e-5)
    middle = forces_n(under(clips, [(4.5 * spacing, force)]))[4]
    assert middle == pytest.approx(results["force_on_near_clip_at_mid_bay_kN"], rel=1e-5)


@pytest.mark.parametrize(("inputs", "results"), with_results("counts_if_it_goes_on"))
def test_a_beam_that_ends_or_goes_on(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    clips, load = inputs["clips_m"], [(inputs["clamp_m"], 1.0)]
    step, more = clips[1] - clips[0], inputs["continued_clips_each_side"]
    before = [clips[0] - step * n for n in range(more, 0, -1)]
    after = [clips[-1] + step * n for n in range(1, more + 1)]
    goes_on = forces_n(under([*before, *clips, *after], load))[more:-more]
    assert forces_n(under(clips, load)) == pytest.approx(results["counts_if_seam_ends"], **CLOSE)
    assert goes_on == pytest.approx(results["counts_if_it_goes_on"], **CLOSE)


def test_every_worked_beam_is_used() -> None:
    used = {"rail_line_loads_rigid_kN_per_m_width", "reactions_rigid_kN", "shares", "clips"}
    used |= {"sum_rigid_kN", "window_counts_m", "counts_if_it_goes_on", "simple_span_line_kNm"}
    assert [w["id"] for w in WORKED if not used & set(w["results"])] == []


@pytest.mark.parametrize(("inputs", "results"), with_results("simple_span_line_kNm"))
def test_one_module_clamp_at_mid_span_is_twice_the_spread_load(
    inputs: dict[str, Any], results: dict[str, Any]
) -> None:
    """P l / 4 against w l2 / 8 with P = w l; with both overhangs a half the spread load gives 0."""
    length, clamps = inputs["rail_length_m"], inputs["clamps_at_m"]
    spread = (0, length, inputs["line_load_kN_per_m"])
    point = rigid(beam_of(length, clamps, [], [(length / 2, inputs["point_load_mid_kN"])]))
    simple = rigid(beam_of(1.06, [0.0, 1.06], [(0, 1.06, 1.0)], []))
    assert point.span_moments_nm[0] == pytest.approx(results["mid_span_moment_point_kNm"])
    assert simple.span_moments_nm[0] == pytest.approx(results["simple_span_line_kNm"])
    whole = rigid(beam_of(length, clamps, [spread], [])).span_moments_nm[0]
    assert whole == pytest.approx(results["mid_span_moment_line_kNm"], abs=1e-9)


@given(BEAMS)
def test_forces_and_moments_balance(beam: Beam) -> None:
    load = sum(s.n_per_m * (s.x1_m - s.x0_m) for s in beam.spreads)
    load += sum(p.force_n for p in beam.points)
    moment = sum(s.n_per_m * (s.x1_m**2 - s.x0_m**2) / 2 for s in beam.spreads)
    moment += sum(p.force_n * p.x_m for p in beam.points)
    for solved in (rigid(beam), hinged(beam)):
        assert sum(solved.reactions_n) == pytest.approx(load)
        arms = zip(solved.reactions_n, beam.supports_m, strict=True)
        assert sum(r * x for r, x in arms) == pytest.approx(moment)


@given(BEAMS)
def test_a_beam_turned_round_is_the_same_beam(beam: Beam) -> None:
    end = beam.x1_m
    turned = Beam(
        0.0,
        end,
        tuple(end - x for x in reversed(beam.supports_m)),
        tuple(Spread(end - s.x1_m, end - s.x0_m, s.n_per_m) for s in beam.spreads),
        tuple(Point(end - p.x_m, p.force_n) for p in beam.points),
    )
    for solve in (rigid, hinged):
        there, back = solve(beam), solve(turned)
        assert there.reactions_n == pytest.approx(back.reactions_n[::-1], rel=1e-6, abs=1e-8)
        assert there.moments_nm == pytest.approx(back.moments_nm[::-1], rel=1e-6, abs=1e-8)
        assert there.span_moments_nm == pytest.approx(
            back.span_moments_nm[::-1], rel=1e-6, abs=1e-8
        )


@given(BEAMS)
def test_loads_may_be_solved_one_by_one_and_added(beam: Beam) -> None:
    single = [Beam(beam.x0_m, beam.x1_m, beam.supports_m, (s,)) for s in beam.spreads]
    single += [Beam(beam.x0_m, beam.x1_m, beam.supports_m, (), (p,)) for p in beam.points]
    for solve in (rigid, hinged):
        parts = [solve(part) for part in single]
        added = [sum(column) for column in zip(*(p.reactions_n for p in parts), strict=True)]
        assert solve(beam).reactions_n == pytest.approx(added, rel=1e-6, abs=1e-8)


@given(BEAMS, st.integers(0, 6), st.floats(0.0, 1.0), st.floats(0.1, 5.0))
def test_more_load_in_the_spans_beside_it_never_relieves_a_support(
    beam: Beam, number: int, share: float, force: float
) -> None:
    """Elsewhere it may: a load two spans away lifts. So only the two supports beside are asked."""
    number %= len(beam.supports_m) - 1
    low, high = beam.supports_m[number : number + 2]
    more = Point(low + share * (high - low), force)
    loaded = Beam(beam.x0_m, beam.x1_m, beam.supports_m, beam.spreads, (*beam.points, more))
    before, after = forces_n(beam), forces_n(loaded)
    for support in (number, number + 1):
        assert after[support] >= before[support] - 1e-9


@given(BEAMS)
def test_two_supports_are_the_same_rigid_or_hinged(beam: Beam) -> None:
    ends = (beam.supports_m[0], beam.supports_m[-1])
    simple = Beam(beam.x0_m, beam.x1_m, ends, beam.spreads, beam.points)
    assert rigid(simple) == hinged(simple)


@given(BEAMS)
def test_no_force_is_below_zero_nor_below_either_solve(beam: Beam) -> None:
    counts = forces_n(beam)
    for solved in (rigid(beam), hinged(beam)):
        assert all(f >= max(r, 0) for f, r in zip(counts, solved.reactions_n, strict=True))


@given(BEAMS)
def test_span_maxima_are_those_of_a_fine_walk(beam: Beam) -> None:
    solved = rigid(beam)
    for number, (low, high) in enumerate(pairwise(beam.supports_m)):
        walk = [low + (high - low) * i / 400 for i in range(401)]
        highest = max(moment_at(beam, solved, x) for x in walk)
        found = solved.span_moments_nm[number]
        assert highest - 1e-9 <= found <= highest + 0.002 * (1 + abs(highest))
        at = moment_at(beam, solved, solved.span_at_m[number])
        assert at == pytest.approx(found, rel=1e-6, abs=1e-8)


def moment_at(beam: Beam, solved: Solved, x: float) -> float:
    """From all that stands left of a place."""
    moment = sum(
        r * (x - s) for r, s in zip(solved.reactions_n, beam.supports_m, strict=True) if s < x
    )
    for s in beam.spreads:
        end = min(s.x1_m, x)
        if end > s.x0_m:
            moment -= s.n_per_m * (end - s.x0_m) * (x - (s.x0_m + end) / 2)
    return moment - sum(p.force_n * (x - p.x_m) for p in beam.points if p.x_m < x)


def test_a_load_over_a_support_goes_straight_into_it() -> None:
    beam = beam_of(2.0, [0.0, 1.0, 2.0], [], [(0.0, 1.0), (1.0, 2.0), (2.0, 3.0)])
    assert forces_n(beam) == pytest.approx((1.0, 2.0, 3.0))


@pytest.mark.parametrize(
    "beam",
    [
        Beam(0.0, 2.0, (1.0,)),
        Beam(0.0, 2.0, (1.0, 1.0)),
        Beam(0.0, 2.0, (1.5, 1.0)),
        Beam(0.0, 2.0, (0.5, 2.5)),
        Beam(0.0, 2.0, (0.5, 1.5), (Spread(1.0, 2.5, 1.0),)),
        Beam(0.0, 2.0, (0.5, 1.5), (Spread(1.0, 0.5, 1.0),)),
        Beam(0.0, 2.0, (0.5, 1.5), (), (Point(2.5, 1.0),)),
        Beam(0.0, 2.0, (0.5, 1.5), (), (Point(1.0, float("nan")),)),
    ],
)
def test_what_is_no_beam_is_refused(beam: Beam) -> None:
    with pytest.raises(BadInputError):
        rigid(beam)
