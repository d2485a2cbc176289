"""The command that writes the sheet for the roof: sheet."""

from pathlib import Path

from selector import __version__
from selector.errors import InputError
from selector.explanation.kit.telling import KitTelling
from selector.explanation.places.marks import picture_of
from selector.explanation.places.telling import PlacesTelling
from selector.explanation.sheet.case import Case
from selector.explanation.sheet.kit_rows import kit_groups, kit_stops
from selector.explanation.sheet.render import render
from selector.explanation.sheet.sheet import sheet_of
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.laid_out import LaidOut
from selector.inference.repair import lay_out
from selector.interfaces.cli.pictures import check_folder
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.waiting import waiting
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import read_job
from selector.jobs.write import write_whole
from selector.kit.count import Judged, kit_of
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.model.job import StackPlan
from selector.model.truth import Word


def write_sheet(
    path: Path,
    *,
    out: Path,
    stack: str | None,
    array: str | None,
    kb: Path | None,
    lang: str | None,
) -> None:
    """Write the sheet of one stack and say what it says, whatever the word. InputError before."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    if out.suffix != ".html":
        raise InputError.of(texts.say("sheet.asking.html"), file=str(out))
    check_folder(out, texts)
    desk = Desk(base, read_job(path, base.vocabulary))
    case = case_of(desk, base, stack_of(desk, texts, stack, array))
    write_whole(render(sheet_of(case)), out)
    state = texts.say("sheet.released" if case.released else "sheet.not_released")
    word = texts.word(case.word.text).upper()
    with to_screen():
        print(texts.say("sheet.wrote", path=out, word=word, state=state))


def case_of(desk: Desk, base: Base, plan: StackPlan) -> Case:
    """Everything that the sheet of a stack tells: judged, laid out, and what dies on its plane."""
    job = desk.job
    chosen = desk.choose(plan.array)
    answer = desk.stack(plan.id) if plan.id in job.stacks else chosen
    with waiting(Texts.of(base).say("places.waiting")) as tick:
        laid = lay_out(desk, plan, tick=tick)
    told = PlacesTelling(laid, base, Texts.of(base))
    drawn = laid.placed is not None
    kit = _kit(desk, laid)
    return Case(
        base=base,
        job=job,
        array=laid.array,
        answer=answer,
        option=laid.option if drawn else answer.options[0],
        word=max(answer.word, laid.word),
        version=__version__,
        refused=chosen.refusals,
        loads=laid.loads,
        picture=picture_of(told) if drawn else None,
        no_plan=() if drawn else tuple(_why_not(told, laid)),
        kit=kit_groups(kit) if kit is not None else None,
        kit_stops=kit_stops(kit) if kit is not None else (),
    )


def _kit(desk: Desk, laid: LaidOut) -> KitTelling | None:
    """The kit of a layout; None without one, or where nothing may be mounted."""
    if laid.placed is None or laid.word == Word.FORBIDDEN:
        return None
    judged = Judged(laid.option, laid.word)
    kit = kit_of(desk.base, desk.job, laid.plan, laid.placed, desk, judged)
    return KitTelling(kit, desk.base, Texts.of(desk.base))


def _why_not(told: PlacesTelling, laid: LaidOut) -> list[str]:
    """Why there is no layout: what is missing, what cannot be, what cannot be joined."""
    lines = [told.missing(one) for one in laid.opens]
    lines += [told.fault(fault) for fault in laid.faults]
    return lines + [told.parting(why) for why in laid.unjoined]
