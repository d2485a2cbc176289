"""The command that writes the card for the roof: card."""

from pathlib import Path

from selector.errors import InputError
from selector.explanation.card.card import card_of, last_day
from selector.explanation.card.render import render
from selector.explanation.texts import Texts
from selector.inference.answer import Desk
from selector.inference.likely import Likely, likely
from selector.interfaces.cli.pictures import check_folder
from selector.interfaces.cli.screen import in_language, to_screen
from selector.interfaces.cli.sheet import case_of
from selector.interfaces.cli.waiting import waiting
from selector.interfaces.cli.which_stack import stack_of
from selector.jobs.read import read_job
from selector.jobs.write import write_whole
from selector.knowledge.loader import load_base
from selector.model.job import StackPlan

EXPECTED = 80  # changes of a catalogue of a common size, for the bar


def write_card(
    path: Path,
    *,
    out: Path,
    stack: str | None,
    array: str | None,
    kb: Path | None,
    lang: str | None,
) -> None:
    """Write the card of one stack and say what it says, whatever the word. InputError before."""
    base = in_language(load_base(kb), lang)
    texts = Texts.of(base)
    if out.suffix != ".html":
        raise InputError.of(texts.say("card.asking.html"), file=str(out))
    check_folder(out, texts)
    desk = Desk(base, read_job(path, base.vocabulary))
    plan = stack_of(desk, texts, stack, array)
    case = case_of(desk, base, plan)
    found = judged(desk, plan, texts) if case.stack is not None else ()
    write_whole(render(card_of(case, found), base), out)
    state = texts.say("sheet.released" if case.released else "sheet.not_released")
    word, until = texts.word(case.word.text).upper(), last_day(case)
    with to_screen():
        print(texts.say("card.wrote", path=out, word=word, state=state, n=len(found), until=until))


def judged(desk: Desk, plan: StackPlan, texts: Texts) -> tuple[Likely, ...]:
    """Every likely change, with a bar where it takes long."""
    found: list[Likely] = []
    with waiting(texts.say("card.waiting")) as tick:
        for one in likely(desk, plan):
            found.append(one)
            tick(min(0.99, len(found) / EXPECTED))
    return tuple(found)
