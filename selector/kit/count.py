"""The kit of a stack: counted on its positions, or roughly where there are none yet."""

from dataclasses import dataclass, replace

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
from selector.model.job import Job, StackPlan
from selector.model.truth import Word


@dataclass(frozen=True)
class Judged:
    """The stack with its layout as it was judged, and the word for both."""

    option: Option
    word: Word


def kit_of(
    base: Base,
    job: Job,
    stack_plan: StackPlan,
    placed: Placed,
    desk: Desk | None = None,
    judged: Judged | None = None,
) -> Kit:
    """Kit of an array laid out for this stack, counted position by position.

    `judged` is the word for this very layout; without it the plan is judged as it stands.

    ValueError where it was laid out for other parts, another array or with another cut plan.
    """
    _same(stack_plan, placed)
    array = job.arrays[stack_plan.array]
    crossed = stack_plan.slots.get("cross") is not None
    counts = counted(placed, upper_lines=array.rail_lines if crossed else None)
    return _kit(desk or Desk(base, job), stack_plan, counts, judged)


def rough_kit(
    base: Base,
    job: Job,
    stack_plan: StackPlan,
    desk: Desk | None = None,
    *,
    laid_out: bool = False,
) -> Kit:
    """Kit by the quick formula from rows and columns: it proves nothing.

    `laid_out` says that it could be counted on positions as well.
    """
    array = job.arrays[stack_plan.array]
    chosen = Chosen(base, stack_plan, base.part(array.module))
    allowance = base.numbers["rail_end_allowance"].value.places[0].high
    found = rough(chosen, array, job.planes[array.plane], allowance)
    kit = _kit(desk or Desk(base, job), stack_plan, found.counts, preliminary=True)
    railed = chosen.rail is not None
    lines = tuple(_roughly(line, found) if railed else line for line in kit.lines)
    return replace(kit, lines=lines, laid_out=laid_out)


def _kit(
    desk: Desk,
    plan: StackPlan,
    counts: Counts,
    judged: Judged | None = None,
    *,
    preliminary: bool = False,
) -> Kit:
    base, job = desk.base, desk.job
    array = job.arrays[plan.array]
    option = judged.option if judged is not None else desk.planned(plan)
    answer = desk.stack(plan.id) if plan.id in job.stacks else desk.choose(array.id)
    kit = Kit(
        job=job.id,
        as_of=job.as_of,
        array=array.id,
        plane=array.plane,
        stack=plan.id,
        core=option.core.id,
        option=option,
        word=judged.word if judged is not None else option.verdict.word,
        preliminary=preliminary,
        laid_out=judged is not None,
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
    holes: dict[str, Hole] = {"n": n, "clamps": Noun("clamp", each)}
    holes |= {"length": Metres(found.piece), "end": Metres(found.end), "apart": Metres(found.apart)}
    name = "rough" if found.measured else "rough_span"
    return replace(line, because=(Because(name, holes),))
