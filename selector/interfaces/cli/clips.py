"""The command that finds the heights of rail lines between the clips: clips."""

import json
from dataclasses import replace
from pathlib import Path

from selector import __version__
from selector.errors import InputError, near
from selector.explanation.clips.as_json import clips_data
from selector.explanation.clips.page import page
from selector.explanation.clips.picture import picture as draw
from selector.explanation.clips.telling import ClipTelling
from selector.explanation.texts import Texts
from selector.facts.places.clip_answer import ClipAnswer, clip_answer
from selector.facts.places.clips import LINES, clip_case
from selector.facts.view import View
from selector.inference.answer import Desk, Finder
from selector.interfaces.cli.screen import in_language, to_screen
from selector.jobs.read import read_job
from selector.jobs.write import write_whole
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.model.job import Array, Job, StackPlan
from selector.model.stack import Core


def find(
    path: Path,
    *,
    stack: str | None,
    array: str | None,
    lines: int | None,
    as_json: bool,
    picture: Path | None,
    kb: Path | None,
    lang: str | None,
) -> None:
    """Print where rail lines may lie, whatever the word. InputError before any output."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    _check(texts, lines, picture)
    job = read_job(path, base.vocabulary)
    plan = _plan(texts, job, stack, array)
    told = ClipTelling(_answer(base, job, plan, lines), base, texts)
    if picture is not None:
        try:
            drawing = draw(told)
        except KeyError:
            raise InputError.of(texts.say("clips.asking.nothing"), file=job.file) from None
        write_whole(drawing, picture)
    with to_screen() as console:
        if as_json:
            data = clips_data(told, __version__)
            print(json.dumps(data, indent=1, ensure_ascii=False))
        else:
            for line in page(told, __version__, console.width):
                print(line)


def _check(texts: Texts, lines: int | None, picture: Path | None) -> None:
    """What can be wrong with the options alone."""
    if lines is not None and lines not in LINES:
        raise InputError.of(texts.say("clips.asking.lines", lines=lines))
    if picture is None:
        return
    if picture.suffix != ".svg":
        raise InputError.of(texts.say("loads.asking.svg"), file=str(picture))
    if not picture.absolute().parent.is_dir():
        text, remedy = texts.say("loads.asking.no_folder"), texts.say("loads.asking.make_folder")
        raise InputError.of(text, remedy, file=str(picture))


def _plan(texts: Texts, job: Job, stack: str | None, array: str | None) -> StackPlan:
    """The stack that is named, or that of the request, or the chosen one, or the only one."""
    say, request = texts.say, job.request
    if array is not None and array not in job.arrays:
        text, remedy = say("loads.asking.no_array", array=array), near(array, job.arrays)
        raise InputError.of(text, remedy, file=job.file)
    if stack is not None and stack not in job.stacks:
        text = say("clips.asking.no_stack", stack=stack)
        raise InputError.of(text, near(stack, job.stacks), file=job.file)
    asked = array or request.array
    fits = {k: p for k, p in job.stacks.items() if asked in (None, p.array)}
    only = next(iter(fits)) if len(fits) == 1 else None
    found = stack or next((s for s in (request.stack, job.chosen) if s in fits), None) or only
    if found is None and not fits:
        text, remedy = say("clips.asking.without"), say("clips.asking.add_stack")
        raise InputError.of(text, remedy, file=job.file)
    if found is None:
        names = ", ".join(sorted(fits))
        text, remedy = say("clips.asking.which_stack"), say("asking.use_stack", names=names)
        raise InputError.of(text, remedy, file=job.file)
    plan = job.stacks[found]
    if array is not None and plan.array != array:
        text = say("clips.asking.other_array", stack=found, array=plan.array)
        raise InputError.of(text, file=job.file, line=plan.line)
    return plan


def _answer(base: Base, job: Job, plan: StackPlan, lines: int | None) -> ClipAnswer:
    """Windows of a plan; another number of rail lines leaves its figures and its drawing out."""
    desk = Desk(base, job)
    array: Array = desk.job.arrays[plan.array]
    if lines is not None and lines != array.rail_lines:
        array = replace(array, rail_lines=lines, stated={})
        plan = replace(plan, layout=None, stated={})
    finder = Finder(desk, array, plan)
    slots = plan.slots
    core = Core(
        clamp=slots["clamp"] or "",
        rail=slots["rail"],
        cross=slots["cross"],
        upper_rail=slots["upper_rail"],
    )
    binding = finder.binding(clamp=desk.part(core.clamp), core=core)
    view = View(base, desk.job, binding, finder.derived)
    return clip_answer(clip_case(view))
