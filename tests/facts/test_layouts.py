"""What lies across what in a drawn layout, and whether seams suit a stack without rails."""

import pytest

from selector.facts.view import View
from selector.model.quantity import Candidates, Measured, Unknown
from selector.model.stack import Core
from tests.facts.conftest import Sees

RAILS = "        r1: {from_eave: 1.00 m}\n        r2: {from_eave: 2.32 m}\n"
# Two modules of 1.10 m with 20 mm between them start 1.20 m from the left edge of the roof:
# edges at 1.20, 2.30, 2.32 and 3.42 m; the row starts 0.79 m above the eave.
STEPS = "steps:   {is: none, how: walked with the eyes, by: tk}"


def drawn(
    sees: Sees, lines: str = "", rails: str = RAILS, splices: str = "", steps: str = STEPS
) -> View:
    more = rails
    more += f"      splices: {{{splices}}}\n" if splices else ""
    more += f"      lines: {{{lines}}}\n" if lines else ""
    return sees("mill-house", {RAILS: more, STEPS: steps}, "planned")


def one(view: View, path: str) -> str:
    value = view.read(path).value
    return next(iter(value.left)) if isinstance(value, Candidates) else "unknown"


@pytest.mark.parametrize(
    ("lines", "modules", "rails"),
    [
        ("", "nothing", "nothing"),
        ("joint: {from_left: 2.31 m}", "nothing", "a line"),  # between the modules
        ("joint: {from_left: 2.00 m}", "a line", "a line"),
        ("joint: {from_left: 1.20 m}", "nothing", "nothing"),  # at the left end
        ("joint: {from_left: 4.00 m}", "nothing", "nothing"),  # beyond the right end
        ("step: {from_eave: 1.50 m}", "a line", "nothing"),  # rails run along it
        ("step: {from_eave: 0.50 m}", "nothing", "nothing"),  # below the row
    ],
)
def test_lines_below_an_array(sees: Sees, lines: str, modules: str, rails: str) -> None:
    view = drawn(sees, lines)
    assert one(view, "layout.modules_over") == modules
    assert one(view, "layout.rails_over") == rails


@pytest.mark.parametrize(
    ("cut", "splice", "rails"),
    [
        ("1.11 m", "gap", "nothing"),  # 2.31 m from the left edge of the roof
        ("1.11 m", "sliding", "nothing"),
        ("1.11 m", "rigid", "a line"),
        ("1.20 m", "gap", "nothing"),  # 90 mm beside a line that is known to 100 mm
        ("1.22 m", "gap", "a line"),
    ],
)
def test_a_cut_at_the_line_splits_the_rail(sees: Sees, cut: str, splice: str, rails: str) -> None:
    cut_rails = RAILS.replace(" m}", f" m, cut_at: [{cut}]}}")
    view = drawn(sees, "joint: {from_left: 2.31 m}", cut_rails, f"r1: [{splice}], r2: [{splice}]")
    assert one(view, "layout.rails_over") == rails


@pytest.mark.parametrize(("cut", "modules"), [("1.11 m", "nothing"), ("0.60 m", "a line")])
def test_no_module_lies_across_a_gap_of_a_rail(sees: Sees, cut: str, modules: str) -> None:
    cut_rails = RAILS.replace(" m}", f" m, cut_at: [{cut}]}}")
    view = drawn(sees, "", cut_rails, "r1: [gap], r2: [gap]")
    assert one(view, "layout.modules_over") == modules


def test_lines_are_asked_for(sees: Sees) -> None:
    unseen = drawn(sees, steps="steps:   {unknown: not asked}")
    assert one(unseen, "layout.rails_over") == "unknown"
    assert unseen.read("layout.rails_over").open_paths == ("plane.steps",)
    some = drawn(sees, steps=STEPS.replace("none", "some"))
    assert some.read("layout.modules_over").open_paths == ("layout.lines",)


def test_distance_to_eave_ridge_and_verges(sees: Sees) -> None:
    # 0.79 m below; 7.50 m of sheet by tape (0.1 m) less 0.79 m and a module of 1.74 m above
    value = drawn(sees).read("layout.clear_of_edges").value
    assert isinstance(value, Measured)
    below, above, left, right = value.places
    assert below.low == below.high == 790_000
    module = sees("mill-house").base.part("demo/module-p35").shape
    top = 790_000 + module.length
    assert (above.low, above.high) == (7_400_000 - top, 7_600_000 - top)
    # 1.20 m from the left end; 7.00 m less that, two modules and a gap, within 100 mm
    assert left.low == left.high == 1_200_000
    far = 7_000_000 - 1_200_000 - 2 * module.width - 20_000
    assert (right.low, right.high) == (far - 100_000, far + 100_000)


def test_too_near_a_verge(sees: Sees) -> None:
    near = sees("mill-house", {"from_left: 1.20 m": "from_left: 0.15 m"}, "planned")
    value = near.read("layout.clear_of_edges").value
    assert isinstance(value, Measured) and min(p.high for p in value.places) == 150_000
    unknown = sees(
        "mill-house",
        {"    outline: {rectangle: [7.00 m, 7.50 m], tool: tape, by: tk}\n": ""},
        "planned",
    )
    value = unknown.read("layout.clear_of_edges").value
    assert isinstance(value, Measured) and len(value.places) == 2


def test_too_near_the_eave_needs_no_sheet_length(sees: Sees) -> None:
    view = sees(
        "mill-house",
        {
            "from_eave: 0.79 m": "from_eave: 0.05 m",
            "length:    {is: 7.5 m, tool: tape, by: tk}": "length:    {unknown: not asked}",
        },
        "planned",
    )
    value = view.read("layout.clear_of_edges").value
    assert isinstance(value, Measured)
    assert [p.high for p in value.places] == [50_000]


def test_a_collar_is_as_near_as_it_is_drawn(sees: Sees) -> None:
    assert isinstance(drawn(sees).read("layout.collar_distance").value, Unknown)
    end = "      clamps: every seam\n\nchosen"
    near = {end: "      clamps: every seam\n      collar_distance: 0.25 m\n\nchosen"}
    value = sees("mill-house", near, "planned").read("layout.collar_distance").value
    assert isinstance(value, Measured)
    assert (value.places[0].low, value.places[0].high) == (240_000, 260_000)  # 10 mm setting out


SEAMS = """    seams:
      tool: tape
      by: tk
      at: {s03: 1.26 m, s04: 1.79 m, s05: 2.32 m, s06: 2.85 m, s07: 3.38 m}
"""
OUTLINE = "    outline: {rectangle: [7.00 m, 7.50 m], tool: tape, by: tk}\n"


def with_collar(sees: Sees, from_eave: str, collar: str = "yes", seams: str = SEAMS) -> View:
    """A vent of 0.20 m square, 2.40 m from the left end: seams s05 and s06 pass it."""
    vent = f"{{from_left: 2.40 m, from_eave: {from_eave}, width: 0.20 m, height: 0.20 m, clear: 0 m"
    objects = f"    objects:\n      vent: {vent}, collar: {collar}, tool: tape, by: tk}}\n"
    return sees("mill-house", {OUTLINE: OUTLINE + seams + objects}, "planned")


def test_the_nearest_clamp_to_a_drawn_collar_is_measured(sees: Sees) -> None:
    # rails at 1.00 and 2.32 m; the collar from 3.00 to 3.20 m: 0.68 m up from the upper rail, and
    # s05 0.08 m beside it. Tape 0.1 m, setting out 10 mm, the seam by tape
    value = with_collar(sees, "3.00 m").read("layout.collar_distance").value
    assert isinstance(value, Measured)
    [place] = value.places
    assert 560_000 <= place.low <= 570_000  # 680 - 110 up, nothing sure across
    assert 790_000 <= place.high <= 830_000  # 680 + 110 up, 80 + 110 and the seam across
    near = with_collar(sees, "2.40 m").read("layout.collar_distance").value
    assert isinstance(near, Measured)
    assert near.places[0].low < 300_000 and near.places[0].high < 300_000


def test_a_collar_that_is_not_drawn_or_a_seam_not_measured_leaves_it_open(sees: Sees) -> None:
    for view in (with_collar(sees, "3.00 m", "no"), with_collar(sees, "3.00 m", seams="")):
        assert isinstance(view.read("layout.collar_distance").value, Unknown)


RAIL_LESS = Core(
    clamp="cases/double-alu-carrier-new",
    insert=None,
    inlay=None,
    adapters=(),
    bolts=None,
    rail=None,
    frame=None,
    cross=None,
    upper_rail=None,
)


@pytest.mark.parametrize(
    ("spacing", "orientation", "columns", "grid"),
    [
        # one portrait module of 1.13 m; clamps have 10 mm of play at each edge, the tape 5 mm
        ("530 mm", "portrait", 1, {"beside the zones"}),  # two bays are 1.05 to 1.07 m
        ("565 mm", "portrait", 1, {"under the zones"}),  # 1.12 to 1.14 m
        ("553 mm", "portrait", 1, {"under the zones", "beside the zones"}),  # 1.096 to 1.116 m
        ("530 mm", "portrait", 2, {"beside the zones"}),
        # landscape modules of 1.72 m, zones 0.10 to 0.45 m from each end: worked out by hand in
        # tests/engineering/test_seam_grid.py
        ("530 mm", "landscape", 1, {"under the zones"}),
        ("530 mm", "landscape", 4, {"beside the zones"}),
        ("350 mm", "landscape", 3, {"under the zones"}),  # zones as wide as the spacing
    ],
)
def test_seams_under_modules_without_rails(
    sees: Sees, spacing: str, orientation: str, columns: int, grid: set[str]
) -> None:
    changes = {
        "[530 mm, 530 mm, 531 mm]": f"[{spacing}, {spacing}, {spacing}]",
        "orientation: portrait": f"orientation: {orientation}",
        "columns: 2": f"columns: {columns}",
    }
    value = sees("case-yard", changes, core=RAIL_LESS).read("stack.seam_grid").value
    assert isinstance(value, Candidates)
    assert value.left == grid


def test_a_grid_needs_the_spacing_of_the_seams(sees: Sees) -> None:
    unknown = {"{places: [530 mm, 530 mm, 531 mm], tool: tape, by: tk}": "{unknown: not asked}"}
    reading = sees("case-yard", unknown, core=RAIL_LESS).read("stack.seam_grid")
    assert isinstance(reading.value, Unknown)
    assert reading.asks == ("plane.seam.spacing",)


# --- nobody said where the block lies ------------------------------------------------------

CORNER = "from_eave: 0.79 m, from_left: 1.20 m, "
OF_THE_CORNER = ["rail_offset", "lines", "rails_over", "modules_over", "clear_of_edges"]


@pytest.mark.parametrize("kept", ["", "from_eave: 0.79 m, ", "from_left: 1.20 m, "])
@pytest.mark.parametrize("name", OF_THE_CORNER)
def test_without_its_corner_a_drawing_tells_nothing(sees: Sees, name: str, kept: str) -> None:
    known = sees("mill-house", {STEPS: STEPS}, "planned").read(f"layout.{name}")
    assert not isinstance(known.value, Unknown)
    read = sees("mill-house", {CORNER: kept}, "planned").read(f"layout.{name}")
    assert isinstance(read.value, Unknown)
    assert "array.block" in read.open_paths
