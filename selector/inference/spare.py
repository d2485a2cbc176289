"""Facts of a reason without which the word stands as well, whatever they are.

The algebra of reasons takes what was seen as it is. A quantity that is tried word by word may be
left out all the same: where every word of it ends in the same refusal, by one rule or another.
"""

from dataclasses import replace

from selector.inference.answer import Desk
from selector.inference.grounds import Ground, Grounds
from selector.model.fact import Fact
from selector.model.job import Job, StackPlan
from selector.model.truth import Word

MARKS = "plane.clips.marks"


def without_spare(desk: Desk, plan: StackPlan, reasons: Grounds, word: Word) -> Grounds:
    """The reasons with what each can do without, all that it does not name being unknown."""
    spare = {g.kind: _spare(desk, plan, g, word) for (g, *_) in reasons.folded}
    each = tuple(
        replace(g, spare=frozenset(f for f in g.facts if f.path in spare[g.kind]))
        for g in reasons.each
    )
    return replace(reasons, each=each)


def _spare(desk: Desk, plan: StackPlan, ground: Ground, word: Word) -> set[str]:
    """Paths that can be left out, one after the other; those tried word by word first."""
    quantities = desk.base.vocabulary.quantities
    kept = {f.path for f in ground.facts if _is_seen(f)}

    def last(path: str) -> tuple[bool, str]:
        found = quantities.get(path)
        return found is None or not found.split, path

    spare: set[str] = set()
    for path in sorted(kept, key=last):
        if _given(desk, plan, ground, kept - spare - {path}, word):
            spare.add(path)
    return spare


def _is_seen(fact: Fact) -> bool:
    return fact.path.partition(".")[0] in ("plane", "site")


def _given(desk: Desk, plan: StackPlan, ground: Ground, kept: set[str], word: Word) -> bool:
    """Whether the subject of a reason gets its word where only these paths have been looked at."""
    about = ground.findings[0].judgement.subject
    stated = {f.path.removeprefix("stated.") for f in ground.facts}
    job = _only(desk.job, plan, kept, stated)
    option = Desk(desk.base, job, desk.judge, before=desk).planned(job.stacks[plan.id])
    found = [
        j for j in option.judgements if (j.subject.kind, j.subject.id) == (about.kind, about.id)
    ]
    return any(j.word(True) >= word for j in found)


def _only(job: Job, plan: StackPlan, kept: set[str], stated: set[str]) -> Job:
    """A job in which nothing was seen or stated but this."""
    array = job.arrays[plan.array]
    plane = job.planes[array.plane]
    seen = {p: o for p, o in plane.observed.items() if p in kept}
    bare = replace(plane, observed=seen, marks=plane.marks if MARKS in kept else None)
    figures = {n: s for n, s in array.stated.items() if n in stated}
    own = {n: s for n, s in plan.stated.items() if n in stated}
    return replace(
        job,
        planes={**job.planes, plane.id: bare},
        site={p: o for p, o in job.site.items() if p in kept},
        arrays={**job.arrays, array.id: replace(array, stated=figures)},
        stacks={**job.stacks, plan.id: replace(plan, stated=own)},
    )
