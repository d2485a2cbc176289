"""Rail pieces joined of what bars give, and the bars that they are sawn from."""

from selector.facts.places.stack import Limits
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.layout.cut import Stock, cut_plan
from selector.layout.model import CutPlan, Rail
from selector.layout.splices import Joining, Unjoined, parts_of

RIGID = "blocked"  # how a catalogue calls the movement of a splice that lets none through


def joining(base: Base, rail: Part, limits: Limits) -> Joining | None:
    """How pieces of a rail may be joined; None where its catalogue names no bars."""
    if not limits.stock:
        return None
    return Joining(
        longest=max(limits.stock),
        splices=int(_rigid(base, rail)),
        clear=base.numbers["splice_clear"].value.places[0].high,
        shortest=base.numbers["reusable_offcut"].value.places[0].high,
    )


def _rigid(base: Base, rail: Part) -> bool:
    """Whether the catalogue lists a rigid splice of the family of this rail."""
    assert isinstance(rail.shape, schema.Rail)
    shapes = (p.shape for p in base.catalogues[rail.catalogue].parts.values())
    family = rail.shape.family
    return any(
        isinstance(s, schema.Splice) and s.family == family and s.movement == RIGID for s in shapes
    )


def parts(
    ends: tuple[int, int], clamps: tuple[int, ...], rules: Joining | None
) -> tuple[int, ...] | Unjoined:
    """Lengths that a piece is joined of; the whole piece where no bars are named."""
    if rules is None:
        return (ends[1] - ends[0],)
    return parts_of(*ends, clamps, rules)


def sawn(base: Base, rails: tuple[Rail, ...], limits: Limits) -> CutPlan | None:
    """Bars for all rails; None where the catalogue names none."""
    if not limits.stock:
        return None
    lengths = [part for rail in rails for piece in rail.pieces for part in piece.parts]
    kerf, rest = (base.numbers[n].value.places[0].high for n in ("saw_kerf", "reusable_offcut"))
    return cut_plan(lengths, Stock(limits.stock, kerf, rest))
