"""What an answer is foreseen to take away is gone once it is given."""

import pytest

from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file
from selector.model.quantity import Candidates
from selector.model.rule import Path
from selector.questions.order import outcomes
from selector.questions.talk import Talk, brisk, state_of
from tests.conftest import ROOT
from tests.questions.test_lists import answered, unseen

EARLY = ("seam.branch", "seam.shape")  # with these the stacks of the seam are looked at
ASKED = (
    "site.sea_distance",
    "site.salted_road",
    "site.pool_hall",
    "site.harsh_air",
    "site.run_off_from_above",
    "plane.sheet.metal",
    "plane.deck.kind",
)


@pytest.mark.parametrize("name", ["harbour-shed", "mill-house"])
def test_what_an_answer_would_take_is_gone_after_it(base: Base, name: str) -> None:
    job = dict(read_file(ROOT / "examples" / name / "job.yaml", "job.yaml").data)
    judge, foreseen = brisk(base), 0
    talk = Talk(unseen(job), "a1", next(iter(job["people"])), "roof")
    for early in EARLY:
        talk, _ = answered(talk, job, base.vocabulary.quantities[f"plane.{early}"])
    left = state_of(talk, base, judge).left
    for path in ASKED:
        quantity = base.vocabulary.quantities[path]
        found = outcomes(base, left, path)
        for outcome in found if quantity.dimension == "choice" else found[:1]:
            if not outcome.dead:
                continue
            answer = outcome.answer
            if isinstance(answer, Candidates):
                text, way = next(iter(answer.left)), "cut edge" if quantity.by else "eyes"
            else:  # between nought and the first limit, where a fifth to or fro takes nothing out
                text, way = f"{answer.places[0].low // 10**6} m map", None
            after = state_of(talk.answer(quantity, text, way), base, judge)
            alive = {c.name for c in after.left.candidates}
            assert alive.isdisjoint(c.name for c in outcome.dead), (path, text)
            foreseen += 1
    judge.close()
    assert foreseen > 3


def test_the_sea_is_followed_through_what_it_derives(base: Base) -> None:
    # by the sea no aluminium clamp has a yes: EV-1 and MP-11 of the rule list, from memory
    job = dict(read_file(ROOT / "examples" / "harbour-shed" / "job.yaml", "job.yaml").data)
    judge = brisk(base)
    talk = Talk(unseen(job), "a1", next(iter(job["people"])), "roof")
    for early in (*EARLY, "sheet.metal"):
        talk, _ = answered(talk, job, base.vocabulary.quantities[f"plane.{early}"])
    left = state_of(talk, base, judge).left
    found = outcomes(base, left, str(Path("site", "sea_distance")))
    judge.close()
    assert left.candidates
    nearest, farthest = found[0], found[-1]
    assert len(nearest.dead) == len(left.candidates)
    assert not farthest.dead
