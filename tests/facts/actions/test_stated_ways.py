"""A country whose way is not kept here: peak pressure and roof snow are asked for with a paper."""

from dataclasses import replace

import pytest

from selector.knowledge.base import Base
from selector.model.truth import Word
from tests.facts.actions.conftest import LoadsOf

HERE = "{is: recommended-values}"
CALC = "  map:  {kind"
WITH_CALC = "  calc: {kind: engineer's calculation, number: 9, dated: 2031-08-01}\n  map:  {kind"
SITE = "  hilltop:            {is: none"


@pytest.fixture
def elsewhere(base: Base) -> Base:
    """The shipped base, whose recommended values leave wind and snow to papers."""
    old = base.codes.nationals["recommended-values"]
    ways = {name: replace(old.variants[name], value="stated") for name in ("wind", "snow")}
    country = replace(old, variants={**old.variants, **ways})
    nationals = {**base.codes.nationals, old.id: country}
    return replace(base, codes=replace(base.codes, nationals=nationals))


def test_both_are_asked_for(loads: LoadsOf, elsewhere: Base) -> None:
    found = loads({}, base=elsewhere)
    assert {(one.kind, one.about) for one, _ in found.opens} == {
        ("missing", "site.peak_pressure"),
        ("missing", "site.roof_snow"),
    }
    assert found.word == Word.OBSERVE
    assert found.peak_pa is None
    assert found.snow_pa is None
    assert found.lift == found.sets == {}


def test_both_stated_are_taken_as_they_are(loads: LoadsOf, elsewhere: Base) -> None:
    stated = (
        "  peak_pressure: {is: 0.9 kPa, paper: calc}\n  roof_snow: {is: 1.3 kPa, paper: calc}\n"
    )
    found = loads({CALC: WITH_CALC, SITE: stated + SITE}, base=elsewhere)
    assert found.opens == ()
    assert found.peak_pa == (900, 900)
    # EN 1991-1-4 table 7.4a, zone H: cpe,1 = -1.2, as in the guide's hall
    assert found.lift["fixing"].pressure_pa.high == pytest.approx(1.2 * 900)
    assert found.snow_pa == (1300, 1300)
    [snow] = [row for row in found.topics["snow"].rows if row.symbol == "s"]
    assert (snow.unit, snow.value) == ("Pa", (1300, 1300))
    assert found.word == Word.CONDITIONAL
    assert {links.governing["pressure"].name for links in found.sets.values()} == {"down-snow"}


def test_snow_that_is_stated_on_a_plain_drawing_does_not_count(
    loads: LoadsOf, elsewhere: Base
) -> None:
    stated = (
        "  peak_pressure: {is: 0.9 kPa, paper: calc}\n  roof_snow: {is: 1.3 kPa, paper: plan}\n"
    )
    found = loads({CALC: WITH_CALC, SITE: stated + SITE}, base=elsewhere)
    assert ("paper", "site.roof_snow") in {(one.kind, one.about) for one, _ in found.opens}
    assert found.snow_pa is None


@pytest.mark.parametrize(("stated", "counts"), [("0.9 kPa", 900), ("0.3 kPa", 520)])
def test_of_two_snow_loads_the_worse_counts_and_both_are_shown(
    loads: LoadsOf, stated: str, counts: float
) -> None:
    # 0.52 kPa: appendix A of the guide whose hall this is
    found = loads({CALC: WITH_CALC, SITE: f"  roof_snow: {{is: {stated}, paper: calc}}\n{SITE}"})
    assert found.snow_pa is not None
    assert found.snow_pa.high == pytest.approx(counts)
    rows = {row.symbol: row for row in found.topics["snow"].rows}
    assert rows["s"].status == "conflict"
    assert {"s,worked", "s,stated"} <= rows.keys()
    assert "s,stated" in {row.symbol for row in found.to_confirm}
    assert found.word == Word.CONDITIONAL
