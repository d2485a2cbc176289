"""The command that explains a stack: why."""

from dataclasses import replace
from pathlib import Path

from selector import __version__
from selector.errors import InputError, near
from selector.explanation.dumped import dumped
from selector.explanation.texts import Texts
from selector.explanation.why.as_json import exit_code, why_data
from selector.explanation.why.page import page
from selector.explanation.why.picture_svg import picture_svg
from selector.explanation.why.telling import VOICES, Telling
from selector.inference.answer import Desk
from selector.inference.foremost import foremost
from selector.inference.why import why
from selector.inference.worked import with_worked
from selector.interfaces.cli.pictures import check_picture, write_picture
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.which_stack import array_of, plan_of
from selector.jobs.read import read_job
from selector.knowledge.loader import load_base
from selector.model.job import Job
from selector.model.truth import Word


def explain(
    path: Path,
    *,
    stack: str | None,
    voice: str,
    against: Path | None,
    against_stack: str | None,
    picture: Path | None,
    every: bool,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
) -> int:
    """Explain a stack; 0, whatever its word. InputError before any output.

    Of a job that names no stack it is the first one of `pick`; where none is left, the nearest.
    """
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    _check(texts, voice, against, against_stack, picture)
    job = read_job(path, base.vocabulary)
    if stack is None and not job.stacks:
        desk, name, nearest = _taken(Desk(base, job), texts)
        job, taken = desk.job, "nearest" if nearest else "first"
    else:
        name, taken, desk = _stack(texts, job, stack), "", Desk(base, job)
    other = None
    if against is not None:
        their_job = read_job(against, base.vocabulary)
        other = (Desk(base, their_job, desk.judge), _other(texts, their_job, against_stack, name))
    desk = with_worked(desk, name)
    told = Telling(why(desk, name, other), base, job, texts, voice, every, taken)
    if picture is not None:
        write_picture(picture_svg(told), picture, texts)
    with to_screen() as console:
        if as_json:
            print(dumped(why_data(told, __version__)))
        else:
            for line in page(told, __version__, console.width):
                print(line)
    return exit_code(told)


def _check(
    texts: Texts, voice: str, against: Path | None, against_stack: str | None, picture: Path | None
) -> None:
    """What can be wrong with the options alone."""
    if voice not in VOICES:
        raise InputError.of(texts.say("why.asking.no_voice", voice=voice), near(voice, VOICES))
    if against_stack is not None and against is None:
        raise InputError.of(texts.say("why.asking.alone"))
    if picture is not None:
        check_picture(picture, texts)


def _names(texts: Texts, job: Job) -> str:
    return ", ".join(sorted(job.stacks)) or texts.say("asking.none")


def _taken(desk: Desk, texts: Texts) -> tuple[Desk, str, bool]:
    """A desk with the foremost stack as one of its job, its name, and whether none was left."""
    job = desk.job
    array = array_of(desk, texts)
    option = foremost(desk, array)
    if option is None:
        text = texts.say("places.no_stack_left", array=array)
        raise InputError.of(text, texts.say("places.see_pick"), file=job.file)
    plan = replace(plan_of(option, array), id=option.core.id, line=job.arrays[array].line)
    named = Desk(desk.base, replace(job, stacks={plan.id: plan}), desk.judge, before=desk)
    return named, plan.id, option.verdict.word == Word.FORBIDDEN


def _stack(texts: Texts, job: Job, stack: str | None) -> str:
    if stack is not None and stack in job.stacks:
        return stack
    say = texts.say
    text = say("why.asking.no_stack", stack=stack) if stack else say("why.asking.which_stack")
    remedy = say("why.asking.use_stack", names=_names(texts, job))
    remedy = remedy if job.stacks else say("why.asking.name_one")
    raise InputError.of(text, remedy, file=job.file)


def _other(texts: Texts, job: Job, stack: str | None, same: str) -> str:
    """The stack held against: the one named, or that of the same name, or the only one."""
    only = next(iter(job.stacks)) if len(job.stacks) == 1 else None
    found = stack or (same if same in job.stacks else only)
    if found is not None and found in job.stacks:
        return found
    say = texts.say
    text = say("why.asking.no_stack", stack=stack) if stack else say("why.asking.against_stack")
    raise InputError.of(
        text, say("why.asking.use_against", names=_names(texts, job)), file=job.file
    )
