"""What can be got for a stack that waits for a proof: a paper, or a record of exactly this.

Each is judged as if it were there and said what it asks for. It covers this stack and nothing more,
and what it must show is what was stated of this array. It is never a yes of today.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from selector import units
from selector.facts.covers import SEAM
from selector.facts.parts import ends_of
from selector.facts.view import View
from selector.inference.answer import Option
from selector.inference.in_worlds import giving
from selector.inference.moves import Site
from selector.inference.verdict import Finding, verdict
from selector.knowledge import schema
from selector.knowledge.base import Base, Record
from selector.model.job import Observed, Paper, Sighting
from selector.model.quantity import Candidates, Measured, Ratio
from selector.model.rule import Rule
from selector.model.stack import Core

Data = dict[str, Any]
ID = "to be got"
READ_RECORDS = ("plane", "stack", "joint")
RESERVE, SNOW = ("array.reserve", "site.reserve_paper"), ("site.papers.snow_from_above",)
ELEVATED = ("elevated", "drift snow", "wind from behind", "front and rear clamps")
ONE_KPA = units.parse("1 kPa", "pressure")
STEP = units.parse("0.01 kPa", "pressure")  # to which a reserve is stated


@dataclass(frozen=True)
class Got(Site):
    """A plan with papers or records as if they were there."""

    records: tuple[tuple[str, Record], ...] = ()  # catalogue, record
    shows: tuple[tuple[str, str], ...] = ()  # path of a figure, and how much must be shown
    who: tuple[str, ...] = ()  # can get it

    def judged(self) -> Option:
        """The plan judged whole, what reads records with these among them."""
        option = super().judged()
        if not self.records:
            return option
        base, again = _with(self.desk.base, self.records), []
        for old in option.judgements:
            if old.subject.kind in READ_RECORDS:
                view = View(base, old.view.job, old.view.binding, old.view.derived)
                old = self.desk.judge.look(old.subject, view)
            again.append(old)
        return replace(option, judgements=tuple(again), verdict=verdict(again))


Getting = Callable[[Got], Got | None]


def got(site: Site, option: Option) -> Iterator[Got]:
    """What the rules that give a word name, each alone; if none is enough, the fewest together."""
    bare = Got(site.desk, site.plan, keeps_parts=True)
    word, every = option.verdict.word, _gettings(option)
    single = [(g, found) for g in every if (found := g(bare)) is not None]
    enough = [found for _, found in single if found.judged().verdict.word < word]
    yield from enough
    together = [] if enough else [g for g, _ in single]
    if len(together) < 2 or _all(bare, together).judged().verdict.word >= word:
        return
    for each in list(together):
        fewer = [g for g in together if g is not each]
        if _all(bare, fewer).judged().verdict.word < word:
            together = fewer
    yield _all(bare, together)


def _all(bare: Got, gettings: list[Getting]) -> Got:
    for getting in gettings:
        bare = getting(bare) or bare
    return bare


def _gettings(option: Option) -> list[Getting]:
    """One for each thing that a rule names and reads, in the order of the findings."""
    found: dict[object, Getting] = {}
    for finding in giving(option.verdict):
        moves, view = finding.rule.moves, finding.judgement.view
        if "engineer's calculation" in moves:
            found.setdefault("calculation", _calculated)
        if "engineer's statement" in moves and _reads(finding.rule, RESERVE):
            found.setdefault("reserve", _reserve)
        if "engineer's statement" in moves and _reads(finding.rule, SNOW):
            found.setdefault("snow", _snow)
        if {"test", "pull test"} & set(moves):
            record = _record(finding, view)
            if record is not None:
                found.setdefault(finding.judgement.subject.id, record)
    return list(found.values())


def _reads(rule: Rule, paths: tuple[str, ...]) -> bool:
    return any(str(c.left) in paths for c in rule.conditions)


# --- papers ------------------------------------------------------------------------------


def _calculated(site: Got) -> Got:
    """An engineer's calculation of the building with this array."""
    array = site.array
    way = ("roof-parallel",) if array.tilt is None else ELEVATED
    return _with_paper(site, Paper.STATES_FIGURES[0], (f"array {array.id}", "building", *way))


def _snow(site: Got) -> Got:
    """An engineer's statement on what falls from the higher roof."""
    return _with_paper(site, Paper.STATES_RESERVE[1], ("snow from a higher roof",))


def _reserve(site: Got) -> Got | None:
    """An engineer's statement of a load reserve that just holds this array, in place of others."""
    job, kind = site.desk.job, Paper.STATES_RESERVE[1]
    way = "roof-parallel" if site.array.tilt is None else "elevated"
    papers = {
        k: replace(p, covers=tuple(c for c in p.covers if c != way or p.up_to is None))
        for k, p in job.papers.items()
    }
    sighting = Sighting(Candidates(frozenset({"exists"})), ID, ID, 0)
    seen = Observed(RESERVE[1], (sighting,))
    bare = replace(
        site,
        desk=site.with_job(replace(job, papers=papers, site={**job.site, seen.path: seen})).desk,
    )
    weight = _with_paper(bare, kind, (way,), ONE_KPA).judged().judgements[0].view
    share = weight.read(RESERVE[0]).value
    if not isinstance(share, Ratio):
        return None
    return _with_paper(bare, kind, (way,), int(-(-share.high * ONE_KPA // STEP) * STEP))


def _with_paper(site: Got, kind: str, covers: tuple[str, ...], up_to: int | None = None) -> Got:
    job = site.desk.job
    paper = Paper(f"{ID} {len(job.papers)}", kind, covers, job.as_of, up_to=up_to)
    found = site.with_job(replace(job, papers={**job.papers, paper.id: paper}))
    move = ("paper", None, f"{kind} that covers {', '.join(covers)}")
    shows = () if up_to is None else (("load_reserve", units.show(up_to, "pressure")),)
    return replace(
        site,
        desk=found.desk,
        moved=(*site.moved, move),
        shows=(*site.shows, *shows),
        who=_and(site.who, "engineer"),
    )


def _and(who: tuple[str, ...], another: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*who, another)))


# --- records -----------------------------------------------------------------------------


def _with(base: Base, records: tuple[tuple[str, Record], ...]) -> Base:
    """A base with these records besides its own."""
    catalogues = dict(base.catalogues)
    for name, record in records:
        old = catalogues[name]
        catalogues[name] = replace(old, records=(*old.records, record))
    return replace(base, catalogues=catalogues)


def _record(finding: Finding, view: View) -> Getting | None:
    """A test of what a finding is about, if it is known well enough to be tested."""
    kind = finding.judgement.subject.kind
    test = {"stack": _clamp_test, "joint": _joint_test, "plane": _clip_test}.get(kind)
    made = test(view) if test is not None else None
    if made is None:
        return None
    home, data, what, figures = made
    record = _written(data, view.job.as_of if view.job is not None else "")
    stated = [(name, view.stated(name)) for name in figures]
    shows = tuple((f"stated.{n}", f[1].shown) for n, f in stated if isinstance(f, tuple))
    who = finding.rule.lifted or "knowledge owner"

    def get(site: Got) -> Got:
        return replace(
            site,
            records=(*site.records, (home, record)),
            moved=(*site.moved, ("record", None, f"test of {what}")),
            shows=(*site.shows, *shows),
            who=_and(site.who, who),
        )

    return get


Test = tuple[str, Data, str, tuple[str, ...]]  # home, record as one writes it, of what, figures


def _clamp_test(view: View) -> Test | None:
    """This clamp with its insert and inlay on this seam and sheet."""
    core, clamp, plan = view.binding.core, view.binding.clamp, view.binding.plan
    shape, metal = _word(view, "plane.seam.shape"), _word(view, "plane.sheet.metal")
    coating, thick = _word(view, "plane.sheet.coating"), _window(view, "plane.sheet.thickness")
    if core is None or clamp is None or not isinstance(clamp.shape, schema.Clamp):
        return None
    revision, torque = clamp.shape.revision, clamp.shape.torque
    if plan is not None and plan.torque is not None:
        torque = plan.torque
    known = shape and metal and thick and revision and (coating or metal != "steel")
    if not known or torque == schema.OWNERS:
        return None
    set_to = torque if isinstance(torque, str) else f"{Decimal(torque) / 1000} Nm"
    part = {"clamp": clamp.handle, "revisions": revision, "torque": set_to}
    part |= {"insert": _short(core.insert), "inlay": _short(core.inlay)}
    sides = {dim: _window(view, f"plane.seam.{dim}") for dim in SEAM}
    data = {
        "kind": "clamp on seam",
        "part": part,
        "sits_on": {"shape": shape, "closed": "either", **{k: w for k, w in sides.items() if w}},
        "sheet": {"metal": metal, "coating": coating and coating.split(" on "), "covers": thick},
        # Twice what acts: uplift and slide act at once, and the record adds their shares.
        "uplift": _result(view, "uplift_per_clamp", 2),
        "slide_down": _result(view, "slide_per_clamp", 2),
    }
    shown = view.read("plane.sheet.thickness").value
    what = f"{_fitted(core)} on {shape}, {metal} {shown}"
    return clamp.catalogue, data, what, ("uplift_per_clamp", "slide_per_clamp")


def _joint_test(view: View) -> Test | None:
    """This joint; of a module clamp on this frame."""
    ends, frame = ends_of(view), _window(view, "array.frame")
    if ends is None:
        return None
    on_module = ends.upper.slot == "module_clamp"
    figures = ("uplift_per_clamp", "slide_per_clamp")
    lower, upper = ends.lower.shape.offers, ends.upper.handle
    bolts = [ends.bolts.handle] if ends.bolts else []
    data: Data = {"kind": "joint", "lower": lower, "upper": upper, "bolts": next(iter(bolts), None)}
    if on_module:
        figures = ("uplift_per_module_clamp", "slide_per_module_clamp")
        data = {"kind": "module clamp", "clamp": upper, "sits_on": lower, "frame": frame}
    if on_module and frame is None:
        return None
    data |= {"uplift": _result(view, figures[0]), "along": _result(view, figures[1])}
    what = " + ".join([ends.lower.handle, *bolts, upper])
    return ends.upper.catalogue, data, what, figures


def _clip_test(view: View) -> Test | None:
    """The clips of this plane, pulled in their deck."""
    shape, clip = _word(view, "plane.seam.shape"), _word(view, "plane.clips.kind")
    strength, deck = _word(view, "plane.clips.strength"), _word(view, "plane.deck.kind")
    zone, thick = _word(view, "array.zones"), _window(view, "plane.deck.thickness")
    if view.job is None or None in (shape, clip, strength, deck, zone, thick):
        return None
    figures = ("clip_share", "slide_per_fixed_clip")
    data = {
        "kind": "clip in deck",
        "clip": clip,
        "shapes": shape,
        "strength": strength,
        "deck": {"kind": deck, "thickness": thick},
        "zones": zone,
        "basis": "after sheet suction",
        "pull": _result(view, figures[0]),
        "slide": _result(view, figures[1]),
    }
    shown = view.read("plane.deck.thickness").value
    return view.job.catalogues[0], data, f"{clip} in {deck}, {shown}", figures


def _written(data: Data, day: str) -> Record:
    """A record as the reader of a base would make it."""
    every = {
        **data,
        "id": ID,
        "outcome": "good",
        "report": {"by": "nobody yet", "number": ID, "dated": day},
        "valid": {"since": day, "until": day},
    }
    shape = schema.RECORD_KINDS[data["kind"]].model_validate(every)
    return Record(ID, shape, "", 0, "measured")


def _result(view: View, figure: str, times: int = 1) -> Data | str:
    """As much as is stated of this array; nothing where nothing is."""
    stated = view.stated(figure)
    if not isinstance(stated, tuple):
        return "not tested"
    force = f"{Decimal(times * stated[0].value) / 1000} N"
    return {
        "n": 3,
        "mean": force,
        "variation": {"value": 0.0, "known": False},
        "characteristic": {"value": force, "method": ID, "k": 0.0},
        "design": {"en": {"value": force, "gamma_m": 1.0}},
    }


def _word(view: View, path: str) -> str | None:
    words = view.words(path)
    return next(iter(words)) if words is not None and len(words) == 1 else None


def _window(view: View, path: str) -> str | None:
    """The range that just holds what was measured, in millimetres."""
    value = view.read(path).value
    if not isinstance(value, Measured):
        return None
    low, high = min(p.low for p in value.places), max(p.high for p in value.places)
    return f"{Decimal(low) / 1000} to {Decimal(high) / 1000} mm"


def _short(part: str | None) -> str | None:
    return None if part is None else part.partition("/")[2]


def _fitted(core: Core) -> str:
    return " with ".join(filter(None, map(_short, (core.clamp, core.insert, core.inlay))))
