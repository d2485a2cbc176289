"""Measures: values worked out from a job, a stack and the base before rules are read."""

import itertools
import math

from selector.engineering.check import area_weight_pa, movement_um, ratio
from selector.facts.layouts import array_width
from selector.facts.parts import module_of
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.knowledge.base import exact
from selector.model.fact import Fact, Reading, Reasons, all_of, any_of
from selector.model.job import ZONES, Marks, Paper
from selector.model.quantity import (
    Candidates,
    Filled,
    Measured,
    Place,
    Ratio,
    Unknown,
)

# --- seam ------------------------------------------------------------------------------


@reads("plane.seam.shape", "choice")
def seam_shape(view: View) -> Reading:
    """Shapes that the sightings and the measured head leave together.

    Where nobody named a shape, a sheet that is screwed through can only be a ribbed one.
    """
    quantity = view.base.vocabulary.quantities["plane.seam.shape"]
    seen = view.observed(quantity)
    branch = view.read("plane.seam.branch")
    if seen.value == Unknown("not asked") and branch.value == Candidates(SCREWED):
        return Reading(Candidates(frozenset({"trapezoidal"})), branch.because, seen.path)
    head = view.read("plane.seam.head")
    if not isinstance(head.value, Measured):
        return seen
    left = frozenset(s for s in quantity.words if _head_allows(view, s, head.value))
    if not isinstance(seen.value, Candidates):
        if isinstance(seen.value, Unknown) and seen.value.why == "contradicted":
            return seen
        table = _head_table(view, frozenset(quantity.words) - left)
        return Reading(Candidates(left), all_of([head.because, table]), seen.path, seen.entity)
    both = seen.value.left & left
    if not both:
        asks = ("plane.seam.shape", "plane.seam.head")
        return view.unknown(seen.path, "contradicted", seen.entity, asks)
    because = seen.because
    if both != seen.value.left:
        because = all_of([seen.because, head.because, _head_table(view, seen.value.left - both)])
    return Reading(Candidates(both), because, seen.path, seen.entity)


def _head_table(view: View, excluded: frozenset[str]) -> Reasons:
    """The rows of the table of heads that rule these shapes out."""
    rows = [view.base.shapes[s] for s in sorted(excluded)]
    facts = {
        Fact(
            "trade.head",
            r.shape.id,
            f"head of {r.shape.id}: {r.shape.head}",
            r.origin,
            r.shape.source,
            r.shape.status,
        )
        for r in rows
    }
    return (frozenset(facts),)


def _head_allows(view: View, shape: str, head: Measured) -> bool:
    window = view.base.shapes[shape].shape.head
    return window is None or all(window.touches(p) for p in head.places)


SCREWED = frozenset({"screws through the sheet"})


@reads("plane.seam.sightings", "count")
def seam_sightings(view: View) -> Reading:
    """How many independent ways the seam shape was seen; a measured head is one of them."""
    path = "plane.seam.sightings"
    plane = view.binding.plane
    if plane is None:
        return view.unknown(path, "not asked")
    ways: set[str] = set()
    facts: list[Fact] = []
    shape = view.sighted("plane.seam.shape")
    if shape is not None:
        every = len(view.base.vocabulary.quantities["plane.seam.shape"].words)
        ways |= {
            s.way
            for s in shape.sightings
            if isinstance(s.value, Candidates) and len(s.value.left) < every
        }
        facts.append(view.seen(shape, plane.id))
    for dimension in ("head", "leg", "bulb"):
        measured = view.sighted(f"plane.seam.{dimension}")
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
    if array is None or array.crosses is None:
        return view.unknown(path, "not asked", plane.id, ("array.crosses",))
    wanted, least = set(array.crosses), _least_crossed(view)
    missing = sorted(
        s for s in wanted if s not in marks.seams or isinstance(marks.seams[s], Unknown)
    )
    shown = f"no marks on {', '.join(missing)}" if missing else f"marks on {len(wanted)} seams"
    if len(wanted) < least:
        shown = f"the array crosses {least} seams or more; {len(wanted)} are named"
    fact = _marks_fact(view, marks, shown, path)
    located = not missing and len(wanted) >= least
    value = Candidates(frozenset({"yes" if located else "no"}))
    return Reading(value, (frozenset({fact}),), path, plane.id, asks)


def _least_crossed(view: View) -> int:
    """Fewest seams that lie below the array, from its width and the widest seam spacing."""
    array, module, spacing = view.binding.array, module_of(view), view.read("plane.seam.spacing")
    if array is None or module is None or not isinstance(spacing.value, Measured):
        return 1
    return array_width(array, module[1]) // max(p.high for p in spacing.value.places)


@reads("plane.clips.widest_bay", "length")
def widest_bay(view: View) -> Reading:
    """The widest bay that the readings prove, tolerance taken off; edges count as well."""
    path = "plane.clips.widest_bay"
    spacing = view.read("plane.clips.spacing")
    lows: list[int] = []
    facts: list[Fact] = []
    marks = _marks(view)
    for reading in (spacing, view.read("plane.clips.edge_spacing")):
        if isinstance(reading.value, Measured):
            lows += [p.low for p in reading.value.places]
            facts += [f for r in reading.because for f in r]
    if marks is not None:
        for read in marks.seams.values():
            if isinstance(read, Measured):
                pairs = zip(read.places, read.places[1:], strict=False)
                # One mark in two bays: half its tolerance counts in each.
                lows += [(b.low + b.high - a.low - a.high) // 2 - _half(a) for a, b in pairs]
        facts.append(_marks_fact(view, marks, "clip marks", "plane.clips.marks"))
    enough = view.base.vocabulary.quantities["plane.clips.spacing"].places
    if len(lows) < enough:
        return view.unknown(path, "not asked", "", ("plane.clips.spacing",))
    value = exact(max(lows), "length")
    return Reading(value, (frozenset(facts),), path, spacing.entity)


def widest_apart(view: View) -> tuple[int, Reasons] | None:
    """The widest distance from clip to clip in micrometres, nominal, and what says so.

    What was measured from clip to clip goes before clip marks, which tell as much where they hold
    as many bays as would be measured. None where neither is known.
    """
    path = "plane.clips.spacing"
    spacing, marks = view.read(path).value, _marks(view)
    if isinstance(spacing, Measured):
        return max((p.low + p.high) // 2 for p in spacing.places), view.read(path).because
    if marks is None or (isinstance(spacing, Unknown) and spacing.why == "contradicted"):
        return None
    bays = [
        (b.low + b.high - a.low - a.high) // 2
        for read in marks.seams.values()
        if isinstance(read, Measured)
        for a, b in itertools.pairwise(read.places)
    ]
    if len(bays) < view.base.vocabulary.quantities[path].places:
        return None
    shown = f"clip marks up to {exact(max(bays), 'length')} apart"
    return max(bays), (frozenset({_marks_fact(view, marks, shown, "plane.clips.marks")}),)


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
    if not _between_marks(view, place.from_eave, found):
        return view.unknown(path, "the marks stop short of it", place.id, asks)
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


def _between_marks(view: View, height: int, marks: Measured) -> bool:
    """Whether the bay around a place is marked at both ends; a clip may be missed elsewhere.

    Below the first mark, the eave is the other end, if it is no further than a bay may be wide.
    """
    mids = [0, *((p.low + p.high) // 2 for p in marks.places)]
    widest = view.base.numbers["clip_spacing_limit"].value.places[0].high
    widest += 2 * _half(marks.places[0])
    return any(a <= height <= b and b - a <= widest for a, b in itertools.pairwise(mids))


@reads("place.bay", "choice")
def bay_of_place(view: View) -> Reading:
    """Whether a clamp stands between two clips inside the seam, or in its last bay.

    The bay at the eave ends at the second mark; the one at the ridge starts at the last mark but
    one, where no clip can be missing above.
    """
    path = "place.bay"
    place, marks = view.binding.place, _marks(view)
    asks = ("plane.clips.marks",)
    if place is None:
        return view.unknown(path, "not asked", "", asks)
    found = marks.seams.get(place.seam) if marks is not None else None
    if marks is None or not isinstance(found, Measured):
        return view.unknown(path, "not asked", place.id, asks)
    mids = [(p.low + p.high) // 2 for p in found.places]
    fact = _marks_fact(view, marks, f"marks on {place.seam}", path)
    because: list[Reasons] = [(frozenset({fact}),)]
    word = "inner"
    if len(mids) < 2 or place.from_eave < mids[1]:
        word = "last"
    elif place.from_eave > mids[-2]:
        length = view.read("plane.sheet.length")
        if not isinstance(length.value, Measured):
            return view.unknown(path, "the marks may end below the ridge", place.id, length.asks)
        widest = view.base.numbers["clip_spacing_limit"].value.places[0].high
        at_ridge = max(p.high for p in length.value.places) - mids[-1] <= widest
        word = "last" if at_ridge else "inner"
        because.append(length.because)
    return Reading(Candidates(frozenset({word})), all_of(because), path, place.id)


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
        and p.kind in Paper.STATES_RESERVE
        and p.counts_on(job.as_of)
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


EXISTING = frozenset({"existing"})


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
        if (
            paper.counts_on(job.as_of)
            and paper.kind == "engineer's calculation"
            and wanted <= set(paper.covers)
        ):
            fact = Fact(path, paper.id, paper.title, f"{job.file}:{paper.line}", "paper")
            return view.known(path, Filled(paper.title), fact)
    asked = view.words("site.reserve_paper")
    elevated_on_old = array.tilt is not None and view.words("site.building") == EXISTING
    if elevated_on_old:  # asked for or not, it stays with the engineer until his paper is there
        fact = Fact(path, "papers", f"no calculation of the building with array {array.id}")
        return view.known(path, Filled(None), fact)
    if asked is None:
        return view.unknown(path, "not asked", "", ("site.reserve_paper",))
    fact = Fact(path, "papers", f"no calculation of the building with array {array.id}", job.file)
    return view.resting(
        path, Filled(None), all_of([view.read("site.reserve_paper").because, (frozenset({fact}),)])
    )


@reads("array.zones", "choice")
def array_zones(view: View) -> Reading:
    """Roof zones that the array reaches, stated or by the code; the worst counts."""
    path = "array.zones"
    array, job = view.binding.array, view.job
    if array is None:
        return view.unknown(path, "not asked", "", (path,))
    settled, stated = array.reached.settled, array.zones or ()
    worst = max(array.named_zones if settled else stated, default=ZONES[0], key=ZONES.index)
    left = {worst} if settled else {*ZONES[ZONES.index(worst) :]}
    if left == {*ZONES}:
        return view.unknown(path, "not asked", "", array.reached.asks)
    shown = ", ".join(stated if worst in stated else array.reached.zones)
    origin = f"{job.file}:{array.line}" if job else ""
    seen = array.reached.signed or "drawn"
    if worst not in stated:
        seen = "worked out by the wind code"
    return view.known(path, Candidates(frozenset(left)), Fact(path, array.id, shown, origin, seen))


@reads("array.fire_wall_limit", "length")
def fire_wall_limit(view: View) -> Reading:
    """Distance to a party or fire wall that the example of a model code wants for this array."""
    path = "array.fire_wall_limit"
    array = view.binding.array
    if array is None:
        return view.unknown(path, "not asked")
    name = "trade.fire_wall_parallel" if array.tilt is None else "trade.fire_wall_elevated"
    limit = view.read(name)
    return Reading(limit.value, limit.because, path)


@reads("place.clip_head", "choice")
def clip_head(view: View) -> Reading:
    """Whether jaw and clip head stay apart as far as the sheet may move over its clips there.

    Where the clips of this seam were not located, the crew feels for their heads when setting.
    """
    path, place, marks = "place.clip_head", view.binding.place, _marks(view)
    if place is None:
        return view.unknown(path, "not asked", "", ("plane.clips.marks",))
    found = marks.seams.get(place.seam) if marks is not None else None
    if marks is None or not isinstance(found, Measured):
        word = Candidates(frozenset({"not located"}))
        return view.known(path, word, Fact(path, place.id, f"no clip marks on {place.seam}"))
    travel = view.read("plane.sheet.travel")
    if not isinstance(travel.value, Measured):
        return view.unknown(path, "not asked", place.id, travel.open_paths)
    near = view.base.numbers["jaw_and_clip_head"].value.places[0].high
    reach = near + max(p.high for p in travel.value.places)
    slack = view.base.numbers["setting_out_tolerance"].value.places[0].high
    nearest = min((_apart(place.from_eave, m, slack) for m in found.places), key=lambda p: p.low)
    words = {"free"} if nearest.high >= reach else set()
    words |= {"pinned"} if nearest.low < reach else set()
    shown = f"{Measured('length', (nearest,))} from the nearest mark on {place.seam}"
    fact = _marks_fact(view, marks, shown, "plane.clips.marks")
    because = all_of([travel.because, (frozenset({fact}),)])
    asks = ("plane.clips.marks",)
    return Reading(Candidates(frozenset(words)), because, path, place.id, asks)


# --- movement --------------------------------------------------------------------------


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


looks_at("clamp.grips.height", "plane.seam.shape")
