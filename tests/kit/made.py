"""Kits of made-up roofs: a job with one stack, the small layout for its parts, and a recount."""

from dataclasses import replace
from typing import Any

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.kit.count import kit_of
from selector.kit.model import Kit, Line
from selector.knowledge.base import Base
from selector.layout.model import Placed
from selector.model.job import Job
from tests.kb import roofs
from tests.layout.sample import small

Rows = dict[str, Any]
STEEL = {"clamp": "demo/dl-1", "rail": "demo/rail-u", "module_clamp": "demo/mc-1"}
ROUND = {
    "clamp": "demo/rd-1",
    "insert": "demo/rd-1-insert",
    "bolts": "demo/bolt-1",
    "rail": "demo/rail-s",
    "module_clamp": "demo/mc-2",
}
PLATE = {
    "clamp": "demo/mix-1",
    "adapters": ["demo/ad-1"],
    "bolts": "demo/bolt-1",
    "rail": "demo/rail-s",
    "module_clamp": "demo/mc-2",
}


def roof_for(base: Base, slots: Rows, family: str = "coated steel") -> Rows:
    """A roof that the clamp of these slots fits, with the stack `one` on it."""
    clamp = base.part(slots["clamp"])
    row = roofs.fitted(clamp, clamp.shape.grips[0].shape, family)  # type: ignore[attr-defined]
    row["stacks"] = {"one": {"array": "a1", **slots}}
    row["request"] = {"kind": "judge", "stack": "one"}
    return row


def placed_for(job: Job, placed: Placed | None = None) -> Placed:
    """A layout, the small one by default, said to be one of the job's stack."""
    slots = {k: v for k, v in job.stacks["one"].slots.items() if v is not None}
    return replace(placed or small(), array="a1", slots=slots)


def kit_on(base: Base, judge: Judge, row: Rows, placed: Placed | None = None) -> Kit:
    """The kit of the stack `one`."""
    job = roofs.job(base, row)
    desk = Desk(base, job, judge)
    return kit_of(base, job, job.stacks["one"], placed_for(job, placed), desk)


def lines(kit: Kit, kind: str) -> list[Line]:
    """All lines of a kind."""
    return [line for line in kit.lines if line.kind == kind]


def number(kit: Kit, kind: str) -> int:
    """Pieces of a kind, over all its lines."""
    return sum(line.number or 0 for line in lines(kit, kind))


def ids(kit: Kit) -> set[str]:
    """Ids of what a base puts along."""
    return {line.item.id for line in kit.lines if line.item is not None}


def left(kit: Kit) -> set[str]:
    """Ids of what must not be in the box."""
    return {line.item.id for line in kit.leave_out if line.item is not None}
