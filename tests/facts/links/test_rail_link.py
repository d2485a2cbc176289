"""A laid-out rail against its section and its table: one case by hand, and what must always hold.

By hand: two modules of 1.0 m without a gap on a rail of 2.0 m, clamps at 0.5 and 1.5 m, 1000 N/m.
Lifted: 500, 1000 and 500 N at 0, 1 and 2 m, so 250 Nm over both clamps and, between them, P l / 4
less 250, which is nothing; 500 N of shear beside each clamp; 1000 N on each.
"""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.beam import Beam, hinged, rigid
from selector.facts.links.model import Link
from selector.facts.links.rail_figures import figures
from selector.facts.links.rail_link import rail_links, worst_of
from selector.facts.links.touching import LineLoad, beams_of
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.layout.model import Box, ClampAt, Piece, Rail, Row, Seam
from selector.layout.stretch import Strip
from selector.model.truth import Word
from tests.engineering.test_beam import moment_at
from tests.layout.sample import MM

M = 1000 * MM
BOXES = (Box(0, M, 0, 2 * M), Box(M, 2 * M, 0, 2 * M))
ROW = Row(1, BOXES)
METAL = {"metal": "aluminium"}


def rail_on(*clamps_mm: int, length_mm: int = 2000) -> Rail:
    held = tuple(ClampAt(f"s{n:02}", x * MM, 0) for n, x in enumerate(clamps_mm, 1))
    piece = Piece(0, length_mm * MM, held, (length_mm * MM,))
    return Rail("r1", 1, 1, 0, (piece,))


RAIL = rail_on(500, 1500)


def load_of(
    n_per_m: float = 1000.0,
    direction: str = "up",
    status: str = "published",
    pressure_pa: float | None = 1000.0,
) -> LineLoad:
    strips = (Strip(0, 2 * M, n_per_m),)
    side = "up" if direction == "up" else "down"
    return LineLoad(side, strips, strips, "set uplift-EQU", status, pressure_pa)  # type: ignore[arg-type]


def part_of(base: Base, **changes: object) -> Part:
    """The rail that has the section of the checks by hand: 1.0 kNm, 12.6 kN, 10.5 kNm2."""
    part = base.part("demo/rail-u")
    assert isinstance(part.shape, schema.Rail)
    text: dict[str, object] = {"wel": "5500 mm3", "wnet": "5500 mm3", "av": "120 mm2"}
    text |= {"iy": "150000 mm4", "fo": "200 MPa", "fu": "245 MPa", "status": "published"}
    section = schema.RailSection.model_validate(text | changes)
    shape = part.shape.model_copy(update={"section": section})
    return replace(part, shape=shape)


def named(links: tuple[Link, ...]) -> dict[str, Link]:
    found = {link.name: link for link in links}
    assert len(found) == len(links)
    return found


def high(link: Link) -> float:
    assert link.ratio is not None
    return link.ratio.high


# --- by hand -----------------------------------------------------------------------------


def test_lifted_by_hand(base: Base) -> None:
    links = named(rail_links(base, part_of(base), RAIL, ROW, load_of()))
    bending = links["rail_bending_up"]
    assert bending.demand is not None and bending.demand.high == pytest.approx(250.0)
    assert bending.capacity is not None and bending.capacity.low == pytest.approx(1000.0)
    assert high(bending) == pytest.approx(0.25)
    assert bending.clause == "6.2.5.1"
    assert "f_o 200 MPa" in bending.inputs and "W_el 5500 mm3" in bending.inputs
    assert high(links["rail_shear_up"]) == pytest.approx(500 / 12_596.7, rel=1e-4)
    # an end: P a3 / 3 and the turn of the support, M l / 2, times a; 100 x 0.5 m x 2 %
    free = (500 * 0.5**3 / 3 + 250 * 1.0 / 2 * 0.5 - 1000 / 16 * 0.5) / 10_500
    sag = links["rail_end_sag_up"]
    assert sag.demand is not None and sag.demand.high == pytest.approx(free * 1e3)
    assert sag.capacity is not None and sag.capacity.high == pytest.approx(10.0)
    lips, head = links["rail_lips"], links["rail_head"]
    assert lips.demand is not None and lips.demand.high == pytest.approx(1000.0)
    assert head.demand is not None and head.demand.high == pytest.approx(1000.0)


def test_pressed_down_by_hand(base: Base) -> None:
    """500 N at 0, 1, 1 and 2 m: the same moments; torsion is named, lips are not loaded."""
    links = named(rail_links(base, part_of(base), RAIL, ROW, load_of(direction="down")))
    assert high(links["rail_bending_down"]) == pytest.approx(0.25)
    assert {"rail_torsion"} == {n for n in links if n in {"rail_lips", "rail_head", "rail_torsion"}}


def test_one_module_clamp_at_mid_span_is_twice_the_spread_load(base: Base) -> None:
    """A span of one module width: P l / 4 with P = w l; the spread load would give w l2 / 8."""
    row = Row(1, (Box(-500 * MM, 500 * MM, 0, M), Box(500 * MM, 1500 * MM, 0, M)))
    rail = rail_on(0, 1000, length_mm=1000)
    strips = (Strip(-500 * MM, 1500 * MM, 800.0),)
    found = figures(rail, row, LineLoad("up", strips, strips, "", "statics"), 1.0)
    assert found.moment_nm.value == pytest.approx(800 * 1.0 / 4)
    assert found.moment_nm.x == 500 * MM


def test_the_table_counts_up_to_its_pressure_only(base: Base) -> None:
    """rail-u states 1.05 m and 0.28 m up to 1.6 kPa lifted: 1000 mm of span, 500 mm of end."""
    part = part_of(base)
    links = named(rail_links(base, part, RAIL, ROW, load_of(pressure_pa=1600.0)))
    assert high(links["rail_span_up"]) == pytest.approx(1000 / 1050)
    assert links["rail_cantilever_up"].word == Word.FORBIDDEN
    for pressure, word in ((1601.0, Word.ENGINEER), (None, Word.OBSERVE)):
        links = named(rail_links(base, part, RAIL, ROW, load_of(pressure_pa=pressure)))
        assert links["rail_span_up"].capacity is None
        assert links["rail_span_up"].word == word


def test_spans_count_as_long_as_seams_may_be_apart(base: Base) -> None:
    seams = (Seam("s01", 500 * MM, 4 * MM), Seam("s02", 1500 * MM, 7 * MM))
    span = named(rail_links(base, part_of(base), RAIL, ROW, load_of(), seams))["rail_span_up"]
    assert span.demand == pytest.approx((989.0, 1011.0))


def test_places_are_named_by_seams(base: Base) -> None:
    links = named(rail_links(base, part_of(base), RAIL, ROW, load_of()))
    assert links["rail_bending_up"].place in ("r1 s01", "r1 s02")
    assert links["rail_span_up"].place == "r1 s01-s02"


# --- what is not known -------------------------------------------------------------------


def test_a_rail_without_a_section_is_named(base: Base) -> None:
    part = base.part("cases/rail-slideon")
    links = named(rail_links(base, part, RAIL, ROW, load_of()))
    for name in ("rail_bending_up", "rail_shear_up", "rail_sag_up", "rail_end_sag_up"):
        link = links[name]
        assert link.ratio is None and not link.word.is_yes
        assert [(o.about, o.given) for o in link.opens] == [("rail.section", "no section values")]
    assert high(links["rail_span_up"]) == pytest.approx(1000 / 1200)  # what its table states


def test_a_metal_without_an_edition_is_named(base: Base) -> None:
    part = part_of(base)
    metal = schema.MetalWords(metal="stainless")
    part = replace(part, shape=part.shape.model_copy(update={"metal": metal}))
    bending = named(rail_links(base, part, RAIL, ROW, load_of()))["rail_bending_up"]
    assert [o.about for o in bending.opens] == ["rail.edition"]
    assert bending.capacity is None


def test_a_steel_rail_is_judged_as_steel(base: Base) -> None:
    part = part_of(base)
    metal = schema.MetalWords(metal="steel", coating=("zinc",))
    part = replace(part, shape=part.shape.model_copy(update={"metal": metal}))
    bending = named(rail_links(base, part, RAIL, ROW, load_of()))["rail_bending_up"]
    assert bending.capacity is not None and bending.capacity.high == pytest.approx(1100.0)
    assert bending.clause == "6.2.5, (6.14)"


@pytest.mark.parametrize("name", ["rail_lips", "rail_head"])
def test_what_nobody_states_proves_nothing(base: Base, name: str) -> None:
    link = named(rail_links(base, part_of(base), RAIL, ROW, load_of()))[name]
    assert link.capacity is None and link.word == Word.ENGINEER


def test_one_clamp_is_no_beam(base: Base) -> None:
    links = named(rail_links(base, part_of(base), rail_on(1000), ROW, load_of()))
    bending = links["rail_bending_up"]
    assert bending.demand is None and bending.word == Word.ENGINEER
    assert [o.about for o in bending.opens] == ["rail.clamps"]


def test_a_module_beside_the_rail_is_no_proof(base: Base) -> None:
    links = named(
        rail_links(base, part_of(base), rail_on(400, 1200, length_mm=1900), ROW, load_of())
    )
    assert [o.about for o in links["rail_bending_up"].opens] == ["rail.module_beside"]
    assert links["rail_bending_up"].word == Word.ENGINEER


def test_shear_above_half_asks_for_an_engineer(base: Base) -> None:
    thin = part_of(base, av="9 mm2")  # 944.8 N
    shear = named(rail_links(base, thin, RAIL, ROW, load_of()))["rail_shear_up"]
    assert high(shear) == pytest.approx(0.5292, abs=1e-4)
    assert shear.word == Word.ENGINEER
    stout = part_of(base, av="10 mm2")  # 0.476
    assert (
        named(rail_links(base, stout, RAIL, ROW, load_of()))["rail_shear_up"].word == Word.ALLOWED
    )


@pytest.mark.parametrize(
    ("section", "load", "bending", "sag"),
    [
        ("published", "published", "from memory", "judgement"),  # its clause; the limit's share
        ("published", "from memory", "from memory", "from memory"),
        ("invented", "published", "invented", "invented"),
        ("published", "invented", "invented", "invented"),
    ],
)
def test_status_travels(base: Base, section: str, load: str, bending: str, sag: str) -> None:
    part = part_of(base, status=section)
    links = named(rail_links(base, part, rail_on(100, 1900), ROW, load_of(status=load)))
    assert links["rail_bending_up"].status == bending
    assert links["rail_sag_up"].status == sag


# --- what must always hold ---------------------------------------------------------------

PLACES = st.lists(st.integers(0, 40), min_size=2, max_size=6, unique=True).map(
    lambda found: rail_on(*sorted(50 * n for n in found))
)
LOADS = st.tuples(st.floats(50, 3000), st.floats(50, 3000), st.integers(100, 1900))


def uneven(drawn: tuple[float, float, int], direction: str, turned: bool = False) -> LineLoad:
    left, right, at = drawn
    if turned:
        left, right, at = right, left, 2000 - at
    strips = (Strip(0, at * MM, left), Strip(at * MM, 2 * M, right))
    return replace(load_of(direction=direction), design=strips, characteristic=strips)


@given(PLACES, LOADS, st.sampled_from(["up", "down"]))
def test_a_roof_seen_from_the_other_side_is_the_same_roof(
    base: Base, rail: Rail, drawn: tuple[float, float, int], direction: str
) -> None:
    places = [2000 - c.x // MM for c in rail.pieces[0].clamps]
    turned, part = rail_on(*sorted(places)), part_of(base)
    there = named(rail_links(base, part, rail, ROW, uneven(drawn, direction)))
    back = named(rail_links(base, part, turned, ROW, uneven(drawn, direction, turned=True)))
    assert there.keys() == back.keys()
    for name, link in there.items():
        other = back[name]
        assert (link.ratio is None) == (other.ratio is None)
        if link.ratio is not None:
            assert high(link) == pytest.approx(high(other), rel=1e-6, abs=1e-9)


@given(PLACES, LOADS, st.floats(1.0, 5.0), st.sampled_from(["up", "down"]))
def test_more_of_the_same_load_never_lowers_a_ratio(
    base: Base, rail: Rail, drawn: tuple[float, float, int], times: float, direction: str
) -> None:
    """Of the same load: more in one span may well relieve the next."""
    left, right, at = drawn
    part = part_of(base)
    less = named(rail_links(base, part, rail, ROW, uneven(drawn, direction)))
    more = (left * times, right * times, at)
    for name, link in named(rail_links(base, part, rail, ROW, uneven(more, direction))).items():
        if link.ratio is not None:
            assert high(link) >= high(less[name]) - 1e-9
        assert link.word >= less[name].word


@given(PLACES, LOADS, st.integers(0, 5))
def test_a_clamp_that_is_left_out_never_relieves_a_hinged_rail_with_clamps_at_its_ends(
    base: Base, rail: Rail, drawn: tuple[float, float, int], number: int
) -> None:
    """Without free ends each span is a simple beam, and a longer one has more moment."""
    inner = [c.x // MM for c in rail.pieces[0].clamps if 0 < c.x < 2 * M]
    if not inner:
        return
    fewer = [x for n, x in enumerate(inner) if n != number % len(inner)]
    most = []
    for places in (inner, fewer):
        [[beam]] = beams_of(rail_on(0, *places, 2000), ROW, "up", uneven(drawn, "up").design)
        most.append(max(hinged(beam).span_moments_nm))
    assert most[1] >= most[0] - 1e-9


@given(PLACES, LOADS, st.integers(0, 5))
def test_a_clamp_that_is_left_out_never_leaves_less_work_in_the_rail(
    base: Base, rail: Rail, drawn: tuple[float, float, int], number: int
) -> None:
    """Least work (L. F. Menabrea, 1858): the sum of M2 grows with each support that goes.

    The largest moment alone need not: a clamp right under a load may make it larger.
    """
    places = [c.x // MM for c in rail.pieces[0].clamps]
    if len(places) < 3:
        return
    fewer = [x for n, x in enumerate(places) if n != number % len(places)]
    work = []
    for kept in (places, fewer):
        [[beam]] = beams_of(rail_on(*kept), ROW, "up", uneven(drawn, "up").design)
        work.append(work_of(beam))
    assert work[1] >= work[0] * 0.999 - 1e-6


def work_of(beam: Beam) -> float:
    """The integral of M2 by Simpson's rule, exact between marks since only points load it."""
    solved = rigid(beam)
    marks = sorted({beam.x0_m, beam.x1_m, *beam.supports_m, *(p.x_m for p in beam.points)})
    total = 0.0
    for low, high_ in pairwise(marks):
        ends = [moment_at(beam, solved, x) ** 2 for x in (low, (low + high_) / 2, high_)]
        total += (high_ - low) / 6 * (ends[0] + 4 * ends[1] + ends[2])
    return total


def test_other_units_give_the_same_links(base: Base) -> None:
    other = part_of(base, wel="5.5 cm3", wnet="5.5 cm3", av="1.2 cm2", iy="15 cm4")
    same = rail_links(base, part_of(base), RAIL, ROW, load_of())
    assert rail_links(base, other, RAIL, ROW, load_of()) == same


def test_the_worst_of_many_lines(base: Base) -> None:
    part = part_of(base)
    mild = rail_links(base, part, RAIL, ROW, load_of(100.0))
    harsh = rail_links(base, part, replace(RAIL, id="r2"), ROW, load_of(900.0))
    found = named(worst_of((*mild, *harsh, *mild)))
    assert found["rail_bending_up"].place.startswith("r2 ")
    assert list(found) == [link.name for link in mild]
    unknown = rail_links(base, part, rail_on(1000), ROW, load_of(10.0))
    assert named(worst_of((*harsh, *unknown)))["rail_bending_up"].ratio is None
