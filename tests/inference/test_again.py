"""After a change, only what read something changed is judged again; the answer is the same."""

import io
import json
import random
from dataclasses import replace

import pytest
from rich.console import Console

from selector.explanation.as_json import answer_data
from selector.explanation.console import show
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file
from selector.model.job import Job, Observed
from selector.model.quantity import Candidates, Measured, Place, Unknown
from tests.conftest import ROOT

EXAMPLES = ["mill-house", "copper-chapel", "round-hall", "first-call"]


def job_named(base: Base, name: str) -> Job:
    return job_of(read_file(ROOT / "examples" / name / "job.yaml", "job.yaml"), base.vocabulary)


def everything(desk: Desk) -> str:
    """All answers of a desk as they are printed and as data."""
    out = io.StringIO()
    console = Console(file=out, width=80, no_color=True, highlight=False)
    for answer in [desk.choose("a1"), *map(desk.stack, desk.job.stacks)]:
        show(answer, desk.base, desk.job, "", console, 99)
        out.write(json.dumps(answer_data(answer, desk.base, desk.job, "")))
    return out.getvalue()


def changed(base: Base, job: Job, chance: random.Random) -> tuple[Job, str]:
    """One observation taken away, moved or set to other words."""
    plane = next(iter(job.planes.values()))
    pool = {**job.site, **plane.observed}
    path = chance.choice(sorted(pool))
    old = pool[path]
    first = old.sightings[0]
    value = old.value
    new: Candidates | Measured | Unknown
    if isinstance(value, Measured) and chance.random() < 0.7:
        by = chance.choice([-3_000, 500, 4_000])
        places = tuple(Place(p.low + by, p.high + by) for p in value.places)
        new = Measured(value.dimension, places)
    elif isinstance(value, Candidates) and chance.random() < 0.6:
        words = base.vocabulary.quantities[path].words
        new = Candidates(frozenset(chance.sample(words, min(len(words), chance.choice([1, 1, 2])))))
    else:
        new = Unknown("don't know")
    observed = Observed(path, (replace(first, value=new),))
    if path.startswith("site."):
        return replace(job, site={**job.site, path: observed}), path
    other = replace(plane, observed={**plane.observed, path: observed})
    return replace(job, planes={**job.planes, plane.id: other}), path


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("seed", range(2))
def test_a_desk_with_a_memory_answers_like_a_new_one(
    base: Base, judge: Judge, name: str, seed: int
) -> None:
    chance = random.Random(f"{name} {seed}")
    job = job_named(base, name)
    desk = Desk(base, job, judge)
    everything(desk)
    for _ in range(3):
        job, path = changed(base, job, chance)
        desk = Desk(base, job, before=desk)
        assert everything(desk) == everything(Desk(base, job, judge)), path


def count(judge: Judge, kind: str, work: Desk) -> int:
    """Subjects of a kind that are judged while a desk answers."""
    judged = 0
    whole = judge.look

    def counting(subject, *args, **more):  # type: ignore[no-untyped-def]
        nonlocal judged
        judged += subject.kind == kind
        return whole(subject, *args, **more)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(judge, "look", counting)
        work.choose("a1")
    return judged


def test_another_pitch_judges_no_joint_and_no_contact_again(base: Base) -> None:
    judge = Judge(base)
    job = job_named(base, "mill-house")
    first = Desk(base, job, judge)
    first.choose("a1")
    plane = job.planes["south"]
    sighting = plane.observed["plane.pitch"].sightings[0]
    steeper = Observed(
        "plane.pitch", (replace(sighting, value=Measured("angle", (Place(23_000, 24_000),))),)
    )
    other = replace(plane, observed={**plane.observed, "plane.pitch": steeper})
    job = replace(job, planes={"south": other})
    sessions = judge.sessions
    for kind, wanted in [("joint", 0), ("contact", 0), ("part-on-plane", 0)]:
        assert count(judge, kind, Desk(base, job, before=first)) == wanted
    assert count(judge, "stack", Desk(base, job, before=first)) > 0
    assert judge.sessions == sessions  # equal bits: the engine is not asked again at all
    judge.close()
