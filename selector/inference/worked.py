"""A drawn stack with the figures that follow from its places, where no paper states them."""

from dataclasses import replace

from selector.facts.links.clip_figures import SHARE, clip_figures, drawn_sums
from selector.facts.places.clips import clip_case
from selector.inference.answer import Desk
from selector.inference.repair import lay_out
from selector.model.job import StackPlan, Worked
from selector.model.quantity import Unknown


def with_worked(desk: Desk, stack_id: str) -> Desk:
    """A desk whose stack has its worked figures; the same desk where none can be worked out.

    Only a drawn layout is worked out: nothing undrawn is invented. On measured seams all figures
    are; on seams that are marked alone, the clips under the clamp forces of a paper.
    """
    plan = desk.job.stacks.get(stack_id)
    if plan is None or plan.layout is None:
        return desk
    plane = desk.job.planes[desk.job.arrays[plan.array].plane]
    worked = _on_the_clips(desk, plan) if plane.seams is None else lay_out(desk, plan).worked
    if not worked:
        return desk
    stacks = {**desk.job.stacks, stack_id: replace(plan, worked=worked)}
    return Desk(desk.base, replace(desk.job, stacks=stacks), desk.judge, before=desk)


def _on_the_clips(desk: Desk, plan: StackPlan) -> dict[str, Worked]:
    """The most used clip of a drawing on marked seams, where no paper states it."""
    if plan.layout is None or desk.job.planes[desk.job.arrays[plan.array].plane].marks is None:
        return {}
    judgements = desk.planned(plan).judgements
    view = next((j.view for j in judgements if j.subject.kind == "stack"), None)
    if view is None or view.binding.clamp is None or not isinstance(view.stated(SHARE), Unknown):
        return {}
    sums = drawn_sums(view, clip_case(view), plan.layout)
    return {} if sums is None else clip_figures(sums, "statics")
