"""All links of a laid-out stack: those of the rules, and what the layout adds to them.

The rail by its section on its real clamps, movement by temperature, in the order from module to
board. Links that the rules judge already keep their words; the others are told beside them.
"""

from collections.abc import Iterator

from selector.facts.links.climate import Climate, climates_of
from selector.facts.links.held_sheets import held_of
from selector.facts.links.model import Link
from selector.facts.links.movement_link import (
    along_links,
    give_of,
    milder_of,
    movement_links,
    sheets_links,
)
from selector.facts.links.rail_link import rail_links, worst_of
from selector.facts.links.rail_loads import Stated, line_loads
from selector.facts.links.touching import Direction
from selector.facts.view import View
from selector.inference.laid_out import LaidOut
from selector.inference.links import chain_of
from selector.model.quantity import Unknown

FIGURES: dict[Direction, str] = {"up": "net_uplift", "down": "net_down"}
BEFORE = "joint_up"  # what the rail adds stands before the first joint below it
AFTER = "fixed_clips"  # what moves stands behind the last clip


def whole_chain(laid: LaidOut) -> tuple[Link, ...]:
    """Every link of a stack as it is laid out, from the module down to the building."""
    links = chain_of(laid.option, laid.lacking)
    if laid.placed is None:
        return links
    view = next(j.view for j in laid.option.judgements if j.subject.kind == "stack")
    rails, moves = tuple(_rails(laid, view)), _moves(laid, view)
    names = [link.name for link in links]
    first = names.index(BEFORE) if BEFORE in names else len(names)
    last = names.index(AFTER) + 1 if AFTER in names else len(names)
    return (*links[:first], *worst_of(rails), *links[first:last], *worst_of(moves), *links[last:])


def _rails(laid: LaidOut, view: View) -> Iterator[Link]:
    """Each rail line in both directions, on its clamps as they stand."""
    placed, part = laid.placed, view.binding.rail
    if placed is None or part is None:
        return
    stated: dict[Direction, Stated] = {}
    for direction, figure in FIGURES.items():
        found = view.stated(figure)
        if not isinstance(found, Unknown) and figure not in laid.worked:
            value, fact = found
            stated[direction] = Stated(value.value / 1000, fact.seen, fact.status)
    rows = {row.number: row for row in placed.rows}
    for rail in placed.rails:
        loads, _ = line_loads(laid.loads, placed, rail, stated)
        for load in loads:
            row = rows[rail.row]
            yield from rail_links(view.base, part, rail, row, load, placed.roof.seams)


def _moves(laid: LaidOut, view: View) -> tuple[Link, ...]:
    """What the temperature moves: rails across the seams, rows and sheets along them."""
    placed, part = laid.placed, view.binding.rail
    if placed is None or part is None:
        return ()
    give, held = give_of(view), held_of(view)
    sheet = view.words("plane.sheet.metal") or frozenset()
    tie = getattr(view.part(placed.module).shape, "frame_metal", None)
    frame = tie.metal if tie is not None else ""

    def links(climate: Climate) -> tuple[Link, ...]:
        return (
            *movement_links(view.base, part, placed, give, climate),
            *along_links(view.base, placed, sheet, frame, give, climate),
            *sheets_links(view.base, placed, sheet, held, give, climate),
        )

    return milder_of(climates_of(view), links)
