"""The kit of a stack: counted on its positions, or roughly where there are none yet."""

from dataclasses import replace

from selector.inference.answer import Desk, Option
from selector.kit.chosen import Chosen
from selector.kit.counts import Counts, counted
from selector.kit.items import Roof, barred, items, left_out
from selector.kit.lines import goods
from selector.kit.model import Because, Hole, Kit, Line, Metres, Noun
from selector.kit.rough import Rough, rough
from selector.kit.totals import totals
from selector.knowledge.base import Base
from selector.layout.model import Placed
from selector.model.job import Array, Job, StackPlan


def kit_of(
    base: Base, job: Job, stack_plan: StackPlan, placed: Placed, desk: Desk | None = None
) -> Kit:
    """Kit of an array laid out for this stack, counted position by position.

    ValueError where it was laid out for other parts, another array or with another cut plan.
    """
    _same(stack_plan, placed)
    array = job.arrays[stack_plan.array]
    crossed = stack_plan.slots.get("cross") is not None
    counts = counted(placed, upper_lines=array.rail_lines if crossed else None)
    return _kit(base, job, stack_plan, counts, desk)


def rough_kit(base: Base, job: Job, stack_plan: StackPlan, desk: Desk | None = None) -> Kit:
    """Kit by the quick formula from rows and columns: it proves nothing."""
    array = job.arrays[stack_plan.array]
    chosen = Chosen(base, stack_plan, base.part(array.module))
    found = rough(chosen, array, job.planes[array.plane], base.kits.figures["rail_end_allowance"])
    kit = _kit(base, job, stack_plan, found.counts, desk, preliminary=True)
    railed = chosen.rail is not None
    lines = tuple(_roughly(line, found) if railed else line for line in kit.lines)
    return replace(kit, lines=lines)


def best_plan(desk: Desk, array: Array) -> StackPlan | None:
    """The best stack of an array as a plan; None where none is left."""
    answer = desk.choose(array.id)
    if not answer.options:
        return None
    core = answer.options[0].core
    slots = ("clamp", "insert", "inlay", "bolts", "rail", "frame", "cross", "upper_rail")
    filled = {slot: getattr(core, slot) for slot in slots}
    filled["module_clamp"] = answer.options[0].module_clamp
    return StackPlan(core.id, array.id, filled, core.adapters, None, {}, ())


def _kit(
    base: Base,
    job: Job,
    plan: StackPlan,
    counts: Counts,
    desk: Desk | None,
    *,
    preliminary: bool = False,
) -> Kit:
    desk = desk or Desk(base, job)
    array = job.arrays[plan.array]
    option = desk.planned(plan)
    answer = desk.stack(plan.id) if plan.id in job.stacks else desk.choose(array.id)
    kit = Kit(
        job=job.id,
        as_of=job.as_of,
        array=array.id,
        plane=array.plane,
        stack=plan.id,
        core=option.core.id,
        option=option,
        preliminary=preliminary,
        invented=answer.invented,
        gates=tuple(sorted(gate for gate, findings in answer.site.gates.items() if findings)),
    )
    if kit.forbidden:
        return kit
    chosen = Chosen(base, plan, base.part(array.module))
    roof = _roof(option)
    lines = (*barred(base, roof, goods(base, chosen, counts)), *items(base, roof))
    found = totals(lines, counts.area, chosen.catalogue, job, array)
    return replace(kit, lines=lines, leave_out=tuple(left_out(base, roof)), totals=found)


def _roof(option: Option) -> Roof:
    """What the judgement of the whole stack knows."""
    return Roof(next(j.view for j in option.judgements if j.subject.kind == "stack"))


def _same(plan: StackPlan, placed: Placed) -> None:
    """ValueError unless the array was laid out for this plan."""
    slots = {slot: part for slot, part in plan.slots.items() if part is not None}
    other = [s for s in placed.slots if s in plan.slots and placed.slots[s] != slots.get(s)]
    if other or placed.array != plan.array:
        what = ", ".join(other) or f"array {placed.array}"
        raise ValueError(f"laid out for another {what} than stack `{plan.id}`")


def _roughly(line: Line, found: Rough) -> Line:
    """A rough line of clamps says by which figures; every other one as it is."""
    if line.kind != "clamp":
        return line
    n, each = found.counts.pieces, found.counts.clamps[0].each
    holes: dict[str, Hole] = {"pieces": Noun("piece", n), "clamps": Noun("clamp", each)}
    holes |= {"length": Metres(found.piece), "end": Metres(found.end), "apart": Metres(found.apart)}
    name = "rough" if found.measured else "rough_span"
    return replace(line, because=(Because(name, {"n": n, **holes}),))
