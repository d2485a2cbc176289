"""The explanation of a refused stack against what somebody of the trade says of eight of them.

Reasons, smallest changes and what is no reason are the judge's (`tests/kb/judged`, the eight cases
of support): common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from typing import NamedTuple

import pytest

from selector.inference.answer import Change, Desk
from selector.inference.column import MODULE, ROOF
from selector.inference.judge import Judge
from selector.inference.second_look import with_seen
from selector.inference.why import Why, why
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.model.fact import Fact
from selector.model.job import Job
from selector.model.quantity import Candidates
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.kb.judged import silent

STACK = "refused"
MARKS = "plane.clips.marks"


class Told(NamedTuple):
    """What the judge says of one case."""

    changes: tuple[frozenset[str], ...]  # moves of each change that is named, by slot or kind
    not_a_reason: tuple[str, ...]  # paths that stand in no set
    broken: tuple[str, str]  # where the picture breaks
    needs: int = 1  # changes that are needed together


def moves(*names: str) -> frozenset[str]:
    return frozenset(names)


GRIP = (ROOF, "clamp")
TOLD = {
    "EXP-01": Told((), (MARKS, "plane.sheet.metal", "stack.torque"), GRIP),
    "EXP-02": Told(
        (moves("inlay"), moves("clamp")), ("plane.seam.height", MARKS, "stated.clip_share"), GRIP
    ),
    "EXP-03": Told(
        (moves("adapters"), moves("rail", "bolts")),
        ("plane.seam.shape", "plane.sheet.metal"),
        ("clamp", "rail"),
    ),
    "EXP-04": Told(
        (moves("line"),),
        ("stated.uplift_per_clamp", "stated.clip_share", "stack.torque", "plane.sheet.metal"),
        GRIP,
    ),
    "EXP-05": Told((moves("cut"),), ("layout.rigid_run", "plane.sheet.metal"), ("rail", "")),
    "EXP-06": Told(
        (moves("frame", "tilt"), moves("paper")), ("clamp", "array.reserve"), ("frame", "")
    ),
    "EXP-07": Told(
        (moves("record"),), ("plane.seam.height", "plane.seam.head", "contact.pairing"), GRIP
    ),
    "EXP-08": Told(
        (moves("inlay", "line"), moves("clamp", "line")),
        ("plane.seam.height", "stated.clip_share", "stated.uplift_per_clamp"),
        GRIP,
        2,
    ),
}
TELLS_TOO = {"plane.seam.shape": {"plane.seam.head"}}  # a thick head tells the fold as well
# A fact that a set can do without: the class of the seam (the judge names the height and the window
# alone).
SPARE = {"EXP-01": {"plane.seam.shape"}}


@pytest.fixture(scope="module")
def explained(base: Base, judge: Judge) -> dict[str, Why]:
    return {n: why(Desk(base, silent.job(n, base.vocabulary), judge), STACK) for n in TOLD}


def kinds(change: Change) -> frozenset[str]:
    return frozenset(slot.partition(" ")[0] for slot, _, _ in change.moved)


# --- reasons -----------------------------------------------------------------------------


def observed(job: Job) -> list[str]:
    """What somebody has seen of the roof and its site."""
    plane = job.planes["roof"]
    return [*plane.observed, *([MARKS] if plane.marks is not None else []), *job.site]


def without(job: Job, paths: set[str]) -> Job:
    """The job with these observations never made."""
    plane = job.planes["roof"]
    left = {p: o for p, o in plane.observed.items() if p not in paths}
    bare = replace(plane, observed=left, marks=None if MARKS in paths else plane.marks)
    site = {p: o for p, o in job.site.items() if p not in paths}
    return replace(job, planes={**job.planes, "roof": bare}, site=site)


@pytest.mark.parametrize("name", TOLD)
def test_sets_are_all_and_minimal_against_every_subset(
    explained: dict[str, Why], base: Base, judge: Judge, name: str
) -> None:
    """Of what the sets rest on, every subset is tried, all else known and all else unknown."""
    told = explained[name]
    job = silent.job(name, base.vocabulary)
    desk = Desk(base, job, judge)
    desk.stack(STACK)
    everything = observed(job)
    sets = [{f.path for f in g.needed if f.path in everything} for g in told.grounds.each]
    assert {f.path for g in told.grounds.each for f in g.spare} == SPARE.get(name, set())
    named = sorted(set().union(*sets))
    others = set(everything) - set(named)
    assert len(named) <= 4
    for size in range(len(named) + 1):
        for kept in map(set, combinations(named, size)):
            for unknown in (set(), others):
                gone = unknown | (set(named) - kept)
                left = without(job, gone | {p for g in gone for p in TELLS_TOO.get(g, ())})
                word = Desk(base, left, judge, before=desk).stack(STACK).word
                enough = any(s <= kept for s in sets)
                assert (word == told.word) == enough, (kept, sorted(unknown))


@pytest.mark.parametrize("name", TOLD)
def test_no_set_holds_another_and_none_holds_what_is_no_reason(
    explained: dict[str, Why], name: str
) -> None:
    each = [g.facts for g in explained[name].grounds.each]
    assert each
    assert not any(a < b for a in each for b in each)
    paths = {f.path for facts in each for f in facts}
    assert paths.isdisjoint(TOLD[name].not_a_reason)


def test_a_set_that_holds_a_smaller_one_of_another_rule_is_dropped(
    explained: dict[str, Why],
) -> None:
    """Absorption is over the whole verdict: the smaller set alone is a reason for the word."""
    told = explained["EXP-08"]
    verdict = told.option.verdict
    whole = {g.facts for g in told.grounds.each}
    rules = {
        reason
        for f in verdict.of_word(verdict.word)
        for reason in f.judgement.reasons(f"rule:{f.rule.id}")
    }
    assert whole == {r for r in rules if not any(other < r for other in rules)}


def test_two_independent_reasons_are_marked_and_need_two_cures(explained: dict[str, Why]) -> None:
    told = explained["EXP-08"].grounds
    [metals, clips] = told.apart
    rules = {n: told.folded[n - 1][0].findings[0].rule.trade for n in (*metals, *clips)}
    assert "MP-2" in rules[metals[0]]
    assert all("CD-1" in rules[n] for n in clips)
    assert told.fewest == 2
    assert {n: explained[n].grounds.fewest for n in TOLD if n != "EXP-08"} == {
        n: 1 for n in TOLD if n != "EXP-08"
    }


def test_the_same_at_other_places_is_told_once(explained: dict[str, Why]) -> None:
    told = explained["EXP-04"].grounds
    assert len(told.each) == 6  # three seams, and two facts of which either tells the weak clips
    assert [len(alike) for alike in told.folded] == [3, 3]


def test_a_word_that_each_candidate_gets_by_another_rule_has_its_reason(
    base: Base, judge: Judge
) -> None:
    """Double-lock is too low here, single-lock is not gripped: no rule alone is sure."""
    shape = {
        "one_of": ["double-lock", "single-lock"],
        "how": "photo of one seam end",
        "by": "judge",
    }
    change = {"planes": {"roof": {"seam": {"shape": shape}}}}
    told = why(Desk(base, silent.job("EXP-01", base.vocabulary, change), judge), STACK)
    assert told.word == Word.FORBIDDEN
    assert told.option.verdict.of_word(told.word) == []
    rules = {f.rule.id for g in told.grounds.each for f in g.findings}
    assert rules == {"seam-outside-clamp-window", "shape-not-gripped"}
    assert any({"plane.seam.height"} <= {f.path for f in g.facts} for g in told.grounds.each)
    assert set(told.column.broken) == rules


# --- changes -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", TOLD)
def test_the_smallest_changes_are_the_judges(explained: dict[str, Why], name: str) -> None:
    found = [kinds(c) for c in explained[name].answer.changes]
    for change in TOLD[name].changes:
        assert change in found
    if not TOLD[name].changes:
        assert found == []
    else:
        assert all(len(c.moved) >= TOLD[name].needs for c in explained[name].answer.changes)


@pytest.mark.parametrize("name", TOLD)
def test_changes_are_milder_and_ranked_by_moves_and_effort(
    explained: dict[str, Why], base: Base, name: str
) -> None:
    told = explained[name]
    ranks = []
    for change in told.answer.changes:
        assert change.option.verdict.word < told.word
        efforts = [base.trade.effort(s.partition(" ")[0]).effort for s, _, _ in change.moved]
        assert change.effort == sum(efforts)
        ranks.append((len(change.moved), change.effort))
    assert ranks == sorted(ranks)


def test_a_rail_line_moves_to_the_nearest_height_that_is_free(explained: dict[str, Why]) -> None:
    """Clip marks every 400 mm from 400 mm, each +-10 mm, set out +-10 mm; 80 mm are asked for."""
    [change] = [c for c in explained["EXP-04"].answer.changes if kinds(c) == moves("line")]
    assert change.moved == (("line low", "1650 mm", "1700 mm"),)
    marks, free = range(400, 4000, 400), 80 + 10 + 10
    heights = [h for h in range(1, 4000) if all(abs(h - m) >= free for m in marks)]
    assert min(heights, key=lambda h: abs(h - 1650)) == 1700


def test_the_share_of_the_clips_falls_away_where_a_line_moves(explained: dict[str, Why]) -> None:
    for change in explained["EXP-08"].answer.changes:
        assert change.option.verdict.word == Word.OBSERVE
        missing = {m.need.name for m in change.option.verdict.missing}
        assert "clip share check" in missing


def test_one_of_two_changes_alone_leaves_it_refused(
    base: Base, judge: Judge, explained: dict[str, Why]
) -> None:
    desk = Desk(base, silent.job("EXP-08", base.vocabulary), judge)
    plan = desk.job.stacks[STACK]
    inlay = replace(plan, id="inlay alone", slots={**plan.slots, "inlay": "cases/inlay-isolating"})
    assert desk.planned(inlay).verdict.word == Word.FORBIDDEN
    assert plan.layout is not None
    rails = tuple(
        replace(r, from_eave=1_700_000) if r.id == "low" else r for r in plan.layout.rails
    )
    moved = replace(plan, id="moved alone", layout=replace(plan.layout, rails=rails))
    assert desk.planned(moved).verdict.word == Word.FORBIDDEN


def test_the_cut_lies_at_the_line_and_leaves_the_rail_free(explained: dict[str, Why]) -> None:
    [change] = explained["EXP-05"].answer.changes
    # the line is 4640 mm from the left of the roof, the row starts at 1.20 m
    assert change.moved == (("cut", "in one piece", "gap at 3.44 m from the left of the row"),)
    assert change.option.verdict.word.is_yes


def test_figures_of_a_tilted_array_do_not_count_for_a_parallel_one(
    explained: dict[str, Why],
) -> None:
    [change] = [c for c in explained["EXP-06"].answer.changes if "tilt" in kinds(c)]
    assert change.option.verdict.word == Word.OBSERVE
    assert any(
        "stated" in p for m in change.option.verdict.missing for a, _ in m.open for p in a.asks
    )


@pytest.mark.parametrize("name", TOLD)
def test_the_nearest_stack_is_a_yes_where_one_is_near(explained: dict[str, Why], name: str) -> None:
    told = explained[name]
    today = [c for c in told.answer.changes if not c.who]  # what is to be got is no stack of today
    if not today:
        assert told.nearest is None
        return
    assert told.nearest is not None
    differ = {slot.partition(" ")[0] for slot, a, b in told.nearest.rows if a != b}
    assert differ == kinds(told.nearest.change)
    fewest = min(len(c.moved) for c in today)
    yes = [c for c in today if c.option.verdict.word.is_yes]
    assert told.nearest.change.option.verdict.word.is_yes == bool(yes)
    assert len(told.nearest.change.moved) >= fewest


# --- second looks ------------------------------------------------------------------------


def test_the_height_flips_at_its_limit_and_not_below(
    explained: dict[str, Why], base: Base, judge: Judge
) -> None:
    """20.8 mm by calliper is 20.3 mm at least; the window starts at 23 mm: 2.7 mm."""
    [look] = [k for k in explained["EXP-01"].looks if k.path == "plane.seam.height"]
    assert look.flip is not None
    assert look.flip.by == -2_700
    assert look.word < Word.FORBIDDEN
    assert look.tools == {"calliper": 500, "steel rule": 1000, "tape": 1000}
    # with 1.7 mm less than that the lowest reading is outside, whatever the calliper is off
    for more, word in ((2.7, look.word), (2.699, Word.OBSERVE), (1.699, Word.FORBIDDEN)):
        places = [f"{h + more:.3f} mm" for h in (20.8, 21.0, 21.2)]
        change = {"planes": {"roof": {"seam": {"height": places}}}}
        job = silent.job("EXP-01", base.vocabulary, change)
        assert Desk(base, job, judge).stack(STACK).word == word


def test_a_figure_that_ends_one_of_two_reasons_leaves_the_word(explained: dict[str, Why]) -> None:
    [look] = [k for k in explained["EXP-08"].looks if k.flip is not None]
    assert look.rules == ("clamp-too-near-clip",)
    assert look.word == Word.FORBIDDEN


def test_other_words_of_what_was_seen_are_judged_whole(
    explained: dict[str, Why], base: Base, judge: Judge
) -> None:
    found = [k for k in explained["EXP-02"].looks if k.path == "plane.sheet.metal"]
    words = {w: k.word for k in found for w in k.instead}
    assert words
    assert "copper" not in words
    job = silent.job("EXP-02", base.vocabulary)
    for metal, word in words.items():
        plane = job.planes["roof"]
        seen = plane.observed["plane.sheet.metal"]
        value = type(seen.value)(frozenset({metal}))  # type: ignore[call-arg]
        sighting = replace(seen.sightings[0], value=value)
        other = replace(
            plane, observed={**plane.observed, seen.path: replace(seen, sightings=(sighting,))}
        )
        after = Desk(base, replace(job, planes={"roof": other}), judge).stack(STACK).word
        assert after == word < Word.FORBIDDEN


def named_refusals(base: Base, judge: Judge) -> Iterator[tuple[Desk, str]]:
    """Every stack that an example or one of the eight cases names."""
    for name in TOLD:
        yield Desk(base, silent.job(name, base.vocabulary), judge), STACK
    for path in sorted((ROOT / "examples").glob("*/job.yaml")):
        job = read_job(path, base.vocabulary)
        yield from ((Desk(base, job, judge), stack) for stack in job.stacks)


def test_what_would_be_a_fault_itself_is_no_second_look(base: Base, judge: Judge) -> None:
    """Another word may leave what an engineer decides, and never brings it in."""
    looked = 0
    for desk, stack in named_refusals(base, judge):
        found = why(desk, stack)
        job, plan = desk.job, desk.job.stacks[stack]
        before = {f.rule.id for f in found.option.verdict.findings if f.surely}
        for look, word in ((k, w) for k in found.looks for w in k.instead):
            looked += 1
            seen = {**job.site, **job.planes[job.arrays[plan.array].plane].observed}[look.path]
            sighting = replace(seen.sightings[0], value=Candidates(frozenset({word})))
            other = replace(seen, sightings=(sighting,))
            changed = with_seen(job, job.arrays[plan.array].plane, look.path, other)
            after = Desk(base, changed, judge).stack(stack).options[0].verdict
            assert after.word == look.word
            stops = {f.rule.id for f in after.of_word(after.word) if after.word >= Word.ENGINEER}
            assert stops <= before, (job.id, stack, look.path, word)
    assert looked > 5


def test_a_roof_that_would_be_worse_is_not_asked_for_again(base: Base, judge: Judge) -> None:
    """Folded by hand, the same stack would be the engineer's for clips that are too far apart."""
    job = read_job(ROOT / "examples" / "seven-traps" / "job.yaml", base.vocabulary)
    found = why(Desk(base, job, judge), "pinned-on-a-sliding-clip")
    assert found.word == Word.FORBIDDEN
    assert "plane.seam.made" in {f.path for g in found.grounds.each for f in g.facts}
    assert "plane.seam.made" not in {k.path for k in found.looks}


# --- the picture -------------------------------------------------------------------------


@pytest.mark.parametrize("name", TOLD)
def test_what_is_broken_is_marked_where_it_is(explained: dict[str, Why], name: str) -> None:
    told = explained[name]
    core = told.option.core
    parts = {"clamp": core.clamp, "rail": core.rail, "frame": core.frame, ROOF: ROOF}
    low, high = TOLD[name].broken
    if high:
        broken = [(e.lower, e.upper) for e in told.column.edges if e.broken]
        assert broken == [(parts[low], parts[high])]
        assert not any(b.broken for b in told.column.boxes)
    else:
        assert [b.id for b in told.column.boxes if b.broken] == [parts[low]]
        assert not any(e.broken for e in told.column.edges)
    rules = {f.rule.id for f in told.option.verdict.of_word(told.word)}
    assert set(told.column.broken) == rules


def test_every_contact_of_the_stack_stands_in_the_picture(explained: dict[str, Why]) -> None:
    for told in explained.values():
        ids = [b.id for b in told.column.boxes]
        assert ids[0] == ROOF
        assert ids[-1] == MODULE
        assert [(e.lower, e.upper) for e in told.column.edges] == list(pairwise(ids))
        assert all(e.metals for e in told.column.edges)


# --- words that are no refusal -----------------------------------------------------------


def example(base: Base, name: str) -> Job:
    return read_job(ROOT / "examples" / name / "job.yaml", base.vocabulary)


def test_a_yes_has_nothing_to_explain(base: Base, judge: Judge) -> None:
    told = why(Desk(base, example(base, "mill-house"), judge), "planned")
    assert told.word.is_yes
    assert told.grounds.each == ()
    assert told.answer.changes == told.looks == ()
    assert told.column.broken == ()


def test_what_only_waits_is_not_changed(base: Base, judge: Judge) -> None:
    told = why(Desk(base, example(base, "copper-chapel"), judge), "stainless")
    assert told.word == Word.OBSERVE
    assert told.answer.changes == told.looks == ()
    assert told.nearest is None


# --- contrast ----------------------------------------------------------------------------


def against(base: Base, judge: Judge, name: str, other: Job, stack: str) -> Why:
    desk = Desk(base, silent.job(name, base.vocabulary), judge)
    return why(desk, STACK, (Desk(base, other, judge), stack))


def test_the_one_difference_that_suffices_is_found(base: Base, judge: Judge) -> None:
    """On a painted steel sheet the same stack goes: the metal is what differs."""
    change = {"planes": {"roof": {"sheet": {"metal": "painted steel", "thickness": "0.6 mm"}}}}
    steel = silent.job("EXP-02", base.vocabulary, change)
    found = against(base, judge, "EXP-02", steel, STACK).contrast
    assert found is not None
    assert found.option.verdict.word.is_yes
    assert [d.name for d in found.differences] == ["plane.sheet.metal"]
    assert found.pair is None


def test_where_none_alone_suffices_the_pair_is_found(base: Base, judge: Judge) -> None:
    """Copper without inlay, and too near a clip: both have to be as next door."""
    job = silent.job("EXP-08", base.vocabulary)
    plan = job.stacks[STACK]
    assert plan.layout is not None
    rails = tuple(
        replace(r, from_eave=1_800_000) if r.id == "low" else r for r in plan.layout.rails
    )
    slots = {**plan.slots, "inlay": "cases/inlay-isolating"}
    there = replace(plan, slots=slots, layout=replace(plan.layout, rails=rails))
    other = replace(job, id="next-door", stacks={STACK: there})
    found = against(base, judge, "EXP-08", other, STACK).contrast
    assert found is not None
    assert {d.name: d.word for d in found.differences} == {
        "stack.inlay": Word.FORBIDDEN,
        "layout": Word.FORBIDDEN,
    }
    assert found.pair is not None
    assert set(found.pair) == {"stack.inlay", "layout"}
    assert found.pair_word is not None
    assert found.pair_word < Word.FORBIDDEN


def test_what_differs_and_is_in_no_reason_is_not_named(base: Base, judge: Judge) -> None:
    job = silent.job("EXP-03", base.vocabulary)
    plan = replace(job.stacks[STACK], adapters=("cases/adapter-plate",))
    plane = job.planes["roof"]
    other_plane = replace(
        plane, observed={k: v for k, v in plane.observed.items() if k != "plane.pitch"}
    )
    other = replace(job, id="there", stacks={STACK: plan}, planes={"roof": other_plane})
    found = against(base, judge, "EXP-03", other, STACK).contrast
    assert found is not None
    assert [(d.name, d.word) for d in found.differences] == [("stack.adapters", Word.CONDITIONAL)]


def test_a_part_of_a_catalogue_that_is_not_here_is_said(base: Base, judge: Judge) -> None:
    found = against(base, judge, "EXP-02", example(base, "copper-chapel"), "stainless").contrast
    assert found is not None
    faults = {d.name: d.fault for d in found.differences if d.word is None}
    assert "demo/dl-2" in faults["stack.clamp"]


def test_facts_are_named_with_their_place(explained: dict[str, Why]) -> None:
    """A reason names what somebody can walk to: value, how it was seen, file and line."""
    facts: list[Fact] = [f for n in TOLD for g in explained[n].grounds.each for f in g.facts]
    seen = [f for f in facts if f.path.startswith(("plane.", "site.")) and f.seen]
    assert seen
    assert all(f.shown and f.origin.rpartition(":")[2].isdigit() for f in seen)
