"""Inputs that are not exact: units change nothing, wider inputs never give a narrower range."""

import random
from collections.abc import Iterator

import pytest

from selector.facts.actions.model import Ends, Loads
from selector.model.truth import Word
from tests.facts.actions.beside import FLAT, FREE, obstacles, parapet, taller, thing
from tests.facts.actions.conftest import LoadsOf
from tests.facts.actions.test_drifts_by_hand import LAND


def figures(found: Loads) -> Iterator[tuple[str, Ends]]:
    """Every figure on top, and every part of every set."""
    for name, ends in (("peak", found.peak_pa), ("snow", found.snow_pa)):
        assert ends is not None
        yield name, ends
    for link, worst in found.lift.items():
        yield f"lift {link}", worst.pressure_pa
        yield f"press {link}", found.press[link].pressure_pa
    for link, many in found.sets.items():
        for one in many.sets:
            yield f"{link} {one.name} {one.part}", one.value_pa
    for topic in found.topics.values():
        for row in topic.rows:
            if not isinstance(row.value, str):
                yield f"row {topic.name} {row.symbol}", row.value


WIDER = [
    {"{is: III, how: aerial": "{one_of: [II, III], how: aerial"},
    {"{is: III, how: aerial": "{one_of: [III, IV], how: aerial"},
    {**FREE, "ridge:      {is: 8 m, paper: plan}": "ridge: {is: 8 m, tool: laser, by: lw}"},
    {**FREE, "{is: 8.5 deg, paper: plan}": "{is: 8.5 deg, tool: phone on the seam, by: lw}"},
    {**FREE, "16.178 m], paper: plan}": "16.178 m], tool: tape, by: lw}"},
    {"{is: normal, how": "{one_of: [normal, sheltered], how"},
    {"{is: 120 m, paper: map}": "{is: 120 m, tool: map, by: lw}"},
]


@pytest.mark.parametrize("changes", WIDER, ids=lambda c: list(c.values())[-1][:40])
def test_wider_inputs_never_give_a_narrower_range(loads: LoadsOf, changes: dict[str, str]) -> None:
    exact, wide = dict(figures(loads())), dict(figures(loads(changes)))
    # a row of the exact job may have another name in the wide one, where other tables are reached
    shared = exact.keys() & wide.keys()
    assert {"peak", "snow", "lift module", "press fixing"} <= shared
    for name in shared:
        slack = 1e-9 * max(1.0, abs(exact[name].high))
        assert wide[name].low <= exact[name].low + slack, name
        assert exact[name].high <= wide[name].high + slack, name


def test_ranges_hold_what_any_roof_inside_gives(loads: LoadsOf) -> None:
    """Every figure of sixty exact roofs inside the measures, against the ranges of all."""
    measured = {
        **FREE,
        "ridge:      {is: 8 m, paper: plan}": "ridge: {is: 8 m, tool: laser, by: lw}",
        "{is: 8.5 deg, paper: plan}": "{is: 8.5 deg, tool: phone on the seam, by: lw}",
        "16.178 m], paper: plan}": "16.178 m], tool: tape, by: lw}",
        "{is: III, how: aerial": "{one_of: [II, III], how: aerial",
        "from_eave: 4.00 m, from_left: 5.00 m": "from_eave: 1.55 m, from_left: 1.55 m",
    }
    whole = dict(figures(loads(measured)))
    chance = random.Random(5)
    for _ in range(60):
        ends = (
            (chance.choice((low, high, chance.uniform(low, high))))
            for low, high in ((7.5, 8.5), (7.5, 9.5), (59.9, 60.1), (16.078, 16.278))
        )
        ridge, pitch, length, slope = ends
        one = {
            **FREE,
            "ridge:      {is: 8 m": f"ridge:      {{is: {ridge:.6f} m",
            "{is: 8.5 deg": f"{{is: {pitch:.3f} deg",
            "[60 m, 16.178 m]": f"[{length:.6f} m, {slope:.6f} m]",
            "{is: III, how: aerial": f"{{is: {chance.choice(('II', 'III'))}, how: aerial",
            "from_eave: 4.00 m, from_left: 5.00 m": "from_eave: 1.55 m, from_left: 1.55 m",
        }
        for name, value in figures(loads(one)):
            if name in whole:
                low, high = whole[name]
                slack = 1e-6 * max(1.0, abs(high))
                assert low - slack <= value.low <= value.high <= high + slack, (name, one)


def test_other_units_change_nothing(loads: LoadsOf) -> None:
    written = {
        "{is: 0.65 kN/m2": "{is: 650 Pa",
        "ridge:      {is: 8 m": "ridge:      {is: 8000 mm",
        "[60 m, 16.178 m]": "[6000 cm, 16178 mm]",
        "gap_below: 120 mm": "gap_below: 0.12 m",
        "from_eave: 4.00 m": "from_eave: 400 cm",
        "{is: 120 m, paper: map}": "{is: 0.12 km, paper: map}",
    }
    assert loads(written) == loads()


def test_a_terrain_that_is_open_shows_lowest_and_highest(loads: LoadsOf) -> None:
    found = loads({"{is: III, how: aerial": "{one_of: [II, III], how: aerial"})
    assert found.word == Word.CONDITIONAL
    # by hand as in test_by_hand.py: terrain II, kr 0.19, ln(8/0.05) = 5.0752
    assert found.peak_pa is not None
    assert found.peak_pa.low == pytest.approx(661.817, abs=0.01)
    assert found.peak_pa.high == pytest.approx(
        (1 + 7 / 5.0752) * 422.5 * (0.19 * 5.0752) ** 2, 1e-4
    )
    [row] = [r for r in found.topics["wind"].rows if r.symbol == "terrain"]
    assert row.value == "II or III"


def test_a_roof_that_may_be_flat_is_read_both_ways(loads: LoadsOf) -> None:
    pitch = "{is: 5 deg, tool: phone on the seam, by: lw}"
    found = loads({**FREE, "{is: 8.5 deg, paper: plan}": pitch})
    assert {z.table for z in found.zones} == {"flat-sharp", "duopitch"}
    assert found.lift["fixing"].pressure_pa.low <= found.lift["fixing"].pressure_pa.high


def test_a_steep_roof_holds_its_snow(loads: LoadsOf) -> None:
    """EN 1991-1-3:2003 table 5.2 gives 0.8 (60 - 45)/30 = 0.4 at 45 deg; held it stays 0.8."""
    found = loads({**FREE, "{is: 8.5 deg": "{is: 45 deg"})
    assert found.snow_pa == (pytest.approx(520), pytest.approx(520))
    assert found.topics["snow"].word == Word.CONDITIONAL  # clause 5.3.2(2) is from memory
    assert "mu1,least" in {row.symbol for row in found.to_confirm}


def test_of_exact_rows_of_the_tables_nothing_is_from_memory(loads: LoadsOf) -> None:
    found = loads({**FREE, "{is: 8.5 deg": "{is: 15 deg"})
    weak = {row.symbol: row.status for row in found.to_confirm}
    assert weak == {"tilt_limit": "judgement", "gap_limit": "judgement", "edge_gaps": "judgement"}


def test_ranges_beside_drifts_hold_what_any_roof_inside_gives(loads: LoadsOf) -> None:
    """Snow, its rows and sets of exact roofs inside the measures, against the ranges of all."""
    chance = random.Random(17)
    beside = {**FREE, **obstacles(thing("hood", "20.00 m", "0.60 m", "tool: tape, by: lw"))}
    sizes = {
        "step": "{is: 3.0 m, tool: floors counted, by: lw}",
        "length": "{is: 12.0 m, how: aerial view, by: hb}",
        "pitch": "{is: 8 deg, tool: pitch meter, by: lw}",
    }
    light = {"{is: 0.65 kN/m2": "{is: 0.25 kN/m2"}
    outline = {"16.178 m], paper: plan}": "16.178 m], tool: tape, by: lw}"}
    whole = dict(figures(loads({**beside, **light, **outline, **taller(**sizes)})))
    ends = ((0.55, 0.65), (1.5, 4.5), (11.5, 12.5), (7.5, 8.5), (59.9, 60.1), (16.078, 16.278))
    for _ in range(60):
        one = [chance.choice((low, high, chance.uniform(low, high))) for low, high in ends]
        rises, step, length, pitch, along, slope = one
        exact = {
            **FREE,
            **light,
            **obstacles(thing("hood", "20.00 m", f"{rises:.6f} m")),
            **taller(
                step=f"{{is: {step:.6f} m, paper: plan}}",
                length=f"{{is: {length:.6f} m, paper: plan}}",
                pitch=f"{{is: {pitch:.3f} deg, paper: plan}}",
            ),
            "[60 m, 16.178 m]": f"[{along:.6f} m, {slope:.6f} m]",
        }
        for name, value in figures(loads(exact)):
            if name in whole:
                low, high = whole[name]
                slack = 1e-6 * max(1.0, abs(high))
                assert low - slack <= value.low <= value.high <= high + slack, (name, one)


def test_ranges_behind_a_parapet_hold_what_any_roof_inside_gives(loads: LoadsOf) -> None:
    """The tape is off by 20 mm, so that hp/h may lie below its first row or above it."""
    chance = random.Random(23)
    measured = {**FLAT, **LAND, **parapet("{is: 0.21 m, tool: tape, by: lw}")}
    whole = dict(figures(loads(measured)))
    for _ in range(30):
        height = chance.choice((0.19, 0.2, 0.23, chance.uniform(0.19, 0.23)))
        exact = {**FLAT, **LAND, **parapet(f"{{is: {height:.6f} m, paper: plan}}")}
        for name, value in figures(loads(exact)):
            if name in whole:
                low, high = whole[name]
                slack = 1e-6 * max(1.0, abs(high))
                assert low - slack <= value.low <= value.high <= high + slack, (name, height)
