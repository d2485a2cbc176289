"""The changes that somebody on a roof is likely to ask for, each judged by itself beforehand.

Another part of the same slot, a part left out, one put where none was planned, screws with
another tip, another torque, the wrong order, something home-made, every second clamp. What is
not here was not judged, and is no yes.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from selector import units
from selector.inference.answer import Desk
from selector.inference.swap import Swapped, change_of
from selector.inference.worked import with_worked
from selector.knowledge.base import Part
from selector.knowledge.schema import Clamp
from selector.model.job import Job, StackPlan
from selector.model.truth import Word

# Slots whose parts are exchanged one for one; another layer of rails is another drawing.
SLOTS = ("clamp", "insert", "inlay", "bolts", "rail", "frame", "module_clamp")
STACK = "stack"  # several parts at once, as the graph finds them
OWN_WORK = "home-made"
TIP, ORDER = "another tip", "in the wrong order"


@dataclass(frozen=True)
class Likely:
    """One change: what it is about, what a job file would set for it, and its judgement."""

    about: str
    sets: Mapping[str, Any]
    swap: Swapped


def likely(desk: Desk, plan: StackPlan) -> Iterator[Likely]:
    """Every likely change of a stack, in the order of its parts from the seam up."""
    here = _standing(desk, plan)
    before = here.planned(here.job.stacks[plan.id])
    for about, sets, changed in _changes(here, plan):
        other = _standing(here, changed)
        if other.planned(changed).verdict.word == Word.OBSERVE:
            other = with_worked(other, plan.id)
        answer = other.stack(plan.id)
        yield Likely(about, sets, change_of(here, before, other, answer, plan.id))


def _standing(desk: Desk, plan: StackPlan) -> Desk:
    """A desk whose job holds this plan; what does not read a change keeps its judgement."""
    job: Job = replace(desk.job, stacks={**desk.job.stacks, plan.id: plan})
    return Desk(desk.base, job, desk.judge, before=desk)


def _changes(desk: Desk, plan: StackPlan) -> Iterator[tuple[str, dict[str, Any], StackPlan]]:
    bare = replace(plan, worked={})  # figures of these parts; they are worked out anew
    for slot in SLOTS:
        now = plan.slots[slot]
        others = [p.id for p in _stock(desk, slot) if p.id != now]
        for part in (*others, *([None] if now is not None and slot != "clamp" else [])):
            slots = {slot: part}
            if slot == "clamp" and part is not None:
                slots["insert"] = _insert(desk, part)
            sets = {k: v or "none" for k, v in slots.items() if plan.slots[k] != v}
            yield slot, sets, replace(bare, slots={**plan.slots, **slots})
    yield from _adapters(desk, bare)
    yield from _work(desk, bare)
    yield from _stacks(desk, bare)


def _stock(desk: Desk, slot: str) -> list[Part]:
    """Parts for a slot in the catalogues of the job."""
    found = [p for name in desk.job.catalogues for p in desk.base.catalogues[name].slot(slot)]
    return sorted(found, key=lambda part: part.id)


def _insert(desk: Desk, clamp: str) -> str | None:
    """The insert that a clamp in two parts needs."""
    shape = desk.part(clamp).shape
    need = shape.needs_insert if isinstance(shape, Clamp) else None
    return f"{clamp.partition('/')[0]}/{need}" if need else None


def _adapters(desk: Desk, plan: StackPlan) -> Iterator[tuple[str, dict[str, Any], StackPlan]]:
    """One adapter in place of those planned, and none."""
    choices: list[tuple[str, ...]] = [(part.id,) for part in _stock(desk, "adapter")]
    for adapters in (*choices, *([()] if plan.adapters else [])):
        if adapters != plan.adapters:
            yield "adapters", {"adapters": list(adapters)}, replace(plan, adapters=adapters)


def _stacks(desk: Desk, plan: StackPlan) -> Iterator[tuple[str, dict[str, Any], StackPlan]]:
    """Stacks of the array that differ in several parts at once and are not refused as chosen."""
    for option in desk.choose(plan.array).options:
        core = option.core
        slots = {
            s: getattr(core, s) if s != "module_clamp" else option.module_clamp for s in plan.slots
        }
        sets: dict[str, Any] = {s: v or "none" for s, v in slots.items() if plan.slots[s] != v}
        if core.adapters != plan.adapters:
            sets["adapters"] = list(core.adapters)
        if len(sets) > 1:
            yield STACK, sets, replace(plan, slots=slots, adapters=core.adapters)


def _work(desk: Desk, plan: StackPlan) -> Iterator[tuple[str, dict[str, Any], StackPlan]]:
    """What the crew may do otherwise: screws, torque, order, home-made things, every second one."""
    yield "screw_tip", {"screw_tip": TIP}, replace(plan, screw_tip=TIP)
    shape = desk.part(plan.slots["clamp"] or "").shape
    if isinstance(shape, Clamp) and isinstance(shape.torque, int):
        for share in (4, 6):  # fifths: a fifth less, a fifth more
            torque = shape.torque * share // 5
            yield (
                "torque",
                {"torque": units.show(torque, "torque")},
                replace(plan, torque=torque),
            )
    if isinstance(shape, Clamp) and shape.screw_order:
        yield "tightened", {"tightened": ORDER}, replace(plan, tightened=ORDER)
        again = "loosened and set again"
        yield "tightened", {"tightened": again}, replace(plan, tightened=again)
    for what in ("fit", "inlay", "adapter"):
        improvised = {**plan.improvised, what: OWN_WORK}
        yield "improvised", {f"improvised.{what}": OWN_WORK}, replace(plan, improvised=improvised)
    if plan.bonding_wire != "bare copper":
        wire = replace(plan, bonding_wire="bare copper")
        yield "bonding_wire", {"bonding_wire": "bare copper"}, wire
