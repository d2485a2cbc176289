"""Measures: values worked out from a job, a stack and the base before rules are read."""

import itertools
import math
from collections.abc import Callable

from selector.engineering.check import area_weight_pa, movement_um, ratio
from selector.facts.covers import (
    Part,
    clamp_records,
    clip_records,
    joint_records,
    module_records,
    record_fact,
)
from selector.facts.parts import family_of, module_of
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import Record, exact
from selector.model.fact import TRIVIAL, Cover, Fact, Reading, Reasons, all_of, any_of
from selector.model.job import Marks
from selector.model.quantity import (
    Candidates,
    Filled,
    Measured,
    Place,
    Ratio,
    Unknown,
    Window,
)

# --- seam ------------------------------------------------------------------------------


@reads("plane.seam.shape", "choice")
def seam_shape(view: View) -> Reading:
    """Shapes that the sightings and the measured head leave together."""
    quantity = view.base.vocabulary.quantities["plane.seam.shape"]
    seen = view.observed(quantity)
    head = view.read("plane.seam.head")
    if not isinstance(head.value, Measured):
        return seen
    left = frozenset(s for s in quantity.words if _head_allows(view, s, head.value))
    if not isinstance(seen.value, Candidates):
        if isinstance(seen.value, Unknown) and seen.value.why == "contradicted":
            return seen
        return Reading(Candidates(left), head.because, seen.path, seen.entity)
    both = seen.value.left & left
    if not both:
        asks = ("plane.seam.shape", "plane.seam.head")
        return view.unknown(seen.path, "contradicted", seen.entity, asks)
    because = seen.because if both == seen.value.left else all_of([seen.because, head.because])
    return Reading(Candidates(both), because, seen.path, seen.entity)


def _head_allows(view: View, shape: str, head: Measured) -> bool:
    window = view.base.shapes[shape].shape.head
    return window is None or all(window.touches(p) for p in head.places)


@reads("plane.seam.sightings", "count")
def seam_sightings(view: View) -> Reading:
    """How many independent ways the seam shape was seen; a measured head is one of them."""
    path = "plane.seam.sightings"
    plane = view.binding.plane
    if plane is None:
        return view.unknown(path, "not asked")
    ways: set[str] = set()
    facts: list[Fact] = []
    shape = plane.observed.get("plane.seam.shape")
    if shape is not None:
        ways |= {s.way for s in shape.sightings if isinstance(s.value, Candidates)}
        facts.append(view.seen(shape, plane.id))
    for dimension in ("head", "leg", "bulb"):
        measured = plane.observed.get(f"plane.seam.{dimension}")
        if measured is not None and isinstance(measured.value, Measured):
            ways.add("a dimension of the head")
            facts.append(view.seen(measured, plane.id))
    value = exact(len(ways), "count")
    fact = Fact(path, plane.id, f"{len(ways)} independent", "", "; ".join(f.seen for f in facts))
    asks = ("plane.seam.shape", "plane.seam.head")
    return Reading(value, (frozenset({fact}),), path, plane.id, asks)


# --- clips -----------------------------------------------------------------------------


def _marks(view: View) -> Marks | None:
    return None if view.binding.plane is None else view.binding.plane.marks


def _marks_fact(view: View, marks: Marks, shown: str, path: str) -> Fact:
    assert view.binding.plane is not None
    file = view.job.file if view.job is not None else ""
    return Fact(path, view.binding.plane.id, shown, f"{file}:{marks.line}", marks.seen)


@reads("plane.clips.located", "choice")
def clips_located(view: View) -> Reading:
    """Whether clip marks were found on every seam that the array crosses."""
    path = "plane.clips.located"
    asks = ("plane.clips.marks",)
    marks, array, plane = _marks(view), view.binding.array, view.binding.plane
    if plane is None:
        return view.unknown(path, "not asked", "", asks)
    if marks is None:
        fact = Fact(path, plane.id, "no clip marks", "", "")
        return Reading(Candidates(frozenset({"no"})), (frozenset({fact}),), path, plane.id, asks)
    wanted = set(array.crosses) if array is not None and array.crosses else set(marks.seams)
    missing = sorted(
        s for s in wanted if s not in marks.seams or isinstance(marks.seams[s], Unknown)
    )
    shown = f"no marks on {', '.join(missing)}" if missing else f"marks on {len(wanted)} seams"
    fact = _marks_fact(view, marks, shown, path)
    value = Candidates(frozenset({"no" if missing else "yes"}))
    return Reading(value, (frozenset({fact}),), path, plane.id, asks)


@reads("plane.clips.widest_bay", "length")
def widest_bay(view: View) -> Reading:
    """The widest bay that the readings prove, tolerance taken off."""
    path = "plane.clips.widest_bay"
    spacing = view.read("plane.clips.spacing")
    lows: list[int] = []
    facts: list[Fact] = []
    marks = _marks(view)
    if isinstance(spacing.value, Measured):
        lows += [p.low for p in spacing.value.places]
        facts += [f for r in spacing.because for f in r]
    if marks is not None:
        for read in marks.seams.values():
            if isinstance(read, Measured):
                pairs = zip(read.places, read.places[1:], strict=False)
                # One mark in two bays: half its tolerance counts in each.
                lows += [(b.low + b.high - a.low - a.high) // 2 - _half(a) for a, b in pairs]
        facts.append(_marks_fact(view, marks, "clip marks", "plane.clips.marks"))
    if not lows:
        return view.unknown(path, "not asked", "", ("plane.clips.spacing",))
    value = exact(max(lows), "length")
    return Reading(value, (frozenset(facts),), path, spacing.entity)


def _half(place: Place) -> int:
    return (place.high - place.low) // 2


@reads("place.distance_to_nearest_clip", "length")
def distance_to_nearest_clip(view: View) -> Reading:
    """Distance along the seam from the clamp to the nearest clip mark, both tolerances."""
    path = "place.distance_to_nearest_clip"
    place, marks = view.binding.place, _marks(view)
    asks = ("plane.clips.marks",)
    if place is None:
        return view.unknown(path, "not asked", "", asks)
    found = marks.seams.get(place.seam) if marks is not None else None
    if marks is None or not isinstance(found, Measured):
        return view.unknown(path, "not asked", place.id, asks)
    slack = view.base.numbers["setting_out_tolerance"].value.places[0].high
    nearest = min(
        (_apart(place.from_eave, mark, slack) for mark in found.places), key=lambda p: p.low
    )
    value = Measured("length", (nearest,))
    shown = f"{value} from the nearest mark on {place.seam}"
    facts = (
        _marks_fact(view, marks, shown, "plane.clips.marks"),
        Fact("place.from_eave", place.id, str(exact(place.from_eave, "length")), "", "drawn"),
    )
    return Reading(value, (frozenset(facts),), path, place.id, asks)


def _apart(height: int, mark: Place, slack: int) -> Place:
    middle = abs(height - (mark.low + mark.high) // 2)
    wide = _half(mark) + slack
    return Place(max(0, middle - wide), middle + wide)


@reads("place.damage", "choice")
def damage_at_place(view: View) -> Reading:
    """Damage of the seam at one place; damage somewhere on the plane leaves it open here."""
    path = "place.damage"
    anywhere = view.read("plane.seam.damage")
    if view.words("plane.seam.damage") == frozenset({"none"}):
        return view.resting(path, anywhere.value, anywhere.because)
    return view.unknown(path, "not looked at here", "", ("plane.seam.damage",))


# --- contacts --------------------------------------------------------------------------


@reads("contact.place", "choice")
def contact_place(view: View) -> Reading:
    """On the sheet, or between parts of the stack."""
    contact = view.binding.contact
    if contact is None:
        return view.unknown("contact.place", "not asked")
    fact = Fact("contact.place", contact.id, contact.place)
    return Reading(Candidates(frozenset({contact.place})), (frozenset({fact}),), "contact.place")


def _side(view: View, path: str, side: str) -> Reading:
    """Family of one side of a contact; a part without metal cannot be judged."""
    if side == "sheet":
        reading = view.read("plane.sheet.family")
        return Reading(reading.value, reading.because, path, reading.entity, reading.asks)
    part_id, _, piece = side.partition(":")
    part = view.part(part_id)
    metal = part.shape.metal
    if piece == "screw" and isinstance(part.shape, schema.Clamp):
        metal = part.shape.set_screw.metal
    if piece == "frame" and isinstance(part.shape, schema.Module):
        metal = part.shape.frame_metal
    if metal is None:
        return view.unknown(path, "not in the catalogue", part.id)
    family = family_of(metal.metal, " on ".join(metal.coating))
    shown = f"{part.handle}{' ' + piece if piece else ''} is {metal.text}"
    fact = view.part_fact(part, path, shown, "metal")
    return view.known(path, Candidates(frozenset({family})), fact, entity=part.id)


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


@reads("contact.inlay", "choice")
def contact_inlay(view: View) -> Reading:
    """What isolates the contact: nothing, or an inlay listed for this clamp, or another thing."""
    path = "contact.inlay"
    contact = view.binding.contact
    if contact is None:
        return view.unknown(path, "not asked")
    word = "none"
    if contact.inlay is not None:
        listed = view.part(contact.inlay).shape.listed_for
        clamp = contact.upper.partition(":")[0].partition("/")[2]
        word = "listed" if clamp in listed else "not listed"
    fact = view.slot_fact("inlay", contact.inlay)
    return view.known(path, Candidates(frozenset({word})), fact)


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
    turned = row.place == "between parts" and a in row.lower and b in row.upper
    return straight or turned


# --- checks ----------------------------------------------------------------------------


Capacity = tuple[int, int, Reasons]  # lowest, highest, why


def _design(result: schema.Direction) -> int:
    """Design value in force; an untested direction counts as zero."""
    if isinstance(result, str) or isinstance(result.design.en, str):
        return 0
    return result.design.en.value


def _capacity(
    tried: list[tuple[Record, list[Part]]], value: Callable[[Record], int]
) -> Capacity | None:
    """Lower of the records that cover: those that surely do bound it from above."""
    surely = [r for r, ps in tried if all(p.bits.surely for p in ps)]
    possibly = [r for r, ps in tried if all(p.bits.possibly for p in ps)]
    if not surely:
        return None
    parts = {r.id: ps for r, ps in tried}
    lowest = min(surely, key=lambda r: (value(r), r.id))
    because = all_of(
        [
            (frozenset(record_fact(r) for r in surely),),
            *(p.because for p in parts[lowest.id]),
        ]
    )
    return min(value(r) for r in possibly), value(lowest), because


def _check(
    view: View, path: str, figure: str, capacity: Capacity | None, no_capacity: tuple[str, ...]
) -> Reading:
    """A stated figure against a capacity, as a ratio interval."""
    demand = view.stated(figure)
    if capacity is None:
        return view.unknown(path, "no capacity", "", no_capacity)
    if isinstance(demand, Unknown):
        return view.unknown(path, demand.why, "", (f"stated.{figure}",))
    stated, fact = demand
    low, high, because = capacity
    value = Ratio(ratio(stated.value, high), ratio(stated.value, low))
    return Reading(value, all_of([(frozenset({fact}),), because]), path)


def _clamp_check(path: str, figure: str, direction: str) -> None:
    @reads(path, "ratio")
    def clamp_check(view: View) -> Reading:
        from selector.facts.covers import seam_parts, valid

        tried = [
            (r, [*seam_parts(view, r, s), valid(view, r)])
            for r, s in clamp_records(view)
            if s.outcome == "good"
        ]
        capacity = _capacity(tried, lambda r: _design(getattr(r.shape, direction)))
        cover = view.read("stack.evidence clamp on seam")
        asks = cover.asks if isinstance(cover.value, Cover) else ()
        return _check(view, path, figure, capacity, asks or ("stack.evidence",))


_clamp_check("stack.clamp_uplift", "uplift_per_clamp", "uplift")
_clamp_check("stack.clamp_slide", "slide_per_clamp", "slide_down")


def _clip_check(path: str, figure: str, direction: str) -> None:
    @reads(path, "ratio")
    def clip_check(view: View) -> Reading:
        if view.job is None:
            return view.unknown(path, "not asked")
        capacity = _capacity(
            [t for t in clip_records(view) if _after_suction(t[0])],
            lambda r: _design(getattr(r.shape, direction)),
        )
        cover = view.read("plane.clips clip in deck")
        return _check(view, path, figure, capacity, cover.asks or ("plane.clips",))


def _after_suction(record: Record) -> bool:
    """A gross value needs the sheet's own suction taken off first; until then it proves nothing."""
    return isinstance(record.shape, schema.ClipRecord) and record.shape.basis != "gross"


_clip_check("stack.clip_share", "clip_share", "pull")
_clip_check("stack.sheet_slide", "slide_per_fixed_clip", "slide")


def _joint_check(path: str, direction: str) -> None:
    @reads(path, "ratio")
    def joint_check(view: View) -> Reading:
        joint = view.binding.joint
        if joint is None or view.job is None:
            return view.unknown(path, "not asked")
        tried = [(r, p) for r, p in joint_records(view) if r.shape.outcome == "good"]
        capacity = _capacity(tried, lambda r: _design(getattr(r.shape, direction)))
        on_module = view.part(joint.upper).slot == "module_clamp"
        figure = "uplift_per_clamp" if direction == "uplift" else "slide_per_clamp"
        if on_module and direction == "uplift":
            figure = "uplift_per_module_clamp"
        return _check(view, path, figure, capacity, ("joint.evidence",))


_joint_check("joint.uplift", "uplift")
_joint_check("joint.along", "along")


def _module_check(path: str, figure: str, key: str) -> None:
    @reads(path, "ratio")
    def module_check(view: View) -> Reading:
        if view.job is None:
            return view.unknown(path, "not asked")
        capacity = _capacity(module_records(view), lambda r: int(getattr(r.shape, key)))
        return _check(view, path, figure, capacity, ("stack.modules",))


_module_check("stack.module_up", "net_uplift", "up")
_module_check("stack.module_down", "net_down", "down")


def _rail_check(path: str, figure: str, key: str) -> None:
    @reads(path, "ratio")
    def rail_check(view: View) -> Reading:
        part = view.binding.rail
        if part is None or not isinstance(part.shape, schema.Rail):
            return view.unknown(path, "no rail")
        limit = getattr(part.shape.limits, key)
        fact = view.part_fact(
            part, f"rail.limits.{key}", Window("pressure", limit, limit), "limits"
        )
        return _check(view, path, figure, (limit, limit, (frozenset({fact}),)), ())


_rail_check("stack.rail_uplift", "net_uplift", "uplift")
_rail_check("stack.rail_down", "net_down", "down")


@reads("stack.rail_span", "length")
def rail_span(view: View) -> Reading:
    """Distance from clamp to clamp along the rail, from seam spacing and pattern."""
    path = "stack.rail_span"
    plan, array = view.binding.plan, view.binding.array
    if array is None:
        return view.unknown(path, "not asked")
    pattern: object = array.clamps
    if plan is not None and plan.layout is not None:
        pattern = plan.layout.clamps
    spacing = view.read("plane.seam.spacing")
    if not isinstance(spacing.value, Measured):
        return view.unknown(path, "not asked", "", spacing.open_paths)
    if pattern is None:
        return view.unknown(path, "not asked", "", ("array.clamps",))
    if isinstance(pattern, dict):
        every = _widest_step(pattern, array.crosses)
        if every is None:
            return view.unknown(path, "not asked", "", ("array.crosses",))
    else:
        every = 2 if pattern == "every second seam" else 1
    lows = [p.low * every for p in spacing.value.places]
    highs = [p.high * every for p in spacing.value.places]
    value = Measured("length", (Place(min(lows), max(highs)),))
    shown = pattern if isinstance(pattern, str) else f"at most every {every}. seam"
    file = view.job.file if view.job is not None else ""
    fact = Fact("array.clamps", array.id, str(shown), f"{file}:{array.line}", "drawn")
    return Reading(value, all_of([spacing.because, (frozenset({fact}),)]), path)


def _widest_step(
    pattern: dict[str, tuple[int, ...]], crosses: tuple[str, ...] | None
) -> int | None:
    """Widest step in seams between two clamps at one height, or None where seams are unknown."""
    if crosses is None or not set(pattern) <= set(crosses):
        return None
    widest = 0
    for height in {h for heights in pattern.values() for h in heights}:
        taken = [i for i, seam in enumerate(crosses) if height in pattern.get(seam, ())]
        steps = [b - a for a, b in itertools.pairwise(taken)]
        widest = max([widest, *steps])
    return widest or None


# --- building --------------------------------------------------------------------------


@reads("array.reserve", "ratio")
def array_reserve(view: View) -> Reading:
    """Weight of the array per area against the reserve that a paper states for its tilt."""
    path = "array.reserve"
    array, job, module = view.binding.array, view.job, module_of(view)
    if array is None or job is None or module is None:
        return view.unknown(path, "not asked")
    wanted = "roof-parallel" if array.tilt is None else "elevated"
    papers = [
        p
        for p in job.papers.values()
        if wanted in p.covers
        and p.up_to is not None
        and p.kind.startswith("engineer")
        and (not p.until or p.until >= job.as_of)
    ]
    if not papers:
        return view.unknown(path, "not asked", "", ("site.reserve_paper",))
    paper = min(papers, key=lambda p: (p.up_to or 0, p.id))
    part, shape = module
    catalogue = view.base.catalogues[part.id.partition("/")[0]]
    area = shape.length / 1e6 * shape.width / 1e6
    weight = area_weight_pa(shape.mass / 1e3, area, catalogue.mass_allowance / 1e3)
    value = ratio(weight, (paper.up_to or 0) / 1e3)
    facts = (
        Fact(path, paper.id, f"{paper.title} for {wanted}", f"{job.file}:{paper.line}", "paper"),
        view.part_fact(part, "array.weight", f"array weighs {weight / 1000:.3f} kN/m2", "mass"),
    )
    return view.known(path, Ratio(value, value), *facts)


@reads("array.calculation", "filled")
def array_calculation(view: View) -> Reading:
    """An engineer's calculation of the building that contains this array."""
    path = "array.calculation"
    array, job = view.binding.array, view.job
    if array is None or job is None:
        return view.unknown(path, "not asked")
    tilt = "roof-parallel" if array.tilt is None else "elevated"
    wanted = {"building", f"array {array.id}", tilt}
    for paper in job.papers.values():
        counts = not paper.until or paper.until >= job.as_of
        if counts and paper.kind == "engineer's calculation" and wanted <= set(paper.covers):
            fact = Fact(path, paper.id, paper.title, f"{job.file}:{paper.line}", "paper")
            return view.known(path, Filled(paper.title), fact)
    asked = view.words("site.reserve_paper")
    if asked is None:
        return view.unknown(path, "not asked", "", ("site.reserve_paper",))
    fact = Fact(path, "papers", f"no calculation of the building with array {array.id}", job.file)
    return view.resting(
        path, Filled(None), all_of([view.read("site.reserve_paper").because, (frozenset({fact}),)])
    )


@reads("array.zones", "choice")
def array_zones(view: View) -> Reading:
    """Roof zones that the array reaches; the worst counts."""
    path = "array.zones"
    array, job = view.binding.array, view.job
    if array is None or array.zones is None:
        return view.unknown(path, "not asked", "", (path,))
    worst = max(array.zones, key=("field", "edge", "corner").index)
    origin = f"{job.file}:{array.line}" if job else ""
    fact = Fact(path, array.id, ", ".join(array.zones), origin, "drawn")
    return view.known(path, Candidates(frozenset({worst})), fact)


# --- layout ----------------------------------------------------------------------------


@reads("layout.rail_offset", "length")
def rail_offset(view: View) -> Reading:
    """Distance of each rail line to the nearer end of its module, one place a line."""
    path = "layout.rail_offset"
    plan, array, module = view.binding.plan, view.binding.array, module_of(view)
    if plan is None or plan.layout is None or array is None or module is None:
        return view.unknown(path, "not asked")
    length = module[1].length if array.orientation == "portrait" else module[1].width
    slack = view.base.numbers["setting_out_tolerance"].value.places[0].high
    places = []
    for rail in plan.layout.rails:
        height = rail.from_eave - array.from_eave
        row = max(0, min(array.rows - 1, height // (length + array.gap)))
        inside = height - row * (length + array.gap)
        offset = min(inside, length - inside)
        places.append(Place(offset - slack, offset + slack))
    value = Measured("length", tuple(places))
    file = view.job.file if view.job is not None else ""
    fact = Fact(path, plan.id, str(value), f"{file}:{plan.layout.line}", "drawn")
    return view.known(path, value, fact)


@reads("layout.module_zone", "window")
def module_zone(view: View) -> Reading:
    """Clamping zone of the module for this number of rail lines, from the nearer end."""
    path = "layout.module_zone"
    found = [r for r, ps in module_records(view) if all(p.bits.surely for p in ps)]
    if not found or view.binding.array is None or view.binding.array.rail_lines != 2:
        return view.unknown(path, "no record", "", ("stack.modules",))
    zones = [r.shape.zone for r in found if isinstance(r.shape, schema.ModuleRecord)]
    lows = [z.low for z in zones if z.low is not None]
    highs = [z.high for z in zones if z.high is not None]
    both = Window("length", max(lows, default=None), min(highs, default=None))
    return view.known(path, both, *map(record_fact, found))


@reads("layout.rigid_run", "length")
def rigid_run(view: View) -> Reading:
    """Longest rail run without a gap or a sliding splice, over all lines."""
    path = "layout.rigid_run"
    plan, array, module = view.binding.plan, view.binding.array, module_of(view)
    if plan is None or plan.layout is None or array is None or module is None:
        return view.unknown(path, "not asked")
    width = module[1].width if array.orientation == "portrait" else module[1].length
    total = array.columns * width + (array.columns - 1) * array.gap
    longest = 0
    for rail in plan.layout.rails:
        words = plan.layout.splices.get(rail.id, ())
        free = [c for c, w in zip(rail.cut_at, words, strict=True) if w != "rigid"]
        edges = [0, *sorted(free), total]
        longest = max([longest, *(b - a for a, b in itertools.pairwise(edges))])
    value = exact(longest, "length")
    file = view.job.file if view.job is not None else ""
    fact = Fact(path, plan.id, str(value), f"{file}:{plan.layout.line}", "drawn")
    return view.known(path, value, fact)


@reads("plane.sheet.travel", "length")
def sheet_travel(view: View) -> Reading:
    """Largest thermal travel of the sheet end, fixed zone unknown: over its whole length."""
    path = "plane.sheet.travel"
    length, metals = view.read("plane.sheet.length"), view.words("plane.sheet.metal")
    if not isinstance(length.value, Measured) or metals is None:
        return view.unknown(path, "not asked", "", ("plane.sheet.length", "plane.sheet.metal"))
    numbers = [view.base.numbers.get(f"expansion_{m}") for m in sorted(metals)]
    span = view.base.numbers["expansion_range"].value.places[0].high / 1e3
    if any(n is None for n in numbers):
        return view.unknown(path, "no expansion of this metal", "", ("plane.sheet.metal",))
    longest = max(p.high for p in length.value.places) / 1e6
    worst = max(n.value.places[0].high for n in numbers if n is not None) / 1e3
    value = exact(math.ceil(movement_um(worst, longest, span) / 1000) * 1000, "length")
    return Reading(value, any_of([length.because]), path)


looks_at("contact.lower", "plane.sheet.metal", "plane.sheet.coating")
looks_at("contact.pairing", "plane.sheet.metal", "plane.sheet.coating")
looks_at("clamp.grips.height", "plane.seam.shape")
for _path in ("stack.clamp_uplift", "stack.clamp_slide"):
    looks_at(_path, "plane.seam.shape", "plane.sheet.metal", "plane.sheet.coating")
for _path in ("stack.clip_share", "stack.sheet_slide"):
    looks_at(_path, "plane.seam.shape", "plane.deck.kind")
