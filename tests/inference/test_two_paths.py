"""The two inference paths agree on the shipped rules, and knowing less never excludes a word."""

import random
from collections.abc import Iterator

import pytest

from selector.facts.view import Binding, type_of
from selector.inference.judge import Judge, Judgement, Subject
from selector.knowledge.base import Base
from selector.model.fact import NO_REASON, Cover, Fact, Reading
from selector.model.quantity import (
    Candidates,
    Filled,
    Measured,
    Place,
    Ratio,
    Text,
    Unknown,
    Value,
    Window,
)
from selector.model.rule import SUBJECTS, Condition, Path
from selector.model.truth import NO, OPEN, YES, Word

TRIES = 40


def paths_of(judge: Judge, kind: str) -> list[str]:
    """Every path that the rules of a subject kind read."""
    found: set[str] = set()
    for condition in judge.programs[kind].conditions.values():
        if condition.operator == "covered by":
            found.add(f"{condition.left} {condition.right}")
            continue
        found.add(str(condition.left))
        if isinstance(condition.right, Path):
            found.add(str(condition.right))
    return sorted(p for p in found if not p.startswith("trade."))


def words_of(base: Base, conditions: list[Condition], path: str) -> list[str]:
    """Words that a choice may take: the vocabulary's, or those that rules compare it with."""
    quantity = base.vocabulary.quantities.get(path)
    if quantity is not None:
        return list(quantity.words)
    words: set[str] = {"another word"}
    for c in conditions:
        if path in (str(c.left), str(c.right)):
            right = c.right
            if isinstance(right, str) and not isinstance(right, Path):
                words.add(right)
            elif isinstance(right, tuple) and not isinstance(right, Path):
                words |= set(right)
    return sorted(words)


def value(base: Base, judge: Judge, kind: str, path: str, chance: random.Random) -> Value | Cover:
    """A random value of the type of a path, around the limits that matter."""
    of = type_of(base, path)
    fact = frozenset({Fact(path, "random", "given")})
    if of == "choice":
        words = words_of(base, list(judge.programs[kind].conditions.values()), path)
        return Candidates(
            frozenset(chance.sample(words, min(len(words), chance.choice([1, 1, 1, 2, 3]))))
        )
    if of == "filled":
        return Filled(chance.choice([None, "a part"]))
    if of == "ratio":
        low = chance.choice([0.5, 0.9, 1.0, 1.1])
        return Ratio(low, low + chance.choice([0.0, 0.2]))
    if of == "cover":
        bits = chance.choice([YES, NO, OPEN])
        return Cover(bits, (fact,) if bits.surely else (), (fact,) if not bits.possibly else ())
    if of == "text":
        return Text("words")
    if of == "window":
        low = chance.choice([20_000, 22_000, 30_000])
        return Window("length", low, low + chance.choice([0, 5_000, 9_000]))
    middle = chance.choice([0, 1, 5_000, 10_000, 22_000, 25_000, 95_000, 500_000, 1_000_000])
    half = chance.choice([0, 500, 20_000])
    places = tuple(
        Place(max(0, middle + i * 700 - half), middle + i * 700 + half)
        for i in range(chance.choice([1, 2, 3]))
    )
    return Measured(of, places)


def readings(base: Base, judge: Judge, kind: str, chance: random.Random) -> dict[str, Reading]:
    found = {}
    for path in paths_of(judge, kind):
        if chance.random() < 0.3:
            found[path] = Reading(Unknown("not asked"), NO_REASON, path, "random")
        else:
            because = (frozenset({Fact(path, "random", "given")}),)
            given = value(base, judge, kind, path, chance)
            known = not (isinstance(given, Cover) and given.bits == OPEN)
            found[path] = Reading(given, because if known else NO_REASON, path, "random")
    return found


def judged(judge: Judge, kind: str, given: dict[str, Reading]) -> Judgement:
    return judge.judge(Subject(kind, "random", Binding()), None, given=given)


def outcomes(judgement: Judgement) -> Iterator[tuple[str, str]]:
    for rule in judgement.program.rules:
        yield rule.id, judgement.outcome(rule)


@pytest.mark.parametrize("kind", SUBJECTS)
def test_both_paths_give_all_outcomes_alike(base: Base, judge: Judge, kind: str) -> None:
    assert judge.programs[kind].rules, "every subject kind has rules to try"
    seen: set[tuple[str, str]] = set()
    for seed in range(TRIES):
        chance = random.Random(f"{kind} {seed}")
        found = judged(judge, kind, readings(base, judge, kind, chance))
        assert found.withheld == "", f"{kind}, seed {seed}"
        seen |= set(outcomes(found))
    fired = {rule for rule, outcome in seen if outcome == "fires"}
    conditional = {r.id for r in judge.programs[kind].rules if r.conditions}
    assert len(fired & conditional) * 3 >= len(conditional), "too few rules ever fire here"


@pytest.mark.parametrize("kind", ["plane", "part-on-plane", "contact", "joint", "stack", "job"])
def test_knowing_less_keeps_every_word_possible(base: Base, judge: Judge, kind: str) -> None:
    for seed in range(TRIES):
        chance = random.Random(f"less {kind} {seed}")
        given = readings(base, judge, kind, chance)
        before = judged(judge, kind, given)
        for path in chance.sample(sorted(given), min(3, len(given))):
            less = {**given, path: Reading(Unknown("not asked"), NO_REASON, path, "random")}
            after = judged(judge, kind, less)
            for rule in before.program.rules:
                if any(c.operator == "known" for c in rule.conditions):
                    continue  # such a rule fires because something is not known
                was, now = before.fires(rule), after.fires(rule)
                assert now.possibly >= was.possibly, f"{rule.id} without {path}, seed {seed}"
                assert now.surely <= was.surely, f"{rule.id} without {path}, seed {seed}"
            assert all(
                after.bits(f"word:{w.text}").possibly >= before.bits(f"word:{w.text}").possibly
                for w in (Word.ENGINEER, Word.FORBIDDEN)
            )
