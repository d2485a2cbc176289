"""The stack that is talked of where nobody names one, against all stacks and a count of rules."""

from dataclasses import replace
from pathlib import Path

import pytest

from selector.inference.answer import Desk
from selector.inference.cores import Shape
from selector.inference.foremost import foremost
from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.model.job import Job
from selector.model.stack import Core
from selector.model.truth import Word
from tests.conftest import ROOT

TAPED = "{is: 25 mm, tool"
CALL = ROOT / "examples" / "first-call" / "job.yaml"


def job_with(base: Base, folder: Path, old: str, new: str) -> Job:
    text = CALL.read_text(encoding="utf-8")
    assert old in text
    path = folder / "job.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return read_job(path, base.vocabulary)


@pytest.mark.parametrize("shape", ["double-lock", "snap-lock", "T", "asymmetric", "trapezoidal"])
def test_it_is_the_first_of_a_choose_request(
    base: Base, judge: Judge, tmp_path: Path, shape: str
) -> None:
    """Nobody measured a height, so that a clamp of every shape may stand."""
    way = "how: photo of one seam end, photo: p1, by: rn}\n"
    height = "      height: {is: 25 mm, tool: tape, by: ow}\n"
    job = job_with(base, tmp_path, f"{{is: double-lock, {way}{height}", f"{{is: {shape}, {way}")
    desk = Desk(base, job, judge)
    first = next(iter(desk.choose("a1").options), None)
    assert first is not None
    found = foremost(desk, "a1")
    assert found is not None
    assert (found.core, found.module_clamp) == (first.core, first.module_clamp)


def test_where_every_clamp_dies_no_other_is_forbidden_by_fewer_rules(
    base: Base, judge: Judge, tmp_path: Path
) -> None:
    job = job_with(base, tmp_path, TAPED, "{is: 70 mm, tool")
    desk = Desk(base, job, judge)
    answer = desk.choose("a1")
    assert answer.options == () and all(r.level != "stack" for r in answer.refusals)
    found = foremost(desk, "a1")
    assert found is not None and found.verdict.word == Word.FORBIDDEN
    ours = {f.rule.id for f in found.verdict.of_word(Word.FORBIDDEN)}
    dead = [r for r in answer.refusals if r.level == "part"]
    counts = [len({f.rule.id for f in r.verdict.of_word(Word.FORBIDDEN)}) for r in dead]
    assert dead and len(ours) <= min(counts)


def test_parts_that_must_be_used_and_never_meet_make_no_stack(
    base: Base, judge: Judge, tmp_path: Path
) -> None:
    """A clamp that carries modules without a rail, and a rail."""
    job = job_with(base, tmp_path, TAPED, "{is: 70 mm, tool")
    assert all(core.rail is None for core in cores_of(Desk(base, job, judge), "demo/tz-1"))
    must = {"clamp": "demo/tz-1", "rail": "demo/rail-p"}
    never = replace(job, request=replace(job.request, must_use=must))
    assert foremost(Desk(base, never, judge), "a1") is None


def cores_of(desk: Desk, clamp: str) -> list[Core]:
    """All that the graph joins to a clamp, forbidden or not."""
    graph, wanted = desk.stock.graph, Shape(framed=False, crossed=False)
    return list(graph.cores(desk.part(clamp), None, None, wanted, lambda *joint: True))
