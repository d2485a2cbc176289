"""Design sets over intervals: no action inside gives a set outside; exact ones give one value."""

import random

import pytest

from selector.engineering.combine_en import combine
from selector.engineering.combine_hull import PARTS, ActionsBox, combine_hull
from selector.engineering.lines import BadInputError
from selector.engineering.over import Interval
from selector.engineering.tables import Code
from tests.engineering.conftest import loaded

PITCHES = [(8.0, 9.0), (29.0, 31.0), (50.0, 65.0), (40.0, 80.0)]


def box(pitch: Interval, accidental: Interval | None = None) -> ActionsBox:
    exact = loaded(110, 160, 0, 0, 0, pitch_deg=pitch[0])
    return ActionsBox(exact, (300, 900), (0, 400), (400, 900), pitch, (900, 1100), accidental)


@pytest.mark.parametrize("pitch", PITCHES)
def test_no_action_inside_leaves_the_hull(accidental: Code, pitch: Interval) -> None:
    whole = combine_hull(accidental, box(pitch, (800, 1800)))
    chance = random.Random(3)
    for _ in range(200):
        actions = loaded(
            110,
            160,
            chance.uniform(300, 900),
            chance.uniform(0, 400),
            chance.uniform(400, 900),
            pitch_deg=chance.uniform(*pitch),
            accidental_pa=chance.uniform(800, 1800),
        )
        for one in combine(accidental, actions, chance.uniform(900, 1100)).sets:
            for part in PARTS:
                value = getattr(one, f"{part}_pa")
                if value is not None:
                    hull = whole.of(one.name, part)
                    assert hull.low - 1e-9 <= value <= hull.high + 1e-9, (one.name, part)


def test_exact_actions_give_what_the_sets_give(code: Code) -> None:
    exact = loaded(110, 160, 800, 100, 640, pitch_deg=22)
    one = ActionsBox(exact, (800, 800), (100, 100), (640, 640), (22, 22), (300, 300))
    hull, single = combine_hull(code, one), combine(code, exact, 300)
    for part in PARTS:
        governing = getattr(single, part)
        assert hull.governing[part].name == governing.name
        value = getattr(governing, f"{part}_pa")
        assert hull.governing[part].low == hull.governing[part].high == value
    assert hull.not_applicable == single.not_applicable


def test_the_pitch_of_the_largest_slide_lies_between_the_ends(code: Code) -> None:
    # statics: s sin cos is largest at 45 deg; the ends alone give 0.433 s, not 0.5 s
    exact = loaded(0, 0, 0, 0, 0, pitch_deg=30)
    hull = combine_hull(code, ActionsBox(exact, (0, 0), (0, 0), (800, 800), (30, 60), (0, 0)))
    assert hull.of("slide-snow", "along").high == pytest.approx(1.5 * 800 * 0.5)


def test_wider_actions_never_give_a_narrower_hull(code: Code) -> None:
    narrow, wide = combine_hull(code, box((20, 21))), combine_hull(code, box((18, 23)))
    for one in narrow.sets:
        other = wide.of(one.name, one.part)
        assert other.low <= one.low <= one.high <= other.high


def test_a_reversed_interval_is_bad_input(code: Code) -> None:
    with pytest.raises(BadInputError, match="expected the lower end first"):
        combine_hull(code, box((9, 8)))
