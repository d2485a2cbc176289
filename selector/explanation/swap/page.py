"""A substitution on a screen read with gloves on: the word first, then what it asks for."""

from selector.explanation.swap.telling import SwapTelling
from selector.explanation.swap.van import VanTelling
from selector.explanation.texts import Texts
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.model.job import Job
from selector.model.truth import Word

REASONS, WAYS, LOOKS = 2, 3, 2
CAUTIONS = ("caution.who_decides", "caution.falls")


def page(
    told: SwapTelling,
    version: str,
    width: int = WIDTH,
    van: VanTelling | None = None,
    *,
    every: bool = False,
) -> list[str]:
    """Every line of the answer; `every` shows what is otherwise counted only."""
    sheet = Sheet(width)
    _word(sheet, told, every)
    _conditions(sheet, told, every)
    if told.word != Word.FORBIDDEN:
        _block(sheet, told, "with", [("- ", text) for text in told.follows()])
    _open(sheet, told, every)
    _ways(sheet, told, every)
    _block(sheet, told, "reach", [("- ", told.reach(one)) for one in told.reaches])
    if told.reaches:
        sheet.add("  ", told.say("swap.reach.note"))
    for line in van.lines(width) if van is not None else ():
        sheet.lines.append(line)
    _foot(sheet, told.texts, version, told.base.digest)
    return sheet.lines


def van_page(van: VanTelling, job: Job, version: str, width: int = WIDTH) -> list[str]:
    """What a van allows where no change is asked for."""
    texts, sheet = van.texts, Sheet(width)
    sheet.add("", texts.say("swap.van.title", job=job.id, as_of=job.as_of))
    names = [n for n in job.catalogues if van.base.catalogues[n].tag == "invented"]
    if names:
        sheet.add("", texts.say("answer.demo", names=", ".join(names)))
    sheet.lines += van.lines(width)
    _foot(sheet, texts, version, van.base.digest)
    return sheet.lines


def _foot(sheet: Sheet, texts: Texts, version: str, digest: str) -> None:
    """What is said unasked, always."""
    sheet.lines.append("")
    sheet.add("! ", texts.say("swap.anchor"))
    for caution in CAUTIONS:
        sheet.add("! ", texts.say(caution))
    sheet.add("", texts.say("answer.foot", version=version, digest=digest[:12]))


def _word(sheet: Sheet, told: SwapTelling, every: bool) -> None:
    """The word, what is asked, and why not."""
    answer, texts = told.swapped.answer, told.texts
    sheet.add("", told.headline("swap.means_own" if told.own() and not every else ""))
    holes = {"stack": told.swapped.stack, "job": told.job.id, "as_of": told.job.as_of}
    sheet.add("", told.say("swap.head", **holes))
    for move in told.moves():
        sheet.add("  ", move)
    if answer.invented:
        sheet.add("", texts.say("answer.demo", names=", ".join(answer.invented)))
    if told.gates():
        sheet.add("", texts.say("answer.gates_open", gates=", ".join(told.gates())))
    if told.swapped.option.verdict.withheld:
        sheet.add("", texts.say("why.withheld"))
    reasons = told.reasons()
    for title, message in reasons if every else reasons[:REASONS]:
        sheet.add(told.say("swap.why"), told.say("swap.because", title=title, message=message), 2)
    _more(sheet, told, len(reasons) - REASONS, every)


def _conditions(sheet: Sheet, told: SwapTelling, every: bool) -> None:
    own, met = told.own(), told.met() if told.word.is_yes else []
    _block(sheet, told, "conditions", _rows(told, told.conditions()))
    if own and every:
        _block(sheet, told, "own", _rows(told, own))
    elif own:
        many = sum(len(lines) for _, lines in own)
        sheet.lines.append("")
        sheet.add("", told.say("swap.conditions.own", n=many, stack=told.swapped.stack))
    if met:
        sheet.add("", told.say("swap.conditions.met", n=len(met)))
    for text in met if every else ():
        sheet.add("- ", text, 2)


def _rows(told: SwapTelling, groups: list[tuple[str, list[str]]]) -> list[tuple[str, str]]:
    return [(told.say(f"swap.conditions.{name}"), "; ".join(lines)) for name, lines in groups]


def _open(sheet: Sheet, told: SwapTelling, every: bool) -> None:
    found = told.cannot()
    shown = found if every else found[:LOOKS]
    rows = [("- ", told.say("swap.cannot.line", text=text, who=who)) for text, who in shown]
    _block(sheet, told, "cannot", rows)
    _more(sheet, told, len(found) - LOOKS, every)


def _ways(sheet: Sheet, told: SwapTelling, every: bool) -> None:
    found = told.ways_out()
    shown = found if every else found[:WAYS]
    _block(sheet, told, "way", [(f"{n}. ", text) for n, text in enumerate(shown, 1)])
    _more(sheet, told, len(found) - WAYS, every)


def _block(sheet: Sheet, told: SwapTelling, name: str, rows: list[tuple[str, str]]) -> None:
    if not rows:
        return
    sheet.lines.append("")
    sheet.add("", told.say(f"swap.{name}.head"))
    for mark, text in rows:
        sheet.add(mark, text, 1)


def _more(sheet: Sheet, told: SwapTelling, left: int, every: bool) -> None:
    if left > 0 and not every:
        sheet.add("  ", told.say("swap.more", n=left))
