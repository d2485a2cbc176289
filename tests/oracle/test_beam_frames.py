"""The beam against a general frame program: PyNiteFEA (D. C. Brinck, MIT), 500 random beams."""

import math
from itertools import pairwise
from random import Random
from typing import Any

import pytest

from selector.engineering.beam import Beam, rigid
from selector.engineering.bent import bent
from tests.engineering.test_beam import random_beam

pynite = pytest.importorskip("Pynite", reason="PyNiteFEA is not installed")
pytestmark = pytest.mark.slow


EI = 70e9 * 1e-6


def framed(beam: Beam) -> Any:
    """The beam as the other program solved it: nodes at ends and supports, a member a bay."""
    model = pynite.FEModel3D()
    model.add_material("any", 70e9, 27e9, 0.3, 0.0)
    model.add_section("any", 1e-3, 1e-6, 1e-6, 1e-6)
    marks = sorted({beam.x0_m, *beam.supports_m, beam.x1_m})
    for number, x in enumerate(marks):
        model.add_node(f"n{number}", x, 0, 0)
        model.def_support(f"n{number}", number == 0, x in beam.supports_m, True, True, False, False)
    bays = list(enumerate(pairwise(marks)))
    for number, (low, high) in bays:
        model.add_member(f"m{number}", f"n{number}", f"n{number + 1}", "any", "any")
        for s in beam.spreads:
            a, b = max(low, s.x0_m), min(high, s.x1_m)
            if a < b:
                load = -s.n_per_m
                model.add_member_dist_load(f"m{number}", "FY", load, load, a - low, b - low)
        for p in beam.points:
            if low <= p.x_m < high:
                model.add_member_pt_load(f"m{number}", "FY", -p.force_n, p.x_m - low)
    model.analyze_linear(check_statics=False)
    return model


def by_frame(beam: Beam) -> tuple[list[float], list[float], list[float]]:
    """Reactions, moments over the supports and the largest moment of each span."""
    model = framed(beam)
    marks = sorted({beam.x0_m, *beam.supports_m, beam.x1_m})
    bays = list(enumerate(pairwise(marks)))
    reactions = [model.nodes[f"n{marks.index(x)}"].RxnFY["Combo 1"] for x in beam.supports_m]
    within, over = [], []
    for number, (low, high) in bays:
        member = model.members[f"m{number}"]
        if low in beam.supports_m:
            over.append(-member.moment("Mz", 0.0))
            if high in beam.supports_m:
                within.append(highest(member, high - low, beam, low))
    if marks[-1] in beam.supports_m:
        over.append(0.0)
    return reactions, over, within


def highest(member: Any, length: float, beam: Beam, low: float) -> float:
    """Largest moment of a member by a walk that stops at each load, refined about its top."""
    at = {length * i / 200 for i in range(201)} | {p.x_m - low for p in beam.points}
    walk = sorted(x for x in at if 0 <= x <= length)
    top = max(walk, key=lambda x: -member.moment("Mz", x))
    step = length / 200
    fine = [min(max(top + step * (i / 100 - 1), 0.0), length) for i in range(201)] + [top]
    return max(-member.moment("Mz", x) for x in fine)


def test_random_beams_agree_with_a_frame_program() -> None:
    random = Random(11)
    for number in range(500):
        beam = random_beam(random)
        reactions, over, within = by_frame(beam)
        solved = rigid(beam)
        scale = max(map(abs, reactions))
        assert solved.reactions_n == pytest.approx(reactions, rel=1e-6, abs=1e-6 * scale), number
        assert solved.moments_nm == pytest.approx(over, rel=1e-6, abs=1e-6 * scale), number
        assert solved.span_moments_nm == pytest.approx(within, rel=1e-4, abs=1e-4 * scale), number
        assert all(math.isfinite(x) for x in solved.span_at_m)


def test_random_beams_bend_as_in_a_frame_program() -> None:
    random = Random(12)
    for number in range(150):
        beam = random_beam(random)
        model = framed(beam)
        marks = sorted({beam.x0_m, *beam.supports_m, beam.x1_m})
        found = bent(beam, rigid(beam), EI)
        ends = [-model.nodes[f"n{n}"].DY["Combo 1"] for n in (0, len(marks) - 1)]
        scale = max(map(abs, (*ends, *found.spans_m)))
        near = {"rel": 1e-6, "abs": 1e-6 * scale}
        assert [found.left_end_m, found.right_end_m] == pytest.approx(ends, **near), number
        for span, (low, high) in enumerate(pairwise(beam.supports_m)):
            member = model.members[f"m{marks.index(low)}"]
            steps = [(high - low) * n / 300 for n in range(301)]
            walk = max(-member.deflection("dy", x) for x in steps)
            assert walk - 1e-6 * scale <= found.spans_m[span] <= walk + 1e-3 * scale, number
