"""The parts of a stack, and those that follow from them in its catalogue."""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from selector.knowledge import schema
from selector.knowledge.base import Base, Catalogue, Part
from selector.model.job import StackPlan


@dataclass(frozen=True)
class Chosen:
    """Parts of a stack by slot; what nobody chose is looked for in the clamp's catalogue."""

    base: Base
    plan: StackPlan
    module: Part

    def slot(self, name: str) -> Part | None:
        """Part in a slot."""
        part = self.plan.slots.get(name)
        return None if part is None else self.base.part(part)

    @property
    def clamp(self) -> Part:
        """The seam clamp."""
        found = self.slot("clamp")
        assert found is not None
        return found

    @property
    def jaw(self) -> schema.Clamp:
        """The shape of the seam clamp."""
        shape = self.clamp.shape
        assert isinstance(shape, schema.Clamp)
        return shape

    @property
    def rail(self) -> Part | None:
        """The rail, the lower one of two."""
        return self.slot("rail")

    @property
    def adapters(self) -> tuple[Part, ...]:
        """Adapters from the clamp up."""
        return tuple(self.base.part(part) for part in self.plan.adapters)

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue of the clamp: interfaces hold inside one."""
        return self.base.catalogues[self.clamp.catalogue]

    @property
    def insert(self) -> tuple[Part | None, bool]:
        """The insert, and whether the clamp needs one, whatever the stack says."""
        needs = self.jaw.needs_insert
        if needs is None:
            return self.slot("insert"), self.slot("insert") is not None
        found = self.catalogue.parts.get(f"{self.catalogue.name}/{needs}")
        return self.slot("insert") or found, True

    def splice(self, rail: Part, movement: str) -> Part | None:
        """Splice of the rail's own family."""
        for part in self.base.catalogues[rail.catalogue].slot("splice"):
            shape = part.shape
            assert isinstance(shape, schema.Splice)
            if shape.movement == movement and shape.family == _family(rail):
                return part
        return None

    def line(self, serves: str, rail: Part | None = None) -> Part | None:
        """What serves for something, on rails of one family; what a part brings comes first."""
        brought = {b for part in self._stack() for b in getattr(part.shape, "brings", ())}
        found = self.catalogue.slot("kit_line")
        for part in sorted(found, key=lambda p: (p.handle not in brought, p.id)):
            shape = part.shape
            assert isinstance(shape, schema.KitLine)
            if shape.serves == serves and (rail is None or shape.family == _family(rail)):
                return part
        return None

    def brought(self) -> Iterator[tuple[Part, Part]]:
        """What parts of the stack bring along that serves for nothing else, with who brings it."""
        for part in self._stack():
            for handle in getattr(part.shape, "brings", ()):
                found = self.catalogue.parts.get(f"{part.catalogue}/{handle}")
                if found is not None and getattr(found.shape, "serves", None) is None:
                    yield found, part

    def module_clamp(self, place: str) -> Part | None:
        """Module clamp for a place: the chosen one, or one on the same seat that is made for it."""
        chosen = self.slot("module_clamp")
        if chosen is None or _holds(chosen, place):
            return chosen
        assert isinstance(self.module.shape, schema.Module)
        frame = self.module.shape.frame
        for part in self.base.catalogues[chosen.catalogue].slot("module_clamp"):
            shape = part.shape
            assert isinstance(shape, schema.ModuleClamp)
            low, high = shape.frame.low or 0, shape.frame.high or frame
            same = set(shape.takes) & set(chosen.shape.takes)
            if same and shape.place == place and low <= frame <= high:
                return part
        return None

    def bolts_of(self, cross: Part) -> Part | None:
        """Bolts that a cross connector takes, the chosen ones first; None where it needs none."""
        bolts = [self.slot("bolts"), *self.base.catalogues[cross.catalogue].slot("bolts")]
        takers = (b for b in bolts if b is not None and b.interface in cross.takes)
        return next(takers, None)

    def loose_joint(self) -> tuple[str, str] | None:
        """Two parts that nothing joins: handles from below, the first pair; None where all join."""
        chain = [self.clamp, *self.adapters]
        rail, bolts = self.rail, self.slot("bolts")
        chain += [p for p in (bolts, rail if rail is not None else self.slot("module_clamp")) if p]
        for lower, upper in itertools.pairwise(chain):
            if lower.interface not in upper.takes:
                return lower.handle, upper.handle
        return None

    def _stack(self) -> Iterator[Part]:
        yield from (self.base.part(part) for part in self.plan.slots.values() if part is not None)
        yield from self.adapters


def _family(rail: Part) -> str:
    assert isinstance(rail.shape, schema.Rail)
    return rail.shape.family


def _holds(part: Part, place: str) -> bool:
    return getattr(part.shape, "place", None) in (None, place)
