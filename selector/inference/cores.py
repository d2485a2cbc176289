"""The compatibility graph: interfaces in layers, parts as the steps between them.

Nodes are (layer, interface) and (layer, part); a layer that may stay empty has an edge past it.
Layers make the graph acyclic; stacks are walks over its adjacency, bottom up. A walk judges each
joint once and keeps what stands above it, so that cores which end alike share their ends.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from selector.knowledge import schema
from selector.knowledge.base import Part
from selector.model.quantity import Place, Window
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
Step = Callable[[str, str | None, str], bool]  # lower, bolts, upper: may this joint stand?


@dataclass(frozen=True)
class Shape:
    """Which upper layers an array asks for."""

    framed: bool
    crossed: bool

    @cached_property
    def after(self) -> dict[int, tuple[int, ...]]:
        """Layers that may come next after each, the highest first."""
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


class Graph:
    """Built once from the parts of the catalogues in use."""

    def __init__(self, parts: list[Part]):
        import networkx as nx

        graph: nx.DiGraph[Node] = nx.DiGraph()
        self.parts = {p.id: p for p in parts}
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
        above = {(n[1], n[2]): a for n, a in graph.adjacency() if n[0] == "interface"}
        self.takers = {n: sorted(x[2] for x in a if x[0] == "part") for n, a in above.items()}
        self.module_clamps: dict[str, list[Part]] = {}
        for part in parts:
            if part.slot == "module_clamp":
                for interface in part.takes:
                    self.module_clamps.setdefault(interface, []).append(part)

    def tops(self, core: Core) -> list[Part]:
        """Module clamps that take the top of a core."""
        top = [p for p in core.parts if self.parts[p].interface][-1]
        return sorted(self.module_clamps.get(self.offers[top], []), key=lambda p: p.id)

    def core_ids(self, clamp: str, wanted: Shape, stands: Step) -> list[Ids]:
        """What may stand above a clamp as plain ids, where all joints stand."""
        return Walk(self, wanted, stands).above(CLAMP, clamp)

    def cores(
        self, clamp: Part, insert: str | None, inlay: str | None, wanted: Shape, stands: Step
    ) -> Iterator[Core]:
        """Every core above a clamp whose joints all stand."""
        for first, second, *others in self.core_ids(clamp.id, wanted, stands):
            adapters = tuple(p for p in (first, second) if p)
            yield Core(clamp.id, insert, inlay, adapters, *others)


class Walk:
    """What stands above a part; keep it where the same joints are asked for again."""

    def __init__(self, graph: Graph, wanted: Shape, stands: Step):
        self.graph = graph
        self.after = wanted.after
        self.stands = stands
        self._steps: dict[tuple[int, Pair], list[str]] = {}
        self._above: dict[tuple[int, str, str | None], list[Ids]] = {}
        self._number: dict[tuple[int, str, str | None], int] = {}
