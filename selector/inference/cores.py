"""The compatibility graph: interfaces in layers, parts as the steps between them.

Nodes are (layer, interface) and (layer, part); a layer that may stay empty has an edge past it.
Layers make the graph acyclic; stacks are walks over its adjacency, bottom up. A walk judges each
joint once and keeps what stands above it, so that cores which end alike share their ends.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from selector.knowledge.base import Part
from selector.model.stack import Core

LAYERS = (
    "adapter",
    "adapter",  # only above a first one
    "bolts",
    "rail",
    "frame",
    "cross",  # carries the upper layer
    "rail",  # the upper one
)
CLAMP, FIRST, SECOND, BOLTS, RAIL, FRAME, CROSS, UPPER, TOP = range(-1, len(LAYERS) + 1)
Node = tuple[str, int, str]
Ids = tuple[str | None, ...]  # a part or nothing for each layer
Pair = tuple[str, str | None, str]  # lower, bolts, upper
Place = str | tuple[str, str]  # the part that carries, and bolts on it
Step = Callable[[str, str | None, str], bool]  # lower, bolts, upper: may this joint stand?


@dataclass(frozen=True)
class Shape:
    """Which upper layers an array asks for."""

    framed: bool
    crossed: bool

    @cached_property
    def after(self) -> dict[int, tuple[int, ...]]:
        """Layers that may come next above each, the highest first."""
        top = () if self.framed else (TOP,)
        cross = (CROSS,) if self.crossed else ()
        return {
            CLAMP: (*top, RAIL, BOLTS, FIRST),
            FIRST: (*top, RAIL, BOLTS, SECOND),
            SECOND: (*top, RAIL, BOLTS),
            BOLTS: (RAIL,),
            RAIL: (FRAME,) if self.framed else (TOP, *cross),
            FRAME: (TOP, *cross),
            CROSS: (UPPER,),
            UPPER: (TOP,),
        }


class Ways(NamedTuple):
    """Where the parts lead that take one interface above one layer."""

    ends: list[Ids]  # nothing more; a module clamp takes the interface
    last: list[tuple[str, Ids | None]]  # parts that end a core; None where no module clamp takes it
    others: list[tuple[int, str, Ids]]  # layer, part, and what it fills


class Graph:
    """Built once from the parts of the catalogues in use."""

    def __init__(self, parts: list[Part]):
        import networkx as nx

        graph: nx.DiGraph[Node] = nx.DiGraph()
        self.parts = {p.id: p for p in parts}
        self.rails = sorted(p.id for p in parts if p.slot == "rail")
        self.offers = {p.id: p.interface or "" for p in parts}
        interfaces = sorted({p.interface for p in parts if p.interface})
        for layer, slot in enumerate(LAYERS):
            for name in interfaces:
                graph.add_edge(("interface", layer, name), ("interface", layer + 1, name))
            for part in (p for p in parts if p.slot == slot):
                node: Node = ("part", layer, part.id)
                graph.add_edge(node, ("interface", layer + 1, self.offers[part.id]))
                graph.add_edges_from((("interface", layer, name), node) for name in part.takes)
        self.graph = graph
        self._adjacent = dict(graph.adjacency())
        self._ways: dict[Shape, dict[int, dict[str, Ways]]] = {}
        self.module_clamps: dict[str, list[Part]] = {}
        self.makers: dict[tuple[str, str], list[tuple[str, str]]] = {}  # slot, offer: id, take
        self.bridges: dict[tuple[str, str], list[str]] = {}  # take, offer: adapters
        self.listed: dict[str, list[Part]] = {}  # clamp: parts listed for it
        self._rails_on: dict[str, set[str]] = {}
        for part in parts:
            for handle in part.shape.listed_for:
                self.listed.setdefault(f"{part.catalogue}/{handle}", []).append(part)
            offer = self.offers[part.id]
            for take in part.takes:
                if part.slot == "rail":
                    self._rails_on.setdefault(take, set()).add(part.id)
                if part.slot == "module_clamp":
                    self.module_clamps.setdefault(take, []).append(part)
                self.makers.setdefault((part.slot, offer), []).append((part.id, take))
                if part.slot == "adapter":
                    self.bridges.setdefault((take, offer), []).append(part.id)

    def rails_apart(self, clamp: str) -> list[str]:
        """Rails that do not take what a clamp offers."""
        near = self._rails_on.get(self.offers[clamp], set())
        return [rail for rail in self.rails if rail not in near]

    def tops(self, core: Core) -> list[Part]:
        """Module clamps that take the top of a core."""
        top = [p for p in core.parts if self.parts[p].interface][-1]
        return sorted(self.module_clamps.get(self.offers[top], []), key=lambda p: p.id)

    def ways(self, wanted: Shape) -> dict[int, dict[str, Ways]]:
        """What may follow above a layer where an interface is offered, worked out once."""
        if wanted not in self._ways:
            offers: dict[str, set[str]] = {}
            for part in self.parts.values():
                offers.setdefault(part.slot, set()).add(self.offers[part.id])
            self._ways[wanted] = {
                layer: {o: self._ways_of(wanted, layer, o) for o in offers.get(slot, ())}
                for layer, slot in enumerate(("clamp", *LAYERS), CLAMP)
            }
        return self._ways[wanted]

    def _ways_of(self, wanted: Shape, layer: int, interface: str) -> Ways:
        found = Ways([], [], [])
        for upper in wanted.after[layer]:
            empty = (None,) * (upper - layer - 1)
            if upper == TOP:
                found.ends.extend([empty] if interface in self.module_clamps else [])
                continue
            around = self._adjacent.get(("interface", upper, interface), {})
            for part in sorted(node[2] for node in around if node[0] == "part"):
                if wanted.after[upper] == (TOP,):
                    rest = (None,) * (TOP - upper - 1)
                    held = self.offers[part] in self.module_clamps
                    found.last.append((part, (*empty, part, *rest) if held else None))
                else:
                    found.others.append((upper, part, (*empty, part)))
        return found

    def cores(
        self, clamp: Part, insert: str | None, inlay: str | None, wanted: Shape, stands: Step
    ) -> Iterator[Core]:
        """Every core above a clamp whose joints all stand, each found when it is asked for."""
        for first, second, *others in Walk(self, wanted, stands).each(CLAMP, clamp.id):
            adapters = tuple(p for p in (first, second) if p)
            yield Core(clamp.id, insert, inlay, adapters, *others)


class Walk:
    """What stands above a part; keep it where the same joints are asked for again."""

    def __init__(self, graph: Graph, wanted: Shape, stands: Step):
        self.graph = graph
        self.offers = graph.offers
        self.ways = graph.ways(wanted)
        self.stands = stands
        self._above: dict[int, dict[Place, list[Ids]]] = {layer: {} for layer in self.ways}
        self._number: dict[int, dict[Place, int]] = {layer: {} for layer in self.ways}

    def above(self, layer: int, lower: str, bolts: str | None = None) -> list[Ids]:
        """Every filling of the layers above a part, or above the bolts on it."""
        place = lower if bolts is None else (lower, bolts)
        kept = self._above[layer].get(place)
        if kept is not None:
            return kept
        stands = self.stands
        ends, last, others = self.ways[layer][self.offers[bolts or lower]]
        found = ends.copy()
        for part, tail in last:
            if stands(lower, bolts, part) and tail:
                found.append(tail)
        for upper, part, head in others:
            if upper == BOLTS:
                tails = self.above(BOLTS, lower, part)
            elif stands(lower, bolts, part):
                tails = self.above(upper, part)
            else:
                continue
            for tail in tails:
                found.append(head + tail)
        self._above[layer][place] = found
        return found

    def each(self, layer: int, lower: str, bolts: str | None = None) -> Iterator[Ids]:
        """The same in the same order, one by one; what is taken to its end is kept."""
        place = lower if bolts is None else (lower, bolts)
        kept = self._above[layer].get(place)
        if kept is not None:
            yield from kept
            return
        found: list[Ids] = []
        for ids in self._one_by_one(layer, lower, bolts):
            found.append(ids)
            yield ids
        self._above[layer][place] = found

    def _one_by_one(self, layer: int, lower: str, bolts: str | None) -> Iterator[Ids]:
        ends, last, others = self.ways[layer][self.offers[bolts or lower]]
        yield from ends
        for part, tail in last:
            if self.stands(lower, bolts, part) and tail:
                yield tail
        for upper, part, head in others:
            if upper == BOLTS:
                yield from map(head.__add__, self.each(BOLTS, lower, part))
            elif self.stands(lower, bolts, part):
                yield from map(head.__add__, self.each(upper, part))

    def number(self, layer: int, lower: str, bolts: str | None = None) -> int:
        """How many fillings there are, without making them."""
        place = lower if bolts is None else (lower, bolts)
        if place not in self._number[layer]:
            ends, last, others = self.ways[layer][self.offers[bolts or lower]]
            found = len(ends) + sum(self.stands(lower, bolts, p) for p, tail in last if tail)
            for upper, part, _ in others:
                if upper == BOLTS:
                    found += self.number(BOLTS, lower, part)
                elif self.stands(lower, bolts, part):
                    found += self.number(upper, part)
            self._number[layer][place] = found
        return self._number[layer][place]

    def parted(self, clamp: str, rail: str) -> list[Pair]:
        """Dead joints that keep a rail from a clamp, none of them idle; none where they meet."""
        chains = list(self.chains(clamp, rail))
        if not chains:
            return [(clamp, None, rail)]  # no interfaces lead from one to the other
        dead = [[joint for joint in chain if not self.stands(*joint)] for chain in chains]
        kept = list(dict.fromkeys(j for joints in dead for j in joints)) if all(dead) else []
        for joint in kept[::-1]:
            others = [j for j in kept if j != joint]
            if all(any(j in others for j in joints) for joints in dead):
                kept = others
        return kept

    def chains(self, clamp: str, rail: str) -> Iterator[list[Pair]]:
        """Joints that lead from a clamp to a rail, whether they stand or not."""
        graph, offer = self.graph, self.offers[clamp]
        makers, bridges, takes = graph.makers, graph.bridges, graph.parts[rail].takes
        seats: list[tuple[str, str | None]] = [(take, None) for take in takes]
        seats += [(below, b) for take in takes for b, below in makers.get(("bolts", take), ())]
        for take, bolts in seats:
            if take == offer:
                yield [(clamp, bolts, rail)]
            for first in bridges.get((offer, take), ()):
                yield [(clamp, None, first), (first, bolts, rail)]
            for second, below in makers.get(("adapter", take), ()):
                for first in bridges.get((offer, below), ()):
                    yield [(clamp, None, first), (first, None, second), (second, bolts, rail)]
