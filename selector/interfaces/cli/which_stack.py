"""Which stack a command is about: the one named, that of the request, or the best one found."""

from selector.errors import InputError, near
from selector.explanation.texts import Texts
from selector.inference.answer import Desk, Option
from selector.model.job import StackPlan


def stack_of(desk: Desk, texts: Texts, named: str | None, array: str | None) -> StackPlan:
    """The stack by its name, else the request's, the chosen or the only one, else the best found.

    InputError where there is none, or where it belongs to another array than the one named.
    """
    job, say = desk.job, texts.say
    if array is not None and array not in job.arrays:
        text = say("loads.asking.no_array", array=array)
        raise InputError.of(text, near(array, job.arrays), file=job.file)
    if named is not None:
        if named not in job.stacks:
            text, names = say("asking.no_stack", stack=named), ", ".join(sorted(job.stacks))
            remedy = say("asking.use_stack", names=names or say("asking.none"))
            raise InputError.of(text, remedy, file=job.file)
        plan = job.stacks[named]
        if array not in (None, plan.array):
            text = say("places.other_array", stack=named, array=plan.array)
            raise InputError.of(text, say("places.one_of_both"), file=job.file)
        return plan
    wanted = array or job.request.array
    asked = (job.request.stack, job.chosen)
    plans = [job.stacks[s] for s in asked if s in job.stacks]
    plans += [p for p in job.stacks.values() if len(job.stacks) == 1 and wanted == p.array]
    fitting = [p for p in plans if wanted in (None, p.array)]
    if fitting:
        return fitting[0]
    return best_stack(desk, texts, wanted or array_of(desk, texts))


def array_of(desk: Desk, texts: Texts) -> str:
    """The array of the request, else the first one; InputError where there is none."""
    job = desk.job
    array = job.request.array or next(iter(job.arrays), None)
    if array is None:
        text, remedy = texts.say("loads.asking.without"), texts.say("loads.asking.add_array")
        raise InputError.of(text, remedy, file=job.file)
    return array


def best_stack(desk: Desk, texts: Texts, array: str) -> StackPlan:
    """The stack that a choose request puts first, as a plan of its own."""
    job = desk.job
    options = desk.choose(array).options
    if not options:
        text = texts.say("places.no_stack_left", array=array)
        raise InputError.of(text, texts.say("places.see_pick"), file=job.file)
    return plan_of(options[0], array)


def plan_of(option: Option, array: str) -> StackPlan:
    """A stack that was found, as a plan without a layout."""
    core = option.core
    names = ("clamp", "insert", "inlay", "bolts", "rail", "cross", "upper_rail", "frame")
    slots: dict[str, str | None] = {name: getattr(core, name) for name in names}
    slots["module_clamp"] = option.module_clamp
    return StackPlan(core.id, array, slots, core.adapters, None, {}, ())
