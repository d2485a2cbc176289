"""A substitution never gets a yes from what nobody knows, and credit only for what was accepted."""

from functools import cache
from typing import Any

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.reach import FURTHEST, STEP, lines_of, reaches
from selector.inference.swap import Swapped, swapped
from selector.jobs.changed import with_set
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import Document, read_file
from selector.model.job import Layout, RailLine
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.kb.judged import silent

Data = dict[str, Any]
MILL = ROOT / "examples" / "mill-house" / "job.yaml"
# What a stack on this roof rests on, each made unknown in turn.
PATHS = [
    *("planes.roof.seam.shape", "planes.roof.seam.height", "planes.roof.seam.head"),
    *("planes.roof.sheet.metal", "planes.roof.sheet.coating", "planes.roof.sheet.thickness"),
    *("planes.roof.clips.kind", "planes.roof.clips.nails"),
    *("planes.roof.deck.kind", "planes.roof.deck.sound", "planes.roof.seam.damage"),
    *("planes.roof.pitch", "site.sea_distance", "site.run_off_from_above", "site.building"),
]


@cache
def judge() -> Judge:
    return Judge(load_base())


def swap(document: Document, sets: Data | None = None, stack: str = "planned") -> Swapped:
    base = judge().base
    job = job_of(document, base.vocabulary)
    changed = with_set(document, base.vocabulary, stack, sets or job.request.changes)
    desk = Desk(base, job, judge())
    other = Desk(base, changed.job, judge(), before=desk)
    moved = changed.places_moved
    return swapped(desk, other, stack, void=changed.void, places_moved=moved)


def unknown(path: str) -> Data:
    found: Data = {"unknown": "don't know"}
    for key in reversed(path.split(".")):
        found = {key: found}
    return found


@pytest.mark.parametrize("path", PATHS)
def test_what_nobody_knows_gives_no_milder_word(path: str) -> None:
    """SUB-08 is allowed as it stands, with everything known."""
    document = silent.document("SUB-08")
    sets: Data = {"clamp": "cases/double-stainless-slideon"}
    known = swap(document, sets)
    open_ = swap(silent.document("SUB-08", unknown(path)), sets)
    assert known.word == Word.ALLOWED
    assert open_.word >= known.word
    assert not open_.word.is_yes or open_.option.verdict.word.is_yes
    if not open_.option.verdict.word.is_yes:
        assert open_.word == open_.option.verdict.word


def test_without_the_metal_a_swap_is_no_yes() -> None:
    sets: Data = {"clamp": "cases/double-stainless-slideon"}
    for path in ("planes.roof.seam.height", "planes.roof.sheet.thickness"):
        assert not swap(silent.document("SUB-08", unknown(path)), sets).word.is_yes


def test_another_torque_is_a_condition_that_nobody_accepted(base: Base) -> None:
    """A standing duty that says another figure makes a swap conditional, whatever was accepted."""
    document = silent.document("SUB-08")
    same = swap(document, {"clamp": "cases/double-stainless-slideon"})
    assert same.word == Word.ALLOWED
    assert "torque-by-feel" not in {f.rule.id for f in same.fresh}
    demo = read_file(MILL, "job.yaml")
    plan = {**demo.data["stacks"]["planned"]}
    plan["accepted"] = [*(f.rule.id for f in swap(demo, {"torque": "11 Nm"}).met), "x"]
    data = {**demo.data, "stacks": {"planned": plan}}
    found = swap(Document(demo.file, data, demo.lines), {"clamp": "demo/dl-2"})
    assert "torque-by-feel" in {f.rule.id for f in found.fresh}


def test_lines_that_were_set() -> None:
    rails = (RailLine("r1", 1000, ()), RailLine("r2", 2000, ()))
    drawn = Layout(rails, {"s03": (1000,), "s04": (2000,)}, {}, 1)
    assert lines_of(drawn, ["layout.rails.r2.from_eave"]) == ("r2",)
    assert lines_of(drawn, ["layout.clamps.s03", "torque"]) == ("r1",)
    assert lines_of(drawn, ["layout.rails.r9.from_eave", "layout.clamps"]) == ()


def test_beyond_what_is_said_to_be_free_is_worse() -> None:
    """Judged anew at both ends: as good as now up to there, and worse one step on."""
    document, base = read_file(MILL, "job.yaml"), judge().base
    sets: Data = {"layout.rails.r1.from_eave": "1.02 m"}
    changed = with_set(document, base.vocabulary, "planned", sets)
    desk = Desk(base, changed.job, judge())
    now = desk.planned(changed.job.stacks["planned"]).verdict.word
    [reach] = reaches(desk, "planned", sets)
    for side, way in ((reach.up, 1), (reach.down, -1)):
        assert side.word is not None and 0 <= side.by <= FURTHEST
        for by, worse in ((side.by, False), (side.by + STEP // 5, True)):
            at = f"{(reach.at + way * by) / 1000:g} mm"
            there = with_set(document, base.vocabulary, "planned", {next(iter(sets)): at})
            word = Desk(base, there.job, judge()).planned(there.job.stacks["planned"]).verdict.word
            assert (word > now) == worse
