"""Every clip under all clamps: worked figures, judged cases of the trade, and what must not help.

SEAMS, BEAMS: invented seams, worked out twice by other means; see the heads of the files.
"""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from selector.engineering.clip_influence import (
    goes_on,
    shares_of_part,
    suction_pa,
    tributaries_m,
)
from selector.engineering.lines import BadInputError
from selector.facts.actions.model import Ends
from selector.facts.links.clip_sums import (
    ClampPull,
    ClipLoad,
    ClippedSeam,
    ClipSums,
    ClipTask,
    Take,
    clip_sums,
)
from selector.layout.clip_forces import Pull, on_clips
from selector.layout.clip_windows import MarkedSeam
from selector.model.truth import Word

WORKED: dict[str, Any] = {
    w["id"]: w
    for name in ("worked_beams.yaml", "worked_seams.yaml")
    for w in yaml.safe_load(
        (Path(__file__).parents[2] / "engineering" / name).read_text(encoding="utf-8")
    )
}
MM = 1000
WIDTH = (530 * MM, 530 * MM)


def um(metres: float) -> int:
    return round(metres * 1e6)


def exact(metres: list[float]) -> tuple[tuple[int, int], ...]:
    return tuple((um(y), um(y)) for y in metres)


def seam(
    marks: tuple[tuple[int, int], ...],
    take: Take | None,
    top: int | None = None,
    name: str = "s1",
) -> ClippedSeam:
    return ClippedSeam(MarkedSeam(name, marks, top), (take,) * len(marks), WIDTH)


def task(
    one: ClippedSeam, clamps: list[tuple[int, float]], slack: int = 0, **rest: Any
) -> ClipTask:
    pulls = tuple(ClampPull(one.marked.id, at, Ends(force, force)) for at, force in clamps)
    return ClipTask((one,), pulls, slack, 520 * MM, **rest)


def after(resistance: float) -> Take:
    return Take(resistance, "after sheet suction")


def highs(found: ClipSums) -> dict[int, float]:
    return {c.mark: c.influence_n.high for c in found.clips}


# --- worked figures --------------------------------------------------------------------


@pytest.mark.parametrize("name", ["M20", "M21"])
def test_sums_of_all_rows_and_lines(name: str) -> None:
    inputs, results = WORKED[name]["inputs"], WORKED[name]["results"]
    clips = inputs["clips_m"]
    one = seam(exact(clips), after(1e6), um(clips[-1]))
    found = clip_sums(task(one, [(um(y), 1000 * f) for y, f in inputs["clamps_m_kN"]]))
    sums = [highs(found).get(n + 1, 0.0) / 1000 for n in range(len(clips))]
    assert sums == pytest.approx(results["sum_counts_kN"], rel=1e-6, abs=1e-7)
    assert all(c.influence_n.low == pytest.approx(c.influence_n.high) for c in found.clips)
    assert found.word == Word.ALLOWED


def gross(inputs: dict[str, Any], results: dict[str, Any]) -> ClipTask:
    """One clamp of the whole chain, with the suction of its bare sheet."""
    pull = suction_pa(inputs["gamma_Q"], inputs["qp_kN_m2"] * 1000, inputs["cpe1"], inputs["cpi"])
    take = Take(inputs["clip_Rd_kN"] * 1000, "gross", Ends(pull, pull))
    clips = inputs["clips_m"]
    one = seam(exact(clips), take, um(clips[-1]))
    clamp = (um(inputs["clamp_on_seam_at_m"]), results["largest_clamp_kN"] * 1000)
    return task(one, [clamp])


def test_the_end_of_the_chain_clip_by_clip() -> None:
    inputs, results = WORKED["M50"]["inputs"], WORKED["M50"]["results"]
    found = clip_sums(gross(inputs, results))
    ratios = {n + 1: r for n, r in enumerate(results["clip_ratio"]) if r}
    assert {c.mark: c.ratio.high for c in found.clips if c.ratio} == pytest.approx(ratios, rel=1e-6)
    spare = results["clip_spare_kN"]
    for c in found.clips:
        assert c.spare_n is not None
        assert c.spare_n.high / 1000 == pytest.approx(spare[c.mark - 1], rel=1e-6)
    assert found.worst is not None
    assert found.worst.mark == results["worst_clip_index"] + 1
    over = results["clip_forces_from_array_kN"][2] - spare[2]
    assert found.worst.over_n / 1000 == pytest.approx(over, rel=1e-5)
    assert found.word == Word.FORBIDDEN


def test_only_a_gross_value_loses_the_suction_of_the_sheet() -> None:
    inputs, results = WORKED["M50"]["inputs"], WORKED["M50"]["results"]
    whole = gross(inputs, results)
    left = replace(whole.seams[0], takes=(after(600.0),) * 7)
    found = clip_sums(replace(whole, seams=(left,)))
    assert {c.spare_n for c in found.clips} == {Ends(600.0, 600.0)}
    unknown = replace(whole.seams[0], takes=(Take(600.0, "gross"),) * 7)
    open_ = clip_sums(replace(whole, seams=(unknown,)))
    assert all(c.spare_n is None and c.ratio is None for c in open_.clips)
    assert open_.word == Word.OBSERVE


def test_a_seam_that_may_go_on_takes_the_larger_of_both_ways() -> None:
    inputs, results = WORKED["M09"]["inputs"], WORKED["M09"]["results"]
    clips = [y + 0.6 for y in inputs["clips_m"]]  # so far from the eave that a clip may be missing
    one = seam(exact(clips), after(1e6))
    found = clip_sums(task(one, [(um(inputs["clamp_m"] + 0.6), 1000.0)]))
    counts = {n + 1: 1000 * c for n, c in enumerate(results["counts"]) if c}
    assert highs(found) == pytest.approx(counts, rel=1e-6)


@pytest.mark.parametrize("top", [None, 3200 * MM])
def test_a_seam_known_from_the_eave_up_may_still_go_on_above(top: int | None) -> None:
    """Also where the sheet is known to end, but so far above the last mark that clips are missing.

    Its first clip holds the sheet down to the eave; its last one, half a bay or what goes on.
    """
    clips, pull = [0.4, 0.75, 1.2, 1.5, 1.95], 800.0
    take = Take(1000.0, "gross", Ends(500.0, pull))
    found = clip_sums(task(seam(exact(clips), take, top), [(1350 * MM, 100.0)]))
    counts = shares_of_part(clips, 1.35, below=False)
    assert highs(found) == pytest.approx({n + 1: 100 * c for n, c in enumerate(counts) if c})
    more = goes_on(clips, below=False, above=True)
    lengths = zip(
        tributaries_m(clips, 0.0, clips[-1]),
        tributaries_m(clips, 0.0, clips[-1] + 0.520),  # as far as the widest bay
        tributaries_m(more, 0.0, more[-1]),
        strict=False,
    )
    spare = {n + 1: 1000 - pull * 0.53 * max(ways) for n, ways in enumerate(lengths)}
    assert {c.mark: c.spare_n.low for c in found.clips if c.spare_n} == pytest.approx(
        {c.mark: spare[c.mark] for c in found.clips}
    )


# --- judged cases by the hand rule -----------------------------------------------------

ROW = exact([0.4, 0.8, 1.2, 1.6, 2.0, 2.4])


def by_hand(
    marks: tuple[tuple[int, int], ...], at: int, force: float, spare: float = 350.0
) -> ClipSums:
    one = seam(marks, after(spare), marks[-1][1] + 200 * MM)
    return clip_sums(task(one, [(at, force)], method="hand", factor=1.25))


@pytest.mark.parametrize(
    ("force", "share", "word"), [(500.0, 312.5, Word.ALLOWED), (1000.0, 625.0, Word.FORBIDDEN)]
)
def test_clamp_in_the_middle_between_clips_half_a_metre_apart(
    force: float, share: float, word: Word
) -> None:
    """Clips every 500 mm, clamp at mid-bay, 0.35 kN to spare: 0.31 kN passes and 0.63 does not."""
    found = by_hand(exact([0.5, 1.0, 1.5, 2.0, 2.5]), 1250 * MM, force)
    beside = [c.hand_n for c in found.clips if c.mark in (2, 3)]
    assert beside == [Ends(share, share)] * 2
    assert found.word == word


def test_least_distance_of_a_clamp_as_the_trade_solves_it() -> None:
    """Clips every 400 mm, 0.40 kN, 0.35 kN to spare, factor 1.25: 120 mm or more."""
    assert by_hand(ROW, (1200 + 120) * MM, 400.0).word == Word.ALLOWED
    assert by_hand(ROW, (1200 + 119) * MM, 400.0).word == Word.FORBIDDEN


def test_two_clamps_in_one_bay_pull_at_the_same_clips() -> None:
    one = seam(ROW, after(350.0), 2600 * MM)
    pair = [(1390 * MM, 200.0), (1410 * MM, 200.0)]
    found = clip_sums(task(one, pair, method="hand", factor=1.25))
    lower = next(c for c in found.clips if c.mark == 3)
    assert lower.hand_n == Ends(pytest.approx(250.0), pytest.approx(250.0))  # type: ignore[arg-type]


def test_the_hand_rule_says_nothing_of_the_last_bays() -> None:
    for at in (600, 2200):
        found = by_hand(ROW, at * MM, 100.0)
        assert found.word == Word.ENGINEER
        assert {o.kind for c in found.clips for o in c.opens} == {"last_bay"}
        assert found.clips[0].influence_n.high > 0  # shown beside it
    assert by_hand(ROW, 1000 * MM, 100.0).word == Word.ALLOWED


@given(st.integers(0, 2**32))
def test_the_hand_rule_is_the_one_that_sets_out_rail_lines(seed: int) -> None:
    """The finder of clip windows has it in whole micrometres and millinewtons, rounded up."""
    random = Random(seed)
    off, slack, force = random.choice([0, 5, 10]) * MM, random.choice([0, 10]) * MM, 300.0
    middles = [400 * MM]
    for _ in range(random.randint(4, 8)):
        middles.append(middles[-1] + random.randint(300, 500) * MM)
    marks = tuple((y - off, y + off) for y in middles)
    heights = []
    for _ in range(random.randint(1, 4)):
        bay = random.randint(1, len(middles) - 3)
        heights.append(random.randint(middles[bay] + 30 * MM, middles[bay + 1] - 30 * MM))
    one = seam(marks, after(1e6), middles[-1] + 200 * MM)
    found = clip_sums(task(one, [(at, force) for at in heights], slack, method="hand", factor=1.25))
    theirs = on_clips(one.marked, heights, Pull(300_000, 10**9, Fraction(5, 4), slack))
    ours = {c.mark: c.hand_n.high for c in found.clips if c.hand_n is not None}
    assert set(ours) == {c.mark for c in found.clips}
    assert [ours.get(n + 1, 0.0) for n in range(len(marks))] == pytest.approx(
        [load / 1000 for load in theirs], abs=0.001 * len(heights)
    )


# --- both methods ----------------------------------------------------------------------


def middle(force: float, spare: float, **rest: Any) -> ClipSums:
    one = seam(ROW, after(spare), 2600 * MM)
    return clip_sums(task(one, [(1399 * MM, force)], **rest))


def test_methods_that_differ_are_the_engineers() -> None:
    """At mid-bay the stiff seam gives 0.60, the lever 0.50: with factor 1.0 they part at 0.55."""
    for spare, word, kinds in (
        (700.0, Word.ALLOWED, set()),
        (550.0, Word.ENGINEER, {"methods"}),
        (450.0, Word.FORBIDDEN, set()),
    ):
        found = middle(1000.0, spare, factor=1.0)
        assert found.word == word
        assert {o.kind for c in found.clips for o in c.opens} == kinds
        assert found.worst is not None
        assert found.worst.ratio is not None
        assert found.worst.other is not None
        assert found.worst.ratio.high > found.worst.other.high


def test_the_chosen_method_alone_gives_the_word_where_it_is_by_hand() -> None:
    found = middle(1000.0, 550.0, factor=1.0, method="hand")
    assert found.word == Word.ALLOWED
    assert found.worst is not None
    assert found.worst.other is not None
    assert found.worst.other.high > 1  # printed beside it
    alone = middle(1000.0, 550.0)
    assert alone.word == Word.FORBIDDEN  # without a clip factor there is no other method
    assert middle(1000.0, 700.0, method="hand").word == Word.OBSERVE


def test_no_seam_has_no_worst_clip() -> None:
    assert clip_sums(ClipTask((), (), 0, 520 * MM)).worst is None


# --- what is not known -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("marks", "top", "at", "kind"),
    [
        ((), None, 1000, "unmarked"),
        (((400, 400),), 2600, 400, "unmarked"),
        (((400, 420), (420, 440), (800, 800)), 1000, 600, "close"),
        (((400, 400), (800, 800), (1400, 1400)), 1600, 600, "gap"),  # a clip may be missing
        (((400, 400), (800, 800), (1200, 1200)), None, 1300, "unmarked"),  # above the last mark
        (((400, 400), (800, 800), (1200, 1200)), 1800, 1300, "unmarked"),  # and far from its end
        (((900, 900), (1300, 1300)), 1500, 700, "unmarked"),  # below the first, far from the eave
    ],
)
def test_where_a_clip_may_be_missing_there_is_no_figure(
    marks: tuple[tuple[int, int], ...], top: int | None, at: int, kind: str
) -> None:
    one = seam(
        tuple((a * MM, b * MM) for a, b in marks), after(1e6), None if top is None else top * MM
    )
    found = clip_sums(task(one, [(at * MM, 100.0)], factor=1.25))
    assert found.clips == ()
    assert [o.kind for o in found.opens] == [kind]
    assert found.word == Word.OBSERVE


def test_one_clamp_that_cannot_be_placed_leaves_its_whole_seam_open() -> None:
    """Its pull would be missing from every sum."""
    one = seam(ROW, after(1e6))
    found = clip_sums(task(one, [(1400 * MM, 100.0), (2500 * MM, 100.0)]))
    assert found.clips == ()
    assert found.word == Word.OBSERVE


def test_a_clamp_past_the_last_clip_is_the_engineers_and_has_a_figure() -> None:
    found = clip_sums(task(seam(ROW, after(1e6), 2800 * MM), [(2500 * MM, 100.0)]))
    assert found.word == Word.ENGINEER
    assert [o.kind for o in found.opens] == ["past_clips"]
    assert highs(found)[6] >= 100.0 * (1 + 100 / 400)  # the lever, at least


def test_a_clamp_on_a_seam_that_nobody_named_is_open() -> None:
    stray = ClampPull("s9", 1000 * MM, Ends(100.0, 100.0))
    found = clip_sums(replace(task(seam(ROW, after(1e6), 2600 * MM), []), clamps=(stray,)))
    assert [o.given for o in found.opens] == ["s9"]
    assert found.word == Word.OBSERVE


def test_a_clip_without_a_record_is_open() -> None:
    one = seam(ROW, after(350.0), 2600 * MM)
    takes = tuple(None if n == 2 else t for n, t in enumerate(one.takes))
    found = clip_sums(task(replace(one, takes=takes), [(1400 * MM, 100.0)]))
    assert {c.mark: c.word for c in found.clips}[3] == Word.OBSERVE
    assert found.word == Word.OBSERVE


def test_a_clip_that_the_sheet_uses_up_bears_no_clamp() -> None:
    one = seam(ROW, Take(300.0, "gross", Ends(2000.0, 2000.0)), 2600 * MM)
    found = clip_sums(task(one, [(1400 * MM, 1.0)]))
    assert found.word == Word.FORBIDDEN
    assert found.worst is not None
    assert found.worst.spare_n == Ends(0.0, 0.0)


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(BadInputError):
        clip_sums(task(seam(ROW, after(-1.0), 2600 * MM), [(1400 * MM, 1.0)]))
    with pytest.raises(BadInputError):
        clip_sums(task(seam(ROW, after(1.0), 2600 * MM), [(1400 * MM, -1.0)]))


# --- properties ------------------------------------------------------------------------


def random_task(seed: int) -> ClipTask:
    """Two seams with six to nine clips and up to four clamps each, gross or not, known or not."""
    random = Random(seed)
    seams, clamps = [], []
    for name in ("s1", "s2"):
        off, y, marks = random.choice([0, 5, 10]) * MM, random.randint(300, 480) * MM, []
        for _ in range(random.randint(6, 9)):
            marks.append((y - off, y + off))
            y += random.randint(250, 500) * MM
        pull = Ends(400.0, random.uniform(400.0, 900.0))
        take = Take(random.uniform(300, 900), random.choice(["gross", "after sheet suction"]), pull)
        seams.append(seam(tuple(marks), take, marks[-1][1] + 200 * MM, name))
        for _ in range(random.randint(1, 4)):
            low = random.uniform(50, 300)
            force = Ends(low, low * random.choice([1.0, 1.1]))
            at = random.randint(marks[0][1] + 30 * MM, marks[-1][0] - 30 * MM)
            clamps.append(ClampPull(name, at, force))
    method = random.choice(["influence", "hand"])
    slack = random.choice([0, 10 * MM])
    return ClipTask(tuple(seams), tuple(clamps), slack, 520 * MM, method, 1.25)


TASKS = st.integers(0, 2**32).map(random_task)


def ratios(found: ClipSums) -> dict[tuple[str, int], tuple[Ends | None, Ends | None]]:
    return {(c.seam, c.mark): (c.ratio, c.other) for c in found.clips}


def never_lower(before: ClipSums, after_: ClipSums) -> bool:
    """Whether no clip looks better than before, by either method, and no word became a yes."""
    known = ratios(after_)
    for clip, pair in ratios(before).items():
        for old, new in zip(pair, known.get(clip, (None, None)), strict=True):
            if old is not None and new is not None and new.high < old.high - 1e-9:
                return False
    return before.word.is_yes or not after_.word.is_yes


@given(TASKS, st.integers(0, 2), st.floats(0, 1), st.floats(1, 400))
def test_a_clamp_or_a_force_more_never_lowers_a_ratio(
    one: ClipTask, which: int, part: float, force: float
) -> None:
    before = clip_sums(one)
    marks = one.seams[0].marked.marks
    at = round(marks[0][1] + part * (marks[-1][0] - marks[0][1]))
    more = replace(one, clamps=(*one.clamps, ClampPull("s1", at, Ends(0.0, force))))
    assert never_lower(before, clip_sums(more))
    pulled = list(one.clamps)
    old = pulled[which % len(pulled)]
    pulled[which % len(pulled)] = replace(
        old, force_n=Ends(old.force_n.low, old.force_n.high + force)
    )
    assert never_lower(before, clip_sums(replace(one, clamps=tuple(pulled))))


@given(TASKS, st.integers(1, 20))
@example(random_task(943910779), 1)  # the sheet that reaches past its last clip pulls at the third
def test_knowing_less_never_helps(one: ClipTask, more: int) -> None:
    before, by = clip_sums(one), more * MM
    looser = tuple(
        replace(
            s, marked=replace(s.marked, marks=tuple((a - by, b + by) for a, b in s.marked.marks))
        )
        for s in one.seams
    )
    topless = tuple(replace(s, marked=replace(s.marked, top=None)) for s in one.seams)
    fewer = tuple(
        replace(s, takes=(None, *s.takes[1:]), marked=replace(s.marked, top=None))
        for s in one.seams
    )
    for less in (
        replace(one, slack=one.slack + by),
        replace(one, seams=looser),
        replace(one, seams=topless),
        replace(one, seams=fewer),
        replace(one, seams=tuple(replace(s, width=(0, s.width[1])) for s in one.seams)),
        replace(one, seams=one.seams[:1]),
    ):
        found = clip_sums(less)
        assert before.word.is_yes or not found.word.is_yes
        if less.seams not in (topless, fewer):
            assert never_lower(before, found)


@given(TASKS, st.floats(1.5, 3.0))
def test_sums_are_in_proportion_to_the_forces(one: ClipTask, factor: float) -> None:
    def times(clamp: ClampPull) -> ClampPull:
        return replace(clamp, force_n=Ends(*(factor * f for f in clamp.force_n)))

    here = clip_sums(one)
    there = clip_sums(replace(one, clamps=tuple(times(c) for c in one.clamps)))
    for a, b in zip(here.clips, there.clips, strict=True):
        assert b.influence_n == pytest.approx([factor * f for f in a.influence_n], rel=1e-9)
        assert (a.hand_n is None) == (b.hand_n is None)
        if a.hand_n is not None and b.hand_n is not None:
            assert b.hand_n == pytest.approx([factor * f for f in a.hand_n], rel=1e-9)


@given(TASKS)
def test_a_roof_seen_from_the_ridge_has_the_same_clips(one: ClipTask) -> None:
    """The sheet ends just as far above the last clip as it begins below the first."""
    seams, clamps = [], []
    for s in one.seams:
        marks = s.marked.marks
        top = marks[-1][1] + marks[0][0]
        turned = tuple((top - b, top - a) for a, b in reversed(marks))
        seams.append((replace(s, marked=replace(s.marked, top=top)), turned, top))
        clamps += [replace(c, at=top - c.at) for c in one.clamps if c.seam == s.marked.id]
    there = replace(one, seams=tuple(s for s, _, _ in seams))
    back = replace(
        one,
        seams=tuple(
            replace(s, marked=MarkedSeam(s.marked.id, turned, top)) for s, turned, top in seams
        ),
        clamps=tuple(clamps),
    )
    size = {s.marked.id: len(s.takes) for s in one.seams}

    def of(found: ClipSums, turn: bool) -> dict[tuple[str, int], list[float]]:
        def figures(c: ClipLoad) -> list[float]:
            both = [x for x in (c.influence_n, c.hand_n, c.spare_n) if x is not None]
            return [f for ends in both for f in ends]

        return {
            (c.seam, size[c.seam] + 1 - c.mark if turn else c.mark): figures(c) for c in found.clips
        }

    here, mirrored = of(clip_sums(there), False), of(clip_sums(back), True)
    assert here.keys() == mirrored.keys()
    for clip, figures in here.items():
        assert mirrored[clip] == pytest.approx(figures, rel=1e-6, abs=1e-6)


@given(TASKS, st.floats(0, 1))
def test_an_unknown_upper_end_covers_every_end_that_it_may_have(one: ClipTask, part: float) -> None:
    unknown = clip_sums(
        replace(one, seams=tuple(replace(s, marked=replace(s.marked, top=None)) for s in one.seams))
    )
    wide = {(c.seam, c.mark): c.suction_n for c in unknown.clips}
    beyond = round(part * (one.widest - 10 * MM))  # a mark lies within 5 mm
    ended = tuple(
        replace(s, marked=replace(s.marked, top=s.marked.marks[-1][1] + beyond)) for s in one.seams
    )
    for clip in clip_sums(replace(one, seams=ended)).clips:
        hull = wide[clip.seam, clip.mark]
        if clip.suction_n is not None and hull is not None:
            assert hull.low <= clip.suction_n.low + 1e-6
            assert clip.suction_n.high <= hull.high + 1e-6
