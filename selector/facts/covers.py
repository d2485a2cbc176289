"""Evidence: whether a record covers a link of this subject. No record is never a yes."""

from collections.abc import Iterable
from typing import NamedTuple

from selector.facts.owners import PAPER, owners_papers, paper_fact
from selector.facts.parts import clamped_side, ends_of, family_of, module_of, shown_torque
from selector.facts.split import LAYERED, looks_at
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import Record
from selector.model.fact import NO_REASON, TRIVIAL, Cover, Fact, Reading, Reasons, all_of, any_of
from selector.model.quantity import Candidates, Measured, Window
from selector.model.truth import NO, OPEN, YES, Bits, both, either

SEAM = ("height", "head", "leg", "bulb", "neck")


class Part(NamedTuple):
    """One condition of a record: its bits, what settles it, what to look at."""

    bits: Bits
    because: Reasons
    asks: tuple[str, ...] = ()


def among(view: View, path: str, words: Iterable[str]) -> Part:
    """Whether a choice is one of these words."""
    reading = view.read(path)
    if not isinstance(reading.value, Candidates):
        return Part(OPEN, NO_REASON, reading.open_paths)
    wanted = frozenset(words)
    left = reading.value.left
    bits = Bits(left <= wanted, bool(left & wanted))
    return Part(bits, reading.because, reading.open_paths if bits == OPEN else ())


def inside(view: View, path: str, window: Window) -> Part:
    """Whether every place of a measure lies in a window."""
    reading = view.read(path)
    if not isinstance(reading.value, Measured):
        return Part(OPEN, NO_REASON, reading.open_paths)
    places = reading.value.places
    bits = Bits(all(map(window.holds, places)), all(map(window.touches, places)))
    return Part(bits, reading.because, reading.open_paths if bits == OPEN else ())


def settled(yes: bool, *facts: Fact) -> Part:
    """A condition on the base alone: always known."""
    return Part(YES if yes else NO, (frozenset(facts),))


def cover_of(view: View, path: str, tried: list[tuple[Record, list[Part]]], none: Fact) -> Reading:
    """One cover out of all records tried; `none` is the fact that no record exists."""
    bits = NO
    yes: list[Reasons] = []
    no: list[Reasons] = [(frozenset({none}),)] if not tried else []
    surely, possibly = [], []
    asks: list[str] = []
    for record, parts in tried:
        one = YES
        for part in parts:
            one = both(one, part.bits)
        bits = either(bits, one)
        if one.surely:
            surely.append(record.id)
            yes.append(all_of([(frozenset({record_fact(record)}),), *(p.because for p in parts)]))
        if one.possibly:
            possibly.append(record.id)
            asks += [a for p in parts if p.bits == OPEN for a in p.asks]
        else:
            no.append(any_of(p.because for p in parts if p.bits == NO))
    cover = Cover(
        bits,
        any_of(yes),
        all_of(no) if bits == NO else NO_REASON,
        tuple(surely),
        tuple(possibly),
    )
    because = cover.yes if bits.surely else cover.no
    return Reading(cover, because, path, "", tuple(dict.fromkeys(asks)))


def record_fact(record: Record) -> Fact:
    """The record itself as a fact with its place."""
    report = record.shape.report
    shown = f"record {record.id}: {report.by} {report.number} of {report.dated}"
    return Fact("record", record.id, shown, f"{record.file}:{record.line}", "", record.status)


def valid(view: View, record: Record) -> Part:
    """Whether a record counts on the day of the job."""
    assert view.job is not None
    v = record.shape.valid
    yes = not v.withdrawn and v.since <= view.job.as_of <= v.until
    state = "withdrawn" if v.withdrawn else f"valid {v.since} to {v.until}"
    return settled(yes, _fact(record, "valid", f"record {record.id} is {state}"))


def _stands(view: View, record: Record) -> Part:
    """Whether a bad record counts: what failed once stays failed until it is withdrawn."""
    assert view.job is not None
    v = record.shape.valid
    yes = not v.withdrawn and v.since <= view.job.as_of
    return settled(yes, _fact(record, "valid", f"record {record.id} of a failed test"))


def _fact(record: Record, key: str, shown: str) -> Fact:
    origin = f"{record.file}:{record.line}"
    return Fact(f"record.{key}", record.id, shown, origin, "", record.status)


def _records(view: View, kind: type[schema.RecordShape], clamp_id: str) -> list[Record]:
    """Records of the catalogue of a part."""
    catalogue = view.base.catalogues[clamp_id.partition("/")[0]]
    return catalogue.of_kind(kind)


# --- clamp on seam ---------------------------------------------------------------------


def clamp_records(view: View) -> list[tuple[Record, schema.ClampRecord]]:
    """Records of exactly this clamp with its insert and inlay."""
    core = view.binding.core
    if core is None:
        return []
    home, _, clamp = core.clamp.partition("/")
    found = []
    for record in view.base.catalogues[home].of_clamp(clamp):
        shape = record.shape
        assert isinstance(shape, schema.ClampRecord)
        tested = (shape.part.insert, shape.part.inlay)
        if tuple(p and f"{home}/{p}" for p in tested) == (core.insert, core.inlay):
            found.append((record, shape))
    return found


def _handle(part: str | None) -> str | None:
    return None if part is None else part.partition("/")[2]


def seam_parts(view: View, record: Record, shape: schema.ClampRecord) -> list[Part]:
    """Seam, sheet, revision and torque of one record against this subject."""
    key = ("seam parts", record.id)
    return list(view.once(key, lambda: _seam_parts(view, record, shape)))


def _seam_parts(view: View, record: Record, shape: schema.ClampRecord) -> list[Part]:
    clamp = view.binding.clamp
    assert clamp is not None and isinstance(clamp.shape, schema.Clamp)
    cover, sheet = shape.sits_on, shape.sheet
    parts = [
        among(view, "plane.seam.shape", [cover.shape]),
        *_sheet(view, sheet),
    ]
    if cover.closed != "either":
        parts.append(among(view, "plane.seam.made", [cover.closed]))
    if cover.profile is not None:
        parts.append(among(view, "clamp.named_by_owner", ["this clamp"]))
    if shape.deck == "known":
        parts.append(_looked_at(view, "plane.deck.kind"))
    parts += [
        inside(view, f"plane.seam.{d}", window)
        for d in SEAM
        if (window := getattr(cover, d)) is not None
    ]
    revision = clamp.shape.revision in shape.part.revisions  # none stated: none matches
    text = f"record {record.id} tested revision {', '.join(shape.part.revisions)}"
    parts.append(settled(revision, _fact(record, "revision", text)))
    plan = view.binding.plan
    torque = clamp.shape.torque if plan is None or plan.torque is None else plan.torque
    same = shape.part.torque == torque
    text = f"record {record.id} was tested at {shown_torque(shape.part.torque)}"
    parts.append(settled(same, _fact(record, "torque", text)))
    return parts


def _sheet(view: View, sheet: schema.SheetCover) -> list[Part]:
    """Metal, coating and thickness; where the owner lists the sheets, what his paper covers."""
    if sheet.covers is None:
        return [_listed_sheet(view)]
    return [_metal(view, sheet), inside(view, "plane.sheet.thickness", sheet.covers)]


def _looked_at(view: View, path: str) -> Part:
    """Whether somebody has seen what a choice is; no world may fill it in."""
    sighted = view.sighted(path)
    value = sighted.value if sighted is not None else None
    if sighted is None or not isinstance(value, Candidates) or len(value.left) > 1:
        return Part(OPEN, NO_REASON, (path,))
    return settled(True, view.seen(sighted, "plane"))


def _listed_sheet(view: View) -> Part:
    """The metal of the sheet in the owner's document for this clamp."""
    clamp, metal = view.binding.clamp, view.read("plane.sheet.metal")
    found = owners_papers(view, f"clamp {clamp.handle}") if clamp is not None else []
    if not found or not isinstance(metal.value, Candidates):
        missing = metal.open_paths if found else (PAPER, *metal.open_paths)
        return Part(OPEN, NO_REASON, missing)
    listed = frozenset(w for p in found for w in p.covers)
    left = metal.value.left
    bits = Bits(left <= listed, bool(left & listed))
    facts = frozenset(paper_fact(view, p, PAPER) for p in found)
    asks = metal.open_paths if bits == OPEN else ()
    return Part(bits, all_of([metal.because, (facts,)]), asks)


def _metal(view: View, sheet: schema.SheetCover) -> Part:
    """Metal and coating against a family or a member; a member covers only itself."""
    if sheet.family is not None:
        return among(view, "plane.sheet.family", [sheet.family])
    assert sheet.metal is not None
    metal = among(view, "plane.sheet.metal", [sheet.metal])
    if sheet.coating is None:
        return metal
    wanted = " on ".join(sheet.coating)
    words = view.words("plane.sheet.coating")
    if words == frozenset({LAYERED}):
        bits = OPEN if len(sheet.coating) > 1 else NO
        coating = Part(bits, TRIVIAL, ("plane.sheet.coating",) if bits == OPEN else ())
    else:
        coating = among(view, "plane.sheet.coating", [wanted])
    bits = both(metal.bits, coating.bits)
    if bits == NO:
        reasons = any_of(p.because for p in (metal, coating) if p.bits == NO)
    else:
        reasons = all_of([metal.because, coating.because])
    return Part(bits, reasons, (*metal.asks, *coating.asks))


def _no_record(view: View, outcome: str, in_date: bool | None) -> Fact:
    core = view.binding.core
    assert core is not None
    clamp = view.part(core.clamp)
    extra = "".join(f" with {_handle(p)}" for p in (core.insert, core.inlay) if p)
    name = f"{clamp.handle}{extra}"
    shown = f"no record of {name} in the base"
    if outcome == "bad":
        shown = f"no failed test of {name} in the base"
    elif in_date is False:
        shown = f"no record of {name} that has run out"
    return view.part_fact(clamp, "stack.evidence", shown)


def _clamp_cover(view: View, path: str, outcome: str, in_date: bool | None) -> Reading:
    if view.binding.core is None or view.job is None:
        return view.unknown(path, "not asked")
    tried = []
    for record, shape in clamp_records(view):
        if shape.outcome != outcome:
            continue
        counts = valid(view, record) if outcome == "good" else _stands(view, record)
        if in_date is False:
            gone = not shape.valid.withdrawn and shape.valid.until < view.job.as_of
            if not gone:
                continue
            tried.append((record, seam_parts(view, record, shape)))
        else:
            tried.append((record, [*seam_parts(view, record, shape), counts]))
    return cover_of(view, path, tried, _no_record(view, outcome, in_date))


@reads("stack.evidence clamp on seam", "cover")
def clamp_on_seam(view: View) -> Reading:
    """Whether a good and valid record covers this clamp on this seam and sheet."""
    return _clamp_cover(view, "stack.evidence clamp on seam", "good", True)


@reads("stack.evidence bad clamp on seam", "cover")
def bad_clamp_on_seam(view: View) -> Reading:
    """Whether a record says that this pairing was tested and refused."""
    return _clamp_cover(view, "stack.evidence bad clamp on seam", "bad", True)


@reads("stack.evidence expired clamp on seam", "cover")
def expired_clamp_on_seam(view: View) -> Reading:
    """Whether a good record of exactly this pairing has only run out."""
    return _clamp_cover(view, "stack.evidence expired clamp on seam", "good", False)


# --- clips -----------------------------------------------------------------------------


def clip_records(view: View, outcome: str = "good") -> list[tuple[Record, list[Part]]]:
    """Clip records of the job's catalogues with their conditions on this plane."""
    assert view.job is not None
    tried = []
    homes = [view.base.catalogues[name] for name in view.job.catalogues]
    for record in (r for home in homes for r in home.of_kind(schema.ClipRecord)):
        shape = record.shape
        if not isinstance(shape, schema.ClipRecord) or shape.outcome != outcome:
            continue
        closing = "by hand" if shape.clip == "hand-folded clip" else "factory"
        parts = [
            among(view, "plane.seam.shape", shape.shapes),
            among(view, "plane.seam.made", [closing]),
            among(view, "plane.clips.kind", [shape.clip]),
            among(view, "plane.clips.strength", [shape.strength]),
            among(view, "array.zones", shape.zones),
            valid(view, record) if outcome == "good" else _stands(view, record),
        ]
        if shape.deck is not None:
            parts += [
                among(view, "plane.deck.kind", [shape.deck.kind]),
                inside(view, "plane.deck.thickness", shape.deck.thickness),
                among(view, "plane.deck.sound", ["dry and sound"]),
            ]
        tried.append((record, parts))
    return tried


@reads("plane.clips clip in deck", "cover")
def clip_in_deck(view: View) -> Reading:
    """Whether a record covers the clips of this plane in their deck and zones."""
    path = "plane.clips clip in deck"
    if view.job is None or view.binding.plane is None:
        return view.unknown(path, "not asked")
    none = Fact("plane.clips", view.binding.plane.id, "no clip record in the base", "", "")
    return cover_of(view, path, clip_records(view), none)


@reads("plane.clips bad clip in deck", "cover")
def bad_clip_in_deck(view: View) -> Reading:
    """Whether a record says that these clips failed in this deck."""
    path = "plane.clips bad clip in deck"
    if view.job is None or view.binding.plane is None:
        return view.unknown(path, "not asked")
    none = Fact("plane.clips", view.binding.plane.id, "no failed test of these clips", "", "")
    return cover_of(view, path, clip_records(view, "bad"), none)


# --- joints and modules ----------------------------------------------------------------


def joint_records(view: View) -> list[tuple[Record, list[Part]]]:
    """Records of this joint, module clamps included, that count today."""
    found: list[tuple[Record, list[Part]]] = view.once(
        ("records", "joint"), lambda: _joint_records(view)
    )
    return found


def _joint_records(view: View) -> list[tuple[Record, list[Part]]]:
    ends = ends_of(view)
    if ends is None:
        return []
    lower = ends.lower.shape.offers
    tried = []
    catalogue = view.base.catalogues[ends.upper.catalogue]
    if {p.catalogue for p in (ends.lower, ends.bolts) if p} != {catalogue.name}:
        return []
    for record in catalogue.records:
        shape = record.shape
        if isinstance(shape, schema.JointRecord):
            wanted = (lower, _handle(ends.bolts.id if ends.bolts else None), ends.upper.handle)
            if (shape.lower, shape.bolts, shape.upper) == wanted:
                tried.append((record, [_counts(view, record)]))
        elif isinstance(shape, schema.ModuleClampRecord) and (
            (shape.sits_on, shape.clamp) == (lower, ends.upper.handle)
        ):
            frame = inside(view, "array.frame", shape.frame)
            tried.append((record, [frame, _counts(view, record)]))
    return tried


def _counts(view: View, record: Record) -> Part:
    return valid(view, record) if record.shape.outcome == "good" else _stands(view, record)


def _joint_cover(view: View, path: str, outcome: str) -> Reading:
    joint = view.binding.joint
    if joint is None or view.job is None:
        return view.unknown(path, "not asked")
    tried = [(r, p) for r, p in joint_records(view) if r.shape.outcome == outcome]
    upper = view.part(joint.upper)
    none = view.part_fact(upper, "joint.evidence", f"no record of the joint {joint.id}")
    return cover_of(view, path, tried, none)


@reads("joint.evidence joint", "cover")
def joint_evidence(view: View) -> Reading:
    """Whether a good and valid record covers this joint."""
    return _joint_cover(view, "joint.evidence joint", "good")


@reads("joint.evidence bad joint", "cover")
def bad_joint_evidence(view: View) -> Reading:
    """Whether a record says that this joint was tested and refused."""
    return _joint_cover(view, "joint.evidence bad joint", "bad")


def module_records(view: View, outcome: str = "good") -> list[tuple[Record, list[Part]]]:
    """Rated pressures of the module for the sides and lines of this array."""
    array, found = view.binding.array, module_of(view)
    if array is None or found is None:
        return []
    side = clamped_side(array, view.binding.core)
    tried = []
    for record in _records(view, schema.ModuleRecord, found[0].id):
        shape = record.shape
        assert isinstance(shape, schema.ModuleRecord)
        if shape.module != found[0].handle or shape.outcome != outcome:
            continue
        sides = _fact(record, "sides", f"record {record.id} is for the {shape.sides} sides")
        lines = _fact(record, "lines", f"record {record.id} is for {_lines(shape)} rail lines")
        own = found[1].sides
        allowed = view.part_fact(
            found[0], "module.sides", f"its {own} sides may be clamped", "sides"
        )
        parts = [
            settled(shape.sides == side, sides),
            settled(side in own, allowed),
            settled(array.rail_lines in shape.lines, lines),
            _counts(view, record),
        ]
        tried.append((record, parts))
    return tried


def _lines(shape: schema.ModuleRecord) -> str:
    return " or ".join(map(str, shape.lines))


@reads("stack.modules module", "cover")
def module_cover(view: View) -> Reading:
    """Whether a record rates the module as it is clamped here."""
    path = "stack.modules module"
    found = module_of(view)
    if found is None or view.job is None:
        return view.unknown(path, "not asked")
    none = view.part_fact(found[0], path, f"no rating of {found[0].handle} in the base")
    return cover_of(view, path, module_records(view), none)


@reads("stack.modules bad module", "cover")
def bad_module_cover(view: View) -> Reading:
    """Whether a record says that the module failed as it is clamped here."""
    path = "stack.modules bad module"
    found = module_of(view)
    if found is None or view.job is None:
        return view.unknown(path, "not asked")
    none = view.part_fact(found[0], path, f"no failed test of {found[0].handle}")
    return cover_of(view, path, module_records(view, "bad"), none)


# --- the metal family of the sheet -----------------------------------------------------


@reads("plane.sheet.family", "choice")
def sheet_family(view: View) -> Reading:
    """Family of the sheet, from metal and coating."""
    path = "plane.sheet.family"
    metal, coating = view.read("plane.sheet.metal"), view.read("plane.sheet.coating")
    if not isinstance(metal.value, Candidates):
        return view.unknown(path, "not asked", metal.entity, ("plane.sheet.metal",))
    coats = coating.value.left if isinstance(coating.value, Candidates) else {"none", "paint"}
    families = {family_of(m, c) for m in metal.value.left for c in coats}
    reasons = metal.because
    if "steel" in metal.value.left and isinstance(coating.value, Candidates):
        reasons = all_of([metal.because, coating.because])
    asks = () if len(families) == 1 else ("plane.sheet.metal", "plane.sheet.coating")
    return Reading(Candidates(frozenset(families)), reasons, path, metal.entity, asks)


_SHEET = ("plane.seam.shape", "plane.sheet.metal", "plane.sheet.coating")
looks_at("plane.sheet.family", "plane.sheet.metal", "plane.sheet.coating")
for _kind in ("clamp on seam", "bad clamp on seam", "expired clamp on seam"):
    looks_at(f"stack.evidence {_kind}", *_SHEET)
for _kind in ("clip in deck", "bad clip in deck"):
    looks_at(f"plane.clips {_kind}", "plane.seam.shape", "plane.deck.kind", "plane.clips.kind")
