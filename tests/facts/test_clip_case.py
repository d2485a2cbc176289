"""What the clip-window finder reads off a job; each answer checked by the rules for one clamp."""

import random
import re
from dataclasses import replace
from pathlib import Path

import pytest

from selector.errors import InputError
from selector.facts.places.clip_answer import ClipAnswer, clip_answer
from selector.facts.places.clips import ClipCase, clip_case
from selector.facts.view import View
from selector.inference.answer import Desk, Finder
from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.layout.clip_windows import Window
from selector.model.job import Job, Layout, RailLine, StackPlan
from selector.model.stack import Core
from selector.model.truth import Word
from tests.conftest import ROOT

MM = 1_000
MILL = ROOT / "examples" / "mill-house" / "job.yaml"
S05 = "s05: [305 mm, 755 mm, 1205 mm, 1655 mm, 2110 mm, 2560 mm, 3005 mm, 3455 mm, 3910 mm]"


class Bench:
    """The mill's job with places changed, and its case."""

    def __init__(self, base: Base, judge: Judge, folder: Path):
        self.base, self.judge, self.folder = base, judge, folder

    def job(self, *changes: tuple[str, str], source: Path = MILL) -> Job:
        text = source.read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        path = self.folder / "job.yaml"
        path.write_text(text, encoding="utf-8")
        return read_job(path, self.base.vocabulary)

    def case(self, job: Job, plan: StackPlan | None = None) -> ClipCase:
        plan = plan or job.stacks["planned"]
        desk = Desk(self.base, job, self.judge)
        finder = Finder(desk, desk.job.arrays[plan.array], plan)
        clamp = desk.part(plan.slots["clamp"] or "")
        core = Core(clamp=clamp.id, rail=plan.slots["rail"])
        binding = finder.binding(clamp=clamp, core=core)
        return clip_case(View(self.base, desk.job, binding, finder.derived))

    def of(self, *changes: tuple[str, str]) -> ClipCase:
        return self.case(self.job(*changes))

    def answer(self, *changes: tuple[str, str]) -> ClipAnswer:
        return clip_answer(self.of(*changes))


@pytest.fixture
def bench(base: Base, judge: Judge, tmp_path: Path) -> Bench:
    return Bench(base, judge, tmp_path)


def opens(case: ClipCase) -> set[tuple[str, str]]:
    return {(one.kind, one.about) for one in case.opens}


# --- what is read ---------------------------------------------------------------------------


def test_the_mill_is_read_as_its_job_says(bench: Bench) -> None:
    case = bench.of()
    task = case.task
    assert task is not None
    assert case.opens == ()
    assert (case.ground, case.pattern, case.clamp) == ("weak", "every seam", "demo/dl-1")
    assert [s.id for s in task.seams] == ["s03", "s04", "s05", "s06", "s07"]
    assert task.seams[0].marks[0] == (300 * MM, 320 * MM)
    assert task.seams[0].top == 7_600 * MM
    assert (task.reach.distance, task.reach.slack, task.reach.widest) == (
        95 * MM,
        10 * MM,
        520 * MM,
    )
    assert task.block.rows == (790 * MM,)
    near, far = task.zones[2]
    assert near == (Window(210 * MM, 430 * MM),)
    assert far == (Window(1_310 * MM, 1_530 * MM),)
    assert set(task.zones) == {2, 3}
    assert task.room == Window(-590 * MM, (7_400 - 200 - 2_530) * MM)
    assert task.pull is not None
    assert (task.pull.force, task.pull.spare, float(task.pull.factor)) == (420_000, 310_000, 1.2)
    assert case.drawn == (("r1", 1_000 * MM), ("r2", 2_320 * MM))


def test_every_second_seam_leaves_the_others_between(bench: Bench) -> None:
    case = bench.of(
        ("    clamps: every seam\n    stated", "    clamps: every second seam\n    stated"),
        ("      clamps: every seam\n", "      clamps: every second seam\n"),
    )
    task = case.task
    assert task is not None
    assert [s.id for s in task.seams] == ["s03", "s05", "s07"]
    assert [s.id for s in task.between] == ["s04", "s06"]
    assert task.order == ("s03", "s04", "s05", "s06", "s07")


def test_drawn_clamps_name_their_seams(bench: Bench) -> None:
    drawn = "      clamps: {s03: [1.00 m, 2.32 m], s07: [1.00 m, 2.32 m]}\n"
    case = bench.of(("      clamps: every seam\n", drawn))
    assert case.task is not None
    assert [s.id for s in case.task.seams] == ["s03", "s07"]
    assert case.pattern == "by hand"
    assert case.lacking == ("force",)  # worked out for clamps on every seam


def test_a_clamp_on_a_seam_that_is_not_crossed_is_asked_back(bench: Bench) -> None:
    drawn = "      clamps: {s03: [1.00 m, 2.32 m], s09: [1.00 m, 2.32 m]}\n"
    case = bench.of(("      clamps: every seam\n", drawn))
    assert ("astray", "array.crosses") in opens(case)
    assert case.unmarked == ("s09",)
    assert clip_answer(case).word >= Word.OBSERVE


# --- what is missing ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "kind", "about"),
    [
        ([("from_eave: 0.79 m, ", "")], "missing", "array.block"),
        ([("    crosses: [s03, s04, s05, s06, s07]\n", "")], "missing", "array.crosses"),
        ([("          " + S05 + "\n", "")], "unmarked", "plane.clips.marks"),
        ([(S05, "s05: {unknown: not asked}")], "unmarked", "plane.clips.marks"),
        (
            [("crosses: [s03, s04, s05, s06, s07]", "crosses: [s03, s04, s05]")],
            "few",
            "array.crosses",
        ),
        ([(S05, S05.replace("1655 mm", "1655 mm, 1674 mm"))], "close", "plane.clips.marks"),
        (
            [
                ("    rail_lines: 2\n", "    rail_lines: 1\n"),
                ("        r2: {from_eave: 2.32 m}\n", ""),
            ],
            "no_record",
            "stack.modules",
        ),
    ],
)
def test_what_is_missing_is_observe_with_its_path(
    bench: Bench, changes: list[tuple[str, str]], kind: str, about: str
) -> None:
    narrow = [("columns: 2", "columns: 3")] if kind == "few" else []
    answer = bench.answer(*changes, *narrow)
    assert (kind, about) in opens(answer.case)
    assert answer.word == Word.OBSERVE
    assert answer.lines == ()


def test_marks_twice_their_tolerance_apart_are_two_marks(bench: Bench) -> None:
    case = bench.of((S05, S05.replace("1655 mm", "1655 mm, 1675 mm")))
    assert ("close", "plane.clips.marks") not in opens(case)


def test_no_marks_at_all(bench: Bench) -> None:
    text = MILL.read_text(encoding="utf-8")
    found = re.search(r"      marks:\n(.*\n)+?    deck:\n", text)
    assert found is not None
    answer = bench.answer((found.group(), "    deck:\n"))
    assert opens(answer.case) == {("missing", "plane.clips.marks")}
    assert (answer.word, answer.lines) == (Word.OBSERVE, ())


def test_a_bay_wider_than_the_trade_knows_is_the_engineers(bench: Bench) -> None:
    wide = S05.replace("2560 mm, 3005 mm", "2560 mm, 3105 mm")
    answer = bench.answer((S05, wide))
    assert ("wide", "plane.clips.marks") in opens(answer.case)
    assert answer.word == Word.ENGINEER
    assert answer.lines == ()


def test_an_elevated_array_is_the_engineers(bench: Bench) -> None:
    answer = bench.answer(("    tilt: parallel\n", "    tilt: 10 deg\n"))
    assert ("elevated", "array.tilt") in opens(answer.case)
    assert (answer.word, answer.lines) == (Word.ENGINEER, ())


def test_two_layers_of_rails_are_the_engineers(bench: Bench) -> None:
    upper = "    cross: demo/cross-u\n    upper_rail: demo/rail-u\n    module_clamp: demo/mc-1\n"
    answer = bench.answer(("    module_clamp: demo/mc-1\n", upper))
    assert ("crossed", "stack.cross") in opens(answer.case)
    assert (answer.word, answer.lines) == (Word.ENGINEER, ())


def test_a_mark_beyond_the_sheet_is_bad_input_with_its_line(bench: Bench) -> None:
    with pytest.raises(InputError, match=r"ends at 7\.6 m") as caught:
        bench.of((S05, S05.replace("3910 mm", "7611 mm")))
    (problem,) = caught.value.problems
    line = MILL.read_text(encoding="utf-8").splitlines()[problem.line - 1]
    assert line.strip().startswith("s05:")


def test_a_mark_at_the_upper_end_may_be_there(bench: Bench) -> None:
    assert bench.of((S05, S05.replace("3910 mm", "7610 mm"))).task is not None


@pytest.mark.parametrize(
    ("change", "lacking"),
    [
        (("uplift_per_clamp:        {is: 0.42 kN, ", "slide_with_uplift: {is: 0.02 kN, "), "force"),
        (("kind:      {is: boards,", "kind:      {is: purlins,"), "spare"),
    ],
)
def test_without_a_figure_no_share_is_worked_out(
    bench: Bench, change: tuple[str, str], lacking: str
) -> None:
    case = bench.of(change)
    assert case.task is not None
    assert case.task.pull is None
    assert case.lacking == (lacking,)
    answer = clip_answer(case)
    assert all(line.borne is None for line in answer.lines)


# --- words ----------------------------------------------------------------------------------


def test_windows_as_drawn_are_conditional_and_never_allowed(bench: Bench) -> None:
    answer = bench.answer()
    assert answer.word == Word.CONDITIONAL
    assert [line.miss for line in answer.lines] == [None, None]
    assert answer.change is None


AWKWARD = "s05: [85 mm, 535 mm, 985 mm, 1435 mm, 1885 mm, 2335 mm, 2785 mm, 3235 mm, 3685 mm]"


def test_no_place_and_no_change_is_forbidden(bench: Bench) -> None:
    answer = bench.answer((S05, AWKWARD))
    assert (answer.word, answer.lines, answer.early) == (Word.FORBIDDEN, (), False)
    assert answer.found is not None
    assert answer.found.changes == ()


def test_no_place_whatever_the_missing_marks_show(bench: Bench) -> None:
    text = MILL.read_text(encoding="utf-8")
    s06 = next(line for line in text.splitlines() if line.strip().startswith("s06:"))
    answer = bench.answer((S05, AWKWARD), (s06 + "\n", ""))
    assert (answer.word, answer.early) == (Word.FORBIDDEN, True)


def test_only_other_lines_or_seams_are_to_be_worked_out_first(bench: Bench) -> None:
    """A rail that reaches further may leave s05 out: forces have to be worked out anew."""
    case = bench.of((S05, AWKWARD))
    assert case.task is not None
    answer = clip_answer(replace(case, task=replace(case.task, steps=2, room=Window(0, 0))))
    assert answer.change is not None
    assert (answer.change.kind, answer.change.seams) == ("leave out", ("s05",))
    assert (answer.word, answer.lines) == (Word.OBSERVE, ())


def test_a_block_that_is_moved_is_conditional_on_that(bench: Bench) -> None:
    answer = bench.answer(("from_eave: 0.79 m", "from_eave: 0.85 m"))
    assert answer.word == Word.CONDITIONAL
    assert answer.change is not None
    assert answer.change.kind == "shift"
    assert answer.lines == answer.change.set


def test_the_last_bay_at_the_eave_is_the_engineers(bench: Bench) -> None:
    case = bench.of(("from_eave: 0.79 m", "from_eave: 0.25 m"))
    assert case.task is not None
    answer = clip_answer(replace(case, task=replace(case.task, room=Window(0, 0))))
    assert answer.found is not None
    assert [x.miss.cause for x in answer.found.lines if x.miss is not None] == ["last bay"]
    assert answer.word == Word.ENGINEER


def test_marks_that_stop_short_are_unknown_never_free(bench: Bench) -> None:
    case = bench.of((S05, "s05: [305 mm, 755 mm, 1205 mm, 1655 mm]"))
    assert case.task is not None
    answer = clip_answer(replace(case, task=replace(case.task, room=Window(0, 0))))
    assert answer.found is not None
    miss = answer.found.lines[1].miss
    assert miss is not None
    assert (miss.cause, miss.seam) == ("dark", "s05")
    assert (answer.word, answer.lines) == (Word.OBSERVE, ())


def test_marks_that_stop_short_are_looked_for_before_the_block_is_moved(bench: Bench) -> None:
    answer = bench.answer(("from_eave: 0.79 m", "from_eave: 2.50 m"))
    assert answer.found is not None
    assert [c.kind for c in answer.found.changes] == ["shift"]
    assert (answer.word, answer.lines, answer.unclear) == (Word.OBSERVE, (), True)


def test_a_block_beyond_the_sheet_is_asked_back(bench: Bench) -> None:
    answer = bench.answer(("from_eave: 0.79 m", "from_eave: 6.79 m"))
    assert ("beyond", "array.block") in opens(answer.case)
    assert answer.word == Word.OBSERVE


def test_strong_clips_leave_the_whole_zone(bench: Bench) -> None:
    job = bench.job(source=ROOT / "examples" / "round-hall" / "job.yaml")
    case = bench.case(job, job.stacks["without-insert"])
    assert case.ground == "strong"
    answer = clip_answer(case)
    assert answer.word == Word.CONDITIONAL
    assert all(line.windows == line.zone for line in answer.lines)


def with_marks(case: ClipCase, marks: list[list[int]]) -> ClipCase:
    """The case with marks in mm on its seams; a seam without any is unmarked."""
    assert case.task is not None
    around = [tuple(((m - 10) * MM, (m + 10) * MM) for m in one) for one in marks]
    seams = tuple(replace(s, marks=m) for s, m in zip(case.task.seams, around, strict=True))
    bare = tuple(s.id for s in seams if not s.marks)
    return replace(case, task=replace(case.task, seams=seams), unmarked=bare)


def rough_marks(rng: random.Random, many: int) -> list[list[int]]:
    """Marks of seams whose clips stand about 450 apart, from anywhere."""
    starts = [rng.randint(100, 540) if rng.random() < 0.3 else 300 for _ in range(many)]
    return [[a + 450 * i + 5 * rng.randint(-1, 1) for i in range(10)] for a in starts]


def test_an_early_no_stays_a_no_whatever_is_found(bench: Bench) -> None:
    case, rng, early = bench.of(), random.Random(21), 0
    for _ in range(150):
        marks = rough_marks(rng, 5)
        missing = rng.randrange(5)
        gone = [*marks[:missing], [], *marks[missing + 1 :]]
        answer = clip_answer(with_marks(case, gone))
        assert not answer.word.is_yes
        if not answer.early:
            continue
        early += 1
        for _ in range(5):
            gone[missing] = rough_marks(rng, 1)[0]
            assert clip_answer(with_marks(case, gone)).word == Word.FORBIDDEN
    assert early > 10


def test_marks_that_are_forgotten_never_make_a_yes(bench: Bench) -> None:
    """Taken off at the upper end, where they are missed most easily."""
    case, rng, kept = bench.of(), random.Random(22), 0
    assert case.task is not None
    case = replace(case, task=replace(case.task, pull=None))
    for _ in range(150):
        marks = rough_marks(rng, 5)
        whole = clip_answer(with_marks(case, marks))
        cut = [one[: rng.randint(5, 10)] for one in marks]
        part = clip_answer(with_marks(case, cut))
        if part.word.is_yes and part.change is None:
            kept += 1
            assert whole.word.is_yes
            assert whole.change is None
    assert kept > 5


# --- the rules for one clamp agree ------------------------------------------------------------


def judged(bench: Bench, job: Job, plan: StackPlan) -> list[str]:
    """What the rules have against a drawn layout at its places, by clips and zones."""
    option = Desk(bench.base, job, bench.judge).planned(plan)
    about = ("clamp-too-near-clip", "clamp-in-a-seams-last-bay", "module-clamped-outside-its-zones")
    return [
        f"{f.rule.id} {f.judgement.subject.id}"
        for f in option.verdict.findings
        if f.rule.id in about
    ]


def redrawn(job: Job, answer: ClipAnswer) -> tuple[Job, StackPlan]:
    """The job with block and rail lines where the finder puts them."""
    rails = tuple(RailLine(f"r{x.row}.{x.line}", x.height or 0, ()) for x in answer.lines)
    plan, array = job.stacks["planned"], job.arrays["a1"]
    assert plan.layout is not None
    if answer.change is not None:
        at = (array.from_eave or 0) + answer.change.by[0]
        job = replace(job, arrays={"a1": replace(array, from_eave=at)})
    return job, replace(plan, layout=replace(plan.layout, rails=rails))


def marks_of(rng: random.Random) -> str:
    """Marks of five seams, 450 apart, as they are written in a job."""
    lines = []
    for n, start in enumerate(rng.choices(range(290, 330, 5), k=5), 3):
        at = [start + 450 * i + 5 * rng.randint(-1, 1) for i in range(9)]
        lines.append(f"          s{n:02}: [{', '.join(f'{x} mm' for x in at)}]")
    return "        seams:\n" + "\n".join(lines) + "\n"


def test_the_rules_agree_with_every_height(bench: Bench) -> None:
    rng = random.Random(12)
    drawn = moved = 0
    found = re.search(r"        seams:\n(          s\d\d: .*\n)+", MILL.read_text(encoding="utf-8"))
    assert found is not None
    for _ in range(25):
        eave = f"from_eave: {rng.randint(700, 1_400)} mm"
        job = bench.job((found.group(), marks_of(rng)), ("from_eave: 0.79 m", eave))
        answer = clip_answer(bench.case(job))
        if not answer.lines or (answer.change is not None and answer.change.kind != "shift"):
            continue
        drawn, moved = drawn + (answer.change is None), moved + (answer.change is not None)
        assert judged(bench, *redrawn(job, answer)) == []
    assert drawn > 2
    assert moved > 10


def test_a_height_just_outside_its_window_is_refused_by_the_rules(bench: Bench) -> None:
    job = bench.job()
    answer = clip_answer(bench.case(job))
    line = answer.lines[1]
    low = line.windows[0].low
    for at, refused in ((low, False), (low - 1, True)):
        plan = job.stacks["planned"]
        assert isinstance(plan.layout, Layout)
        rails = (plan.layout.rails[0], RailLine("r2", at, ()))
        found = judged(bench, job, replace(plan, layout=replace(plan.layout, rails=rails)))
        assert any(x.startswith("clamp-too-near-clip") for x in found) == refused
