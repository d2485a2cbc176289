"""The kit counted once more from the printed plan: what is drawn is what comes into the box."""

import xml.etree.ElementTree as ET
from collections import Counter
from pathlib import Path

import pytest

from selector.explanation.places.marks import picture_of
from selector.explanation.places.plan_svg import plan_svg
from selector.explanation.places.telling import PlacesTelling
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.repair import lay_out
from selector.jobs.read import read_job
from selector.kit.count import Judged, kit_of
from selector.knowledge.base import Base
from tests.conftest import ROOT


@pytest.fixture
def counts(base: Base, judge: Judge) -> tuple[Counter[str], dict[str, int]]:
    """Elements of the plan by what they carry, and lines of the kit by their kind."""
    job = read_job(Path(ROOT / "examples/granary/job.yaml"), base.vocabulary)
    desk, texts = Desk(base, job, judge), Texts.of(base)
    laid = lay_out(desk, job.stacks["planned"])
    assert laid.placed is not None
    plan = picture_of(PlacesTelling(laid, base, texts))
    assert plan is not None
    drawn: Counter[str] = Counter()
    for element in ET.fromstring(plan_svg(plan, texts)).iter():
        name = element.tag.rpartition("}")[2]
        drawn.update(f"{name} {key}" for key in element.attrib if key.startswith("data-"))
    kit = kit_of(base, desk.job, laid.plan, laid.placed, desk, Judged(laid.option, laid.word))
    return drawn, {line.kind: int(line.number) for line in kit.lines if line.number is not None}


def test_clamps_rails_and_modules(counts: tuple[Counter[str], dict[str, int]]) -> None:
    drawn, kit = counts
    clamps = drawn["circle data-seam"]
    assert clamps == kit["clamp"] == 64
    assert drawn["rect data-module"] == kit["module"] == 14
    pieces = drawn["line data-rail"]
    assert 2 * pieces == kit["end_cap"] == 16
