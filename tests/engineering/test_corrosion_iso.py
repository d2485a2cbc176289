"""Classes, losses over years and life of zinc against printed tables and measured sites."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.corrosion_iso import (
    LossTable,
    coating_um,
    corrosivity_class,
    line_loss_um,
    loss_range_um,
    power_loss_um,
    zinc_life,
    zinc_then_steel_life,
)
from selector.engineering.lines import BadInputError, Outside
from selector.knowledge.base import Base
from selector.knowledge.metal_tables import loss_tables

CLASSES = ("C1", "C2", "C3", "C4", "C5", "CX")


@pytest.fixture(scope="module")
def tables(base: Base) -> dict[str, LossTable]:
    return loss_tables(base.trade)


# ISO 9224:2012 table 3 as data of a secondary copy: multiples of the first year by metal and B.
PRINTED = {
    ("steel", "b1"): {2: 1.437, 5: 2.32, 10: 3.334, 20: 4.791, 50: 7.737, 100: 11.117},
    ("steel", "b2"): {2: 1.49, 5: 2.523, 10: 3.758, 20: 5.599, 50: 9.482, 100: 14.125},
    ("zinc", "b1"): {2: 1.757, 5: 3.701, 10: 6.501, 20: 11.422, 50: 24.058, 100: 42.267},
    ("zinc", "b2"): {2: 1.831, 5: 4.076, 10: 7.464, 20: 13.671, 50: 30.423, 100: 55.719},
    ("copper", "b1"): {2: 1.588, 5: 2.926, 10: 4.645, 20: 7.375, 50: 13.59, 100: 21.577},
    ("copper", "b2"): {2: 1.654, 5: 3.217, 10: 5.321, 20: 8.801, 50: 17.118, 100: 28.314},
}


@pytest.mark.parametrize(("metal", "b"), sorted(PRINTED))
def test_multiples_are_those_of_the_printed_table(
    tables: dict[str, LossTable], metal: str, b: str
) -> None:
    exponent = getattr(tables[metal], b)
    for years, multiple in PRINTED[metal, b].items():
        assert power_loss_um(1.0, exponent, years) == pytest.approx(multiple, abs=6e-4)
        line = line_loss_um(1.0, exponent, years)
        if years <= 20:
            assert line == pytest.approx(multiple, abs=6e-4)
        else:  # the straight line of the clause, the tangent at 20 years, is never the milder one
            assert line > multiple


def test_the_straight_line_by_hand() -> None:
    # 20^0.523 = 4.7914; slope 0.523 * 20^-0.477 = 0.12530; 30 years more: 4.7914 + 3.7589
    assert line_loss_um(1.0, 0.523, 50) == pytest.approx(8.550, abs=2e-3)


# ISOCORRAG, losses of one year in um as a galvanizers' association prints them: steel, zinc,
# copper; and the class of each by ISO 9223 table 2, looked up by hand.
SITES = {
    "Auby": ((106.0, "C5"), (5.60, "C5"), (1.90, "C4")),
    "Biarritz": ((87.2, "C5"), (4.30, "C5"), (3.69, "C5")),
    "Helsinki": ((33.3, "C3"), (1.30, "C3"), (0.70, "C3")),
    "Madrid": ((27.7, "C3"), (0.60, "C2"), (0.50, "C2")),
    "Kure Beach": ((37.9, "C3"), (2.01, "C3"), (2.85, "C5")),
    "Iguazu": ((5.8, "C2"), (1.62, "C3"), (0.80, "C3")),
}


@pytest.mark.parametrize("site", sorted(SITES))
def test_a_site_has_its_class_by_metal(tables: dict[str, LossTable], site: str) -> None:
    for metal, (loss, name) in zip(("steel", "zinc", "copper"), SITES[site], strict=True):
        assert corrosivity_class(tables[metal], loss) == name


def test_limits_belong_to_the_lower_class(tables: dict[str, LossTable]) -> None:
    steel = tables["steel"]  # ISO 9223 table 2: lower end excluded, upper one included
    found = [corrosivity_class(steel, x) for x in (0, 1.3, 1.31, 25, 25.01, 50, 80, 200, 700)]
    assert found == ["C1", "C1", "C2", "C2", "C3", "C3", "C4", "C5", "CX"]
    beyond = corrosivity_class(steel, 701)
    assert isinstance(beyond, Outside)
    assert "up to 700 um" in str(beyond)


def test_hot_dip_in_c3(tables: dict[str, LossTable]) -> None:
    # a page quoting EN ISO 14713-1: 85 um in C3 last about 40 to over 100 years
    life = zinc_life(tables["zinc"], ("C3",), 85)
    assert life.low_years == pytest.approx(40, abs=1)
    assert life.high_years > 100
    assert (life.loss_low_um, life.loss_high_um) == (0.7, 2.1)


def test_z275_is_some_20_um_a_side() -> None:
    # from memory: Z275 is about 20 um a side; 7133 kg/m3 is the density of the pure metal
    assert coating_um(275, 7133) == pytest.approx(20, rel=0.05)


def test_zinc_then_steel(tables: dict[str, LossTable]) -> None:
    life = zinc_then_steel_life(tables["zinc"], tables["steel"], ("C3",), 20, 100)
    # by hand: 20/2.1 = 9.52 a; 100 um of steel at 50 um and b 0.575: 2^(1/0.575) = 3.34 a
    assert life.low_years == pytest.approx(9.524 + 3.338, abs=0.01)
    # 20/0.7 = 28.57 a; at 25 um and b 0.523: 4^(1/0.523) = 14.16 a
    assert life.high_years == pytest.approx(28.571 + 14.164, abs=0.02)
    deep = zinc_then_steel_life(tables["zinc"], tables["steel"], ("C3",), 0, 500)
    # beyond 20 years: 50 um, b 0.575: 279.94 um at 20 a, then 8.048 um each year
    assert deep.low_years == pytest.approx(20 + (500 - 279.94) / 8.048, abs=0.05)


def test_a_class_without_a_least_loss_has_no_end(tables: dict[str, LossTable]) -> None:
    life = zinc_life(tables["zinc"], ("C1", "C2"), 20)
    assert life.high_years == math.inf
    assert life.low_years == pytest.approx(20 / 0.7)
    assert zinc_life(tables["zinc"], ("C1",), 0).high_years == 0


@given(
    st.sampled_from(("steel", "zinc", "copper")),
    st.integers(0, 5),
    st.integers(0, 5),
    st.floats(0, 99),
)
def test_harsher_or_longer_is_never_milder(
    base: Base, metal: str, first: int, second: int, years: float
) -> None:
    table = loss_tables(base.trade)[metal]
    low, high = sorted((first, second))
    mild = loss_range_um(table, (CLASSES[low],), years)
    harsh = loss_range_um(table, (CLASSES[high],), years)
    both = loss_range_um(table, CLASSES[low : high + 1], years)
    assert mild[0] <= harsh[0] + 1e-9
    assert mild[1] <= harsh[1] + 1e-9
    assert both == (mild[0], harsh[1])
    later = loss_range_um(table, (CLASSES[low],), years + 1)
    assert later[0] >= mild[0]
    assert later[1] >= mild[1]


def test_bad_input(tables: dict[str, LossTable]) -> None:
    zinc = tables["zinc"]
    with pytest.raises(BadInputError, match=r"class `C6` given; expected some of C1, C2"):
        zinc_life(zinc, ("C6",), 20)
    with pytest.raises(BadInputError, match="no class given"):
        loss_range_um(zinc, (), 5)
    with pytest.raises(BadInputError):
        zinc_life(zinc, ("C3",), -1)
    with pytest.raises(BadInputError):
        power_loss_um(math.nan, 0.5, 3)
    with pytest.raises(BadInputError):
        line_loss_um(1.0, 0.5, 101)


def test_aluminium_has_no_thickness(tables: dict[str, LossTable]) -> None:
    assert "aluminium" not in tables  # note 4 of the table: it pits, a uniform rate misleads
