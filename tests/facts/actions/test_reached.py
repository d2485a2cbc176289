"""Which zones an array reaches by the code: EN 1991-1-4:2005, figures 7.6 to 7.8, by hand.

The hall is 60 m long and 8 m high, so e = min(b, 2 h) = 16 m for wind on any side: corners and
edges are e/10 = 1.6 m deep and corners e/4 = 4 m long, and the ridge has 1.6 m on its lee. All in
plan: up a slope of 8.5 degrees that is 1.618 m and 4.044 m.
"""

import pytest

from selector.errors import InputError
from selector.facts.actions.reached import with_reached
from selector.facts.view import Binding, View
from selector.inference.answer import Desk
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job
from selector.model.quantity import Candidates, Unknown
from tests.facts.actions.conftest import HALL, changed

BLOCK = "from_eave: 4.00 m, from_left: 5.00 m"


def hall(base: Base, changes: dict[str, str]) -> Job:
    return job_of(read_string(changed(HALL, changes), "job.yaml"), base.vocabulary)


def reached(base: Base, changes: dict[str, str]) -> tuple[str, ...] | None:
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
    assert reached(base, {BLOCK: f"from_eave: {eave} m, from_left: {left} m"}) == zones


@pytest.mark.parametrize(
    "missing",
    [
        "  code:               {is: en-first-generation}\n",
        "    form:         {is: duopitch, paper: plan}\n",
        "      ridge:      {is: 8 m, paper: plan}\n",
        "    outline:      {rectangle: [60 m, 16.178 m], paper: plan}\n",
        ", from_eave: 4.00 m, from_left: 5.00 m",
    ],
)
def test_nothing_is_reached_by_guess(base: Base, missing: str) -> None:
    assert reached(base, {missing: ""}) is None


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


@pytest.mark.parametrize(
    ("eave", "why"), [("4.00", "counts"), ("1.00", "worked out for other roof zones")]
)
def test_a_paper_for_the_field_counts_for_no_array_that_reaches_an_edge(
    base: Base, eave: str, why: str
) -> None:
    job = hall(
        base,
        {
            BLOCK: f"from_eave: {eave} m, from_left: 5.00 m",
            "    rail_lines: 2\n": f"    rail_lines: 2\n{STATED}",
            "  plan: {kind": f"{CALC}  plan: {{kind",
        },
    )
    placed = Desk(base, job).job
    view = View(base, placed, Binding(plane=placed.planes["west"], array=placed.arrays["a1"]))
    found = view.stated("net_uplift")
    assert (found.why if isinstance(found, Unknown) else "counts") == why


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
