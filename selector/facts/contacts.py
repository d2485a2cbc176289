"""Contacts: two metals that touch or drip, and what the list of pairings says of them."""

from selector.facts.parts import family_of
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.model.contact import ABOVE, BETWEEN, Side
from selector.model.fact import TRIVIAL, Fact, Reading, all_of
from selector.model.quantity import Candidates


@reads("contact.place", "choice")
def contact_place(view: View) -> Reading:
    """On the sheet, or between parts of the stack."""
    contact = view.binding.contact
    if contact is None:
        return view.unknown("contact.place", "not asked")
    fact = Fact("contact.place", contact.id, contact.place)
    return Reading(Candidates(frozenset({contact.place})), (frozenset({fact}),), "contact.place")


def _side(view: View, path: str, side: Side) -> Reading:
    """Family of one side of a contact; a part without metal cannot be judged."""
    if side.role == "sheet" and side.metal is None:
        reading = view.read("plane.sheet.family")
        return Reading(reading.value, reading.because, path, reading.entity, reading.asks)
    if side.metal is None:
        return view.unknown(path, "not in the catalogue", side.part)
    family = family_of(side.metal, " on ".join(side.coating))
    return _of_side(view, path, side, family, f"is {side.metal_text}")


def _of_side(view: View, path: str, side: Side, found: str, says: str) -> Reading:
    """What one side says of itself, from its catalogue or from whoever asks."""
    value = Candidates(frozenset({found}))
    if not side.part:
        fact = Fact(path, side.name, f"{side.role} {says}", "", "asked")
        return view.known(path, value, fact, entity=side.name)
    part = view.part(side.part)
    shown = f"{part.handle}{' ' + side.piece if side.piece else ''} {says}"
    return view.known(path, value, view.part_fact(part, path, shown, "metal"), entity=part.id)


@reads("contact.grade", "choice")
def contact_grade(view: View) -> Reading:
    """Grade of the upper side, where its catalogue names one."""
    path = "contact.grade"
    contact = view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    side = contact.upper
    if side.metal is None or side.grade == "unknown":
        return view.unknown(path, "not in the catalogue", side.part)
    return _of_side(view, path, side, side.grade, f"is of grade {side.grade}")


@reads("contact.upper", "choice")
def contact_upper(view: View) -> Reading:
    """Metal family of the upper side."""
    contact = view.binding.contact
    if contact is None:
        return view.unknown("contact.upper", "not asked")
    return _side(view, "contact.upper", contact.upper)


@reads("contact.lower", "choice")
def contact_lower(view: View) -> Reading:
    """Metal family of the lower side, the sheet included."""
    contact = view.binding.contact
    if contact is None:
        return view.unknown("contact.lower", "not asked")
    return _side(view, "contact.lower", contact.lower)


@reads("contact.water", "choice")
def contact_water(view: View) -> Reading:
    """What the water that reaches the contact has run over; nothing above is `none`."""
    path, contact = "contact.water", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    above = "contact.upper" if contact.place == ABOVE else "site.run_off_from_above"
    found = view.read(above)
    return Reading(found.value, found.because, path, found.entity, found.open_paths)


@reads("contact.below", "choice")
def contact_below(view: View) -> Reading:
    """Metal family that water from above reaches here; the sheet is judged by itself."""
    path, contact = "contact.below", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    found = view.read("contact.lower" if contact.place == ABOVE else "contact.upper")
    return Reading(found.value, found.because, path, found.entity, found.open_paths)


@reads("contact.inlay", "choice")
def contact_inlay(view: View) -> Reading:
    """What isolates the contact: nothing, or an inlay listed for this clamp, or another thing."""
    path = "contact.inlay"
    contact = view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    fact = view.slot_fact("inlay", contact.inlay)
    return view.known(path, Candidates(frozenset({contact.isolation})), fact)


@reads("contact.pairing", "choice")
def contact_pairing(view: View) -> Reading:
    """What the list of pairings says of these two metals: its word, or `not judged`."""
    path = "contact.pairing"
    upper, lower = view.read("contact.upper"), view.read("contact.lower")
    place, inlay = view.words("contact.place"), view.words("contact.inlay")
    salt = view.read("site.salt")
    if (
        not isinstance(upper.value, Candidates)
        or not isinstance(lower.value, Candidates)
        or place is None
        or inlay is None
    ):
        asks = _unsettled(upper, lower)
        return view.unknown(path, "not asked", "", asks)
    presence = view.base.vocabulary.words["presence"]
    salts = salt.value.left if isinstance(salt.value, Candidates) else frozenset(presence)
    words: set[str] = set()
    rows: set[Fact] = set()
    for a in upper.value.left:
        for b in lower.value.left:
            for s in salts:
                word, row = _pairing(view, a, b, next(iter(place)), s, "listed" in inlay)
                words.add(word)
                rows |= {row} if row else set()
    reasons = [upper.because, lower.because, salt.because or TRIVIAL, (frozenset(rows),)]
    asks = () if len(words) == 1 else _unsettled(upper, lower, salt)
    value = Candidates(frozenset(words))
    return Reading(value, all_of(reasons), path, "", asks)


def _unsettled(*readings: Reading) -> tuple[str, ...]:
    """What to look at for the choices among these that are still open."""
    still = [r for r in readings if not isinstance(r.value, Candidates) or len(r.value.left) > 1]
    return tuple(dict.fromkeys(path for r in still for path in r.open_paths))


def _pairing(
    view: View, a: str, b: str, place: str, salt: str, isolated: bool
) -> tuple[str, Fact | None]:
    """Word of the worst row that fits, or `not judged`."""
    order = ("bad", "good if dry", "good")
    found: list[tuple[int, str, Fact]] = []
    for row in view.base.pairings:
        shape = row.shape
        fits = shape.place == place and salt in shape.salt and _pair_fits(shape, a, b)
        if shape.isolated == "listed inlay":
            fits = fits and isolated
        elif shape.isolated == "nothing":
            fits = fits and not isolated
        if fits:
            text = f"{shape.id}: {shape.judged}, {shape.because}"
            fact = Fact("pairing", shape.id, text, row.origin, shape.source, shape.status)
            found.append((order.index(shape.judged), shape.judged, fact))
    if not found:
        return "not judged", None
    _, word, fact = min(found, key=lambda f: (f[0], f[2].entity))
    return word, fact


def _pair_fits(row: schema.Pairing, a: str, b: str) -> bool:
    straight = a in row.upper and b in row.lower
    turned = row.place == BETWEEN and a in row.lower and b in row.upper
    return straight or turned


looks_at("contact.below", "plane.sheet.metal", "plane.sheet.coating")
looks_at("contact.lower", "plane.sheet.metal", "plane.sheet.coating")
looks_at("contact.pairing", "plane.sheet.metal", "plane.sheet.coating")
