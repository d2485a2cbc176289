"""What published tables say of a pair, each beside our word; none of them decides."""

from dataclasses import dataclass
from itertools import product

from selector.inference.pair import Paired, Site
from selector.knowledge.base import Base
from selector.knowledge.pair_facts import PublishedPairs, Sign
from selector.knowledge.schema import MetalWords
from selector.model.contact import ABOVE, Side
from selector.model.quantity import Candidates, Measured
from selector.model.truth import Word

SALT, SULPHUR, CLEAN = "salt", "sulphur", "clean"
SALTY = ("site.salted_road", "site.pool_hall")
SEA, OF = "site.sea_distance", "site.harsh_air_of"


@dataclass(frozen=True)
class Cell:
    """What one table says in one column; a table with one column has no name for it."""

    column: str
    sign: Sign


@dataclass(frozen=True)
class Told:
    """One table on one pair."""

    table: PublishedPairs
    cells: tuple[Cell, ...]  # those that count in this air; empty: it is silent on the pair
    word: Word | None  # the strictest of them
    dissent: str  # none | stricter | milder, against our word


def told(base: Base, paired: Paired) -> list[Told]:
    """Every table that knows both metals; those of touching metals say nothing of run-off."""
    if paired.contact.place == ABOVE:
        return []
    air = _air(base, paired.air.site)
    rows = [_one(row.shape, paired, air) for row in base.trade.published_pairs]
    return [found for found in rows if found.cells]


def _one(table: PublishedPairs, paired: Paired, air: frozenset[str]) -> Told:
    contact = paired.contact
    sides = (table.sides_of(_words(side)) for side in (contact.upper, contact.lower))
    signs = [cell for pair in product(*sides) if (cell := table.cell(*pair)) is not None]
    names = list(table.columns)
    cells = tuple(
        Cell(names[i], max((table.signs[cell[i]] for cell in signs), key=_strictness))
        for i in (table.columns_in(air) if signs else ())
    )
    word = max((Word.of(cell.sign.word) for cell in cells), default=None)
    return Told(table, cells, word, "none" if word is None else _dissent(word, paired.word))


def _strictness(sign: Sign) -> Word:
    return Word.of(sign.word)


def _dissent(theirs: Word, ours: Word) -> str:
    """A table that says yes where we wait is milder; one that says no is stricter."""
    if theirs == ours:
        return "none"
    return "stricter" if theirs > ours else "milder"


def _words(side: Side) -> MetalWords:
    return MetalWords(metal=side.metal or "", coating=side.coating, grade=side.grade)


def _air(base: Base, site: Site) -> frozenset[str]:
    """The kinds of air that a column may be for; empty where nothing is known of the air."""
    if SEA not in site:
        return frozenset()
    found = {SALT for path in SALTY if _is(site, path, "present")}
    sea, limit = site[SEA].value, base.numbers["salt_distance"].value
    if isinstance(sea, Measured) and sea.places[0].low <= limit.places[0].high:
        found.add(SALT)
    if _is(site, OF, "soot"):
        found.add(SULPHUR)
    return frozenset(found or {CLEAN})


def _is(site: Site, path: str, word: str) -> bool:
    found = site.get(path)
    return (
        found is not None
        and isinstance(found.value, Candidates)
        and found.value.left == frozenset({word})
    )
