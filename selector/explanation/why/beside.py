"""Stacks held beside each other: the nearest milder one, and one of another job."""

from selector.explanation.narrate import handles
from selector.explanation.why.sheet import Sheet
from selector.explanation.why.telling import Telling
from selector.inference.contrast import Contrast, Difference
from selector.model.truth import Word

LABEL, GAPS, SIGN = 16, 6, 1  # columns of the table; two cells share the rest
NAMES = ("layout", "papers")


def nearest(sheet: Sheet, telling: Telling) -> None:
    """This stack and the nearest milder one, slot by slot; a sign marks what differs."""
    why, say = telling.why, telling.say
    if why.word < Word.ENGINEER:
        return
    sheet.head(say(f"why.nearest.{telling.voice}"))
    if why.nearest is None:
        sheet.add("", say("why.nearest.none"))
        return
    half = (sheet.width - LABEL - SIGN - GAPS) // 2
    word = why.nearest.change.option.verdict.word
    head = (
        "",
        "",
        say("why.nearest.this", word=telling.word(why.word.text)),
        say("why.nearest.that", word=telling.word(word.text)),
    )
    rows = [
        (
            say("why.nearest.sign") if a != b else "",
            telling.slot(slot),
            telling.filling(a),
            telling.filling(b),
        )
        for slot, a, b in why.nearest.rows
    ]
    sheet.rows([head, *rows], (SIGN, LABEL, half, half))
    sheet.add("", say("why.nearest.legend"))


def contrast(sheet: Sheet, telling: Telling) -> None:
    """Why another stack gets another word: each difference put in here."""
    found, say = telling.why.contrast, telling.say
    if found is None:
        return
    sheet.head(say(f"why.contrast.{telling.voice}"))
    word = found.option.verdict.word
    there = telling.word(word.text)
    sheet.add("", say("why.contrast.there", stack=found.stack, job=found.job, word=there))
    if word >= telling.why.word:
        sheet.add("", say("why.contrast.not_milder"))
    for difference in found.differences:
        _difference(sheet, telling, difference)
    if not found.differences:
        sheet.add("", say("why.contrast.nothing"))
    else:
        _pair(sheet, telling, found)


def _difference(sheet: Sheet, telling: Telling, found: Difference) -> None:
    say = telling.say
    here, there = (handles(telling.texts.shown(t)) for t in (found.here, found.there))
    line = say("why.contrast.line", name=_name(telling, found.name), here=here, there=there)
    sheet.add("- ", line)
    if found.word is None:
        sheet.add("", say("why.contrast.cannot", fault=found.fault), 2)
    else:
        sheet.add("", say("why.contrast.would", word=telling.word(found.word.text)), 2)


def _pair(sheet: Sheet, telling: Telling, found: Contrast) -> None:
    say, word = telling.say, telling.why.word
    if any(d.word is not None and d.word < word for d in found.differences):
        return
    if found.pair is None or found.pair_word is None:
        sheet.add("= ", say("why.contrast.no_pair"))
        return
    one, two = (_name(telling, n) for n in found.pair)
    after = telling.word(found.pair_word.text)
    sheet.add("= ", say("why.contrast.pair", one=one, two=two, word=after))


def _name(telling: Telling, name: str) -> str:
    if name in NAMES:
        return telling.say(f"why.name.{name}")
    if name == "plane.clips.marks":
        return telling.say("why.name.marks")
    role, _, slot = name.partition(".")
    return telling.slot(slot) if role == "stack" else telling.name(name)
