"""Which zones an array reaches by the code: EN 1991-1-4:2005, figures 7.6 to 7.8, by hand.

The hall is 60 m long and 8 m high, so e = min(b, 2 h) = 16 m for wind on any side: corners and
edges are e/10 = 1.6 m deep and corners e/4 = 4 m long, and the ridge has 1.6 m on its lee. All in
plan: up a slope of 8.5 degrees that is 1.618 m and 4.044 m.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.errors import InputError
from selector.facts.actions.reached import with_reached
from selector.facts.view import Binding, View
from selector.inference.answer import Desk
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job, Reach
from selector.model.quantity import Candidates, Unknown
from tests.facts.actions.conftest import HALL, changed

BLOCK = "from_eave: 4.00 m, from_left: 5.00 m"


def hall(base: Base, changes: dict[str, str]) -> Job:
    return job_of(read_string(changed(HALL, changes), "job.yaml"), base.vocabulary)


def reached(base: Base, changes: dict[str, str]) -> Reach:
    return with_reached(base, hall(base, changes)).arrays["a1"].reached


@pytest.mark.parametrize(
    ("eave", "left", "zones"),
    [
        ("4.00", "5.00", ("field",)),
        ("1.63", "5.00", ("field",)),
        ("1.61", "5.00", ("field", "edge")),
        ("1.00", "1.00", ("field", "edge", "corner")),
        ("4.06", "1.55", ("field", "edge")),  # along the verge, past the corner
        ("4.03", "1.55", ("field", "edge", "corner")),
        ("9.50", "5.00", ("field", "edge")),  # the upper rows lie on the lee of the ridge
    ],
)
def test_the_zones_that_the_block_touches(
    base: Base, eave: str, left: str, zones: tuple[str, ...]
) -> None:
    found = reached(base, {BLOCK: f"from_eave: {eave} m, from_left: {left} m"})
    assert found.settled and found.zones == zones


CODE = "  code:               {is: en-first-generation}\n"
FORM = "    form:         {is: duopitch, paper: plan}\n"
RIDGE = "      ridge:      {is: 8 m, paper: plan}\n"
PITCH = "    pitch:        {is: 8.5 deg, paper: plan}\n"
OUTLINE = "    outline:      {rectangle: [60 m, 16.178 m], paper: plan}\n"
PLACED = ", from_eave: 4.00 m, from_left: 5.00 m"
ALL = ("field", "edge", "corner")


@pytest.mark.parametrize(
    ("missing", "zones", "asks"),
    [
        (CODE, ("field",), ("site.code",)),
        # one slope, wind from behind: e = 16 m, edge 1.6 m below the ridge; the block ends at 9.4 m
        (FORM, ("field",), ("plane.form",)),
        # as high as may be, e = b: 60 m onto the eave, 32 m onto an end; edges of 6 and 3.2 m
        (RIDGE, ("field", "edge", "corner"), ("plane.height.ridge",)),
        (OUTLINE, (), ("array.zones", "stated.roof_zones")),
        (PLACED, (), ("array.zones", "stated.roof_zones")),
    ],
)
def test_what_is_not_known_takes_no_zone_away_and_settles_none(
    base: Base, missing: str, zones: tuple[str, ...], asks: tuple[str, ...]
) -> None:
    found = reached(base, {missing: ""})
    assert not found.settled
    assert (found.zones, found.asks) == (zones, asks)


def test_every_form_that_it_may_have_is_tried(base: Base) -> None:
    # onto the eave e = min(60, 40) = 40 m, edges of 4 m; onto an end min(16, 40) = 16 m with one
    # slope, edges of 1.6 m, and min(32, 40) = 32 m with two: edges of 3.2 m, corners of 8 m
    tall = {
        RIDGE: RIDGE.replace("8 m", "20 m"),
        "      eave:       {is: 5.61 m, paper: plan}\n": "",
    }
    tall |= {"from_eave: 4.00 m, from_left: 5.00 m": "from_eave: 5.00 m, from_left: 2.00 m"}
    one = reached(base, {**tall, FORM: FORM.replace("duopitch", "monopitch")})
    two = reached(base, tall)
    assert (one.zones, two.zones) == (("field",), ALL)
    either = FORM.replace(
        "is: duopitch, paper: plan", "one_of: [monopitch, duopitch], how: eyes, by: lw"
    )
    assert reached(base, {**tall, FORM: either}).zones == ALL
    assert reached(base, {**tall, FORM: ""}).zones == ALL


PARAPET = "    parapet:      {is: none, paper: plan}\n"
COUNTRY = "  country:            {is: recommended-values}\n"
FACTS = (CODE, COUNTRY, FORM, PITCH, RIDGE, PARAPET)


@settings(deadline=None)
@given(
    less=st.sets(st.sampled_from(FACTS), min_size=1),
    eave=st.integers(5, 100),
    left=st.integers(5, 450),
)
def test_knowing_less_of_the_roof_takes_no_zone_away(
    base: Base, less: set[str], eave: int, left: int
) -> None:
    at = {BLOCK: f"from_eave: {eave / 10} m, from_left: {left / 10} m"}
    known, unknown = reached(base, at), reached(base, {**at, **dict.fromkeys(less, "")})
    assert known.settled and set(known.zones) <= set(unknown.zones)
    assert not unknown.settled
    more = {fact for fact in less if fact != min(less)}
    between = reached(base, {**at, **dict.fromkeys(more, "")})
    assert set(between.zones) <= set(unknown.zones)


def test_a_figure_that_cannot_be_is_refused_with_its_file(base: Base) -> None:
    with pytest.raises(InputError):
        reached(base, {"{is: 8 m, paper: plan}": "{is: -8 m, paper: plan}"})


STATED = """    zones: [field]
    stated:
      net_uplift: {is: 0.9 kPa, paper: calc, covers: [array a1, field]}
"""
CALC = """  calc: {kind: engineer's calculation, number: e1, dated: 2031-08-25,
         covers: [array a1, net uplift]}
"""


SAID = "    rail_lines: 2\n"
SIGNED = {"covers: [array a1, net uplift]": "covers: [array a1, roof zones, net uplift]"}


def view_of(base: Base, changes: dict[str, str], calc: dict[str, str] | None = None) -> View:
    """The hall with a net uplift that is stated for the field, of an array said to lie in it."""
    paper = changed(CALC, calc or {})
    both = {SAID: f"{SAID}{STATED}", "  plan: {kind": f"{paper}  plan: {{kind", **changes}
    placed = Desk(base, hall(base, both)).job
    return View(base, placed, Binding(plane=placed.planes["west"], array=placed.arrays["a1"]))


def counted(base: Base, changes: dict[str, str], calc: dict[str, str] | None = None) -> str:
    found = view_of(base, changes, calc).stated("net_uplift")
    return found.why if isinstance(found, Unknown) else "counts"


OTHER, PERHAPS = "worked out for other roof zones", "the array may reach other roof zones"


@pytest.mark.parametrize(("eave", "why"), [("4.00", "counts"), ("1.00", OTHER)])
def test_a_paper_for_the_field_counts_for_no_array_that_reaches_an_edge(
    base: Base, eave: str, why: str
) -> None:
    at = {BLOCK: f"from_eave: {eave} m, from_left: 5.00 m"}
    assert counted(base, at) == why
    assert counted(base, at, SIGNED) == why


@pytest.mark.parametrize(
    ("less", "unsigned", "signed"),
    [
        ({CODE: ""}, PERHAPS, "counts"),
        ({FORM: ""}, PERHAPS, "counts"),
        ({FORM: FORM.replace("duopitch", "other")}, PERHAPS, "counts"),
        ({RIDGE: ""}, PERHAPS, PERHAPS),  # so high that its edges would be wide
        ({OUTLINE: ""}, PERHAPS, "counts"),
        ({PLACED: ""}, PERHAPS, "counts"),
        ({"{is: en-first-generation}": "{is: asce-7-16}"}, PERHAPS, "counts"),
    ],
)
def test_that_an_array_lies_in_the_field_needs_the_code_or_an_engineer(
    base: Base, less: dict[str, str], unsigned: str, signed: str
) -> None:
    assert counted(base, less) == unsigned
    assert counted(base, less, SIGNED) == signed
    run_out = {**SIGNED, "dated: 2031-08-25,": "dated: 2031-08-25, until: 2031-08-30,"}
    assert counted(base, less, run_out) != "counts"


NEAR = {BLOCK: "from_eave: 1.00 m, from_left: 1.00 m"}
POLYGON = "polygon: [[0 m, 0 m], [60 m, 0 m], [60 m, 16.178 m], [0 m, 16.178 m]]"


@pytest.mark.parametrize(
    ("changes", "asks"),
    [
        ({BLOCK: "from_eave: 4.00 m, from_left: 70.00 m"}, ("array.block", "plane.outline")),
        ({FORM: FORM.replace("duopitch", "flat")}, ("plane.form", "plane.pitch")),
        ({OUTLINE: OUTLINE.replace("paper: plan", "how: eyes, by: hb")}, ("plane.outline",)),
        ({**NEAR, OUTLINE: OUTLINE.replace("rectangle: [60 m, 16.178 m]", POLYGON)}, None),
        ({**NEAR, FORM: FORM.replace("duopitch", "other")}, None),
        ({**NEAR, "{is: en-first-generation}": "{is: asce-7-16}"}, None),
        ({**NEAR, FORM: ""}, ("plane.form",)),
    ],
)
def test_no_paper_stands_against_what_was_measured(
    base: Base, changes: dict[str, str], asks: tuple[str, ...] | None
) -> None:
    found = view_of(base, changes, SIGNED)
    assert counted(base, changes, SIGNED) == PERHAPS
    assert found.to_ask("net_uplift") == (asks or ("array.zones",))
    assert isinstance(found.read("array.zones").value, Unknown)


def test_a_figure_that_names_no_zone_is_one_of_those_that_the_array_reaches(base: Base) -> None:
    nameless = STATED.replace(", field]}", "]}")
    assert nameless != STATED
    for changes, said in (({}, "counts"), (NEAR, OTHER), ({FORM: ""}, PERHAPS)):
        both = {SAID: f"{SAID}{nameless}", "  plan: {kind": f"{CALC}  plan: {{kind", **changes}
        placed = Desk(base, hall(base, both)).job
        view = View(base, placed, Binding(plane=placed.planes["west"], array=placed.arrays["a1"]))
        found = view.stated("net_uplift")
        assert (found.why if isinstance(found, Unknown) else "counts") == said


def test_what_would_settle_the_zones_is_asked_for_and_not_the_figure_again(base: Base) -> None:
    assert view_of(base, {FORM: ""}).to_ask("net_uplift") == ("plane.form",)
    assert view_of(base, {OUTLINE: ""}).to_ask("net_uplift") == ("stated.roof_zones",)
    edge = {BLOCK: "from_eave: 1.00 m, from_left: 5.00 m"}
    assert view_of(base, edge).to_ask("net_uplift") == ("stated.net_uplift",)
    assert view_of(base, {}).to_ask("net_down") == ("stated.net_down",)


def test_who_says_that_an_array_reaches_an_edge_is_believed(base: Base) -> None:
    job = with_reached(base, hall(base, {PLACED: "", SAID: f"{SAID}    zones: [field, edge]\n"}))
    view = View(base, job, Binding(plane=job.planes["west"], array=job.arrays["a1"]))
    assert view.read("array.zones").value == Candidates(frozenset({"edge", "corner"}))
    assert job.arrays["a1"].reached.asks == ("stated.roof_zones",)


def test_the_worst_zone_counts_whoever_names_it(base: Base) -> None:
    def zone(stated: str, eave: str) -> tuple[str, str]:
        changes = {
            BLOCK: f"from_eave: {eave} m, from_left: 5.00 m",
            "    rail_lines: 2\n": f"    rail_lines: 2\n    zones: [{stated}]\n",
        }
        job = with_reached(base, hall(base, changes))
        binding = Binding(plane=job.planes["west"], array=job.arrays["a1"])
        reading = View(base, job, binding).read("array.zones")
        (fact,) = reading.because[0]
        return str(reading.value), fact.seen

    assert zone("field", "4.00") == (str(Candidates(frozenset({"field"}))), "drawn")
    by_code = "worked out by the wind code"
    assert zone("field", "1.00") == (str(Candidates(frozenset({"edge"}))), by_code)
    assert zone("field, corner", "1.00") == (str(Candidates(frozenset({"corner"}))), "drawn")
