"""Clip records of the demo catalogue as if they were stated gross, for tests."""

from dataclasses import replace

from selector.knowledge import schema
from selector.knowledge.base import Base, Record
from selector.model.job import ZONES


def gross_base(base: Base, kilonewton: float | None = None, *, beside: bool = False) -> Base:
    """The base with every clip record gross, its design pull as given; or such beside the old."""
    catalogue = base.catalogues["demo"]
    records: list[Record] = []
    for record in catalogue.records:
        if not isinstance(record.shape, schema.ClipRecord):
            records.append(record)
            continue
        shape = record.shape.model_copy(update={"basis": "gross"})
        if kilonewton is not None and not isinstance(shape.pull, str):
            value = shape.pull.design.en.model_copy(update={"value": round(kilonewton * 1e6)})
            design = shape.pull.design.model_copy(update={"en": value})
            shape = shape.model_copy(
                update={"pull": shape.pull.model_copy(update={"design": design})}
            )
        if beside:  # those of the field in every zone, so that they count wherever the block lies
            of_field = "field" in record.shape.zones
            zones = list(ZONES) if of_field else record.shape.zones
            old = record.shape.model_copy(update={"zones": zones})
            records.append(replace(record, shape=old))
        records.append(replace(record, id=f"{record.id}-gross", shape=shape))
    gross = replace(catalogue, records=tuple(records))
    return replace(base, catalogues={**base.catalogues, "demo": gross})
