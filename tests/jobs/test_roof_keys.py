"""Seams, things, strips and lines of a plane: read as written, or one clear fault with its line."""

from collections.abc import Callable

import pytest

from selector.errors import Problem
from selector.model.job import Job, Line, Obstacle, Strip
from selector.model.quantity import Place
from tests.conftest import ROOT

GRANARY = (ROOT / "examples/granary/job.yaml").read_text(encoding="utf-8")
OUTLINE = "outline: {rectangle: [12.19 m, 7.50 m], tool: tape, by: tk}"
SEAMS = GRANARY[GRANARY.index("    seams:\n      tool") : GRANARY.index("    objects:\n")]
Read = Callable[[str], Job]
Faults = Callable[[str], tuple[Problem, ...]]


def test_what_lies_on_the_plane_is_read_as_written(read: Read) -> None:
    plane = read(GRANARY).planes["south"]
    line = GRANARY.count("\n", 0, GRANARY.index("      vent:")) + 1
    mm = 1_000
    sides = (10_600 * mm, 5_100 * mm, 300 * mm, 300 * mm, 300 * mm)
    assert plane.objects == (Obstacle("vent", *sides, False, line, None, "tape, tk"),)
    assert [(s.id, s.along, s.width, s.use) for s in plane.strips] == [
        ("drip", "eave", 200 * mm, "edge")
    ]
    assert isinstance(plane.strips[0], Strip)
    assert plane.seams is not None and len(plane.seams.at) == 23
    # a tape is off by 5 mm on a seam spacing
    assert plane.seams.at["s02"] == Place(725 * mm, 735 * mm)
    assert plane.lines == ()


def test_how_far_a_thing_rises_has_the_tolerance_of_its_tool(read: Read) -> None:
    [vent] = (
        read(GRANARY.replace("clear: 0.30 m", "clear: 0.30 m, rises: 0.6 m"))
        .planes["south"]
        .objects
    )
    # a tape is off by 0.05 m on a height: kb/questions/obstacles.yaml
    assert vent.rises == Place(550_000, 650_000)


def test_lines_of_the_plane(read: Read) -> None:
    text = GRANARY.replace("    objects:\n", "    lines: {j1: {from_left: 4 m}}\n    objects:\n")
    assert read(text).planes["south"].lines == (Line("j1", True, 4_000_000),)


@pytest.mark.parametrize(
    ("outline", "corners"),
    [
        (
            "{trapezium: {eave: 12 m, ridge: 8 m, slope: 6 m, from_left: 1 m}, tool: tape, by: tk}",
            ((0, 0), (12, 0), (9, 6), (1, 6)),
        ),
        (
            "{trapezium: {eave: 12 m, ridge: 0 m, slope: 6 m, from_left: 5 m}, tool: tape, by: tk}",
            ((0, 0), (12, 0), (5, 6)),
        ),
        (
            "{polygon: [[0 m, 0 m], [9 m, 0 m], [9 m, 5 m]], tool: tape, by: tk}",
            ((0, 0), (9, 0), (9, 5)),
        ),
    ],
)
def test_outlines(read: Read, outline: str, corners: tuple[tuple[int, int], ...]) -> None:
    text = GRANARY.replace(OUTLINE, f"outline: {outline}")
    found = read(text).planes["south"].outline
    assert found is not None and found.rectangle is None
    assert found.corners == tuple((x * 1_000_000, y * 1_000_000) for x, y in corners)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (OUTLINE, "outline: {tool: tape, by: tk}", "give one of `rectangle`"),
        (OUTLINE, "outline: {polygon: [[0 m, 0 m], [1 m, 0 m]], tool: tape, by: tk}", "polygon"),
        (OUTLINE, OUTLINE.replace("12.19 m", "12190 m"), "cannot be right"),
        (SEAMS, "    seams: {first: 0.2 m, by: tk}\n", "how exact is it?"),
        (SEAMS, "    seams: {tool: tape, by: tk}\n", "either `first` or `at`"),
        (SEAMS, "    seams: {first: -0.2 m, tool: tape, by: tk}\n", "negative"),
        ("        s03: 1.260 m", "        s03: 0.660 m", "must rise"),
        ("        s03: 1.260 m", "        S 3: 1.260 m", "short name"),
        ("          s03: [", "          s99: [", "no seam `s99`"),
        ("width: 0.30 m, height: 0.30 m", "width: 0 m, height: 0.30 m", "no size"),
        ("along: eave, width: 0.20 m", "along: gutter, width: 0.20 m", "along"),
        ("use: edge", "use: parking", "use"),
        ("breaks: [3], break_gap: 160 mm", "breaks: [3]", "go together"),
        ("breaks: [3], break_gap", "breaks: [7], break_gap", "another one follows"),
        ("breaks: [3], break_gap", "breaks: [4, 3], break_gap", "must rise"),
    ],
)
def test_what_is_wrong_is_named_with_its_line(
    faults: Faults, old: str, new: str, told: str
) -> None:
    assert GRANARY.count(old) == 1, old
    found = faults(GRANARY.replace(old, new))
    assert any(told in f"{p.text} {p.remedy}" and p.line for p in found), [p.text for p in found]
