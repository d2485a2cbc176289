"""The command that works out the actions on an array: loads."""

from pathlib import Path

from selector import __version__
from selector.errors import InputError, near
from selector.explanation.dumped import dumped
from selector.explanation.links.chain import Chain, chain_data
from selector.explanation.links.clips import clips_data
from selector.explanation.links.couple import couple_data
from selector.explanation.loads.as_json import loads_data
from selector.explanation.loads.page import page
from selector.explanation.loads.plan_svg import plan_svg
from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.texts import Texts
from selector.facts.actions.loads import loads_of
from selector.facts.actions.model import TOPICS, Loads
from selector.facts.links.couple import couple_of
from selector.inference.answer import Desk
from selector.inference.links import chain_of
from selector.inference.repair import lay_out
from selector.inference.whole_chain import whole_chain
from selector.interfaces.cli.pictures import check_picture, write_picture
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.model.job import Array, Job


def work_out(
    path: Path,
    *,
    array: str | None,
    stack: str | None,
    only: str | None,
    every: bool,
    picture: Path | None,
    as_json: bool,
    kb: Path | None,
    lang: str | None,
) -> None:
    """Print the actions on one array, whatever their word. InputError before any output."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    _check(texts, only, picture)
    job = read_job(path, base.vocabulary)
    chain = None
    if stack is not None or (array is None and _asked(job) is not None):
        loads, chain = _chain(base, job, texts, stack or _asked(job), array)
    else:
        loads = loads_of(base, job, _array(texts, job, array))
    told = LoadsTelling(loads, base, texts)
    if picture is not None:
        if loads.plan is None:
            why = "no_zones" if loads.trial else "no_plan"
            raise InputError.of(texts.say(f"loads.asking.{why}"), file=job.file)
        write_picture(plan_svg(told), picture, texts)
    shown = (only,) if only else TOPICS if every else ()
    with to_screen() as console:
        if as_json:
            data = loads_data(told, __version__, shown or TOPICS)
            data["chain"] = None if chain is None else chain_data(chain)
            sums = None if chain is None else chain.clips
            data["elevated"] = None if chain is None else couple_data(chain)
            data["clips"] = None if sums is None else clips_data(told, sums)
            print(dumped(data))
        else:
            for line in page(told, __version__, shown, console.width, chain):
                print(line)


def _asked(job: Job) -> str | None:
    """The stack that the request is about, if it names one."""
    return job.request.stack if job.request.stack in job.stacks else None


def _chain(
    base: Base, job: Job, texts: Texts, stack: str | None, array: str | None
) -> tuple[Loads, Chain]:
    """Loads and links of a stack, as it is laid out where that can be."""
    desk = Desk(base, job)
    plan = stack_of(desk, texts, stack, array)
    laid = lay_out(desk, plan)
    option = laid.option if laid.placed is not None else desk.planned(plan)
    links = whole_chain(laid) if laid.placed is not None else chain_of(option)
    couple = couple_of(next(j.view for j in option.judgements if j.subject.kind == "stack"), plan)
    telling = LoadsTelling(laid.loads, base, texts)
    return laid.loads, Chain(plan.id, links, telling, laid.sums, couple)


def _check(texts: Texts, only: str | None, picture: Path | None) -> None:
    """What can be wrong with the options alone."""
    if only is not None and only not in TOPICS:
        raise InputError.of(texts.say("loads.asking.no_topic", topic=only), near(only, TOPICS))
    if picture is not None:
        check_picture(picture, texts)


def _array(texts: Texts, job: Job, named: str | None) -> Array:
    """The array that is named, or that of the request, or the only one."""
    say, request = texts.say, job.request
    asked = job.stacks[request.stack].array if request.stack in job.stacks else request.array
    only = next(iter(job.arrays)) if len(job.arrays) == 1 else None
    found = named or asked or only
    if found in job.arrays:
        return job.arrays[found]
    if not job.arrays:
        text, remedy = say("loads.asking.without"), say("loads.asking.add_array")
        raise InputError.of(text, remedy, file=job.file)
    text = say("loads.asking.no_array", array=found) if found else say("loads.asking.which_array")
    remedy = say("loads.asking.use_array", names=", ".join(sorted(job.arrays)))
    raise InputError.of(text, remedy, file=job.file)
