"""Windows between the clips: against a scan by the millimetre, and by what must always hold."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.layout.clip_windows import (
    FAR,
    Block,
    MarkedSeam,
    Reach,
    Window,
    clips,
    dark,
    free,
    gaps,
    height_in,
    last_bays,
    line_zones,
    lines_of,
    row_shifts,
    set_out,
    shifts,
    within,
)
from tests.layout.roofs import MM, Tape, free_at, random_marks, reach, seam

TAPE = Tape(distance=95, slack=10, widest=520, top=9_000)


def mm(low: int, high: int) -> Window:
    return Window(low * MM, high * MM)


def holds(windows: list[Window], at: int) -> bool:
    return any(w.holds(at) for w in windows)


# --- against the scan ----------------------------------------------------------------------


def test_a_thousand_roofs_against_the_scan() -> None:
    rng = random.Random(20310314)
    some = none = 0
    for _ in range(1_000):
        marks = random_marks(rng)
        tolerance = rng.choice((0, 5, 10))
        top = rng.choice((None, 4_000, 9_000, max((m[-1] for m in marks if m), default=0) + 300))
        distance, slack = rng.choice(((0, 10), (80, 0), (95, 10), (140, 10)))
        tape = Tape(distance, slack, 500 + 2 * tolerance, top)
        seams = [seam(f"s{n}", m, tolerance, top) for n, m in enumerate(marks)]
        zone = rng.randint(0, 3_500)
        found = within(free(seams, reach(tape)), [mm(zone, zone + 500)])
        scanned = {
            h for h in range(zone, zone + 501) if all(free_at(h, m, tape, tolerance) for m in marks)
        }
        told = {h for h in range(zone, zone + 501) if holds(found, h * MM)}
        assert told == scanned
        edges = {x for w in found for x in w}
        assert all(min(abs(x - h * MM) for h in scanned) <= MM for x in edges)
        some, none = some + bool(found), none + (not found)
    assert some > 100
    assert none > 150


def test_shifts_of_a_block_against_trying_each_millimetre() -> None:
    rng = random.Random(7)
    zones = line_zones(1_740 * MM, mm(200, 440), 2, 10 * MM, None)
    helped = 0
    for _ in range(60):
        starts = [rng.randint(60, 160) for _ in range(rng.randint(1, 3))]
        seams = [seam(f"s{n}", [a + 440 * i for i in range(15)]) for n, a in enumerate(starts)]
        windows = free(seams, reach(TAPE))
        rows = [(600 + n * 1_760) * MM for n in range(rng.randint(1, 3))]
        flat = [zone for y in rows for zone in lines_of(y, zones)]
        found = shifts(windows, flat, mm(-300, 300))
        for by in range(-300, 301):
            moved = [[w.moved(by * MM) for w in zone] for zone in flat]
            assert holds(found, by * MM) == all(within(windows, zone) for zone in moved)
        helped += bool(found)
    assert helped > 10


def test_rows_set_out_anew_against_all_pairs() -> None:
    rng = random.Random(11)
    zones = line_zones(1_740 * MM, mm(200, 440), 2, 10 * MM, None)
    room, step = mm(-200, 200), 10
    helped = 0
    for _ in range(120):
        seams = [seam(f"s{n}", [rng.randint(60, 120) + 430 * i for i in range(14)]) for n in "ab"]
        windows = free(seams, reach(Tape(150, 10, 520, 9_000)))
        spare = rng.choice((0, 40))
        block = Block((600 * MM, (600 + 1_760 + spare) * MM), 1_740 * MM, 20 * MM)
        ranges = row_shifts(windows, block, zones, room)
        tried = range(-200, 201, step)
        good = [
            (a, b)
            for a in tried
            for b in tried
            if b - a >= -spare
            and all(
                within(windows, [w.moved(s * MM) for w in zone])
                for y, s in zip(block.rows, (a, b), strict=True)
                for zone in lines_of(y, zones)
            )
        ]
        for row in (0, 1):
            here = {pair[row] for pair in good}
            assert all(holds(ranges[row], s * MM) for s in here)
        by = set_out(ranges, block)
        assert (by is None) <= (not good)
        if by is not None and good:
            helped += 1
            least = min(abs(a) + abs(b) for a, b in good)
            assert sum(map(abs, by)) <= least * MM
        if by is not None:
            assert by[1] - by[0] >= -spare * MM
            assert all(holds(one, s) for one, s in zip(ranges, by, strict=True))
    assert helped > 20


# --- by hand ---------------------------------------------------------------------------------


def test_one_bay_by_hand() -> None:
    """Clips 450 apart, +-10, 95 to keep, 10 of setting out: 450 - 2 (95 + 10 + 10) = 220 left."""
    one = seam("s1", [300, 750, 1_200, 1_650, 2_100])
    found = free([one], reach(TAPE))
    assert found == [mm(865, 1_085), mm(1_315, 1_535), mm(1_765, 1_985)]


def test_two_seams_share_what_both_leave() -> None:
    seams = [seam("s1", [300, 750, 1_200, 1_650]), seam("s2", [250, 640, 1_090, 1_540])]
    assert free(seams, reach(TAPE)) == [mm(865, 975), mm(1_315, 1_425)]


def test_touching_on_both_sides_leaves_one_height() -> None:
    seams = [seam("s1", [300, 750, 1_200, 1_650]), seam("s2", [300, 980, 1_430])]
    wide = Reach(95 * MM, 10 * MM, 900 * MM)
    assert mm(865, 865) in free([*seams[:1], seam("s2", [300, 700, 980, 1_430])], wide)


@pytest.mark.parametrize("marks", [[], [300], [300, 750]])
def test_too_few_marks_leave_nothing(marks: list[int]) -> None:
    assert free([seam("s1", marks)], reach(TAPE)) == []


def test_zones_of_one_two_and_three_lines() -> None:
    """Module 1.72 m, zone 0.10 to 0.45 m, third line 0.10 m from the middle: the case world."""
    zone, length, slack = mm(100, 450), 1_720 * MM, 10 * MM
    near, far = mm(110, 440), mm(1_280, 1_610)
    assert line_zones(length, zone, 1, slack, None) == ((near, far),)
    assert line_zones(length, zone, 2, slack, None) == ((near,), (far,))
    middle = mm(860 - 90, 860 + 90)
    assert line_zones(length, zone, 3, slack, 100 * MM) == ((near,), (middle,), (far,))


@pytest.mark.parametrize(("lines", "middle"), [(3, None), (0, 100), (4, 100)])
def test_zones_that_no_record_gives(lines: int, middle: int | None) -> None:
    with pytest.raises(ValueError, match="no zones"):
        line_zones(1_720 * MM, mm(100, 450), lines, 0, middle)


def test_a_zone_narrower_than_the_setting_out_is_none() -> None:
    assert line_zones(1_720 * MM, mm(100, 115), 2, 10 * MM, None) == ((), ())


@pytest.mark.parametrize(
    ("window", "height"),
    [
        (mm(865, 1_085), 975),
        (mm(1_001, 1_012), 1_005),
        (mm(1_001, 1_004), 1_003),
        (mm(1_001, 1_001), 1_001),
    ],
)
def test_a_height_to_mark_is_round(window: Window, height: int) -> None:
    assert height_in(window) == height * MM


def test_a_window_without_a_whole_millimetre_keeps_its_middle() -> None:
    assert height_in(Window(1_000_100, 1_000_300)) == 1_000_200


# --- what always holds -----------------------------------------------------------------------

MARKS = st.lists(st.integers(0, 400), min_size=0, max_size=8).map(
    lambda steps: [sum(steps[: n + 1]) + 100 * n for n in range(len(steps))]
)
ROOF = st.lists(MARKS, min_size=1, max_size=4)
TAPES = st.builds(Tape, st.integers(0, 200), st.integers(0, 20), st.integers(300, 600), st.none())
HEIGHT = st.integers(0, 4_000)


def built(roof: list[list[int]]) -> list[MarkedSeam]:
    return [seam(f"s{n}", marks) for n, marks in enumerate(roof)]


@given(ROOF, TAPES)
def test_the_fast_way_is_the_plain_one(roof: list[list[int]], tape: Tape) -> None:
    seams, how = built(roof), reach(tape)
    blocked = [b for s in seams for b in (*clips(s, how), *dark(s, how), *last_bays(s, how))]
    assert free(seams, how) == gaps(blocked)


@given(ROOF, MARKS, TAPES)
def test_one_more_seam_never_widens(roof: list[list[int]], more: list[int], tape: Tape) -> None:
    before = free(built(roof), reach(tape))
    for w in free(built([*roof, more]), reach(tape)):
        assert any(b.low <= w.low and w.high <= b.high for b in before)


@given(ROOF, TAPES, st.integers(1, 100))
def test_more_distance_never_widens(roof: list[list[int]], tape: Tape, more: int) -> None:
    before = free(built(roof), reach(tape))
    further = Tape(tape.distance + more, tape.slack, tape.widest, tape.top)
    for w in free(built(roof), reach(further)):
        assert any(b.low <= w.low and w.high <= b.high for b in before)


@given(MARKS.filter(lambda m: len(m) > 3), TAPES, st.data())
def test_one_more_clip_inside_never_widens(
    marks: list[int], tape: Tape, data: st.DataObject
) -> None:
    """Between marks that are known, in a bay that is one bay, a further clip only takes away."""
    tape = Tape(tape.distance, tape.slack, 600, 9_000)
    extra = data.draw(st.integers(marks[1] + 1, marks[-2]))
    before = free([seam("a", marks)], reach(tape))
    for w in free([seam("a", sorted({*marks, extra}))], reach(tape)):
        assert any(b.low <= w.low and w.high <= b.high for b in before)


@given(ROOF.filter(lambda r: all(len(m) > 1 for m in r)), TAPES, st.integers(0, 500))
def test_marks_moved_move_the_windows(roof: list[list[int]], tape: Tape, by: int) -> None:
    still = free(built(roof), reach(tape))
    moved = [seam(f"s{n}", [m + by for m in marks], top=9_000 + by) for n, marks in enumerate(roof)]
    lowest = (max(m[1] for m in roof) + 1) * MM  # below it, the eave counts
    found = free(moved, reach(tape))
    assert {w.moved(by * MM) for w in still if w.low > lowest} <= set(found)


@given(ROOF, TAPES, HEIGHT)
def test_unknown_is_never_free(roof: list[list[int]], tape: Tape, at: int) -> None:
    if any(not marks or at > marks[-1] for marks in roof):
        assert not holds(free(built(roof), reach(tape)), at * MM)


@given(st.lists(st.tuples(st.integers(-99, 99), st.integers(1, 60)), min_size=1, max_size=9))
def test_gaps_are_what_no_interval_covers(raw: list[tuple[int, int]]) -> None:
    blocked = [(a, a + wide) for a, wide in raw]
    found = gaps(blocked)
    low, high = min(a for a, _ in blocked), max(b for _, b in blocked)
    for at in range(low + 1, high):
        inside = any(a < at < b for a, b in blocked)
        assert any(w.holds(at) for w in found) != inside


def test_nothing_reaches_as_far_as_the_end_of_the_world() -> None:
    assert FAR < 2**30  # what the fast comparison of whole numbers takes
