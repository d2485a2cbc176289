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
LESSER = ("steel", "aluminium", "zinc")  # metals that water from bare copper eats


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

    @property
    def pitting(self) -> Bits:
        """Whether salt asks for stainless of grade A4 below modules, where no rain rinses."""
        far = Path("trade", "stainless_salt_distance")
        near = self._one(Condition(Path("site", "sea_distance"), "at most", far))
        road, pool = (self.is_one_of(f"site.{x}", "present") for x in ("salted_road", "pool_hall"))
        return either(near, either(road, pool))

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

    Zinc on copper, bare copper above lesser metals, other screws than stainless ones on bare
    stainless or in salt: common practice, no source. Grade by salt: EN 1993-1-4, as for contacts.
    """
    copper = roof.is_one_of("plane.sheet.metal", "copper")
    salty = either(
        roof.is_one_of("site.salt", "present"), roof.is_one_of("plane.sheet.family", "stainless")
    )
    metals = [_metal(base, line) for line in lines]
    lesser = roof.is_one_of("plane.sheet.metal", *LESSER)
    if any(m is not None and m.metal in LESSER for m in metals):
        lesser = YES
    found = []
    for line, metal in zip(lines, metals, strict=True):
        if metal is not None:
            plated = bool({metal.metal, *metal.coating} & set(ZINC))
            stainless = metal.metal == "stainless"
            faults = (
                ("zinc", copper, plated),
                ("bare_copper", lesser, metal.metal == "copper" and metal.coating == ("none",)),
                ("not_stainless", salty, line.kind in SCREWS and not stainless),
                ("grade", roof.pitting, stainless and metal.grade != "A4"),
            )
            hit = next((f for f in faults if f[2] and f[1].possibly), None)
            if hit is not None:
                name, bits, _ = hit
                line = replace(line, fault=name if bits.surely else f"{name}_perhaps")
        found.append(line)
    return tuple(found)


def _metal(base: Base, line: Line) -> MetalWords | None:
    if not line.part:
        return None
    shape = base.part(line.part).shape
    if line.kind == "set_screw":
        assert isinstance(shape, Clamp)
        return shape.set_screw.metal
    return shape.metal
