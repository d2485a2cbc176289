"""Contacts: what each side is, what lies between, what runs over it."""

from selector.facts.parts import family_of
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.model.contact import ABOVE, Side
from selector.model.fact import Fact, Reading
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
    plan = view.binding.plan
    if side.role == "bonding wire" and plan is not None:
        return view.known(path, value, view.slot_fact("bonding_wire", plan.bonding_wire))
    if not side.part:
        fact = Fact(path, side.name, f"{side.role} {says}", "", "asked")
        return view.known(path, value, fact, entity=side.name)
    part = view.part(side.part)
    shown = f"{part.handle}{' ' + side.piece if side.piece else ''} {says}"
    return view.known(path, value, view.part_fact(part, path, shown, "metal"), entity=part.id)


def _grade(view: View, path: str, lower: bool) -> Reading:
    """Grade of one side, where its catalogue or whoever asks names one."""
    contact = view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    side = contact.lower if lower else contact.upper
    if side.metal is None or side.grade == "unknown":
        return view.unknown(path, "not in the catalogue", side.part)
    return _of_side(view, path, side, side.grade, f"is of grade {side.grade}")


@reads("contact.grade", "choice")
def contact_grade(view: View) -> Reading:
    """Grade of the upper side."""
    return _grade(view, "contact.grade", lower=False)


@reads("contact.lower_grade", "choice")
def contact_lower_grade(view: View) -> Reading:
    """Grade of a lower side that is no roof of the job."""
    return _grade(view, "contact.lower_grade", lower=True)


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


looks_at("contact.below", "plane.sheet.metal", "plane.sheet.coating")
looks_at("contact.lower", "plane.sheet.metal", "plane.sheet.coating")
