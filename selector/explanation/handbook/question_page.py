"""What the page of a question says."""

from dataclasses import dataclass

from selector import units
from selector.explanation.handbook import address
from selector.explanation.handbook.rule_page import paths_of
from selector.knowledge.base import Base
from selector.model.quantity import Window
from selector.model.rule import Ask, Quantity, Rule

# Where the words of a question are described.
DESCRIBED = {
    "plane.seam.shape": "shapes",
    "plane.sheet.metal": "metals",
    "plane.sheet.coating": "coatings",
    "plane.deck.kind": "decks",
}
EFFORTS = {
    1: "a glance, or a phone call",
    2: "one look at the roof",
    3: "a look and a tool",
    4: "somebody has to be found, or a paper",
    5: "a test, or the roof opened",
}


@dataclass(frozen=True)
class Choice:
    """A word that one may answer, and where it is described."""

    word: str
    address: str


@dataclass(frozen=True)
class QuestionPage:
    """A question with everything that stands around it."""

    ask: Ask
    quantity: Quantity | None
    key: str
    effort: str
    choices: tuple[Choice, ...]
    tools: tuple[tuple[str, str], ...]
    plausible: str
    rules: tuple[Rule, ...]
    first_for: tuple[Rule, ...]


def question_page(path: str, base: Base) -> QuestionPage:
    """The page of what is asked for a path."""
    ask = base.vocabulary.ask(path)
    quantity = base.vocabulary.quantities.get(path)
    role, _, name = path.partition(".")
    where = {"plane": "under its plane", "site": "under `site`", "array": "under its array"}
    where |= {"stated": "under `stated` of the array or stack, with its paper"}
    key = f"`{name or role}` {where.get(role, '')}".strip()
    rules = tuple(r for r in base.rules if path in map(str, paths_of(r)))
    return QuestionPage(
        ask=ask,
        quantity=quantity,
        key="" if role in ("stack", "joint") else key,
        effort=f"{ask.effort} of 5: {EFFORTS.get(ask.effort, '')}",
        choices=_choices(path, quantity, base),
        tools=() if quantity is None else tuple(_tools(quantity)),
        plausible=_plausible(quantity),
        rules=rules,
        first_for=tuple(r for r in base.rules if r.first == path),
    )


def _choices(path: str, quantity: Quantity | None, base: Base) -> tuple[Choice, ...]:
    topic = DESCRIBED.get(path)
    words = () if quantity is None else quantity.words
    known = set(base.shapes) | {
        row.shape.id for name in ("metals", "coatings", "decks") for row in base.trade.topics[name]
    }
    return tuple(
        Choice(word, address.fact(topic, word) if topic and word in known else "") for word in words
    )


def _tools(quantity: Quantity) -> list[tuple[str, str]]:
    found = []
    for tool, tolerance in quantity.tools.items():
        share = tool in quantity.relative_tools
        dimension = "share" if share else quantity.dimension
        shown = units.show(tolerance, dimension)
        found.append((tool, f"±{shown}" + (" of the reading" if share else "")))
    return found


def _plausible(quantity: Quantity | None) -> str:
    if quantity is None or quantity.plausible == (None, None):
        return ""
    return str(Window(quantity.dimension, *quantity.plausible))
