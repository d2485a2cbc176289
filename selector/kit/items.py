"""What goes into every kit beside its parts, and parts that must not go into this one."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import reduce

from selector.facts.atoms import evaluate
from selector.facts.view import View
from selector.kit.model import Line
from selector.knowledge.base import Base
from selector.knowledge.schema import Clamp, MetalWords
from selector.model.kit import KitItem
from selector.model.rule import Condition, Group, Path
from selector.model.truth import NO, YES, Bits, both, either

SHELVES = (
    ("electrical", "labels"),
    ("tools", "tools"),
    ("consumables", "consumables"),
    ("papers", "papers"),
)
SCREWS = ("bolts", "set_screw", "cable_clip")  # kinds of lines that salt asks to be stainless
ZINC = ("zinc", "aluminium-zinc")


@dataclass(frozen=True)
class Roof:
    """What is known of the roof and the stack, asked by conditions."""

    view: View

    def all_of(self, groups: tuple[Group, ...]) -> Bits:
        """Bits of conditions that all count."""
        return reduce(both, (self._any(group) for group in groups), YES)

    def is_one_of(self, path: str, *words: str) -> Bits:
        """Whether a choice is one of these words."""
        role, _, name = path.partition(".")
        return self._one(Condition(Path(role, name), "is one of", words))

    def _any(self, group: Group) -> Bits:
        return reduce(either, map(self._one, group), NO)

    def _one(self, condition: Condition) -> Bits:
        bits = evaluate(condition, self.view).bits
        return bits.negated() if condition.negated else bits


def items(base: Base, roof: Roof) -> Iterator[Line]:
    """Labels, tools, consumables and papers that this roof may want."""
    for group, shelf in SHELVES:
        for item in getattr(base.kits, shelf):
            line = _of_item(group, item, roof)
            if line is not None:
                yield line


def left_out(base: Base, roof: Roof) -> Iterator[Line]:
    """What must not be in the box, on what this roof may be."""
    for item in base.kits.leave_out:
        line = _of_item("leave_out", item, roof)
        if line is not None:
            yield line


def _of_item(group: str, item: KitItem, roof: Roof) -> Line | None:
    wanted = roof.all_of(item.when)
    if not wanted.possibly:
        return None
    there = roof.all_of(item.there).surely if item.there else None
    return Line(
        group, "item", item.number, item.unit, item=item, perhaps=not wanted.surely, there=there
    )


def barred(base: Base, roof: Roof, lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """The same lines; a part whose metal must not go onto this roof says so.

    Zinc on copper, and other screws than stainless ones on bare stainless or in salt: common
    practice, no source.
    """
    copper = roof.is_one_of("plane.sheet.metal", "copper")
    salty = either(
        roof.is_one_of("site.salt", "present"), roof.is_one_of("plane.sheet.family", "stainless")
    )
    return tuple(_barred(base, line, copper, salty) for line in lines)


def _barred(base: Base, line: Line, copper: Bits, salty: Bits) -> Line:
    metal = _metal(base, line)
    if metal is None:
        return line
    coats = {metal.metal, *metal.coating} & set(ZINC)
    if coats and copper.possibly:
        return replace(line, fault="zinc_on_copper" if copper.surely else "zinc_perhaps")
    if line.kind in SCREWS and metal.metal != "stainless" and salty.possibly:
        return replace(line, fault="not_stainless" if salty.surely else "not_stainless_perhaps")
    return line


def _metal(base: Base, line: Line) -> MetalWords | None:
    if not line.part:
        return None
    shape = base.part(line.part).shape
    if line.kind == "set_screw":
        assert isinstance(shape, Clamp)
        return shape.set_screw.metal
    return shape.metal
