"""The order of files and facts changes no byte; a part that fits nowhere changes no stack."""

import io
import json
import random
from dataclasses import replace
from typing import Any

import pytest
from rich.console import Console

from selector.explanation.as_json import answer_data
from selector.explanation.console import show
from selector.inference.answer import Answer, Desk
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base, Part
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import Document, read_file
from selector.model.job import Job
from tests.conftest import ROOT

EXAMPLES = ["mill-house", "round-hall", "copper-chapel"]


def shuffled(value: Any, chance: random.Random) -> Any:
    """The same data with the keys of every mapping in another order."""
    if isinstance(value, dict):
        keys = list(value)
        chance.shuffle(keys)
        return {k: shuffled(value[k], chance) for k in keys}
    return value


def document(name: str) -> Document:
    return read_file(ROOT / "examples" / name / "job.yaml", "job.yaml")


def printed(answer: Answer, base: Base, job: Job) -> str:
    out = io.StringIO()
    show(answer, base, job, "", Console(file=out, width=80, no_color=True, highlight=False), 99)
    return out.getvalue() + json.dumps(answer_data(answer, base, job, ""))


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_order_of_keys_in_a_job(base: Base, judge: Judge, name: str) -> None:
    first = document(name)
    whole = job_of(first, base.vocabulary)
    expected = printed(Desk(base, whole, judge).choose("a1"), base, whole)
    for seed in range(3):
        other = Document(first.file, shuffled(first.data, random.Random(seed)), first.lines)
        job = job_of(other, base.vocabulary)
        assert printed(Desk(base, job, judge).choose("a1"), base, job) == expected


def test_the_order_of_files_in_a_base(base: Base) -> None:
    job = job_of(document("mill-house"), base.vocabulary)
    expected = printed(Desk(base, job).choose("a1"), base, job)
    digest, documents = read_documents(home())
    names = list(documents)
    for seed in range(2):
        random.Random(seed).shuffle(names)
        other = build(digest, {n: documents[n] for n in names})
        assert printed(Desk(other, job).choose("a1"), other, job) == expected


def strange(base: Base, slot: str) -> Part:
    """A part whose shape, interfaces and id occur nowhere else."""
    like = next(p for p in base.parts_of(("demo",)) if p.slot == slot)
    changes: dict[str, Any] = {"takes": ("nowhere-below",), "offers": "nowhere-above"}
    if slot == "clamp":
        grip = like.shape.grips[0].model_copy(update={"shape": "batten"})  # type: ignore[attr-defined]
        changes["grips"] = (grip,)
    return replace(like, id=f"demo/strange-{slot}", shape=like.shape.model_copy(update=changes))


@pytest.mark.parametrize("slot", ["clamp", "rail", "adapter", "module_clamp", "cross", "bolts"])
def test_a_part_that_fits_nowhere_changes_no_stack(base: Base, judge: Judge, slot: str) -> None:
    catalogue = base.catalogues["demo"]
    part = strange(base, slot)
    more = replace(catalogue, parts={**catalogue.parts, part.id: part})
    other = replace(base, catalogues={**base.catalogues, "demo": more})
    for name in EXAMPLES:
        job = job_of(document(name), base.vocabulary)
        stacks = []
        for one in (base, other):
            answer = Desk(one, job, judge if one is base else None).choose("a1")
            stacks.append(answer_data(answer, base, job, "")["stacks"])
        assert stacks[0] == stacks[1]
