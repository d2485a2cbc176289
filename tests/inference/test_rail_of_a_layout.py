"""Rails of whole layouts: their loads from the actions on the roof, and their links."""

import pytest

from selector.facts.links.rail_link import rail_links, worst_of
from selector.facts.links.rail_loads import Stated, line_loads
from selector.facts.links.touching import handed_n, touches
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.inference.test_lay_out import GRANARY, HALL, SEAMS, STACK

CORNER = HALL.replace("    seam:\n", SEAMS).replace("stacks: {}\n", STACK)
CORNER = CORNER.replace(
    "from_eave: 4.00 m, from_left: 5.00 m", "from_eave: 0.30 m, from_left: 0.30 m"
)
STATED = {"up": Stated(900.0, "calc", "measured"), "down": Stated(1800.0, "calc", "measured")}


def laid_of(base: Base, judge: Judge, text: str) -> LaidOut:
    job = job_of(read_string(text, "job.yaml"), base.vocabulary)
    found = lay_out(Desk(base, job, judge), job.stacks["planned"])
    assert found.placed is not None
    return found


@pytest.fixture(scope="module")
def hall(base: Base, judge: Judge) -> LaidOut:
    """An array in the corner of a hall whose actions are all known."""
    return laid_of(base, judge, CORNER)


@pytest.fixture(scope="module")
def granary(base: Base, judge: Judge) -> LaidOut:
    """An array whose net pressures an engineer states, and whose wind nobody knows."""
    return laid_of(base, judge, GRANARY)


def test_the_load_of_a_line_is_that_of_its_zones(hall: LaidOut) -> None:
    placed = hall.placed
    assert placed is not None
    rail = placed.rails[0]
    row = placed.rows[0]
    loads, opens = line_loads(hall.loads, placed, rail)
    assert opens == () and [x.direction for x in loads] == ["up", "down"]
    up, down = loads
    # both lines of a row carry the whole module together (two rails: a lever, and no more)
    both = [line_loads(hall.loads, placed, r)[0][1].design[0].n_per_m for r in placed.rails[:2]]
    press = hall.loads.sets["fixing"].governing["pressure"].value_pa.high
    assert sum(both) == pytest.approx(press * (row.box.y1 - row.box.y0) / 1e6)
    assert down.pressure_pa == pytest.approx(press)
    # the array begins 0.30 m from the left end and from the eave, in the corner F
    lifts = [z.lift_pa or 0.0 for z in placed.roof.zones if z.name == "F"]
    assert up.pressure_pa == pytest.approx(max(lifts))
    assert {s.zone.partition(",")[0] for s in up.design} >= {"F"}
    gamma = hall.loads.gamma_wind
    assert gamma == 1.5
    assert [s.n_per_m / 1.5 for s in up.design] == pytest.approx(
        [s.n_per_m for s in up.characteristic]
    )


def test_characteristic_loads_are_never_too_little(hall: LaidOut) -> None:
    """Weight and all of the snow and wind at once, without factors, on the slope."""
    placed = hall.placed
    assert placed is not None
    (up, down), _ = line_loads(hall.loads, placed, placed.rails[0])
    share = down.design[0].n_per_m / (down.pressure_pa or 1.0)
    heavy, snow = hall.loads.weight_pa, hall.loads.snow_pa
    assert heavy is not None and snow is not None
    wind = max(0.0, hall.loads.press["fixing"].pressure_pa.high)
    least = max(heavy.high + snow.high + 0.6 * wind, heavy.high + wind + 0.5 * snow.high)
    pitch = 0.9  # cos2 of up to 18 deg
    assert down.characteristic[0].n_per_m / share >= least * pitch
    assert down.characteristic[0].n_per_m <= down.design[0].n_per_m
    lift = hall.loads.lift["fixing"].pressure_pa.high
    assert up.characteristic[0].n_per_m / share <= lift


def test_links_of_a_whole_layout(base: Base, hall: LaidOut) -> None:
    placed = hall.placed
    assert placed is not None
    part, links = base.part(placed.slots["rail"]), []
    for rail in placed.rails:
        row = next(r for r in placed.rows if r.number == rail.row)
        for load in line_loads(hall.loads, placed, rail)[0]:
            links += rail_links(base, part, rail, row, load, placed.roof.seams)
    worst = {link.name: link for link in worst_of(links)}
    # the largest moment is at least what one module clamp at a free end makes over the first clamp
    first, row = placed.rails[0], placed.rows[0]
    (up, _), _ = line_loads(hall.loads, placed, first)
    end = touches(row, "up")[0]
    arm = (first.pieces[0].clamps[0].x - end.x) / 1e6
    bending = worst["rail_bending_up"]
    assert bending.demand is not None
    assert bending.demand.high >= handed_n(end, up.design) * arm
    # 2.0 kPa and more in the corner is above the 1.6 kPa that the table of the rail states
    assert worst["rail_span_up"].word == Word.ENGINEER
    assert worst["rail_span_down"].word == Word.ALLOWED
    assert bending.ratio is not None and bending.ratio.high < 1


def test_stated_pressures_count_where_nothing_is_worked_out(granary: LaidOut) -> None:
    placed = granary.placed
    assert placed is not None
    loads, opens = line_loads(granary.loads, placed, placed.rails[0])
    assert loads == () and opens
    loads, opens = line_loads(granary.loads, placed, placed.rails[0], STATED)
    assert opens == ()
    assert [x.pressure_pa for x in loads] == [900.0, 1800.0]
    assert all(x.characteristic == x.design for x in loads)  # its factors are not known


def test_the_larger_of_stated_and_worked_out_counts(hall: LaidOut) -> None:
    placed = hall.placed
    assert placed is not None
    plain, _ = line_loads(hall.loads, placed, placed.rails[0])
    (up, down), _ = line_loads(hall.loads, placed, placed.rails[0], STATED)
    assert up == plain[0] and down.how == "calc"
