"""Mutation of the rules: every small change is noticed by a case, or listed with a reason."""

from collections import Counter
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.maintenance.mutants import (
    Mutant,
    cases_of,
    first_problem,
    killer,
    moved,
    mutants,
    slice_of,
    step_of,
)
from selector.model.quantity import Window
from selector.model.rule import Limit
from tests.conftest import ROOT

SURVIVORS = ROOT / "tests" / "kb" / "survivors.yaml"


@cache
def listed() -> dict[str, str]:
    """survivors.yaml: mutant -> why no case notices it."""
    rows: Any = read_string(SURVIVORS.read_text(encoding="utf-8"), "survivors.yaml").data
    found = {row["mutant"]: row["because"] for row in rows}
    assert len(found) == len(rows), "a mutant is listed twice"
    return found


@pytest.fixture(scope="module")
def survivors(base: Base) -> dict[str, Mutant]:
    """Mutants that no case notices."""
    made = mutants(base)
    alive = {m.id: m for m in made if killer(base, m) is None}
    total, left = Counter(m.sort for m in made), Counter(m.sort for m in alive.values())
    lines = [f"{sort} {total[sort] - left[sort]} of {total[sort]}" for sort in sorted(total)]
    print(f"cases notice {len(made) - len(alive)} of {len(made)} mutants:", ", ".join(lines))
    return alive


def test_unchanged_the_slices_pass_all_their_cases(base: Base) -> None:
    for rule in base.rules:
        assert first_problem(slice_of(base, [rule.id]), cases_of(base, [rule.id])) is None


def test_every_mutant_is_noticed_by_a_case_or_listed(
    base: Base, survivors: dict[str, Mutant]
) -> None:
    assert sorted(survivors.keys() - listed().keys()) == [], "add a case, or list it with a reason"
    assert sorted(listed().keys() - survivors.keys()) == [], "no survivor: take it off the list"
    assert len(mutants(base)) > 100 * len(survivors)
    assert all(len(because) > 30 for because in listed().values())


def test_a_limit_moves_by_one_of_its_last_printed_digit() -> None:
    assert step_of(25_000, "length") == 1_000  # 25 mm
    assert step_of(25_400, "length") == 100  # 25.4 mm
    assert step_of(2_500_000, "length") == 100_000  # 2.5 m
    assert step_of(450_000, "force") == 10_000  # 0.45 kN
    assert step_of(30_000, "share") == 10_000  # 3 %
    assert step_of(2, "count") == 1
    assert dict(moved(Limit("count", 2))) == {
        "limit up": Limit("count", 3),
        "limit down": Limit("count", 1),
    }
    window = Window("length", 22_000, 30_000)
    assert {(w.low, w.high) for _, w in moved(window) if isinstance(w, Window)} == {
        (23_000, 30_000),
        (21_000, 30_000),
        (22_000, 31_000),
        (22_000, 29_000),
    }
    assert list(moved(Window("length", None, None))) == []
    assert list(moved("steel")) == []


def test_every_sort_of_change_is_made_and_changes_one_rule(base: Base) -> None:
    made = mutants(base)
    assert {m.sort for m in made} == {
        *("drop", "negate", "limit", "list", "places", "any to all", "all to any"),
        *("word", "except", "proves", "then"),
    }
    assert len({m.id for m in made}) == len(made)
    for mutant in made:
        rule = base.rule(mutant.rule.id)
        assert mutant.rule != rule
        assert mutant.id.startswith(f"{rule.id} / ")


def test_a_rule_without_its_cases_lets_every_mutant_live(base: Base) -> None:
    bare = replace(base, cases=())
    assert {killer(bare, m) for m in mutants(base)[:20]} == {None}
