"""How a talk looks: one question, what is alive, what died of what; 80 columns, no colour."""

from collections import defaultdict
from collections.abc import Iterator
from textwrap import wrap

from selector.explanation.narrate import handles
from selector.knowledge.base import Base
from selector.model.job import Observed
from selector.model.rule import Quantity
from selector.questions.left import Left
from selector.questions.order import Asked
from selector.questions.talk import State, Talk
from selector.questions.typed import expected

WIDTH = 79
MOST = 6
DRAWN = "plane.seam.shape"
SENDERS = ("phone", "owner", "roof")
HELP = (
    "a number or a word of the list; several with `or` between",
    "figures: 25   25 mm   1 in   three places: 24.8 25.1 25.3   with a tool: 25 tape",
    "how it was seen, after two colons: copper :: cut edge",
    "?  don't know   !  can't reach   not sure WORD: counts as unknown",
    "why    why this is asked          alive   what is left, and what died of what",
    "back   undo the last answer       skip    ask something else",
    "said   all answers so far         photos  what the customer should send",
    "phone, roof  where you are        stop    save and leave; goes on later",
)


def status(state: State) -> str:
    """One line: what is alive."""
    left = state.left
    stacks = sum(c.weight for c in left.candidates)
    if left.answer is not None:
        return f"{stacks} stacks may still become a yes; {len(left.died)} clamps are out"
    return f"{len(left.candidates)} clamps with {stacks} stacks are alive; {len(left.died)} are out"


def question(base: Base, asked: Asked, talk: Talk) -> Iterator[str]:
    """The question with its choices and the first way to look."""
    quantity = base.vocabulary.quantities.get(asked.path)
    ask = base.vocabulary.ask(asked.path)
    if asked.question is not None and asked.question.caution:
        yield from hanging("! ", asked.question.caution)
    yield from hanging("", ask.ask[:1].upper() + ask.ask[1:])
    if quantity is not None and quantity.dimension == "choice":
        if asked.path == DRAWN:
            yield from drawings(base, quantity)
        else:
            items = [f"{i} {w}" for i, w in enumerate(quantity.words, 1)]
            yield from hanging("  ", "   ".join(item.replace(" ", "\u00a0") for item in items))
    elif quantity is not None:
        yield from hanging("  ", expected(quantity))
        if quantity.tools:
            yield from hanging("  ", f"with: {', '.join(quantity.tools)}")
    if ask.how:
        yield from hanging("  how: ", ask.how)
    said = talk.sightings(quantity.path) if quantity is not None else []
    for one in said:
        yield from hanging("  said so far: ", _shown(one))


def drawings(base: Base, quantity: Quantity) -> Iterator[str]:
    """The seam ends two beside each other, each with its number."""
    words = list(quantity.words)
    for i in range(0, len(words), 2):
        pair = words[i : i + 2]
        texts = [base.drawings[w].text.rstrip("\n").split("\n") for w in pair]
        heads = [f"{i + j + 1} {w}" for j, w in enumerate(pair)]
        yield "".join(f" {h:<38}" for h in heads).rstrip()
        for row in range(max(map(len, texts))):
            cells = [t[row] if row < len(t) else "" for t in texts]
            yield "".join(f" {c:<38}" for c in cells).rstrip()


def why(base: Base, asked: Asked, state: State) -> Iterator[str]:
    """Why a question is asked, and how to look in steps."""
    if asked.question is not None:
        yield from hanging("why: ", asked.question.why)
        for step in asked.question.look:
            yield from hanging("  - ", step)
    waiting = [c for c in state.left.candidates if asked.path in c.waits]
    stacks = sum(c.weight for c in waiting)
    yield from hanging("  ", f"{stacks} stacks wait for it; effort {asked.effort} of 5")


def alive(state: State) -> Iterator[str]:
    """What is left, and what died of what."""
    names = [handles(c.name) for c in state.left.candidates]
    yield from hanging("alive: ", _some(names) or "nothing")
    groups: dict[str, list[str]] = defaultdict(list)
    for part, title in sorted(state.left.died.items()):
        groups[title].append(handles(part))
    for title, parts in sorted(groups.items(), key=lambda g: -len(g[1])):
        yield from hanging("out:   ", f"{_some(parts)}: {title}")


def said(base: Base, talk: Talk) -> Iterator[str]:
    """Every answer of the talk so far."""
    for path, quantity in sorted(base.vocabulary.quantities.items()):
        for one in talk.sightings(quantity.path):
            yield from hanging("- ", f"{path.partition('.')[2]}: {_shown(one)}")


def photos(base: Base, state: State) -> Iterator[str]:
    """What the customer sends, easiest first: pictures and figures that are still open."""
    yield "Please send (nobody steps on the roof for it):"
    number = 0
    for path in sorted(state.left.paths, key=lambda p: (base.vocabulary.ask(p).effort, p)):
        found = base.question_of(path)
        if (
            found is None
            or found.effort.phone is None
            or found.who not in ("phone", "roof", "owner")
        ):
            continue
        number += 1
        yield from hanging(f"{number:>2} ", f"{found.ask} ({'; '.join(found.look[:2])})")


def contradiction(found: Observed) -> Iterator[str]:
    """Two sightings that exclude each other, to be settled."""
    yield from hanging("", f"These exclude each other: {found.path.partition('.')[2]}")
    for number, one in enumerate(found.sightings, 1):
        yield from hanging(f"  {number} ", f"{one.value} ({one.seen})")
    yield "  Which one was wrong? Its number takes it back."


def ending(left: Left) -> str:
    """Why nothing more is asked."""
    best = left.answer.word.text if left.answer is not None else None
    if left.answer is not None and left.answer.word.is_yes:
        return f"Nothing more can change the answer: {best}."
    if not left.candidates:
        return "No stack is left that an answer could make a yes."
    return "Nobody here can answer what is still open; see below who can."


def _shown(one: dict[str, object]) -> str:
    value = next(v for k in ("is", "places", "one_of", "hint", "unknown") if (v := one.get(k)))
    text = " / ".join(map(str, value)) if isinstance(value, list) else str(value)
    way = one.get("tool") or one.get("how") or ""
    return f"{text}{' (not sure)' if 'hint' in one else ''}{f', {way}' if way else ''}"


def _some(names: list[str]) -> str:
    left = len(names) - MOST
    return ", ".join(names[:MOST]) + (f" and {left} more" if left > 0 else "")


def hanging(mark: str, text: str) -> Iterator[str]:
    """Lines of a text behind a mark."""
    lines = wrap(text, WIDTH - len(mark), break_on_hyphens=False) or [""]
    for number, line in enumerate(lines):
        yield (mark if number == 0 else " " * len(mark)) + line.replace("\u00a0", " ")
