"""A program too large for one ruleset, shared out among several: the same answer."""

import random

import pytest

from selector.errors import InputError
from selector.inference.durable import Engine
from selector.inference.horn import Clause, Literal, Program, _strata
from selector.inference.rulesets import Rulesets, split
from selector.model.quantity import Window
from selector.model.rule import Condition, Path
from selector.model.truth import NO, OPEN, YES, Bits

ATOMS = [f"a{i}" for i in range(8)]
HEADS = [f"h{i}" for i in range(9)]


def program_of(raw: list[tuple[str, str, tuple[Literal, ...]]], atoms: list[str]) -> Program:
    strata = _strata("test", raw)
    clauses = tuple(Clause(i, h, ls, strata[h]) for i, h, ls in raw)
    conditions = {a: Condition(Path("plane", a), "within", Window("length", 0, 1)) for a in atoms}
    return Program("test", (), conditions, clauses, max(strata.values()), strata)


def random_program(chance: random.Random) -> Program:
    raw: list[tuple[str, str, tuple[Literal, ...]]] = []
    for number in range(chance.randint(8, 24)):
        head = chance.choice(HEADS)
        made = {h for _, h, _ in raw}
        pool = ATOMS + [h for h in HEADS[: HEADS.index(head)] if h in made] * 2
        names = chance.sample(pool, chance.randint(1, 3))
        literals = tuple(dict.fromkeys(Literal(n, chance.random() < 0.6) for n in names))
        raw.append((f"c{number}", head, literals))
    return program_of(raw, ATOMS)


@pytest.mark.parametrize("seed", range(40))
def test_pieces_answer_like_the_whole(seed: int) -> None:
    chance = random.Random(seed)
    program = random_program(chance)
    most = max(len(c) for c in program.by_head.values())
    bits = {a: chance.choice([YES, NO, OPEN]) for a in ATOMS}
    whole, parts = Engine(program), Rulesets(program, most)
    try:
        assert len(parts.programs) > 1
        assert all(len(p.clauses) <= most for p in parts.programs)
        assert sum(len(p.clauses) for p in parts.programs) == len(program.clauses)
        assert parts.run(bits)[0] == whole.run(bits)[0]
    finally:
        whole.close()
        parts.close()


def large(count: int) -> Program:
    """Two layers; every second clause of the first reads one common atom."""
    names = [f"a{i}" for i in range(count // 2)]
    raw: list[tuple[str, str, tuple[Literal, ...]]] = []
    for i, name in enumerate(names):
        common = (Literal("common"),) if i % 2 else ()
        raw.append((f"c{i}", f"h{i}", (Literal(name), *common)))
        raw.append((f"d{i}", f"g{i}", (Literal(f"h{i}", False), Literal(name))))
    return program_of(raw, [*names, "common"])


@pytest.mark.parametrize("count", [3000, 6000])
def test_thousands_of_clauses_in_one_subject_kind(count: int) -> None:
    program = large(count)
    rulesets = Rulesets(program)
    try:
        assert len(rulesets.programs) > 1
        for shift in range(2):
            bits = {
                a: (YES, OPEN, NO)[(i * 7 + shift) % 3] for i, a in enumerate(program.conditions)
            }
            heads, _ = rulesets.run(bits)
            for i in range(count // 2):
                one = bits[f"a{i}"]
                common = bits["common"] if i % 2 else YES
                head = Bits(one.surely and common.surely, one.possibly and common.possibly)
                back = head.negated()
                below = Bits(back.surely and one.surely, back.possibly and one.possibly)
                assert heads[f"h{i}"] == head
                assert heads[f"g{i}"] == below
    finally:
        rulesets.close()


def test_one_head_with_too_many_clauses_is_refused() -> None:
    raw: list[tuple[str, str, tuple[Literal, ...]]] = [
        (f"c{i}", "h", (Literal(f"a{i}"),)) for i in range(12)
    ]
    with pytest.raises(InputError, match="12 clauses give `h`; one ruleset takes 10"):
        split(program_of(raw, [f"a{i}" for i in range(12)]), 10)
