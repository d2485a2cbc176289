"""A paper on the clips beside the sum of all clamps: which counts, and when an engineer decides.

The granary of the examples: its own sum of the most used clip runs up to 0.33 kN.
"""

from collections.abc import Callable
from dataclasses import replace

import pytest

from selector.facts.actions.model import Ends
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.links import most_used
from selector.inference.repair import lay_out
from selector.inference.whole_chain import whole_chain
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.conftest import ROOT

GRANARY = (ROOT / "examples/granary/job.yaml").read_text(encoding="utf-8")
SHARE = "clip_share:              {is: 0.26 kN"
RULES = {"clip-sum-above-its-paper", "clip-paper-to-be-shown"}
Lay = Callable[[str], LaidOut]


@pytest.fixture(scope="module")
def lay(base: Base, judge: Judge) -> Lay:
    """The granary laid out, its paper on the clips with another figure."""

    def laid(figure: str) -> LaidOut:
        text = GRANARY.replace(SHARE, SHARE.replace("0.26 kN", figure))
        job = job_of(read_string(text, "job.yaml"), base.vocabulary)
        return lay_out(Desk(base, job, judge), job.stacks["planned"])

    return laid


def said(laid: LaidOut) -> set[str]:
    """Which of both rules surely speak of this stack."""
    verdict = laid.option.verdict
    every = [*verdict.findings, *verdict.duties]
    return {f.rule.id for f in every if f.rule.id in RULES}


def test_a_paper_inside_the_own_sum_counts_once_its_engineer_has_seen_both(lay: Lay) -> None:
    laid = lay("0.26 kN")
    own = laid.worked["clip_share"]
    assert own.least is not None and own.least <= 260_000 < own.value
    assert said(laid) == {"clip-paper-to-be-shown"} and laid.word == Word.CONDITIONAL


def test_a_paper_below_all_of_the_own_sum_is_an_engineers(lay: Lay) -> None:
    """0.42 kN a clamp, one line and one clamp in a bay of 450 mm: 0.21 kN at the very least.

    Statics: of the two clips beside a clamp one gets half of it or more, wherever the clamp stands.
    """
    laid = lay("0.20 kN")
    own = laid.worked["clip_share"]
    assert own.least is not None and own.least >= 210_000
    assert said(laid) == {"clip-sum-above-its-paper"} and laid.word == Word.ENGINEER
    [finding] = [f for f in laid.option.verdict.findings if f.rule.id in RULES]
    shown = finding.judgement.view.read("stack.clip_sum").value
    assert str(shown).startswith("paper 0.2 kN, own sum 0.2")


def test_a_paper_that_is_stricter_than_the_own_sum_counts_alone(lay: Lay) -> None:
    laid = lay("0.34 kN")
    assert said(laid) == set()
    assert laid.word == Word.FORBIDDEN  # 0.34 of 0.31 kN that the record leaves


def test_the_limit_itself(lay: Lay) -> None:
    own = lay("0.26 kN").worked["clip_share"]
    assert own.least is not None
    for millinewton, rules in (
        (own.value, set()),
        (own.value - 1, {"clip-paper-to-be-shown"}),
        (own.least, {"clip-paper-to-be-shown"}),
        (own.least - 1, {"clip-sum-above-its-paper"}),
    ):
        assert said(lay(f"{millinewton / 1000:.3f} N")) == rules


def test_the_weakest_link_is_the_clip_by_its_own_sum(lay: Lay) -> None:
    """A rail end at 0.9 of its table is no strength; the clamp's pair at once is only not known."""
    laid = lay("0.26 kN")
    links = whole_chain(laid)
    assert laid.sums is not None and laid.sums.worst is not None
    own = laid.sums.worst.ratio
    assert own is not None and own.high > 1
    found = most_used(links, own.high)
    assert found is not None and found.name == "clip"
    by_paper = most_used(links)
    assert by_paper is not None and by_paper.name in ("clip", "clamp_together")
    ends = [x for x in links if x.unit in ("m", "mm")]
    assert any(x.ratio is not None and x.ratio.high > 0.9 for x in ends)


def test_a_length_that_is_passed_counts(lay: Lay) -> None:
    links = whole_chain(lay("0.26 kN"))
    one = next(x for x in links if x.unit in ("m", "mm") and x.ratio is not None)
    passed = replace(one, used=Ends(1.5, 1.5))
    assert most_used((*links, passed)) is passed
