"""The questions of each example, in their order; `pytest --rewrite` writes them anew.

A talk starts from the job of the example with nothing seen of site and plane but the clip marks,
which no single answer gives; the person answers what the job says, and else does not know. The
first call goes on from where it stands.
"""

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file
from selector.model.rule import Quantity
from selector.questions import screen
from selector.questions.edit import seen
from selector.questions.order import Mode
from selector.questions.talk import State, Talk, brisk, state_of
from tests.conftest import ROOT

EXAMPLES = ROOT / "examples"
NAMES = sorted(p.parent.name for p in EXAMPLES.glob("*/job.yaml"))
GOES_ON = "first-call"
Rows = dict[str, Any]


def unseen(job: Rows) -> Rows:
    """The job before anybody has looked."""
    start = deepcopy(job)
    start["site"] = {}
    for name, plane in start["planes"].items():
        marks = plane.get("clips", {}).get("marks")
        start["planes"][name] = {"clips": {"marks": marks}} if marks else {}
    return start


def typed(said: Rows) -> str:
    """A sighting of a job as a person would type it."""
    if "unknown" in said:
        return "?"
    if "hint" in said:
        return f"not sure {said['hint']}"
    if "one_of" in said:
        return " or ".join(map(str, said["one_of"]))
    if "places" in said:
        text = " ".join(map(str, said["places"]))
    else:
        value = said["is"]
        text = " on ".join(value) if isinstance(value, list) else str(value)
    tool = f" {said['tool']}" if "tool" in said else ""
    if "paper" in said and text[0].isdigit():
        return f"{text} +-1 %"  # a figure from a paper: nobody asks how it was measured
    return f"{text} +-{said['within']}{tool}" if "within" in said else text + tool


def answered(talk: Talk, job: Rows, quantity: Quantity) -> tuple[Talk, str]:
    """The talk after a person has said all that the job says of a quantity, and what they said."""
    found = seen(job, quantity.path, talk.plane) or [{"unknown": "don't know"}]
    for said in found:
        way = said.get("how") or (f"paper {said['paper']}" if "paper" in said else None)
        talk = talk.answer(quantity, typed(said), way)
    return talk, "; ".join(map(typed, found))


@pytest.fixture(scope="module")
def steps(base: Base) -> Iterator[Judge]:
    judge = brisk(base)
    yield judge
    judge.close()


def asked(base: Base, judge: Judge, job: Rows, start: Rows, mode: Mode) -> Iterator[str]:
    """One line a question, and why the talk ended."""
    array = job["request"].get("array") or next(iter(job["arrays"]))
    start["request"] = {"kind": "choose", "array": array}
    talk = Talk(start, array, next(iter(job["people"])), mode)
    state = state_of(talk, base, judge)
    yield f"asked {'on the phone' if mode == 'phone' else 'on the roof'}; alive {_alive(state)}"
    number = 0
    while state.ask and not state.contradicted:
        path = state.ask[0].path
        quantity = base.vocabulary.quantities.get(path)
        number += 1
        said = "skipped: no single answer"
        if quantity is None:
            talk = talk.skip(path)
        else:
            talk, said = answered(talk, job, quantity)
        state = state_of(talk, base, judge, state.desk)
        yield f"{number:>2} {path:<24} {said:<40} {_alive(state)}"
    for found in state.contradicted:
        yield f"end: {found.path} is contradicted, and asked back"
    if not state.contradicted:
        text = screen.ending(base, state.left)
        yield f"end: {text} {', '.join(state.left.paths)}" if text.endswith(":") else f"end: {text}"


def _alive(state: State) -> str:
    left = state.left
    stacks = sum(c.weight for c in left.candidates)
    if left.answer is None:
        return f"{len(left.candidates)} clamps, {stacks} stacks"
    word = left.answer.word
    best = f", the best {word.text}" if word.is_yes else ""
    return f"{stacks} stack{'s' * (stacks != 1)}{best}"


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_questions_are_the_list_beside_the_job(
    base: Base, steps: Judge, name: str, request: pytest.FixtureRequest
) -> None:
    job = dict(read_file(EXAMPLES / name / "job.yaml", "job.yaml").data)
    goes_on = name == GOES_ON
    start = deepcopy(job) if goes_on else unseen(job)
    lines = asked(base, steps, job, start, "phone" if goes_on else "roof")
    text = "\n".join(lines) + "\n"
    file = EXAMPLES / name / "questions.txt"
    if request.config.getoption("--rewrite"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


def test_every_example_has_its_list() -> None:
    assert all((EXAMPLES / name / "questions.txt").exists() for name in NAMES)
