"""What air, rain and fastening do to a contact: salt, stainless grade, coat, bridges."""

import math

from selector.engineering.lines import Outside
from selector.engineering.stainless_en import (
    FAR_KM,
    Site,
    class_of,
    class_of_grade,
    classes_over,
    enough,
)
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.model.contact import BETWEEN, ON_SHEET, Contact, Side
from selector.model.fact import TRIVIAL, Fact, Reading, all_of
from selector.model.quantity import Candidates, Measured, Value
from selector.model.truth import NO, OPEN, YES, Bits

KM = 1_000_000_000  # a kilometre in the whole numbers of lengths, micrometres
CLEAN_SO2 = (0.0, 9.0)  # judgement: no flue and no plant near
DIRTY_SO2 = (0.0, 250.0)
ROAD_NEAR = (0.0, 0.1)  # km; the question asks for 100 m, which count as near
ROAD_FAR = (math.nextafter(0.1, 1.0), FAR_KM)
KNOWN_AS = {"austenitic": "A2", "ferritic": "1.4016"}  # the least grade of each kind
# Inland, clean air and rain: whatever falls short here is for controlled air indoors.
MILDEST_OUTDOORS = Site(
    so2_ug_m3=(0.0, 0.0), sea_km=(FAR_KM, FAR_KM), road_km=(FAR_KM, FAR_KM), washing=("rain",)
)


def _words(value: Value | object) -> frozenset[str] | None:
    return value.left if isinstance(value, Candidates) else None


# --- salt -----------------------------------------------------------------------------


def _salt(view: View, path: str) -> Reading:
    """No salt, salt, or salt in the spray of the sea and at a pool hall."""
    salt, sea = view.read("site.salt"), view.read("site.sea_distance")
    pool, spray = view.read("site.pool_hall"), view.read("trade.sea_spray_distance")
    left = _words(salt.value)
    if left == frozenset({"none"}):
        return Reading(salt.value, salt.because, path)
    wet, chlorine = _within(sea.value, spray.value), _present(pool.value)
    extreme = Bits(wet.surely or chlorine.surely, wet.possibly or chlorine.possibly)
    found = {"present"} if not extreme.surely else set()
    if extreme.possibly:
        found.add("extreme")
    if left is None or "none" in left:
        found.add("none")
    because = [salt.because or TRIVIAL]
    if wet.surely:
        because.append(all_of([sea.because, spray.because]))
    elif chlorine.surely:
        because.append(pool.because)
    else:
        because += [r.because or TRIVIAL for r in (sea, pool)]
    still = [r for r in (salt, sea, pool) if _open(r.value)]
    asks = tuple(dict.fromkeys(p for r in still for p in r.open_paths)) if len(found) > 1 else ()
    return Reading(Candidates(frozenset(found)), all_of(because), path, "", asks)


def _within(value: object, limit: object) -> Bits:
    if not isinstance(value, Measured) or not isinstance(limit, Measured):
        return OPEN
    least, most = limit.places[0].low, limit.places[0].high
    surely = all(p.high <= least for p in value.places)
    return Bits(surely, all(p.low <= most for p in value.places))


def _present(value: object) -> Bits:
    left = _words(value)
    if left is None or len(left) > 1:
        return OPEN
    return YES if left == {"present"} else NO


def _open(value: object) -> bool:
    left = _words(value)
    return not isinstance(value, Measured) and (left is None or len(left) > 1)


@reads("contact.salt", "choice")
def contact_salt(view: View) -> Reading:
    """Salt at this contact."""
    return _salt(view, "contact.salt")


@reads("plane.salt", "choice")
def plane_salt(view: View) -> Reading:
    """Salt at this roof."""
    return _salt(view, "plane.salt")


@reads("site.harsh_air", "choice")
def harsh_air(view: View) -> Reading:
    """Whether harsh air reaches the roof; it does where somebody named what is in it."""
    path = "site.harsh_air"
    named = view.observed(view.base.vocabulary.quantities["site.harsh_air_of"])
    left = _words(named.value)
    if left is not None and "none" not in left:
        return Reading(Candidates(frozenset({"present"})), named.because, path)
    return view.observed(view.base.vocabulary.quantities[path])


@reads("site.harsh_air_of", "choice")
def harsh_air_of(view: View) -> Reading:
    """Which harsh air reaches the roof; none where somebody looked and found none."""
    path = "site.harsh_air_of"
    seen = view.observed(view.base.vocabulary.quantities[path])
    if isinstance(seen.value, Candidates):
        return seen
    any_of_it = view.read("site.harsh_air")
    if any_of_it.value == Candidates(frozenset({"none"})):
        return Reading(any_of_it.value, any_of_it.because, path)
    asks = (path,) if _present(any_of_it.value).surely else any_of_it.open_paths
    return view.unknown(path, "not asked", "site", asks)


# --- stainless ------------------------------------------------------------------------


def _site(view: View, washed: bool) -> Site:
    """What is known of the air, as wide as it is open."""
    sea, road = view.read("site.sea_distance").value, view.read("site.salted_road").value
    air = view.words("site.harsh_air_of")
    far = (0.0, FAR_KM)
    if isinstance(sea, Measured):
        low, high = (f(p) for f, p in ((_least, sea), (_most, sea)))
        far = (low / KM, high / KM)
    near = _present(road)
    roads = ROAD_NEAR if near.surely else (0.0, ROAD_FAR[1]) if near.possibly else ROAD_FAR
    clean = air is not None and not air & {"soot", "plating fumes"}
    return Site(
        so2_ug_m3=CLEAN_SO2 if clean else DIRTY_SO2,
        sea_km=far,
        road_km=roads,
        washing=("rain",) if washed else ("none",),
    )


def _least(value: Measured) -> float:
    return max(0.0, float(min(p.low for p in value.places)))


def _most(value: Measured) -> float:
    return max(0.0, float(max(p.high for p in value.places)))


def _called(words: frozenset[str]) -> list[str]:
    return [KNOWN_AS.get(w, w.partition("-")[0]) for w in sorted(words)]


def _fits(view: View, path: str, grade: Reading, washed: bool) -> Reading:
    """Whether a grade is enough here by annex A; unknown while something is open."""
    words = _words(grade.value)
    if words is None:
        return view.unknown(path, "not asked", grade.entity, grade.open_paths)
    table, site = view.base.stainless, _site(view, washed)
    called = _called(words)
    each = {enough(table, g, site) for g in called}
    air = [view.read(f"site.{n}") for n in ("sea_distance", "salted_road", "harsh_air_of")]
    if each - {"yes", "no"}:
        unlisted = any(class_of_grade(table, g) is None for g in called)
        open_air = [p for r in air if not r.because for p in r.open_paths]
        asks = grade.open_paths if unlisted else tuple(open_air) or ("site.sea_distance",)
        return view.unknown(path, "not asked", grade.entity, asks)
    asked = classes_over(table, site)
    assert not isinstance(asked, Outside)  # `enough` has said so already
    shown = f"EN 1993-1-4 annex A asks for class {' or '.join(asked)} here"
    rows = [r for r in view.base.trade.stainless_classes if r.shape.id == asked[-1]]
    facts = {
        Fact("trade.stainless_class", "trade", shown, r.origin, r.shape.source, r.shape.status)
        for r in rows
    }
    because = [grade.because, *(r.because or TRIVIAL for r in air), (frozenset(facts),)]
    return Reading(Candidates(frozenset(each)), all_of(because), path, grade.entity)


@reads("contact.grade_outdoors", "choice")
def contact_grade_outdoors(view: View) -> Reading:
    """Whether the stainless grades of both sides are for outdoors at all, by annex A.

    A sheet does not count: ferritic ones stand on roofs, tinned for one, and are their owner's.
    """
    path, contact = "contact.grade_outdoors", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    lower = contact.place == BETWEEN and contact.lower.metal == "stainless"
    grades = [view.read("contact.grade")] if contact.upper.metal == "stainless" else []
    grades += [view.read("contact.lower_grade")] if lower else []
    table = view.base.stainless
    each: set[str] = set()
    for grade in grades:
        words = _words(grade.value)
        if words is None:
            return view.unknown(path, "not in the catalogue", grade.entity, (grade.path,))
        found = {enough(table, called, MILDEST_OUTDOORS) for called in _called(words)}
        if "unknown" in found:
            return view.unknown(path, "no such grade in annex A", grade.entity, (grade.path,))
        each |= found
    if not grades:
        return Reading(Candidates(frozenset({"yes"})), TRIVIAL, path)
    least = class_of(table, 0)
    (row,) = (r for r in view.base.trade.stainless_classes if r.shape.id == least)
    shown, source, status = row.shape.custom, "trade-custom", "common practice"
    if "no" in each:
        source, status = row.shape.source, row.shape.status
        shown = f"EN 1993-1-4 annex A asks for class {least} outdoors"
    fact = Fact("trade.stainless_class", "trade", shown, row.origin, source, status)
    worst = "no" if "no" in each else "yes"
    because = all_of([*(grade.because for grade in grades), (frozenset({fact}),)])
    return Reading(Candidates(frozenset({worst})), because, path)


@reads("contact.washed", "choice")
def contact_washed(view: View) -> Reading:
    """Whether rain rinses the contact; it never does below modules."""
    path, contact = "contact.washed", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    said = "yes" if contact.washed else "no"
    text = "rinsed by rain" if contact.washed else "not rinsed by rain, as all below modules"
    fact = Fact(path, contact.id, text, "", "asked" if contact.washed else "")
    return view.known(path, Candidates(frozenset({said})), fact)


@reads("contact.grade_fits", "choice")
def contact_grade_fits(view: View) -> Reading:
    """Whether the stainless grade of the upper side is enough for the air."""
    path, contact = "contact.grade_fits", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    return _fits(view, path, view.read("contact.grade"), contact.washed)


@reads("contact.lower_grade_fits", "choice")
def contact_lower_grade_fits(view: View) -> Reading:
    """The same of the lower side; that of a roof is judged with its plane."""
    path, contact = "contact.lower_grade_fits", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    if contact.lower.metal is None:
        return Reading(Candidates(frozenset({"yes"})), TRIVIAL, path)
    return _fits(view, path, view.read("contact.lower_grade"), contact.washed)


@reads("plane.grade_fits", "choice")
def plane_grade_fits(view: View) -> Reading:
    """Whether the stainless grade of the sheet is enough where modules keep the rain off it."""
    return _fits(view, "plane.grade_fits", view.read("plane.sheet.grade"), washed=False)


# --- screws, coats and bridges --------------------------------------------------------


def _point(view: View, side: Side) -> str:
    """Point of a screw: what the stack says of it, else what its catalogue says."""
    plan = view.binding.plan
    if side.role == "set screw" and plan is not None and plan.screw_tip is not None:
        return plan.screw_tip
    return side.point


def _pierces(view: View, point: str) -> str:
    """Whether a point goes through a coat: yes, no, or unknown."""
    rows = (r.shape for r in view.base.trade.screw_points)
    return next((r.pierces for r in rows if point in (r.id, *r.called)), "unknown")


@reads("contact.coat", "choice")
def contact_coat(view: View) -> Reading:
    """Coat of the lower side where the upper one presses: none, whole or pierced."""
    path, contact = "contact.coat", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    coat, layers = TRIVIAL, {" on ".join(contact.lower.coating)}
    if contact.lower.role == "sheet" and contact.lower.metal is None:
        seen = view.read("plane.sheet.coating")
        coat, layers = seen.because or TRIVIAL, set(_words(seen.value) or {"none", "paint"})
    pierced = {"yes": {"pierced"}, "no": {"whole"}}.get(_pierces(view, _point(view, contact.upper)))
    if contact.upper.size != "fastener":
        pierced = {"whole"}
    found = {"none"} if "none" in layers else set()
    found |= (pierced or {"whole", "pierced"}) if layers - {"none"} else set()
    fact = _point_fact(view, contact, path)
    asks = ("contact.point",) if pierced is None else ("plane.sheet.coating",)
    because = coat if found == {"none"} or fact is None else all_of([coat, (frozenset({fact}),)])
    return Reading(Candidates(frozenset(found)), because, path, "", asks if len(found) > 1 else ())


def _point_fact(view: View, contact: Contact, path: str) -> Fact | None:
    """The point of the upper side, if it is a screw."""
    side = contact.upper
    if side.size != "fastener":
        return None
    point = _point(view, side) or "not stated"
    if not side.part:
        return Fact(path, side.name, f"point of the {side.role}: {point}", "", "asked")
    part = view.part(side.part)
    return view.part_fact(part, path, f"point of {part.handle}: {point}", "set_screw", "tip")


@reads("contact.bridge", "choice")
def contact_bridge(view: View) -> Reading:
    """Metal that goes round what isolates: a set screw that pierces it, a wire, or nothing."""
    path, contact = "contact.bridge", view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    word, fact = contact.bridge, Fact(path, contact.id, contact.bridge, "", "asked")
    clamp = view.binding.clamp
    if contact.place == ON_SHEET and contact.inlay is not None and clamp is not None:
        tip = _point(view, Side("set screw", point=_tip(view)))
        word = "set screw" if _pierces(view, tip) == "yes" else word
        shown = f"point of the set screws of {clamp.handle}: {tip}"
        fact = view.part_fact(clamp, path, shown, "set_screw", "tip")
    return view.known(path, Candidates(frozenset({word})), fact)


def _tip(view: View) -> str:
    clamp = view.binding.clamp
    screw = getattr(clamp.shape, "set_screw", None) if clamp is not None else None
    return "" if screw is None else str(screw.tip)


def _small(contact: Contact) -> tuple[str, str] | None:
    """Names of the fastener's side and of the other; None where there is not just one."""
    sizes = (contact.upper.size == "fastener", contact.lower.size == "fastener")
    if sizes == (True, False):
        return "upper", "lower"
    return ("lower", "upper") if sizes == (False, True) else None


def _of_small(view: View, path: str, index: int) -> Reading:
    contact = view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    sides = _small(contact)
    if sides is None:
        return Reading(Candidates(frozenset({"none"})), TRIVIAL, path)
    found = view.read(f"contact.{sides[index]}")
    return Reading(found.value, found.because, path, found.entity, found.open_paths)


@reads("contact.fastener", "choice")
def contact_fastener(view: View) -> Reading:
    """Family of the screw, bolt or rivet of this contact; `none` where there is none."""
    return _of_small(view, "contact.fastener", 0)


@reads("contact.held", "choice")
def contact_held(view: View) -> Reading:
    """Family of what the fastener of this contact holds."""
    return _of_small(view, "contact.held", 1)


_SHEET = ("plane.sheet.metal", "plane.sheet.coating")
looks_at("contact.coat", "plane.sheet.coating")
looks_at("contact.fastener", *_SHEET)
looks_at("contact.held", *_SHEET)
