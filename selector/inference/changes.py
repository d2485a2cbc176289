"""What would make a refused stack milder: the smallest changes, each built and judged again."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from selector import units
from selector.inference.answer import Answer, Change, Desk, Finder, Option
from selector.inference.bystanders import bystanders
from selector.inference.flip import flips_of
from selector.inference.in_worlds import giving
from selector.inference.moves import Move, Site, sites
from selector.inference.redraw import mends
from selector.inference.to_get import Got, got
from selector.model.job import StackPlan
from selector.model.stack import Core
from selector.model.truth import Word

MOST = 5
MODULE_CLAMP = "module_clamp"
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
    return tuple(smallest(milder(desk, stack_id, MOST)))[:MOST]


def milder(desk: Desk, stack_id: str, most: int | None = None) -> list[Change]:
    """Every change of a named stack that makes its word milder, fewest moves first, then effort.

    With `most`, parts are exchanged only while so many smallest changes may still need it.

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
    here, *others = sites(desk, plan, now)
    for site in (*others, *got(here, now)):
        kind = site.moved[0][0] if site.keeps_parts else ""
        if kind in ladders and not isinstance(site, Got):
            continue
        helped = list(_of_site(site, plan, now))
        found += helped
        if helped and kind:
            ladders.add(kind)
    for change in _of_site(here, plan, now, lambda moves: _are_less(found, moves, most)):
        found.append(change)
    return sorted(found, key=_least_first)


def _least_first(change: Change) -> tuple[int, int, Word, list[tuple[str, ...]]]:
    names = [tuple(part or "" for part in move) for move in change.moved]
    return len(change.moved), change.effort, change.option.verdict.word, names


def _are_less(found: list[Change], moves: int, most: int | None) -> bool:
    """Whether so many of the smallest changes have fewer moves than this."""
    if most is None:
        return False
    kept = smallest(sorted(found, key=_least_first))
    return sum(len(change.moved) < moves for change in kept) >= most


def _of_site(
    site: Site, plan: StackPlan, now: Option, enough: Callable[[int], bool] = lambda moves: False
) -> Iterator[Change]:
    """Changes at one site: with the parts of the plan, and with others in their place.

    `enough` is asked for each number of parts to exchange, the least first.
    """
    before, word = settings(site.desk, plan, now), now.verdict.word
    for number, candidate in enumerate(_candidates(site, now, enough)):
        built = replace(site, plan=replace(candidate, id=f"{plan.id}, change {number}"))
        as_it_is = candidate is plan and not site.moved
        other = now if as_it_is else built.judged()
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


def _candidates(site: Site, now: Option, enough: Callable[[int], bool]) -> Iterator[StackPlan]:
    """The plan, the same set right, and every stack of the array, the nearest first."""
    plan = site.plan
    yield plan
    listed = _set_right(plan, now)
    if listed != plan:
        yield listed
    if site.keeps_parts:
        return
    finder = Finder(site.desk, site.array)
    for core in sorted(finder.standing(), key=lambda core: _exchanged(plan, core)):
        if enough(_exchanged(plan, core)):
            return
        option = finder.option(core)
        if option.verdict.word == Word.FORBIDDEN:
            continue
        slots = {slot: _part(option, slot) for slot in plan.slots}
        other = replace(listed, slots=slots, adapters=core.adapters)
        if other != listed:
            yield other


def _part(option: Option, slot: str) -> str | None:
    found: str | None = getattr(option.core, slot) if slot != MODULE_CLAMP else option.module_clamp
    return found


def _exchanged(plan: StackPlan, core: Core) -> int:
    """How many parts a core has otherwise, module clamp aside: so many moves it takes at least."""
    slots = [slot for slot in plan.slots if slot != MODULE_CLAMP]
    before = (plan.adapters, *(plan.slots[slot] for slot in slots))
    after = (core.adapters, *(getattr(core, slot) for slot in slots))
    return sum(a != b for a, b in zip(before, after, strict=True))


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
