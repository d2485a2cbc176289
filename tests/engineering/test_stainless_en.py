"""The class of stainless steel that the air asks for, against cases worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.over import Interval
from selector.engineering.stainless_en import (
    ANY_KM,
    Coast,
    Site,
    StainlessTable,
    Washing,
    class_of,
    class_of_grade,
    classes_over,
    enough,
    exposures,
    salt_band,
    sulphur_points,
)
from selector.knowledge.base import Base
from selector.knowledge.metal_tables import stainless_table

CLEAN: Interval = (0.0, 9.0)
FAR: Interval = (1.0, 1e4)  # of a salted road


@pytest.fixture(scope="module")
def table(base: Base) -> StainlessTable:
    return stainless_table(base.trade)


def at(
    sea_km: float,
    washing: Washing = "none",
    coast: Coast = "other",
    so2: float = 5.0,
    road: Interval = FAR,
) -> Site:
    return Site((so2, so2), (sea_km, sea_km), road, (coast,), (washing,))


# Worked out by hand from the bands of F1 (published), F3 and the limits (from memory); clean air.
WORKED = [
    (at(20, "rain"), 0, "II", "A2"),
    (at(20), 0, "II", "A2"),
    (at(5, "rain"), -3, "II", "A2"),
    (at(5), -10, "III", "A4"),
    (at(0.5, "rain"), -7, "III", "A4"),
    (at(0.5), -14, "III", "A4"),
    (at(0.1, "rain", "mild"), -10, "III", "A4"),
    (at(0.1, "rain", "other"), -15, "IV", ""),
    (at(0.1, "none", "other"), -22, "V", ""),
    # a bolt 20 km from the sea and 500 m from a salted road, washed; one 5 km away below modules
    (at(20, "rain", road=(0.5, 0.5)), 0, "II", "A2"),
    (at(5, "none", so2=5), -10, "III", "A4"),
    # F2, published: -5 from 10 to 90, -10 to 250 ug/m3
    (at(20, "rain", so2=20), -5, "II", "A2"),
    (at(20, "none", so2=20), -12, "III", "A4"),
    (at(20, "none", so2=100), -17, "IV", ""),
    (at(5, "cleaned"), -5, "II", "A2"),
    # a salted road counts as the sea does, and the worse of both
    (at(20, "rain", road=(0.05, 0.05)), -3, "II", "A2"),
    (at(20, "none", road=(0.005, 0.005)), -14, "III", "A4"),
    (at(0.5, "none", road=(0.05, 0.05)), -14, "III", "A4"),
]


@pytest.mark.parametrize(("site", "crf", "name", "screw"), WORKED)
def test_worked_by_hand(table: StainlessTable, site: Site, crf: int, name: str, screw: str) -> None:
    assert exposures(table, site) == (crf, crf)
    assert classes_over(table, site) == (name,)
    good = [grade for grade in ("A2", "A4") if enough(table, grade, site) == "yes"]
    assert good == {"A2": ["A2", "A4"], "A4": ["A4"], "": []}[screw]


def test_limits_of_bands_belong_to_the_nearer_one(table: StainlessTable) -> None:
    names = [salt_band(table.sea, km).name for km in (0, 0.25, 0.26, 1, 1.01, 10, 10.01)]
    assert names == ["spray", "spray", "near", "near", "coast", "coast", "inland"]
    road = [salt_band(table.road, km).name for km in (0, 0.01, 0.02, 0.1, 0.11)]
    assert road == ["near", "near", "coast", "coast", "inland"]
    # of sulphur a limit counts to the dirtier side
    assert [sulphur_points(table, x) for x in (9.9, 10, 89, 90, 250)] == [0, -5, -5, -10, -10]


def test_limits_of_classes(table: StainlessTable) -> None:
    sums = (1, 0, -6, -7, -14, -15, -20, -21, -40)  # from memory: annex A, table A.2
    found = [class_of(table, crf) for crf in sums]
    assert found == ["I", "II", "II", "III", "III", "IV", "IV", "V", "V"]


def test_what_is_open_counts_as_its_worst(table: StainlessTable) -> None:
    # nobody knows the sea: anything from far inland to a coast of the Atlantic
    anywhere = Site((5.0, 5.0), ANY_KM, FAR, washing=("none",))
    assert exposures(table, anywhere) == (-22, 0)
    assert classes_over(table, anywhere) == ("II", "III", "IV", "V")
    assert enough(table, "A4", anywhere) == "unknown"
    assert enough(table, "1.4529", anywhere) == "yes"
    # 8 to 12 km: below or beyond the band
    about = Site((5.0, 5.0), (8.0, 12.0), FAR, washing=("none",))
    assert classes_over(table, about) == ("II", "III")
    assert [enough(table, g, about) for g in ("1.4016", "A2", "A4")] == ["no", "unknown", "yes"]


def test_a_road_that_nobody_looked_for_is_near(table: StainlessTable) -> None:
    assert exposures(table, Site((5.0, 5.0), (20.0, 20.0))) == (-14, 0)


def test_no_yes_where_the_annex_does_not_reach(table: StainlessTable) -> None:
    pool = Site((5.0, 5.0), (50.0, 50.0), FAR, pool_hall=True)
    assert isinstance(classes_over(table, pool), Outside)
    dirty = Site((5.0, 300.0), (50.0, 50.0), FAR)
    assert isinstance(classes_over(table, dirty), Outside)
    assert [enough(table, "1.4529", s) for s in (pool, dirty)] == ["unknown", "unknown"]
    assert enough(table, "no such grade", at(50)) == "unknown"


def test_grades(table: StainlessTable) -> None:
    # ISO 3506: A2 is 1.4301 or 1.4567, A4 is 1.4401, 1.4404 or 1.4578
    assert {class_of_grade(table, g) for g in ("A2", "1.4301", "1.4567")} == {"II"}
    assert {class_of_grade(table, g) for g in ("A4", "1.4401", "1.4404", "1.4578")} == {"III"}
    assert class_of_grade(table, "unknown") is None


DISTANCES = st.floats(0, 30, allow_nan=False)
AIRS = st.floats(0, 250, allow_nan=False)
WASHINGS = ("rain", "cleaned", "none")


@given(DISTANCES, DISTANCES, DISTANCES, DISTANCES, AIRS, AIRS)
def test_more_salt_or_sulphur_is_never_milder(
    base: Base, sea: float, nearer: float, road: float, closer: float, so2: float, more: float
) -> None:
    table = stainless_table(base.trade)
    mild = Site((so2, so2), (sea, sea), (road, road), ("mild",), ("rain",))
    worst = exposures(table, mild)
    assert not isinstance(worst, Outside)
    for harsher in (
        Site((max(so2, more),) * 2, (sea, sea), (road, road), ("mild",), ("rain",)),
        Site((so2, so2), (min(sea, nearer),) * 2, (road, road), ("mild",), ("rain",)),
        Site((so2, so2), (sea, sea), (min(road, closer),) * 2, ("mild",), ("rain",)),
        Site((so2, so2), (sea, sea), (road, road), ("other",), ("rain",)),
        Site((so2, so2), (sea, sea), (road, road), ("mild",), ("none",)),
    ):
        found = exposures(table, harsher)
        assert not isinstance(found, Outside)
        assert found[0] <= worst[0]


@given(DISTANCES, DISTANCES, st.floats(0, 1), AIRS, AIRS, st.floats(0, 1))
def test_every_place_inside_is_covered(
    base: Base, one: float, two: float, share: float, so2: float, other: float, part: float
) -> None:
    table = stainless_table(base.trade)
    (low, high), (clean, dirty) = sorted((one, two)), sorted((so2, other))
    open_site = Site((clean, dirty), (low, high), FAR, washing=("rain", "none"))
    ends = exposures(table, open_site)
    assert not isinstance(ends, Outside)
    km, air = low + share * (high - low), clean + part * (dirty - clean)
    for coast in ("mild", "other"):
        for washing in ("rain", "none"):
            inside = exposures(table, Site((air, air), (km, km), FAR, (coast,), (washing,)))
            assert not isinstance(inside, Outside)
            assert ends[0] <= inside[0] <= ends[1]


def test_bad_input(table: StainlessTable) -> None:
    with pytest.raises(BadInputError, match="lower end first"):
        exposures(table, Site((5.0, 5.0), (12.0, 8.0), FAR))
    with pytest.raises(BadInputError):
        exposures(table, Site((5.0, 5.0), (-1.0, 8.0), FAR))
    with pytest.raises(BadInputError, match="no coast or no washing"):
        exposures(table, Site((5.0, 5.0), (1.0, 8.0), FAR, washing=()))
