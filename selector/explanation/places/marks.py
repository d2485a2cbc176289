"""What stands against a layout, as frames on its plan: each fault named, and where it is."""

from collections.abc import Iterator

from selector import units
from selector.explanation.places.plan_svg import Mark
from selector.explanation.places.telling import PlacesTelling
from selector.layout.model import Box, Placed, Rail

ROUND = units.parse("60 mm", "length")  # around a place on a rail, so that it is seen


def marks_of(telling: PlacesTelling) -> tuple[Mark, ...]:
    """Faults of the layout that is told; none where nothing is drawn."""
    laid = telling.laid
    if laid.placed is None:
        return ()
    faults = [Mark(telling.fault(fault), fault.box) for fault in laid.faults]
    return (*faults, *_flaws(telling, laid.placed))


def _flaws(telling: PlacesTelling, placed: Placed) -> Iterator[Mark]:
    """Limits that a rail passes, between the seams that it passes them on."""
    rails = {rail.id: rail for rail in placed.rails}
    xs = {seam.id: seam.x for seam in placed.roof.seams}
    for name, flaw in telling.laid.flaws:
        rail = rails[name]
        at = [xs[seam] for seam in flaw.seams if seam in xs] or _ends(rail)
        box = Box(min(at) - ROUND, max(at) + ROUND, rail.y - ROUND, rail.y + ROUND)
        yield Mark(telling.flaw(name, flaw), box)


def _ends(rail: Rail) -> list[int]:
    return [rail.pieces[0].x0, rail.pieces[-1].x1]
