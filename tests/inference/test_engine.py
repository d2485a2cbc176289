"""The engine path against a brute-force reading of the same clauses, on random programs."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.errors import InputError
from selector.inference.durable import Engine, EngineError
from selector.inference.horn import Clause, Literal, Program, _strata
from selector.inference.names import fnv1a, refuse_collisions
from selector.model.quantity import Window
from selector.model.rule import Condition, Path
from selector.model.truth import NO, OPEN, YES, Bits

ATOMS = ["p", "q", "r", "s"]
HEADS = ["h1", "h2", "h3"]


def condition(name: str) -> Condition:
    return Condition(Path("plane", name), "within", Window("length", 0, 1))


@st.composite
def programs(draw: st.DrawFn) -> Program:
    """Clauses whose heads use only earlier heads negatively: always stratified."""
    raw = []
    for i in range(draw(st.integers(1, 7))):
        head = draw(st.sampled_from(HEADS))
        made = {h for _, h, _ in raw}
        earlier = [h for h in HEADS[: HEADS.index(head)] if h in made]
        literals = tuple(
            Literal(name, draw(st.booleans()))
            for name in draw(st.lists(st.sampled_from(ATOMS + earlier), min_size=1, max_size=3))
        )
        raw.append((f"c{i}", head, tuple(dict.fromkeys(literals))))
    strata = _strata("test", raw)
    clauses = tuple(Clause(i, h, ls, strata[h]) for i, h, ls in raw)
    conditions = {a: condition(a) for a in ATOMS}
    return Program("test", (), conditions, clauses, max(strata.values()), strata)


BITS = st.sampled_from([YES, NO, OPEN])


def truth(program: Program, atoms: dict[str, bool]) -> dict[str, bool]:
    """Plain two-valued reading: heads in order, each from the clauses above it."""
    known = dict(atoms)
    for head in HEADS:
        ways = [c for c in program.clauses if c.head == head]
        known[head] = any(all(known[x.name] == x.positive for x in c.literals) for c in ways)
    return known


@settings(max_examples=150)
@given(programs(), st.fixed_dictionaries(dict.fromkeys(ATOMS, BITS)))
def test_every_filling_lies_inside_the_bits(program: Program, bits: dict[str, Bits]) -> None:
    engine = Engine(program)
    try:
        heads, _ = engine.run(bits)
    finally:
        engine.close()
    choices = [[True, False] if b == OPEN else [b.surely] for b in bits.values()]
    for values in product(*choices):
        world = truth(program, dict(zip(bits, values, strict=True)))
        for head, found in heads.items():
            assert found.surely <= world[head] <= found.possibly, (head, values)
    if OPEN not in bits.values():
        assert all(b in (YES, NO) for b in heads.values())


def test_sessions_do_not_remember() -> None:
    clause = Clause("c", "h1", (Literal("p"),), 1)
    program = Program("test", (), {"p": condition("p")}, (clause,), 1, {"h1": 1})
    engine = Engine(program)
    for bits in (YES, NO, OPEN, NO, YES) * 20:
        heads, steps = engine.run({"p": bits})
        assert heads == {"h1": bits}
        assert {mode for _, mode, _ in steps} == set(
            "!?"[: 2 if bits.surely else 0] or "?" * bits.possibly
        )
    engine.close()


def test_one_atom_read_by_many_rules_and_many_names() -> None:
    clauses = tuple(
        Clause(f"c{i}", f"h{i:04}", (Literal("p"), Literal(f"q{i}")), 1) for i in range(900)
    )
    conditions = {n: condition(n) for n in ["p", *(f"q{i}" for i in range(900))]}
    heads = {c.head: 1 for c in clauses}
    engine = Engine(Program("test", (), conditions, clauses, 1, heads))
    bits = {n: (YES if n == "p" or int(n[1:]) % 3 == 0 else NO) for n in conditions}
    found, _ = engine.run(bits)
    assert sum(b.surely for b in found.values()) == 300
    engine.close()
    with pytest.raises(EngineError, match="closed"):
        engine.run(bits)


def test_a_circle_through_a_negation_is_refused() -> None:
    raw = [("a", "h1", (Literal("h2", False),)), ("b", "h2", (Literal("h1"),))]
    with pytest.raises(InputError, match="circle"):
        _strata("test", raw)


def test_a_positive_circle_is_refused() -> None:
    raw = [("a", "h1", (Literal("h2"), Literal("p"))), ("b", "h2", (Literal("h1"),))]
    with pytest.raises(InputError, match="rest on themselves: h1"):
        _strata("test", raw)


def test_names_with_one_hash_are_refused() -> None:
    # FNV-1a test vectors: Noll, http://www.isthe.com/chongo/tech/comp/fnv/ ("a" and "foobar")
    assert fnv1a("a") == 0xE40C292C
    assert fnv1a("foobar") == 0xBF9CF968
    # A published pair: "costarring" and "liquid" have one 32-bit FNV-1a value.
    with pytest.raises(InputError, match="same hash"):
        refuse_collisions(["costarring", "hb", "liquid"])
    refuse_collisions(["a", "b", "a"])
