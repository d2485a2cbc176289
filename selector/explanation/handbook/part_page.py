"""What the page of a part says, and how a record of it is shown."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from selector import units
from selector.explanation.handbook.rule_page import paths_of
from selector.knowledge import schema
from selector.knowledge.base import Base, Catalogue, Part, Record
from selector.knowledge.torques import bears, bolt_sense
from selector.model.rule import Rule

SLOTS = {
    "clamp": "seam clamp",
    "insert": "insert of a two-part clamp",
    "inlay": "isolating inlay",
    "adapter": "adapter",
    "bolts": "bolt set",
    "rail": "rail",
    "cross": "cross connector",
    "frame": "elevating frame",
    "module_clamp": "module clamp",
    "splice": "splice",
    "kit_line": "line of the kit",
    "module": "solar module",
    "profile": "seam profile",
}
# What a figure is called, and its dimension; a rail's mass is one for each metre.
FIGURES = {
    "torque": ("torque of the set screws", "torque"),
    "clip_distance": ("least distance to a clip mark", "length"),
    "span": ("largest span", "length"),
    "cantilever": ("longest end beyond a clamp", "length"),
    "rigid_run": ("longest run without a gap", "length"),
    "length": ("length", "length"),
    "width": ("width", "length"),
    "mass": ("mass", "mass"),
}
SECTION = {
    "wel": ("elastic section modulus", "section modulus"),
    "wnet": ("section modulus at holes", "section modulus"),
    "av": ("area that takes shear", "area"),
    "iy": ("second moment of area", "second moment"),
    "fo": ("strength at yield", "strength"),
    "fu": ("strength at break", "strength"),
}
# Paths of rules that speak about a part of this slot.
SPOKEN = {
    "clamp": ("clamp.",),
    "insert": ("stack.insert", "clamp.needs_insert"),
    "inlay": ("stack.inlay", "contact.inlay"),
    "adapter": ("stack.adapters", "joint.listing"),
    "bolts": ("joint.bolted",),
    "rail": ("rail.", "stack.rail", "layout."),
    "cross": ("stack.cross",),
    "frame": ("stack.frame",),
    "module_clamp": ("stack.module_clamp", "joint.frame"),
    "splice": ("layout.rigid_run",),
    "module": ("stack.module", "layout.module_zone", "array.frame"),
    "profile": ("clamp.own_profile", "plane.seam.flanks"),
}
JOINTS = ("joint.offered", "joint.taken", "joint.evidence", "joint.uplift", "joint.along")
DIRECTIONS = {
    "uplift": "uplift",
    "slide_down": "down the seam",
    "sideways": "sideways",
    "along": "along the seam",
    "pull": "pull",
    "slide": "slide of a fixed clip",
}


@dataclass(frozen=True)
class Joins:
    """One way in which a part goes together with others."""

    how: str
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Direction:
    """What was proven in one direction."""

    name: str
    value: str
    from_what: str


@dataclass(frozen=True)
class RecordCard:
    """A record as it is printed."""

    catalogue: str
    record: Record
    bad: bool
    about: str
    covers: tuple[tuple[str, str], ...]
    directions: tuple[Direction, ...]

    @property
    def dates(self) -> str:
        """From when until when it counts."""
        valid = self.record.shape.valid
        if valid.withdrawn:
            return "withdrawn: it proves nothing"
        return f"{valid.since} to {valid.until}"


@dataclass(frozen=True)
class PartPage:
    """A part with everything that stands around it."""

    part: Part
    catalogue: Catalogue
    slot: str
    figures: tuple[tuple[str, str], ...]
    joins: tuple[Joins, ...]
    records: tuple[RecordCard, ...]
    rules: tuple[Rule, ...]


def part_page(part: Part, base: Base) -> PartPage:
    """The page of a part of the base."""
    catalogue = base.catalogues[part.catalogue]
    return PartPage(
        part=part,
        catalogue=catalogue,
        slot=SLOTS.get(part.slot, part.slot),
        figures=(*_figures(part), *_bolt(part, base)),
        joins=tuple(j for j in _joins(part, catalogue) if j.parts),
        records=tuple(
            record_card(catalogue, r) for r in catalogue.records if _speaks_of(r.shape, part)
        ),
        rules=tuple(r for r in base.rules if r.status == "active" and _about(r, part)),
    )


def record_card(catalogue: Catalogue, record: Record) -> RecordCard:
    """A record as it is printed."""
    shape = record.shape
    about, covers = _covers(shape)
    directions = tuple(
        _direction(name, getattr(shape, key))
        for key, name in DIRECTIONS.items()
        if getattr(shape, key, None) is not None
    )
    return RecordCard(
        catalogue.name, record, shape.outcome == "bad", about, tuple(covers), directions
    )


def _figures(part: Part) -> Iterator[tuple[str, str]]:
    shape = part.shape
    if shape.metal is not None:
        grade = "" if shape.metal.grade == "unknown" else f", grade {shape.metal.grade}"
        yield "metal", shape.metal.text + grade
    for key, (name, dimension) in FIGURES.items():
        value = getattr(shape, key, None)
        if value is not None:
            real = "line mass" if key == "mass" and part.slot == "rail" else dimension
            yield name, value if isinstance(value, str) else units.show(value, real)
    for grip in getattr(shape, "grips", ()):
        yield f"grips {grip.shape}", _measured(grip)
    if isinstance(shape, schema.Clamp):
        screw = shape.set_screw
        yield "set screws", f"{screw.count}, {screw.metal.text}, {screw.tip} tip"
        if shape.screw_order:
            yield "order of the screws", ", then ".join(shape.screw_order)
    if isinstance(shape, schema.Rail):
        limits = shape.limits
        up, down = units.show(limits.uplift, "pressure"), units.show(limits.down, "pressure")
        yield "span and end hold up to", f"{up} away from the roof, {down} towards it"
        if shape.section is not None:
            yield from _section(shape.section)
    if isinstance(shape, schema.ModuleClamp):
        yield "holds frames", f"{shape.frame}"
    if isinstance(shape, schema.Module):
        yield "frame", f"{units.show(shape.frame, 'length')}, {shape.frame_metal.text}"
        yield "may be clamped on", f"{shape.sides} sides"
    if isinstance(shape, schema.Splice):
        yield "movement", shape.movement
    if isinstance(shape, schema.Profile):
        yield "seam", f"{shape.shape}, height {shape.height}, made {shape.made}"
    if isinstance(shape, schema.Goods):
        yield from _ordered(shape)
    if shape.revision is not None:
        yield "revision", shape.revision
    elif part.slot == "clamp":
        yield "revision", "none, so no record counts for it"
    if shape.generation == "old":
        yield "generation", "old: not sold for a new array"


def _bolt(part: Part, base: Base) -> Iterator[tuple[str, str]]:
    """Its bolt, and what the listed torque makes of it."""
    bolt = getattr(part.shape, "bolt", None)
    if bolt is None:
        return
    finish = next((r.shape.text for r in base.trade.friction if r.shape.id == bolt.finish), "")
    sense = bolt_sense(base, bolt)
    force, full = bears(sense)
    yield "bolt", f"{bolt.thread}, class {bolt.strength}, {finish or 'finish not said'}"
    yield "torque of the bolt", f"{units.show(bolt.torque, 'torque')}: {sense.word}"
    yield "gives", f"{force}, by its friction; 90 % of what it bears from {full} on"


def _section(section: schema.RailSection) -> Iterator[tuple[str, str]]:
    """What it resists with."""
    for key, (name, dimension) in SECTION.items():
        yield name, units.show(getattr(section, key), dimension)


def _ordered(goods: schema.Goods) -> Iterator[tuple[str, str]]:
    """How it is sold."""
    if isinstance(goods, schema.Rail) and goods.stock_lengths:
        yield "sold in bars of", ", ".join(units.show(x, "length") for x in goods.stock_lengths)
    if isinstance(goods, schema.ModuleClamp) and goods.place is not None:
        yield "holds only", goods.place
    if goods.price is not None:
        a_metre = " for one metre" if isinstance(goods, schema.Rail) else ""
        yield "price", f"{goods.price.amount:.2f} {goods.price.currency}{a_metre}"
    if goods.pack is not None:
        yield "sold in packs of", str(goods.pack)


def _joins(part: Part, catalogue: Catalogue) -> Iterator[Joins]:
    shape = part.shape
    everyone = sorted(catalogue.parts.values(), key=lambda p: p.id)

    def of(test: Callable[[Part], bool]) -> tuple[Part, ...]:
        return tuple(p for p in everyone if test(p))

    if shape.offers is not None:
        above = of(lambda p: shape.offers in p.shape.takes)
        yield Joins(f"offers {shape.offers}, taken by", above)
    for name in shape.takes:
        below = tuple(p for p in everyone if p.shape.offers == name)
        yield Joins(f"takes {name}, offered by", below)
    yield Joins("listed for", of(lambda p: p.handle in shape.listed_for))
    yield Joins("listed for it", of(lambda p: part.handle in p.shape.listed_for))
    yield Joins("needs", of(lambda p: p.handle == getattr(shape, "needs_insert", None)))
    yield Joins("brings along", of(lambda p: p.handle in getattr(shape, "brings", ())))
    family = getattr(shape, "family", None)
    if family is not None:
        kin = of(lambda p: getattr(p.shape, "family", None) == family and p != part)
        yield Joins(f"same family {family}", kin)
    yield Joins("takes only", of(lambda p: p.handle == getattr(shape, "takes_only", None)))


def _speaks_of(record: schema.RecordShape, part: Part) -> bool:
    handle, offered = part.handle, part.shape.offers
    if isinstance(record, schema.ClampRecord):
        return handle in (record.part.clamp, record.part.insert, record.part.inlay)
    if isinstance(record, schema.JointRecord):
        lower = offered is not None and offered == record.lower
        return lower or handle in (record.lower, record.bolts, record.upper)
    if isinstance(record, schema.ModuleClampRecord):
        return handle == record.clamp
    return isinstance(record, schema.ModuleRecord) and handle == record.module


def _about(rule: Rule, part: Part) -> bool:
    spoken = SPOKEN.get(part.slot, ())
    if part.shape.offers is not None or part.shape.takes:
        spoken = (*spoken, *JOINTS)
    if part.shape.metal is not None:
        spoken = (*spoken, "contact.upper", "contact.pairing")
    return any(str(path).startswith(spoken) for path in paths_of(rule)) if spoken else False


def _direction(name: str, result: object) -> Direction:
    if result == schema.OWNERS:
        return Direction(name, schema.OWNERS, "no figure is known here")
    if not isinstance(result, schema.Result):
        return Direction(name, "not tested", "counts as zero")
    design = result.design.en
    characteristic = units.show(result.characteristic.value, "force")
    mean = units.show(result.mean, "force")
    from_what = f"{result.n} tests, mean {mean}, characteristic {characteristic}"
    if isinstance(design, str):
        return Direction(name, "no design value", f"{from_what}; counts as zero")
    return Direction(name, f"{units.show(design.value, 'force')} design", from_what)


def _covers(shape: schema.RecordShape) -> tuple[str, list[tuple[str, str]]]:
    if isinstance(shape, schema.ClampRecord):
        return _clamp_covers(shape)
    if isinstance(shape, schema.ClipRecord):
        deck = "any" if shape.deck is None else f"{shape.deck.kind}, {shape.deck.thickness}"
        return shape.clip, [
            ("seams", ", ".join(shape.shapes)),
            ("deck", deck),
            ("roof zones", ", ".join(shape.zones)),
            ("values are", "what is left for the array" if "after" in shape.basis else "gross"),
        ]
    if isinstance(shape, schema.JointRecord):
        return " + ".join(p for p in (shape.lower, shape.bolts, shape.upper) if p), []
    if isinstance(shape, schema.ModuleClampRecord):
        return f"{shape.clamp} on {shape.sits_on}", [("module frame", str(shape.frame))]
    if isinstance(shape, schema.ModuleRecord):
        lines = " or ".join(map(str, shape.lines))
        return shape.module, [
            ("clamped on", f"{shape.sides} sides, {lines} rail lines"),
            ("rail lines from the end", str(shape.zone)),
            ("rated away from the roof", units.show(shape.up, "pressure")),
            ("rated towards the roof", units.show(shape.down, "pressure")),
        ]
    return shape.id, []


def _clamp_covers(shape: schema.ClampRecord) -> tuple[str, list[tuple[str, str]]]:
    part, seam, sheet = shape.part, shape.sits_on, shape.sheet
    about = " with ".join(p for p in (part.clamp, part.insert, part.inlay) if p)
    coating = f", {' on '.join(sheet.coating)}" if sheet.coating else ""
    metal = sheet.listed_in or f"{sheet.family or sheet.metal}{coating}, core {sheet.covers}"
    torque = part.torque
    gives = [(k, getattr(shape.give, k, None)) for k in ("sideways", "along")]
    lengths = [f"{units.show(v, 'length')} {k}" for k, v in gives if v is not None]
    return about, [
        ("seam", f"{seam.shape}, closed {seam.closed}, {_measured(seam)}"),
        ("sheet", metal),
        ("torque", torque if isinstance(torque, str) else units.show(torque, "torque")),
        ("revisions", ", ".join(part.revisions)),
        *([("gives way", ", ".join(lengths))] if lengths else []),
    ]


def _measured(held: schema.Grip | schema.SeamCover) -> str:
    """Windows of a seam, or the profile that stands for them."""
    windows = [(k, getattr(held, k)) for k in ("height", "head", "leg", "bulb", "neck")]
    shown = ", ".join(f"{k} {w}" for k, w in windows if w is not None)
    return shown or f"profile {held.profile} by its {schema.OWNERS}"
