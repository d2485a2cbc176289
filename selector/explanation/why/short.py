"""The main reason and the least change in a few lines, so that one screen holds them."""

from selector.explanation.narrate import fill
from selector.explanation.stands import stands_if
from selector.explanation.why.sheet import Sheet
from selector.explanation.why.telling import Telling
from selector.inference.in_worlds import giving
from selector.model.truth import Word


def short(sheet: Sheet, telling: Telling) -> None:
    """For a refusal why, and what to do first; for what waits, the easiest thing to look at."""
    why, say = telling.why, telling.say
    if why.word == Word.OBSERVE:
        looks = stands_if(why.option.verdict, telling.base.vocabulary, telling.texts)
        for look in looks[:1]:
            who = telling.word(look.ask.who)
            sheet.add(
                say("why.short.first"), say("why.waits.line", ask=look.ask.ask, limit="", who=who)
            )
        return
    for ground, *_ in why.grounds.folded[:1]:
        finding = ground.findings[0]
        message = fill(finding.rule.message, finding.rule, finding.judgement, telling.texts)
        text = say("why.short.reason_is", title=finding.rule.title, message=message)
        more = len(why.grounds.apart) - 1
        if more:
            text = say("why.short.and_more", text=text, n=more)
        sheet.add(say("why.short.reason"), text)
    sheet.add(say("why.short.least"), _least(telling))


def _least(telling: Telling) -> str:
    """The first change; where there is none, what the rule says helps."""
    for change in telling.why.answer.changes[:1]:
        return telling.line(change)
    for finding in giving(telling.why.option.verdict)[:1]:
        way = fill(finding.rule.help, finding.rule, finding.judgement, telling.texts)
        return telling.say("why.short.way_out", help=way)
    return telling.say("why.changes.none")
