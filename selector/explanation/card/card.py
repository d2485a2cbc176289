"""The whole card of a case, in the order in which gloves and sun ask for it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from selector.explanation.card.entries import Group, groups_of
from selector.explanation.proofs import proofs
from selector.explanation.sheet import built, told
from selector.explanation.sheet.blocks import Block, Head, Items, Para, Section, Table
from selector.explanation.sheet.case import Case
from selector.explanation.sheet.head import gate_rows, head_of, word_blocks
from selector.explanation.stands import nobody_can, stands_if
from selector.inference.likely import Likely

LIFE = "card_life"  # days that a card may be used, at most


@dataclass(frozen=True)
class Card:
    """The page; `until` is the last day on which it may be used, as is `since` the first."""

    head: Head
    since: str
    until: str
    sections: tuple[Section, ...]
    groups: tuple[Group, ...]
    texts: dict[str, str]  # of the finder, and around the changes


def card_of(case: Case, found: Iterable[Likely]) -> Card:
    """Every section of the card; where the stack is forbidden nothing may be mounted or swapped."""
    until = last_day(case)
    parts = (_word, _look, _stack, built.torque, _never, _gates, built.cautions, _dates)
    return Card(
        head=head_of(case, "card.title"),
        since=case.job.as_of,
        until=until,
        sections=tuple(part(case) for part in parts),
        groups=groups_of(case, found) if case.stack is not None else (),
        texts=_texts(case, until),
    )


def _texts(case: Case, until: str) -> dict[str, str]:
    """Texts that stand around the changes, and those that the finder says."""
    say = case.say
    return {name: say(f"card.finder.{name}", count="{n}") for name in FINDER} | {
        "expired": say("card.expired", until=until),
        "early": say("card.early"),
        "changes": say("card.changes"),
        "one_by_one": say("card.one_by_one"),
        "no_stack": say("sheet.no_stack"),
        "never": say("sheet.forbidden"),
        "torque": say("sheet.torque"),
    }


FINDER = ("label", "hint", "none", "shown", "all")


def last_day(case: Case) -> str:
    """The day on which the first record, paper, or the card itself runs out."""
    life = case.base.numbers[LIFE].value.places[0].low
    days = [str(date.fromisoformat(case.job.as_of) + timedelta(days=int(life)))]
    cited = {f.entity for p in proofs(case.option.judgements, case.texts) for f in p.cited}
    for name in case.job.catalogues:
        for record in case.base.catalogues[name].records:
            valid = getattr(record.shape, "valid", None)
            if record.id in cited and valid is not None:
                days.append(str(valid.until))
    days += [p.until for p in case.job.papers.values() if p.until and p.until >= case.job.as_of]
    return min(days)


def _word(case: Case) -> Section:
    say, blocks = case.say, word_blocks(case)
    if case.stack is None:
        blocks += [Para(case.message(f)) for f in case.option.verdict.of_word(case.word)[:3]]
    blocks.append(Para(say("card.valid", since=case.job.as_of, until=last_day(case))))
    return Section("word", say("card.word"), tuple(blocks))


def _look(case: Case) -> Section:
    """What the crew must see before the first clamp, and the conditions of a yes."""
    say, verdict = case.say, case.option.verdict
    if case.stack is None:
        return Section("look", say("card.first"), (Para(say("sheet.no_stack"), "strong"),))
    looks = stands_if(verdict, case.base.vocabulary, case.texts)
    lines = [
        say("card.look", ask=look.ask.ask, limit=" / ".join(look.limits))
        if look.limits
        else look.ask.ask
        for look in looks
    ]
    lines += [
        say("stacks.not_in_base", text=text, who=case.texts.word(who))
        for text, who in nobody_can(verdict)
    ]
    conditions = list(dict.fromkeys(case.message(f) for f in verdict.conditions))
    blocks: list[Block] = []
    if lines:
        blocks += [Para(say("stands_if.head"), "strong"), Items(tuple(lines), "boxes")]
    if conditions:
        blocks += [Para(say("conditions.head"), "strong"), Items(tuple(conditions), "boxes")]
    blocks.append(Para(say("card.differs")))
    return Section("look", say("card.first"), tuple(blocks))


def _stack(case: Case) -> Section:
    """The parts from the seam up, and whether the places are drawn."""
    say, option = case.say, case.stack
    if option is None:
        return Section("stack", say("card.stack"), (Para(say("sheet.no_stack"), "strong"),))
    rows = tuple(
        (say(f"drawing.slot.{slot}"), case.part(part), case.base.part(part).shape.text)
        for slot, part in told.slots(case, option)
    )
    heads = tuple(say(f"sheet.head.{h}") for h in ("slot", "part", "text"))
    drawn = "card.places_drawn" if case.placed is not None else "sheet.no_plan"
    blocks: list[Block] = [Table(heads, rows), Para(say(drawn))]
    if case.placed is None:
        blocks.append(Items(case.no_plan, "boxes"))
    return Section("stack", say("card.stack"), tuple(blocks))


def _never(case: Case) -> Section:
    """What nobody may do, in large letters; the array is no anchor."""
    acts = [f for refusal in case.answer.acts for f in refusal.verdict.findings[:1]]
    lines = tuple(dict.fromkeys([case.say("sheet.caution.lanyard"), *map(case.message, acts)]))
    blocks = (Items(lines, "large"), Para(case.say("sheet.forbidden_rest"), "strong"))
    return Section("never", case.say("sheet.forbidden"), blocks)


def _gates(case: Case) -> Section:
    """What must be closed beside the word before anybody builds."""
    rows = tuple(gate_rows(case))
    if not rows:
        return Section("gates", case.say("card.gates"), (Para(case.say("card.no_gates")),))
    heads = tuple(case.say(f"sheet.head.{h}") for h in ("gate", "state", "closes"))
    return Section("gates", case.say("card.gates"), (Table(heads, rows),))


def _dates(case: Case) -> Section:
    """What it rests on, and the last day."""
    say = case.say
    rows = (
        (say("sheet.about.as_of"), case.job.as_of),
        (say("card.until"), last_day(case)),
        (say("sheet.version.program"), f"seamwright {case.version}"),
        (say("sheet.version.base"), case.base.digest),
        (say("sheet.version.catalogues"), ", ".join(case.job.catalogues)),
    )
    heads = (say("sheet.head.what"), say("sheet.head.value"))
    note = Para(say("card.dates_note"))
    return Section("dates", say("sheet.versions"), (Table(heads, rows), note))
