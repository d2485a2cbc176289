"""A planned stack as a graph from the roof up, with what is broken in it.

Nodes are the roof, the parts that carry and the module; edges are what joins two of them. Inlay,
insert and bolts lie in an edge. A refusal marks the smallest node or edge that it is about.
"""

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

import networkx as nx

from selector.inference import chain
from selector.inference.answer import Desk, Option
from selector.inference.verdict import Finding
from selector.model.contact import Contact, Side
from selector.model.job import Array

ROOF, MODULE = "roof", "module"


class Touch(NamedTuple):
    """Two metals that touch."""

    upper: str
    lower: str
    screw: bool = False  # the upper one is the set screw


@dataclass(frozen=True)
class Box:
    """One node of the column."""

    id: str
    slot: str
    name: str  # of the part; of the roof, the shape of its seams
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
    metals: tuple[Touch, ...]
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


def column(desk: Desk, option: Option, array: Array, findings: Iterable[Finding]) -> Column:
    """The graph of a stack in its order, marked by what gives its word."""
    return _Stack(desk, option, array).column(findings)


def told(side: Side) -> str:
    """Metal of one side of a contact in a word; empty where it has none."""
    if side.metal is None:
        return ""
    return " ".join([side.metal, *(f"({c})" for c in side.coating if c != "none")])


class _Stack:
    """The graph of one stack; a node is a part, numbered where the same part comes twice."""

    def __init__(self, desk: Desk, option: Option, array: Array):
        self.base, self.option, self.array = desk.base, option, array
        self.ground = next(j.view for j in option.judgements if j.subject.kind == "plane")
        self.joints = chain.joints(option.core, option.module_clamp)
        top = [option.module_clamp] if option.module_clamp else []
        self.parts: dict[str, str] = {ROOF: ROOF}  # node -> part
        for part in (*chain.carriers(option.core), *top):
            self.parts[f"{part} again" if part in self.parts else part] = part
        self.parts[MODULE] = array.module
        self.graph: nx.DiGraph[str] = nx.DiGraph()
        nx.add_path(self.graph, list(self.parts))
        self.broken: dict[object, list[str]] = defaultdict(list)  # node or edge -> rules
        self.places: list[str] = []

    def column(self, findings: Iterable[Finding]) -> Column:
        """Boxes and edges from the roof up."""
        for finding in findings:
            self.mark(finding)
        nodes = list(nx.topological_sort(self.graph))
        pairs = itertools.pairwise(nodes)
        return Column(tuple(map(self.box, nodes)), tuple(self.edge(*pair) for pair in pairs))

    # --- boxes and edges -----------------------------------------------------------------

    def rules(self, what: object) -> tuple[str, ...]:
        """Rules that break a node or an edge."""
        return tuple(dict.fromkeys(self.broken[what]))

    def box(self, node: str) -> Box:
        """One node."""
        broken = self.rules(node)
        if node == ROOF:
            shape = self.ground.read("plane.seam.shape").value
            return Box(ROOF, "roof", str(shape), self.sheet, broken)
        part = self.base.part(self.parts[node])
        metal = told(chain.side(part))
        return Box(node, part.slot.replace("_", " "), part.handle, metal, broken)

    @property
    def sheet(self) -> str:
        """Metal of the sheet."""
        return str(self.ground.read("plane.sheet.metal").value)

    def edge(self, low: str, high: str) -> Edge:
        """What joins a node to the one above it."""
        core = self.option.core
        between: tuple[str | None, ...] = ()
        offers = takes = ""
        kind = "joint"
        if low == ROOF:
            kind, between = "grip", (core.insert, core.inlay)
        elif high == MODULE:
            kind = "clamping"
        else:
            lower, upper = self.base.part(self.parts[low]), self.base.part(self.parts[high])
            pair = (lower.id, upper.id)
            between = tuple(j.bolts for j in self.joints if (j.lower, j.upper) == pair)
            offers = _short(lower.interface or "none")
            takes = " or ".join(map(_short, upper.takes)) or "none"
        return Edge(
            lower=low,
            upper=high,
            kind=kind,
            offers=offers,
            takes=takes,
            between=tuple(_short(p) for p in between if p),
            metals=tuple(dict.fromkeys(self.metals((low, high)))),
            broken=self.rules((low, high)),
            places=tuple(dict.fromkeys(self.places)) if low == ROOF else (),
        )

    def metals(self, edge: tuple[str, str]) -> Iterator[Touch]:
        """Contacts in an edge."""
        for judgement in self.option.judgements:
            contact = judgement.view.binding.contact
            if contact is None or self.ends(contact) != edge:
                continue
            lower = self.sheet if contact.lower.role == "sheet" else told(contact.lower)
            yield Touch(told(contact.upper), lower, contact.upper.role == "set screw")

    # --- what is broken ------------------------------------------------------------------

    def between(self, lower: str, upper: str) -> tuple[str, str] | None:
        """The edge between two parts; bolts lie in the joint that they belong to."""
        for joint in self.joints:
            if joint.bolts is not None and joint.bolts in (lower, upper):
                lower, upper = joint.lower, joint.upper
        for low, high in itertools.pairwise(self.parts):
            if {self.parts[low], self.parts[high]} == {lower, upper}:
                return low, high
        return None

    def ends(self, contact: Contact) -> tuple[str, str] | None:
        """The edge in which two metals touch; None where both are inside one part."""
        upper, lower = contact.upper.part, contact.lower.part
        if contact.lower.role == "sheet":
            return ROOF, self.option.core.clamp
        if upper == self.array.module:  # the frame also lies on what carries it
            *_, low, high = self.parts
            return low, high
        return self.between(lower, upper)

    def mark(self, finding: Finding) -> None:
        """The smallest node or edge that a refusal is about."""
        binding, kind = finding.judgement.view.binding, finding.judgement.subject.kind
        core, roles = self.option.core, finding.rule.roles.values()
        grip = (ROOF, core.clamp)
        where: object = None
        if kind in ("part-on-plane", "place") or (kind == "stack" and "clamp" in roles):
            where = grip
        elif kind == "contact" and binding.contact is not None:
            where = self.ends(binding.contact) or core.clamp
        elif kind == "joint" and binding.joint is not None:
            where = self.between(binding.joint.lower, binding.joint.upper)
        elif kind in ("layout", "stack"):
            where = core.rail
        elif kind == "job":
            where = core.frame
        if binding.place is not None:
            self.places.append(binding.place.id)
        self.broken[where or ROOF].append(finding.rule.id)


def _short(part_id: str) -> str:
    return part_id.partition("/")[2] or part_id
