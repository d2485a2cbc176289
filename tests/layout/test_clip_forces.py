"""Heights that the clips bear: against the hand rule evaluated height by height."""

import itertools
import random
from fractions import Fraction

import pytest

from selector.layout.clip_forces import Pull, borne, on_clips
from selector.layout.clip_windows import Window
from tests.layout.roofs import MM, seam

N = 1_000  # millinewtons
BAY = Window(0, 4_000 * MM)


def pull(force: int, spare: int, factor: str = "1", slack: int = 0) -> Pull:
    """Forces in N."""
    return Pull(force * N, spare * N, Fraction(factor), slack * MM)


def test_the_window_of_the_method() -> None:
    """Structural method 6.5, hinged: F 0.9, R 0.6, s 0.4 m gives a from 0.133 to 0.267 m."""
    one = seam("s1", [1_000, 1_400], tolerance=0)
    (found,) = borne([one], [], pull(900, 600), BAY)
    assert found.low / 1e6 == pytest.approx(1.133_333, abs=1e-5)
    assert found.high / 1e6 == pytest.approx(1.266_667, abs=1e-5)


def test_the_least_distance_of_the_trade() -> None:
    """Hand rule solved, a >= s (1 - R / (k F)): s 400, R 0.35, F 0.40, k 1.25 gives 120 mm."""
    one = seam("s1", [1_000, 1_400], tolerance=0)
    assert borne([one], [], pull(400, 350, "1.25"), BAY) == [Window(1_120 * MM, 1_280 * MM)]


def test_more_than_mid_bay_bears_leaves_nothing() -> None:
    """k F / 2 above R: no place on that seam carries F (case: 1.00 kN, k 1.25, spare 0.35 kN)."""
    one = seam("s1", [1_000, 1_500], tolerance=0)
    assert borne([one], [], pull(1_000, 350, "1.25"), BAY) == []


@pytest.mark.parametrize(("pitch", "force", "share"), [(400, 500, 0.31), (500, 1_000, 0.63)])
def test_shares_of_the_judged_cases(pitch: int, force: int, share: float) -> None:
    """Clamps at mid-bay, k 1.25: nearest clip 0.31 kN of 0.50; each clip 0.63 kN of 1.00."""
    one = seam("s1", [1_000, 1_000 + pitch], tolerance=0)
    loads = on_clips(one, [(1_000 + pitch // 2) * MM], pull(force, 350, "1.25"))
    assert [round(float(x) / 1e6 + 1e-9, 2) for x in loads] == [share, share]


def test_a_force_that_one_clip_bears_may_stand_anywhere_between() -> None:
    one = seam("s1", [1_000, 1_400, 1_800], tolerance=0)
    both = [Window(1_000 * MM, 1_400 * MM), Window(1_400 * MM, 1_800 * MM)]
    assert borne([one], [], pull(200, 350, "1.25"), BAY) == both


def hand_rule(clips: list[float], heights: list[float], force: float, factor: float) -> list[float]:
    """What clamps put on each clip, as the rule is written: the clips beside each, all added."""
    loads = [0.0] * len(clips)
    for at in heights:
        n = max(i for i, clip in enumerate(clips) if clip <= at)
        s, a = clips[n + 1] - clips[n], at - clips[n]
        loads[n] += min(force, factor * force * (s - a) / s)
        loads[n + 1] += min(force, factor * force * a / s)
    return loads


@pytest.mark.parametrize("seed", range(6))
def test_against_the_hand_rule_millimetre_by_millimetre(seed: int) -> None:
    """With every mark exact: borne is where no clip beside the clamp gets more than its spare."""
    rng = random.Random(seed)
    inside = outside = 0
    for _ in range(40):
        marks = list(itertools.accumulate([500, *(rng.randint(300, 500) for _ in range(6))]))
        force, spare = rng.randint(200, 900), rng.randint(200, 700)
        factor = rng.choice(("1", "1.2", "1.25"))
        others = [rng.randint(marks[1] + 1, marks[-2] - 1) for _ in range(rng.randint(0, 2))]
        found = borne(
            [seam("s", marks, tolerance=0)],
            [at * MM for at in others],
            pull(force, spare, factor),
            Window(marks[0] * MM, marks[-1] * MM),
        )
        for at in range(marks[0] + 1, marks[-1], 3):
            if at in marks:
                continue
            n = max(i for i, m in enumerate(marks) if m <= at)
            loads = hand_rule([*map(float, marks)], [*others, at], force, float(factor))
            over = max(loads[n], loads[n + 1]) - spare
            if abs(over) < 0.01:
                continue
            told = any(w.holds(at * MM) for w in found)
            assert told == (over < 0)
            inside, outside = inside + told, outside + (not told)
    assert inside > 300
    assert outside > 300


@pytest.mark.parametrize("seed", range(4))
def test_marks_and_clamps_that_are_off_still_hold(seed: int) -> None:
    """Whatever marks and setting out are off inside their tolerances, no clip gets too much."""
    rng = random.Random(seed)
    checked = 0
    for _ in range(60):
        marks = list(itertools.accumulate([500, *(rng.randint(330, 500) for _ in range(5))]))
        force, spare = rng.randint(300, 700), rng.randint(300, 600)
        other = rng.randint(marks[1] + 60, marks[-2] - 60)
        if min(abs(other - m) for m in marks) < 40:
            continue
        found = borne(
            [seam("s", marks)],
            [other * MM],
            pull(force, spare, "1.25", slack=10),
            Window(marks[1] * MM, marks[-2] * MM),
        )
        for w in found:
            for at in (w.low, w.high, (w.low + w.high) // 2):
                n = max(i for i, m in enumerate(marks) if m * MM <= at)
                for off in itertools.product((-10, 10), repeat=2):
                    real = [m + rng.choice((-10, 0, 10)) for m in marks]
                    heights = [other + off[0], at / MM + off[1]]
                    loads = hand_rule([*map(float, real)], heights, force, 1.25)
                    assert max(loads[n], loads[n + 1]) <= spare + 1e-6
                    checked += 1
    assert checked > 200


def test_one_micrometre_further_asks_too_much() -> None:
    one = seam("s1", [1_000, 1_437], tolerance=7)
    how = pull(777, 560, "1.25", slack=3)
    (found,) = borne([one], [], how, BAY)
    for at, inside in ((found.low, True), (found.high, True)):
        assert (max(on_clips(one, [at], how)) <= how.spare) == inside
    for at in (found.low - 1, found.high + 1):
        assert max(on_clips(one, [at], how)) > how.spare
