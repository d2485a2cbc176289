"""What would make a refused stack milder: the smallest changes, each built and judged again."""

from collections.abc import Iterator
from dataclasses import replace

from selector import units
from selector.inference.answer import Answer, Change, Desk, Option
from selector.inference.bystanders import bystanders
from selector.inference.flip import flips_of
from selector.inference.moves import mend, sites
from selector.model.job import StackPlan
from selector.model.truth import Word

MOST = 5
Setting = dict[str, str | None]


def explained(desk: Desk, stack_id: str) -> Answer:
    """A named stack judged, with what would make it milder, which figures would, and which not."""
    answer = desk.stack(stack_id)
    [option] = answer.options
    return replace(
        answer,
        changes=changes(desk, stack_id),
        flips=flips_of(desk.judge, option.verdict),
        bystanders=bystanders(option.judgements, option.verdict),
    )


def changes(desk: Desk, stack_id: str) -> tuple[Change, ...]:
    """At most five changes of a named stack, fewest first; none where looking is enough.

    One counts if its word is milder and no smaller change, contained in it, gives as mild a word.
    """
    return tuple(smallest(milder(desk, stack_id)))[:MOST]


def milder(desk: Desk, stack_id: str) -> list[Change]:
    """Every change of a named stack that makes its word milder, fewest moves first, then effort.

    Candidates are the stacks that the graph finds for the array, and the screws as listed. Each
    takes the place of the plan with its layout and is judged whole; where only the layout holds it
    back then, rail lines are cut or set elsewhere (`moves.py`).
    """
    plan = desk.job.stacks[stack_id]
    now = desk.planned(plan)
    word = now.verdict.word
    if word < Word.ENGINEER:
        return []
    before = settings(plan, now)
    found: list[Change] = []
    for site in sites(desk, plan, now):
        for number, candidate in enumerate(_candidates(site.desk, site.plan)):
            tried = replace(site, plan=replace(candidate, id=f"{plan.id}, change {number}"))
            other = tried.judged()
            if other.verdict.word >= word:
                mended = mend(tried, other, word)
                if mended is None:
                    continue
                tried, other = mended, mended.judged()
            after = settings(candidate, other)
            slots = ((k, before[k], after[k]) for k in before if before[k] != after[k])
            moved = (*slots, *tried.moved)
            if moved and other.verdict.word < word:
                effort = sum(desk.base.trade.effort(m[0].partition(" ")[0]).effort for m in moved)
                found.append(Change(moved, other, _brings(desk, other), effort))
                if site.moved and candidate is site.plan:
                    break  # with parts exchanged as well it would only be more
    found.sort(key=lambda c: (len(c.moved), c.effort, c.option.verdict.word, c.moved))
    return found


def settings(plan: StackPlan, option: Option) -> Setting:
    """Everything of a stack that a hand can change, by slot."""
    core = option.core
    return {
        "clamp": core.clamp,
        "insert": core.insert,
        "inlay": core.inlay,
        "adapters": ", ".join(core.adapters) or None,
        "bolts": core.bolts,
        "rail": core.rail,
        "frame": core.frame,
        "cross": core.cross,
        "upper_rail": core.upper_rail,
        "module_clamp": option.module_clamp,
        "torque": "as listed" if plan.torque is None else units.show(plan.torque, "torque"),
        "screw_tip": plan.screw_tip or "as delivered",
    }


def _candidates(desk: Desk, plan: StackPlan) -> Iterator[StackPlan]:
    """The plan, the same with its screws as listed, and every stack of the array in its place."""
    yield plan
    listed = replace(plan, torque=None, screw_tip=None)
    if listed != plan:
        yield listed
    for option in desk.choose(plan.array).options:
        core = option.core
        slots = {
            slot: getattr(core, slot) if slot != "module_clamp" else option.module_clamp
            for slot in plan.slots
        }
        yield replace(listed, slots=slots, adapters=core.adapters)


def _brings(desk: Desk, option: Option) -> tuple[str, ...]:
    """Kit lines that follow from the parts of a stack."""
    lines = [
        line for part in option.core.parts for line in getattr(desk.part(part).shape, "brings", ())
    ]
    return tuple(dict.fromkeys(lines))


def smallest(found: list[Change]) -> Iterator[Change]:
    """Changes, fewest first, that hold no smaller one with as mild a word."""
    kept: list[Change] = []
    for change in found:
        moved = {m[0]: m[2] for m in change.moved}
        inside = [
            k
            for k in kept
            if {m[0]: m[2] for m in k.moved}.items() <= moved.items()
            and k.option.verdict.word <= change.option.verdict.word
        ]
        if not inside:
            kept.append(change)
            yield change
