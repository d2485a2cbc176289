"""A layout is repaired until it holds as a whole: lines moved for the force, clamps added.

A granary whose uplift nobody states: the force of a clamp is worked out for the clips to bear.
"""

from collections.abc import Callable

import pytest

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.lay_out import laid_once
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.layout.model import Pattern
from selector.model.truth import Word
from tests.conftest import ROOT

GRANARY = (ROOT / "examples/granary/job.yaml").read_text(encoding="utf-8")
NEARER = {  # to the eave, and two slopes: the block reaches an edge and a corner
    "from_eave: 1.475 m": "from_eave: 1.025 m",
    "form:    {is: monopitch": "form:    {is: duopitch",
}
SITE = """  hilltop:            {is: none, how: map with contour lines, by: cs}
  altitude:           {is: 120 m, paper: map}
  snow_exposure:      {is: normal, how: aerial view, by: cs}
  terrain: """
PLANE = """    parapet: {is: none, how: eyes, by: tk}
    closed_below: {is: closed building, how: eyes, by: tk}
    obstacles: {is: some, how: eyes, by: tk}
    taller: {is: none, how: eyes, by: tk}
    steps: """
Lay = Callable[..., LaidOut]


def worked(uplift: str = "", vent: str = "0.10 m") -> str:
    """The granary's text with all that wind and snow need, and without the stated forces.

    The vent holds no drift if it is low.
    """
    text = GRANARY.replace("  terrain: ", SITE).replace("    steps: ", PLANE)
    for old, new in NEARER.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    text = text.replace("    rail_lines: 2\n", "    rail_lines: 2\n    gap_below: 90 mm\n")
    text = text.replace("clear: 0.30 m, ", f"clear: 0.30 m, rises: {vent}, ")
    start, end = text.index("      net_uplift: "), text.index("\nstacks:")
    return text[:start].rstrip().removesuffix("stated:").rstrip() + "\n" + uplift + text[end:]


@pytest.fixture
def lay(base: Base, judge: Judge) -> Lay:
    def laid(text: str, pattern: Pattern | None = None, *, once: bool = False) -> LaidOut:
        job = job_of(read_string(text, "job.yaml"), base.vocabulary)
        desk, plan = Desk(base, job, judge), job.stacks["planned"]
        if once:
            return laid_once(desk, plan, pattern, lambda share: None)
        return lay_out(desk, plan, pattern)

    return laid


def test_lines_are_set_for_the_force_that_comes_of_the_clamps(lay: Lay) -> None:
    text = worked()
    first, last = lay(text, once=True), lay(text)
    assert first.clips is not None and "force" in first.clips.case.lacking
    assert last.clips is not None and last.clips.case.task is not None
    pull = last.clips.case.task.pull
    assert pull is not None, "the share of the clips is worked out"
    assert last.worked["uplift_per_clamp"].value <= pull.force


def test_no_clip_gets_more_than_it_spares_where_it_is_called_held(lay: Lay) -> None:
    """The hand rule of the trade once more, clamp by clamp, at the nominal places."""
    laid = lay(worked())
    assert laid.placed is not None and laid.clips is not None and laid.clips.found is not None
    if not laid.clips.found.stands:
        assert laid.word == Word.FORBIDDEN
        return
    force = laid.worked["uplift_per_clamp"].value / 1000
    assert laid.heights is not None
    for seam in {c.seam for c in laid.placed.clamps}:
        marks = [sum(mark) / 2 for mark in laid.heights.marks[seam]]
        got = [0.0] * len(marks)
        for clamp in (c for c in laid.placed.clamps if c.seam == seam):
            n = max(i for i, y in enumerate(marks) if y <= clamp.y)
            bay = marks[n + 1] - marks[n]
            got[n] += min(force, 1.2 * force * (marks[n + 1] - clamp.y) / bay)
            got[n + 1] += min(force, 1.2 * force * (clamp.y - marks[n]) / bay)
        assert max(got) <= 310, "N that the record of the clip spares"


def test_a_pattern_of_few_clamps_is_filled_up_where_the_clips_ask_for_it(lay: Lay) -> None:
    wide = worked().replace("rail: demo/rail-u", "rail: demo/rail-u")
    few, every = lay(wide, "least"), lay(wide, "every seam")
    assert few.placed is not None and every.placed is not None
    assert few.word <= every.word
    assert len(list(few.placed.clamps)) <= len(list(every.placed.clamps))


def test_what_a_paper_states_is_not_worked_on(lay: Lay) -> None:
    laid = lay(GRANARY)
    assert laid.repairs == () and laid.plan.worked == {}
