"""What the page of a question says."""

from collections.abc import Iterator
from dataclasses import dataclass

from selector import units
from selector.explanation.handbook import address
from selector.explanation.handbook.phrases import NOUNS, bare, short
from selector.explanation.handbook.rule_page import paths_of
from selector.explanation.handbook.sentences import plain
from selector.knowledge.base import Base
from selector.model.quantity import Window
from selector.model.question import Question
from selector.model.rule import Ask, Group, Quantity, Rule

# Where the words of a question are described.
DESCRIBED = {
    "plane.seam.shape": "shapes",
    "plane.sheet.metal": "metals",
    "plane.sheet.coating": "coatings",
    "plane.sheet.colour": "sheet-colours",
    "plane.deck.kind": "decks",
}
WHERE = {
    "plane": "under its plane",
    "site": "under `site`",
    "array": "under its array",
    "stated": "under `stated` of the array or stack, with its paper",
}


@dataclass(frozen=True)
class Choice:
    """A word that one may answer, and where it is described."""

    word: str
    address: str


@dataclass(frozen=True)
class Figure:
    """One quantity of a question, or a path that no question has: what is put into the job."""

    ask: Ask
    name: str
    quantity: Quantity | None
    key: str
    choices: tuple[Choice, ...]
    tools: tuple[tuple[str, str], ...]
    plausible: str
    rules: tuple[Rule, ...]
    first_for: tuple[Rule, ...]


@dataclass(frozen=True)
class QuestionPage:
    """A question with everything that stands around it."""

    title: str
    ask: str
    how: tuple[str, ...]
    who: str
    effort: str
    question: Question | None
    dont_know: str
    asked_when: tuple[str, ...]
    never_skip: tuple[str, ...]
    figures: tuple[Figure, ...]
    answers: tuple[str, ...]


def question_pages(base: Base) -> Iterator[tuple[str, QuestionPage]]:
    """Every page by its address: one a question, and one a path that no question has."""
    for question in base.questions.values():
        yield address.question(question.name), _of_question(question, base)
    for path, ask in base.vocabulary.asks.items():
        if where(base)[path] == address.question(path):
            yield address.question(path), _of_path(ask, base)


def where(base: Base) -> dict[str, str]:
    """Where each path is asked for: the page of its question, or one of its own."""
    found = {path: address.question(path) for path in base.vocabulary.asks}
    for question in base.questions.values():
        for path in (*question.answers, *question.quantities):
            if path in found:
                place = address.anchor("figure", path)
                found[path] = f"{address.question(question.name)}#{place}"
    return found


def _of_question(question: Question, base: Base) -> QuestionPage:
    desk = question.effort.phone
    effort = f"{question.effort.roof} of 5 on the roof"
    skip = question.never_skip
    asked = [path for path in question.answers if path in base.vocabulary.asks]
    return QuestionPage(
        title=question.title,
        ask=question.ask,
        how=question.look,
        who=question.who,
        effort=effort if desk is None else f"{desk} of 5 from the desk, {effort}",
        question=question,
        dont_know=_dont_know(question),
        asked_when=tuple(_either(group, base) for group in question.asked_when),
        never_skip=() if skip is None else tuple(_either(g, base) for g in skip.when),
        figures=tuple(_figure(path, base) for path in (*question.quantities, *asked)),
        answers=tuple(path for path in question.answers if path not in asked),
    )


def _of_path(ask: Ask, base: Base) -> QuestionPage:
    quantity = base.vocabulary.quantities.get(ask.path)
    derived = quantity is not None and quantity.derived
    return QuestionPage(
        title=short(ask.path) if derived else ask.ask,
        ask="",
        how=(ask.how,) if ask.how else (),
        who=ask.who,
        effort="" if derived else f"{ask.effort} of 5",
        question=None,
        dont_know="",
        asked_when=(),
        never_skip=(),
        figures=(_figure(ask.path, base),),
        answers=(),
    )


def _figure(path: str, base: Base) -> Figure:
    quantity = base.vocabulary.quantities.get(path)
    role, _, name = path.partition(".")
    ask = base.vocabulary.ask(path)
    return Figure(
        ask=ask,
        name=bare(NOUNS[path]) if path in NOUNS else ask.ask,
        quantity=quantity,
        key="" if role in ("stack", "joint") else f"`{name}` {WHERE.get(role, '')}".strip(),
        choices=tuple(_choices(path, quantity, base)),
        tools=() if quantity is None else tuple(_tools(quantity)),
        plausible=_plausible(quantity),
        rules=tuple(r for r in base.rules if path in map(str, paths_of(r))),
        first_for=tuple(r for r in base.rules if r.first == path),
    )


def _dont_know(question: Question) -> str:
    often = question.dont_know
    places = [("from the desk", often.phone), ("on the roof", often.roof)]
    said = [f"{units.show(n, 'share')} {place}" for place, n in places if n is not None]
    return f"about {', '.join(said)}" if said else ""


def _either(group: Group, base: Base) -> str:
    return ", or ".join(plain(condition, base) for condition in group)


def _choices(path: str, quantity: Quantity | None, base: Base) -> Iterator[Choice]:
    topic = DESCRIBED.get(path)
    known = set(base.shapes) | {
        row.shape.id
        for name in ("metals", "coatings", "sheet_colours", "decks")
        for row in base.trade.topics[name]
    }
    for word in () if quantity is None else quantity.words:
        yield Choice(word, address.fact(topic, word) if topic and word in known else "")


def _tools(quantity: Quantity) -> Iterator[tuple[str, str]]:
    for tool, tolerance in quantity.tools.items():
        share = tool in quantity.relative_tools
        shown = units.show(tolerance, "share" if share else quantity.dimension)
        if tolerance == 0:
            yield tool, "as read"
        else:
            yield tool, f"±{shown}" + (" of the reading" if share else "")


def _plausible(quantity: Quantity | None) -> str:
    if quantity is None or quantity.plausible == (None, None):
        return ""
    return str(Window(quantity.dimension, *quantity.plausible))
