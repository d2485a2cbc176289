"""The metal of a sheet: what its sightings leave, less what magnet, coat and colour rule out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from selector.facts.view import View, reads
from selector.knowledge.trade import Row, SheetColour
from selector.model.fact import Fact, Reading, Reasons, all_of
from selector.model.job import Paper
from selector.model.quantity import Candidates, Unknown

METAL, MAGNET = "plane.sheet.metal", "plane.sheet.magnet"
COATING, COLOUR = "plane.sheet.coating", "plane.sheet.colour"
MAGNETIC = {  # carbon steel is ferromagnetic; stainless may be (ferritic) or not (austenitic)
    "strong": frozenset({"steel", "stainless"}),
    "weak": frozenset({"steel", "stainless"}),
    "none": frozenset({"aluminium", "zinc", "copper", "stainless", "lead", "copper-alloy"}),
}
BARE = Candidates(frozenset({"none"}))
COVERED = Unknown("its colour counts on a bare sheet only")


@dataclass(frozen=True)
class Hint:
    """Metals that something else than the metal allows, and whether it may take one away."""

    paths: tuple[str, ...]
    can_be: frozenset[str]
    because: Reasons
    narrows: bool


@reads(METAL, "choice")
def sheet_metal(view: View) -> Reading:
    """Metals that the sightings leave.

    A magnet, a coat that an offcut or paper shows, and the colour of a sheet that one shows to be
    bare take those away that cannot be. Whatever cannot be at once contradicts. They never settle
    the metal: where one alone would be left, all that were seen stay.
    """
    seen = view.observed(view.base.vocabulary.quantities[METAL])
    if isinstance(seen.value, Unknown) and seen.value.why == "contradicted":
        return seen
    metals = frozenset(view.base.vocabulary.words["metal"])
    named = seen.value.left if isinstance(seen.value, Candidates) else metals
    hints = [h for h in (_pulled(view), _below_coat(view), _coloured(view)) if h is not None]
    clash = _clash(named, hints)
    if clash:
        return view.unknown(METAL, "contradicted", seen.entity, (METAL, *clash))
    left, because = named, [seen.because] if named is not metals else []
    for hint in hints:
        if hint.narrows and _fewer(left, hint.can_be):
            left &= hint.can_be
            because.append(hint.because)
    value = seen.value if left == named else Candidates(left)
    helps = _helps(view, left, isinstance(seen.value, Candidates))
    if COATING in helps and value == Unknown("not asked"):
        value = COVERED
    asks = (METAL, *helps) if helps else ()
    if left == named:
        return replace(seen, value=value, asks=asks)
    return Reading(value, all_of(because), METAL, seen.entity, asks)


def _fewer(left: frozenset[str], can_be: frozenset[str]) -> bool:
    """Whether some metals are taken away and more than one stays."""
    return 1 < len(left & can_be) < len(left)


def _clash(named: frozenset[str], hints: Sequence[Hint]) -> tuple[str, ...]:
    """Paths of the fewest hints that leave none of the metals; empty where some metal is left."""
    for number in range(1, len(hints) + 1):
        for some in combinations(hints, number):
            if not named.intersection(*(hint.can_be for hint in some)):
                return tuple(path for hint in some for path in hint.paths)
    return ()


def _helps(view: View, left: frozenset[str], named: bool) -> tuple[str, ...]:
    """What else may take a metal away: the colour of a bare sheet, or whether it is bare.

    A colour is asked for where metals were named, so never in place of a cut edge.
    """
    coat, shown = _coat(view).value, _on_paper(view, COATING)
    colours = view.words(COLOUR)
    if colours is not None:
        open_coat = not isinstance(coat, Candidates) or "none" in coat.left
        bare = coat == BARE and shown
        helps = open_coat and not bare and _fewer(left, _metals(_rows(view, colours)))
        return (COATING,) if helps else ()
    rows = view.base.trade.sheet_colours
    if named and coat == BARE and shown and any(_fewer(left, _metals([r])) for r in rows):
        return (COLOUR,)
    return ()


def _pulled(view: View) -> Hint | None:
    """Metals that hold a magnet as this one does."""
    pulls = view.words(MAGNET)
    if pulls is None:
        return None
    can_be = frozenset().union(*(MAGNETIC[p] for p in pulls))
    return Hint((MAGNET,), can_be, view.read(MAGNET).because, narrows=True)


def _below_coat(view: View) -> Hint | None:
    """Metals that each layer of some coat seen can lie on; None where any can."""
    seen = _coat(view)
    over = {row.shape.id: frozenset(row.shape.over) for row in view.base.trade.coatings}
    every = frozenset(view.base.vocabulary.words["metal"])
    if not isinstance(seen.value, Candidates):
        return None
    found: frozenset[str] = frozenset()
    for coat in seen.value.left:
        layers = [over.get(layer) or every for layer in coat.split(" on ")]
        found |= frozenset.intersection(*layers)
    if found == every:
        return None
    return Hint((COATING,), found, view.read(COATING).because, _on_paper(view, COATING))


def _coloured(view: View) -> Hint | None:
    """Metals that can have this colour; None but on a bare sheet, since coats hide the metal.

    A sheet that is bare by the eyes alone may be tinned or painted, so there it only contradicts.
    """
    colours, coat = view.words(COLOUR), _coat(view)
    if colours is None or coat.value != BARE:
        return None
    rows = _rows(view, colours)
    because = all_of([view.read(COLOUR).because, coat.because, _table(rows)])
    return Hint((COLOUR, COATING), _metals(rows), because, _on_paper(view, COATING))


def _rows(view: View, colours: frozenset[str]) -> list[Row[SheetColour]]:
    return [row for row in view.base.trade.sheet_colours if row.shape.id in colours]


def _metals(rows: Iterable[Row[SheetColour]]) -> frozenset[str]:
    return frozenset(metal for row in rows for metal in row.shape.metals)


def _table(rows: Iterable[Row[SheetColour]]) -> Reasons:
    """The rows of the table of colours."""
    facts = set()
    for row in rows:
        shape = row.shape
        *first, last = shape.metals
        shown = f"{shape.id} on a bare sheet: {', '.join(first)} or {last}"
        facts.add(
            Fact("trade.sheet_colour", shape.id, shown, row.origin, shape.source, shape.status)
        )
    return (frozenset(facts),)


def _coat(view: View) -> Reading:
    """The coat that was seen, not that of a world: a world tries each coat with each metal."""
    return view.observed(view.base.vocabulary.quantities[COATING])


def _on_paper(view: View, path: str) -> bool:
    """Whether an offcut or a paper shows it, each time that it was seen; a photo does not."""
    sighted = view.sighted(path)
    papers = view.job.papers if view.job is not None else {}
    kinds = [papers[s.paper].kind if s.paper else "" for s in sighted.sightings] if sighted else []
    return bool(kinds) and all(kind in Paper.SHOWS_A_COAT for kind in kinds)
