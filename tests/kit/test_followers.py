"""What follows from what, one test for each follower of the trade; nothing is left out silently."""

from dataclasses import replace
from typing import Any

import pytest

from selector.inference.judge import Judge
from selector.kit.chosen import Chosen
from selector.kit.count import kit_of
from selector.kit.counts import counted
from selector.kit.lines import goods
from selector.kit.model import Kit, Line
from selector.knowledge.base import Base
from selector.layout.model import Piece, Placed, Rail
from selector.model.truth import Word
from tests.kb import roofs
from tests.kit.made import (
    PLATE,
    ROUND,
    STEEL,
    ids,
    kit_on,
    left,
    lines,
    number,
    placed_for,
    roof_for,
)
from tests.layout.sample import small

COPPER = {**STEEL, "inlay": "demo/in-1"}


SALTY = {"is": "0.4 km", "tool": "map", "by": "x"}
A4 = {"clamp": "demo/dl-2", "rail": "demo/rail-p", "module_clamp": "demo/mc-1"}


def clip_of(base: Base, **metal: object) -> Base:
    """The base with a cable clip of another metal."""
    clip = base.part("demo/cable-clip")
    changed = clip.shape.metal.model_copy(update=metal)  # type: ignore[union-attr]
    other = replace(clip, shape=clip.shape.model_copy(update={"metal": changed}))
    demo = base.catalogues["demo"]
    catalogue = replace(demo, parts={**demo.parts, clip.id: other})
    return replace(base, catalogues={**base.catalogues, "demo": catalogue})


def kit_without(base: Base, judge: Judge, row: dict[str, Any], *gone: str) -> Kit:
    """The kit where the catalogue lacks parts."""
    demo = base.catalogues["demo"]
    parts = {k: v for k, v in demo.parts.items() if k not in gone}
    assert len(parts) == len(demo.parts) - len(gone)
    catalogues = {**base.catalogues, "demo": replace(demo, parts=parts)}
    return kit_on(replace(base, catalogues=catalogues), judge, row)


def uncut(base: Base, row: dict[str, Any]) -> tuple[Line, ...]:
    """Counted lines of a stack, whatever its word."""
    job = roofs.job(base, row)
    plan = job.stacks["one"]
    layers = 2 if plan.slots["cross"] else None
    chosen = Chosen(base, plan, base.part("demo/module-p35"))
    return goods(base, chosen, counted(placed_for(job), upper_lines=layers))


def one(kit: Kit, kind: str) -> Line:
    (found,) = lines(kit, kind)
    return found


# --- follow-up of the trade: common practice, no source ----------------------------------------


def test_an_inlay_brings_a_set_a_clamp_spares_and_a_jumper(base: Base, judge: Judge) -> None:
    kit = kit_on(base, judge, roof_for(base, COPPER, "copper"))
    inlay = one(kit, "inlay")
    # 12 clamps: 12 sets; spare 10 % = 1.2, so 2. Jumpers: earth, second row, one for the inlays.
    assert (inlay.number, inlay.unit, inlay.spare, inlay.follows) == (12, "set", 2, "demo/dl-1")
    jumper = one(kit, "jumper")
    assert (jumper.number, jumper.follows) == (3, "demo/in-1")
    without = kit_on(base, judge, roof_for(base, STEEL))
    assert (lines(without, "inlay"), number(without, "jumper")) == ([], 2)


def test_a_two_part_clamp_brings_its_insert(base: Base, judge: Judge) -> None:
    kit = kit_on(base, judge, roof_for(base, ROUND))
    insert = one(kit, "insert")
    # 12 clamps: 12; spare 10 % = 1.2, at least 5
    assert (insert.part, insert.number, insert.spare) == ("demo/rd-1-insert", 12, 5)
    assert insert.follows == "demo/rd-1"


def test_a_flat_pad_under_a_slotted_rail_brings_plate_and_bolts(base: Base, judge: Judge) -> None:
    kit = kit_on(base, judge, roof_for(base, PLATE))
    plate, bolts = one(kit, "adapter"), one(kit, "bolts")
    # one on each of 12 clamps; spares: plates 3 %, at least 2; bolt sets 5 %, at least 5
    assert (plate.number, plate.spare, plate.follows) == (12, 2, "demo/mix-1")
    assert (bolts.number, bolts.unit, bolts.spare) == (12, "set", 5)
    assert bolts.follows == "demo/ad-1"
    assert lines(kit, "joint") == []


def test_no_plate_and_no_bolt_under_a_rail_that_takes_the_head(base: Base, judge: Judge) -> None:
    kit = kit_on(base, judge, roof_for(base, STEEL))
    assert lines(kit, "adapter") == lines(kit, "bolts") == lines(kit, "joint") == []


def test_landscape_brings_a_second_layer_with_connectors(base: Base, judge: Judge) -> None:
    slots = {
        "clamp": "demo/dl-1",
        "rail": "demo/rail-u",
        "cross": "demo/cross-u",
        "upper_rail": "demo/rail-u",
        "module_clamp": "demo/mc-1",
    }
    row = roofs.changed(roof_for(base, slots), arrays__a1__orientation="landscape")
    kit = kit_on(base, judge, row)
    # 3 columns x 2 upper rails = 6, each over 4 lower rails; 6 x 3.5 m
    assert number(kit, "cross") == 24
    upper = one(kit, "upper_rail")
    assert (str(upper.amount), upper.unit, upper.follows) == ("21.00", "m", "demo/cross-u")
    # one module over the other: one clamp between on each upper rail, two at its ends
    assert (number(kit, "mid_clamp"), number(kit, "end_clamp")) == (6, 12)
    assert kit.word == Word.ENGINEER and not kit.released


def test_bolts_of_connectors_are_counted_a_crossing(base: Base) -> None:
    slots = {
        "clamp": "demo/dl-5",
        "bolts": "demo/bolt-1",
        "rail": "demo/rail-s",
        "cross": "demo/cross-s",
        "upper_rail": "demo/rail-s",
        "module_clamp": "demo/mc-2",
    }
    row = roofs.changed(roof_for(base, slots), arrays__a1__orientation="landscape")
    demo = base.catalogues["demo"]
    assert sum(x.number or 0 for x in uncut(base, row) if x.kind == "bolts") == 12
    cross = demo.parts["demo/cross-s"]
    bolted = replace(cross, shape=cross.shape.model_copy(update={"takes": ("slot",)}))
    catalogue = replace(demo, parts={**demo.parts, cross.id: bolted})
    other = replace(base, catalogues={**base.catalogues, "demo": catalogue})
    assert sum(x.number or 0 for x in uncut(other, row) if x.kind == "bolts") == 12 + 24


def parted(placed: Placed, joint: str) -> Placed:
    """Each rail cut after the second module, where the row is broken too."""
    rails = []
    for rail in placed.rails:
        (whole,) = rail.pieces
        cut = placed.rows[0].modules[1].x1 + 10_000
        clamps = whole.clamps
        pieces = (
            Piece(whole.x0, cut - 5_000, clamps[:2], (cut - 5_000 - whole.x0,)),
            Piece(cut + 5_000, whole.x1, (*clamps[2:], clamps[2]), (whole.x1 - cut - 5_000,)),
        )
        rails.append(Rail(rail.id, rail.row, rail.line, rail.y, pieces, (joint,)))  # type: ignore[arg-type]
    rows = tuple(replace(row, breaks=(2,)) for row in placed.rows)
    return replace(placed, rows=rows, rails=tuple(rails), cut=None)


@pytest.mark.parametrize(("joint", "splices"), [("sliding", 4), ("gap", 0)])
def test_a_row_over_the_limit_brings_gap_parts_and_end_clamps(
    base: Base, judge: Judge, joint: str, splices: int
) -> None:
    """One break on 4 rail lines: a mid clamp less and two end clamps more on each of them."""
    kit = kit_on(base, judge, roof_for(base, STEEL), parted(small(), joint))
    assert (number(kit, "mid_clamp"), number(kit, "end_clamp")) == (8 - 4, 8 + 2 * 4)
    assert number(kit, "sliding_splice") == splices
    assert number(kit, "end_cap") == 2 * 8
    # jumpers: earth, second row, and over each of the 4 open joints
    assert number(kit, "jumper") == 1 + 1 + 4


def test_a_piece_of_three_parts_brings_two_rigid_splices(base: Base, judge: Judge) -> None:
    placed = small()
    rail = placed.rails[0]
    piece = replace(rail.pieces[0], parts=(1_000_000, 1_000_000, 1_310_000))
    first = replace(rail, pieces=(piece,))
    placed = replace(placed, rails=(first, *placed.rails[1:]), cut=None)
    kit = kit_on(base, judge, roof_for(base, STEEL), placed)
    splice = one(kit, "rigid_splice")
    assert (splice.number, splice.part, splice.follows) == (2, "demo/splice-u", "demo/rail-u")


def test_nothing_cut_yet_counts_the_joints_that_bars_are_too_short_for(
    base: Base, judge: Judge
) -> None:
    placed = small()
    piece = replace(placed.rails[0].pieces[0], x1=1_000_000 + 11_000_000, parts=(11_000_000,))
    rails = (replace(placed.rails[0], pieces=(piece,)), *placed.rails[1:])
    kit = kit_on(base, judge, roof_for(base, STEEL), replace(placed, rails=rails, cut=None))
    # the longest bar of rail-u has 5.2 m: 11 m is three bars, two splices at least
    assert number(kit, "rigid_splice") == 2
    (rail,) = lines(kit, "rail")
    # 11 + 3 x 3.31 m
    assert (rail.unit, str(rail.amount)) == ("m", "20.93")


@pytest.mark.parametrize("where", ["salt", "stainless"])
def test_salt_and_bare_stainless_want_stainless_screws_and_washing(
    base: Base, judge: Judge, where: str
) -> None:
    row = roof_for(base, A4, "stainless" if where == "stainless" else "coated steel")
    if where == "salt":
        row = roofs.changed(row, site__sea_distance=SALTY)
    kit = kit_on(base, judge, row)
    assert "washing-plan" in ids(kit)
    assert "plain-screws" in left(kit)
    assert [x.kind for x in kit.faults] == []  # screws and clips of this stack are A4
    inland = kit_on(base, judge, roof_for(base, A4))
    assert "washing-plan" not in ids(inland) and "plain-screws" not in left(inland)


@pytest.mark.parametrize(
    ("metal", "fault"),
    [
        ({"metal": "aluminium", "grade": "6xxx"}, ["not_stainless"]),
        ({"metal": "stainless", "grade": "A2"}, ["grade"]),
        ({"metal": "stainless", "grade": "unknown"}, ["grade"]),
        ({"metal": "stainless", "grade": "A4"}, []),
    ],
)
def test_a_part_that_salt_eats_is_named(
    base: Base, judge: Judge, metal: dict[str, object], fault: list[str]
) -> None:
    row, with_it = roof_for(base, A4), clip_of(base, **metal)
    assert not kit_on(with_it, judge, row).faults
    salty = kit_on(with_it, judge, roofs.changed(row, site__sea_distance=SALTY))
    assert [x.fault for x in salty.faults] == fault
    nobody_looked = roofs.changed(row, site__sea_distance={"unknown": "don't know"})
    perhaps = kit_on(with_it, judge, nobody_looked)
    assert [x.fault for x in perhaps.faults] == [f"{f}_perhaps" for f in fault]


def test_a_seam_made_by_hand_brings_the_clip_finder_and_the_clip_plan(
    base: Base, judge: Judge
) -> None:
    kit = kit_on(base, judge, roof_for(base, STEEL))
    assert {"clip-finder", "clip-plan"} <= ids(kit) and "position-plan" not in ids(kit)
    rolled = kit_on(base, judge, roof_for(base, ROUND))
    assert "position-plan" in ids(rolled)
    assert not {"clip-finder", "clip-plan"} & ids(rolled)


def test_what_is_not_known_keeps_a_tool_in_and_says_so(base: Base, judge: Judge) -> None:
    row = roofs.changed(roof_for(base, STEEL), planes__p1__seam__made={"unknown": "don't know"})
    kit = kit_on(base, judge, row)
    both = [x for x in kit.lines if x.item and x.item.id in ("clip-plan", "position-plan")]
    assert [x.perhaps for x in both] == [True, True]


def test_bare_copper_never_runs_over_aluminium(base: Base, judge: Judge) -> None:
    """Tinned or aluminium conductors over aluminium, zinc and galvanised parts: NZ code of practice
    on metal roofs, as the rules of this base cite it.
    """
    jumper = base.part("demo/bonding-jumper")
    bare = jumper.shape.metal.model_copy(update={"coating": ("none",)})  # type: ignore[union-attr]
    other = replace(jumper, shape=jumper.shape.model_copy(update={"metal": bare}))
    demo = base.catalogues["demo"]
    catalogue = replace(demo, parts={**demo.parts, jumper.id: other})
    with_it = replace(base, catalogues={**base.catalogues, "demo": catalogue})
    kit = kit_on(with_it, judge, roof_for(base, STEEL))
    assert [(x.kind, x.fault) for x in kit.faults] == [("jumper", "bare_copper")]
    assert not kit_on(base, judge, roof_for(base, STEEL)).faults


def zinc_clip(base: Base) -> Base:
    """The base with a zinc-plated cable clip."""
    return clip_of(base, metal="steel", coating=("zinc",), grade="unknown")


def test_no_zinc_goes_onto_copper(base: Base, judge: Judge) -> None:
    copper = roof_for(base, COPPER, "copper")
    kit = kit_on(base, judge, copper)
    assert "zinc-on-copper" in left(kit) and not kit.faults
    plated = kit_on(zinc_clip(base), judge, copper)
    assert [(x.kind, x.fault) for x in plated.faults] == [("cable_clip", "zinc")]
    assert not plated.released
    steel = kit_on(zinc_clip(base), judge, roof_for(base, STEEL))
    assert not steel.faults and "zinc-on-copper" not in left(steel)


def test_a_roof_that_may_be_copper_takes_no_zinc_either(base: Base, judge: Judge) -> None:
    row = roof_for(base, STEEL)
    perhaps = {"one_of": ["copper", "steel"], "how": "colour", "by": "x"}
    row = roofs.changed(row, planes__p1__sheet__metal=perhaps)
    plated = kit_on(zinc_clip(base), judge, row)
    if plated.forbidden:  # dead whatever it is; no kit is the safe answer too
        pytest.fail("this roof was meant to stay open")
    assert [x.fault for x in plated.faults] == ["zinc_perhaps"]


def test_an_existing_building_brings_the_letters(base: Base, judge: Judge) -> None:
    kit = kit_on(base, judge, roof_for(base, STEEL))
    paper = {x.item.id: x for x in kit.lines if x.item}
    assert paper["engineers-letter"].there is True
    assert paper["roofers-letter"].there is False
    assert [x.item.id for x in kit.papers_missing if x.item] == ["roofers-letter"]
    row = roof_for(base, STEEL)
    del row["papers"]["reserve"]
    row = roofs.changed(row, site__reserve_paper={"is": "none", "by": "x"})
    without = kit_on(base, judge, row)
    assert {x.item.id for x in without.papers_missing if x.item} == {
        "engineers-letter",
        "roofers-letter",
    }
    new = roofs.changed(roof_for(base, STEEL), site__building={"is": "new", "by": "x"})
    assert not {"engineers-letter", "roofers-letter"} & ids(kit_on(base, judge, new))


def test_a_system_profile_brings_its_owners_document(base: Base, judge: Judge) -> None:
    slots = {
        "clamp": "demo/as-1",
        "bolts": "demo/bolt-1",
        "rail": "demo/rail-s",
        "module_clamp": "demo/mc-2",
    }
    assert "owners-document" in ids(kit_on(base, judge, roof_for(base, slots, "aluminium")))
    assert "owners-document" not in ids(kit_on(base, judge, roof_for(base, STEEL)))


def test_a_clamp_with_an_order_brings_the_order_card(base: Base, judge: Judge) -> None:
    slots = {"clamp": "demo/rd-2", "rail": "demo/rail-u", "module_clamp": "demo/mc-1"}
    assert "order-card" in ids(kit_on(base, judge, roof_for(base, slots)))
    assert "order-card" not in ids(kit_on(base, judge, roof_for(base, STEEL)))


# --- never silently shorter --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "kind", "slots"),
    [
        ("demo/cap-u", "end_cap", STEEL),
        ("demo/bonding-jumper", "jumper", STEEL),
        ("demo/cable-clip", "cable_clip", STEEL),
        ("demo/cap-s", "end_cap", ROUND),
    ],
)
def test_a_part_that_the_catalogue_lacks_stays_a_line(
    base: Base, judge: Judge, part: str, kind: str, slots: dict[str, Any]
) -> None:
    row = roof_for(base, slots)
    before, after = kit_on(base, judge, row), kit_without(base, judge, row, part)
    missing = one(after, kind)
    assert (missing.listed, missing.part) == (False, "")
    assert missing.number == number(before, kind)
    assert [x.kind for x in after.lines] == [x.kind for x in before.lines]
    assert after.unlisted == (missing,) and not after.released
    assert after.totals is not None and not after.totals.whole
    assert after.totals.prices == {}


def test_splices_that_the_catalogue_lacks_stay_lines(base: Base, judge: Judge) -> None:
    row, placed = roof_for(base, STEEL), parted(small(), "sliding")
    demo = base.catalogues["demo"]
    parts = {k: v for k, v in demo.parts.items() if k != "demo/slide-u"}
    other = replace(base, catalogues={**base.catalogues, "demo": replace(demo, parts=parts)})
    missing = one(kit_on(other, judge, row, placed), "sliding_splice")
    assert (missing.number, missing.listed) == (4, False)


def test_a_stack_that_does_not_join_has_no_silent_hole(base: Base) -> None:
    """What nobody put between clamp and rail is a line of its own, were the stack shown at all."""
    slots = {**PLATE, "adapters": []}
    found = uncut(base, roof_for(base, slots))
    assert [(x.number, x.listed) for x in found if x.kind == "joint"] == [(12, False)]


def test_a_needed_insert_that_nobody_chose_is_still_counted(base: Base) -> None:
    slots = {k: v for k, v in ROUND.items() if k != "insert"}
    found = {x.kind: x for x in uncut(base, roof_for(base, slots))}
    assert (found["insert"].part, found["insert"].number) == ("demo/rd-1-insert", 12)


def test_another_layout_than_that_of_the_stack_is_refused(base: Base) -> None:
    job = roofs.job(base, roof_for(base, STEEL))
    placed = placed_for(job)
    other = replace(placed, slots={**placed.slots, "rail": "demo/rail-s"})
    with pytest.raises(ValueError, match="another rail than stack `one`"):
        kit_of(base, job, job.stacks["one"], other)


# --- clamps that are made for one place ----------------------------------------------------------


def test_a_mid_clamp_never_stands_at_an_end(base: Base, judge: Judge) -> None:
    row = roof_for(base, STEEL)
    row["catalogues"] = ["cases"]
    slots = {
        "clamp": "cases/double-alu-slideon",
        "rail": "cases/rail-slideon",
        "module_clamp": "cases/clamp-end",
    }
    row["stacks"] = {"one": {"array": "a1", **slots}}
    row = roofs.changed(row, arrays__a1__module="cases/case-module")
    kit = kit_on(base, judge, row)
    assert one(kit, "mid_clamp").part == "cases/clamp-mid"
    assert one(kit, "end_clamp").part == "cases/clamp-end"
    # the cases know no prices and no end caps: each missing thing is said
    assert {x.kind for x in kit.unlisted} == {"end_cap", "cable_clip"}


def test_a_clamp_without_a_rail_carries_its_module_clamp(base: Base, judge: Judge) -> None:
    slots = {"clamp": "demo/dl-7", "module_clamp": "demo/mc-5"}
    kit = kit_on(base, judge, roof_for(base, slots))
    assert number(kit, "module_clamp") == number(kit, "clamp") == 12
    assert not {"rail", "end_cap", "mid_clamp", "end_clamp"} & {x.kind for x in kit.lines}
    assert "saw" not in ids(kit)
