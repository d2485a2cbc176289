"""All minimal sets of facts, numbered, each with its rules; which are independent."""

from collections.abc import Iterator

from selector.explanation.narrate import fill, handles
from selector.explanation.stands import stands_if
from selector.explanation.why.sheet import Sheet
from selector.explanation.why.telling import Telling, listed
from selector.inference.grounds import Ground
from selector.inference.verdict import Finding
from selector.model.fact import Fact
from selector.model.truth import Word

SHOWN = 6  # sets, and other places of one set


def reasons(sheet: Sheet, telling: Telling) -> None:
    """The sets, shortest way first: a set much like one above is told by what differs."""
    grounds = telling.why.grounds
    say = telling.say
    sheet.head(say(f"why.reasons.{telling.voice}"))
    folded = grounds.folded
    most = len(folded) if telling.every else SHOWN
    for number, alike in enumerate(folded[:most], 1):
        _reason(sheet, telling, number, alike)
    if len(folded) > most:
        sheet.add("", say("why.more", n=len(folded) - most))
    if grounds.more:
        sheet.add("", say("why.cut"))
    if not folded:
        sheet.add("", say("why.reasons.unclear"))
    _together(sheet, telling)
    _weaker(sheet, telling)


def _reason(sheet: Sheet, telling: Telling, number: int, alike: tuple[Ground, ...]) -> None:
    ground, others = alike[0], alike[1:]
    findings = list({f.rule.id: f for f in ground.findings}.values())
    twin = _twin(telling, number, ground)
    for n, finding in enumerate(findings):
        name = "why.reasons.and_title" if n else "why.reasons.title"
        title = telling.say(name, title=finding.rule.title, rule=finding.rule.id)
        mark = "   " if n else telling.say("why.reasons.number", n=number)
        sheet.add(mark, title)
    if twin is not None:
        _same(sheet, telling, twin, ground)
    else:
        for finding in findings:
            sheet.add(
                "", fill(finding.rule.message, finding.rule, finding.judgement, telling.texts), 3
            )
        for fact in ground.ordered:
            sheet.add(telling.say("why.line.fact"), _told(telling, ground, fact), 3)
    if others:
        most = len(others) if telling.every else SHOWN
        ids = [g.findings[0].judgement.subject.id for g in others]
        places = [handles(telling.texts.shown(name)) for name in ids]
        where = listed(places[:most]) + (", ..." if len(places) > most else "")
        sheet.add("", telling.say("why.reasons.likewise", where=where), 3)
    apart = [n for group in telling.why.grounds.apart if number not in group for n in group]
    if apart:
        sheet.add("", telling.say("why.reasons.independent", numbers=listed(apart)), 3)
    if twin is None:
        told = (line for f in findings for line in _lines(telling, ground, f))
        for mark, text in dict.fromkeys(told):
            sheet.add(mark, text, 3)


def _told(telling: Telling, ground: Ground, fact: Fact) -> str:
    """A fact, and whether the word stands without it."""
    if fact not in ground.spare:
        return telling.fact(fact)
    word = telling.word(telling.why.word.text)
    return telling.say("why.line.spare", fact=telling.fact(fact), word=word)


def _twin(telling: Telling, number: int, ground: Ground) -> tuple[int, Ground] | None:
    """An earlier set of the same rules that shares more than it differs."""
    for n, alike in enumerate(telling.why.grounds.folded[: number - 1], 1):
        other = alike[0]
        same_rules = other.kind[0] == ground.kind[0]
        if same_rules and len(other.facts & ground.facts) * 2 > len(ground.facts):
            return n, other
    return None


def _same(sheet: Sheet, telling: Telling, twin: tuple[int, Ground], ground: Ground) -> None:
    number, other = twin
    facts = listed(telling.fact(f) for f in sorted(ground.facts - other.facts))
    others = listed(telling.value(f) for f in sorted(other.facts - ground.facts))
    sheet.add("", telling.say("why.reasons.same", n=number, facts=facts, others=others), 3)


def _lines(telling: Telling, ground: Ground, finding: Finding) -> Iterator[tuple[str, str]]:
    """What this voice adds to a rule."""
    rule, say = finding.rule, telling.say
    help_ = fill(rule.help, rule, finding.judgement, telling.texts)
    needed = (f for f in ground.ordered if f in ground.needed)
    asks = [a for a in map(telling.ask_of, needed) if a is not None]
    if telling.voice == "roofer":
        yield say("why.line.because"), rule.why
        yield say("why.line.do"), help_
        for ask in asks:
            yield say("why.line.look"), say("why.line.look_how", ask=ask.ask, how=ask.how)
    elif telling.voice == "sales":
        yield say("why.line.because"), rule.why
        yield say("why.line.offer"), help_
        for ask in asks:
            who = telling.word(ask.who)
            yield say("why.line.fetch"), say("why.line.fetch_who", ask=ask.ask, who=who)
    elif telling.voice == "owner":
        lifted = rule.lifted
        who = say("why.line.lifted", who=telling.word(lifted)) if lifted else ""
        yield say("why.line.because"), rule.why
        yield say("why.line.hurt"), rule.who_is_hurt
        yield say("why.line.decides"), who or say("why.line.not_lifted")
        yield say("why.line.helps"), help_
    else:
        title = telling.base.sources[rule.source].title
        basis = telling.word(rule.basis)
        ids = listed(rule.trade)
        yield say("why.line.because"), rule.why
        yield say("why.line.source"), say("why.line.source_is", title=title, basis=basis)
        yield say("why.line.carries"), say("why.line.carries_is", ids=ids, file=rule.file)
        yield say("why.line.helps"), help_


def _together(sheet: Sheet, telling: Telling) -> None:
    """Whether one cure is enough."""
    grounds, say = telling.why.grounds, telling.say
    if len(grounds.apart) > 1:
        groups = [say("why.reasons.group", numbers=listed(g)) for g in grounds.apart]
        sheet.add("= ", say("why.reasons.cure", groups="; ".join(groups)))
    if grounds.fewest > 1:
        sheet.add("= ", say("why.reasons.fewest", n=grounds.fewest))


def _weaker(sheet: Sheet, telling: Telling) -> None:
    verdict = telling.why.option.verdict
    weaker = {
        f.rule.title: f.rule.word
        for f in verdict.findings
        if f.surely and f.rule.word is not None and Word.OBSERVE <= f.rule.word < verdict.word
    }
    if weaker:
        rules = "; ".join(
            telling.say("why.reasons.weaker_one", word=telling.word(w.text), title=t)
            for t, w in weaker.items()
        )
        sheet.add("", telling.say("why.reasons.weaker", rules=rules))


def waits(sheet: Sheet, telling: Telling) -> None:
    """What a stack waits for that is no refusal yet."""
    looks = stands_if(telling.why.option.verdict, telling.base.vocabulary, telling.texts)
    if telling.why.word != Word.OBSERVE or not looks:
        return
    sheet.head(telling.say("why.waits.head"))
    for look in looks:
        limit = (
            telling.say("stands_if.limit", limits=" / ".join(look.limits)) if look.limits else ""
        )
        who = telling.word(look.ask.who)
        line = telling.say("why.waits.line", ask=look.ask.ask, limit=limit, who=who)
        sheet.add("- ", line)
