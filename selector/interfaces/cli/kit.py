"""The command that counts a kit: kit."""

import json
from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.kit.as_json import kit_data
from selector.explanation.kit.page import page
from selector.explanation.kit.table import table
from selector.explanation.kit.telling import KitTelling
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.read import read_job
from selector.jobs.write import write_whole
from selector.kit.count import best_plan, rough_kit
from selector.kit.model import Kit
from selector.knowledge.loader import load_base
from selector.model.job import Array, StackPlan


def count(
    path: Path,
    *,
    stack: str | None,
    array: str | None,
    preliminary: bool,
    into: Path | None,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
) -> None:
    """Print the kit of one stack, whatever its word. InputError before any output."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    if into is not None and into.suffix != ".csv":
        raise InputError.of(texts.say("kit.asking.csv"), file=str(into))
    desk = Desk(base, read_job(path, base.vocabulary))
    plan = _plan(texts, desk, stack, array)
    told = KitTelling(_kit(texts, desk, plan, preliminary=preliminary), base, texts)
    if into is not None:
        if told.kit.forbidden:
            raise InputError.of(texts.say("kit.asking.no_csv"), file=desk.job.file)
        write_whole(table(told), into)
    with to_screen() as console:
        if as_json:
            print(json.dumps(kit_data(told, __version__), indent=1, ensure_ascii=False))
        else:
            for line in page(told, __version__, str(path), console.width):
                print(line)


def _kit(texts: Texts, desk: Desk, plan: StackPlan, *, preliminary: bool) -> Kit:
    """Counted on the positions, or roughly."""
    if preliminary:
        return rough_kit(desk.base, desk.job, plan, desk)
    text, remedy = texts.say("kit.asking.not_placed", array=plan.array), "kit.asking.preliminary"
    raise InputError.of(text, texts.say(remedy), file=desk.job.file)


def _plan(texts: Texts, desk: Desk, stack: str | None, array: str | None) -> StackPlan:
    """The stack that is named, or the one the job asks for, or its only one, or the best."""
    say, job = texts.say, desk.job
    if stack is not None and stack not in job.stacks:
        remedy = say("kit.asking.use_stack", names=_names(texts, job.stacks))
        raise InputError.of(say("kit.asking.no_stack", stack=stack), remedy, file=job.file)
    here = [s for s in job.stacks.values() if array in (None, s.array)]
    asked = next((n for n in (stack, job.request.stack, job.chosen) if n in job.stacks), None)
    only = here[0].id if len(here) == 1 else None
    name = asked if asked is not None and (stack or job.stacks[asked] in here) else only
    if name is not None:
        plan = job.stacks[name]
        if array is not None and plan.array != array:
            text = say("kit.asking.other_array", stack=name, array=plan.array)
            raise InputError.of(text, file=job.file)
        return plan
    if here:
        remedy = say("kit.asking.use_stack", names=_names(texts, [s.id for s in here]))
        raise InputError.of(say("kit.asking.which_stack"), remedy, file=job.file)
    best = best_plan(desk, _array(texts, desk, array))
    if best is None:
        raise InputError.of(say("kit.no_stack"), file=job.file)
    return best


def _array(texts: Texts, desk: Desk, named: str | None) -> Array:
    """The array that is named, or that of the request, or the only one."""
    say, job = texts.say, desk.job
    only = next(iter(job.arrays)) if len(job.arrays) == 1 else None
    found = named or job.request.array or only
    if found in job.arrays:
        return job.arrays[found]
    if not job.arrays:
        text, remedy = say("kit.asking.without"), say("kit.asking.add_array")
        raise InputError.of(text, remedy, file=job.file)
    text = say("kit.asking.no_array", array=found) if found else say("kit.asking.which_array")
    remedy = say("kit.asking.use_array", names=_names(texts, job.arrays))
    raise InputError.of(text, remedy, file=job.file)


def _names(texts: Texts, names: object) -> str:
    return ", ".join(sorted(names)) or texts.say("asking.none")  # type: ignore[call-overload]
