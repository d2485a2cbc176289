"""Sections of the demo rails against their own spans: a table of spans and a section agree.

A module strip of 1.0 m lies on a rail of three spans with both ends as long as allowed; modules of
1.09 m with gaps of 20 mm press on it with their frame edges, wherever the row begins. Moments as
handbooks have them come from the beam, which has tests of its own.
"""

import pytest

from selector import units
from selector.engineering.beam import Beam, Point, hinged, rigid
from selector.engineering.bent import bent, shear
from selector.engineering.rail_en import resistance
from selector.engineering.tables import MemberEdition
from selector.facts.links.rail_section import section_of
from selector.knowledge import schema
from selector.knowledge.base import Base, Part

STRIP_M, WIDE_M, GAP_M = 1.0, 1.09, 0.02
GAMMA = 1.5  # of the action that leads, EN 1990 table A1.2(B)
SPANS = 3
PLACES = ("span", "end")
RAILS = ("rail-u", "rail-s", "rail-f", "rail-p", "rail-t", "rail-h")


def rail_of(base: Base, name: str) -> tuple[Part, schema.Rail]:
    part = base.catalogues["demo"].parts[f"demo/{name}"]
    assert isinstance(part.shape, schema.Rail)
    return part, part.shape


def beams(shape: schema.Rail, times: float) -> list[Beam]:
    """The rail under its limit times a factor, for each place where the row may begin."""
    span, end = shape.span / 1e6, shape.cantilever / 1e6
    length = SPANS * span + 2 * end
    supports = tuple(end + n * span for n in range(SPANS + 1))
    half = max(shape.limits.uplift, shape.limits.down) / 1e3 * STRIP_M * WIDE_M / 2 * times
    found = []
    for step in range(56):
        edges, x = [], -1.5 * WIDE_M + step * 0.02
        while x < length:
            edges += [e for e in (x, x + WIDE_M) if 0 <= e <= length]
            x += WIDE_M + GAP_M
        found.append(Beam(0.0, length, supports, (), tuple(Point(e, half) for e in edges)))
    return found


def worst(base: Base, name: str, times: float) -> dict[str, float]:
    part, shape = rail_of(base, name)
    section, edition = section_of(part), base.codes.members("aluminium")
    assert section is not None and isinstance(edition, MemberEdition)
    sheet = resistance(section, edition)
    solved = [(b, s) for b in beams(shape, times) for s in (rigid(b), hinged(b))]
    moment = max(max(map(abs, (*s.moments_nm, *s.span_moments_nm))) for _, s in solved)
    force = max(shear(b, s).largest_n for b, s in solved)
    bents = [bent(b, rigid(b), sheet.value("EI")) for b in beams(shape, times / GAMMA)]
    limits = [base.numbers[f"rail_{k}_deflection"].value.places[0].high / 1e6 for k in PLACES]
    span, end = shape.span / 1e6 * limits[0], shape.cantilever / 1e6 * limits[1]
    return {
        "bending": moment / sheet.value("M_Rd"),
        "shear": force / sheet.value("V_Rd"),
        "span": max(max(b.spans_m) for b in bents) / span,
        "end": max(max(b.left_end_m, b.right_end_m) for b in bents) / end,
    }


@pytest.mark.parametrize("name", RAILS)
def test_a_rail_holds_at_its_own_span_and_limit(base: Base, name: str) -> None:
    found = worst(base, name, 1.0)
    assert max(found.values()) <= 1.0, found
    assert found["shear"] <= 0.5  # so that shear leaves bending as it is


@pytest.mark.parametrize("name", RAILS)
def test_a_rail_fails_clearly_beyond_it(base: Base, name: str) -> None:
    assert worst(base, name, 1.6)["bending"] > 1.3


def test_every_demo_rail_states_a_section(base: Base) -> None:
    rails = base.catalogues["demo"].slot("rail")
    assert {p.handle for p in rails} == {*RAILS}
    for part in rails:
        section = section_of(part)
        assert section is not None
        assert section.status == "invented"
        assert section.origin.startswith("kb/catalogues/demo/rails.yaml:")


def test_units_of_a_section(base: Base) -> None:
    """4700 mm3, 140000 mm4, 130 mm2 and 200 MPa in m and Pa."""
    section = section_of(rail_of(base, "rail-u")[0])
    assert section is not None
    assert section.wel_m3 == pytest.approx(4.7e-6)
    assert section.iy_m4 == pytest.approx(1.4e-7)
    assert section.av_m2 == pytest.approx(1.3e-4)
    assert section.yield_pa == pytest.approx(2e8)
    assert units.parse("4.7 cm3", "section modulus") == 4700
    assert units.parse("14 cm4", "second moment") == 140_000


def test_a_rail_without_a_section_has_none(base: Base) -> None:
    for part in base.catalogues["cases"].slot("rail"):
        assert section_of(part) is None


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"wnet": "4800 mm3"}, "holes add nothing"),
        ({"fu": "100 MPa"}, "break before it yields"),
        ({"wel": "0 mm3"}, "above zero"),
        ({"wel": "4700 mm2"}, "is a area"),
        ({"iy": "4700"}, "has no unit"),
        ({"alpha": 0.9}, "greater than or equal to 1"),
    ],
)
def test_what_is_no_section_is_refused(change: dict[str, object], said: str) -> None:
    good: dict[str, object] = {"wel": "4700 mm3", "wnet": "4400 mm3", "av": "130 mm2"}
    good |= {"iy": "14 cm4", "fo": "200 MPa", "fu": "245 MPa", "status": "invented"}
    schema.RailSection.model_validate(good)
    with pytest.raises(ValueError, match=said):
        schema.RailSection.model_validate(good | change)
