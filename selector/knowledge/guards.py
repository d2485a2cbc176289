"""A rule reads a quantity only where its question is asked: inside the guard of the question.

A rule on bulbs that forgets to say *where the seam is round* would ask every roof for its bulb.
"""

from collections.abc import Iterable

from selector.errors import Problem
from selector.knowledge.base import Vocabulary
from selector.model.question import Question
from selector.model.rule import Condition, Group, Path, Rule


def outside_guards(
    rules: Iterable[Rule], questions: Iterable[Question], vocabulary: Vocabulary
) -> list[Problem]:
    """Rules that read a quantity without saying what its question's `asked_when` says."""
    guarded = [(path, q) for q in questions if q.asked_when for path in q.quantities]
    found: dict[tuple[str, str], Problem] = {}
    for rule in rules:
        read = {str(p) for c in rule.conditions for p in (c.left, c.right) if isinstance(p, Path)}
        for path, question in guarded:
            if path in read and not _inside(rule, question, vocabulary):
                wanted = " and ".join(_text(group) for group in question.asked_when)
                text = f"rule `{rule.id}` reads `{path}` outside the guard of its question"
                remedy = f"say under `when` what {question.origin} asks for: {wanted}"
                found[rule.id, path] = Problem(rule.file, rule.line, text, remedy)
    return list(found.values())


def _inside(rule: Rule, question: Question, vocabulary: Vocabulary) -> bool:
    return all(
        any(_implies(group, wanted, vocabulary) for group in rule.when)
        for wanted in question.asked_when
    )


def _implies(group: Group, wanted: Group, vocabulary: Vocabulary) -> bool:
    """Whether each alternative of a rule is one of a guard, or says less words of it."""
    return all(any(_within(one, other, vocabulary) for other in wanted) for one in group)


def _within(one: Condition, other: Condition, vocabulary: Vocabulary) -> bool:
    if one == other:
        return True
    mine, theirs = _words(one, vocabulary), _words(other, vocabulary)
    return one.left == other.left and mine is not None and theirs is not None and mine <= theirs


def _words(condition: Condition, vocabulary: Vocabulary) -> frozenset[str] | None:
    """Words of a choice for which a condition holds; None where it is no list of words."""
    quantity = vocabulary.quantities.get(str(condition.left))
    right = condition.right
    if quantity is None or isinstance(right, Path):
        return None
    if condition.operator == "is" and isinstance(right, str):
        words = frozenset({right})
    elif condition.operator == "is one of" and isinstance(right, tuple):
        words = frozenset(right)
    else:
        return None
    return frozenset(quantity.words) - words if condition.negated else words


def _text(group: Group) -> str:
    return " or ".join(("not " if c.negated else "") + c.text for c in group)
