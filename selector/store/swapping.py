"""A substitution asked of a job: judged whole, and told as the command tells it."""

from collections.abc import Mapping
from typing import Any

from selector.explanation.swap.telling import SwapTelling
from selector.inference.answer import Desk
from selector.inference.reach import reaches
from selector.inference.swap import swapped
from selector.jobs.changed import with_set
from selector.knowledge.yaml_reader import Document


def told_of(desk: Desk, stack: str, sets: Mapping[str, Any]) -> SwapTelling:
    """The change of a stack of this desk, and how far what was moved may move on.

    InputError for a change that cannot be made.
    """
    job, base = desk.job, desk.base
    changed = with_set(Document(job.file, job.raw, job.lines), base.vocabulary, stack, sets)
    other = Desk(base, changed.job, desk.judge, before=desk)
    moved = changed.places_moved
    found = swapped(desk, other, stack, void=changed.void, places_moved=moved)
    paths = [path for path, *_ in changed.sets]
    return SwapTelling(found, base, changed.job, changed.sets, tuple(reaches(other, stack, paths)))
