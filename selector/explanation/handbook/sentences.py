"""Conditions as sentences with units, and as they stand in the rule file."""

import re
from dataclasses import dataclass

from selector import units
from selector.explanation.handbook.phrases import COVERS, SENTENCES, bare, full_path, hole, noun
from selector.knowledge.base import Base
from selector.model.quantity import Window
from selector.model.rule import Condition, Limit, Operand, Path, Rule

_HOLE = re.compile(r"\{([^{}]+)\}")
_COUNTS = {2: "two", 3: "three", 4: "four", 5: "five"}


@dataclass(frozen=True)
class Said:
    """One condition in plain words, and its code."""

    text: str
    code: str


def say(condition: Condition, rule: Rule, base: Base) -> Said:
    """A condition of a rule in plain words, and its code."""
    return Said(plain(condition, base), code(condition, rule))


def plain(condition: Condition, base: Base) -> str:
    """A condition in plain words; a number of the trade stands with its value."""
    text = _whole(condition) or _made(condition, base)
    measured = condition.operator == "within" and condition.places > 1
    if measured:
        count = _COUNTS.get(condition.places, str(condition.places))
        text = f"{text}, measured at {count} places or more"
    return text


def code(condition: Condition, rule: Rule) -> str:
    """The condition as the rule file has it."""
    letters = {role: letter for letter, role in rule.roles.items()}

    def path(value: Path) -> str:
        return f"{letters.get(value.role, value.role)}.{value.name}"

    right = condition.right
    shown = path(right) if isinstance(right, Path) else _code_of(right)
    negation = "not " if condition.negated else ""
    return f"{negation}{path(condition.left)} {condition.operator} {shown}".rstrip()


def filled(message: str, rule: Rule, base: Base) -> list[tuple[str, bool]]:
    """Pieces of a message; True marks a hole, named by what will stand in it."""
    texts = {f"trade.{n.id}": n.text for n in base.numbers.values()}
    pieces: list[tuple[str, bool]] = []
    at = 0
    for gap in _HOLE.finditer(message):
        pieces.append((message[at : gap.start()], False))
        path = full_path(gap.group(1).removesuffix(".fact"), rule)
        pieces.append((hole(path, texts), True))
        at = gap.end()
    pieces.append((message[at:], False))
    return [piece for piece in pieces if piece[0]]


def listed(words: tuple[str, ...] | list[str], last: str = "or") -> str:
    """`a, b or c`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def _whole(condition: Condition) -> str | None:
    """The sentence written for exactly this condition, if there is one."""
    right = condition.right
    if isinstance(right, Path):
        shown = str(right)
    else:
        shown = ", ".join(sorted(right)) if isinstance(right, tuple) else _code_of(right)
    negation = "not " if condition.negated else ""
    said = f"{negation}{condition.operator} {shown}".rstrip()
    return SENTENCES.get((str(condition.left), said))


def _made(condition: Condition, base: Base) -> str:
    """A sentence put together from noun, verb and value."""
    left = noun(str(condition.left))
    operator = condition.operator
    no = " not" if condition.negated else ""
    if operator in ("present", "absent"):
        there = (operator == "present") != condition.negated
        return f"there is {left}" if there else f"there is no {bare(left)}"
    if operator == "known":
        return f"{left} is{no} known"
    if operator == "passes":
        return f"{left} is{no} within what is proven"
    if operator == "covered by":
        return _covered(str(condition.right), left, negated=condition.negated)
    value = _value(condition.right, base)
    if operator == "within":
        return f"{left} lies {'outside' if condition.negated else 'within'} {value}"
    if operator == "is one of" and isinstance(condition.right, Path):
        return f"{left} is{no} among {value}"
    if operator in ("at most", "at least"):
        if condition.negated:
            return f"{left} is {'more' if operator == 'at most' else 'less'} than {value}"
        return f"{left} is {operator} {value}"
    return f"{left} is{no} {value}"


def _covered(kind: str, left: str, *, negated: bool) -> str:
    """`bad joint` is a failed test, `expired joint` one that ran out."""
    first = kind.partition(" ")[0]
    record = COVERS.get(kind) or COVERS.get(first) or f"a record of {kind}"
    if negated:
        record = f"no {record.partition(' ')[2]}"
    return f"{record} covers {left}"


def _value(right: Operand, base: Base) -> str:
    if isinstance(right, Path):
        if right.role == "trade":
            found = base.numbers[right.name]
            return f"{found.value} ({found.text})"
        return noun(str(right))
    if isinstance(right, tuple):
        return listed(right)
    return _code_of(right)


def _code_of(right: Operand) -> str:
    if isinstance(right, Limit):
        return units.show(right.value, right.dimension)
    if isinstance(right, Window):
        return str(right)
    if isinstance(right, tuple):
        return "[" + ", ".join(right) + "]"
    return "" if right is None else str(right)
