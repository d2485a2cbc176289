"""A third translation, run by an answer-set solver, holds both inference paths.

Every open atom is a choice; heads follow from the clauses as stratified rules. What holds in
every answer set is certain, what holds in some is possible (cautious and brave consequences:
Gelfond and Lifschitz, stable models, 1988).
"""

import random
from collections.abc import Iterable

import pytest

from selector.inference.durable import Engine
from selector.inference.horn import Clause, Literal, Program, _strata
from selector.inference.judge import Judge
from selector.model.quantity import Window
from selector.model.rule import SUBJECTS, Condition, Path
from selector.model.truth import NO, OPEN, YES, Bits

clingo = pytest.importorskip("clingo", reason="the oracle is in the test extra only")


def solve(program: Program, bits: dict[str, Bits]) -> tuple[set[str], set[str]]:
    """Heads that hold in every filling of the open atoms, and heads that hold in some."""
    names = {n: f"x{i}" for i, n in enumerate(sorted({*program.conditions, *program.heads}))}
    lines = []
    for atom in program.conditions:
        bit = bits[atom]
        base = f"{names[atom]}_base"  # a head may also be stated; its clauses add to that
        if bit.surely:
            lines.append(f"{base}.")
        elif bit.possibly:
            lines.append(f"{{ {base} }}.")
        lines.append(f"{names[atom]} :- {base}.")
        lines.append(f"#defined {base}/0.")
    for clause in program.clauses:
        body = ", ".join(("" if x.positive else "not ") + names[x.name] for x in clause.literals)
        lines.append(f"{names[clause.head]} :- {body}." if body else f"{names[clause.head]}.")
    lines += [f"#defined {n}/0.\n#show {n}/0." for n in names.values()]
    back = {v: k for k, v in names.items()}
    found: list[set[str]] = []
    for mode in ("cautious", "brave"):
        control = clingo.Control([f"--enum-mode={mode}", "--warn=none"])
        control.add("base", [], "\n".join(lines))
        control.ground([("base", [])])
        last: set[str] = set()
        with control.solve(yield_=True) as handle:
            for model in handle:
                last = {back[str(s)] for s in model.symbols(shown=True)}
        found.append(last & set(program.heads))
    return found[0], found[1]


def condition(name: str) -> Condition:
    return Condition(Path("plane", name), "within", Window("length", 0, 1))


ATOMS = [f"a{i}" for i in range(6)]
HEADS = [f"h{i}" for i in range(5)]


def random_program(chance: random.Random) -> Program:
    """Clauses in layers: a head rests on atoms and on earlier heads, either sign."""
    raw: list[tuple[str, str, tuple[Literal, ...]]] = []
    for number in range(chance.randint(3, 10)):
        head = chance.choice(HEADS)
        made = {h for _, h, _ in raw}
        earlier = [h for h in HEADS[: HEADS.index(head)] if h in made]
        pool = ATOMS + earlier * 3
        literals = tuple(
            dict.fromkeys(
                Literal(name, chance.random() < 0.6)
                for name in chance.sample(pool, min(len(pool), chance.randint(1, 3)))
            )
        )
        raw.append((f"c{number}", head, literals))
    strata = _strata("test", raw)
    clauses = tuple(Clause(i, h, ls, strata[h]) for i, h, ls in raw)
    conditions = {a: condition(a) for a in ATOMS}
    return Program("test", (), conditions, clauses, max(strata.values()), strata)


def inside(program: Program, bits: dict[str, Bits], heads: dict[str, Bits]) -> Iterable[str]:
    """Heads on which the engine says more than the oracle allows."""
    cautious, brave = solve(program, bits)
    for head, found in heads.items():
        if found.surely and head not in cautious:
            yield f"{head} is surely, and not in every filling"
        if head in brave and not found.possibly:
            yield f"{head} is in some filling, and not possibly"


@pytest.mark.parametrize("seed", range(200))
def test_random_programs(seed: int) -> None:
    chance = random.Random(seed)
    program = random_program(chance)
    bits = {a: chance.choice([YES, NO, OPEN, OPEN]) for a in ATOMS}
    engine = Engine(program)
    try:
        heads, _ = engine.run(bits)
    finally:
        engine.close()
    assert list(inside(program, bits, heads)) == []
    decided = {a: b if b != OPEN else chance.choice([YES, NO]) for a, b in bits.items()}
    engine = Engine(program)
    try:
        heads, _ = engine.run(decided)
    finally:
        engine.close()
    cautious, brave = solve(program, decided)
    assert cautious == brave == {h for h, b in heads.items() if b.surely}
    assert {h for h, b in heads.items() if b.possibly} == brave


def test_the_generator_reaches_what_matters() -> None:
    programs = [random_program(random.Random(seed)) for seed in range(200)]

    def share(sign: bool) -> float:
        hits = [
            any(x.name in HEADS and x.positive == sign for c in p.clauses for x in c.literals)
            for p in programs
        ]
        return sum(hits) / len(hits)

    assert share(True) >= 0.30  # a derived head is used
    assert share(False) >= 0.20  # its negation is used


@pytest.mark.parametrize("kind", SUBJECTS)
def test_the_shipped_rules(judge: Judge, kind: str) -> None:
    program = judge.programs[kind]
    assert program.clauses, "every subject kind has rules to try"
    engine = Engine(program)
    try:
        for seed in range(25):
            chance = random.Random(f"{kind} {seed}")
            bits = {a: chance.choice([YES, NO, OPEN]) for a in program.conditions}
            heads, _ = engine.run(bits)
            assert list(inside(program, bits, heads)) == [], seed
    finally:
        engine.close()
