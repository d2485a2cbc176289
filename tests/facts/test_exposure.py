"""What air, rain and fastening do to a contact, read by read.

Expected words: EN 1993-1-4:2006 with A1:2015, annex A (sums by hand; limits and grades from
memory), and the custom of the trade where no source is named.
"""

import pytest

from selector.facts.view import Binding, View
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.contact import BETWEEN, ON_SHEET, Contact, Side
from selector.model.fact import TRIVIAL, Reading
from selector.model.quantity import Candidates, Measured, Place, Unknown
from tests.facts.actions.conftest import HALL

KM = 1_000_000_000
PAINTED = Side("sheet", "steel", ("paint", "zinc"))
CUP, DOME = (Side("set screw", "stainless", grade="A2", point=p) for p in ("cup", "dome"))


def screw(grade: str) -> Contact:
    return Contact(ON_SHEET, Side("set screw", "stainless", grade=grade), PAINTED)


def word(base: Base, contact: Contact | None, path: str, **site: str | float) -> object:
    """The words left of a path, or why it is unknown; `sea_distance` in km, all else in words."""
    given = {}
    for name, value in site.items():
        at = f"site.{name}"
        if isinstance(value, str):
            given[at] = Reading(Candidates(frozenset({value})), TRIVIAL, at)
        else:
            place = Place(int(value * KM), int(value * KM))
            given[at] = Reading(Measured("length", (place,)), TRIVIAL, at)
    value = View(base, None, Binding(contact=contact), given=given).read(path).value
    if isinstance(value, Candidates):
        return set(value.left)
    return value.why if isinstance(value, Unknown) else value


CLEAN = {"salted_road": "none", "harsh_air_of": "none", "pool_hall": "none", "salt": "none"}


@pytest.mark.parametrize(
    ("grade", "words"),
    [  # class I is for controlled air indoors, II holds a sum of 0: inland, clean, washed
        ("1.4016", {"no"}),
        ("ferritic", {"no"}),
        ("1.4301", {"yes"}),
        ("A2", {"yes"}),
        ("A4-80", {"yes"}),
        ("austenitic", {"yes"}),
        ("1.4462", {"yes"}),
        ("1.9999", "no such grade in annex A"),
        ("unknown", "not in the catalogue"),
    ],
)
def test_which_grades_are_for_outdoors(base: Base, grade: str, words: object) -> None:
    assert word(base, screw(grade), "contact.grade_outdoors") == words


@pytest.mark.parametrize(
    ("sea", "road", "grade", "words"),
    [  # F1 -3 from 1 to 10 km, -7 from 0.25 to 1 km, -15 in the spray; F3 -7: never washed
        (5.0, "none", "A2", {"no"}),  # -10: class III
        (5.0, "none", "A4", {"yes"}),
        (0.5, "none", "A4", {"yes"}),  # -14
        (0.1, "none", "A4", {"no"}),  # -22: class V, and -17 at the mildest coast: IV
        (240.0, "none", "A2", {"yes"}),  # 0
        (240.0, "present", "A2", {"no"}),  # a road within 100 m: -10 or -14
    ],
)
def test_the_grade_below_modules_by_distance_to_salt(
    base: Base, sea: float, road: str, grade: str, words: object
) -> None:
    air = {**CLEAN, "sea_distance": sea, "salted_road": road}
    assert word(base, screw(grade), "contact.grade_fits", **air) == words


def test_open_air_leaves_the_grade_open(base: Base) -> None:
    assert word(base, screw("A2"), "contact.grade_fits", **CLEAN) == "not asked"
    rest = {k: v for k, v in CLEAN.items() if k != "salted_road"}
    assert word(base, screw("A2"), "contact.grade_fits", **rest, sea_distance=240.0) == "not asked"


@pytest.mark.parametrize(
    ("site", "salt"),
    [
        ({"salt": "none"}, {"none"}),
        ({"salt": "present", "sea_distance": 5.0, "pool_hall": "none"}, {"present"}),
        ({"salt": "present", "sea_distance": 0.1, "pool_hall": "none"}, {"extreme"}),
        ({"salt": "present", "sea_distance": 5.0, "pool_hall": "present"}, {"extreme"}),
        ({"salt": "present", "pool_hall": "none"}, {"present", "extreme"}),
        ({}, {"none", "present", "extreme"}),
    ],
)
def test_salt_is_as_bad_as_it_may_be(
    base: Base, site: dict[str, str | float], salt: set[str]
) -> None:
    assert word(base, screw("A2"), "contact.salt", **site) == salt


@pytest.mark.parametrize(
    ("upper", "lower", "coat"),
    [
        (CUP, PAINTED, {"pierced"}),
        (DOME, PAINTED, {"whole"}),
        (CUP, Side("sheet", "zinc"), {"none"}),
        (Side("set screw", "stainless", point="no such point"), PAINTED, {"whole", "pierced"}),
        (Side("jaw", "aluminium"), PAINTED, {"whole"}),  # a broad part presses, it does not cut
    ],
)
def test_what_a_point_leaves_of_a_coat(
    base: Base, upper: Side, lower: Side, coat: set[str]
) -> None:
    assert word(base, Contact(ON_SHEET, upper, lower), "contact.coat") == coat


def test_a_named_wire_goes_round_what_isolates(base: Base) -> None:
    wired = Contact(BETWEEN, Side("jaw", "aluminium"), Side("rail", "steel"), bridge="bonding wire")
    assert word(base, wired, "contact.bridge") == {"bonding wire"}


@pytest.mark.parametrize(("of", "any_of_it"), [("ammonia", {"present"}), ("none", "not asked")])
def test_who_names_what_is_in_the_air_has_named_harsh_air(
    base: Base, of: str, any_of_it: object
) -> None:
    sighted = f"{{is: {of}, how: eyes, by: lw}}"
    text = HALL.replace("  building: ", f"  harsh_air_of: {sighted}\n  building: ")
    job = job_of(read_string(text, "job.yaml"), base.vocabulary)
    value = View(base, job, Binding()).read("site.harsh_air").value
    assert (value.why if isinstance(value, Unknown) else set(value.left)) == any_of_it


def test_a_lower_part_counts_and_a_sheet_does_not(base: Base) -> None:
    ferritic = Side("rail", "stainless", grade="1.4016")
    below = Contact(BETWEEN, Side("jaw", "aluminium"), ferritic)
    assert word(base, below, "contact.grade_outdoors") == {"no"}
    roof = Contact(ON_SHEET, Side("jaw", "aluminium"), Side("sheet", "stainless", grade="1.4016"))
    assert word(base, roof, "contact.grade_outdoors") == {"yes"}
