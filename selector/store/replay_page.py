"""The page of `jobs replay`: the old answer as printed, whether it comes again, and today's."""

from collections.abc import Iterable, Iterator

from selector.explanation.texts import Texts
from selector.explanation.why.sheet import Sheet
from selector.model.truth import Word
from selector.store.differs import Differs, RuleDiffers
from selector.store.entry import Event
from selector.store.program import program
from selector.store.replay import Replayed, Today
from selector.store.shown import SHORT, head

MOST_RULES = 12
MOST_STACKS = 8


def replay_page(found: Replayed, event: Event, texts: Texts, width: int) -> str:
    """The kept page, byte for byte, and below it what became of it."""
    sheet, say = Sheet(width), texts.say
    sheet.head(say("store.replay.head"))
    head(sheet, event, texts)
    sheet.lines.append("")
    for line in _then(found, texts):
        sheet.add("", line)
    if found.otherwise is not None:
        _differs(sheet, found.otherwise, texts)
    sheet.head(say("store.replay.today"))
    if found.today_fault:
        sheet.add("", say("store.replay.today_fault", fault=found.today_fault))
    elif found.today is None:
        sheet.add("", say("store.replay.unchanged", digest=found.entry.base[:SHORT]))
    else:
        _today(sheet, found, found.today, texts)
    sheet.lines.append("")
    sheet.add("", say("store.replay.of_then", as_of=found.entry.as_of))
    return found.page + "\n".join(sheet.lines) + "\n"


def _then(found: Replayed, texts: Texts) -> Iterator[str]:
    say, entry = texts.say, found.entry
    if found.fault:
        yield say("store.replay.fault", fault=found.fault)
    elif found.same:
        yield say("store.replay.same")
    else:
        yield say("store.replay.otherwise")
        if found.otherwise == Differs((entry.word, entry.word), (), (), ()):
            yield say("store.replay.only_version")
    then = _program(entry.program, entry.code, texts)
    if found.other_program:
        yield say("store.replay.program_other", then=then, now=_program(*program(), texts))
    else:
        yield say("store.replay.program_same", program=then)


def _program(version: str, code: str, texts: Texts) -> str:
    return texts.say("store.program", version=version, code=code[:SHORT])


def _today(sheet: Sheet, found: Replayed, today: Today, texts: Texts) -> None:
    say = texts.say
    before, now = map(Word.of, today.differs.word)
    name = "still" if now == before else "milder" if now < before else "stricter"
    told = {"word": texts.word(now.text).upper(), "digest": today.base[:SHORT]}
    sheet.add("", say(f"store.replay.{name}", before=texts.word(before.text), **told))
    sheet.head(say("store.replay.differs"))
    _differs(sheet, today.differs, texts)
    if now != before and not found.fault:
        sheet.head(say("store.replay.why"))
        lead = "fewest" if today.fewest else "some" if today.brought_back else "none"
        sheet.add("", say(f"store.replay.{lead}"))
        for file in today.brought_back:
            sheet.add("  ", file)
    sheet.head(say("store.replay.changed"))
    for change in today.changed:
        kind, how = say(f"store.replay.kind.{change.kind}"), say(f"store.replay.how.{change.how}")
        sheet.add("  ", say("store.replay.file", kind=kind, how=how, name=change.name))
        for about in change.about[:MOST_RULES]:
            sheet.add("     ", about)
    if today.worded:
        sheet.add("  ", say("store.replay.worded", n=today.worded))


def _differs(sheet: Sheet, differs: Differs, texts: Texts) -> None:
    say = texts.say
    lines = [*_stacks(differs, texts), *_gates(differs, texts)]
    for line in lines[:MOST_STACKS]:
        sheet.add("  ", line)
    for rule in differs.rules[:MOST_RULES]:
        _rule(sheet, rule, texts)
    more = len(lines[MOST_STACKS:]) + len(differs.rules[MOST_RULES:])
    if more:
        sheet.add("  ", say("store.replay.more", n=more))
    if not lines and not differs.rules:
        sheet.add("  ", say("store.replay.nothing"))


def _stacks(differs: Differs, texts: Texts) -> Iterable[str]:
    for name, then, now in differs.stacks:
        told = {"then": texts.word(then or ""), "now": texts.word(now or "")}
        kind = "stack_new" if then is None else "stack_gone" if now is None else "stack"
        yield texts.say(f"store.replay.{kind}", name=name, **told)


def _gates(differs: Differs, texts: Texts) -> Iterable[str]:
    for gate, is_open in differs.gates:
        kind = "gate_open" if is_open else "gate_closed"
        yield texts.say(f"store.replay.{kind}", gate=texts.word(gate))


def _rule(sheet: Sheet, rule: RuleDiffers, texts: Texts) -> None:
    word = texts.word(rule.word)
    if not rule.surely:
        word = texts.say("store.replay.perhaps", word=word)
    told = {"word": word, "rule": rule.rule, "text": rule.text}
    name = "rule_now" if rule.now else "rule_then"
    sheet.add("  ", texts.say(f"store.replay.{name}", subject=rule.subject, **told))
    for path, then, now in rule.facts:
        shown = {"then": texts.shown(then), "now": texts.shown(now)}
        sheet.add("     ", texts.say("store.replay.fact", path=path, **shown))
