"""The chain of a stack from the seam up: its joints and its metallic contacts."""

import itertools

from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.model.contact import BETWEEN, ON_SHEET, Contact, Side
from selector.model.stack import Core, Joint


def carriers(core: Core) -> list[str]:
    """Parts that carry load from the clamp up, bolts left out."""
    chain = (core.clamp, *core.adapters, core.rail, core.frame, core.cross, core.upper_rail)
    return [p for p in chain if p]


def joints(core: Core, module_clamp: str | None) -> list[Joint]:
    """Joints from below; bolts belong to the joint below the rail."""
    chain = carriers(core)
    found: list[Joint] = []
    for lower, upper in itertools.pairwise(chain):
        found.append(Joint(lower, core.bolts if upper == core.rail else None, upper))
    if module_clamp is not None:
        bolts = core.bolts if core.rail is None else None
        found.append(Joint(chain[-1], bolts, module_clamp))
    return found


SHEET = Side("sheet")
ROLE_OF = {  # slot -> role of a part where another one touches it
    "clamp": "body",
    "insert": "insert",
    "adapter": "adapter",
    "bolts": "bolt",
    "rail": "rail",
    "cross": "cross connector",
    "frame": "frame",
    "module_clamp": "module clamp",
    "module": "module frame",
}


def side(part: Part, role: str = "") -> Side:
    """A part as one side of a contact; its set screw and its frame are metals of their own."""
    role = role or ROLE_OF[part.slot]
    shape, point = part.shape, ""
    metal = shape.metal
    if role == "set screw" and isinstance(shape, schema.Clamp):
        metal, point = shape.set_screw.metal, shape.set_screw.tip
    if role == "module frame" and isinstance(shape, schema.Module):
        metal = shape.frame_metal
    if metal is None:
        return Side(role, part=part.id)
    return Side(role, metal.metal, metal.coating, metal.grade, point, part.id)


WIRES = {  # earth wires that a job can name; one of two metals meets each part with its own
    "bare copper": Side("bonding wire", "copper"),
    "tinned copper": Side("bonding wire", "copper", ("tin",)),
    "aluminium": Side("bonding wire", "aluminium"),
}


def wire_contacts(base: Base, core: Core, wire: str) -> list[Contact]:
    """The lug of a named earth wire on the uppermost part that carries."""
    lug = WIRES.get(wire)
    return [] if lug is None else [Contact(BETWEEN, lug, side(base.part(carriers(core)[-1])))]


def sheet_contacts(clamp: Part, insert: Part | None, inlay: Part | None) -> list[Contact]:
    """What touches the sheet: jaw, set screw, and an insert of metal."""
    between, isolation = None, "none"
    if inlay is not None:
        between = inlay.id
        isolation = "listed" if inlay.is_listed_for(clamp) else "not listed"
    found = [
        Contact(ON_SHEET, side(clamp, role), SHEET, between, isolation)
        for role in ("jaw", "set screw")
    ]
    if insert is not None and insert.shape.metal is not None:
        found.append(Contact(ON_SHEET, side(insert), SHEET))
    return found


def part_contacts(base: Base, core: Core, module_clamp: str | None, module: str) -> list[Contact]:
    """Metals that touch inside the stack, once each."""

    def of(part_id: str, role: str = "") -> Side:
        return side(base.part(part_id), role)

    pairs: list[tuple[Side, Side]] = [(of(core.clamp, "set screw"), of(core.clamp))]
    for joint in joints(core, module_clamp):
        if joint.bolts is not None:
            pairs += [(of(joint.bolts), of(joint.lower)), (of(joint.upper), of(joint.bolts))]
        pairs.append((of(joint.upper), of(joint.lower)))
    frame = of(module)
    pairs.append((frame, of(carriers(core)[-1])))
    if module_clamp is not None:
        pairs.append((of(module_clamp), frame))
    if isinstance(base.part(module).shape, schema.Module):
        return [Contact(BETWEEN, a, b) for a, b in dict.fromkeys(pairs)]
    return []
