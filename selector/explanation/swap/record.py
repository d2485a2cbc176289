"""A substitution as a record to be signed: who, when, what, the word, the photos, the base."""

from selector.explanation.swap.telling import SwapTelling
from selector.explanation.why.sheet import WIDTH, Sheet

LINE = "_" * 34


def record(told: SwapTelling, version: str, when: str, who: str) -> str:
    """Plain text of 80 columns; `when` comes from whoever asks, nothing here reads a clock."""
    sheet, texts, say = Sheet(WIDTH), told.texts, told.say
    answer = told.swapped.answer
    sheet.add("", say("swap.record.head", job=told.job.id, stack=told.swapped.stack))
    sheet.lines.append("=" * WIDTH)
    sheet.add(say("swap.record.word"), told.headline())
    if answer.invented:
        sheet.add("", texts.say("answer.demo", names=", ".join(answer.invented)))
    if told.gates():
        sheet.add("", texts.say("answer.gates_open", gates=", ".join(told.gates())))
    for name, value in (("when", when), ("who", who or LINE), ("as_of", told.job.as_of)):
        sheet.add(say(f"swap.record.{name}"), value)
    _part(sheet, say("swap.record.what"), told.moves())
    _part(sheet, say("swap.record.why"), [f"{title}: {text}" for title, text in told.reasons()])
    for head, groups in (("conditions", told.conditions()), ("own", told.own())):
        lines = [f"{say(f'swap.conditions.{name}')}{'; '.join(each)}" for name, each in groups]
        _part(sheet, say(f"swap.{head}.head"), lines, box="[ ] ")
    _part(sheet, say("swap.record.met"), told.met() if told.word.is_yes else [], box="[ ] ")
    _part(sheet, say("swap.with.head"), told.follows())
    _part(
        sheet, say("swap.cannot.head"), [f"{text} ({by})" for text, by in told.cannot()], box="[ ] "
    )
    _part(sheet, say("swap.way.head"), told.ways_out())
    if not told.is_refused:
        _part(sheet, say("swap.record.photos"), told.photos(), box="[ ] ")
    sheet.lines.append("")
    sheet.add("! ", say("swap.anchor"))
    sheet.add("! ", texts.say("caution.who_decides"))
    sheet.add("! ", say("swap.record.no_yes" if not told.word.is_yes else "swap.record.holds"))
    for name in ("signed", "date", "seen"):
        sheet.lines.append("")
        sheet.add("", f"{say(f'swap.record.{name}_by')} {LINE}")
    sheet.lines.append("")
    sheet.add("", say("swap.record.foot", version=version, digest=told.base.digest))
    return "\n".join(sheet.lines) + "\n"


def _part(sheet: Sheet, head: str, lines: list[str], box: str = "- ") -> None:
    if not lines:
        return
    sheet.lines.append("")
    sheet.add("", head)
    for line in lines:
        sheet.add(box, line, 2)
