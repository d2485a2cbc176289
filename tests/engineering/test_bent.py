"""How far beams bend, against a handbook, figures worked out by two other methods, and statics.

HANDBOOK: T. G. Hicks, Civil Engineering Formulas, table 2.1, equal spans under one spread load.
CANTILEVER: any handbook of beams: P l3 / 3 EI and w l4 / 8 EI at the free end of a built-in bar.
"""

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.beam import Beam, Point, Spread, hinged, rigid
from selector.engineering.bent import bent, shear
from selector.engineering.lines import BadInputError
from tests.engineering.test_beam import BEAMS, beam_of, moment_at, with_results

HANDBOOK = {1: 0.013021, 2: 0.005416, 3: 0.006884, 4: 0.006460, 5: 0.006572}  # in w l4 / EI


@pytest.mark.parametrize("spans", HANDBOOK)
def test_equal_spans_as_the_handbook_has_them(spans: int) -> None:
    beam = beam_of(spans, [float(i) for i in range(spans + 1)], [(0, spans, 1.0)], [])
    assert bent(beam, rigid(beam), 1.0).largest[0] == pytest.approx(HANDBOOK[spans], abs=1.1e-6)


@pytest.mark.parametrize(("inputs", "results"), with_results("max_deflection_with_load_mm"))
def test_a_rail_on_its_clamps(inputs: dict[str, Any], results: dict[str, Any]) -> None:
    """kN over kNm2 gives m, as N over Nm2 does."""
    beam = beam_of(
        inputs["rail_length_m"],
        inputs["clamps_at_m"],
        inputs["line_loads_m_m_kN_per_m"],
        inputs["point_loads_m_kN"],
    )
    most, at = bent(beam, rigid(beam), inputs["EI_kNm2"]).largest
    assert most * 1000 == pytest.approx(results["max_deflection_with_load_mm"], rel=1e-4)
    assert at == pytest.approx(results["max_deflection_at_m"], abs=1e-3)


def test_four_worked_rails_have_a_deflection() -> None:
    assert len(with_results("max_deflection_with_load_mm")) == 4


@pytest.mark.parametrize("solve", [rigid, hinged])
def test_an_end_with_its_support_held_level(solve: Any) -> None:
    """Alike on both sides of a span that is loaded so that it stays level over its supports.

    The ends alone turn the supports by M L / 2 EI, which comes to the built-in bar.
    """
    length, arm, ei = 2.0, 0.5, 3.0
    ends = (Point(0.0, 1.0), Point(length + 2 * arm, 1.0))
    beam = Beam(0.0, length + 2 * arm, (arm, arm + length), (), ends)
    wanted = (arm**3 / 3 + arm * length / 2 * arm) / ei
    found = bent(beam, solve(beam), ei)
    assert (found.left_end_m, found.right_end_m) == pytest.approx((wanted, wanted))
    assert found.spans_m == (0.0,)  # it rises against the load


def test_an_end_under_a_spread_load() -> None:
    length, arm, ei = 1.0, 0.25, 2.0
    beam = Beam(0.0, length + arm, (0.0, length), (Spread(length, length + arm, 1.0),))
    turned = arm**2 / 2 * length / 3  # M L / 3 EI at the end of the span where M acts
    wanted = (arm**4 / 8 + turned * arm) / ei
    assert bent(beam, rigid(beam), ei).right_end_m == pytest.approx(wanted)


@given(BEAMS)
def test_a_beam_turned_round_bends_alike(beam: Beam) -> None:
    end = beam.x1_m
    turned = Beam(
        0.0,
        end,
        tuple(end - x for x in reversed(beam.supports_m)),
        tuple(Spread(end - s.x1_m, end - s.x0_m, s.n_per_m) for s in beam.spreads),
        tuple(Point(end - p.x_m, p.force_n) for p in beam.points),
    )
    there, back = bent(beam, rigid(beam), 5.0), bent(turned, rigid(turned), 5.0)
    near = {"rel": 1e-5, "abs": 1e-7}
    assert there.spans_m == pytest.approx(back.spans_m[::-1], **near)
    assert there.left_end_m == pytest.approx(back.right_end_m, **near)
    assert there.right_end_m == pytest.approx(back.left_end_m, **near)
    sides, other = shear(beam, rigid(beam)), shear(turned, rigid(turned))
    assert sides.left_n == pytest.approx(other.right_n[::-1], **near)


@given(BEAMS)
def test_deflections_are_those_of_forces_by_virtual_work(beam: Beam) -> None:
    """Both ends by the work of the moments with those of one newton there, summed in steps."""
    found = bent(beam, rigid(beam), 1.0)
    for at, end in ((beam.x0_m, found.left_end_m), (beam.x1_m, found.right_end_m)):
        assert end == pytest.approx(work(beam, at), rel=0.01, abs=2e-3)


@given(BEAMS)
def test_the_largest_of_a_span_is_one_of_its_places(beam: Beam) -> None:
    found, solved = bent(beam, rigid(beam), 1.0), rigid(beam)
    for number, (low, high) in enumerate(pairwise(beam.supports_m)):
        at = found.at_m[number]
        assert low <= at <= high
        if not low < at < high:
            continue
        there = work(beam, at)
        assert found.spans_m[number] == pytest.approx(there, rel=0.02, abs=2e-3)
    assert len(found.spans_m) == len(solved.span_moments_nm)


def work(beam: Beam, at: float) -> float:
    """Deflection at a place for EI of one: the integral of M times m, by the middle rule."""
    one = replace(beam, spreads=(), points=(Point(at, 1.0),))
    real, virtual = rigid(beam), rigid(one)
    steps, total = 3000, 0.0
    width = (beam.x1_m - beam.x0_m) / steps
    for n in range(steps):
        x = beam.x0_m + (n + 0.5) * width
        total += moment_at(beam, real, x) * moment_at(one, virtual, x) * width
    return total


@given(BEAMS, st.floats(0.2, 40.0), st.floats(0.2, 40.0))
def test_twice_the_load_bends_twice_and_twice_the_stiffness_half(
    beam: Beam, load: float, ei: float
) -> None:
    more = replace(
        beam,
        spreads=tuple(replace(s, n_per_m=s.n_per_m * load) for s in beam.spreads),
        points=tuple(replace(p, force_n=p.force_n * load) for p in beam.points),
    )
    one, other = bent(beam, rigid(beam), 1.0), bent(more, rigid(more), ei)
    assert other.spans_m == pytest.approx([v * load / ei for v in one.spans_m], abs=1e-9)
    assert other.left_end_m == pytest.approx(one.left_end_m * load / ei, abs=1e-9)


@given(BEAMS)
def test_shear_on_both_sides_makes_the_reaction(beam: Beam) -> None:
    """Loads are never over a support here, and none of these beams lifts."""
    sides, solved = shear(beam, rigid(beam)), rigid(beam)
    for left, right, reaction in zip(sides.left_n, sides.right_n, solved.reactions_n, strict=True):
        sums = [left + right, left - right, right - left, -left - right]
        assert min(abs(s - reaction) for s in sums) < 1e-8
    walk = [beam.x0_m + (beam.x1_m - beam.x0_m) * n / 500 for n in range(501)]
    steps = [(a, b) for a, b in pairwise(walk)]
    steepest = max(
        abs(moment_at(beam, solved, b) - moment_at(beam, solved, a)) / (b - a) for a, b in steps
    )
    assert steepest <= sides.largest_n + 1e-6


def test_a_load_over_a_support_is_no_shear() -> None:
    beam = beam_of(2.0, [0.0, 1.0, 2.0], [], [(0.0, 1.0), (1.0, 2.0), (2.0, 3.0)])
    assert shear(beam, rigid(beam)).largest_n == pytest.approx(0.0)


def test_shear_of_a_single_span() -> None:
    """Handbook: w l / 2 for the spread load, P b / l and P a / l for the other."""
    beam = beam_of(2.0, [0.0, 2.0], [(0.0, 2.0, 3.0)], [(0.5, 4.0)])
    sides = shear(beam, rigid(beam))
    assert sides.right_n == pytest.approx((3.0 + 3.0, 0.0))
    assert sides.left_n == pytest.approx((0.0, 3.0 + 1.0))


@pytest.mark.parametrize("ei", [0.0, -1.0, float("nan"), float("inf")])
def test_a_stiffness_that_is_none_is_refused(ei: float) -> None:
    beam = beam_of(1.0, [0.0, 1.0], [], [])
    with pytest.raises(BadInputError):
        bent(beam, rigid(beam), ei)
