"""A drawn stack with the figures that follow from its places, where no paper states them."""

from dataclasses import replace

from selector.engineering.lines import weakest
from selector.facts.actions.model import Ends
from selector.facts.checks import least_of
from selector.facts.links.clip_figures import FORCE, NEWTON, SHARE, clip_figures, drawn_sums
from selector.facts.links.even_load import drawn_clamps, even_forces, even_uplift, on_paper
from selector.facts.places.clips import clip_case
from selector.facts.view import View
from selector.inference.answer import Desk
from selector.inference.repair import lay_out
from selector.model.job import StackPlan, Worked
from selector.model.quantity import Unknown


def with_worked(desk: Desk, stack_id: str, before: Desk | None = None) -> Desk:
    """A desk whose stack has its worked figures; the same desk where none can be worked out.

    Only a drawn layout is worked out: nothing undrawn is invented. On measured seams all figures
    are; on others the force of a clamp by a net uplift on paper, and the clips under such forces.
    `before` has the stack as it was planned: what is stated for it speaks against an even load too.
    """
    plan = desk.job.stacks.get(stack_id)
    if plan is None or plan.layout is None:
        return desk
    desks = [one for one in (desk, before) if one is not None]
    if desk.job.planes[desk.job.arrays[plan.array].plane].seams is None:
        worked = _on_the_clips(desk, plan, desks)
    else:
        worked = _on_measured_seams(desk, plan, desks)
    if not worked:
        return desk
    stacks = {**desk.job.stacks, stack_id: replace(plan, worked=worked)}
    return Desk(desk.base, replace(desk.job, stacks=stacks), desk.judge, before=desk)


def _on_measured_seams(desk: Desk, plan: StackPlan, desks: list[Desk]) -> dict[str, Worked]:
    """All figures of a layout, unless they rest on an even load that something speaks against."""
    laid, view = lay_out(desk, plan), _view(desk, plan.id)
    even = not laid.loads.lift and view is not None and on_paper(view, FORCE) is None
    return {} if even and not all(_is_even(one, plan.id) for one in desks) else laid.worked


def _on_the_clips(desk: Desk, plan: StackPlan, desks: list[Desk]) -> dict[str, Worked]:
    """Force of a clamp and the most used clip of a drawing on seams that nobody measured.

    By the force on paper, else by the net uplift on paper as an even load.
    """
    view, layout, array = _view(desk, plan.id), plan.layout, desk.job.arrays[plan.array]
    if layout is None or view is None or not array.crosses:
        return {}
    paper, found = on_paper(view, FORCE), {}
    if paper is not None:
        on_each = Ends(paper.value / NEWTON, paper.value / NEWTON)
        forces = dict.fromkeys(drawn_clamps(layout, array.crosses), on_each)
    elif all(_is_even(one, plan.id) for one in desks):
        forces = even_forces(view, layout)
        found = even_uplift(view, forces)
    else:
        return {}
    marked = desk.job.planes[array.plane].marks is not None
    if not marked or not forces or not isinstance(view.stated(SHARE), Unknown):
        return found
    sums = drawn_sums(view, clip_case(view), forces)
    status = weakest(("statics", *(one.status for one in found.values())))
    return found if sums is None else found | clip_figures(sums, status)


def _is_even(desk: Desk, stack_id: str) -> bool:
    """Whether an even load gives every force of a clamp that is stated for the same drawing.

    Where it does not, the load behind that force is another one, whether its paper counts or not;
    where no force is stated, nothing speaks against it.
    """
    view, layout = _view(desk, stack_id), desk.job.stacks[stack_id].layout
    stated = [] if view is None else view.given_figures(FORCE)
    if view is None or not stated:
        return True
    even = {} if layout is None else even_uplift(view, even_forces(view, layout))
    if FORCE not in even:
        return False
    least, most = least_of(even[FORCE]), even[FORCE].value
    return all(least <= one.value <= most for one in stated)


def _view(desk: Desk, stack_id: str) -> View | None:
    """A stack as its rules see it; None without a clamp."""
    judgements = desk.planned(desk.job.stacks[stack_id]).judgements
    view = next((j.view for j in judgements if j.subject.kind == "stack"), None)
    return None if view is None or view.binding.clamp is None else view
