"""Counts of a kit against an independent recount from positions, and against pencil and paper."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.inference.judge import Judge
from selector.kit.counts import counted, total
from selector.knowledge.base import Base
from selector.layout.model import Bar, Box, ClampAt, CutPlan, Joint, Piece, Placed, Rail, Row
from tests.kit.made import STEEL, kit_on, lines, number, roof_for
from tests.layout.sample import small

MM = 1_000


def test_the_small_layout_by_pencil_and_paper(base: Base, judge: Judge) -> None:
    """Counted by hand on tests/layout/sample.py; rules of counting: common practice, no source."""
    kit = kit_on(base, judge, roof_for(base, STEEL))
    # Seams stand at 260 + 530 i mm; the rails run from 1000 to 1000 + 3 x 1090 + 2 x 20 = 4310 mm.
    # Inside are 1320, 1850, 2380, 2910, 3440, 3970: six, every second one is 3 clamps a rail.
    # 2 rows x 2 lines = 4 rails: 3 x 4 = 12 clamps; spare 3 % = 0.36, at least 2.
    assert (number(kit, "clamp"), lines(kit, "clamp")[0].spare) == (12, 2)
    # Set screws: 12 x 2 = 24 come with the clamps; spares 5 % = 1.2, at least 5.
    assert number(kit, "set_screw") == 5
    # One piece of 3310 mm a rail, each out of a bar of 4200 mm: 4 bars, no splice, 8 caps.
    (bars,) = lines(kit, "rail")
    assert (bars.number, bars.unit, bars.length) == (4, "bar", 4_200 * MM)
    assert (number(kit, "end_cap"), lines(kit, "end_cap")[0].spare) == (8, 1)
    assert lines(kit, "rigid_splice") == lines(kit, "sliding_splice") == []
    # 3 modules in a row: 2 gaps x 4 rail lines = 8; two ends x 4 rail lines = 8.
    assert number(kit, "module") == 6
    assert (number(kit, "mid_clamp"), number(kit, "end_clamp")) == (8, 8)
    # Jumpers: one to the earth, one from the first row to the second.
    assert number(kit, "jumper") == 2
    # String cable along each row: 3310 / 400 = 8.3, so 9 clips a row.
    assert number(kit, "cable_clip") == 18
    # Bars: 4 x 4.2 m x 780 g/m = 13104 g in the van, 4 x 3.31 x 780 = 10327.2 g on the roof.
    assert (bars.mass, bars.on_roof) == (13_104, 10_327)
    # Mass in the van: clamps 14 x 240 = 3360, screws 5 x 8 = 40, caps 9 x 9 = 81, modules
    # 6 x 21500 = 129000, module clamps (9 + 9) x 62 = 1116, jumpers 2 x 35 = 70, clips 19 x 4 = 76.
    assert kit.totals is not None
    assert kit.totals.mass == 13_104 + 3_360 + 40 + 81 + 129_000 + 1_116 + 70 + 76
    # On the roof: 10327 + 12 x 240 + 8 x 9 + 129000 + 16 x 62 + 70 + 18 x 4 = 143413 g.
    assert kit.totals.on_roof == 143_413
    # Area: 2 rows x 3.31 m x 1.74 m = 11.5188 m2.
    assert kit.totals.square_metres == pytest.approx(11.5188)
    # Prices: clamps 14 -> a pack of 20 x 3.40 = 68.00; screws 5 x 0.30 = 1.50; bars 4 x 4.2 x
    # 5.10 = 85.68; caps 9 -> 20 x 0.40 = 8.00; modules 6 x 96 = 576; module clamps 9 + 9 -> one
    # pack of 25 x 1.40 = 35.00; jumpers 2 x 1.90 = 3.80; clips 19 -> 50 x 0.20 = 10.00.
    assert {k: str(v) for k, v in kit.totals.prices.items()} == {"EUR": "787.98"}


# --- any layout, counted a second time -------------------------------------------------------

JOINTS: tuple[Joint, ...] = ("rigid", "sliding", "gap")


@st.composite
def layouts(draw: st.DrawFn) -> Placed:
    """Rows with breaks, rails in pieces with joints, pieces of parts, clamps wherever."""
    rows, rails = [], []
    wide, high, gap = 1_000 * MM, 1_700 * MM, 20 * MM
    for number_ in range(1, draw(st.integers(1, 3)) + 1):
        n = draw(st.integers(1, 7))
        y0 = number_ * 1_800 * MM
        boxes = [Box(i * (wide + gap), i * (wide + gap) + wide, y0, y0 + high) for i in range(n)]
        breaks = draw(st.sets(st.integers(1, n - 1))) if n > 1 else set()
        rows.append(Row(number_, tuple(boxes), tuple(sorted(breaks))))
        for line in range(1, draw(st.integers(1, 3)) + 1):
            pieces, at = [], draw(st.sampled_from([0, wide + gap]))
            for _ in range(draw(st.integers(1, 3))):
                parts = draw(st.lists(st.integers(300 * MM, 3_000 * MM), min_size=1, max_size=3))
                end = at + sum(parts)
                clamps = tuple(ClampAt(f"s{k}", at + k, y0) for k in range(draw(st.integers(2, 6))))
                pieces.append(Piece(at, end, clamps, tuple(parts)))
                at = end + 10 * MM
            joints = tuple(draw(st.sampled_from(JOINTS)) for _ in pieces[1:])
            name = f"r{number_}.{line}"
            rails.append(Rail(name, number_, line, y0 + line, tuple(pieces), joints))
    parts = [x for rail in rails for p in rail.pieces for x in p.parts]
    cut = CutPlan(tuple(Bar(3_000 * MM, (x,)) for x in parts), 0, True, "one part a bar")
    return replace(
        small(), rows=tuple(rows), rails=tuple(rails), cut=draw(st.sampled_from([cut, None]))
    )


def held(placed: Placed) -> Iterator[tuple[str, int, int]]:
    """A second count of module clamps: each side of each module on each rail, one by one."""
    for rail in placed.rails:
        row = next(r for r in placed.rows if r.number == rail.row)
        lies = [any(max(p.x0, m.x0) < min(p.x1, m.x1) for p in rail.pieces) for m in row.modules]
        for i, on in enumerate(lies):
            if not on:
                continue
            left_open = i == 0 or not lies[i - 1] or i in row.breaks
            right_open = i == len(lies) - 1 or not lies[i + 1] or i + 1 in row.breaks
            yield rail.id, int(not right_open), left_open + right_open


@settings(max_examples=150)
@given(layouts())
def test_every_count_is_found_again_piece_by_piece(placed: Placed) -> None:
    found = counted(placed)
    pieces = [p for rail in placed.rails for p in rail.pieces]
    assert found.all_clamps == len(list(placed.clamps))
    assert found.pieces == len(pieces)
    assert total(found.modules) == sum(len(row.modules) for row in placed.rows)
    joints = [j for rail in placed.rails for j in rail.joints]
    rigid = sum(len(p.parts) - 1 for p in pieces) + joints.count("rigid")
    assert total(found.rigid) == rigid
    assert (found.sliding, found.gaps) == (joints.count("sliding"), joints.count("gap"))
    sides = list(held(placed))
    assert total(found.mids) == sum(mid for _, mid, _ in sides)
    assert total(found.ends) == sum(end for _, _, end in sides)
    assert found.rows == len(placed.rows)
    assert sum(length * n for length, n in found.cables) == sum(
        row.modules[-1].x1 - row.modules[0].x0 for row in placed.rows
    )


@settings(max_examples=60)
@given(layouts())
def test_a_break_takes_two_end_clamps_for_one_between(placed: Placed) -> None:
    """On a rail under a whole row, as the trade counts: n - 1 - g between, 2 (1 + g) at ends."""
    whole = [
        replace(
            rail,
            pieces=(Piece(-MM, 9_000 * MM, rail.pieces[0].clamps, (9_000 * MM + MM,)),),
            joints=(),
        )
        for rail in placed.rails
    ]
    found = counted(replace(placed, rails=tuple(whole), cut=None))
    rows = {row.number: row for row in placed.rows}
    n = [(len(rows[r.row].modules), len(rows[r.row].breaks)) for r in whole]
    assert total(found.mids) == sum(m - 1 - g for m, g in n)
    assert total(found.ends) == sum(2 * (1 + g) for _, g in n)


@settings(max_examples=60)
@given(layouts())
def test_the_area_leaves_the_breaks_out(placed: Placed) -> None:
    modules = sum((m.x1 - m.x0) * (m.y1 - m.y0) for row in placed.rows for m in row.modules)
    between = sum(
        (b.x0 - a.x1) * (a.y1 - a.y0)
        for row in placed.rows
        for n, (a, b) in enumerate(zip(row.modules, row.modules[1:], strict=False), 1)
        if n not in row.breaks
    )
    assert counted(placed).area == modules + between


def test_a_cut_plan_of_other_pieces_is_refused() -> None:
    placed = small()
    assert placed.cut is not None
    other = replace(placed.cut, bars=placed.cut.bars[1:])
    with pytest.raises(ValueError, match="other pieces than are laid"):
        counted(replace(placed, cut=other))


def crossed() -> Placed:
    """Two rows of three modules over four lower rails that run under all of them."""
    return small()


def test_two_layers_by_pencil_and_paper() -> None:
    """3 columns of 2 modules, 2 upper rails a column, 4 lower rails: common practice, no source."""
    found = counted(crossed(), upper_lines=2)
    assert total(found.upper) == 3 * 2
    assert total(found.crossings) == 6 * 4
    # each upper rail: 2 modules, so one clamp between them and two ends
    assert (total(found.mids), total(found.ends)) == (6, 12)
    # each is as long as two modules with the gap between: 2 x 1740 + 20
    assert found.upper_run == 6 * 3_500 * MM


def test_a_column_with_a_hole_is_two_columns() -> None:
    placed = small()
    low, high = placed.rows
    third = replace(high, number=3, modules=tuple(_up(m) for m in high.modules))
    middle = replace(high, modules=high.modules[:2])
    found = counted(replace(placed, rows=(low, middle, third)), upper_lines=2)
    # two columns of three modules, and the last one below and above the hole: 4 columns
    assert total(found.upper) == 4 * 2
    assert (total(found.mids), total(found.ends)) == (2 * 2 * 2, 8 * 2)


def _up(box: Box) -> Box:
    return replace(box, y0=box.y0 + 1_760 * MM, y1=box.y1 + 1_760 * MM)
