"""Conditions: text to parts, and a typo to a message that helps."""

import pytest

from selector.knowledge.conditions import parse
from selector.model.quantity import Window
from selector.model.rule import Limit, Path

ROLES = {"p": "plane", "c": "clamp", "t": "trade"}


def test_the_forms() -> None:
    one = parse("not p.seam.height within c.grips.height", ROLES, 3)
    assert (one.left, one.operator, one.right, one.negated, one.places) == (
        Path("plane", "seam.height"), "within", Path("clamp", "grips.height"), True, 3,
    )  # fmt: skip
    assert parse("p.seam.shape is one of [double-lock, T]", ROLES).right == ("double-lock", "T")
    assert parse("p.seam.height within 22 to 30 mm", ROLES).right == Window("length", 22000, 30000)
    assert parse("p.pitch at most 10 deg", ROLES).right == Limit("angle", 10000)
    assert parse("p.seam.sightings at least 2", ROLES).right == Limit("count", 2)
    assert parse("c.evidence covered by clamp on seam", ROLES).right == "clamp on seam"
    assert parse("c.insert present", ROLES).right is None


def test_equal_conditions_have_one_text() -> None:
    one = parse("p.seam.shape is one of [T, round]", ROLES)
    other = parse("not  p.seam.shape is one of [round, T]", {**ROLES})
    assert one.text == other.text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("p.seam.height inside c.grips.height", "within"),
        ("q.seam.height within c.grips.height", "no role"),
        ("p.seam.height within", "needs a value"),
        ("c.insert present yes", "takes no value"),
        ("p.seam.shape is one of double-lock", "list in brackets"),
        ("p.seam.shape is one of []", "never hold"),
        ("p.pitch at most 10", "count"),
        ("p.pitch at most ten deg", "expected"),
        (7, "a condition is a text"),
    ],
)
def test_a_typo_is_explained(text: object, said: str) -> None:
    if said == "count":  # a bare number is a count; the path check refuses it later
        assert parse(text, ROLES).right == Limit("count", 10)
        return
    with pytest.raises(ValueError, match=said):
        parse(text, ROLES)
