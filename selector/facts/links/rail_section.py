"""The section of a rail part in SI, and the edition that its metal is judged by."""

from selector.engineering.rail_en import Section
from selector.engineering.tables import MemberEdition
from selector.knowledge import schema
from selector.knowledge.base import Base, Part

MATERIALS = {"aluminium": "aluminium", "steel": "steel"}  # metal of the vocabulary -> edition


def section_of(part: Part) -> Section | None:
    """What the catalogue states of a section; None where it states none."""
    assert isinstance(part.shape, schema.Rail)
    found = part.shape.section
    if found is None:
        return None
    return Section(
        wel_m3=found.wel / 1e9,
        wnet_m3=found.wnet / 1e9,
        av_m2=found.av / 1e6,
        iy_m4=found.iy / 1e12,
        yield_pa=found.fo * 1e3,
        ultimate_pa=found.fu * 1e3,
        shape_factor=found.alpha,
        source=part.catalogue,
        status=found.status,
        origin=f"{part.file}:{part.line}",
    )


def edition_of(base: Base, part: Part) -> MemberEdition | None:
    """The edition for members of this rail's metal; None where the base has none."""
    metal = part.shape.metal
    material = None if metal is None else MATERIALS.get(metal.metal)
    return None if material is None else base.codes.members(material)
