"""How the rails of a stack are sawn: bars that are sold, splices that its catalogue lists."""

from selector.facts.places.stack import Limits
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.layout.cut import Stock
from selector.layout.model import Rail
from selector.layout.saw import Sawn, saw
from selector.layout.splices import Joining

RIGID = "blocked"  # how a catalogue calls the movement of a splice that lets none through


def sawn(base: Base, rail: Part, rails: tuple[Rail, ...], limits: Limits) -> Sawn:
    """Rails with the lengths that their pieces are joined of, and the bars to buy.

    Pieces stay whole, without a plan, where the catalogue names no bars. At most one rigid splice a
    piece, and only where one of this rail's family is listed.
    """
    if not limits.stock:
        return Sawn(rails, None)
    kerf, rest, clear = (
        base.numbers[name].value.places[0].high
        for name in ("saw_kerf", "reusable_offcut", "splice_clear")
    )
    rules = Joining(max(limits.stock), int(_rigid(base, rail)), clear, rest)
    return saw(rails, Stock(limits.stock, kerf, rest), rules)


def _rigid(base: Base, rail: Part) -> bool:
    """Whether the catalogue lists a rigid splice of the family of this rail."""
    assert isinstance(rail.shape, schema.Rail)
    shapes = (p.shape for p in base.catalogues[rail.catalogue].parts.values())
    family = rail.shape.family
    return any(
        isinstance(s, schema.Splice) and s.family == family and s.movement == RIGID for s in shapes
    )
