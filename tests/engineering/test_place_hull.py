"""A place whose measures are intervals: no measure inside gives a pressure outside."""

import math
import random

import pytest

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.over import Interval
from selector.engineering.place_hull import PlaceHull, RoofBox, block_hull, place_hull
from selector.engineering.roof_wind_en import element_wind, place_wind, roof_wind
from selector.engineering.tables import Code
from tests.engineering.conftest import roof, site
from tests.engineering.test_roof_wind_en import blown

BOXES = [
    RoofBox("duopitch", (18, 22), (13.9, 14.1), (10.8, 11.2), (7.5, 8.5)),
    RoofBox("duopitch", (3, 8), (19, 21), (9.5, 10.5), (5, 7)),
    RoofBox("monopitch", (10, 20), (15, 16), (7, 8), (4, 9)),
    RoofBox("monopitch", (40, 50), (15, 16), (4, 4.5), (4, 9)),
    RoofBox("flat", (0, 4), (20, 21), (12, 12.5), (5, 6), parapet_m=(0.4, 0.4)),
    RoofBox("flat", (0, 2), (20, 21), (12, 12.5), (3, 20), parapet_m=(0.3, 0.3)),
    RoofBox("flat", (0, 2), (20, 21), (12, 12.5), (8, 10), parapet_m=(0.1, 0.7)),
]


def bounded(code: Code, box: RoofBox, x: float, y: float, area: Interval) -> PlaceHull:
    spread = 0.1
    found = place_hull(
        code, (500, 800), box, (x - spread, x + spread), (y - spread, y + spread), area
    )
    assert isinstance(found, PlaceHull)
    return found


@pytest.mark.parametrize("box", BOXES)
def test_no_measure_inside_leaves_the_hull(code: Code, box: RoofBox) -> None:
    chance = random.Random(7)
    for _ in range(6):
        x, y = chance.uniform(0.2, 13), chance.uniform(0.2, 3.4)
        hull = bounded(code, box, x, y, (0.5, 3.0))
        names = {(s.wind, s.zone) for s in hull.spans}
        for _ in range(200):
            pitch, *sizes = (
                chance.choice((*ends, chance.uniform(*ends)))
                for ends in (box.pitch_deg, box.length_m, box.depth_m, box.height_m, box.parapet_m)
            )
            house = roof(box.form, pitch, *sizes[:3], parapet_m=sizes[3])
            wind = roof_wind(code, site(25, "II"), house)
            assert not isinstance(wind, Outside)
            place = (x + chance.uniform(-0.1, 0.1), y + chance.uniform(-0.1, 0.1))
            found = place_wind(wind, *place, chance.uniform(0.5, 3.0))
            up, down = -found.up.coefficient, found.down.coefficient
            assert hull.up.low - 1e-6 <= up * 500
            assert up * 800 <= hull.up.high + 1e-6
            assert hull.down.low - 1e-6 <= down * 500
            assert down * 800 <= hull.down.high + 1e-6
            if found.up.wind:
                assert {(found.up.wind, z) for z in found.up.zones} <= names


def test_an_exact_place_is_no_wider_than_itself(code: Code) -> None:
    box = RoofBox("duopitch", (15, 15), (20, 20), (10, 10), (6, 6))
    found = place_hull(code, (700, 700), box, (10, 10), (2.5, 2.5), (0.5, 0.5))
    assert isinstance(found, PlaceHull)
    # tables 7.4a and 7.4b at 15 deg: I -0.5 from the gables; H +0.2 from the eave
    assert (found.up.low, found.up.high) == (pytest.approx(350), pytest.approx(350))
    assert (found.down.low, found.down.high) == (pytest.approx(140), pytest.approx(140))
    exact = place_wind(blown(code, 25, "II", roof("duopitch", 15, 20, 10, 6)), 10, 2.5, 0.5)
    assert exact.up.coefficient == -0.5


@pytest.mark.parametrize(
    ("box", "status"),
    [
        (RoofBox("duopitch", (15, 15), (20, 20), (10, 10), (6, 6)), "published"),
        (RoofBox("duopitch", (14, 15), (20, 20), (10, 10), (6, 6)), "from memory"),
        (RoofBox("duopitch", (16, 16), (20, 20), (10, 10), (6, 6)), "from memory"),
        (RoofBox("monopitch", (15, 15), (20, 20), (10, 10), (6, 6)), "from memory"),
    ],
)
def test_what_a_hull_is_worth(code: Code, box: RoofBox, status: str) -> None:
    # the notes on lines between pitches and figure 7.7 are from memory
    found = place_hull(code, (700, 700), box, (10, 10), (2.5, 2.5), (0.5, 0.5))
    assert isinstance(found, PlaceHull)
    assert found.status == status


def test_a_place_at_a_boundary_has_both_zones(code: Code) -> None:
    box = RoofBox("flat", (0, 0), (20, 20), (10, 10), (4.8, 5.2))
    found = place_hull(code, (1000, 1000), box, (10, 10), (1.0, 1.0), (0.5, 0.5))
    assert isinstance(found, PlaceHull)
    front = {s.zone for s in found.spans if s.wind == "onto the eave"}
    assert front == {"G", "H"}
    # table 7.2: H -1.2 to G -2.0
    assert (found.up.low, found.up.high) == (pytest.approx(1200), pytest.approx(2000))


def test_what_leaves_a_range_has_no_number(code: Code) -> None:
    steep = RoofBox("duopitch", (70, 76), (20, 20), (10, 10), (6, 6))
    assert isinstance(place_hull(code, (1, 2), steep, (1, 1), (1, 1), (1, 1)), Outside)
    high = RoofBox("flat", (0, 1), (20, 20), (10, 10), (3, 6), parapet_m=(0.4, 0.4))
    assert isinstance(place_hull(code, (1, 2), high, (1, 1), (1, 1), (1, 1)), Outside)


def test_bad_intervals(code: Code) -> None:
    box = BOXES[0]
    for peak in ((-1.0, 2.0), (3.0, 2.0), (math.nan, 2.0), (1.0, math.inf)):
        with pytest.raises(BadInputError, match="peak pressure"):
            place_hull(code, peak, box, (1, 1), (1, 1), (1, 1))
    with pytest.raises(BadInputError, match="lies nowhere on this roof"):
        place_hull(code, (1, 2), box, (50, 51), (1, 1), (1, 1))
    with pytest.raises(BadInputError, match="lower end first"):
        place_hull(code, (1, 2), box, (2, 1), (1, 1), (1, 1))


@pytest.mark.parametrize("box", BOXES)
def test_no_measure_inside_leaves_the_hull_of_a_block(code: Code, box: RoofBox) -> None:
    """Against the worst zone that a block touches on the roof as it is, one roof at a time."""
    chance = random.Random(11)
    for _ in range(4):
        x, y = chance.uniform(0.2, 9), chance.uniform(0.2, 1.5)
        ends = (x, x + 3.0), (y, y + 1.7)
        hull = block_hull(code, (500, 800), box, *ends, (0.5, 3.0))
        assert isinstance(hull, PlaceHull)
        for _ in range(100):
            pitch, *sizes = (
                chance.choice((*e, chance.uniform(*e)))
                for e in (box.pitch_deg, box.length_m, box.depth_m, box.height_m, box.parapet_m)
            )
            house = roof(box.form, pitch, *sizes[:3], parapet_m=sizes[3])
            wind = roof_wind(code, site(25, "II"), house)
            assert not isinstance(wind, Outside)
            area = chance.uniform(0.5, 3.0)
            found = element_wind(wind, (*ends[0], *ends[1]), area, worst_touched=True)
            up, down = -found.up.coefficient, found.down.coefficient
            assert hull.up.low - 1e-6 <= up * 500
            assert up * 800 <= hull.up.high + 1e-6
            assert hull.down.low - 1e-6 <= down * 500
            assert down * 800 <= hull.down.high + 1e-6


def test_an_exact_block_has_one_worst_pressure(code: Code) -> None:
    box = RoofBox("duopitch", (15, 15), (20, 20), (10, 10), (6, 6))
    found = block_hull(code, (700, 700), box, (1, 5), (0.5, 2.0), (0.5, 0.5))
    assert isinstance(found, PlaceHull)
    # e = 10 m along, table 7.4b zone F at 15 deg, cpe,1 -2.0: 1 m from the gable, 2.5 m along it;
    # e = 12 m onto the eave, table 7.4a zone F -2.0 too; pressing: H, F and G +0.2
    assert (found.up.low, found.up.high) == (pytest.approx(1400), pytest.approx(1400))
    assert (found.down.low, found.down.high) == (pytest.approx(140), pytest.approx(140))
    assert all(span.surely for span in found.spans)
