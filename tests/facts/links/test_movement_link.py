"""Rails and temperature on small layouts: by hand, and what nobody knows is never a yes.

Aluminium, 24e-6; the base has 100 K for the range of a roof and 10 mm for setting out.
"""

from collections.abc import Callable
from dataclasses import replace

import pytest

from selector.engineering.movement import Steps, steps_k
from selector.facts.actions.model import Open
from selector.facts.links.climate import Climate, climate_of, fitted_between
from selector.facts.links.held_sheets import Held
from selector.facts.links.model import Link
from selector.facts.links.movement_link import (
    Give,
    along_links,
    give_of,
    milder_of,
    movement_links,
    sheets_links,
)
from selector.facts.view import View
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.layout.model import ClampAt, Joint, Piece, Placed, Rail
from selector.model.quantity import Measured, Place
from selector.model.truth import Word
from tests.layout.sample import MM, small

Sees = Callable[..., View]
KNOWN = Climate(steps_k(-20, 70, 5, 25), "from 5 to 25 C", "published")


def piece(x0_mm: int, x1_mm: int, *clamps_mm: int) -> Piece:
    held = tuple(ClampAt(f"s{x:04}", x * MM, 0) for x in clamps_mm)
    return Piece(x0_mm * MM, x1_mm * MM, held, ((x1_mm - x0_mm) * MM,))


def with_rail(*pieces: Piece, joints: tuple[Joint, ...] = ()) -> Placed:
    return replace(small(), rails=(Rail("r1", 1, 1, 0, pieces, joints),))


def rail_u(base: Base) -> Part:
    return base.part("demo/rail-u")


def millimetres(ends: object) -> object:
    assert isinstance(ends, tuple)
    return ends[1]


EVEN = piece(0, 9200, 200, 2400, 4600, 6800, 9000)
UNEVEN = piece(0, 9200, 200, 2500, 4600, 9000)


def one(links: tuple[Link, ...], name: str) -> Link:
    found = [link for link in links if link.name == name]
    assert len(found) == 1
    return found[0]


# --- across the seams --------------------------------------------------------------------


def test_even_clamps_hold_the_middle(base: Base) -> None:
    """4.6 m, 65 K: 7.176 mm of 8 mm."""
    links = movement_links(base, rail_u(base), with_rail(EVEN), Give(sideways_m=0.008), KNOWN)
    link = one(links, "move_across")
    assert millimetres(link.demand) == pytest.approx(7.176)
    assert link.ratio is not None and link.ratio.high == pytest.approx(0.897)
    assert link.word == Word.ALLOWED
    assert link.place == "r1 s0200-s9000"


def test_without_a_fixed_point_the_whole_length_counts(base: Base) -> None:
    """9.2 m, 65 K: 14.352 mm of 8 mm."""
    links = movement_links(base, rail_u(base), with_rail(UNEVEN), Give(sideways_m=0.008), KNOWN)
    link = one(links, "move_across")
    assert millimetres(link.demand) == pytest.approx(14.352)
    assert link.word == Word.FORBIDDEN


def test_the_sheet_below_takes_nothing_off(base: Base) -> None:
    """Across the seams it is 24e-6, not the difference to a steel sheet: 7.2 and not 3.6 mm."""
    climate = Climate(Steps(50.0, 50.0), "", "statics")
    rail = piece(0, 6000, 500, 1500, 2500, 3500, 4500, 5500)
    link = one(
        movement_links(base, rail_u(base), with_rail(rail), Give(0.008), climate), "move_across"
    )
    assert millimetres(link.demand) == pytest.approx(24e-3 * 3.0 * 50)
    assert millimetres(link.demand) != pytest.approx(12e-3 * 3.0 * 50, rel=0.1)


def test_the_whole_range_counts_where_nobody_says_the_day(base: Base) -> None:
    assert climate_of(base).steps == (100.0, 100.0)
    link = one(movement_links(base, rail_u(base), with_rail(EVEN), Give(0.012)), "move_across")
    assert millimetres(link.demand) == pytest.approx(24e-3 * 4.6 * 100)


def test_without_a_record_the_length_that_the_rail_states(base: Base) -> None:
    """rail-u states 7.2 m: 7.2 m is conditional at most, 9.2 m is too long."""
    for length, word in ((7200, Word.CONDITIONAL), (9200, Word.FORBIDDEN)):
        links = movement_links(base, rail_u(base), with_rail(piece(0, length, 500, 5000)), Give())
        link = one(links, "move_across")
        assert link.unit == "m" and link.word == word
        assert [o.about for o in link.opens] == ["clamp.give.sideways"]


def test_pieces_joined_rigidly_move_as_one(base: Base) -> None:
    halves = piece(0, 4500, 200, 2400), piece(4500, 9200, 4600, 6800, 9000)
    joined = with_rail(*halves, joints=("rigid",))
    both = movement_links(base, rail_u(base), joined, Give(0.008), KNOWN)
    assert both == movement_links(base, rail_u(base), with_rail(EVEN), Give(0.008), KNOWN)


# --- between pieces ----------------------------------------------------------------------


def test_a_gap_by_hand(base: Base) -> None:
    """Middles at 1.6 and 4.62 m; ends at 3.2 and 3.22: 3.0 m grow 24e-6 x 65 K, and 10 mm."""
    left, right = piece(0, 3200, 600, 1600, 2600), piece(3220, 6020, 3620, 4620, 5620)
    placed = with_rail(left, right, joints=("gap",))
    link = one(movement_links(base, rail_u(base), placed, Give(0.008), KNOWN), "move_gap")
    assert millimetres(link.demand) == pytest.approx(24e-3 * (1.6 + 1.4) * 65 + 10)
    assert millimetres(link.capacity) == pytest.approx(20.0)
    assert link.word == Word.ALLOWED
    assert len(movement_links(base, rail_u(base), placed, Give(0.008), KNOWN)) == 3


def test_a_gap_too_narrow(base: Base) -> None:
    left, right = piece(0, 3200, 600, 1600, 2600), piece(3212, 6012, 3612, 4612, 5612)
    placed = with_rail(left, right, joints=("gap",))
    link = one(movement_links(base, rail_u(base), placed, Give(0.008), KNOWN), "move_gap")
    assert link.word == Word.FORBIDDEN


def test_what_a_sliding_splice_lets_through_is_not_known(base: Base) -> None:
    left, right = piece(0, 3200, 600, 1600, 2600), piece(3240, 6040, 3640, 4640, 5640)
    placed = with_rail(left, right, joints=("sliding",))
    link = one(movement_links(base, rail_u(base), placed, Give(0.008), KNOWN), "move_gap")
    assert link.word == Word.OBSERVE
    assert [o.about for o in link.opens] == ["splice.travel"]


def test_a_metal_without_an_expansion_is_named(base: Base) -> None:
    part = rail_u(base)
    metal = schema.MetalWords(metal="copper-alloy")
    part = replace(part, shape=part.shape.model_copy(update={"metal": metal}))
    link = one(movement_links(base, part, with_rail(EVEN), Give(0.008), KNOWN), "move_across")
    assert link.demand is None and link.word == Word.ENGINEER


def test_status_travels(base: Base) -> None:
    given = Give(0.008, status="from memory")
    link = one(movement_links(base, rail_u(base), with_rail(EVEN), given, KNOWN), "move_across")
    assert link.status == "from memory"
    weather = replace(KNOWN, status="judgement")
    given = Give(0.008, status="measured")
    link = one(movement_links(base, rail_u(base), with_rail(EVEN), given, weather), "move_across")
    assert link.status == "judgement"


# --- along the seams ---------------------------------------------------------------------


def test_rows_along_the_seams_by_hand(base: Base) -> None:
    """Lines 1.24 m apart; steel under aluminium frames, 100 K, 20 K apart: 1680 um a metre."""
    links = along_links(base, small(), frozenset({"steel"}), "aluminium", Give(along_m=0.003))
    assert [link.place for link in links] == ["1", "2"]
    assert millimetres(links[0].demand) == pytest.approx(1.24 * 1.680)
    assert links[0].word == Word.ALLOWED
    assert links[0].status == "judgement"  # how far both are apart


def test_the_worst_metal_counts_where_two_are_left(base: Base) -> None:
    both = frozenset({"steel", "zinc"})
    links = along_links(base, small(), both, "aluminium", Give(along_m=0.003))
    assert millimetres(links[0].demand) == pytest.approx(1.24 * 1.680)


@pytest.mark.parametrize(
    ("sheet", "give", "about"),
    [
        (frozenset(), Give(along_m=0.003), "plane.sheet.metal"),
        (frozenset({"steel", "copper-alloy"}), Give(along_m=0.003), "plane.sheet.metal"),
        (frozenset({"steel"}), Give(), "clamp.give.along"),
    ],
)
def test_what_nobody_knows_along_the_seams(
    base: Base, sheet: frozenset[str], give: Give, about: str
) -> None:
    for link in along_links(base, small(), sheet, "aluminium", give):
        assert [o.about for o in link.opens] == [about]
        assert link.word == Word.OBSERVE


ZINC = frozenset({"zinc"})
OPEN = Open(Word.OBSERVE, "missing", "plane.sheet.fixed_at", "not asked")


def held(*, off_mm: int = 0, **heights_mm: int) -> Held:
    """Fixed zones by seam."""
    at = {s: ((y - off_mm) * MM, (y + off_mm) * MM) for s, y in heights_mm.items()}
    return Held(at, opens=(OPEN,))


def test_sheets_with_their_own_fixed_zones(base: Base) -> None:
    """Zinc, 70 K, 6.5 and 1.2 m towards the eave: 8.162 mm; on opposite sides 11.858 mm."""
    placed = with_rail(piece(0, 2000, 500, 1500))
    climate = Climate(Steps(70.0, 40.0), "", "published")
    for second, wanted in ((1_200, 8.162), (-1_200, 11.858)):
        fixed = held(s0500=6_500, s1500=second)
        [link] = sheets_links(base, placed, ZINC, fixed, Give(along_m=0.009), climate)
        assert millimetres(link.demand) == pytest.approx(wanted)
        assert link.word == (Word.ALLOWED if wanted < 9 else Word.FORBIDDEN)


def test_how_well_a_fixed_zone_is_located_counts_both_ways(base: Base) -> None:
    """Zinc, 70 K, 5.3 m apart and each 0.5 m off: 22e-6 x 70 x (4.3 to 6.3) m."""
    placed = with_rail(piece(0, 2000, 500, 1500))
    climate = Climate(Steps(70.0, 40.0), "", "published")
    fixed = held(off_mm=500, s0500=6_500, s1500=1_200)
    [link] = sheets_links(base, placed, ZINC, fixed, Give(along_m=0.009), climate)
    assert link.demand == pytest.approx((22e-3 * 70 * 4.3, 22e-3 * 70 * 6.3))
    assert link.word == Word.OBSERVE  # 6.6 to 9.7 mm of 9 mm


def test_zones_that_may_be_alike_move_by_nothing_at_least(base: Base) -> None:
    placed = with_rail(piece(0, 2000, 500, 1500))
    fixed = held(off_mm=500, s0500=6_500, s1500=6_000)
    [link] = sheets_links(base, placed, ZINC, fixed, Give(along_m=0.009))
    assert link.demand is not None and link.demand.low == 0.0
    assert link.demand.high == pytest.approx(22e-3 * 100 * 1.5)


def test_a_sheet_whose_fixed_zone_nobody_knows(base: Base) -> None:
    placed = with_rail(piece(0, 3000, 500, 1500, 2500))
    [link] = sheets_links(base, placed, ZINC, held(s0500=6_500, s1500=6_000), Give(along_m=0.009))
    assert [o.about for o in link.opens] == ["plane.sheet.fixed_at"]
    assert link.word == Word.OBSERVE and link.demand is not None
    [alone] = sheets_links(base, placed, ZINC, held(s0500=0), Give(along_m=0.009))
    assert alone.demand is None and alone.word == Word.OBSERVE


@pytest.mark.parametrize("sheet", [frozenset(), frozenset({"zinc", "copper-alloy"})])
def test_sheets_of_a_metal_that_nobody_knows(base: Base, sheet: frozenset[str]) -> None:
    placed = with_rail(piece(0, 2000, 500, 1500))
    fixed = held(s0500=6_500, s1500=6_500)
    [link] = sheets_links(base, placed, sheet, fixed, Give(along_m=0.009))
    assert link.demand is None
    assert [o.about for o in link.opens] == ["plane.sheet.metal"]


def test_the_worst_metal_counts_for_sheets_too(base: Base) -> None:
    placed = with_rail(piece(0, 2000, 500, 1500))
    both, fixed = frozenset({"zinc", "steel"}), held(s0500=2_000, s1500=1_000)
    [link] = sheets_links(base, placed, both, fixed, Give(along_m=0.009))
    assert millimetres(link.demand) == pytest.approx(22e-3 * 100 * 1.0)


def test_sheets_that_are_held_alike_have_no_link(base: Base) -> None:
    placed = with_rail(piece(0, 2000, 500, 1500))
    assert sheets_links(base, placed, ZINC, Held(alike=True), Give()) == ()


# --- the day of fitting ------------------------------------------------------------------


def measured(*celsius: tuple[float, float]) -> Measured:
    return Measured("temperature", tuple(Place(int(a * 1e3), int(b * 1e3)) for a, b in celsius))


@pytest.mark.parametrize(
    ("days", "up", "down"),
    [
        (((13, 17),), 67.0, 37.0),
        (((3, 7), (23, 27)), 77.0, 47.0),
        (((-22, -18),), 102.0, 4.0),  # colder than the coldest: the range grows
        (((78, 82),), 4.0, 102.0),
    ],
)
def test_what_is_left_either_way_from_the_days_of_fitting(
    base: Base, days: tuple[tuple[float, float], ...], up: float, down: float
) -> None:
    """From -20 to 80 C; EN 1991-1-5 clause 6.1.3.3: from the initial temperature either way."""
    assert fitted_between(base, measured(*days)).steps == pytest.approx((up, down))


def test_limits_from_memory_let_nothing_pass_unsaid(base: Base) -> None:
    """4.6 m: 11.04 mm in the whole range, 7.4 mm from 15 C; 8 mm of give."""
    both = climate_of(base), fitted_between(base, measured((13, 17)))

    def links(climate: Climate) -> tuple[Link, ...]:
        return movement_links(base, rail_u(base), with_rail(EVEN), Give(0.008), climate)

    [whole], [link] = links(both[0]), milder_of(both, links)
    assert whole.word == Word.FORBIDDEN
    assert millimetres(link.demand) == pytest.approx(24e-3 * 4.6 * 67)
    assert link.word == Word.CONDITIONAL and link.status == "from memory"
    assert [o.about for o in link.opens] == ["rail.temperatures"]


def test_what_passes_in_the_whole_range_needs_no_day(base: Base) -> None:
    both = climate_of(base), fitted_between(base, measured((13, 17)))

    def links(climate: Climate) -> tuple[Link, ...]:
        return movement_links(base, rail_u(base), with_rail(EVEN), Give(0.012), climate)

    assert milder_of(both, links) == links(both[0])
    assert links(both[0])[0].word == Word.ALLOWED


def test_a_day_that_does_not_help_changes_nothing(base: Base) -> None:
    both = climate_of(base), fitted_between(base, measured((-22, -18)))

    def links(climate: Climate) -> tuple[Link, ...]:
        return movement_links(base, rail_u(base), with_rail(EVEN), Give(0.008), climate)

    assert milder_of(both, links) == links(both[0])


# --- what a record says ------------------------------------------------------------------


def test_a_record_that_says_nothing_gives_nothing(sees: Sees) -> None:
    found = give_of(sees("granary", stack="planned"))
    assert (found.sideways_m, found.along_m) == (None, None)


def test_the_least_of_all_records_that_may_cover(sees: Sees) -> None:
    """All of this clamp say the same: 6 mm to either side, 2 mm along; one says less along."""
    view = sees("granary", stack="planned")
    assert give_of(replace(view, base=giving(view.base, {}))).sideways_m == pytest.approx(0.006)
    covering = covering_id(view)
    less = give_of(replace(view, base=giving(view.base, {covering: ("6 mm", "1 mm")})))
    assert (less.sideways_m, less.along_m) == pytest.approx((0.006, 0.001))
    none = give_of(replace(view, base=giving(view.base, {covering: None})))
    assert none.sideways_m is None and none.along_m is None


def covering_id(view: View) -> str:
    cover = view.read("stack.evidence clamp on seam").value
    return cover.surely[0]  # type: ignore[union-attr]


def giving(base: Base, other: dict[str, tuple[str, str] | None]) -> Base:
    """The base with a give in every clamp record of the demo catalogue."""
    catalogue, records = base.catalogues["demo"], []
    for record in base.catalogues["demo"].records:
        if isinstance(record.shape, schema.ClampRecord):
            said = other.get(record.id, ("6 mm", "2 mm"))
            give = (
                None
                if said is None
                else schema.Give.model_validate({"sideways": said[0], "along": said[1]})
            )
            shape = record.shape.model_copy(update={"give": give})
            records.append(replace(record, shape=shape))
        else:
            records.append(record)
    changed = replace(catalogue, records=tuple(records))
    return replace(base, catalogues={**base.catalogues, "demo": changed})
