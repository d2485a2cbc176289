"""A planned stack as a graph from the roof up, with what is broken in it.

Nodes are the roof, the parts that carry and the module; edges are what joins two of them. Inlay,
insert and bolts lie in an edge. A refusal marks the smallest node or edge that it is about.
"""

import itertools
from collections import defaultdict
from dataclasses import dataclass, field

from selector.inference import chain
from selector.inference.answer import Desk, Option
from selector.inference.verdict import Finding
from selector.knowledge.base import Base
from selector.model.job import Array
from selector.model.stack import Contact, Core, Joint

ROOF, MODULE = "roof", "module"


@dataclass(frozen=True)
class Box:
    """One node of the column."""

    id: str
    slot: str
    name: str
    made_of: str
    broken: tuple[str, ...] = ()  # ids of rules


@dataclass(frozen=True)
class Edge:
    """What joins a node to the one above it."""

    lower: str
    upper: str
    kind: str  # grip | joint | clamping
    offers: str
    takes: str
    between: tuple[str, ...]  # inlay, insert, bolts
    metals: tuple[str, ...]  # contacts in words
    broken: tuple[str, ...] = ()  # ids of rules
    places: tuple[str, ...] = ()  # where a clamp stands that is refused


@dataclass(frozen=True)
class Column:
    """Boxes from the roof up, and the edge above each but the last."""

    boxes: tuple[Box, ...]
    edges: tuple[Edge, ...]

    @property
    def broken(self) -> tuple[str, ...]:
        """Ids of the rules that mark something."""
        rules = [r for box in self.boxes for r in box.broken]
        rules += [r for edge in self.edges for r in edge.broken]
        return tuple(dict.fromkeys(rules))


@dataclass
class _Marks:
    """Rules by what they break."""

    boxes: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    edges: dict[tuple[str, str], list[str]] = field(default_factory=lambda: defaultdict(list))
    places: list[str] = field(default_factory=list)


def column(desk: Desk, option: Option, array: Array) -> Column:
    """The graph of a stack in its order, marked by what gives its word."""
    import networkx as nx

    core, top = option.core, option.module_clamp
    graph: nx.DiGraph[str] = nx.DiGraph()
    nodes = [ROOF, *chain.carriers(core), *([top] if top else []), MODULE]
    nx.add_path(graph, nodes)
    marks = _marked(option, array, graph)
    boxes = tuple(
        _box(desk, option, array, n, marks) for n in nx.lexicographical_topological_sort(graph)
    )
    edges = tuple(
        _edge(desk.base, option, array, low, high, marks)
        for low, high in itertools.pairwise(nodes)
        if graph.has_edge(low, high)
    )
    return Column(boxes, edges)


# --- boxes and edges ---------------------------------------------------------------------


def _box(desk: Desk, option: Option, array: Array, node: str, marks: _Marks) -> Box:
    broken = tuple(dict.fromkeys(marks.boxes[node]))
    if node == ROOF:
        view = option.judgements[1].view
        shape = view.read("plane.seam.shape").value
        metal = view.read("plane.sheet.metal").value
        return Box(ROOF, "roof", f"seam {shape}", f"sheet {metal}", broken)
    if node == MODULE:
        part = desk.part(array.module)
        return Box(MODULE, "module", part.handle, metal_of(desk.base, f"{part.id}:frame"), broken)
    part = desk.part(node)
    slot = part.slot.replace("_", " ")
    return Box(node, slot, part.handle, metal_of(desk.base, node), broken)


def metal_of(base: Base, side: str) -> str:
    """Metal of a part, or of its set screw or frame, in a word; empty where it has none."""
    part_id, _, piece = side.partition(":")
    shape: object = base.part(part_id).shape
    if piece == "screw":
        shape = getattr(shape, "set_screw", None)
    words = getattr(shape, "frame_metal" if piece == "frame" else "metal", None)
    if words is None:
        return ""
    coating = getattr(words, "coating", None)
    coated = [c for c in ((coating,) if isinstance(coating, str) else coating or ()) if c != "none"]
    return " ".join([words.metal, *(f"({c})" for c in coated)])


def _edge(base: Base, option: Option, array: Array, low: str, high: str, marks: _Marks) -> Edge:
    core = option.core
    between: tuple[str | None, ...] = ()
    offers = takes = ""
    kind = "joint"
    if low == ROOF:
        kind, between = "grip", (core.insert, core.inlay)
    elif high == MODULE:
        kind = "clamping"
    else:
        bolts = next((j.bolts for j in _joints(option) if (j.lower, j.upper) == (low, high)), None)
        between = (bolts,)
        offers = _short(base.part(low).interface or "none")
        takes = " or ".join(map(_short, base.part(high).takes)) or "none"
    return Edge(
        lower=low,
        upper=high,
        kind=kind,
        offers=offers,
        takes=takes,
        between=tuple(_short(p) for p in between if p),
        metals=tuple(dict.fromkeys(_metals(base, option, array, low, high))),
        broken=tuple(dict.fromkeys(marks.edges[low, high])),
        places=tuple(marks.places) if low == ROOF else (),
    )


def _joints(option: Option) -> list[Joint]:
    return chain.joints(option.core, option.module_clamp)


def _short(part_id: str) -> str:
    return part_id.partition("/")[2] or part_id


def _metals(base: Base, option: Option, array: Array, low: str, high: str) -> list[str]:
    """Contacts in an edge in words, such as `aluminium on copper`."""
    view = option.judgements[1].view
    found = []
    for judgement in option.judgements:
        contact = judgement.view.binding.contact
        if contact is None or _ends(contact, option.core, array) != (low, high):
            continue
        upper = metal_of(base, contact.upper)
        if contact.lower == "sheet":
            lower = str(view.read("plane.sheet.metal").value)
        else:
            lower = metal_of(base, contact.lower)
        screw = "set screw " if contact.upper.endswith(":screw") else ""
        found.append(f"{screw}{upper} on {lower}")
    return found


# --- what is broken ----------------------------------------------------------------------


def _ends(contact: Contact, core: Core, array: Array) -> tuple[str, str] | None:
    """The edge in which two metals touch; None where both are inside one part."""
    upper, lower = (s.partition(":")[0] for s in (contact.upper, contact.lower))
    if lower == "sheet":
        return ROOF, core.clamp
    if upper == lower:
        return None
    names = {array.module: MODULE}
    ends = (names.get(lower, lower), names.get(upper, upper))
    return (ends[1], ends[0]) if ends[0] == MODULE else ends


def _marked(option: Option, array: Array, graph: object) -> _Marks:
    marks = _Marks()
    word = option.verdict.word
    for finding in () if word.is_yes else option.verdict.of_word(word):
        _mark(finding, option, array, graph, marks)
    return marks


def _mark(finding: Finding, option: Option, array: Array, graph: object, marks: _Marks) -> None:
    binding, kind = finding.judgement.view.binding, finding.judgement.subject.kind
    core, roles = option.core, finding.rule.roles.values()
    grip = (ROOF, core.clamp)
    edge: tuple[str, str] | None = None
    if kind in ("part-on-plane", "place"):
        edge = grip
    elif kind == "contact" and binding.contact is not None:
        edge = _in_graph(_ends(binding.contact, core, array), option, graph)
    elif kind == "joint" and binding.joint is not None:
        edge = (binding.joint.lower, binding.joint.upper)
    elif kind == "stack" and "clamp" in roles:
        edge = grip
    if binding.place is not None:
        marks.places.append(binding.place.id)
    if edge is not None:
        marks.edges[edge].append(finding.rule.id)
    elif kind in ("layout", "stack") and core.rail is not None:
        marks.boxes[core.rail].append(finding.rule.id)
    elif kind == "contact":
        marks.boxes[core.clamp].append(finding.rule.id)
    elif kind == "job" and core.frame is not None:
        marks.boxes[core.frame].append(finding.rule.id)
    else:
        marks.boxes[ROOF].append(finding.rule.id)


def _in_graph(
    edge: tuple[str, str] | None, option: Option, graph: object
) -> tuple[str, str] | None:
    """An edge of the column; bolts touch both sides of the joint that they lie in."""
    import networkx as nx

    assert isinstance(graph, nx.DiGraph)
    if edge is None or graph.has_edge(*edge):
        return edge
    for joint in _joints(option):
        if joint.bolts in edge:
            return joint.lower, joint.upper
    return next((e for e in graph.edges if edge[0] in e or edge[1] in e), None)
