"""Random rules and random knowledge, judged by both paths and by a solver that reads the rules.

The translation here starts from parsed rules and from values, not from clauses: every choice takes
one of its words, every measure one value of its interval, and a rule means what its file says.
"""

import random
from dataclasses import dataclass, replace

import pytest

from selector.facts.view import Binding
from selector.inference.judge import Judge, Judgement, Subject
from selector.knowledge.base import Base
from selector.model.fact import TRIVIAL, Fact, Reading
from selector.model.quantity import Candidates, Measured, Place
from selector.model.rule import Condition, Limit, Path, Quantity, Rule
from selector.model.truth import Word

clingo = pytest.importorskip("clingo", reason="the oracle is in the test extra only")

SPLIT = {"plane.s1": ("a", "b", "c"), "plane.s2": ("x", "y")}
CHOICE = {"plane.c1": ("u", "v", "w"), "plane.c2": ("k", "l")}
MEASURE = ("plane.m1", "plane.m2")
DERIVED = "plane.d1"
FAST, ALL = 200, 2000


@dataclass(frozen=True)
class World:
    """Random rules, and what is known of every quantity."""

    rules: tuple[Rule, ...]
    readings: dict[str, Reading]


def path_of(text: str) -> Path:
    role, _, name = text.partition(".")
    return Path(role, name)


def quantities() -> dict[str, Quantity]:
    found = {}
    for text, words in {**SPLIT, **CHOICE}.items():
        split = text in SPLIT
        found[text] = Quantity(path_of(text), "choice", text, "", words=words, split=split)
    for text in MEASURE:
        found[text] = Quantity(path_of(text), "length", text, "")
    found[DERIVED] = Quantity(
        path_of(DERIVED), "choice", "", "", words=("on", "off"), derived=True, default="off"
    )
    return found


def condition(chance: random.Random, derived: bool) -> Condition:
    negated = chance.random() < 0.35
    if derived and chance.random() < 0.45:
        return Condition(path_of(DERIVED), "is", "on", negated)
    kind = chance.random()
    if kind < 0.45:
        text = chance.choice(list(SPLIT))
        return Condition(path_of(text), "is", chance.choice(SPLIT[text]), negated)
    if kind < 0.7:
        text = chance.choice(list(CHOICE))
        words = tuple(sorted(chance.sample(CHOICE[text], chance.randint(1, 2))))
        return Condition(path_of(text), "is one of", words, negated)
    limit = Limit("length", chance.choice([2, 4, 6, 8]))
    operator = chance.choice(["at most", "at least"])
    return Condition(path_of(chance.choice(MEASURE)), operator, limit, negated)


def rule(base: Base, chance: random.Random, number: int, kind: str, earlier: list[str]) -> Rule:
    like = base.rule("seam-outside-clamp-window")
    derived = kind != "classify"
    when = tuple(
        tuple(condition(chance, derived) for _ in range(chance.choice([1, 1, 2])))
        for _ in range(chance.randint(0 if kind == "require" else 1, 2))
    )
    require = tuple(condition(chance, derived) for _ in range(chance.randint(1, 2)))
    excepts = (chance.choice(earlier),) if earlier and chance.random() < 0.3 else ()
    return replace(
        like,
        id=f"r{number}",
        message="",
        help="",
        kind=kind,
        subject="plane",
        when=when,
        require=require if kind == "require" else (),
        then=Condition(path_of(DERIVED), "is", "on") if kind == "classify" else None,
        otherwise=chance.choice([Word.OBSERVE, Word.FORBIDDEN]) if kind == "require" else None,
        proves=("clip record",) if kind in ("support", "require") else (),
        excepts=excepts if kind != "classify" else (),
    )


def world(base: Base, seed: int) -> World:
    chance = random.Random(seed)
    rules: list[Rule] = []
    for number in range(chance.randint(3, 7)):
        kind = chance.choice(["classify", "forbid", "engineer", "require", "require", "support"])
        earlier = [r.id for r in rules if r.kind != "classify"]
        rules.append(rule(base, chance, number, kind, earlier))
    readings: dict[str, Reading] = {}
    for text, words in {**SPLIT, **CHOICE}.items():
        left = chance.sample(words, chance.choice([1, 1, 2, len(words)]))
        readings[text] = Reading(Candidates(frozenset(left)), because(text), text)
    for text in MEASURE:
        low = chance.randint(0, 9)
        high = low + chance.choice([0, 0, 1, 3])
        readings[text] = Reading(Measured("length", (Place(low, high),)), because(text), text)
    readings[DERIVED] = Reading(Candidates(frozenset({"off"})), TRIVIAL, DERIVED)
    return World(tuple(rules), readings)


def because(text: str) -> tuple[frozenset[Fact], ...]:
    return (frozenset({Fact(text, "random", "given")}),)


# --- the third translation ---------------------------------------------------------------


def holds(c: Condition) -> str:
    """Body literals of a condition, its negation included."""
    path = str(c.left)
    if path == DERIVED:
        text = "derived" if c.right == "on" else "#true"
    elif c.operator in ("is", "is one of"):
        words = (
            c.right if isinstance(c.right, tuple) and not isinstance(c.right, Path) else (c.right,)
        )
        inside = "; ".join(f'"{w}"' for w in words)
        text = f'1 {{ w("{path}", ({inside})) }}'
    else:
        assert isinstance(c.right, Limit)
        sign = "<=" if c.operator == "at most" else ">="
        text = f'1 {{ v("{path}", X) : X {sign} {c.right.value} }}'
    return f"not {text}" if c.negated else text


def program_of(case: World) -> str:
    lines = []
    for path, reading in case.readings.items():
        if path == DERIVED:
            continue
        if isinstance(reading.value, Candidates):
            pool = "; ".join(f'w("{path}", "{w}")' for w in sorted(reading.value.left))
        else:
            assert isinstance(reading.value, Measured)
            [place] = reading.value.places
            pool = "; ".join(f'v("{path}", {x})' for x in range(place.low, place.high + 1))
        lines.append(f"1 {{ {pool} }} 1.")
    number = 0
    for r in case.rules:
        groups = []
        for group in r.when:
            number += 1
            lines += [f"any({number}) :- {holds(c)}." for c in group]
            groups.append(f"any({number})")
        applies = ", ".join(groups) or "#true"
        lines.append(f"applies({r.id}) :- {applies}.")
        free = ", ".join(f"not fires({o.id})" for o in case.rules if r.id in o.excepts)
        guard = f"applies({r.id})" + (f", {free}" if free else "")
        if r.kind == "require":
            for c in r.require:
                number += 1
                lines.append(f"met({number}) :- {holds(c)}.")
                lines.append(f"fires({r.id}) :- {guard}, not met({number}).")
            first = number - len(r.require) + 1
            met = ", ".join(f"met({i})" for i in range(first, number + 1))
            lines.append(f"proven :- applies({r.id}), {met}.")
        else:
            lines.append(f"fires({r.id}) :- {guard}.")
        if r.kind == "support":
            lines.append(f"proven :- fires({r.id}).")
        if r.then is not None:
            lines.append(f"derived :- fires({r.id}).")
        if r.word is not None:
            lines.append(f"word({r.word.text}) :- fires({r.id}).")
    lines += ["#show fires/1.", "#show word/1.", "#show proven/0."]
    return "\n".join(lines)


def solve(text: str) -> tuple[set[str], set[str]]:
    found = []
    for mode in ("cautious", "brave"):
        control = clingo.Control([f"--enum-mode={mode}", "--warn=none"])
        control.add("base", [], text)
        control.ground([("base", [])])
        last: set[str] = set()
        with control.solve(yield_=True) as handle:
            for model in handle:
                last = {str(s) for s in model.symbols(shown=True)}
        found.append(last)
    return found[0], found[1]


def judged(base: Base, case: World) -> Judgement:
    vocabulary = replace(base.vocabulary, quantities=quantities())
    judge = Judge(replace(base, vocabulary=vocabulary, rules=case.rules))
    try:
        return judge.judge(Subject("plane", "x", Binding()), None, given=case.readings)
    finally:
        judge.close()


def name_of(head: str) -> str:
    kind, _, name = head.partition(":")
    return {"rule": f"fires({name})", "word": f"word({name})", "need": "proven"}[kind]


def check(base: Base, seed: int) -> None:
    case = world(base, seed)
    found = judged(base, case)
    assert found.withheld == "", seed
    cautious, brave = solve(program_of(case))
    heads = [h for h in found.program.heads if h.partition(":")[0] in ("rule", "word", "need")]
    only_split_is_open = all(
        _decided(reading) for path, reading in case.readings.items() if path not in SPLIT
    )
    for head in heads:
        bits, name = found.bits(head), name_of(head)
        assert not bits.surely or name in cautious, (seed, head)
        assert name not in brave or bits.possibly, (seed, head)
        if only_split_is_open:
            assert bits.surely == (name in cautious), (seed, head)
            assert bits.possibly == (name in brave), (seed, head)


def _decided(reading: Reading) -> bool:
    value = reading.value
    if isinstance(value, Candidates):
        return len(value.left) == 1
    return isinstance(value, Measured) and all(p.low == p.high for p in value.places)


@pytest.mark.parametrize("part", range(4))
def test_random_bases(base: Base, part: int) -> None:
    for seed in range(part, FAST, 4):
        check(base, seed)


@pytest.mark.slow
@pytest.mark.parametrize("part", range(8))
def test_more_random_bases(base: Base, part: int) -> None:
    for seed in range(FAST + part, ALL, 8):
        check(base, seed)


def test_the_generator_reaches_what_matters(base: Base) -> None:
    cases = [world(base, seed) for seed in range(FAST)]

    def share(what: list[bool]) -> float:
        return sum(what) / len(what)

    def uses(case: World, negated: bool) -> bool:
        derives = any(r.kind == "classify" for r in case.rules)
        conditions = [c for r in case.rules for c in r.conditions]
        return derives and any(str(c.left) == DERIVED and c.negated == negated for c in conditions)

    def splits(case: World) -> bool:
        read = {str(c.left) for r in case.rules for c in r.conditions}
        return any(not _decided(case.readings[p]) for p in SPLIT if p in read)

    assert share([uses(c, False) for c in cases]) >= 0.30
    assert share([uses(c, True) for c in cases]) >= 0.20
    assert share([splits(c) for c in cases]) >= 0.20
    assert share([any(r.excepts for r in c.rules) for c in cases]) >= 0.10
