"""A drawn stack with the figures that follow from its places, where no paper states them."""

from dataclasses import replace

from selector.inference.answer import Desk
from selector.inference.repair import lay_out


def with_worked(desk: Desk, stack_id: str) -> Desk:
    """A desk whose stack has its worked figures; the same desk where none can be worked out.

    Only a drawn layout on measured seams is worked out: nothing undrawn is invented.
    """
    plan = desk.job.stacks.get(stack_id)
    if plan is None or plan.layout is None:
        return desk
    plane = desk.job.planes[desk.job.arrays[plan.array].plane]
    if plane.seams is None:
        return desk
    worked = lay_out(desk, plan).worked
    if not worked:
        return desk
    stacks = {**desk.job.stacks, stack_id: replace(plan, worked=worked)}
    return Desk(desk.base, replace(desk.job, stacks=stacks), desk.judge, before=desk)
