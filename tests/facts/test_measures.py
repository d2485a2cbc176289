"""What is worked out from sightings before rules are read."""

import pytest

from selector.facts.atoms import evaluate
from selector.model.quantity import Candidates, Filled, Measured, Unknown
from selector.model.rule import Condition, Limit, Path
from selector.model.stack import ClampPlace
from tests.facts.conftest import Sees

MILL_SHAPE = """      shape:
        sightings:
          - {is: double-lock, how: photo of one seam end, photo: p1, by: cs}
          - {one_of: [double-lock, single-lock], how: head by calliper, by: tk}
"""
BRANCH = "branch: {is: fold or joint,"


def words(sees: Sees, changes: dict[str, str], path: str) -> object:
    value = sees("mill-house", changes).read(path).value
    return set(value.left) if isinstance(value, Candidates) else value


def test_a_thick_head_leaves_no_hand_fold(sees: Sees) -> None:
    # from memory: hand folds of 0.5 to 0.8 mm sheet stay under about 9 mm thick
    left = words(
        sees,
        {MILL_SHAPE: "", "[6.0 mm, 6.2 mm, 6.1 mm]": "[21 mm, 21 mm, 21 mm]"},
        "plane.seam.shape",
    )
    assert left == {"round", "T", "asymmetric", "trapezoidal"}
    left = words(
        sees,
        {MILL_SHAPE: "", "[6.0 mm, 6.2 mm, 6.1 mm]": "[12 mm, 12 mm, 12 mm]"},
        "plane.seam.shape",
    )
    assert isinstance(left, set)
    assert "double-lock" not in left
    assert "snap-lock" in left


def test_screws_through_the_sheet_leave_only_ribs(sees: Sees) -> None:
    # common practice, no source: a sheet that is screwed through is a ribbed one
    screwed = {BRANCH: "branch: {is: screws through the sheet,"}
    assert words(sees, {MILL_SHAPE: "", **screwed}, "plane.seam.shape") == {"trapezoidal"}
    assert words(sees, screwed, "plane.seam.shape") == {"double-lock"}  # what was seen stays
    unseen = {
        MILL_SHAPE: "",
        "head:     {places: [6.0 mm, 6.2 mm, 6.1 mm], tool: calliper, by: tk}": "",
    }
    assert isinstance(words(sees, unseen, "plane.seam.shape"), Unknown)


def test_fewer_places_than_asked_prove_nothing(sees: Sees) -> None:
    height = Path("plane", "seam.height")
    limit = Condition(height, "at least", Limit("length", 20_000), places=3)  # 20 mm
    assert evaluate(limit, sees("mill-house")).bits == (True, True)
    two = sees("mill-house", {"[24.8 mm, 25.1 mm, 25.3 mm]": "[24.8 mm, 25.1 mm]"})
    assert evaluate(limit, two).bits == (False, True)


@pytest.mark.parametrize(
    ("height", "length", "bay"),
    [
        (200, "7.5 m", "last"),  # below the first mark at 0.31 m
        (500, "7.5 m", "last"),  # between the marks at 0.31 and 0.76 m
        (1000, "7.5 m", "inner"),
        (3600, "7.5 m", "inner"),  # sheet goes on 3.6 m above the last mark: more clips
        (3600, "4.2 m", "last"),  # the last mark is the last clip
        (4000, "4.2 m", "last"),
        (3000, "4.2 m", "inner"),
    ],
)
def test_the_last_bay_of_a_seam(sees: Sees, height: int, length: str, bay: str) -> None:
    # marks of s03 in the mill house: 310, 760, ... 3460, 3910 mm from the eave
    place = ClampPlace("r1", "s03", height * 1000)
    view = sees(
        "mill-house",
        {"length:    {is: 7.5 m, tool: tape": f"length:    {{is: {length}, tool: tape"},
        place=place,
    )
    assert view.read("place.bay").value == Candidates(frozenset({bay}))


def test_a_bay_without_marks_or_length_is_not_known(sees: Sees) -> None:
    unmarked = sees("mill-house", place=ClampPlace("r1", "s99", 1_000_000))
    assert unmarked.read("place.bay").asks == ("plane.clips.marks",)
    no_length = sees(
        "mill-house",
        {"length:    {is: 7.5 m, tool: tape, by: tk}": "length:    {unknown: not asked}"},
        place=ClampPlace("r1", "s03", 3_600_000),
    )
    assert isinstance(no_length.read("place.bay").value, Unknown)


def test_the_edge_counts_for_the_widest_bay(sees: Sees) -> None:
    edge = "clips:\n      edge_spacing: {places: [560 mm, 330 mm, 330 mm], tool: tape, by: tk}"
    view = sees("mill-house", {"clips:\n": f"{edge}\n"})
    assert str(view.read("plane.clips.widest_bay").value) == "550 mm"  # 560 less 10 by tape


def test_an_elevated_array_on_an_old_roof_stays_with_the_engineer(sees: Sees) -> None:
    # common practice, no source: a calculation that nobody asked for is not there
    tilted = {
        "tilt: parallel": "tilt: 10 deg",
        "{is: exists, paper: reserve}": "{unknown: not asked}",
    }
    assert sees("mill-house", tilted).read("array.calculation").value == Filled(None)
    new = {**tilted, "building:           {is: existing": "building:           {is: new"}
    assert isinstance(sees("mill-house", new).read("array.calculation").value, Unknown)


@pytest.mark.parametrize(("tilt", "limit"), [("parallel", "0.5 m"), ("10 deg", "1.25 m")])
def test_the_distance_to_a_fire_wall_follows_the_tilt(sees: Sees, tilt: str, limit: str) -> None:
    # German model building code, section 32 (5): 0.5 m low and parallel, 1.25 m otherwise
    view = sees("mill-house", {"tilt: parallel": f"tilt: {tilt}"})
    wanted = {"0.5 m": 500_000, "1.25 m": 1_250_000}[limit]
    value = view.read("array.fire_wall_limit").value
    assert isinstance(value, Measured)
    assert value.places[0].low == wanted


def test_a_span_that_straddles_its_limit_asks_for_the_seams_again(sees: Sees) -> None:
    reading = sees("mill-house", stack="planned").read("stack.rail_span")
    assert reading.open_paths == ("plane.seam.spacing",)
