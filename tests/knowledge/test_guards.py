"""A rule that reads a quantity outside the guard of its question is refused."""

from dataclasses import replace

import pytest

from selector.knowledge.base import Base
from selector.knowledge.conditions import parse
from selector.knowledge.guards import outside_guards
from selector.model.rule import Rule

ROLES = {"p": "plane", "c": "clamp"}


def with_when(base: Base, rule_id: str, *when: str) -> list[str]:
    """What is said of a rule that stands under other guards; alternatives divided by ` | `."""
    [rule] = [r for r in base.rules if r.id == rule_id]
    groups = tuple(tuple(parse(t, ROLES) for t in group.split(" | ")) for group in when)
    changed: Rule = replace(rule, when=groups)
    problems = outside_guards([changed], base.questions.values(), base.vocabulary)
    return [f"{p.text}; {p.remedy}" for p in problems]


def test_no_shipped_rule_reads_outside_a_guard(base: Base) -> None:
    assert any(q.asked_when for q in base.questions.values())
    assert outside_guards(base.rules, base.questions.values(), base.vocabulary) == []


@pytest.mark.parametrize(
    ("rule", "when", "inside"),
    [
        ("bulb-outside-clamp-window", ["p.seam.shape is round"], True),
        ("bulb-outside-clamp-window", ["p.seam.shape is one of [round]"], True),
        ("bulb-outside-clamp-window", [], False),
        ("bulb-outside-clamp-window", ["p.seam.shape is one of [round, T]"], False),
        ("bulb-outside-clamp-window", ["not p.seam.shape is round"], False),
        ("bulb-outside-clamp-window", ["p.seam.shape is one of c.grips.shapes"], False),
        ("bulb-outside-clamp-window", ["p.seam.shape is round | p.seam.made is factory"], False),
        ("seam-outside-clamp-window", ["p.seam.shape is one of [T, batten]"], True),
        ("seam-outside-clamp-window", ["p.seam.shape is T | p.seam.shape is batten"], True),
        (
            "seam-outside-clamp-window",
            ["not p.seam.shape is one of [asymmetric, trapezoidal]"],
            True,
        ),
        ("seam-outside-clamp-window", ["not p.seam.shape is asymmetric"], True),
        ("seam-outside-clamp-window", ["not p.seam.shape is round"], False),
        ("seam-outside-clamp-window", ["p.seam.branch is fold or joint"], False),
    ],
)
def test_a_guard_must_say_no_more_words(
    base: Base, rule: str, when: list[str], inside: bool
) -> None:
    said = with_when(base, rule, *when)
    assert (said == []) is inside
    for text in said:
        assert (
            f"rule `{rule}` reads `plane.seam." in text and "is" in text.partition("asks for: ")[2]
        )
