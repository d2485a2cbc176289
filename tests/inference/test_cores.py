"""Every core that interfaces allow is walked, and none besides: against brute force."""

import random
from itertools import product

import pytest

from selector.inference.cores import CLAMP, Graph, Shape, Walk
from selector.knowledge.base import Base, Part
from selector.model.stack import Core

Slots = tuple[str | None, ...]


def brute(parts: list[Part], clamp: Part, wanted: Shape, apart: set[tuple[str, str]]) -> set[Slots]:
    """All fillings of the slots above a clamp whose interfaces meet, tried one by one."""
    by_slot = {s: [p for p in parts if p.slot == s] for s in {p.slot for p in parts}}

    def some(slot: str, needed: bool | None = None) -> list[Part | None]:
        found: list[Part | None] = list(by_slot.get(slot, []))
        return found if needed else [None] if needed is False else [None, *found]

    tops = {i for p in by_slot.get("module_clamp", []) for i in p.takes}
    found: set[Slots] = set()
    for one, two, bolts, rail, frame, cross, upper in product(
        some("adapter"),
        some("adapter"),
        some("bolts"),
        some("rail"),
        some("frame", wanted.framed),
        some("cross") if wanted.crossed else some("cross", False),
        some("rail"),
    ):
        if two and not one:
            continue
        if (frame or cross) and not rail:
            continue
        if bool(cross) != bool(upper):
            continue
        offered, lower, meets = clamp.interface, clamp, True
        for part in (one, two, bolts, rail, frame, cross, upper):
            if part is None:
                continue
            meets = meets and offered in part.takes and part.interface is not None
            if part.slot != "bolts":
                meets = meets and (lower.id, part.id) not in apart
                lower = part
            offered = part.interface
        last_is_bolts = bolts is not None and not rail
        if meets and offered in tops and not last_is_bolts:
            found.add(
                tuple(p.id if p else None for p in (one, two, bolts, rail, frame, cross, upper))
            )
    return found


def slots(core: Core) -> Slots:
    adapters = (*core.adapters, None, None)[:2]
    return (*adapters, core.bolts, core.rail, core.frame, core.cross, core.upper_rail)


@pytest.mark.parametrize("catalogue", ["demo", "cases"])
@pytest.mark.parametrize("framed", [False, True])
@pytest.mark.parametrize("crossed", [False, True])
def test_walk_equals_brute_force(base: Base, catalogue: str, framed: bool, crossed: bool) -> None:
    parts = list(base.parts_of((catalogue,)))
    graph = Graph(parts)
    wanted = Shape(framed, crossed)
    total = 0
    for clamp in (p for p in parts if p.slot == "clamp"):
        walked = [slots(c) for c in graph.cores(clamp, None, None, wanted, lambda *_: True)]
        assert len(walked) == len(set(walked)), "no core is walked twice"
        assert set(walked) == brute(parts, clamp, wanted, set())
        total += len(walked)
    assert total > 0


@pytest.mark.parametrize("seed", range(10))
def test_a_joint_that_dies_takes_its_cores_and_no_other(base: Base, seed: int) -> None:
    chance = random.Random(seed)
    parts = list(base.parts_of(("demo",)))
    graph = Graph(parts)
    carriers = [p.id for p in parts if p.slot in ("clamp", "adapter", "rail", "cross", "frame")]
    apart = {(chance.choice(carriers), chance.choice(carriers)) for _ in range(40)}
    wanted = Shape(framed=chance.random() < 0.3, crossed=chance.random() < 0.5)
    for clamp in (p for p in parts if p.slot == "clamp"):
        walked = graph.cores(
            clamp, None, None, wanted, lambda lower, _, upper: (lower, upper) not in apart
        )
        assert {slots(c) for c in walked} == brute(parts, clamp, wanted, apart)


def test_the_graph_is_layered_and_without_circles(base: Base) -> None:
    import networkx as nx

    graph = Graph(list(base.parts_of(("demo", "cases")))).graph
    assert nx.is_directed_acyclic_graph(graph)
    assert all(b[1] in (a[1], a[1] + 1) for a, b in graph.edges)


def test_equal_interfaces_of_two_catalogues_do_not_meet(base: Base) -> None:
    graph = Graph(list(base.parts_of(("demo", "cases"))))
    for clamp in (p for p in graph.parts.values() if p.slot == "clamp"):
        for core in graph.cores(clamp, None, None, Shape(False, False), lambda *_: True):
            assert len({p.partition("/")[0] for p in core.parts}) == 1


@pytest.mark.parametrize("seed", range(6))
def test_one_by_one_is_the_same_in_the_same_order(base: Base, seed: int) -> None:
    chance = random.Random(f"each {seed}")
    parts = list(base.parts_of(("demo",)))
    graph, wanted = Graph(parts), Shape(framed=False, crossed=seed % 2 == 0)
    apart = {(chance.choice(parts).id, chance.choice(parts).id) for _ in range(400)}

    def stands(lower: str, _bolts: str | None, upper: str) -> bool:
        return (lower, upper) not in apart

    one_by_one = Walk(graph, wanted, stands)
    for clamp in (p.id for p in parts if p.slot == "clamp"):
        every = Walk(graph, wanted, stands).above(CLAMP, clamp)
        half = one_by_one.each(CLAMP, clamp)
        assert [next(half) for _ in every[: len(every) // 2]] == every[: len(every) // 2]
        assert list(one_by_one.each(CLAMP, clamp)) == every
        assert list(one_by_one.each(CLAMP, clamp)) == every  # as it was kept
        assert one_by_one.number(CLAMP, clamp) == len(every)


def test_the_first_core_asks_for_no_joint_beyond_it(base: Base) -> None:
    parts = list(base.parts_of(("demo",)))
    graph, wanted = Graph(parts), Shape(False, False)
    asked: list[str] = []

    def stands(_lower: str, _bolts: str | None, upper: str) -> bool:
        asked.append(upper)
        return True

    sizes = {
        p.id: len(Walk(graph, wanted, stands).above(CLAMP, p.id))
        for p in parts
        if p.slot == "clamp"
    }
    clamp = max(sizes, key=lambda c: (sizes[c], c))
    asked.clear()
    core = next(graph.cores(graph.parts[clamp], None, None, wanted, stands))
    assert set(asked) <= set(core.parts)
