"""The compatibility graph: interfaces in layers, parts as the steps between them.

Nodes are (layer, interface) and (layer, part); a layer that may stay empty has an edge past it.
Layers make the graph acyclic; stacks are walks over its adjacency, bottom up.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

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
Node = tuple[str, int, str]
Step = Callable[[str, str | None, str], bool]  # lower, bolts, upper: may this joint stand?


@dataclass(frozen=True)
class Shape:
    """Which upper layers an array asks for."""

    framed: bool
    crossed: bool


class Graph:
    """Built once from the parts of the catalogues in use."""

    def __init__(self, parts: list[Part]):
        import networkx as nx

        graph: nx.DiGraph[Node] = nx.DiGraph()
        self.parts = {p.id: p for p in parts}
        takers: dict[tuple[int, str], list[Part]] = {}
        for layer, slot in enumerate(LAYERS):
            for part in parts:
                if part.slot == slot:
                    for interface in part.takes:
                        takers.setdefault((layer, interface), []).append(part)
        interfaces = sorted({p.interface for p in parts if p.interface})
        for layer, _ in enumerate(LAYERS):
            for interface in interfaces:
                here: Node = ("interface", layer, interface)
                graph.add_edge(here, ("interface", layer + 1, interface))
                for part in takers.get((layer, interface), ()):
                    node: Node = ("part", layer, part.id)
                    graph.add_edge(here, node)
                    graph.add_edge(node, ("interface", layer + 1, part.interface or ""))
        self.graph = graph
        self._next: dict[Node, list[Node]] = {n: sorted(a) for n, a in graph.adjacency()}
        self.module_clamps: dict[str, list[Part]] = {}
        for part in parts:
            if part.slot == "module_clamp":
                for interface in part.takes:
                    self.module_clamps.setdefault(interface, []).append(part)

    def tops(self, core: Core) -> list[Part]:
        """Module clamps that take the top of a core."""
        top = [p for p in core.parts if self.parts[p].interface][-1]
        return sorted(self.module_clamps.get(self.parts[top].interface or "", []), key=_id)

    def cores(
        self, clamp: Part, insert: str | None, inlay: str | None, wanted: Shape, stands: Step
    ) -> Iterator[Core]:
        """Every core above a clamp whose joints all stand."""
        start: Node = ("interface", 0, clamp.interface or "")
        if start not in self._next:
            return
        for chosen in self._walk(start, (), clamp.id, None, wanted, stands):
            slots = dict(chosen)
            core = Core(
                clamp=clamp.id,
                insert=insert,
                inlay=inlay,
                adapters=tuple(p for layer, p in chosen if layer in (0, 1)),
                bolts=slots.get(2),
                rail=slots.get(3),
                frame=slots.get(4),
                cross=slots.get(5),
                upper_rail=slots.get(6),
            )
            yield core

    def _walk(
        self,
        node: Node,
        chosen: tuple[tuple[int, str], ...],
        lower: str,
        bolts: str | None,
        wanted: Shape,
        stands: Step,
    ) -> Iterator[tuple[tuple[int, str], ...]]:
        layer = node[1]
        if layer == len(LAYERS):
            if node[2] in self.module_clamps and bolts is None:
                yield chosen
            return
        for step in self._next.get(node, ()):
            if step[0] == "interface":
                if _may_skip(layer, chosen, wanted):
                    yield from self._walk(step, chosen, lower, bolts, wanted, stands)
                continue
            if not _may_fill(layer, chosen, wanted):
                continue
            part = step[2]
            above = self._next[step][0]
            taken = (*chosen, (layer, part))
            if LAYERS[layer] == "bolts":
                yield from self._walk(above, taken, lower, part, wanted, stands)
            elif stands(lower, bolts, part):
                yield from self._walk(above, taken, part, None, wanted, stands)


def _id(part: Part) -> str:
    return part.id


def _filled(chosen: tuple[tuple[int, str], ...]) -> set[int]:
    return {layer for layer, _ in chosen}


def _may_skip(layer: int, chosen: tuple[tuple[int, str], ...], wanted: Shape) -> bool:
    if layer == 4:
        return not wanted.framed
    if layer == 6:
        return 5 not in _filled(chosen)
    return True


def _may_fill(layer: int, chosen: tuple[tuple[int, str], ...], wanted: Shape) -> bool:
    filled = _filled(chosen)
    if layer == 1:
        return 0 in filled  # a second adapter only above a first one
    if layer == 4:
        return wanted.framed and 3 in filled
    if layer == 5:
        return wanted.crossed and 3 in filled
    if layer == 6:
        return 5 in filled
    return True
