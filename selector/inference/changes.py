"""What would make a refused stack milder: the smallest changes, each built and judged again."""

from collections.abc import Iterator
from dataclasses import replace

from selector import units
from selector.inference.answer import Answer, Change, Desk, Option
from selector.inference.bystanders import bystanders
from selector.inference.flip import flips_of
from selector.inference.in_worlds import giving
from selector.inference.moves import Move, Site, sites
from selector.inference.redraw import mends
from selector.inference.to_get import Got, got
from selector.model.job import StackPlan
from selector.model.truth import Word

MOST = 5
WRONG = "in the wrong order"
IMPROVISED = ("fit", "inlay", "adapter")
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

    Candidates are the stacks that the graph finds for the array, and the work of the crew set
    right. Each takes the place of the plan with its layout and is judged whole; where only the
    layout holds it back then, it is drawn anew (`redraw.py`). Then what the reasons name: the array
    changed (`moves.py`), or a paper or a record got (`to_get.py`).
    """
    plan = desk.job.stacks[stack_id]
    now = desk.planned(plan)
    if now.verdict.word < Word.ENGINEER:
        return []
    found: list[Change] = []
    ladders: set[str] = set()  # moves of one kind, the least first: the first that helps is enough
    for site in (*sites(desk, plan, now), *got(Site(desk, plan), now)):
        kind = site.moved[0][0] if site.keeps_parts else ""
        if kind in ladders and not isinstance(site, Got):
            continue
        helped = list(_of_site(site, plan, now))
        found += helped
        if helped and kind:
            ladders.add(kind)
    return sorted(found, key=_least_first)


def _least_first(change: Change) -> tuple[int, int, Word, list[tuple[str, ...]]]:
    names = [tuple(part or "" for part in move) for move in change.moved]
    return len(change.moved), change.effort, change.option.verdict.word, names


def _of_site(site: Site, plan: StackPlan, now: Option) -> Iterator[Change]:
    """Changes at one site: with the parts of the plan, and with others in their place."""
    before, word = settings(site.desk, plan, now), now.verdict.word
    for number, candidate in enumerate(_candidates(site, now)):
        built = replace(site, plan=replace(candidate, id=f"{plan.id}, change {number}"))
        other = built.judged()
        tries = [(built, other)]
        if other.verdict.word >= word:
            tries = [(m, m.judged()) for m in mends(built, other, word)]
        for tried, option in tries:
            after = settings(site.desk, tried.plan, option)
            slots = ((k, before[k], after[k]) for k in before if before[k] != after[k])
            moved = (*slots, *tried.moved)
            if moved and option.verdict.word < word:
                yield _change(site, moved, option)
                if site.moved and candidate is site.plan:
                    return  # with parts exchanged as well it would only be more


def _change(site: Site, moved: tuple[Move, ...], option: Option) -> Change:
    desk = site.desk
    effort = sum(desk.base.trade.effort(m[0].partition(" ")[0]).effort for m in moved)
    change = Change(moved, option, _brings(desk, option), effort)
    if isinstance(site, Got):
        return replace(change, shows=site.shows, who=site.who)
    return change


def settings(desk: Desk, plan: StackPlan, option: Option) -> Setting:
    """Everything of a stack that a hand can change, by slot; nothing where it is as listed."""
    core = option.core
    listed = plan.torque in (None, getattr(desk.part(core.clamp).shape, "torque", None))
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
        "torque": "as listed" if listed else units.show(plan.torque or 0, "torque"),
        "screw_tip": plan.screw_tip or "as delivered",
        "tightened": plan.tightened if plan.tightened != "as listed" else None,
        "beside_clamps": plan.beside_clamps if plan.beside_clamps != "none" else None,
        "bonding_wire": plan.bonding_wire if plan.bonding_wire != "not stated" else None,
        **{f"improvised {k}": plan.improvised.get(k) for k in IMPROVISED},
    }


def _candidates(site: Site, now: Option) -> Iterator[StackPlan]:
    """The plan, the same set right, and every stack of the array in its place."""
    plan = site.plan
    yield plan
    listed = _set_right(plan, now)
    if listed != plan:
        yield listed
    if site.keeps_parts:
        return
    for option in site.desk.choose(plan.array).options:
        core = option.core
        slots = {
            slot: getattr(core, slot) if slot != "module_clamp" else option.module_clamp
            for slot in plan.slots
        }
        yield replace(listed, slots=slots, adapters=core.adapters)


def _set_right(plan: StackPlan, now: Option) -> StackPlan:
    """Screws as listed, and whatever else of the crew's work a reason speaks of."""
    read = {str(c.left) for f in giving(now.verdict) for c in f.rule.conditions}
    kept = {k: v for k, v in plan.improvised.items() if f"stack.improvised.{k}" not in read}
    right = replace(plan, torque=None, screw_tip=None, improvised=kept)
    if "stack.tightened" in read and plan.tightened == WRONG:
        right = replace(right, tightened="loosened and set again")
    if "stack.beside.clamps" in read:
        right = replace(right, beside_clamps="none")
    if "contact.wire" in read and plan.bonding_wire == "bare copper":
        right = replace(right, bonding_wire="tinned copper")
    return right


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
