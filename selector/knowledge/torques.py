"""What the listed torque of a bolt makes of it: catalogue and facts of the trade put together.

Only bolts that are pulled. The torque of set screws is that of the clamp's record: they are
pressed, their socket gives way first, and no table here says when.
"""

from collections.abc import Iterator

from selector import units
from selector.engineering.bolting import TorqueSense, sense_of
from selector.knowledge import metal_tables, schema
from selector.knowledge.base import Base, Part

SHARE = 1e6  # canonical share: millionths


def bolt_sense(base: Base, bolt: schema.Bolt) -> TorqueSense:
    """Whether the torque of a bolt makes sense for its thread, class and finish."""
    book = base.trade
    return sense_of(
        metal_tables.thread_forms(book)[bolt.thread],
        metal_tables.grades(book)[bolt.strength],
        bolt.torque / metal_tables.NM,
        metal_tables.friction_of(book, bolt.finish),
        base.numbers["bolt_least_share"].value.places[0].low / SHARE,
        metal_tables.breaking_nm(book, bolt.thread, bolt.strength),
    )


def bears(sense: TorqueSense) -> tuple[str, str]:
    """What it gives, and from which torque on it is at 90 % of what it bears, both by friction."""
    low_n, high_n = (round(n / 100) * 100_000 for n in (sense.preload_low_n, sense.preload_high_n))
    low_nm, high_nm = (round(nm * 10) * 100 for nm in (sense.full_low_nm, sense.full_high_nm))
    return units.show_window(low_n, high_n, "force"), units.show_window(low_nm, high_nm, "torque")


def bolts(base: Base) -> Iterator[tuple[Part, schema.Bolt]]:
    """Every part of every catalogue that lists a bolt."""
    for catalogue in base.catalogues.values():
        for part in catalogue.parts.values():
            if isinstance(part.shape, schema.BoltSet | schema.ModuleClamp) and part.shape.bolt:
                yield part, part.shape.bolt
