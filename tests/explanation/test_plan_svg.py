"""The plan: what is drawn is what is laid out, no text over another, nothing that runs."""

import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.explanation.language import speaking
from selector.explanation.places.drawing import PAD, PAGE, Drawing, clean, lines_of, wide_of
from selector.explanation.places.frame import scale_for, spread, worst_zones
from selector.explanation.places.plan_svg import Mark, Plan, plan_svg
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.layout.model import Box, Placed, Zone
from tests.explanation.letters import BOLD, REGULAR, width
from tests.layout.sample import MM, small
from tests.layout.strategies import block, layouts

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module", params=["en", "de"])
def texts(base: Base, request: pytest.FixtureRequest) -> Texts:
    return Texts.of(speaking(base, request.param))


@cache
def english() -> Texts:
    """Without a fixture, so that a failed property prints no base."""
    return Texts.of(load_base(None))


class Read:
    """A plan read back: paper to micrometres of the roof, by the scale that it states."""

    def __init__(self, svg: str):
        self.root = ET.fromstring(svg)
        self.scale, self.left, self.bottom, self.x0, self.y0 = (
            float(self.root.attrib[f"data-{name}"])
            for name in ("scale", "left", "bottom", "x0", "y0")
        )
        # Up to four figures of the paper, each rounded to 0.0001 mm; and one um of the roof.
        self.off = self.scale * 0.2 + 1

    def x(self, paper: str | float) -> float:
        return (float(paper) - self.left) * self.scale * 1000 + self.x0

    def y(self, paper: str | float) -> float:
        return (self.bottom - float(paper)) * self.scale * 1000 + self.y0

    def having(self, *names: str) -> list[dict[str, str]]:
        """Attributes of the elements that carry all of these as data."""
        keys = [f"data-{name}" for name in names]
        return [e.attrib for e in self.root.iter() if all(k in e.attrib for k in keys)]

    def box(self, e: dict[str, str]) -> tuple[float, float, float, float]:
        x, y = float(e["x"]), float(e["y"])
        x1, y1 = x + float(e["width"]), y + float(e["height"])
        return self.x(x), self.x(x1), self.y(y1), self.y(y)

    def near(self, found: list[float], wanted: list[int]) -> bool:
        return len(found) == len(wanted) and all(
            abs(a - b) <= self.off for a, b in zip(found, wanted, strict=True)
        )


def check(placed: Placed, read: Read) -> None:
    """Every module, rail, clamp, seam, keep-out, divide and the outline as it is laid out."""
    boxes = [box for row in placed.rows for box in row.modules]
    drawn = read.having("row", "module")
    assert len(drawn) == len(boxes)
    for element, box in zip(drawn, boxes, strict=True):
        assert read.near(list(read.box(element)), [box.x0, box.x1, box.y0, box.y1])
        assert (element["data-x0"], element["data-y1"]) == (str(box.x0), str(box.y1))
    rails = read.having("rail", "y")
    pieces = [(rail, piece) for rail in placed.rails for piece in rail.pieces]
    assert len(rails) == len(pieces)
    for e, (rail, piece) in zip(rails, pieces, strict=True):
        ends = [read.x(e["x1"]), read.x(e["x2"]), read.y(e["y1"]), read.y(e["y2"])]
        assert read.near(ends, [piece.x0, piece.x1, rail.y, rail.y])
        assert (e["data-rail"], e["data-y"]) == (rail.id, str(rail.y))
    clamps = read.having("clamp", "seam")
    assert len(clamps) == len(list(placed.clamps))
    for e, clamp in zip(clamps, placed.clamps, strict=True):
        assert read.near([read.x(e["cx"]), read.y(e["cy"])], [clamp.x, clamp.y])
        assert (e["data-seam"], e["data-x"], e["data-y"]) == (
            clamp.seam,
            str(clamp.x),
            str(clamp.y),
        )
    seams = [e for e in read.having("seam", "x") if "data-clamp" not in e]
    assert [e["data-x"] for e in seams] == [str(seam.x) for seam in placed.roof.seams]
    for e, seam in zip(seams, placed.roof.seams, strict=True):
        assert read.near([read.x(e["x1"]), read.x(e["x2"])], [seam.x, seam.x])
    for e, keep in zip(read.having("keep"), placed.roof.keeps, strict=True):
        b = keep.box
        assert read.near(list(read.box(e)), [b.x0, b.x1, b.y0, b.y1])
    for e, divide in zip(read.having("divide"), placed.roof.divides, strict=True):
        at = read.x(e["x1"]) if divide.up_the_slope else read.y(e["y1"])
        assert read.near([at], [divide.at])
    [outline] = read.having("outline")
    corners = [pair.split(",") for pair in outline["points"].split()]
    assert read.near([read.x(x) for x, _ in corners], [x for x, _ in placed.roof.outline])
    assert read.near([read.y(y) for _, y in corners], [y for _, y in placed.roof.outline])


@pytest.mark.parametrize("placed", [small(), block(1, 1), block(10, 60)], ids=["s", "1x1", "10x60"])
def test_what_is_drawn_is_what_is_laid_out(placed: Placed, texts: Texts) -> None:
    check(placed, Read(plan_svg(Plan(placed, {}), texts)))


@settings(max_examples=60)
@given(layouts())
def test_any_layout_is_drawn_as_it_is(placed: Placed) -> None:
    check(placed, Read(plan_svg(Plan(placed, {}), english())))


def test_dimensions_say_what_they_measure(texts: Texts) -> None:
    # By hand from the sample: first clamp seam 260 + 2 x 530; 3 modules of 1090, 2 gaps of 20.
    read = Read(plan_svg(Plan(small(), {}), texts))
    said = "\n".join(e.text or "" for e in read.root.iter(f"{SVG}text"))
    dims = {e["data-dim"]: e for e in read.having("dim")}
    wanted = {
        "first_seam": (0, 1_320, "1320"),
        "from_left": (0, 1_000, "1000"),
        "modules": (1_000, 4_310, "3310"),
        "eave": (0, 6_000, "6000"),
    }
    for name, (x0, x1, text) in wanted.items():
        e = dims[name]
        assert read.near([read.x(e["x1"]), read.x(e["x2"])], [x0 * MM, x1 * MM])
        assert re.search(rf"\b{text}\b", said)
    for name, (y0, y1, text) in {
        "first_row": (0, 700, "700"),
        "rows": (700, 2_460, "1760"),
        "slope": (0, 5_000, "5000"),
    }.items():
        e = dims[name]
        assert read.near([read.y(e["y1"]), read.y(e["y2"])], [y0 * MM, y1 * MM])
        assert re.search(rf"\b{text}\b", said)


def test_heights_from_the_eave_stand_at_the_left(texts: Texts) -> None:
    placed = small()
    read = Read(plan_svg(Plan(placed, {}), texts))
    labels = [e for e in read.root.iter(f"{SVG}text") if "data-height" in e.attrib]
    assert [e.text for e in labels] == ["950", "2190", "2710", "3950"]
    lefts = [read.x(float(e.attrib["x"])) for e in labels]
    assert all(x < 0 for x in lefts)
    tops = [float(e.attrib["y"]) for e in labels]
    assert tops == sorted(tops, reverse=True)  # the lowest rail is the lowest on the paper


def test_every_rail_of_the_largest_array_has_its_height(texts: Texts) -> None:
    placed = block(10, 60)
    read = Read(plan_svg(Plan(placed, {}), texts))
    labels = [e for e in read.root.iter(f"{SVG}text") if "data-height" in e.attrib]
    assert [e.text for e in labels] == [str(rail.y // MM) for rail in placed.rails]
    assert len(placed.roof.seams) > 125


# --- texts -----------------------------------------------------------------------------------


def rooms(svg: str) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Each text with the paper that its letters take, by their advances in the font."""
    found = []
    for e in ET.fromstring(svg).iter(f"{SVG}text"):
        size, text = float(e.attrib["font-size"]), e.text or ""
        wide = width(text, size, bold=e.get("font-weight") == "bold")
        x, y = float(e.attrib["x"]), float(e.attrib["y"])
        start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[e.attrib["text-anchor"]]
        up, down = 0.73 * size, 0.0  # capitals and digits, from the line they stand on
        if "transform" in e.attrib:
            found.append((text, (x - up, y - start - wide, x + down, y - start)))
        else:
            found.append((text, (x + start, y - up, x + start + wide, y + down)))
    return found


def overlaps(svg: str) -> list[tuple[str, str]]:
    return [
        (one, other)
        for (one, a), (other, b) in combinations(rooms(svg), 2)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


@pytest.mark.parametrize("size", [(0, 0), (1, 1), (2, 7), (10, 60), (1, 60), (12, 2)])
def test_no_text_stands_over_another(size: tuple[int, int], texts: Texts) -> None:
    placed = block(*size) if size[0] else small()
    clips = {s.id: tuple(range(300 * MM, 3_000 * MM, 450 * MM)) for s in placed.roof.seams}
    marked = (Mark("wrong", placed.rows[0].modules[0]),)
    svg = plan_svg(Plan(placed, clips, marked, "22°", ("demo",)), texts)
    assert overlaps(svg) == []
    sides = (-PAD, PAGE + PAD)
    assert [t for t, r in rooms(svg) if r[0] < sides[0] or r[2] > sides[1]] == []


def test_what_is_left_out_is_said(base: Base) -> None:
    placed = block(10, 60)
    clips = {s.id: (300 * MM, 750 * MM) for s in placed.roof.seams}
    said = " ".join(t for t, _ in rooms(plan_svg(Plan(placed, clips), Texts.of(base))))
    assert "One seam in 10 is named" in said
    assert f"The {2 * len(placed.roof.seams)} clip marks lie too close" in said
    small_said = " ".join(t for t, _ in rooms(plan_svg(Plan(small(), {}), Texts.of(base))))
    assert "is named" not in small_said


def test_letters_are_never_taken_for_narrower_than_they_are() -> None:
    for bold, table in ((False, REGULAR), (True, BOLD)):
        narrow = [c for c in table if wide_of(c, 1, bold=bold) < width(c, 1, bold=bold) - 1e-9]
        assert narrow == []


@given(st.text(max_size=300), st.floats(20, 190))
def test_a_text_fits_its_lines_and_loses_nothing(text: str, wide: float) -> None:
    lines = lines_of(text, wide)
    assert all(wide_of(line) <= wide for line in lines)
    assert "".join("".join(lines).split()) == "".join(clean(text).split())


# --- marks, zones, scales ----------------------------------------------------------------------


def test_a_fault_is_framed_numbered_and_named(texts: Texts) -> None:
    placed = small()
    marks = (Mark("over the vent", placed.roof.keeps[0].box), Mark("too near", Box(0, 10, 0, 10)))
    read = Read(plan_svg(Plan(placed, {}, marks), texts))
    frames = read.having("marked")
    assert [e["data-marked"] for e in frames] == ["1", "2"]
    assert all(float(e["stroke-width"]) == 1.0 for e in frames)
    assert all(float(e["width"]) >= 3 for e in frames)
    x0, x1, y0, y1 = read.box(frames[0])
    box = placed.roof.keeps[0].box
    assert x0 <= box.x0 + read.off and x1 >= box.x1 - read.off
    assert y0 <= box.y0 + read.off and y1 >= box.y1 - read.off
    said = [e.text or "" for e in read.root.iter(f"{SVG}text")]
    assert {"1", "2"} <= set(said)
    assert any(t.startswith("1") and "over the vent" in t for t in said)


boxes = st.tuples(*[st.integers(0, 20)] * 4).map(
    lambda v: Box(min(v[:2]), max(v[:2]) + 1, min(v[2:]), max(v[2:]) + 1)
)


@given(st.lists(st.tuples(st.sampled_from("FGHIJ"), boxes, st.integers(1, 9)), max_size=6))
def test_each_place_has_the_zone_that_lifts_it_most(rows: list[tuple[str, Box, int]]) -> None:
    zones = [Zone(name, "w", box, float(lift)) for name, box, lift in rows]
    cells = worst_zones(zones)
    for x in range(22):
        for y in range(22):
            spot = Box(x, x + 1, y, y + 1)
            over = [(z.lift_pa, z.name) for z in zones if z.box.overlaps(spot)]
            here = [name for box, name in cells if box.overlaps(spot)]
            assert here == ([max(over)[1]] if over else [])


def test_a_zone_without_a_figure_may_be_the_worst() -> None:
    box = Box(0, 1, 0, 1)
    zones = (Zone("G", "w", box, 900.0), Zone("H", "v", box, None))
    assert worst_zones(zones) == [(box, "G/H")]


@given(st.integers(1, 10**9), st.integers(1, 10**9))
def test_a_scale_fits_and_the_next_larger_does_not(length: int, slope: int) -> None:
    # ISO 5455 and the three-edged ruler: 1:10, 20, 25, 50, 75, times tens.
    known = [s * 10**n for n in range(8) for s in (10, 20, 25, 50, 75)]
    found = scale_for(Box(0, length, 0, slope), 138, 150)
    assert found in known
    fits = [s for s in known if length <= 138_000 * s and slope <= 150_000 * s]
    assert found == fits[0]


@given(st.dictionaries(st.text(max_size=3), st.floats(0, 100), max_size=20))
def test_labels_are_pulled_apart_and_stay_in_order(places: dict[str, float]) -> None:
    found = spread(places, 4, 0, 100)
    names = sorted(places, key=lambda n: (places[n], n))
    heights = [found[n] for n in names]
    assert all(b - a >= 4 - 1e-6 for a, b in pairwise(heights))
    assert all(-1e-6 <= y <= 100 + 1e-6 for y in heights)


# --- nothing that runs -------------------------------------------------------------------------

ALLOWED = {"svg", "title", "desc", "rect", "line", "polygon", "circle", "path", "text"}


@settings(max_examples=40)
@given(layouts())
def test_only_plain_elements_in_black_on_white(placed: Placed) -> None:
    root = ET.fromstring(plan_svg(Plan(placed, {}), english()))
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= ALLOWED
    looks = {v for e in root.iter() for k, v in e.attrib.items() if k in ("fill", "stroke")}
    assert looks <= {"black", "white", "none"}
    assert not [k for e in root.iter() for k in e.attrib if k.startswith("on") or "href" in k]


def test_hostile_names_are_text() -> None:
    drawing = Drawing("x")
    drawing.below("<script>alert(1)</script> & \u202ereversed \x0b end")
    root = ET.fromstring(drawing.file("</title><script>", "]]> &"))
    assert root.findtext(f"{SVG}title") == "</title><script>"
    [text] = [e.text or "" for e in root.iter(f"{SVG}text")]
    assert text.startswith("<script>alert(1)</script> &")
    assert not {"\u202e", "\x0b"} & set(text)
    assert not list(root.iter(f"{SVG}script"))
