"""How provisional kits look: eight lines at most, 80 columns, and never like a yes."""

from collections.abc import Iterator

from selector import units
from selector.explanation.narrate import handles
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.questions.provisional import MODULE_CLAMP, Count, Filling, Provisional
from selector.questions.screen import hanging, hinted, some

LINES = 8
TOPS = ("rail", MODULE_CLAMP)  # what a person asks for first
EACH = 4  # names that one line lists


def kits(base: Base, found: Provisional) -> list[str]:
    """What is left and what it shares; empty where nothing is left."""
    if not found.clamps:
        return []
    texts = Texts.of(base)
    lines = list(_head(base, texts, found))
    count = list(_counts(texts, found.counts))
    groups = list(_groups(base, texts, found))
    room = LINES - len(lines) - len(count)
    if len(groups) > room:
        left = len(groups) - room + 1
        groups = [*groups[: room - 1], *hanging("  ", texts.say("talk.kits.more", n=left))]
    return [*lines, *groups[: max(room, 0)], *count]


def _head(base: Base, texts: Texts, found: Provisional) -> Iterator[str]:
    """How many, on which hints, what they share and where they differ; four lines mostly."""
    say = texts.say
    if found.whole:
        yield from _one("", say("talk.kits.head", n=len(found.kits)))
    else:
        names = some(base, [handles(c) for c in found.clamps], EACH)
        name = "talk.kits.many" if found.more else "talk.kits.clamps"
        yield from _one("", say(name, n=len(found.clamps), names=names))
    if found.hints:
        yield from _one("  ", say("talk.kits.hints", hints=hinted(base, found.hints, EACH)))
    slots = [_in_slot(texts, slot, (parts,)) for slot, parts in found.common]
    if slots:
        yield from _one("  ", say("talk.kits.common", parts="; ".join(slots)))
    elif len(found.kits) > 1:
        yield from _one("  ", say("talk.kits.nothing_common"))
    open_slots = [(s, each) for s, each in found.differs if s != "clamp"]
    slots = [_in_slot(texts, *one) for one in sorted(open_slots, key=lambda o: o[0] not in TOPS)]
    if slots and not found.whole:
        yield from _one("  ", say("talk.kits.differs", slots="; ".join(slots)))


def _in_slot(texts: Texts, slot: str, each: tuple[Filling, ...]) -> str:
    """A slot by its name and what may stand in it."""
    none = texts.word("none")
    joined = texts.say("talk.kits.or").join if slot == MODULE_CLAMP else " + ".join
    names = [joined(map(handles, parts)) for parts in each if parts]
    shown = names[:EACH] + (["..."] if len(names) > EACH else [])
    empty = [none] if () in each else []
    return f"{texts.word(slot.replace('_', ' '))} {', '.join([*empty, *shown])}"


def _groups(base: Base, texts: Texts, found: Provisional) -> Iterator[str]:
    """One line for each rail with its module clamps: what may stand below it."""
    if not found.whole or len(found.kits) < 2:
        return
    for rail, clamps, below in found.groups:
        names = [handles(" + ".join(parts)) for parts in below]
        top = texts.say("talk.kits.or").join(map(handles, clamps))
        on = " + ".join(p for p in (handles(" + ".join(rail)), top) if p)
        yield from _one("  ", texts.say("talk.kits.group", on=on, below=some(base, names, EACH)))


def _counts(texts: Texts, counts: tuple[Count, ...]) -> Iterator[str]:
    """What can be counted by now, marked."""
    shown = []
    for count in counts:
        length = texts.shown(units.show(count.length, "length"))
        holes = {"n": count.pieces, "ends": count.ends, "length": length}
        shown.append(texts.say(f"talk.kits.pieces.{count.slot}", **holes))
    if shown:
        yield from hanging("  ", texts.say("talk.kits.count", counts="; ".join(shown)))


def _one(mark: str, text: str) -> Iterator[str]:
    """One or two lines; what is longer ends in dots."""
    lines = list(hanging(mark, text))
    yield from (
        lines[:2] if len(lines) <= 2 else [lines[0], f"{lines[1][:75].rpartition(' ')[0]} ..."]
    )
