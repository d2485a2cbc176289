"""The command that finds the heights of rail lines between the clips: clips."""

from dataclasses import replace
from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.clips.as_json import clips_data
from selector.explanation.clips.page import page
from selector.explanation.clips.picture import picture as draw
from selector.explanation.clips.telling import ClipTelling
from selector.explanation.dumped import dumped
from selector.explanation.texts import Texts
from selector.facts.places.clip_answer import ClipAnswer, clip_answer
from selector.facts.places.clips import LINES, clip_case
from selector.facts.view import View
from selector.inference.answer import Desk, Finder
from selector.interfaces.cli.pictures import check_picture, write_picture
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import read_job
from selector.knowledge.loader import load_base
from selector.model.job import StackPlan
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
    desk = Desk(base, read_job(path, base.vocabulary))
    plan = stack_of(desk, texts, stack, array)
    told = ClipTelling(_answer(desk, plan, lines), base, texts)
    if picture is not None:
        try:
            drawing = draw(told)
        except KeyError:
            why = "nothing" if told.answer.case.ground == "weak" else "no_clips"
            raise InputError.of(texts.say(f"clips.asking.{why}"), file=desk.job.file) from None
        write_picture(drawing, picture, texts)
    with to_screen() as console:
        if as_json:
            data = clips_data(told, __version__)
            print(dumped(data))
        else:
            for line in page(told, __version__, console.width):
                print(line)


def _check(texts: Texts, lines: int | None, picture: Path | None) -> None:
    """What can be wrong with the options alone."""
    if lines is not None and lines not in LINES:
        raise InputError.of(texts.say("clips.asking.lines", lines=lines))
    if picture is not None:
        check_picture(picture, texts)


def _answer(desk: Desk, plan: StackPlan, lines: int | None) -> ClipAnswer:
    """Windows of a plan; another number of rail lines leaves its figures and its drawing out."""
    array = desk.job.arrays[plan.array]
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
    return clip_answer(clip_case(View(desk.base, desk.job, binding, finder.derived)))
