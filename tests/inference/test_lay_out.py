"""Layouts of whole jobs: figures by pencil and paper, what is unknown never a yes, faults named.

The roof is that of the example granary: seams every 530 mm from 200 mm, clip marks near every
450 mm, modules of 1090 by 1740 mm, rails in pieces of at most 7.2 m that run 40 mm past a module.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut, as_drawn
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.layout.model import Pattern
from selector.model.job import Job
from selector.model.truth import Word
from tests.conftest import ROOT

GRANARY = (ROOT / "examples/granary/job.yaml").read_text(encoding="utf-8")
HALL = (ROOT / "examples/reading-hall/job.yaml").read_text(encoding="utf-8")
BLOCK = "rows: 2, columns: 7, from_eave: 1.475 m, from_left: 0.76 m, gap: 20 mm"
BREAKS = ", breaks: [3], break_gap: 160 mm"
Lay = Callable[..., LaidOut]


@pytest.fixture
def lay(base: Base, judge: Judge) -> Lay:
    """Lay out the granary with some texts of its job changed."""

    def laid(
        *changes: tuple[str, str], text: str = GRANARY, pattern: Pattern | None = None
    ) -> LaidOut:
        for old, new in changes:
            assert text.count(old) == 1, f"`{old}` stands {text.count(old)} times in the job"
            text = text.replace(old, new)
        job: Job = job_of(read_string(text, "job.yaml"), base.vocabulary)
        return lay_out(Desk(base, job, judge), job.stacks["planned"], pattern)

    return laid


# --- by pencil and paper ----------------------------------------------------------------------


def test_the_granary_is_where_pencil_and_paper_put_it(lay: Lay) -> None:
    laid = lay()
    placed = laid.placed
    assert laid.word == Word.CONDITIONAL and placed is not None
    assert laid.flaws == () and laid.faults == () and laid.opens == ()
    # 3 x 1090 + 2 x 20 = 3310 from 760, 40 past: 720 to 4110; then 4110 - 40 + 160 = 4230, and
    # 4 x 1090 + 3 x 20 = 4420 on: 4190 to 8690
    ends = [[(p.x0, p.x1) for p in rail.pieces] for rail in placed.rails]
    assert ends == [[(720_000, 4_110_000), (4_190_000, 8_690_000)]] * 4
    # seams at 200 + 530 n: the first above 720 is n = 1 (730), the last below 4110 n = 7 (3910);
    # above 4190 n = 8 (4440), below 8690 n = 16 (8680)
    seams = [[[c.seam for c in p.clamps] for p in rail.pieces] for rail in placed.rails]
    first = [f"s{n:02}" for n in range(2, 9)]
    second = [f"s{n:02}" for n in range(9, 18)]
    assert seams == [[first, second]] * 4
    assert len(list(placed.clamps)) == 4 * 16
    # rows at 1475 and 1475 + 1740 + 20 = 3235
    assert [row.box.y0 for row in placed.rows] == [1_475_000, 3_235_000]


def test_every_rail_lies_in_its_zone_and_between_the_clips(lay: Lay) -> None:
    placed = lay().placed
    assert placed is not None
    for rail in placed.rails:
        row = placed.rows[rail.row - 1].box
        inside = min(rail.y - row.y0, row.y1 - rail.y)
        assert 200_000 + 10_000 <= inside <= 440_000 - 10_000, "zone of the module, set out to 10"
        for clamp in (c for p in rail.pieces for c in p.clamps):
            assert clamp.from_clip is not None and clamp.from_clip >= 95_000


def test_bars_are_sawn_as_pencil_and_paper_say(lay: Lay) -> None:
    placed = lay().placed
    assert placed is not None and placed.cut is not None
    # four pieces of 4500 fit only bars of 5200, and nothing else fits beside them; 3390 goes into
    # 3600: 4 x 5200 + 4 x 3600
    assert placed.cut.stock == 4 * 5_200_000 + 4 * 3_600_000
    assert placed.cut.proven


def test_fewer_clamps_never_pass_the_table_of_spans(lay: Lay) -> None:
    # two seams are 1060 apart, the rail spans 1050: every seam is needed
    laid = lay(pattern="every second seam")
    assert laid.word == Word.FORBIDDEN
    assert {flaw.kind for _, flaw in laid.flaws} >= {"span"}
    assert any(flaw.kind == "span" and flaw.found >= 1_060_000 for _, flaw in laid.flaws)


def test_the_same_layout_drawn_by_hand_is_judged_alike(base: Base, judge: Judge, lay: Lay) -> None:
    found = lay(pattern="least")
    assert found.placed is not None
    plan = replace(found.plan, layout=as_drawn(found.placed, None))
    job = replace(found.job, stacks={**found.job.stacks, plan.id: plan})
    again = lay_out(Desk(base, job, judge), plan)
    assert again.placed is not None and again.placed.pattern == "by hand"
    assert [r.y for r in again.placed.rails] == [r.y for r in found.placed.rails]
    assert list(again.placed.clamps) == list(found.placed.clamps)
    assert again.word == found.word


# --- what is unknown is never a yes -----------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "path"),
    [
        (("      parallel: {is: parallel, how: tape at eave and ridge, by: tk}\n", ""), "parallel"),
        (("module: demo/module-p35", "module: demo/module-w46"), ""),
        ((", from_eave: 1.475 m, from_left: 0.76 m", ""), "array.block"),
        (("net_uplift:              {is: 0.90 kPa", "net_down:                {is: 0.90 kPa"), ""),
    ],
)
def test_what_is_missing_is_asked_for(lay: Lay, change: tuple[str, str], path: str) -> None:
    changes = [change]
    if change[0].startswith("net_uplift"):
        down = "      net_down:                {is: 1.10 kPa, paper: calc, "
        changes.insert(0, (down + "covers: [array a1, field]}\n", ""))
    laid = lay(*changes)
    assert not laid.word.is_yes
    assert any(path in one.about for one in laid.opens) or not path


def test_without_any_marks_the_positions_are_shown_and_not_released(lay: Lay) -> None:
    start = GRANARY.index("      marks:\n        how")
    end = GRANARY.index("    deck:\n")
    text = GRANARY[:start] + GRANARY[end:]
    laid = lay(text=text)
    assert laid.placed is not None, "shown"
    assert laid.word == Word.OBSERVE
    assert any("marks" in one.about for one in laid.opens)
    assert all(clamp.from_clip is None for clamp in laid.placed.clamps)


def test_seams_by_spacing_are_off_the_more_the_further(lay: Lay) -> None:
    start, end = GRANARY.index("      at:\n        s01"), GRANARY.index("    objects:\n")
    text = GRANARY[:start] + "      first: 0.200 m\n" + GRANARY[end:]
    laid = lay(text=text)
    roof = (laid.placed or laid.sketch).roof  # type: ignore[union-attr]
    offs = [seam.off for seam in roof.seams]
    assert offs == sorted(offs) and offs[0] < offs[-1]
    # spacing read as 530, 530, 531 with a tape of 1 mm: 529 to 532 a step
    assert roof.seams[10].x - roof.seams[10].off <= 200_000 + 10 * 529_000
    assert roof.seams[10].x + roof.seams[10].off >= 200_000 + 10 * 532_000


def test_fanning_seams_are_the_engineers(lay: Lay) -> None:
    laid = lay(("{is: parallel, how: tape at eave", "{is: fanning, how: tape at eave"))
    assert laid.placed is None and laid.word >= Word.ENGINEER


# --- what stands in the way -------------------------------------------------------------------


def test_a_module_over_a_vent_is_forbidden_there(lay: Lay) -> None:
    laid = lay(
        ("vent: {from_left: 10.60 m, from_eave: 5.10 m", "vent: {from_left: 3 m, from_eave: 2 m")
    )
    assert laid.word == Word.FORBIDDEN and laid.placed is not None
    # the vent of 300 mm with 300 mm round it: 2700 to 3600, 1700 to 2600; module 2 of row 1 ends at
    # 760 + 1090 + 20 + 1090 = 2960, module 3 begins at 2980
    assert {f.about[:2] for f in laid.faults} == {("1", "2"), ("1", "3")}
    assert {f.kind for f in laid.faults} == {"obstacle"}


def test_a_strip_that_stays_free(lay: Lay) -> None:
    laid = lay(
        (
            "drip: {along: eave, width: 0.20 m, use: edge",
            "drip: {along: eave, width: 1.55 m, use: walkway",
        )
    )
    assert {(f.kind, f.missing) for f in laid.faults} == {("walkway", 75_000)}
    assert laid.word == Word.FORBIDDEN


def test_a_joint_parts_the_rails_between_two_modules(lay: Lay) -> None:
    joint = "    lines: {j1: {from_left: 4.15 m}}\n    objects:\n"
    laid = lay(("    objects:\n", joint))
    assert laid.placed is not None and laid.faults == ()
    for rail in laid.placed.rails:
        assert all(not piece.x0 < 4_150_000 < piece.x1 for piece in rail.pieces)
    across = lay(("    objects:\n", joint.replace("4.15", "4.60")))
    assert across.word == Word.FORBIDDEN
    assert across.unjoined == ("divide",) or any(f.kind == "across" for f in across.faults)


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        (("from_left: 0.76 m", "from_left: 5.76 m"), "outside"),
        (
            (
                "{rectangle: [12.19 m, 7.50 m]",
                "{polygon: [[0 m, 0 m], [12 m, 7 m], [12 m, 0 m], [0 m, 7 m]]",
            ),
            "crosses itself",
        ),
        (
            ("{rectangle: [12.19 m, 7.50 m]", "{polygon: [[0 m, 0 m], [12 m, 0 m], [6 m, 0 m]]"),
            "crosses itself",
        ),
    ],
)
def test_what_cannot_be_is_at_fault(lay: Lay, change: tuple[str, str], kind: str) -> None:
    laid = lay(change)
    assert {f.kind for f in laid.impossible} == {kind}
    assert laid.placed is None and laid.sketch is not None and laid.word == Word.FORBIDDEN


def test_two_arrays_on_one_place(lay: Lay) -> None:
    start, end = GRANARY.index("  a1:\n    plane"), GRANARY.index("stacks:")
    other = GRANARY[start:end].replace("  a1:", "  a2:").replace("rows: 2", "rows: 1")
    other = other[: other.index("    stated:")]
    laid = lay(text=GRANARY[:end].rstrip() + "\n" + other + "\n" + GRANARY[end:])
    assert {f.kind for f in laid.impossible} == {"on another array"}
    assert len(laid.impossible) == 7


def test_where_no_seam_carries_the_end_of_a_rail_a_place_is_proposed(lay: Lay) -> None:
    laid = lay((BLOCK + BREAKS, BLOCK.replace("0.76", "0.95")))
    assert laid.word == Word.FORBIDDEN and laid.elsewhere is not None
    found = laid.elsewhere
    gap, breaks = f"{found.gap} um", list(found.breaks)
    block = BLOCK.replace("from_left: 0.76 m", f"from_left: {found.left} um")
    there = lay((BLOCK + BREAKS, f"{block}, breaks: {breaks}, break_gap: {gap}"))
    assert there.elsewhere is None and not there.nowhere
    assert not [flaw for _, flaw in there.flaws if flaw.kind in ("span", "cantilever", "clamps")]


def test_a_block_that_has_no_place_between_the_clips_says_what_helps(lay: Lay) -> None:
    laid = lay(("from_eave: 1.475 m", "from_eave: 1.69 m"))
    assert laid.word == Word.FORBIDDEN
    assert laid.clips is not None and laid.clips.found is not None
    assert not laid.clips.found.stands and laid.clips.found.changes


# --- zones ------------------------------------------------------------------------------------

SEAMS = """    seams: {first: 0.30 m, paper: plan}
    seam:
      spacing: {is: 0.50 m, paper: plan}
      parallel: {is: parallel, paper: plan}
"""
STACK = """stacks:
  planned: {array: a1, clamp: demo/dl-1, rail: demo/rail-u, module_clamp: demo/mc-1}
"""


def test_each_clamp_keeps_its_worst_zone_and_wind(lay: Lay) -> None:
    hall = HALL.replace("    seam:\n", SEAMS).replace("stacks: {}\n", STACK)
    hall = hall.replace(
        "from_eave: 4.00 m, from_left: 5.00 m", "from_eave: 0.30 m, from_left: 0.30 m"
    )
    laid = lay(text=hall)
    placed = laid.placed
    assert placed is not None, [one.about for one in laid.opens]
    zones = {(clamp.zone, clamp.wind) for clamp in placed.clamps}
    assert len({zone for zone, _ in zones}) > 1
    # EN 1991-1-4 figure 7.8: e = 16 m in wind onto the eave, corner F up to e/4 = 4 m and e/10 deep
    corner = [c for c in placed.clamps if c.x < 4_000_000 - 600_000 and c.y < 1_600_000]
    assert corner and {c.zone for c in corner} == {"F"}
    lifts = {(z.name, z.wind): z.lift_pa for z in placed.roof.zones}
    assert all(lift is not None and lift >= 0 for lift in lifts.values())


def test_more_wind_never_takes_clamps_away(lay: Lay) -> None:
    counts = []
    for lift in ("0.30 kPa", "0.90 kPa", "1.60 kPa"):
        laid = lay(("{is: 0.90 kPa, paper: calc", f"{{is: {lift}, paper: calc"), pattern="least")
        assert laid.placed is not None
        counts.append(
            (
                len(list(laid.placed.clamps)),
                max(f.worst.ratio for x in laid.lines for f in x.found if f.worst),
            )
        )
    assert counts == sorted(counts)


def test_no_file_is_read_or_written(
    tmp_path: Path, lay: Lay, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert lay().word == Word.CONDITIONAL
    assert list(tmp_path.iterdir()) == []
