"""What a plane says of where its sheets are held: alike, each by its own height, or not known."""

from collections.abc import Callable

import pytest

from selector.facts.links.climate import climates_of
from selector.facts.links.held_sheets import held_of
from selector.facts.view import View

Sees = Callable[..., View]
ZONE = "      fixed_zone: {is: upper third, how: closely spaced marks, by: tk}\n"
STEPS = "    steps:   {is: none, how: walked with the eyes, by: tk}\n"
OUTLINE = "outline: {rectangle: [12.19 m, 7.50 m], tool: tape, by: tk}"
CORNERS = "outline: {polygon: [[0 m, 0 m], [12 m, 0 m], [4 m, 7.5 m]], tool: tape, by: tk}"
HEIGHTS = "      fixed_at: {how: drawing, by: tk, seams: {s03: 6.1 m, s04: 0.2 m}}\n"
METRE = 1_000_000


def test_sheets_of_one_plane_without_a_step_are_held_alike(sees: Sees) -> None:
    found = held_of(sees("granary"))
    assert found.alike and not found.opens


@pytest.mark.parametrize(
    ("old", "new", "asked"),
    [
        (ZONE, "", "plane.sheet.fixed_zone"),
        ("{is: upper third, how", "{one_of: [upper third, ridge], how", "plane.sheet.fixed_zone"),
        (STEPS, "", "plane.steps"),
        (STEPS, STEPS.replace("is: none", "is: some"), "plane.steps"),
        (STEPS, STEPS.replace("is: none", "one_of: [none, some]"), "plane.steps"),
        (OUTLINE, CORNERS, "plane.sheet.fixed_at"),
        (OUTLINE + "\n", "\n", "plane.sheet.fixed_at"),
        (STEPS, f"{STEPS}    lines: {{dormer: {{from_left: 4 m}}}}\n", "plane.sheet.fixed_at"),
    ],
)
def test_what_leaves_it_open(sees: Sees, old: str, new: str, asked: str) -> None:
    found = held_of(sees("granary", {old: new}))
    assert not found.alike and not found.at
    assert [one.about for one in found.opens] == [asked]


def test_heights_of_each_sheet_count_with_how_well_they_are_located(sees: Sees) -> None:
    """6.1 m and 0.2 m, each half a metre off; no sheet is held below the eave."""
    found = held_of(sees("granary", {ZONE: ZONE + HEIGHTS}))
    assert not found.alike
    assert found.at == {"s03": (5.6 * METRE, 6.6 * METRE), "s04": (0, 0.7 * METRE)}


def test_the_whole_range_first_and_the_days_of_fitting_after_it(sees: Sees) -> None:
    day = "    rail_temperature: {is: 15 C, tool: contact thermometer, by: tk}\n"
    [whole] = climates_of(sees("granary"))
    assert whole.steps == (100.0, 100.0)
    first, fitted = climates_of(sees("granary", {STEPS: STEPS + day}))
    assert first == whole and fitted.steps == pytest.approx((67.0, 37.0))
    unsure = day.replace("is: 15 C, tool: contact thermometer", "hint: 15 C, how: felt")
    assert climates_of(sees("granary", {STEPS: STEPS + unsure})) == (whole,)
