"""Changes that were judged beforehand, as entries of the card: a title, a word, a few lines."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from selector.explanation.moves import move_text
from selector.explanation.narrate import fill, handles, to_confirm
from selector.explanation.sheet.case import Case
from selector.explanation.stands import stands_if
from selector.inference.likely import SLOTS, STACK, Likely
from selector.inference.swap import Swapped
from selector.inference.verdict import Finding
from selector.model.truth import Word

LINES = 3  # conditions, or things to look at, that an entry says


@dataclass(frozen=True)
class Entry:
    """One change, or several parts that fail alike; `sets` is what a job file would say of each."""

    title: str
    word: Word
    lines: tuple[str, ...]
    sets: tuple[str, ...]
    names: tuple[str, ...]


@dataclass(frozen=True)
class Group:
    """Changes of one thing, the mildest word first."""

    about: str
    title: str
    entries: tuple[Entry, ...]


def groups_of(case: Case, found: Iterable[Likely]) -> tuple[Group, ...]:
    """Entries by what they are about, in the order in which they were judged."""
    by_about: dict[str, list[Likely]] = {}
    for one in found:
        by_about.setdefault(one.about, []).append(one)
    return tuple(
        Group(about, _about(case, about), tuple(_entries(case, about, each)))
        for about, each in by_about.items()
    )


def _about(case: Case, about: str) -> str:
    if about == STACK:
        return case.say("card.several")
    name = case.texts.word(about.replace("_", " "))
    return case.say(f"card.about.{about}") if about in OTHERS else name[:1].upper() + name[1:]


OTHERS = ("adapters", "screw_tip", "torque", "tightened", "improvised", "bonding_wire")


def _entries(case: Case, about: str, found: list[Likely]) -> Iterator[Entry]:
    """The mildest first; parts of a slot that fail by the same rules are one entry."""
    told = sorted(found, key=lambda one: (one.swap.word, _rules(one.swap)))
    for (word, _), same in groupby(told, key=lambda one: (one.swap.word, _rules(one.swap))):
        each = list(same)
        if about in SLOTS and word >= Word.ENGINEER and len(each) > 1:
            yield _alike(case, about, each)
        else:
            yield from (_entry(case, one) for one in each)


def _rules(swap: Swapped) -> tuple[str, ...]:
    """Rules that give the word of a change."""
    return tuple(sorted({f.rule.id for f in swap.option.verdict.of_word(swap.word)}))


def _entry(case: Case, one: Likely) -> Entry:
    title = "; ".join(move_text(move, case.texts) for move in one.swap.moved)
    lines = _lines(case, one.swap)
    return Entry(title, one.swap.word, lines, (_sets(one),), (_name(case, one),))


def _alike(case: Case, about: str, each: list[Likely]) -> Entry:
    """Several parts that fail by the same rules, which are said once."""
    swap = each[0].swap
    names = tuple(_name(case, one) for one in each)
    old = next(move[1] for move in swap.moved if move[0] == about)
    told = "card.instead" if old is not None else "card.added"
    title = case.say(told, new=", ".join(names), old=handles(old or ""))
    titles = dict.fromkeys(f.rule.title for f in swap.option.verdict.of_word(swap.word))
    sets = tuple(_sets(one) for one in each)
    return Entry(title, swap.word, tuple(_few(case, list(titles))), sets, names)


def _sets(one: Likely) -> str:
    return json.dumps(dict(one.sets), sort_keys=True)


def _name(case: Case, one: Likely) -> str:
    """What comes in place of what was planned."""
    value = one.sets.get(one.about, next(iter(one.sets.values())))
    text = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return handles(case.texts.shown(text)) or case.say("moves.none")


def _lines(case: Case, swap: Swapped) -> tuple[str, ...]:
    """Conditions that are new, what to look at first, or why not; and what comes along."""
    if swap.word.is_yes:
        lines = _yes(case, swap)
    elif swap.word == Word.OBSERVE:
        looks = stands_if(swap.option.verdict, case.base.vocabulary, case.texts)
        lines = _few(case, [case.say("card.look_first", ask=look.ask.ask) for look in looks])
    else:
        lines = _why_not(case, swap)
    return (*lines, *_along(case, swap))


def _yes(case: Case, swap: Swapped) -> list[str]:
    fresh = [*(case.message(f) for f in swap.fresh)]
    fresh += [to_confirm(f, case.texts) for f in swap.confirm]
    lines = _few(case, fresh)
    if swap.met:
        lines.append(case.say("card.as_before", n=len(swap.met)))
    return lines


def _why_not(case: Case, swap: Swapped) -> list[str]:
    """The first reason in words with its cure; more of them are counted."""
    verdict = swap.option.verdict
    findings: dict[str, Finding] = {}
    for finding in verdict.of_word(swap.word):
        findings.setdefault(finding.rule.id, finding)
    said = []
    for finding in list(findings.values())[:1]:
        rule, judged = finding.rule, finding.judgement
        said = [case.message(finding), fill(rule.help, rule, judged, case.texts)]
    if len(findings) > 1:
        said.append(case.say("card.more_reasons", n=len(findings) - 1))
    return said or [case.say("card.see_office")]


def _few(case: Case, lines: list[str]) -> list[str]:
    once = list(dict.fromkeys(lines))
    more = len(once) - LINES
    if more <= 0:
        return once or [case.say("card.see_office")]
    return [*once[: LINES - 1], case.say("card.more", n=more + 1)]


def _along(case: Case, swap: Swapped) -> Iterator[str]:
    """What comes and goes with the change; said only where it may be made."""
    if swap.word >= Word.ENGINEER:
        return
    for name, lines in (("comes", swap.brings), ("goes", swap.leaves)):
        if lines:
            what = ", ".join(case.texts.shown(handles(line)) for line in lines)
            yield case.say(f"card.{name}", what=what)
    torque = next((after for slot, _, after in swap.moved if slot == "clamp"), None)
    if torque is not None:
        yield case.say("card.its_torque", part=handles(torque))
