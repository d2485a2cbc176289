"""The section: every part named once, in the order of the stack, and nothing that runs."""

import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import pytest

from selector.explanation.language import speaking
from selector.explanation.places.section_svg import Piece, Section, section_svg
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from tests.explanation.letters import width

SVG = "{http://www.w3.org/2000/svg}"
SLOTS = ("clamp", "insert", "inlay", "adapter", "bolts", "rail", "cross", "upper_rail", "frame")
ALL = tuple(Piece(slot, f"x-{n}", f"a {slot}") for n, slot in enumerate(SLOTS))
TOP = (Piece("module_clamp", "x-mc", "a clamp"), Piece("module", "x-m", "a module"))
SHAPES = ("double-lock", "single-lock", "snap-lock", "round", "T", "batten", "asymmetric")


def drawn(base: Base, shape: str | None, pieces: tuple[Piece, ...], language: str = "en") -> str:
    svg = base.drawings[shape].svg if shape is not None else None
    return section_svg(Section("s", shape, svg, pieces), Texts.of(speaking(base, language)))


def texts_of(svg: str) -> list[ET.Element]:
    return list(ET.fromstring(svg).iter(f"{SVG}text"))


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("shape", [*SHAPES, "trapezoidal", None])
def test_every_part_is_named_once(base: Base, shape: str | None, language: str) -> None:
    used = [p for p in ALL if shape != "trapezoidal" or p.slot != "insert"]
    svg = drawn(base, shape, (*used, *TOP), language)
    said = [e.text or "" for e in texts_of(svg)]
    for piece in (*used, *TOP):
        assert len([t for t in said if t.endswith(f": {piece.name}")]) == 1, piece.name


def test_all_shapes_of_the_base_are_tried(base: Base) -> None:
    assert set(base.drawings) == {*SHAPES, "trapezoidal"}


@pytest.mark.parametrize("shape", [*SHAPES, "trapezoidal", None])
def test_names_stand_in_the_order_of_the_stack_and_apart(base: Base, shape: str | None) -> None:
    svg = drawn(base, shape, (ALL[0], ALL[3], ALL[5], *TOP))
    names = [e for e in texts_of(svg) if (e.text or "").split(": ")[-1].startswith("x-")]
    order = [
        (e.text or "").split(": ")[-1] for e in sorted(names, key=lambda e: float(e.attrib["y"]))
    ]
    assert order == ["x-mc", "x-m", "x-5", "x-3", "x-0"]
    lines = sorted({float(e.attrib["y"]) for e in texts_of(svg) if float(e.attrib["x"]) > 100})
    assert all(b - a > 3 for a, b in pairwise(lines))


@pytest.mark.parametrize("shape", [*SHAPES, "trapezoidal", None])
def test_no_text_stands_over_another(base: Base, shape: str | None) -> None:
    rooms = []
    for e in texts_of(drawn(base, shape, (*ALL, *TOP))):
        size, x, y = (float(e.attrib[k]) for k in ("font-size", "x", "y"))
        wide = width(e.text or "", size, bold=e.get("font-weight") == "bold")
        start = {"start": 0.0, "middle": wide / 2, "end": wide}[e.attrib["text-anchor"]]
        flat = (x - start, y - 0.73 * size, x - start + wide, y)
        turned = (x - 0.73 * size, y + start - wide, x, y + start)
        rooms.append(turned if "transform" in e.attrib else flat)
    for a, b in combinations(rooms, 2):
        assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


@pytest.mark.parametrize("shape", SHAPES)
def test_the_seam_is_our_drawing_of_its_shape(base: Base, shape: str) -> None:
    root = ET.fromstring(drawn(base, shape, TOP))
    ours = ET.fromstring(base.drawings[shape].svg)
    sheets = [
        p.attrib["d"] for p in ours.iter(f"{SVG}path") if float(p.get("stroke-width", 1)) >= 3
    ]
    assert [p.attrib["d"] for p in root.iter(f"{SVG}path")] == sheets
    assert len(sheets) >= 2


def test_what_is_not_known_is_said_and_not_drawn(base: Base) -> None:
    svg = drawn(base, None, (ALL[0], *TOP))
    said = " ".join(e.text or "" for e in texts_of(svg))
    assert "not known" in said
    assert "gap not stated" in said
    assert not list(ET.fromstring(svg).iter(f"{SVG}path"))


@pytest.mark.parametrize("shape", ["trapezoidal", "T"])
def test_a_gap_in_many_words_is_not_lost(base: Base, shape: str) -> None:
    gap = "a gap in very many words, far too many for a dimension of this drawing"
    svg = base.drawings[shape].svg
    drawn = section_svg(Section("s", shape, svg, TOP, gap=gap), Texts.of(base))
    assert gap in " ".join(e.text or "" for e in texts_of(drawn))


def test_it_says_that_it_is_not_to_scale_and_what_touches(base: Base) -> None:
    section = Section("s", None, None, TOP, gap="gap 120 mm", contacts=("tin on lead: bad",))
    said = [e.text or "" for e in texts_of(section_svg(section, Texts.of(base)))]
    assert any("Not to scale" in t for t in said)
    assert {"tin on lead: bad", "gap 120 mm"} <= set(said)


def test_hostile_names_are_text(base: Base) -> None:
    bad = "<script>alert(1)</script>\u202e"
    svg = section_svg(Section(bad, None, None, (Piece("clamp", bad, bad * 20),)), Texts.of(base))
    root = ET.fromstring(svg)
    assert "<script>alert" in " ".join(e.text or "" for e in root.iter(f"{SVG}text"))
    tags = {e.tag.removeprefix(SVG) for e in root.iter()}
    assert tags <= {"svg", "title", "desc", "rect", "line", "polygon", "circle", "path", "text"}
    assert "\u202e" not in svg
