"""The command that counts a kit: kit."""

from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.dumped import dumped
from selector.explanation.kit.as_json import kit_data
from selector.explanation.kit.page import page
from selector.explanation.kit.table import table
from selector.explanation.kit.telling import KitTelling
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.repair import lay_out
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.waiting import waiting
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import read_job
from selector.jobs.write import write_whole
from selector.kit.count import Judged, kit_of, rough_kit
from selector.kit.model import Kit
from selector.knowledge.loader import load_base
from selector.model.job import StackPlan


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
    plan = stack_of(desk, texts, stack, array)
    kit = _kit(texts, desk, plan, path, preliminary=preliminary)
    told = KitTelling(kit, base, texts)
    if into is not None:
        if told.kit.forbidden:
            raise InputError.of(texts.say("kit.asking.no_csv"), file=desk.job.file)
        write_whole(table(told), into)
    with to_screen() as console:
        if as_json:
            print(dumped(kit_data(told, __version__)))
        else:
            for line in page(told, __version__, str(path), console.width):
                print(line)


def _kit(texts: Texts, desk: Desk, plan: StackPlan, path: Path, *, preliminary: bool) -> Kit:
    """Counted on the positions, or roughly."""
    with waiting(texts.say("places.waiting")) as tick:
        laid = lay_out(desk, plan, tick=tick)
    if preliminary:
        there = laid.placed is not None
        return rough_kit(desk.base, desk.job, plan, desk, laid_out=there)
    if laid.placed is None:
        text = texts.say("kit.asking.not_placed", array=plan.array, job=path)
        raise InputError.of(text, texts.say("kit.asking.preliminary"), file=desk.job.file)
    judged = Judged(laid.option, laid.word)
    return kit_of(desk.base, desk.job, plan, laid.placed, desk, judged)
