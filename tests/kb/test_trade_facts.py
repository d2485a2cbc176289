"""Facts of the trade: every one cited, none worth more than its source, each word described."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import get_args

import pytest

from selector.errors import InputError
from selector.knowledge.base import Base
from selector.knowledge.codes import cited as cited_by_codes
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.knowledge.schema import Status
from selector.knowledge.yaml_reader import Document, read_string

# The closed list, said here a second time; how much each is worth as the design orders them.
STATUSES = ("published", "measured", "common practice", "judgement", "from memory", "invented")


def cited(base: Base) -> Iterator[tuple[str, str, str]]:
    """Name, source and status of everything that cites a source."""
    for number in base.numbers.values():
        yield f"number {number.id}", number.source, number.status
    for pairing in base.pairings:
        yield f"pairing {pairing.shape.id}", pairing.shape.source, pairing.shape.status
    for shape in base.shapes.values():
        yield f"shape {shape.shape.id}", shape.shape.source, shape.shape.status
    for topic, rows in base.trade.topics.items():
        for row in rows:
            yield f"{topic} {row.shape.id}", row.shape.source, row.shape.status
    for rule in base.rules:
        yield f"rule {rule.id}", rule.source, rule.basis


def test_the_statuses_are_the_closed_list(base: Base) -> None:
    assert get_args(Status) == STATUSES
    assert {status for _, _, status in cited(base)} <= set(STATUSES)
    assert {source.status for source in base.sources.values()} <= set(STATUSES)


def test_every_source_cited_has_its_file(base: Base) -> None:
    for name, source, _ in cited(base):
        assert source in base.sources, name


def test_published_only_where_the_source_is(base: Base) -> None:
    for name, source, status in cited(base):
        if status == "published":
            assert base.sources[source].status == "published", name


def test_what_is_from_memory_stays_so(base: Base) -> None:
    for name, source, status in cited(base):
        if base.sources[source].status == "from memory":
            assert status == "from memory", name


def test_every_source_is_used(base: Base) -> None:
    found = {source for _, source, _ in cited(base)} | cited_by_codes(base.codes)
    assert found == set(base.sources)


# Written down from the sources themselves, each named beside its figure.
PUBLISHED = {
    "expansion_lead": "29.7 um/m/K",  # Building Construction Handbook, 8th edition
    "expansion_zinc_across": "17 um/m/K",  # sheet data of rolled zinc after EN 988, secondary
    "modulus_aluminium": "68.9 GPa",  # mechanics textbook, 6061
    "modulus_stainless": "193 GPa",  # the same, 304
    "modulus_copper": "117 GPa",  # Copper Development Association: 17e6 psi
    "modulus_lead": "16 GPa",  # data of the elements
    "copper_cleat_spacing": "304.8 mm",  # 12 in
    "system_clip_spacing": "1525 mm",  # UFC 3-110-03 (2006), page 27
    "board_thickness": "24 mm",  # DIN 18339 as quoted by the trade
}


def test_densities_of_pure_metals(base: Base) -> None:
    """Against another package's data of the elements; steel and its like are from memory."""
    elements = pytest.importorskip("periodictable", reason="it is part of the test extra")
    for metal, symbol in (("aluminium", "Al"), ("zinc", "Zn"), ("copper", "Cu"), ("lead", "Pb")):
        found = base.numbers[f"density_{metal}"].value.places[0].low
        assert found == pytest.approx(getattr(elements, symbol).density * 1000, abs=0.5)


@pytest.mark.parametrize("number", sorted(PUBLISHED))
def test_published_figures(base: Base, number: str) -> None:
    assert str(base.numbers[number].value) == PUBLISHED[number]


def test_copper_modulus_in_psi_is_the_same(base: Base) -> None:
    """17e6 psi and 6894.757 Pa for one psi (NIST SP 811, appendix B.8)."""
    found = base.numbers["modulus_copper"].value.places[0].low / 1_000
    assert found == pytest.approx(17e6 * 6894.757 / 1e9, abs=0.5)


def test_the_torque_habit_is_no_number_a_rule_can_read(base: Base) -> None:
    (row,) = [r for r in base.trade.tightening if r.shape.torque is not None]
    assert (row.shape.torque, row.shape.status) == (18_000, "common practice")
    assert not [n for n in base.numbers.values() if n.value.dimension == "torque"]


def test_classes_of_the_air_leave_no_gap(base: Base) -> None:
    for kind in ("loss", "mass_loss"):
        for metal in ("steel", "zinc", "copper"):
            rows = [getattr(getattr(r.shape, kind), metal) for r in base.trade.environments]
            assert all(a.high == b.low for a, b in pairwise(rows)), (kind, metal)


def test_thickness_and_mass_say_the_same(base: Base) -> None:
    """First-year losses of ISO 9223 in um and in g/m2 agree by the density, within rounding."""
    density = {"steel": 7.86, "zinc": 7.14, "copper": 8.96}  # g/cm3, ISO 9223 is for these metals
    for row in base.trade.environments:
        for metal, grams in density.items():
            thick = getattr(row.shape.loss, metal).high / 1000
            mass = getattr(row.shape.mass_loss, metal).high / 1000
            assert mass == pytest.approx(thick * grams, rel=0.08, abs=0.3), (row.shape.id, metal)


def test_bands_of_salt_leave_no_gap(base: Base) -> None:
    factors = [r.shape for r in base.trade.stainless_exposure]
    for key in ("sea", "road"):
        ends = sorted({(w.low or 0, w.high) for w in (getattr(f, key) for f in factors) if w})
        assert ends[0][0] == 0
        assert ends[-1][1] is None
        assert all(a[1] == b[0] for a, b in pairwise(ends))
    assert {f.factor for f in factors} == {"F1", "F2", "F3"}
    # what is from memory in its source stays so: washing, limits, grades
    assert {f.status for f in factors if f.factor == "F3"} == {"from memory"}
    assert {r.shape.status for r in base.trade.stainless_classes} == {"from memory"}
    assert {f.status for f in factors if f.factor != "F3"} == {"published"}


def test_the_anodic_index_is_read_by_no_rule(base: Base) -> None:
    """It must not decide: it passes bare steel on aluminium, which the trade forbids."""
    index = {f: r.shape.index.low for r in base.trade.anodic_index for f in r.shape.families}
    assert index["aluminium"] - index["bare steel"] == 50  # mV: within the harshest limit, 150
    assert index["aluminium"] - index["stainless"] == 550  # beyond the mildest, 500; daily custom
    paths = {str(c.left) for rule in base.rules for c in rule.conditions}
    assert not [path for path in paths if "index" in path or "potential" in path]


Faults = Callable[[str, str, str], list[str]]


@pytest.fixture(scope="module")
def documents() -> dict[str, Document]:
    """The base without the cases, which no fault here touches."""
    found = read_documents(home())[1]
    return {k: v for k, v in found.items() if ".cases." not in k and "/cases/" not in k}


@pytest.fixture(scope="module")
def faults(documents: dict[str, Document]) -> Faults:
    def found(topic: str, old: str, new: str) -> list[str]:
        name = f"kb/trade/{topic}.yaml"
        text = (home().kb.parent / name).read_text(encoding="utf-8")
        assert old in text
        changed = {**documents, name: read_string(text.replace(old, new, 1), name)}
        with pytest.raises(InputError) as caught:
            build("copy", changed)
        return [str(problem) for problem in caught.value.problems]

    return found


WRONG = [
    ("look-alikes", "[double-lock, single-lock]", "[double-lock, tripple]", "no shape"),
    ("look-alikes", "source: trade-custom", "source: hearsay", "no source `hearsay`"),
    ("look-alikes", "status: from memory", "status: published", "which is `from memory`"),
    ("seam-heights", "23 to 25 mm", "25 to 23 mm", "runs backwards"),
    ("seam-heights", "shape: round", "shape: bulb", "no shape"),
    ("metals", "- {id: lead,", "- {id: tin,", "`lead` is missing"),
    ("metals", "[expansion_steel", "[expansion_of_steel", "no number of the trade"),
    ("metals", "magnet: weak", "magnet: some", "use one of"),
    ("coatings", 'hides: "aluminium", ', "", "key `hides` is missing"),
    ("sheet-colours", "- {id: green,", "- {id: lilac,", "`green` is missing"),
    (
        "sheet-colours",
        "metals: [copper, copper-alloy, stainless, zinc], coats: [paint],",
        "metals: [gold],",
        "coats",
    ),
    (
        "sheet-colours",
        "[copper, copper-alloy, steel, stainless, zinc]",
        "[copper, bronze]",
        "no metal",
    ),
    ("sheet-colours", "coats: [paint], but", "coats: [wax], but", "no coating"),
    ("sheet-colours", "status: common practice", "status: published", "which is `common practice`"),
    ("clips", "clip: system clip", "clip: glue", "no clip"),
    ("decks", "id: OSB", "id: boards", "listed twice"),
    ("tightening", "torque: 18 Nm", "torque: 18 mm", "torque"),
    ("tools", "id: calliper", "id: caliper", "`calliper` is missing"),
    ("tools", "not: ", "never: ", "unknown key `never`"),
    ("sea-potentials", "metal: lead", "metal: plumbum", "no metal"),
    ("sea-potentials", "range: -1.65 to -1.60 V, point: -1.64 V", "note: none", "`range`"),
    ("sea-potentials", "-1.65 to -1.60 V", "-1.60 to -1.65 V", "runs backwards"),
    ("anodic-index", "families: [lead]", "families: [leaden]", "no family"),
    ("environments", "id: C5", "id: C6", "`C5` is missing"),
    ("environments", "steel: 0 to 1.3 um/a", "steel: 0 to 1.3 um", "um/a"),
    ("environments", "zinc: 0 to 0.1 um/a, ", "", "key `zinc` is missing"),
    ("air-signs", "classes: [C2]", "classes: [C0]", "no class of corrosivity"),
    ("loss-over-years", "- {id: zinc,", "- {id: lead,", "`zinc` is missing"),
    ("loss-over-years", "b1: 0.523", "b1: 52 %", "b1"),
    ("stainless-exposure", "factor: F3", "factor: F4", "use one of"),
    ("stainless-exposure", "points: -15", "points: none", "points"),
    ("stainless-classes", "status: from memory", "status: published", "which is `from memory`"),
    ("rubbers", "harms: [aluminium-zinc]", "harms: [aluminium-tin]", "no coating"),
    ("rubbers", "absorbs: no", "absorbs: hardly", "use one of"),
    ("screw-points", "grip: 90 %", "grip: 0.9", "grip"),
    ("friction", "k: [0.18, 0.27]", "k: [0.27, 0.18]", "smaller figure first"),
    ("friction", "k: [0.20, 0.20], ", "", "give `mu`, `k`, or both"),
    ("bolt-classes", "rp: 450 MPa", "rp: 450 Nm", "strength"),
    ("threads", "pitch: 1.25 mm", "pitch: 1.25", "length"),
    ("torque-tables", "thread: M10", "thread: M12", "no thread"),
    ("torque-tables", 'strength: "80"', 'strength: "88"', "no property class"),
    ("torque-tables", "torque: [6.3 Nm, 10 Nm, 12.2 Nm]", "torque: [6.3 Nm]", "one torque"),
]


@pytest.mark.parametrize(("topic", "old", "new", "said"), WRONG)
def test_one_wrong_place_is_named(
    faults: Faults, topic: str, old: str, new: str, said: str
) -> None:
    found = faults(topic, old, new)
    assert any(said in text and f"kb/trade/{topic}.yaml" in text for text in found), found


def test_a_missing_file_is_named(documents: dict[str, Document]) -> None:
    rest = {k: v for k, v in documents.items() if k != "kb/trade/decks.yaml"}
    with pytest.raises(InputError, match=r"kb/trade/decks\.yaml: this file is missing"):
        build("copy", rest)
