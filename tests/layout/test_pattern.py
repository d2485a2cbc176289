"""Clamps along one rail piece, against all subsets, the beam and sums made by hand."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.layout.model import Seam
from selector.layout.pattern import fixed_pattern, least_held, least_pattern, true_least
from selector.layout.stretch import Fault, Limits, Stretch, Strip
from tests.layout.rails import MM, random_stretch, real_forces


def even(count: int = 7, load: float = 1_000.0, **limits: float) -> Stretch:
    """Seams 0.5 m apart, the first and the last 0.2 m from the ends of the rail."""
    given = {"span": 1_600 * MM, "cantilever": 300 * MM, "capacity_n": 2_000.0, "factor": 1.25}
    length = (400 + 500 * (count - 1)) * MM
    seams = tuple(Seam(f"s{i}", (200 + 500 * i) * MM, 0) for i in range(count))
    return Stretch(0, length, seams, (Strip(0, length, load, "H"),), Limits(**(given | limits)))  # type: ignore[arg-type]


def lever_forces(stretch: Stretch, chosen: tuple[int, ...]) -> list[float]:
    """Local forces from the definition: each strip, cut at the clamps, shared out by the lever."""
    x = [stretch.seams[i].x for i in chosen]
    taken = [Fraction(0)] * len(x)
    for strip in stretch.strips:
        marks = sorted({strip.x0, strip.x1, *(p for p in x if strip.x0 < p < strip.x1)})
        for low, high in pairwise(marks):
            force, middle = Fraction(strip.n_per_m) * (high - low), Fraction(low + high, 2)
            span = max(0, min(len(x) - 2, sum(p <= middle for p in x) - 1))
            right = (middle - x[span]) / (x[span + 1] - x[span])
            taken[span] += force * (1 - right)
            taken[span + 1] += force * right
    inner = Fraction(stretch.limits.factor)
    shares = [max(Fraction(0), f * inner if 0 < n < len(x) - 1 else f) for n, f in enumerate(taken)]
    return [float(share / 1_000_000) for share in shares]


def all_patterns(stretch: Stretch) -> list[tuple[int, float, int, int]]:
    """Count, worst ratio, unevenness and sum of places of every subset inside the limits."""
    found, limits = [], stretch.limits
    for count in range(2, len(stretch.seams) + 1):
        for chosen in combinations(range(len(stretch.seams)), count):
            at = [stretch.seams[i] for i in chosen]
            left, right = at[0].x + at[0].off - stretch.x0, stretch.x1 - at[-1].x + at[-1].off
            spans = [b.x + b.off - a.x + a.off for a, b in pairwise(at)]
            if max(left, right) > limits.cantilever or max(spans) > limits.span:
                continue
            worst = max(lever_forces(stretch, chosen)) / limits.capacity_n
            uneven = sum((b.x - a.x) ** 2 for a, b in pairwise(at))
            uneven += 4 * left**2 + 4 * right**2
            found.append((count, worst, uneven, sum(seam.x for seam in at)))
    return found


def check_against_all(stretch: Stretch) -> str:
    """Whether it holds, fails or is misplaced, after comparing with all subsets."""
    found, tried = least_pattern(stretch), all_patterns(stretch)
    if not tried:
        assert {fault.kind for fault in found.faults} & {"span", "cantilever", "clamps"}
        assert len(found.clamps) == len(stretch.seams)
        return "misplaced"
    assert found.worst is not None
    good = [pattern for pattern in tried if pattern[1] <= 1 + 1e-9]
    if not good:
        least = min(worst for _, worst, *_ in tried)
        assert found.worst.ratio == pytest.approx(least, rel=1e-6)
        assert {fault.kind for fault in found.faults} == {"force"}
        return "fails"
    assert found.holds
    count = min(pattern[0] for pattern in good)
    least = min(worst for n, worst, *_ in good if n == count)
    assert len(found.clamps) == count
    assert found.worst.ratio == pytest.approx(least, rel=1e-6)
    ties = [p for p in good if p[0] == count and p[1] <= least * (1 + 1e-7)]
    assert sum(clamp.x for clamp in found.clamps) == min(ties, key=lambda p: p[2:])[3]
    return "holds"


def test_nothing_beats_it_among_all_subsets() -> None:
    random = Random(20)
    seen = Counter(
        check_against_all(random_stretch(random, (3, 8), random.choice([1.0, 1.1, 1.25, 1.4]), off))
        for off in (0, 3)
        for _ in range(250)
    )
    assert min(seen["holds"], seen["fails"]) > 100, seen


@given(st.integers(0, 2**32), st.integers(0, 8))
@settings(max_examples=60)
def test_nothing_beats_it_wherever_it_is_tried(seed: int, off: int) -> None:
    check_against_all(random_stretch(Random(seed), (2, 8), 1.25, off))


def test_real_forces_hold_with_hardly_more_than_the_true_least() -> None:
    """Against all subsets judged by the beam: no more in nine of ten, never two more."""
    random, more = Random(7), Counter[int]()
    while more.total() < 150:
        stretch = random_stretch(random)
        forces = real_forces(stretch)
        least, found = true_least(stretch, forces), least_held(stretch, forces)
        assert found.holds == bool(least)
        if not least:
            continue
        assert found.at_least <= len(least), "a bound that is none"
        worst = max(forces(tuple(clamp.x for clamp in found.clamps)))
        assert worst <= stretch.limits.capacity_n * (1 + 1e-9)
        more[len(found.clamps) - len(least)] += 1
    assert min(more) == 0 and max(more) <= 1
    assert more[0] >= 0.9 * more.total(), more


def test_local_forces_by_hand() -> None:
    """1 kN/m on 1.4 m with clamps 0.2, 0.7 and 1.2 m from its left end, each end 0.2 m past one.

    Ends: 0.7 * 0.35 / 0.5 = 0.49 kN. Middle: 1.4 - 2 * 0.49 = 0.42 kN, times 1.25.
    """
    found = fixed_pattern(even(3), "every seam")
    assert [clamp.force_n for clamp in found.clamps] == pytest.approx([490, 525, 490])
    assert [clamp.zone for clamp in found.clamps] == ["H"] * 3


def test_the_factor_is_that_of_two_equal_spans() -> None:
    """5/4 of the tributary load over the middle of two equal spans: Hicks, table 2.1."""
    stretch = Stretch(
        0,
        2_000 * MM,
        tuple(Seam(f"s{i}", i * 1_000 * MM, 0) for i in range(3)),
        (Strip(0, 2_000 * MM, 800.0),),
        Limits(1_000 * MM, 0, 1_000.0, 1.25),
    )
    found = fixed_pattern(stretch, "every seam")
    assert found.clamps[1].force_n == pytest.approx(1.25 * 800)
    assert found.clamps[1].force_n == pytest.approx(real_forces(stretch)((0, 10**6, 2 * 10**6))[1])


def test_two_clamps_where_two_will_do() -> None:
    found = least_pattern(even(4))  # 1.9 m, clamps at 0.2 and 1.7 m: half of 1.9 kN each
    assert [clamp.seam for clamp in found.clamps] == ["s0", "s3"]
    assert [clamp.force_n for clamp in found.clamps] == pytest.approx([950, 950])


def test_less_capacity_takes_more_clamps() -> None:
    counts = [len(least_pattern(even(10, capacity_n=c)).clamps) for c in (2_000, 1_300, 900, 700)]
    assert counts == sorted(counts) and counts[0] < counts[-1]


def test_the_placing_is_even_and_else_leftmost() -> None:
    """Five spans of 0.5 m in pieces of at most 1 m: two of 1 m and one, the short one inside."""
    found = least_pattern(even(6, span=1_000 * MM, capacity_n=5_000.0, factor=1.0, load=1.0))
    assert [clamp.seam for clamp in found.clamps] == ["s0", "s2", "s3", "s5"]


def test_seams_that_may_lie_elsewhere_make_spans_longer() -> None:
    limits = {"span": 500 * MM, "cantilever": 200 * MM}
    exact = even(5, **limits)
    vague = replace(exact, seams=tuple(replace(s, off=2 * MM) for s in exact.seams))
    assert least_pattern(exact).holds
    faults = least_pattern(vague).faults
    assert Fault("span", ("s1", "s2"), 504 * MM, 500 * MM) in faults
    assert Fault("cantilever", ("s0",), 202 * MM, 200 * MM) in faults


def test_seams_whose_error_adds_up_only_fail_where_they_may_be_too_far() -> None:
    """Known to 20 mm more with each seam, as counted ones are, until they overlap."""
    exact = even(25, span=1_000 * MM)
    counted = tuple(replace(s, off=20 * MM * n) for n, s in enumerate(exact.seams))
    found = least_pattern(replace(exact, seams=counted, x1=exact.x1 + 1_000 * MM))
    spans = [f for f in found.faults if f.kind == "span"]
    assert spans and all(f.found > f.allowed for f in spans)
    assert Fault("cantilever", ("s24",), 1_680 * MM, 300 * MM) in found.faults


def test_a_seam_left_out_carries_nothing() -> None:
    stretch = replace(even(7), left_out=frozenset({"s3"}))
    found = least_pattern(stretch)
    assert found.holds and "s3" not in {clamp.seam for clamp in found.clamps}
    every = fixed_pattern(stretch, "every seam")
    assert [clamp.seam for clamp in every.clamps] == ["s0", "s1", "s2", "s4", "s5", "s6"]
    by_hand = fixed_pattern(stretch, "by hand", ["s0", "s3", "s6", "s9"])
    assert [f.kind for f in by_hand.faults if f.seams in {("s3",), ("s9",)}] == [
        "left out",
        "not here",
    ]


def test_what_fails_is_told_with_the_least_bad_pattern() -> None:
    """Every seam of the even rail: 0.49 kN on each end, 1.25 * 0.46 and 0.5 inside."""
    found = least_pattern(even(7, capacity_n=400.0))
    assert not found.holds
    assert found.worst is not None
    assert found.worst.ratio == pytest.approx(0.625 / 0.4)
    worst = max((f for f in found.faults if f.kind == "force"), key=lambda fault: fault.found)
    assert (worst.zone, worst.allowed) == ("H", 400.0)


def test_a_gap_between_seams_is_named_by_both() -> None:
    far = tuple(replace(s, x=s.x + (2_000 * MM if s.id > "s2" else 0)) for s in even(7).seams)
    stretch = replace(even(7), seams=far, x1=even(7).x1 + 2_000 * MM)
    found = least_pattern(stretch)
    assert Fault("span", ("s2", "s3"), 2_500 * MM, 1_600 * MM) in found.faults
    assert len(found.clamps) == 7


@pytest.mark.parametrize("count", [0, 1])
def test_a_piece_on_less_than_two_seams_never_holds(count: int) -> None:
    stretch = replace(even(7), seams=even(7).seams[:count])
    found = least_pattern(stretch)
    assert Fault("clamps", ("s0",)[:count], count, 2) in found.faults
    assert len(found.clamps) == count
    held = least_held(stretch, real_forces(stretch))
    assert not held.holds and held.at_least == 2


def test_a_piece_on_one_clamp_by_hand_is_a_seesaw() -> None:
    found = fixed_pattern(even(4), "by hand", ["s1"])
    assert [fault.kind for fault in found.faults] == ["clamps", "cantilever", "cantilever"]
    assert found.clamps[0].force_n == pytest.approx(1_900)


def test_every_second_seam_takes_the_half_that_holds() -> None:
    found = fixed_pattern(even(7), "every second seam")
    assert [clamp.seam for clamp in found.clamps] == ["s0", "s2", "s4", "s6"]
    ends = replace(
        even(7), left_out=frozenset({"s0", "s6"}), limits=even(7, cantilever=700 * MM).limits
    )
    other = fixed_pattern(ends, "every second seam")
    assert [clamp.seam for clamp in other.clamps] == ["s1", "s3", "s5"]


def test_a_pattern_may_be_judged_with_real_forces() -> None:
    stretch = even(7)
    forces = real_forces(stretch)
    found = fixed_pattern(stretch, "every seam", forces=forces)
    places = tuple(seam.x for seam in stretch.seams)
    assert tuple(clamp.force_n for clamp in found.clamps) == forces(places)
    assert fixed_pattern(stretch, "least", forces=forces) == least_held(stretch, forces)
    assert fixed_pattern(stretch, "least") == least_pattern(stretch)


def test_relief_counts_for_nothing() -> None:
    stretch = even(4)
    relieved = replace(stretch, strips=(*stretch.strips, Strip(0, stretch.x1, -500.0, "pressed")))
    assert [c.force_n for c in least_pattern(relieved).clamps] == [
        c.force_n for c in least_pattern(stretch).clamps
    ]


def test_the_same_piece_gives_the_same_pattern() -> None:
    stretch = random_stretch(Random(3))
    turned = replace(stretch, seams=stretch.seams[::-1], strips=stretch.strips[::-1])
    assert least_pattern(turned) == least_pattern(stretch)


@pytest.mark.parametrize(
    "change",
    [
        {"x1": 0},
        {"limits": Limits(1, 1, 0.0, 1.25)},
        {"limits": Limits(1, 1, 1.0, 0.9)},
        {"seams": (Seam("a", 300 * MM, 0), Seam("a", 900 * MM, 0))},
        {"seams": (Seam("a", 300 * MM, 0), Seam("b", 300 * MM, 0))},
    ],
    ids=["backwards", "no capacity", "factor", "one name", "one place"],
)
def test_figures_that_cannot_be_are_refused(change: dict[str, object]) -> None:
    with pytest.raises(ValueError):
        least_pattern(replace(even(4), **change))  # type: ignore[arg-type]


def test_all_subsets_only_of_few_seams() -> None:
    with pytest.raises(ValueError):
        true_least(even(15), real_forces(even(15)))


@pytest.mark.parametrize("seed", range(4))
def test_a_long_rail_holds_and_says_how_near_it_is_to_the_bound(seed: int) -> None:
    """A hundred seams: what the beam gives each clamp, and no more clamps than the local search."""
    stretch = random_stretch(Random(seed), (100, 100))
    wide = replace(stretch.limits, capacity_n=3 * stretch.limits.capacity_n)
    stretch = replace(stretch, limits=wide)
    forces = real_forces(stretch)
    held, local = least_held(stretch, forces), least_pattern(stretch)
    assert held.holds and local.holds
    places = tuple(clamp.x for clamp in held.clamps)
    assert tuple(clamp.force_n for clamp in held.clamps) == forces(places)
    assert max(forces(places)) <= wide.capacity_n * (1 + 1e-9)
    assert held.at_least <= len(held.clamps)
    if max(forces(tuple(clamp.x for clamp in local.clamps))) <= wide.capacity_n:
        assert len(held.clamps) <= len(local.clamps)
