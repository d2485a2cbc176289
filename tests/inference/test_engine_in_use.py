"""The engine where it is used: many sessions, threads, forked workers, values that hurt."""

import multiprocessing
import resource
from concurrent.futures import ThreadPoolExecutor

import pytest

from selector.inference.durable import Engine
from selector.inference.horn import Clause, Literal, Program
from selector.model.quantity import Window
from selector.model.rule import Condition, Path
from selector.model.truth import NO, OPEN, YES, Bits


def chain(length: int, names: list[str]) -> Program:
    """Heads that follow from each other, the first from all atoms."""
    conditions = {n: Condition(Path("plane", n), "within", Window("length", 0, 1)) for n in names}
    clauses = [Clause("c0", "h0", tuple(Literal(n) for n in names), 1)]
    clauses += [Clause(f"c{i}", f"h{i}", (Literal(f"h{i - 1}"),), 1) for i in range(1, length)]
    return Program("test", (), conditions, tuple(clauses), 1, {f"h{i}": 1 for i in range(length)})


def wide(count: int) -> Program:
    """So many heads, each from an atom of its own and the negation of its neighbour."""
    names = [f"a{i}" for i in range(count)]
    conditions = {n: Condition(Path("plane", n), "within", Window("length", 0, 1)) for n in names}
    clauses = tuple(
        Clause(f"c{i}", f"h{i}", (Literal(names[i]), Literal(names[(i + 1) % count], False)), 1)
        for i in range(count)
    )
    return Program("test", (), conditions, clauses, 1, {f"h{i}": 1 for i in range(count)})


HOSTILE = [
    "",
    " ",
    "a b",
    "ä",
    "日本",
    "a\nb",
    "a\tb",
    'quote "',
    "back\\slash",
    "$and",
    "null",
    "0",
    "1e999",
    "-0",
    "{}",
    "[]",
    "x" * 300,
    "a.b.c",
    "a: b",
    "\u2028",
    "%s",
    "'; drop",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_is_a_name(name: str) -> None:
    engine = Engine(chain(3, [name, "other"]))
    try:
        heads, _ = engine.run({name: YES, "other": YES})
        assert all(b == YES for b in heads.values())
        heads, _ = engine.run({name: NO, "other": YES})
        assert all(b == NO for b in heads.values())
        heads, _ = engine.run({name: OPEN, "other": YES})
        assert all(b == OPEN for b in heads.values())
    finally:
        engine.close()


def expected(count: int, bits: dict[str, Bits]) -> dict[str, Bits]:
    found = {}
    for i in range(count):
        one, other = bits[f"a{i}"], bits[f"a{(i + 1) % count}"].negated()
        found[f"h{i}"] = Bits(one.surely and other.surely, one.possibly and other.possibly)
    return found


@pytest.mark.parametrize("count", [1000, 2000])
def test_many_clauses_in_one_ruleset(count: int) -> None:
    engine = Engine(wide(count))
    try:
        for shift in range(2):
            bits = {f"a{i}": (YES, OPEN, NO)[(i * 7 + shift) % 3] for i in range(count)}
            heads, _ = engine.run(bits)
            assert heads == expected(count, bits)
    finally:
        engine.close()


def once(seed: int) -> bool:
    """A whole life of an engine: compile, run twice, close."""
    engine = Engine(wide(40))
    try:
        bits = {f"a{i}": (YES, OPEN, NO)[(i * seed) % 3] for i in range(40)}
        first, _ = engine.run(bits)
        second, _ = engine.run(bits)
        return first == second == expected(40, bits)
    finally:
        engine.close()


def test_engines_in_threads() -> None:
    with ThreadPoolExecutor(8) as pool:
        assert all(pool.map(once, range(1, 65)))


def test_engines_in_forked_workers() -> None:
    assert once(1)  # an engine has lived in the parent before
    with multiprocessing.get_context("fork").Pool(2) as pool:
        assert all(pool.map(once, range(1, 33)))


def kilobytes() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


@pytest.mark.slow
def test_memory_stays_flat_over_fifty_thousand_sessions() -> None:
    engine = Engine(chain(10, ["p", "q"]))
    try:
        for _ in range(500):
            engine.run({"p": YES, "q": OPEN})
        before = kilobytes()
        for i in range(50_000):
            engine.run({"p": (YES, NO, OPEN)[i % 3], "q": OPEN})
        assert kilobytes() - before < 2_000
    finally:
        engine.close()


@pytest.mark.slow
def test_memory_stays_flat_over_many_rulesets() -> None:
    for seed in range(1, 60):
        assert once(seed)
    before = kilobytes()
    for seed in range(60, 600):
        assert once(seed)
    assert kilobytes() - before < 6_000
