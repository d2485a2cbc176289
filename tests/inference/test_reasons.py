"""All minimal reasons, against every subset of what is known, tried one by one."""

import random
from itertools import combinations

import pytest

from selector.inference.horn import Clause, Literal, Program, _strata
from selector.inference.judge import World, _Algebra
from selector.model.fact import Atom, Fact
from selector.model.quantity import Window
from selector.model.rule import Condition, Path
from selector.model.truth import NO, OPEN, YES, Bits

ATOMS = [f"a{i}" for i in range(6)]
HEADS = [f"h{i}" for i in range(4)]


def random_program(chance: random.Random) -> Program:
    raw: list[tuple[str, str, tuple[Literal, ...]]] = []
    for number in range(chance.randint(2, 9)):
        head = chance.choice(HEADS)
        made = {h for _, h, _ in raw}
        pool = ATOMS + [h for h in HEADS[: HEADS.index(head)] if h in made] * 3
        names = chance.sample(pool, min(len(pool), chance.randint(1, 3)))
        literals = tuple(dict.fromkeys(Literal(n, chance.random() < 0.6) for n in names))
        raw.append((f"c{number}", head, literals))
    strata = _strata("test", raw)
    clauses = tuple(Clause(i, h, ls, strata[h]) for i, h, ls in raw)
    window = Window("length", 0, 1)
    conditions = {a: Condition(Path("plane", a), "within", window) for a in ATOMS}
    return Program("test", (), conditions, clauses, max(strata.values()), strata)


def heads_of(program: Program, atoms: dict[str, Bits]) -> dict[str, Bits]:
    """Two bits of every head by going through the clauses layer by layer."""
    known = dict(atoms)
    for head in sorted(program.heads, key=lambda h: (program.heads[h], h)):
        ways = []
        for clause in program.by_head[head]:
            pairs = [
                known[x.name] if x.positive else known[x.name].negated() for x in clause.literals
            ]
            ways.append((all(p.surely for p in pairs), all(p.possibly for p in pairs)))
        known[head] = Bits(any(w[0] for w in ways), any(w[1] for w in ways))
    return {h: known[h] for h in program.heads}


def brute(
    program: Program, bits: dict[str, Bits], head: str, positive: bool
) -> set[frozenset[str]]:
    """Minimal sets of known atoms that settle a head while all others are open."""
    known = [a for a in ATOMS if bits[a] != OPEN]
    found: list[frozenset[str]] = []
    for size in range(len(known) + 1):
        for chosen in combinations(known, size):
            kept = frozenset(chosen)
            if any(f <= kept for f in found):
                continue
            pair = heads_of(program, {a: bits[a] if a in kept else OPEN for a in ATOMS})[head]
            if pair.surely if positive else not pair.possibly:
                found.append(kept)
    return set(found)


@pytest.mark.parametrize("seed", range(150))
def test_reasons_are_exactly_the_minimal_sets(seed: int) -> None:
    chance = random.Random(seed)
    program = random_program(chance)
    bits = {a: chance.choice([YES, NO, OPEN]) for a in ATOMS}
    facts = {a: (frozenset({Fact(a, "x", "given")}),) for a in ATOMS}
    atoms = {a: Atom(a, bits[a], facts[a], facts[a]) for a in ATOMS}
    world = World({}, atoms, heads_of(program, bits), frozenset())
    algebra = _Algebra(program, world)
    for head in program.heads:
        for positive in (True, False):
            got = {frozenset(f.path for f in reason) for reason in algebra.lit(head, positive)}
            assert got == brute(program, bits, head, positive), (seed, head, positive)


def test_negations_and_chains_are_among_them() -> None:
    programs = [random_program(random.Random(seed)) for seed in range(150)]
    uses = [
        {x.positive for c in p.clauses for x in c.literals if x.name in p.heads} for p in programs
    ]
    assert sum(True in u for u in uses) >= 45
    assert sum(False in u for u in uses) >= 30
