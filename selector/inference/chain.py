"""The chain of a stack from the seam up: its joints and its metallic contacts."""

import itertools

from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.model.stack import Contact, Core, Joint


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


def sheet_contacts(clamp: Part, insert: Part | None, inlay: Part | None) -> list[Contact]:
    """What touches the sheet: jaw, set screw, and an insert of metal."""
    between = None if inlay is None else inlay.id
    found = [
        Contact("on the sheet", clamp.id, "sheet", between),
        Contact("on the sheet", f"{clamp.id}:screw", "sheet", between),
    ]
    if insert is not None and insert.shape.metal is not None:
        found.append(Contact("on the sheet", insert.id, "sheet"))
    return found


def part_contacts(base: Base, core: Core, module_clamp: str | None, module: str) -> list[Contact]:
    """Metals that touch inside the stack, once each."""

    def part(part_id: str) -> Part:
        return base.catalogues[part_id.partition("/")[0]].parts[part_id]

    pairs: list[tuple[str, str]] = [(f"{core.clamp}:screw", core.clamp)]
    for joint in joints(core, module_clamp):
        if joint.bolts is not None:
            pairs += [(joint.bolts, joint.lower), (joint.upper, joint.bolts)]
        pairs.append((joint.upper, joint.lower))
    frame = f"{module}:frame"
    pairs.append((frame, carriers(core)[-1]))
    if module_clamp is not None:
        pairs.append((module_clamp, frame))
    if isinstance(part(module).shape, schema.Module):
        return [Contact("between parts", a, b) for a, b in dict.fromkeys(pairs)]
    return []
