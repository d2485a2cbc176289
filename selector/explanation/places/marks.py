"""What stands against a layout, as frames on its plan: each fault named, and where it is."""

from collections.abc import Iterator

from selector import units
from selector.explanation.narrate import fill
from selector.explanation.places.plan_svg import Mark
from selector.explanation.places.telling import PlacesTelling
from selector.layout.model import Box, Placed, Rail
from selector.model.truth import Word

ROUND = units.parse("60 mm", "length")  # around a place on a rail, so that it is seen


def marks_of(telling: PlacesTelling) -> tuple[Mark, ...]:
    """Faults of the layout that is told; none where nothing is drawn."""
    laid = telling.laid
    if laid.placed is None:
        return ()
    faults = [Mark(telling.fault(fault), fault.box) for fault in laid.faults]
    return (*faults, *_flaws(telling, laid.placed), *_by_rules(telling))


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


def _by_rules(telling: PlacesTelling) -> Iterator[Mark]:
    """Clamps that a rule holds back where they are drawn."""
    placed = telling.laid.placed
    xs = {seam.id: seam.x for seam in placed.roof.seams} if placed is not None else {}
    for finding in telling.laid.option.verdict.findings:
        place, word = finding.judgement.subject.binding.place, finding.rule.word
        if place is None or place.seam not in xs or not finding.surely or word is None:
            continue
        if word >= Word.ENGINEER:
            x, y = xs[place.seam], place.from_eave
            text = fill(finding.rule.message, finding.rule, finding.judgement, telling.texts)
            yield Mark(text, Box(x - ROUND, x + ROUND, y - ROUND, y + ROUND))
