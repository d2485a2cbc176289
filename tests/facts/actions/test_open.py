"""What is missing is asked for, what is contradictory is asked back, what is outside is a stop.

That none of them gives a number is the rule of this program: unknown is never yes.
"""

import math

import pytest

from selector.errors import InputError
from selector.facts.actions.model import LINKS, TOPICS, Loads, Open
from selector.knowledge.base import Base
from selector.model.truth import Word
from tests.facts.actions.conftest import LoadsOf

# Line of the hall's job -> path that is asked for without it, and the topics that then wait.
NEEDED = {
    "  code:               {is: en-first-generation}\n": ("site.code", "wind snow combinations"),
    "  country:            {is: recommended-values}\n": ("site.country", "wind snow combinations"),
    "  basic_wind:         {is: 26 m/s, paper: map}\n": ("site.basic_wind", "wind"),
    "  ground_snow:        {is: 0.65 kN/m2, paper: map}\n": ("site.ground_snow", "snow"),
    "  altitude:           {is: 120 m, paper: map}\n": ("site.altitude", "snow combinations"),
    "  terrain:            {is: III, how: aerial view, by: lw}\n": ("site.terrain", "wind"),
    "  hilltop:            {is: none, how: map with contour lines, by: lw}\n": (
        "site.hilltop",
        "wind",
    ),
    "  snow_exposure:      {is: normal, how: aerial view, by: lw}\n": (
        "site.snow_exposure",
        "snow",
    ),
    "  run_off_from_above: {is: none, how: the hall stands alone, by: hb}\n": (
        "site.run_off_from_above",
        "snow",
    ),
    "    pitch:        {is: 8.5 deg, paper: plan}\n": ("plane.pitch", "wind snow"),
    "    form:         {is: duopitch, paper: plan}\n": ("plane.form", "wind snow"),
    "    outline:      {rectangle: [60 m, 16.178 m], paper: plan}\n": ("plane.outline", "wind"),
    "      ridge:      {is: 8 m, paper: plan}\n": ("plane.height.ridge", "wind"),
    "    parapet:      {is: none, paper: plan}\n": ("plane.parapet", "wind snow"),
    "    closed_below: {is: closed building, paper: plan}\n": ("plane.closed_below", "wind"),
    "    obstacles:    {is: none, paper: plan}\n": ("plane.obstacles", "snow"),
    "    taller:       {is: none, how: the hall stands alone, by: hb}\n": (
        "plane.taller",
        "wind snow",
    ),
    "    gap_below: 120 mm\n": ("array.gap_below", "wind"),
    " from_eave: 4.00 m,": ("array.block", "wind"),
    " from_left: 5.00 m,": ("array.block", "wind"),
}


def the_open(found: Loads) -> tuple[Open, tuple[str, ...]]:
    assert len(found.opens) == 1, found.opens
    return found.opens[0]


def no_figures(found: Loads, topic: str) -> None:
    """A topic that waits has no figure, and neither have the combinations."""
    if topic == "wind":
        assert found.lift == found.press == {}
    if topic == "snow":
        assert found.snow_pa is None
        assert found.accidental_pa is None
    assert found.sets == {}


@pytest.mark.parametrize("line", NEEDED, ids=lambda line: line.split(":")[0].strip())
def test_each_missing_input_is_asked_for(loads: LoadsOf, line: str) -> None:
    path, topics = NEEDED[line]
    found = loads({line: ""})
    one, waiting = the_open(found)
    assert (one.word, one.kind, one.about) == (Word.OBSERVE, "missing", path)
    assert " ".join(waiting) == topics
    assert found.word == found.topics["combinations"].word == Word.OBSERVE
    for topic in waiting:
        no_figures(found, topic)
    for topic in {"wind", "snow", "weight"} - {*waiting}:
        assert found.topics[topic].word.is_yes
        assert found.topics[topic].rows


def test_every_path_that_is_asked_for_is_worded(base: Base) -> None:
    for path, _ in NEEDED.values():
        assert path in base.vocabulary.asks
        assert base.vocabulary.ask(path).how


def test_nothing_is_missing_from_the_hall(loads: LoadsOf) -> None:
    found = loads()
    assert found.opens == ()
    assert {t.name for t in found.topics.values()} == {*TOPICS}
    assert set(found.sets) == {*LINKS}


def test_a_module_of_no_catalogue_is_asked_for(loads: LoadsOf) -> None:
    found = loads({"demo/module-p35": "demo/module-x99"})
    one, waiting = the_open(found)
    assert (one.about, waiting) == ("array.module", ("wind", "weight"))
    assert found.weight_pa is None
    assert found.lift == {}


# --- not on paper, several words, contradictory --------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        (
            "basic_wind:         {is: 26 m/s, paper: map}",
            "basic_wind: {is: 26 m/s, how: heard, within: 1 m/s, by: hb}",
            "site.basic_wind",
        ),
        (
            "ground_snow:        {is: 0.65 kN/m2, paper: map}",
            "ground_snow: {is: 0.65 kPa, how: heard, within: 0.1 kPa, by: hb}",
            "site.ground_snow",
        ),
        (
            "basic_wind:         {is: 26 m/s, paper: map}",
            "basic_wind: {is: 26 m/s, paper: plan}",
            "site.basic_wind",
        ),
    ],
)
def test_wind_and_snow_of_a_place_stand_on_paper(
    loads: LoadsOf, old: str, new: str, path: str
) -> None:
    one, _ = the_open(loads({old: new}))
    assert (one.word, one.kind, one.about) == (Word.OBSERVE, "paper", path)


def test_two_forms_leave_it_open(loads: LoadsOf) -> None:
    found = loads({"{is: duopitch, paper": "{one_of: [duopitch, monopitch], paper"})
    one, waiting = the_open(found)
    assert (one.kind, one.about, one.given) == ("inexact", "plane.form", "duopitch or monopitch")
    assert waiting == ("wind", "snow")


def test_sightings_that_exclude_each_other_are_asked_back(loads: LoadsOf) -> None:
    two = "{sightings: [{is: II, how: aerial view, by: lw}, {is: IV, how: eyes, by: hb}]}"
    one, _ = the_open(loads({"{is: III, how: aerial view, by: lw}": two}))
    assert (one.word, one.kind, one.about) == (Word.OBSERVE, "contradicted", "site.terrain")
    assert one.given == "II (aerial view, lw); IV (eyes, hb)"


@pytest.mark.parametrize(
    ("changes", "kind", "given"),
    [
        ({"eave:       {is: 5.61 m": "eave:       {is: 6.4 m"}, "rise", "1.5 to 1.7 m"),
        ({"pitch:        {is: 8.5 deg": "pitch:        {is: 18 deg"}, "rise", "2.29 to 2.49 m"),
        ({"plan_width:   {is: 32 m": "plan_width:   {is: 25 m"}, "plan", "60 m by 25 m"),
        ({"{is: duopitch, paper": "{is: monopitch, paper"}, "plan", "60 m by 32 m"),
    ],
)
def test_measures_that_cannot_all_be_true_are_asked_back(
    loads: LoadsOf, changes: dict[str, str], kind: str, given: str
) -> None:
    found = loads(changes)
    first = found.topics["wind"].opens[0]
    assert (first.word, first.kind, first.clause) == (Word.OBSERVE, "disagree", kind)
    assert first.given == given
    assert found.lift == {}


def test_length_and_width_may_be_swapped(loads: LoadsOf) -> None:
    swapped = {
        "plan_length:  {is: 60 m": "plan_length:  {is: 32 m",
        "plan_width:   {is: 32 m": "plan_width:   {is: 60 m",
    }
    assert loads(swapped).opens == ()


def test_a_paper_that_has_run_out_is_asked_for_anew(loads: LoadsOf) -> None:
    found = loads({"dated: 2030-01-01, covers": "dated: 2030-01-01, until: 2031-01-01, covers"})
    opens = {one.about: one for one, _ in found.opens}
    assert opens.keys() == {"site.basic_wind", "site.ground_snow", "site.altitude"}
    assert {one.given for one in opens.values()} == {"its paper has run out"}


def test_an_outline_says_how_exact_it_is(loads: LoadsOf) -> None:
    found = loads({"16.178 m], paper: plan}": "16.178 m], how: guess, by: hb}"})
    one, _ = the_open(found)
    assert (one.kind, one.about) == ("inexact", "plane.outline")


# --- outside ---------------------------------------------------------------------------------

# what is changed, what lies outside, and what is covered: EN 1991-1-4:2005 clauses 4.3.2, 7.2.4 and
# 7.2.5, EN 1991-1-3:2003 clause 1.1(2), and the working rule for parallel modules (no source)
FREE = {
    "      eave:       {is: 5.61 m, paper: plan}\n": "",
    "    plan_length:  {is: 60 m, paper: plan}\n": "",
    "    plan_width:   {is: 32 m, paper: plan}\n": "",
}
OUTSIDE: list[tuple[dict[str, str], str, str, str]] = [
    ({"{is: duopitch, paper": "{is: other, paper"}, "roof form", "duopitch", "wind snow"),
    (
        {"hilltop:            {is: none": "hilltop:            {is: some"},
        "hilltop",
        "level",
        "wind",
    ),
    ({"terrain:            {is: III": "terrain: {is: other"}, "terrain", "IV", "wind"),
    ({"terrain:            {is: III": "terrain: {one_of: [III, other]"}, "terrain", "IV", "wind"),
    (
        {"altitude:           {is: 120 m": "altitude:           {is: 1600 m"},
        "altitude",
        "1500 m",
        "snow",
    ),
    ({"gap_below: 120 mm": "gap_below: 210 mm"}, "gap below the modules", "0.2 m", "wind"),
    ({"tilt: parallel": "tilt: 3 deg"}, "angle of the modules", "2 deg", "wind"),
    ({"closed building": "open sides"}, "building", "closed building", "wind"),
    ({"from_eave: 4.00 m": "from_eave: 0.20 m"}, "distance to the edge", "0.24 m", "wind"),
    ({"from_eave: 4.00 m": "from_eave: 11.00 m"}, "distance to the edge", "0.24 m", "wind"),
    ({"from_left: 5.00 m": "from_left: 46.65 m"}, "distance to the edge", "0.24 m", "wind"),
    ({**FREE, "ridge:      {is: 8 m": "ridge:      {is: 201 m"}, "height", "200 m", "wind"),
    (
        {**FREE, "{is: duopitch, paper": "{is: flat, paper"},
        "pitch",
        "below 5 deg",
        "wind",
    ),
]


@pytest.mark.parametrize(
    ("changes", "about", "allowed", "topics"),
    OUTSIDE,
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_outside_a_range_there_is_no_number(
    loads: LoadsOf, changes: dict[str, str], about: str, allowed: str, topics: str
) -> None:
    found = loads(changes)
    assert found.word == Word.ENGINEER
    one, waiting = the_open(found)
    assert (one.word, one.kind) == (Word.ENGINEER, "outside")
    assert one.about.startswith(about)
    assert allowed in one.allowed
    assert one.clause
    assert " ".join(waiting) == topics
    for topic in waiting:
        no_figures(found, topic)


@pytest.mark.parametrize("pitch", ["75.5 deg", "80 deg"])
def test_no_coefficient_past_the_end_of_the_tables(loads: LoadsOf, pitch: str) -> None:
    if pitch == "80 deg":  # no roof is that steep: bad input, not a stop
        with pytest.raises(InputError, match="0 to 75 deg is plausible"):
            loads({**FREE, "{is: 8.5 deg": "{is: 80 deg"})
        return
    steep = "{is: 75 deg, tool: pitch meter, by: lw}"
    found = loads({**FREE, "{is: 8.5 deg, paper: plan}": steep})
    first = found.topics["wind"].opens[0]
    assert (first.word, first.about) == (Word.ENGINEER, "pitch")
    assert "75 deg" in first.allowed


def test_an_edge_that_may_be_too_near_is_measured_again(loads: LoadsOf) -> None:
    taped = {
        **FREE,
        "16.178 m], paper: plan}": "16.178 m], tool: tape, by: lw}",
        "from_eave: 4.00 m": "from_eave: 10.65 m",
    }
    one, _ = the_open(loads(taped))  # 5.26 m of modules end 0.168 to 0.368 m below the ridge
    assert (one.word, one.kind, one.about) == (Word.OBSERVE, "straddles", "plane.outline")
    assert "0.24 m" in one.allowed


def test_an_outline_that_is_no_rectangle_is_a_stop(loads: LoadsOf) -> None:
    polygon = "{polygon: [[0 m, 0 m], [9 m, 0 m], [0 m, 9 m]], paper: plan}"
    one, _ = the_open(loads({"{rectangle: [60 m, 16.178 m], paper: plan}": polygon}))
    assert (one.word, one.about) == (Word.ENGINEER, "outline")


# --- figures that somebody else worked out --------------------------------------------------

CALC = "  map:  {kind"
WITH_CALC = "  calc: {kind: engineer's calculation, number: 9, dated: 2031-08-01}\n  map:  {kind"


def test_a_stated_peak_pressure_stands_in_on_a_hill(loads: LoadsOf) -> None:
    found = loads(
        {
            CALC: WITH_CALC,
            "  hilltop:            {is: none": (
                "  peak_pressure: {is: 0.9 kPa, paper: calc}\n  hilltop:            {is: some"
            ),
        }
    )
    assert found.opens == ()
    assert found.peak_pa == (900, 900)
    assert found.lift["fixing"].pressure_pa.high == pytest.approx(1.2 * 900)  # cpe,1 of zone H


@pytest.mark.parametrize(("stated", "counts"), [("0.9 kPa", 900), ("0.6 kPa", 661.817)])
def test_of_two_peak_pressures_the_worse_counts_and_both_are_shown(
    loads: LoadsOf, stated: str, counts: float
) -> None:
    added = f"  peak_pressure: {{is: {stated}, paper: calc}}\n  hilltop:            {{is: none"
    found = loads({CALC: WITH_CALC, "  hilltop:            {is: none": added})
    assert found.peak_pa is not None
    assert found.peak_pa.high == pytest.approx(counts, abs=0.01)
    assert found.word == Word.CONDITIONAL
    rows = {row.symbol: row for row in found.topics["wind"].rows}
    assert rows["qp"].status == "conflict"
    assert {"qp,worked", "qp,stated"} <= rows.keys()
    assert "qp,stated" in {row.symbol for row in found.to_confirm}


def test_a_stated_figure_needs_a_calculation(loads: LoadsOf) -> None:
    added = "  peak_pressure: {is: 0.9 kPa, paper: plan}\n  hilltop:            {is: some"
    found = loads({"  hilltop:            {is: none": added})
    one, _ = the_open(found)
    assert (one.kind, one.about) == ("paper", "site.peak_pressure")
    assert found.peak_pa is None


HILL = "  hilltop:            {is: none"


def on_a_hill(orography: str, hilltop: str = "some") -> dict[str, str]:
    """The hall on a hill, its orography factor on a calculation."""
    return {
        CALC: WITH_CALC,
        HILL: f"  orography: {orography}\n  hilltop:            {{is: {hilltop}",
    }


def test_an_orography_factor_on_paper_counts_on_a_hill(loads: LoadsOf) -> None:
    """EN 1991-1-4 (4.3), (4.7), (4.8) by hand: 26 m/s, terrain III, 8 m, co 1.2."""
    log = math.log(8 / 0.3)
    mean = 0.19 * 6**0.07 * log * 1.2 * 26
    peak = (1 + 7 / (1.2 * log)) * 0.5 * 1.25 * mean**2
    found = loads(on_a_hill("{is: 120 %, paper: calc}"))
    assert found.opens == ()
    assert found.peak_pa == (pytest.approx(peak), pytest.approx(peak))
    rows = {row.symbol: row for row in found.topics["wind"].rows}
    assert (rows["co"].value, rows["co"].status) == ((1.2, 1.2), "measured")
    assert "calculation" in rows["co"].source


def test_an_orography_factor_that_is_not_exact_is_a_range(loads: LoadsOf) -> None:
    # a tenth of 120 % either way
    low, high = (loads(on_a_hill(f"{{is: {co} %, paper: calc}}")).peak_pa for co in (108, 132))
    assert low is not None
    assert high is not None
    found = loads(on_a_hill("{is: 120 %, within: 10 %, paper: calc}"))
    assert found.peak_pa == (pytest.approx(low.low), pytest.approx(high.high))


def test_an_orography_factor_needs_a_calculation_and_a_hill(loads: LoadsOf) -> None:
    found = loads(on_a_hill("{is: 120 %, paper: plan}"))
    one, _ = the_open(found)
    assert (one.kind, one.about, found.peak_pa) == ("paper", "site.orography", None)
    found = loads(on_a_hill("{is: 120 %, paper: calc}", "none"))
    one, _ = the_open(found)
    assert (one.kind, one.about, one.also) == ("disagree", "site.hilltop", ("site.orography",))
    assert found.peak_pa is None


@pytest.mark.parametrize("bad", ["90 %", "-120 %", ".nan", "300 %", "1.2 m"])
def test_an_orography_factor_that_cannot_be(loads: LoadsOf, bad: str) -> None:
    with pytest.raises(InputError, match="orography"):
        loads(on_a_hill(f"{{is: {bad}, paper: calc}}"))


# --- bad input -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "changes",
    [
        {"{is: 26 m/s": "{is: -26 m/s"},
        {"{is: 26 m/s": "{is: .nan"},
        {"{is: 26 m/s": "{is: 900 m/s"},
        {"{is: 0.65 kN/m2": "{is: -0.65 kN/m2"},
        {"{is: 0.65 kN/m2": "{is: 65 kPa"},
        {"{is: 0.65 kN/m2": "{is: 0.65"},
        {"{is: 8.5 deg": "{is: 850 deg"},
        {"ridge:      {is: 8 m": "ridge:      {is: 8 km"},
        {"rectangle: [60 m, 16.178 m]": "rectangle: [60 km, 16.178 m]"},
        {"rectangle: [60 m, 16.178 m]": "rectangle: [-60 m, 16.178 m]"},
        {"rectangle: [60 m, 16.178 m]": "rectangle: [0 m, 16.178 m]"},
        {"gap_below: 120 mm": "gap_below: -120 mm"},
        {"gap_below: 120 mm": "gap_below: 12 m"},
        {"gap_below: 120 mm": "gap_below: wide"},
        {"{is: III": "{is: V"},
        {"{is: recommended-values}": "{is: atlantis}"},
        {"{is: duopitch, paper": "{is: dome, paper"},
    ],
    ids=lambda c: next(iter(c.values())),
)
def test_what_cannot_be_is_bad_input(loads: LoadsOf, changes: dict[str, str]) -> None:
    with pytest.raises(InputError) as refused:
        loads(changes)
    for problem in refused.value.problems:
        assert str(problem).startswith("job.yaml")


def test_every_country_that_a_job_may_name_has_its_choice(base: Base) -> None:
    words = base.vocabulary.quantities["site.country"].words
    assert set(words) == set(base.codes.nationals)
