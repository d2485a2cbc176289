"""What the list of pairings says of two metals that meet, and of water from above."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from selector.facts.parts import family_of
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import PairingRow
from selector.model.contact import ABOVE, BETWEEN, Contact, Side
from selector.model.fact import TRIVIAL, Fact, Reading, all_of
from selector.model.quantity import Candidates, Filled

EARTH = "earth joint"
NOT_JUDGED, NO_CONTACT, NO_WATER = "not judged", "no contact", "none"
# From the worst on; a pair without a row is judged by nobody, which is worse than any leave.
ORDER = (
    "bad",
    NOT_JUDGED,
    "avoid",
    "good if sealed",
    "good if dry",
    "good if watched",
    "good",
)
AZ = "aluminium-zinc"
COATS = ("none", "paint", "zinc", AZ)  # of a sheet whose coat nobody knows
OTHER_METALS = ("zinc", "coated steel", "aluminium", "stainless")


class Sort(NamedTuple):
    """One way a side can still be: its family, what lies outermost, and coats that rows name."""

    family: str
    outer: str = "none"
    kinds: frozenset[str] = frozenset()


class Judged(NamedTuple):
    """Word of the worst row that fits, that row, who is eaten, and whether a coat decided."""

    word: str
    row: PairingRow | None = None
    eaten: str = "not known"
    by_coat: bool = False
    families: frozenset[str] = frozenset()
    by_salt: bool = False

    @property
    def dissents(self) -> Iterator[Fact]:
        """What other sources say of these families."""
        for other in self.row.shape.dissent if self.row else ():
            if self.row and (not other.of or self.families & set(other.of)):
                text = f"dissent on {self.row.shape.id}: {other.says}"
                yield Fact("dissent", other.source, text, self.row.origin, other.source)

    @property
    def facts(self) -> frozenset[Fact]:
        """The row as a fact; none where there is no row."""
        if self.row is None:
            return frozenset()
        shape = self.row.shape
        text = f"{shape.id}: {shape.judged}, {shape.because}"
        fact = Fact("pairing", shape.id, text, self.row.origin, shape.source, shape.status)
        return frozenset({fact})


# --- how a side can still be -------------------------------------------------------------


def sorts_of(view: View, side: Side) -> list[Sort] | None:
    """Every way that a side can still be; None where nobody knows its metal."""
    if side.metal is not None:
        return list(_sorts(side.metal, " on ".join(side.coating)))
    return sheet_sorts(view) if side.role == "sheet" else None


def sheet_sorts(view: View) -> list[Sort] | None:
    """Every way that the sheet can still be."""
    metals, coats = view.words("plane.sheet.metal"), view.words("plane.sheet.coating")
    if metals is None:
        return None
    found = {s for m in metals for c in coats or COATS for s in _sorts(m, c)}
    return sorted(found)


def _sorts(metal: str, coats: str) -> Iterator[Sort]:
    layers = coats.split(" on ")
    family = family_of(metal, coats)
    if AZ in layers:
        yield Sort(family, layers[0], frozenset({family, AZ}))
        return
    yield Sort(family, layers[0], frozenset({family}))
    if family == "coated steel" and layers[-1] == "tin":  # nobler than steel: pores bare it
        yield Sort("bare steel", layers[0], frozenset({"bare steel"}))
    if family == "coated steel" and layers == ["paint"]:  # what lies below the paint is open
        yield Sort(family, layers[0], frozenset({family, AZ}))


# --- rows ----------------------------------------------------------------------------------


def judged(view: View, place: str, upper: Sort, lower: Sort, salt: str, isolated: bool) -> Judged:
    """The worst row for two metals at a place; nobody has judged what has no row."""
    found: list[Judged] = []
    by_coat = False
    for row in view.base.pairings:
        shape = row.shape
        between = ("listed inlay",) if isolated else ("nothing", "either")
        if shape.place != place or salt not in shape.salt or shape.isolated not in between:
            continue
        turned = place in (BETWEEN, EARTH)
        for a, b, flipped in ((upper, lower, False), (lower, upper, True)):
            if flipped and not turned:
                continue
            by_coat |= _by_coat(shape, a, b)
            if _fits(shape, a, b):
                eaten = _eaten(shape.eaten, a, b)
                families = frozenset({a.family, b.family})
                found.append(Judged(shape.judged, row, eaten, False, families))
    if not found:
        return Judged(NOT_JUDGED, by_coat=by_coat)
    worst = min(found, key=lambda j: (ORDER.index(j.word), j.row.shape.id if j.row else ""))
    return worst._replace(by_coat=by_coat)


def _fits(row: schema.Pairing, upper: Sort, lower: Sort) -> bool:
    spared = {upper.outer, lower.outer} & set(row.spares)
    return not spared and bool(upper.kinds & set(row.upper) and lower.kinds & set(row.lower))


def _by_coat(row: schema.Pairing, upper: Sort, lower: Sort) -> bool:
    """Whether the row would read otherwise under another coat of the same metals."""
    families = AZ in (*row.upper, *row.lower) and "coated steel" in (upper.family, lower.family)
    meets = upper.family in row.upper and lower.family in row.lower
    return families or bool(row.spares and meets)


def _eaten(word: str, upper: Sort, lower: Sort) -> str:
    sides = {"upper": upper.family, "lower": lower.family}
    return sides.get(word, "none" if word == "nobody" else word)


def over_salts(
    view: View, place: str, upper: Sort, lower: Sort, isolated: bool = False
) -> list[Judged]:
    """A judgement for each salt that may be there; one alone where salt makes no difference."""
    salts = _salts(view).value
    every = view.base.vocabulary.words["salt"]
    left = salts.left if isinstance(salts, Candidates) else every
    found = {salt: judged(view, place, upper, lower, salt, isolated) for salt in every}
    if len(set(found.values())) == 1:
        return [next(iter(found.values()))]
    return [found[salt]._replace(by_salt=True) for salt in sorted(left)]


# --- readings --------------------------------------------------------------------------------


def _salts(view: View) -> Reading:
    return view.read("contact.salt" if view.binding.contact is not None else "plane.salt")


def _gathered(view: View, path: str, found: Iterable[Judged], sides: list[Reading]) -> Reading:
    """One reading of all that the sides leave open: words, the rows behind them, what to ask."""
    all_found = list(found)
    words = frozenset(j.word for j in all_found)
    rows = frozenset(f for j in all_found for f in j.facts)
    looked = [*sides, _salts(view)] if any(j.by_salt for j in all_found) else [*sides]
    if _of_the_sheet(view) and any(j.by_coat for j in all_found):  # else nobody looks at it
        looked.append(view.read("plane.sheet.coating"))
    reasons = [r.because or TRIVIAL for r in looked]
    asks = () if len(words) == 1 else _unsettled(looked)
    return Reading(Candidates(words), all_of([*reasons, (rows,)]), path, "", asks)


def _of_the_sheet(view: View) -> bool:
    """Whether the roof says what the lower side is, not a catalogue or whoever asks."""
    contact = view.binding.contact
    return contact is None or contact.lower.metal is None


def _unsettled(readings: Iterable[Reading]) -> tuple[str, ...]:
    """What to look at for the choices among these that are still open."""
    still = [r for r in readings if not isinstance(r.value, Candidates) or len(r.value.left) > 1]
    return tuple(dict.fromkeys(path for r in still for path in r.open_paths))


def _touching(view: View, contact: Contact, isolated: bool) -> list[Judged] | None:
    """Judgements on a contact for every way that its sides and the salt can still be."""
    upper, lower = sorts_of(view, contact.upper), sorts_of(view, contact.lower)
    if upper is None or lower is None:
        return None
    wire = "bonding wire" in (contact.upper.role, contact.lower.role)
    place = EARTH if wire else contact.place
    return [j for a in upper for b in lower for j in over_salts(view, place, a, b, isolated)]


def _pairing(view: View, path: str, isolated: bool) -> Reading:
    contact = view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    if contact.place == ABOVE:
        return Reading(Candidates(frozenset({NO_CONTACT})), TRIVIAL, path)
    sides = [view.read("contact.upper"), view.read("contact.lower")]
    found = _touching(view, contact, isolated)
    if found is None:
        return view.unknown(path, "not asked", "", _unsettled(sides))
    return _gathered(view, path, found, sides)


@reads("contact.pairing", "choice")
def contact_pairing(view: View) -> Reading:
    """What the list says of these two metals with nothing between, or that nobody judged them."""
    return _pairing(view, "contact.pairing", isolated=False)


@reads("contact.dissent", "filled")
def contact_dissent(view: View) -> Reading:
    """What other sources say of these two metals, where they differ from the row that counts."""
    path, contact = "contact.dissent", view.binding.contact
    found = None if contact is None else _touching(view, contact, isolated=False)
    facts = frozenset(f for j in found or () for f in j.dissents)
    said = "; ".join(sorted(f.shown for f in facts)) or None
    return Reading(Filled(said), (facts,), path)


@reads("contact.apart", "choice")
def contact_apart(view: View) -> Reading:
    """What the list says of these two metals with the listed inlay between."""
    return _pairing(view, "contact.apart", isolated=True)


@reads("contact.sufferer", "choice")
def contact_sufferer(view: View) -> Reading:
    """Family that is eaten where the two meet, or that the water eats; none, or both."""
    path, contact = "contact.sufferer", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    if contact.place == ABOVE:
        found = _under(view, sorts_of(view, contact.lower))
    else:
        found = _touching(view, contact, isolated=False)
    if not found:
        return view.unknown(path, "not known")
    because = all_of([view.read("contact.upper").because, view.read("contact.lower").because])
    return Reading(Candidates(frozenset(j.eaten for j in found)), because, path)


# --- water from above ------------------------------------------------------------------------


def _waters(view: View) -> list[str] | None:
    """What the water can have run over, by family; anything where nobody looked up."""
    contact = view.binding.contact
    if contact is not None and contact.place == ABOVE:
        sorts = sorts_of(view, contact.upper)
        return None if sorts is None else sorted({s.family for s in sorts})
    path = "site.run_off_from_above"
    words = view.words(path) or view.base.vocabulary.quantities[path].words
    each = [OTHER_METALS if w == "other metal" else (w,) for w in sorted(words)]
    return [family for families in each for family in families]


def _under(view: View, below: list[Sort] | None) -> list[Judged] | None:
    """Judgements on the water for every way that it and what it reaches can be."""
    waters = _waters(view)
    if waters is None or below is None:
        return None
    found = []
    for water in waters:
        if water == NO_WATER:
            found.append(Judged(NO_WATER))
            continue
        over = Sort(water, kinds=frozenset({water}))
        found += [j for b in below for j in over_salts(view, ABOVE, over, b)]
    return found


def _run_off(view: View, path: str, below: list[Sort] | None, sides: list[Reading]) -> Reading:
    if _waters(view) == [NO_WATER]:
        return Reading(Candidates(frozenset({NO_WATER})), sides[0].because, path)
    found = _under(view, below)
    if found is None:
        return view.unknown(path, "not asked", "", _unsettled(sides))
    return _gathered(view, path, found, sides)


@reads("contact.run_off", "choice")
def contact_run_off(view: View) -> Reading:
    """What the list says of the water that reaches the upper side; `none` without water."""
    path, contact = "contact.run_off", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    below = contact.lower if contact.place == ABOVE else contact.upper
    sides = [view.read("contact.water"), view.read("contact.below")]
    return _run_off(view, path, sorts_of(view, below), sides)


@reads("plane.run_off", "choice")
def plane_run_off(view: View) -> Reading:
    """What the list says of the water that reaches the sheet; `none` without water."""
    sides = [view.read("site.run_off_from_above"), view.read("plane.sheet.family")]
    return _run_off(view, "plane.run_off", sheet_sorts(view), sides)


_SHEET = ("plane.sheet.metal", "plane.sheet.coating")
for _path in ("pairing", "apart", "dissent", "sufferer", "run_off"):
    looks_at(f"contact.{_path}", *_SHEET)
looks_at("plane.run_off", *_SHEET)
