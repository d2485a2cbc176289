"""How a talk looks: one question, what is alive, what died of what; 80 columns, no colour."""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from textwrap import wrap

from selector.explanation.narrate import handles
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.texts import HOLE
from selector.model.job import Job, Observed
from selector.model.rule import Quantity
from selector.questions.entries import entry_of, key_of, no_quantities
from selector.questions.form import Item
from selector.questions.left import Left, stopped, stops
from selector.questions.order import Asked
from selector.questions.spoken import called
from selector.questions.talk import State, Talk
from selector.questions.typed import expected
from selector.questions.wrong import said as worded

WIDTH = 79
MOST = 6
MOST_OUT, FEW_NAMES = 3, 3  # of what died, where nothing is left
WHOLE = ("contact", "stack")  # what dies beside clamps; that two parts do not join tells nothing
DRAWN = "plane.seam.shape"
SENDERS = ("phone", "owner", "roof")
EASY = 3  # effort of a picture or a figure that a customer can send
TYPED = re.compile(r"`[^`]{1,24}`")  # what is typed as it stands is never broken
HELP = ("words", "figures", "way", "unknown", "tell", "steps", "lists", "keys", "place")
FORM_HELP = ("form_words", "form_steps")


def help_lines(base: Base, names: tuple[str, ...] = HELP) -> Iterator[str]:
    """What may be typed."""
    say = Texts.of(base).say
    for name in names:
        yield from hanging("", say(f"talk.help.{name}"))


def status(base: Base, state: State) -> str:
    """One line: what is alive."""
    say, left = Texts.of(base).say, state.left
    stacks, out = sum(c.weight for c in left.candidates), len(left.died)
    if left.answer is not None:
        return say("talk.stacks" if left.whole else "talk.many_stacks", n=stacks, out=out)
    if not left.whole:
        return say("talk.many_clamps", n=len(left.candidates), out=out)
    return say("talk.clamps", n=len(left.candidates), stacks=stacks, out=out)


def item(base: Base, asked: Item) -> Iterator[str]:
    """One question of a form with its choices and what an empty line stands for."""
    texts = Texts.of(base)
    if asked.caution:
        yield from hanging("! ", asked.caution)
    text = texts.say(f"talk.new.{asked.name}", **dict(asked.holes)) if asked.new else ""
    yield from hanging("", text or texts.say(f"talk.paper.{asked.name}"))
    yield from choices(texts, asked.choices)
    if asked.hint:
        yield from hanging("  ", texts.say(asked.hint))
    if asked.usual:
        yield from hanging("  ", texts.say("talk.new.usual", usual=_word(texts, asked.usual)))


def choices(texts: Texts, words: Sequence[str]) -> Iterator[str]:
    """Words to choose from, numbered; those that say more behind a tab a line each."""
    if any("\t" in w for w in words):
        parts = [w.partition("\t") for w in words]
        wide = max(len(word) for word, _, _ in parts)
        for number, (word, _, more) in enumerate(parts, 1):
            own = texts.word(word)
            more = ", ".join(filter(None, (own if own != word else "", texts.word(more))))
            yield from hanging(f"  {number:>2} ", f"{word:<{wide}}  {more}")
    elif words:
        items = [f"{i} {_word(texts, w)}" for i, w in enumerate(words, 1)]
        yield from hanging("  ", "   ".join(i.replace(" ", "\u00a0") for i in items))


def question(base: Base, asked: Asked, talk: Talk, *, cautioned: bool = False) -> Iterator[str]:
    """The question with its choices and the first way to look.

    A caution that stands on the screen right above is not said again (`cautioned`).
    """
    texts = Texts.of(base)
    quantity = base.vocabulary.quantities.get(asked.path)
    ask = base.vocabulary.ask(asked.path)
    if asked.question is not None and asked.question.caution and not cautioned:
        yield from hanging("! ", asked.question.caution)
    yield from hanging("", ask.ask[:1].upper() + ask.ask[1:])
    if quantity is not None and quantity.dimension == "choice":
        if asked.path == DRAWN:
            yield from drawings(base, quantity)
        else:
            yield from choices(texts, quantity.words)
        if quantity.stacked:
            yield from hanging("  ", texts.say("talk.layers"))
    elif quantity is not None:
        yield from hanging("  ", worded(texts, expected(quantity)))
        if quantity.tools:
            tools = ", ".join(_tool(texts, tool) for tool in quantity.tools)
            yield from hanging("  ", texts.say("talk.with", tools=tools))
    entry = entry_of(base, asked.path)
    if quantity is None:
        yield from choices(texts, entry.choices if entry is not None else ())
        hint = texts.say("talk.no_single", key=key_of(asked.path))
        if entry is not None:
            hint = texts.say(f"talk.entry.{entry.name}")
        yield from hanging("  ", hint)
    if ask.how:
        yield from hanging("  ", texts.say("talk.how", how=ask.how))
    said = talk.sightings(quantity.path) if quantity is not None else []
    for one in said:
        yield from hanging("  ", texts.say("talk.said_so_far", answer=sighted(texts, one)))
    if any("unknown" not in one for one in said):
        yield from hanging("  ", texts.say("talk.again"))


def way_to_look(base: Base, quantity: Quantity) -> str:
    """How somebody may have looked: the finest tool, a photo, or what the question names first."""
    texts = Texts.of(base)
    if quantity.tools:
        return min(quantity.tools, key=lambda tool: (quantity.tools[tool], tool))
    if quantity.by:  # a photo settles nothing
        how = base.vocabulary.ask(str(quantity.path)).how
        return re.split(rf"[,;(]| (?:at|or|an|{texts.word('or')}) ", how)[0].strip()
    return texts.say("talk.photo")


def drawings(base: Base, quantity: Quantity) -> Iterator[str]:
    """The seam ends two beside each other, each with its number."""
    texts, words = Texts.of(base), list(quantity.words)
    for i in range(0, len(words), 2):
        pair = words[i : i + 2]
        pictures = [_labelled(texts, base.drawings[w].text).split("\n") for w in pair]
        heads = [f"{i + j + 1} {_word(texts, w)}" for j, w in enumerate(pair)]
        yield "".join(f" {h:<38}" for h in heads).rstrip()
        for row in range(max(map(len, pictures))):
            cells = [lines[row] if row < len(lines) else "" for lines in pictures]
            yield "".join(f" {c:<38}" for c in cells).rstrip()


def _labelled(texts: Texts, drawing: str) -> str:
    """A drawing with its words in the language of the screen; what stands behind them stays put."""

    def own(found: re.Match[str]) -> str:
        word, blanks = found.groups()
        label = texts.book.words.get(f"drawn {word}", word)
        return label.ljust(len(word + blanks)) if blanks else label

    return re.sub(r"\b([a-z]+)\b( *)", own, drawing.rstrip("\n"))


def why(base: Base, asked: Asked, state: State) -> Iterator[str]:
    """Why a question is asked, and how to look in steps."""
    say = Texts.of(base).say
    if asked.question is not None:
        yield from hanging("", say("talk.why", why=asked.question.why))
        for step in asked.question.look:
            yield from hanging("  - ", step)
    waiting = [c for c in state.left.candidates if asked.path in c.waits]
    stacks = sum(c.weight for c in waiting)
    yield from hanging("  ", say("talk.waiting", n=stacks, effort=asked.effort))


def alive(base: Base, state: State) -> Iterator[str]:
    """What is left, and what died of what."""
    say = Texts.of(base).say
    names = [handles(c.name) for c in state.left.candidates]
    yield from hanging("", say("talk.alive", names=some(base, names) or say("talk.nothing")))
    for title, parts in _out(Texts.of(base), state.left):
        yield from hanging("", say("talk.out", names=some(base, parts), why=title))


def _out(texts: Texts, left: Left) -> list[tuple[str, list[str]]]:
    """What died of what: stacks first, where no clamp alone says why, then the most clamps."""
    stacks: dict[str, list[str]] = defaultdict(list)
    for refusal in left.answer.refusals if left.answer is not None else ():
        if refusal.level in WHOLE:
            name = handles(texts.shown(refusal.id))
            stacks[stopped(refusal.verdict)].append(name)
    clamps: dict[str, list[str]] = defaultdict(list)
    for part, title in sorted(left.died.items()):
        clamps[title].append(handles(part))
    most = sorted(clamps.items(), key=lambda g: -len(g[1]))
    return [*((t, s) for t, s in stacks.items() if t), *most]


def said(base: Base, talk: Talk) -> Iterator[str]:
    """Every answer of the talk so far."""
    for path, quantity in sorted(base.vocabulary.quantities.items()):
        for one in talk.sightings(quantity.path):
            yield from hanging("- ", f"{path.partition('.')[2]}: {sighted(Texts.of(base), one)}")
    texts = Texts.of(base)
    array = talk.job["arrays"][talk.array]
    words = [texts.word(str(array[k])) for k in ("orientation", "tilt")]
    holes = {**array["block"], "module": array["module"], "lines": array["rail_lines"]}
    shown = texts.say("talk.array", way=words[0], tilt=words[1], **holes)
    yield from hanging("- ", f"array: {shown}")
    for name, text in no_quantities(talk.job, talk.array):
        own = ", ".join(map(texts.shown, text.split(", ")))
        yield from hanging("- ", f"{name}: {own}")


def photos(base: Base, state: State) -> Iterator[str]:
    """What the customer sends, easiest first: what is open and can be had without a roof."""
    yield Texts.of(base).say("talk.photos")
    found = {q.observation: q for path in state.left.paths if (q := base.question_of(path))}
    easy = [(q.effort.phone, q) for q in found.values() if q.who in SENDERS]
    easy = [(effort, q) for effort, q in easy if effort is not None and effort <= EASY]
    for number, (_, one) in enumerate(sorted(easy, key=lambda e: (e[0], e[1].observation)), 1):
        yield from hanging(f"{number:>2} ", f"{one.ask} ({'; '.join(one.look[:2])})")


def contradiction(base: Base, found: Observed) -> Iterator[str]:
    """Two sightings that exclude each other, to be settled."""
    texts = Texts.of(base)
    ask, key = base.vocabulary.ask(found.path).ask, found.path.partition(".")[2]
    yield from hanging("", texts.say("talk.contradict", ask=ask, path=key))
    for number, one in enumerate(found.sightings, 1):
        seen = f"{texts.shown(str(one.value), found.path)} ({texts.seen(one.seen)})"
        yield from hanging(f"  {number} ", seen)
    yield from hanging("  ", texts.say("talk.which_wrong"))


def at_odds(base: Base, left: Left) -> Iterator[str]:
    """Quantities that exclude each other, such as a metal and a colour that it never has."""
    texts = Texts.of(base)
    found = left.answer.contradicted if left.answer is not None else ()
    if found:
        yield from hanging("", texts.say("contradictory.head"))
    for observed in found:
        value = texts.shown(str(observed.value), observed.path)
        seen = "; ".join(texts.seen(s.seen) for s in observed.sightings)
        yield from hanging("  - ", f"{observed.path.partition('.')[2]}: {value} ({seen})")


def ending(base: Base, left: Left) -> str:
    """Why nothing more is asked."""
    texts = Texts.of(base)
    if left.answer is not None and left.answer.word.is_yes:
        return texts.say("talk.end.yes", word=texts.word(left.answer.word.text))
    return texts.say("talk.end.others" if left.candidates else "talk.end.none")


def nearest(base: Base, left: Left) -> Iterator[str]:
    """Where nothing can become a yes: the best that there is, or what died of what; a way out."""
    if left.answer is None or left.candidates:
        return
    texts = Texts.of(base)
    each = [stops(option.verdict) for option in left.answer.options]
    for best in left.answer.options[:1]:
        word = texts.word(best.verdict.word.text)
        shared = (title for title in each[0] if all(title in titles for titles in each))
        name, why = handles(best.name), next(shared, stopped(best.verdict))
        yield from hanging("  ", texts.say("talk.nearest", name=name, word=word, why=why))
        yield from _way_out(base, why)
    if not left.answer.options:
        for title, parts in _out(texts, left)[:MOST_OUT]:
            names = some(base, parts, FEW_NAMES)
            yield from hanging("  ", texts.say("talk.out", names=names, why=title))
            yield from _way_out(base, title)


def _way_out(base: Base, title: str) -> Iterator[str]:
    """What a rule says that helps, where that names nothing of one place."""
    helps = (r.help for r in base.rules if r.title == title and not HOLE.search(r.help))
    for help_ in (h for h in list(helps)[:1] if h):
        yield from hanging("    ", Texts.of(base).say("talk.way_out", help=help_))


def still_open(base: Base, left: Left, talk: Talk) -> Iterator[str]:
    """What is still open, by who can settle it, a line each; with what was said of it so far."""
    texts = Texts.of(base)
    open_for: dict[str, list[str]] = defaultdict(list)
    for path in left.paths:
        ask, quantity = base.vocabulary.ask(path), base.vocabulary.quantities.get(path)
        seen = talk.sightings(quantity.path) if quantity is not None else []
        so_far = [sighted(texts, one) for one in seen if "unknown" not in one]
        holes = {"ask": ask.ask, "answer": "; ".join(so_far)}
        open_for[ask.who].append(texts.say("talk.end.so_far", **holes) if so_far else ask.ask)
    for who, asks in open_for.items():
        more = texts.say("talk.more", names=asks[0], n=len(asks) - 1) if asks[1:] else asks[0]
        yield from hanging("  ", texts.say("talk.end.open", who=texts.word(who), asks=more))


def hinted(base: Base, hints: Sequence[tuple[str, str]], most: int = MOST) -> str:
    """What was said and nobody has looked at: names and words."""
    texts = Texts.of(base)
    names = [p.partition(".")[2].replace(".", " ").replace("_", " ") for p, _ in hints]
    each = zip(names, hints, strict=True)
    return some(base, [f"{texts.word(name)} {texts.shown(said)}" for name, (_, said) in each], most)


def too_early(base: Base, job: Job, path: object) -> Iterator[str]:
    """What stands in place of an answer while many clamps are left."""
    say = Texts.of(base).say
    invented = [n for n in job.catalogues if base.catalogues[n].tag == "invented"]
    if invented:
        yield from hanging("", say("answer.demo", names=", ".join(invented)))
    yield from hanging("", say("talk.end.early", path=path))
    for caution in ("caution.who_decides", "caution.falls"):
        yield from hanging("! ", say(caution))


def _word(texts: Texts, word: str) -> str:
    """A word to type, and what it means in the language of the screen."""
    own = texts.word(word)
    return word if own == word else f"{word} ({own})"


def _tool(texts: Texts, tool: str) -> str:
    """A tool to type, and what it is called in the language of the screen."""
    own = called(texts, tool)
    return tool if own == tool else f"{tool} ({own})"


def sighted(texts: Texts, one: dict[str, object]) -> str:
    """What was said in one line: layers with `on`, one of several with `or`, places with `/`."""
    key = next(k for k in ("is", "places", "one_of", "hint", "unknown") if one.get(k))
    between = texts.word("or") if key == "one_of" else "/"
    text = _joined(texts, one[key], texts.word("on") if key in ("is", "hint") else between)
    way = called(texts, str(one.get("tool") or one.get("how") or ""))
    doubt = f" ({texts.say('talk.not_sure')})" if "hint" in one else ""
    return f"{text}{doubt}{f', {way}' if way else ''}"


def _joined(texts: Texts, value: object, between: str) -> str:
    if not isinstance(value, list):
        return texts.shown(str(value))
    on = texts.word("on")
    return f" {between} ".join(_joined(texts, each, on) for each in value)


def some(base: Base, names: list[str], most: int = MOST) -> str:
    """The first few names, and how many more there are."""
    shown, left = ", ".join(names[:most]), len(names) - most
    return Texts.of(base).say("talk.more", names=shown, n=left) if left > 0 else shown


def hanging(mark: str, text: str) -> Iterator[str]:
    """Lines of a text behind a mark."""
    whole = TYPED.sub(lambda found: found[0].replace(" ", "\u00a0"), text)
    lines = wrap(whole, WIDTH - len(mark), break_on_hyphens=False) or [""]
    for number, line in enumerate(lines):
        yield (mark if number == 0 else " " * len(mark)) + line.replace("\u00a0", " ")
