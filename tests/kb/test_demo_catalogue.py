"""The demo catalogue: its range, its records, and that every rule can speak and be silent on it."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest

from selector.inference.answer import Answer, Desk
from selector.inference.judge import Judge, Judgement
from selector.knowledge import schema
from selector.knowledge.base import Base, Catalogue, Part, Record
from selector.model.quantity import Place
from selector.model.rule import SUBJECTS, Rule
from selector.model.truth import Word
from tests.kb import roofs
from tests.kb.test_against_published import TABLE_D1

AS_OF = "2031-03-14"  # the day of all roofs made up here
SEAM = roofs.SEAM
PARTS = ("clamp", "rail", "joint", "contact", "stack")  # roles that read the catalogue


@pytest.fixture(scope="module")
def demo(base: Base) -> Catalogue:
    return base.catalogues["demo"]


@pytest.fixture(scope="module")
def cases(base: Base) -> Catalogue:
    return base.catalogues["cases"]


def records(catalogue: Catalogue, kind: type[schema.RecordShape]) -> list[Any]:
    return [r.shape for r in catalogue.records if isinstance(r.shape, kind)]


def clamps(catalogue: Catalogue) -> list[tuple[Part, schema.Clamp]]:
    return [(p, p.shape) for p in catalogue.slot("clamp") if isinstance(p.shape, schema.Clamp)]


def in_force(record: schema.RecordShape) -> bool:
    valid = record.valid
    return not valid.withdrawn and valid.since <= AS_OF <= valid.until


# --- the range ---------------------------------------------------------------------------


def test_it_is_invented_and_says_so(demo: Catalogue) -> None:
    assert demo.tag == "invented"
    assert {p.status for p in demo.parts.values()} == {"invented"}
    assert {r.status for r in demo.records} == {"invented"}


def test_how_much_there_is(demo: Catalogue) -> None:
    slots = Counter(p.slot for p in demo.parts.values())
    assert slots["profile"] >= 14
    assert slots["clamp"] >= 24
    assert slots["adapter"] + slots["bolts"] + slots["cross"] + slots["splice"] >= 16
    assert slots["module_clamp"] >= 6 and slots["frame"] >= 2 and slots["module"] >= 4
    rails = [p.shape for p in demo.slot("rail")]
    assert len({r.family for r in rails if isinstance(r, schema.Rail)}) >= 6
    kinds = Counter(type(r.shape) for r in demo.records)
    assert kinds[schema.ClampRecord] >= 70
    assert kinds[schema.ClipRecord] >= 12
    assert kinds[schema.JointRecord] >= 12
    assert kinds[schema.ModuleClampRecord] >= 8
    assert kinds[schema.ModuleRecord] >= 8


def test_every_shape_has_profiles_and_clamps(base: Base, demo: Catalogue) -> None:
    profiles = [p.shape for p in demo.slot("profile") if isinstance(p.shape, schema.Profile)]
    heights = Counter(p.shape for p in profiles)
    assert set(heights) == set(base.shapes)
    for shape in ("double-lock", "snap-lock", "round", "T", "batten", "trapezoidal"):
        assert heights[shape] >= 2, shape
    assert {g.shape for _, c in clamps(demo) for g in c.grips} == set(base.shapes)
    for profile in profiles:  # no window is there for no seam
        ends = (profile.height.low or 0, profile.height.high or 0)
        shared = [g for _, c in clamps(demo) for g in c.grips if g.shape == profile.shape]
        assert any(g.height is None or g.height.touches(Place(*ends)) for g in shared), profile.text


def test_one_rib_takes_only_its_own_clamp(demo: Catalogue) -> None:
    own = {
        p.shape.takes_only
        for p in demo.slot("profile")
        if isinstance(p.shape, schema.Profile) and p.shape.takes_only
    }
    assert own == {"as-1"}
    assert [g.shape for p, c in clamps(demo) if p.handle == "as-1" for g in c.grips] == [
        "asymmetric"
    ]


def test_every_kind_of_clamp_is_there(demo: Catalogue) -> None:
    all_of = [c for _, c in clamps(demo)]
    assert Counter(c.generation for c in all_of)["old"] >= 3
    assert {c.metal.metal for c in all_of} == {"aluminium", "stainless"}
    assert sum(c.needs_insert is not None for c in all_of) >= 2
    assert sum(bool(c.screw_order) for c in all_of) >= 2
    assert any(len(c.grips) > 1 for c in all_of)
    on_rails = {t for slot in ("rail", "bolts") for p in demo.slot(slot) for t in p.shape.takes}
    direct = {t for p in demo.slot("module_clamp") for t in p.shape.takes}
    needy = [c for c in all_of if c.offers not in on_rails | direct]
    assert needy, "a clamp that only an adapter brings under a rail"
    assert sum(c.offers in direct for c in all_of) >= 3, "heads without a rail"
    screwed = [c for c in all_of if {g.shape for g in c.grips} == {"trapezoidal"}]
    assert len(screwed) >= 2 and all(c.set_screw.count >= 4 for c in screwed)


def test_followers_belong_to_something(demo: Catalogue) -> None:
    """What never stands in a core by itself still has its place."""
    families = {p.shape.family for p in demo.slot("rail") if isinstance(p.shape, schema.Rail)}
    joined = {p.shape.family for p in demo.slot("splice") if isinstance(p.shape, schema.Splice)}
    assert joined <= families
    brought = {b for p in demo.slot("inlay") for b in getattr(p.shape, "brings", ())}
    lines = [p for p in demo.slot("kit_line") if isinstance(p.shape, schema.KitLine)]
    assert brought == {p.handle for p in lines if p.shape.serves == "bonding jumper"}
    assert {p.shape.family for p in lines if p.shape.serves == "end cap"} <= families
    frames = [c.shape.frame for c in demo.slot("module_clamp")]  # type: ignore[attr-defined]
    rated = {r.module for r in records(demo, schema.ModuleRecord) if r.outcome == "good"}
    for module in demo.slot("module"):
        assert isinstance(module.shape, schema.Module)
        height = module.shape.frame
        assert any(f.low <= height <= f.high for f in frames), module.id
        assert module.handle in rated


# --- the records -------------------------------------------------------------------------


def test_every_fault_that_a_record_can_have_is_there(demo: Catalogue) -> None:
    for kind in schema.RECORD_KINDS.values():
        found = records(demo, kind)
        outcomes = {r.outcome for r in found}
        assert outcomes == {"good", "bad"}, kind.__name__
        assert any(r.valid.withdrawn for r in found), kind.__name__
        assert any(in_force(r) and r.outcome == "good" for r in found), kind.__name__
    for kind in (schema.ClampRecord, schema.ClipRecord, schema.JointRecord, schema.ModuleRecord):
        assert any(r.valid.until < AS_OF for r in records(demo, kind)), kind.__name__
    for kind, ways in {
        schema.ClampRecord: ("uplift", "slide_down"),
        schema.ClipRecord: ("pull", "slide"),
        schema.JointRecord: ("uplift", "along"),
    }.items():
        tested = [
            tuple(w for w in ways if getattr(r, w) != "not tested") for r in records(demo, kind)
        ]
        assert any(len(t) == 1 for t in tested), f"{kind.__name__}: one direction only"
    one_way = {
        w
        for r in records(demo, schema.ClampRecord)
        for w in ("uplift", "slide_down")
        if getattr(r, w) == "not tested"
    }
    assert one_way == {"uplift", "slide_down"}
    assert {r.basis for r in records(demo, schema.ClipRecord)} == {"gross", "after sheet suction"}


def test_clamp_records_cover_many_sheets(base: Base, demo: Catalogue) -> None:
    found = records(demo, schema.ClampRecord)
    families = {r.sheet.family for r in found} - {None}
    assert families >= {"coated steel", "aluminium", "zinc", "copper", "stainless"}
    assert {r.sits_on.shape for r in found} == set(base.shapes)
    assert {r.sits_on.closed for r in found} == {"by hand", "factory", "either"}
    assert any(r.part.insert for r in found) and any(r.part.inlay for r in found)
    assert any(r.sideways != "not tested" for r in found)
    assert any(r.give is not None for r in found) and any(r.give is None for r in found)
    ranges: dict[tuple[str, ...], set[tuple[int, int]]] = defaultdict(set)
    for r in found:
        key = (r.part.clamp, r.sits_on.shape, str(r.sheet.family))
        ranges[key].add((r.sheet.covers.low, r.sheet.covers.high))
    assert any(len(cores) > 1 for cores in ranges.values()), "two ranges of cores"


def test_cores_are_those_of_the_trade(demo: Catalogue) -> None:
    """Sheets of seamed roofs are 0.5 to 1.0 mm thick; stainless is thinner.

    Common practice, no source; the outer range stands in the sheet trade's pages.
    """
    nominal = {  # mm
        "coated steel": (0.5, 0.7),
        "aluminium": (0.7, 1.0),
        "zinc": (0.7, 0.8),
        "copper": (0.6, 0.7),
        "stainless": (0.4, 0.5),
    }
    for record in records(demo, schema.ClampRecord):
        family = record.sheet.family or record.sheet.metal
        low, high = nominal[family]
        covers = record.sheet.covers
        assert covers.low >= (low - 0.06) * 1e3 - 1, record.id
        assert covers.high <= (high + 0.05) * 1e3 + 1, record.id
        assert covers.high - covers.low >= 100, f"{record.id}: no micrometer can meet it"


def test_never_tested_pairs_and_revisions_are_left_out(demo: Catalogue) -> None:
    tested = {r.part.clamp for r in records(demo, schema.ClampRecord)}
    assert {p.handle for p, _ in clamps(demo)} - tested == {"rd-5"}
    revisions = {p.handle: c.revision for p, c in clamps(demo)}
    other = {
        r.id
        for r in records(demo, schema.ClampRecord)
        if revisions[r.part.clamp] not in r.part.revisions
    }
    assert len(other) >= 2


def test_two_records_disagree_and_one_is_in_another_format(demo: Catalogue) -> None:
    found = {r.id: r for r in records(demo, schema.ClampRecord)}
    one, other = found["ev-07"], found["ev-09"]
    assert (one.part, one.sits_on, one.sheet) == (other.part, other.sits_on, other.sheet)
    assert one.uplift.design.en.value != other.uplift.design.en.value
    # Tested, and reported in the allowable format alone: no design value in the format that counts.
    formats = [r.id for r in found.values() if isinstance(r.uplift, schema.Result)]
    assert [i for i in formats if found[i].uplift.design.en == "not tested"] == ["ev-62"]


def results(catalogue: Catalogue) -> Iterator[tuple[str, schema.Result]]:
    for record in catalogue.records:
        for name in type(record.shape).model_fields:
            value = getattr(record.shape, name)
            if isinstance(value, schema.Result):
                yield f"{record.id} {name}", value


def test_statistics_follow_en_1990(demo: Catalogue) -> None:
    """EN 1990:2002 D.7.2: X_k = m (1 - k_n V), k_n of table D1; X_d = eta_d X_k / gamma_m."""
    kinds = set()
    for name, r in results(demo):
        k_n = TABLE_D1[r.n][0 if r.variation.known else 1]
        assert r.characteristic.k == k_n, name
        exact = r.mean * (1 - k_n * r.variation.value)
        assert exact - 2_000 <= r.characteristic.value <= exact + 500, name  # mN; reports round
        assert 0.02 <= r.variation.value <= 0.20, name
        if isinstance(r.design.en, schema.Design):
            most = r.design.en.eta * r.characteristic.value / r.design.en.gamma_m
            assert 0 <= most - r.design.en.value <= 12_000, name  # mN; rounded down to 10 N
            kinds.add((r.n, r.variation.known, r.design.en.eta < 1))
    assert {n for n, _, _ in kinds} >= {5, 6, 8, 10}
    assert {known for _, known, _ in kinds} == {True, False}
    assert {reduced for _, _, reduced in kinds} == {True, False}


# --- apart from the case world -----------------------------------------------------------


def windows(catalogue: Catalogue) -> set[tuple[str, str, str]]:
    return {
        (g.shape, d, str(w))
        for _, c in clamps(catalogue)
        for g in c.grips
        for d in SEAM
        if (w := getattr(g, d)) is not None
    }


def interfaces(catalogue: Catalogue) -> set[str]:
    shapes = [p.shape for p in catalogue.parts.values()]
    return {i for s in shapes for i in (s.offers, *s.takes) if i}


def splits(catalogue: Catalogue) -> set[frozenset[str]]:
    """Shapes that one clamp grips together."""
    found = (frozenset(g.shape for g in c.grips) for _, c in clamps(catalogue))
    return {shapes for shapes in found if len(shapes) > 1}


def strengths(catalogue: Catalogue) -> set[tuple[str, str, int]]:
    return {
        (r.sits_on.shape, str(r.sheet.family), r.uplift.design.en.value)
        for r in records(catalogue, schema.ClampRecord)
        if isinstance(r.uplift, schema.Result) and isinstance(r.uplift.design.en, schema.Design)
    }


def rail_figures(catalogue: Catalogue) -> set[tuple[str, int]]:
    rails = [p.shape for p in catalogue.slot("rail") if isinstance(p.shape, schema.Rail)]
    return {
        pair
        for r in rails
        for pair in (
            ("span", r.span),
            ("cantilever", r.cantilever),
            ("rigid_run", r.rigid_run),
            ("uplift", r.limits.uplift),
            ("down", r.limits.down),
        )
    }


def torques(catalogue: Catalogue) -> set[int]:
    return {c.torque for _, c in clamps(catalogue)}


def distances(catalogue: Catalogue) -> set[int]:
    return {c.clip_distance for _, c in clamps(catalogue)} - {0}  # 0: no distance is kept


def handles(catalogue: Catalogue) -> set[str]:
    return {p.handle for p in catalogue.parts.values()} | {r.id for r in catalogue.records}


@pytest.mark.parametrize(
    "figures",
    [windows, interfaces, splits, strengths, rail_figures, torques, distances, handles],
)
def test_nothing_equals_the_case_world(demo: Catalogue, cases: Catalogue, figures: Any) -> None:
    assert figures(demo) and figures(cases)
    assert figures(demo) & figures(cases) == set()


# --- every part and every record is of use -----------------------------------------------


@dataclass
class Sweep:
    """What all made-up roofs said: outcomes of rules, cores that stand, clamps that fit."""

    outcomes: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    alive: set[str] = field(default_factory=set)
    words: dict[str, set[Word]] = field(default_factory=lambda: defaultdict(set))
    fits: set[str] = field(default_factory=set)

    def take(self, answer: Answer) -> None:
        for refusal in answer.refusals:
            self.judged(refusal.judgements)
        for option in answer.options:
            self.judged(option.judgements)
            self.words[option.core.clamp].add(option.verdict.word)
            if option.verdict.word != Word.FORBIDDEN:
                self.alive |= {*option.core.parts, option.module_clamp or ""}

    def judged(self, judgements: tuple[Judgement, ...]) -> None:
        for judgement in judgements:
            assert judgement.withheld == ""
            for rule in judgement.program.rules:
                self.outcomes[rule.id].add(judgement.outcome(rule))
            if judgement.subject.kind == "part-on-plane" and surely_fits(judgement):
                self.fits.add(judgement.subject.id)


def surely_fits(judgement: Judgement) -> bool:
    """Whether the window of a clamp surely holds the seam, and nothing may forbid it."""
    # Their window may need papers of an owner; nothing may forbid them.
    unproven = judgement.view.words("plane.seam.shape") in ({"asymmetric"}, {"trapezoidal"})
    proven = unproven or judgement.proven("seam window").surely
    return proven and judgement.word(False) < Word.FORBIDDEN


def whole(record: schema.ClampRecord) -> bool:
    """Whether both directions count."""
    found = (record.uplift, record.slide_down)
    return all(isinstance(r, schema.Result) and r.design.en != "not tested" for r in found)


def fitting(demo: Catalogue) -> Iterator[roofs.Rows]:
    """A roof for each clamp and shape, on the sheet of its first good record."""
    good = [
        r
        for r in records(demo, schema.ClampRecord)
        if r.outcome == "good" and in_force(r) and whole(r) and r.sheet.family
    ]
    for clamp, shape in clamps(demo):
        for grip in shape.grips:
            mine = [
                r
                for r in good
                if (r.part.clamp, r.sits_on.shape) == (clamp.handle, grip.shape)
                and shape.revision in r.part.revisions
            ]
            if not mine:
                yield roofs.fitted(clamp, grip.shape, "coated steel")
                continue
            sheet, closed = mine[0].sheet, mine[0].sits_on.closed
            row = roofs.fitted(clamp, grip.shape, sheet.family, roofs.middle(sheet.covers))
            if (grip.shape, closed) == ("double-lock", "factory"):  # clips screwed to plywood
                row["planes"]["p1"]["seam"]["made"] = roofs.seen("factory")
                row["planes"]["p1"]["clips"]["kind"] = roofs.seen("system clip")
                row["planes"]["p1"]["deck"]["kind"] = roofs.seen("plywood")
            yield row


def twisted(demo: Catalogue) -> Iterator[roofs.Rows]:
    """One thing at a time is changed on the roof of dl-1, and stacks are filled wrongly."""
    parts = {p.handle: p for p in demo.parts.values()}
    mill = roofs.fitted(parts["dl-1"], "double-lock", "coated steel")
    sea = {"is": "200 m", "tool": "map", "by": "x"}
    for family in roofs.SHEETS:
        yield roofs.fitted(parts["dl-1"], "double-lock", family)
    for family in ("coated steel", "copper", "stainless"):
        row = roofs.fitted(parts["dl-1"], "double-lock", family)
        yield roofs.changed(row, site__sea_distance=sea)
    changes: dict[str, dict[str, object]] = {
        "copper above": {"site__run_off_from_above": roofs.seen("copper")},
        "all run out": {"as_of": "2037-01-01"},
        "high figures": {"arrays__a1__stated": roofs.stated("9")},
        "flat, little snow": {
            "planes__p1__pitch": {"is": "4 deg", "tool": "pitch meter", "by": "x"},
            "site__ground_snow": {"is": "0.30 kPa", "paper": "calc"},
        },
        "wide bays": {
            "planes__p1__seam__spacing": {"places": ["1400 mm"] * 3, "tool": "tape", "by": "x"}
        },
        "screws": {"planes__p1__seam__branch": roofs.seen("screws through the sheet")},
        "flanks": {
            "planes__p1__seam__made": roofs.seen("factory"),
            "planes__p1__seam__flanks": roofs.seen("differ"),
        },
        "low seam": {
            "planes__p1__seam__height": {"places": ["12 mm"] * 3, "tool": "calliper", "by": "x"}
        },
        "landscape": {"arrays__a1__orientation": "landscape"},
        "short sides": {
            "arrays__a1__orientation": "landscape",
            "arrays__a1__module": "demo/module-w46",
        },
        "elevated": {"arrays__a1__tilt": "15 deg"},
    }
    for change in changes.values():
        yield roofs.changed(mill, **change)
    foot = roofs.fitted(parts["tz-2"], "trapezoidal", "stainless")
    owner = {
        "kind": "papers of the roof system",
        "dated": "2031-01-01",
        "covers": ["clamp tz-2", "array a1"],
    }
    yield roofs.changed(foot, papers__owner=owner)
    snap = roofs.fitted(parts["mix-1"], "snap-lock", "coated steel")
    yield roofs.changed(snap, arrays__a1__tilt="10 deg")
    yield roofs.changed(snap, arrays__a1__module="demo/module-q40")
    for clamp, dimension, size in (
        ("sl-1", "leg", "30 mm"),
        ("rd-1", "bulb", "40 mm"),
        ("sn-1", "head", "30 mm"),
    ):
        shape = parts[clamp].shape.grips[0].shape  # type: ignore[attr-defined]
        readings = {"places": [size] * 3, "tool": "calliper", "by": "x"}
        row = roofs.fitted(parts[clamp], shape, "coated steel")
        yield roofs.changed(row, **{f"planes__p1__seam__{dimension}": readings})


def brought() -> Iterator[roofs.Rows]:
    """Stacks as somebody might bring them, on the roof of dl-1 or of rd-1."""
    good = {"array": "a1", "clamp": "demo/dl-1", "rail": "demo/rail-u"}
    held = good | {"module_clamp": "demo/mc-1"}
    layout = {"rails": {"r1": {"from_eave": "1.3 m"}, "r2": {"from_eave": "2.4 m"}}}
    yield held | {"torque": "11 Nm", "screw_tip": "dome"}
    yield held | {"torque": "7 Nm"}
    ordered = {"array": "a1", "clamp": "demo/duo-1", "rail": "demo/rail-h"}
    yield ordered | {"tightened": "in the wrong order"}
    yield held | {"tightened": "loosened and set again"}
    for what in ("fit", "inlay", "adapter"):
        yield held | {"improvised": {what: "made on site"}}
    yield held | {"bonding_wire": "bare copper"}
    yield held | {"beside": {"clamps": "old", "rails": "other family"}}
    yield held | {"torque": "17 Nm"}
    yield held | {"screw_tip": "cone"}
    yield held | {"stated": roofs.stated("9")}
    yield held | {"inlay": "demo/sleeve-1"}
    yield good
    yield held | {"frame": "demo/tilt-1"}
    yield held | {"adapters": ["demo/ad-2", "demo/ad-3"]}
    yield held | {"rail": "demo/rail-t"}
    yield held | {"layout": layout | {"clamps": "every seam"}}
    badly = {
        "rails": {"r1": {"from_eave": "1.05 m", "cut_at": ["0.4 m"]}, "r2": {"from_eave": "1.9 m"}},
        "clamps": {"s01": ["1.05 m"], "s02": ["1.05 m", "1.9 m"]},
        "splices": {"r1": ["rigid"]},
    }
    yield held | {"layout": badly}


@pytest.fixture(scope="module")
def sweep(base: Base, judge: Judge, demo: Catalogue) -> Sweep:
    """All made-up roofs answered, with all parts of the catalogue."""
    found = Sweep()
    for row in (*fitting(demo), *twisted(demo)):
        found.take(Desk(base, roofs.job(base, row), judge).choose("a1"))
    dl_1 = demo.parts["demo/dl-1"]
    row = roofs.fitted(dl_1, "double-lock", "coated steel")
    row["stacks"] = {f"s{i}": stack for i, stack in enumerate(brought())}
    long_rows = roofs.changed(row, arrays__a1__block__columns=8)
    for job in (roofs.job(base, row), roofs.job(base, long_rows)):
        for name in row["stacks"]:
            found.take(Desk(base, job, judge).stack(name))
    return found


def test_no_part_is_an_orphan(demo: Catalogue, sweep: Sweep) -> None:
    """Every part that can stand in a core stands in one that some roof does not forbid."""
    slots = ("clamp", "insert", "inlay", "adapter", "bolts", "rail", "frame", "cross")
    wanted = {p.id for slot in (*slots, "module_clamp") for p in demo.slot(slot)}
    assert wanted - sweep.alive == set()


def test_every_clamp_has_a_roof_that_it_surely_fits(demo: Catalogue, sweep: Sweep) -> None:
    assert {p.id for p, _ in clamps(demo)} - sweep.fits == set()


def test_clamps_come_to_a_yes_but_for_what_nobody_has_tested(
    base: Base, demo: Catalogue, sweep: Sweep
) -> None:
    never = {p.handle for p, _ in clamps(demo) if min(sweep.words[p.id]) > Word.CONDITIONAL}
    assert never == {
        "as-1",  # the record of its clips is withdrawn
        "dl-7",  # the record of its module clamp is withdrawn
        "rd-5",  # no record
    }


# Its heads are narrower than kb/trade/shapes.yaml lets any T seam be, so nothing is ever sure.
NO_SUCH_SEAM = {"ev-18"}


def record_rows(base: Base, demo: Catalogue) -> Iterator[tuple[Record, roofs.Rows]]:
    """For each clamp record a roof in the middle of what it covers, with its stack named."""
    for record in demo.records:
        r = record.shape
        if not isinstance(r, schema.ClampRecord) or record.id in NO_SUCH_SEAM:
            continue
        family = r.sheet.family or r.sheet.metal or ""
        made = None if r.sits_on.closed == "either" else r.sits_on.closed
        core = roofs.middle(r.sheet.covers)
        row = roofs.roof(roofs.seam(r.sits_on, made), roofs.sheet(family, core))
        stack = {"array": "a1", "clamp": f"demo/{r.part.clamp}"}
        stack |= {s: f"demo/{v}" for s in ("insert", "inlay") if (v := getattr(r.part, s))}
        row["stacks"] = {"one": stack}
        row["request"] = {"kind": "judge", "stack": "one"}
        yield record, row


def test_every_clamp_record_counts_where_it_should_and_nowhere_else(
    base: Base, judge: Judge, demo: Catalogue
) -> None:
    revisions = {p.handle: c.revision for p, c in clamps(demo)}
    for record, row in record_rows(base, demo):
        shape = record.shape
        assert isinstance(shape, schema.ClampRecord)
        option = Desk(base, roofs.job(base, row), judge).stack("one").options[0]
        stack = next(j for j in option.judgements if j.subject.kind == "stack")
        path = "stack.evidence clamp on seam"
        if shape.outcome == "bad":
            path = "stack.evidence bad clamp on seam"
        covers: Any = stack.view.read(path).value
        counts = in_force(shape) and revisions[shape.part.clamp] in shape.part.revisions
        assert (record.id in covers.surely) is counts, record.id
        assert (record.id in covers.possibly) is counts, record.id


# --- every rule --------------------------------------------------------------------------

# Said whatever is found, so they cannot be silent.
ALWAYS = {
    "jaw-to-stay-clear-of-the-pan",
    "place-to-be-looked-at",
    "sheet-to-keep-sliding",
    "torque-by-feel",
}
# What these parts on made-up roofs do not bring about, held by the rules' own cases: metals that
# only `pair` and water bring together, a grade for indoors, sums over a drawn layout, the wrench of
# a crew.
NEVER_HERE = {
    *("ammonia-strips-thin-zinc", "drip-line-to-be-watched", "faces-to-be-sealed"),
    *("lesser-fastener-in-nobler-metal", "lower-grade-too-low-for-the-salt"),
    *("metal-goes-round-the-inlay", "metals-better-kept-apart", "pierced-coat-where-salt-settles"),
    *("pool-hall-air-on-stainless", "water-from-above-does-no-harm", "water-on-a-part-not-judged"),
    *("clip-paper-to-be-shown", "clip-sum-above-its-paper", "wrench-not-for-this-torque"),
    "stainless-grade-for-indoors",
}
QUIET = {"silent", "not applicable"}


def reads_parts(rule: Rule) -> bool:
    paths = [c.left for c in rule.conditions]
    paths += [c.right for c in rule.conditions if hasattr(c.right, "role")]  # type: ignore[misc]
    return any(p.role in PARTS for p in paths)


def by_cases(base: Base, rule: Rule) -> set[str]:
    """Outcomes of its own cases that use parts of the demo catalogue and no others."""
    found = set()
    for case in base.cases:
        ours = all(p.startswith("demo/") for p in case.parts.values())
        if case.rule == rule.id and ours and (case.parts or not reads_parts(rule)):
            found.add(case.expect)
    return found


def active(base: Base) -> list[Rule]:
    return [r for kind in SUBJECTS for r in base.rules_of(kind)]


def test_every_rule_can_fire_and_be_silent_on_the_demo_catalogue(base: Base, sweep: Sweep) -> None:
    """By its own cases with demo parts, or on a made-up roof where it reads parts."""
    fires, silent = set(), set()
    for rule in active(base):
        found = by_cases(base, rule) | (sweep.outcomes[rule.id] if reads_parts(rule) else set())
        fires |= {rule.id} if "fires" in found else set()
        silent |= {rule.id} if found & QUIET else set()
    everything = {r.id for r in active(base)}
    assert everything - fires <= NEVER_HERE <= everything
    unconditional = {r.id for r in active(base) if not r.conditions}
    assert everything - silent - unconditional == set()


def test_every_rule_on_parts_fires_and_stays_silent_on_made_up_roofs(
    base: Base, sweep: Sweep
) -> None:
    """All demo parts are walked; a rule that never fires here wants a roof in `twisted`."""
    for kind in ("part-on-plane", "joint", "contact", "stack"):
        rules = base.rules_of(kind)
        assert rules
        assert {r.id for r in rules if "fires" not in sweep.outcomes[r.id]} <= NEVER_HERE
        assert {r.id for r in rules if not sweep.outcomes[r.id] & QUIET} == {
            r.id for r in rules if r.id in ALWAYS
        }
    assert {r.id for r in active(base) if not r.conditions} >= ALWAYS
