"""What open air takes of bare zinc and steel, beside published figures."""

import pytest

from selector.facts.lifetime import lifetime_of
from selector.knowledge.base import Base
from selector.model.contact import Side


def side(metal: str, coating: tuple[str, ...] = ("none",), grade: str = "unknown") -> Side:
    return Side("part", metal, coating, grade)


def test_first_years_are_those_of_the_classes(base: Base) -> None:
    """ISO 9223:2012 table 2, um in the first year, secondary copy."""
    zinc, steel = lifetime_of(base, side("zinc")), lifetime_of(base, side("steel"))
    assert zinc is not None and steel is not None
    assert [c.first_year_um for c in zinc.classes] == [
        (0.1, 0.7),
        (0.7, 2.1),
        (2.1, 4.2),
        (4.2, 8.4),
    ]
    assert [c.first_year_um for c in steel.classes] == [(1.3, 25), (25, 50), (50, 80), (80, 200)]


def test_after_twenty_years_by_the_exponents(base: Base) -> None:
    """ISO 9224:2012 table 3: 20 years multiply the first one by 4.791 for steel with B1."""
    steel = lifetime_of(base, side("steel"))
    assert steel is not None
    low, high = steel.classes[1].after_years_um
    assert low == pytest.approx(25 * 4.791, rel=1e-3)
    assert high == pytest.approx(50 * 20**0.575, rel=1e-3)  # the same table, B2


def test_thickness_by_the_mass_of_both_sides(base: Base) -> None:
    """Z275 is about 20 um a side (from memory); 5 um is what its grade says."""
    sheet = lifetime_of(base, side("steel", ("zinc",), "Z275"))
    screw = lifetime_of(base, side("steel", ("zinc",), "electroplated 5 um"))
    assert sheet is not None and sheet.coat_um == pytest.approx(20, abs=1)
    assert screw is not None and screw.coat_um == 5
    # EN ISO 14713-1 as quoted: coating over yearly loss; 5 um at 2.1 to 4.2 um a year (C4)
    assert screw.classes[2].coat_years == (pytest.approx(5 / 4.2), pytest.approx(5 / 2.1))


@pytest.mark.parametrize(
    "made_of",
    [
        side("steel", ("paint", "zinc"), "Z275"),
        side("steel", ("paint",)),
        side("steel", ("aluminium-zinc",)),
        side("stainless"),
        side("aluminium"),
        side("copper", ("tin",)),
        Side("sheet"),
    ],
)
def test_nothing_is_said_of_what_is_not_bare_zinc_or_steel(base: Base, made_of: Side) -> None:
    assert lifetime_of(base, made_of) is None


def test_a_grade_without_a_thickness_has_no_years(base: Base) -> None:
    found = lifetime_of(base, side("steel", ("zinc",), "hot-dip"))
    assert found is not None and found.coat_um is None
    assert {c.coat_years for c in found.classes} == {None}


def test_more_time_never_takes_less(base: Base) -> None:
    for metal in ("zinc", "steel"):
        found = lifetime_of(base, side(metal))
        assert found is not None
        for one, worse in zip(found.classes, found.classes[1:], strict=False):
            assert one.first_year_um <= one.after_years_um
            assert one.after_years_um < worse.after_years_um
