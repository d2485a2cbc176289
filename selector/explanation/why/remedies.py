"""What would make a stack milder: changes with what they drag along, and second looks."""

from collections.abc import Iterator

from selector import units
from selector.explanation.narrate import bystander_text, fill
from selector.explanation.why.sheet import Sheet
from selector.explanation.why.telling import Telling, listed
from selector.inference.answer import Change
from selector.inference.bystanders import Bystander
from selector.inference.in_worlds import giving
from selector.inference.second_look import SecondLook
from selector.model.truth import Word

CHANGES = 3
WHOLE = 2  # moves whose work is told in full
SHOWN = 8  # names of facts that gave no reason


def changes(sheet: Sheet, telling: Telling) -> None:
    """Smallest changes with their effort on the roof."""
    if telling.why.word < Word.ENGINEER:
        return
    say, found = telling.say, telling.why.answer.changes
    sheet.head(say(f"why.changes.{telling.voice}"))
    most = len(found) if telling.every else CHANGES
    for number, change in enumerate(found[:most], 1):
        _change(sheet, telling, number, change)
    if len(found) > most:
        sheet.add("", say("why.more", n=len(found) - most))
    if found:
        sheet.add("", say("why.changes.model"))
        if telling.why.grounds.fewest > 1:
            sheet.add("= ", say("why.changes.two", n=len(found[0].moved)))
        return
    sheet.add("", say("why.changes.none"))
    found_by = giving(telling.why.option.verdict)
    ways = (fill(f.rule.help, f.rule, f.judgement, telling.texts) for f in found_by)
    for way in dict.fromkeys(ways):
        sheet.add("", say("why.changes.way_out", help=way))


def _change(sheet: Sheet, telling: Telling, number: int, change: Change) -> None:
    say, verdict = telling.say, change.option.verdict
    sheet.add(say("why.changes.number", n=number), telling.line(change))
    for text in _efforts(telling, change):
        sheet.add(say("why.changes.effort"), text, 3)
    for text in telling.follows(change):
        sheet.add(say("why.changes.brings"), text, 3)
    show = telling.to_show(change)
    if show:
        sheet.add(say("why.changes.shows"), show, 3)
        sheet.add(say("why.changes.from_whom"), listed(map(telling.word, change.who)), 3)
    still = telling.still_open(verdict)
    if still:
        sheet.add(say("why.changes.then"), still, 3)


def _efforts(telling: Telling, change: Change) -> Iterator[str]:
    """Each move with its effort; of many the heaviest, and what comes with it by name."""
    say = telling.say
    rows = [(m[0], telling.base.trade.effort(m[0].partition(" ")[0])) for m in change.moved]
    heaviest = max((row.effort for _, row in rows), default=0)
    whole = rows if len(rows) <= WHOLE else [r for r in rows if r[1].effort == heaviest][:1]
    for _, row in whole:
        text = telling.texts.shown(row.text)
        yield say("why.changes.effort_is", text=text, n=row.effort)
    others = [telling.slot(slot) for slot, row in rows if (slot, row) not in whole]
    if others:
        yield say("why.changes.effort_all", what=listed(others), n=change.effort)


def not_a_reason(sheet: Sheet, telling: Telling) -> None:
    """What was looked at in vain; figures with their room, the tightest first."""
    if telling.why.word < Word.ENGINEER:
        return
    say, found = telling.say, telling.why.answer.bystanders
    sheet.head(say(f"why.not_a_reason.{telling.voice}"))
    for each in (b for b in found if b.margin is not None):
        text = say("why.not_a_reason.rule", text=_bystander(telling, each), rule=each.rule.id)
        sheet.add(say("why.not_a_reason.line"), text)
    names = [telling.name(b.fact.path) for b in found if b.margin is None]
    names = list(dict.fromkeys(names))
    most = len(names) if telling.every else SHOWN
    text = listed(names[:most])
    if len(names) > most:
        text = say("why.not_a_reason.nor_more", names=text, n=len(names) - most)
    if names:
        sheet.add(say("why.not_a_reason.line"), say("why.not_a_reason.nor", names=text))
    if not found:
        sheet.add("", say("why.not_a_reason.nothing"))


def _bystander(telling: Telling, found: Bystander) -> str:
    return bystander_text(found, telling.texts)


def looks(sheet: Sheet, telling: Telling) -> None:
    """Figures and words that would flip it."""
    if telling.why.word < Word.ENGINEER:
        return
    sheet.head(telling.say(f"why.looks.{telling.voice}"))
    found = telling.why.looks
    for number, look in enumerate(found, 1):
        last = number == len(found) or found[number].path != look.path
        _look(sheet, telling, look, last=last)
    if not telling.why.looks:
        sheet.add("", telling.say("why.looks.none"))


def _look(sheet: Sheet, telling: Telling, look: SecondLook, *, last: bool) -> None:
    say = telling.say
    milder = look.word < telling.why.word
    name = "why.looks.then" if milder else "why.looks.stays"
    what = _what(telling, look)
    sheet.add("- ", say(name, what=what, word=telling.word(look.word.text)))
    if look.rules:
        sheet.add("", say("why.looks.off", rules=listed(look.rules)), 2)
    worded = look.ask.ask != look.path  # what is worked out is asked of nobody
    if not last or not worded:
        return
    how = say("why.looks.ask", ask=look.ask.ask, how=look.ask.how) if look.ask.how else look.ask.ask
    sheet.add(say("why.looks.see"), how, 2)
    if look.flip is not None and look.tools and look.flip.dimension != "ratio":
        _tools(sheet, telling, look)


def _tools(sheet: Sheet, telling: Telling, look: SecondLook) -> None:
    """Tools that are fine enough to show so much."""
    assert look.flip is not None
    fine = {t: off for t, off in look.tools.items() if off < abs(look.flip.by)}
    shown = listed(
        telling.say(
            "why.looks.tool_is",
            tool=telling.word(tool),
            tolerance=telling.texts.shown(units.show(off, look.flip.dimension)),
        )
        for tool, off in fine.items()
    )
    if fine:
        sheet.add(telling.say("why.looks.tool"), telling.say("why.looks.tools", tools=shown), 2)
        if all(2 * off < abs(look.flip.by) for off in fine.values()):
            sheet.add("", telling.say("why.looks.too_far"), 2)


def _what(telling: Telling, look: SecondLook) -> str:
    say, name = telling.say, telling.name(look.path)
    if look.flip is None:
        words = listed(map(telling.word, look.instead))
        now = telling.texts.shown(look.now)
        return say("why.looks.word", name=name, words=words, now=now)
    if look.flip.dimension == "ratio":
        share = look.flip.by / (1 + look.flip.by)
        return say("why.looks.ratio", name=name, share=f"{share:.0%}".rstrip("%"))
    amount = telling.texts.shown(units.show(abs(int(look.flip.by)), look.flip.dimension))
    limit = telling.texts.shown(look.flip.limit)
    if look.flip.by > 0:
        return say("why.looks.smaller", name=name, amount=amount, limit=limit)
    return say("why.looks.larger", name=name, amount=amount, limit=limit)
