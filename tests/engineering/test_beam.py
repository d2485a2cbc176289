"""Beams on supports against a handbook, figures worked out by two other methods, and statics.

HANDBOOK: T. G. Hicks, Civil Engineering Formulas, table 2.1, equal spans under one spread load.
WORKED: invented beams, each worked out once by singularity functions and once by matrix finite
elements in cubic Hermite polynomials; both agreed to 1e-5 or better.
"""

from itertools import pairwise
from random import Random
from typing import Any

import pytest
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
WORKED: dict[str, dict[str, Any]] = {  # m, kN and kNm
    "two rails": {
        "beam": (1.72, [0.258, 1.29], [(0, 1.72, 1.2)], []),
        "rigid": [0.86, 1.204],
        "hinged": [0.86, 1.204],
        "counts": [0.86, 1.204],
        "over": [-0.0399384, -0.11094],
    },
    "three rails, no overhang": {
        "beam": (1.72, [0.0, 0.86, 1.72], [(0, 1.72, 1.0)], []),
        "rigid": [0.3225, 1.075, 0.3225],
        "hinged": [0.43, 0.86, 0.43],
        "counts": [0.43, 1.075, 0.43],
        "over": [0.0, -0.09245, 0.0],
    },
    "three rails, even": {
        "beam": (1.72, [0.172, 0.86, 1.548], [(0, 1.72, 1.35)], []),
        "rigid": [0.6240375, 1.073925, 0.6240375],
        "hinged": [0.725625, 0.87075, 0.725625],
        "counts": [0.725625, 1.073925, 0.725625],
        "over": [-0.0199692, -0.0698922, -0.0199692],
    },
    "three rails, uneven": {
        "beam": (2.1, [0.2, 0.75, 1.7], [(0, 2.1, 1.1)], []),
        "rigid": [0.449875, 0.87019737, 0.98992763],
        "hinged": [0.5625, 0.69236842, 1.0551316],
        "counts": [0.5625, 0.87019737, 1.0551316],
        "over": [-0.022, -0.06194375, -0.088],
    },
    "six clamps": {
        "beam": (4.58, [0.25, 0.78, 1.84, 2.9, 3.96, 4.49], [(0, 4.58, 1.25)], []),
        "rigid": [0.55936026, 1.0400943, 1.3650501, 1.3530218, 1.1242925, 0.28318101],
        "hinged": [0.71745283, 0.92004717, 1.325, 1.325, 0.98419811, 0.45330189],
        "counts": [0.71745283, 1.0400943, 1.3650501, 1.3530218, 1.1242925, 0.45330189],
        "over": [-0.0390625, -0.083789063, -0.12411719, -0.12199219, -0.090164062, -0.0050625],
        "spans": [-0.014686505, 0.072188356, 0.05250942, 0.069845012, 0.0065903034],
        "at": [0.44748821, 1.2795637, 2.3716038, 3.4540212, 4.3534553],
    },
    "four clamps": {
        "beam": (3.6, [0.3, 1.36, 2.42, 3.3], [(0, 3.6, 0.9)], []),
        "rigid": [0.69262973, 1.0324669, 0.88536931, 0.62953404],
        "hinged": [0.78520755, 0.91579245, 0.82697727, 0.71202273],
        "counts": [0.78520755, 1.0324669, 0.88536931, 0.71202273],
        "over": [-0.0405, -0.09813249, -0.072590041, -0.0405],
        "spans": [0.058731048, 0.041366317, 0.031313738],
        "at": [0.7695886, 1.9167741, 2.9005177],
    },
    "two wind zones": {
        "beam": (4.0, [0.2, 1.26, 2.32, 3.38], [(0, 1.5, 1.8), (1.5, 4.0, 0.9)], []),
        "rigid": [1.1784722, 1.8855283, 0.7298477, 1.1561519],
        "hinged": [1.3479623, 1.5885849, 0.81526415, 1.1981887],
        "counts": [1.3479623, 1.8855283, 0.81526415, 1.1981887],
        "over": [-0.036, -0.1796595, -0.044559031, -0.17298],
        "spans": [0.15008242, 0.033149675, 0.025789803],
        "at": [0.65470676, 1.9044449, 2.7153868],
    },
    "module clamps": {
        "beam": (
            3.46,
            [0.18, 1.24, 2.3, 3.36],
            [],
            [(0.02, 0.62), (1.15, 1.24), (2.3, 1.24), (3.44, 0.62)],
        ),
        "rigid": [0.79150236, 1.1144027, 1.128763, 0.68533196],
        "hinged": [0.81886792, 1.0411321, 1.1932075, 0.66679245],
        "counts": [0.81886792, 1.1144027, 1.1932075, 0.68533196],
        "over": [-0.0992, -0.029007495, 0.019651874, -0.0496],
        "spans": [0.067157291, 0.019651874, 0.019651874],
        "at": [1.15, 2.3, 2.3],
    },
}
SHARES = [  # clips, place of a clamp, what counts on each clip of a unit force
    ([0.5 * i for i in range(9)], 2.05, {0: 0.00074475331, 1: 0.0, 4: 0.97923711, 5: 0.1}),
    ([0.5 * i for i in range(9)], 2.25, {4: 0.60051546, 5: 0.60030836, 7: 0.031687224}),
    ([0.5 * i for i in range(9)], 0.35, {0: 0.3, 1: 0.91694716, 2: 0.0, 3: 0.041207474}),
    ([0.5 * i for i in range(9)], -0.1, {0: 1.2535898, 1: 0.0, 2: 0.086156112}),
    ([0.31, 0.76, 1.21, 1.655, 2.11], 1.9, {1: 0.039532855, 3: 0.68691507, 4: 0.53846154}),
    ([0.0, 0.6], 0.15, {0: 0.75, 1: 0.25}),
    ([0.35, 0.8, 1.25], 0.98, {0: 0.0, 1: 0.792, 2: 0.4}),
    ([0.0, 0.7, 1.0, 1.7], 0.53589129, {1: 1.1834729}),  # more than the whole force
]


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


@pytest.mark.parametrize("name", WORKED)
def test_worked_beams(name: str) -> None:
    worked = WORKED[name]
    beam = beam_of(*worked["beam"])
    solved = rigid(beam)
    close = {"rel": 1e-6, "abs": 1e-7}
    assert solved.reactions_n == pytest.approx(worked["rigid"], **close)
    assert hinged(beam).reactions_n == pytest.approx(worked["hinged"], **close)
    assert forces_n(beam) == pytest.approx(worked["counts"], **close)
    assert solved.moments_nm == pytest.approx(worked["over"], **close)
    if "spans" in worked:
        assert solved.span_moments_nm == pytest.approx(worked["spans"], rel=1e-4)
        assert solved.span_at_m == pytest.approx(worked["at"], abs=1e-3)


@pytest.mark.parametrize(("clips", "at", "expected"), SHARES)
def test_shares_of_one_force(clips: list[float], at: float, expected: dict[int, float]) -> None:
    ends = min(at, clips[0]), max(at, clips[-1])
    counts = forces_n(Beam(*ends, tuple(clips), (), (Point(at, 1.0),)))
    assert {n: counts[n] for n in expected} == pytest.approx(expected, rel=1e-6, abs=1e-7)


def test_one_module_clamp_at_mid_span_is_twice_the_spread_load() -> None:
    """P l / 4 against w l2 / 8 with P = w l: any statics book."""
    simple = (1.06, [0.0, 1.06])
    point = rigid(beam_of(*simple, [], [(0.53, 1.06)]))
    spread = rigid(beam_of(*simple, [(0, 1.06, 1.0)], []))
    assert point.span_moments_nm[0] == pytest.approx(0.2809)
    assert spread.span_moments_nm[0] == pytest.approx(0.14045)


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
