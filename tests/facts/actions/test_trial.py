"""The loads of a code on trial: what is worked out, what is asked for, and always an engineer."""

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.errors import InputError
from selector.facts.actions.loads import loads_of
from selector.facts.actions.model import Ends, Loads, Row
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.facts.actions.conftest import HALL, LoadsOf, changed

SPEED, PLACE = "{is: 26 m/s, paper: map}", "  hilltop:            {is: none"
EXPOSURE = "  exposure: {is: C, how: aerial view, by: lw}\n"
EAVE, RIDGE = "{is: 5.61 m, paper: plan}", "      ridge:      {is: 8 m, paper: plan}\n"
# The verification of the test of the formulas: XC open-source finite element program
# (L. C. Perez Tato, A. Ortega), test_windASCE7_16.py: 52 m/s, exposure C, ground at 110 m, Kd 0.85
VERIFIED = {
    "{is: en-first-generation}": "{is: asce-7-16}",
    SPEED: "{is: 52 m/s, paper: map}",
    PLACE: EXPOSURE + PLACE,
    "{is: 120 m, paper: map}": "{is: 110 m, paper: map}",
    EAVE: "{is: 4 m, paper: plan}",
    RIDGE: "      ridge:      {is: 6 m, paper: plan}\n",
}
NEWER = {**VERIFIED, "{is: en-first-generation}": "{is: asce-7-22}"}


def rows(found: Loads, topic: str = "wind") -> dict[str, Row]:
    return {row.symbol: row for row in found.topics[topic].rows}


def asked(found: Loads) -> dict[str, str]:
    return {o.about: o.kind for o, _ in found.opens if o.word == Word.OBSERVE}


def for_an_engineer(found: Loads) -> None:
    """The word, both standing stops, and nothing that one could build from."""
    assert found.trial
    assert found.word == Word.ENGINEER
    for topic in ("wind", "snow", "combinations"):
        assert found.topics[topic].word == Word.ENGINEER
        assert found.topics[topic].opens[0].kind == "trial"
    assert any(o.kind == "engineer" and "(GCp)" in o.about for o in found.topics["wind"].opens)
    assert found.lift == found.press == found.sets == {}
    assert found.snow_pa is None
    assert found.plan is None


@pytest.mark.parametrize(
    ("eave", "ridge", "qh", "kz"),
    [
        (4, 6, 1202.9053251380185, 0.8650282179175907),
        (5, 8, 1271.2165011443503, 0.9141518634861495),
    ],
)
def test_the_published_verification(
    loads: LoadsOf, eave: float, ridge: float, qh: float, kz: float
) -> None:
    # at 5 m and 6.5 m, the mean of eave and ridge (26.2, from memory)
    heights = {EAVE: f"{{is: {eave} m, paper: plan}}"}
    heights[RIDGE] = f"      ridge:      {{is: {ridge} m, paper: plan}}\n"
    found = loads({**VERIFIED, **heights})
    for_an_engineer(found)
    assert asked(found) == {}
    assert found.peak_pa == pytest.approx((qh, qh), rel=1e-6)
    at = rows(found)
    assert at["Kz"].value == pytest.approx((kz, kz), rel=1e-6)
    assert at["Ke"].value == pytest.approx((0.9869953014457066,) * 2, rel=1e-6)
    assert at["qh"].value == found.peak_pa
    assert at["qh"].clause == "26.10.2, (26.10-1)"


@pytest.mark.parametrize("changes", [VERIFIED, NEWER])
def test_every_row_rests_on_rows_before_it(loads: LoadsOf, changes: dict[str, str]) -> None:
    found = loads(changes)
    for topic in found.topics.values():
        known: set[str] = set()
        for row in topic.rows:
            assert set(row.inputs) <= known, row.symbol
            assert row.clause
            assert row.source
            assert row.status
            known.add(row.symbol)
    weak = {row.symbol for row in found.to_confirm}
    assert {"map speed", "mean height"} <= weak
    assert rows(found)["qh"].status == "from memory"


NEEDED = (
    "site.exposure",
    "site.basic_wind",
    "site.altitude",
    "site.hilltop",
    "plane.height.eave",
    "plane.height.ridge",
)


@pytest.mark.parametrize("path", NEEDED)
def test_each_missing_input_is_asked_for_beside_the_stop(base: Base, path: str) -> None:
    text, key = changed(HALL, VERIFIED), path.rpartition(".")[2]
    [line] = [x for x in text.splitlines() if x.strip().startswith(f"{key}:")]
    found = worked(base, text.replace(line + "\n", ""))
    for_an_engineer(found)
    assert asked(found) == {path: "missing"}
    assert found.peak_pa is None
    assert found.topics["wind"].rows == ()
    assert base.vocabulary.ask(path).how


def worked(base: Base, text: str) -> Loads:
    job = job_of(read_string(text, "job.yaml"), base.vocabulary)
    return loads_of(base, job, job.arrays["a1"])


def test_nothing_that_only_the_other_code_reads_is_asked_for(loads: LoadsOf) -> None:
    found = loads(
        {
            **VERIFIED,
            "  country:            {is: recommended-values}\n": "",
            "  terrain:            {is: III, how: aerial view, by: lw}\n": "",
            "  snow_exposure:      {is: normal, how: aerial view, by: lw}\n": "",
            "    parapet:      {is: none, paper: plan}\n": "",
        }
    )
    for_an_engineer(found)
    assert asked(found) == {}
    assert found.peak_pa is not None


def test_the_other_code_does_not_ask_for_the_exposure(loads: LoadsOf) -> None:
    without, with_it = loads(), loads({PLACE: EXPOSURE + PLACE})
    assert without.opens == with_it.opens == ()
    assert without.lift == with_it.lift
    assert "exposure" not in rows(with_it)


def test_a_hill_and_a_height_past_the_gradient_are_stops(loads: LoadsOf) -> None:
    on_a_hill = loads({**VERIFIED, PLACE: EXPOSURE + PLACE.replace("none", "some")})
    tall = loads(
        {
            **VERIFIED,
            PLACE: EXPOSURE.replace("is: C", "is: D") + PLACE,
            EAVE: "{is: 190 m, paper: plan}",
            RIDGE: "      ridge:      {is: 240 m, paper: plan}\n",
        }
    )
    for found, about in ((on_a_hill, "hilltop"), (tall, "height")):
        for_an_engineer(found)
        assert [o.about for o, _ in found.opens if o.kind == "outside"] == [about]
        assert found.peak_pa is None


def test_an_eave_above_the_ridge_is_asked_back(loads: LoadsOf) -> None:
    found = loads({**VERIFIED, EAVE: "{is: 7 m, paper: plan}"})
    for_an_engineer(found)
    both = {"plane.height.eave": "contradicted", "plane.height.ridge": "contradicted"}
    assert asked(found) == both
    assert found.peak_pa is None


def test_a_speed_that_is_on_no_paper_is_asked_for(loads: LoadsOf) -> None:
    found = loads({**VERIFIED, SPEED: "{is: 52 m/s, how: heard, within: 1 m/s, by: hb}"})
    for_an_engineer(found)
    assert asked(found) == {"site.basic_wind": "paper"}


@pytest.mark.parametrize("bad", ["{is: -52 m/s, paper: map}", "{is: 900 m/s, paper: map}"])
def test_a_speed_that_cannot_be_is_bad_input(loads: LoadsOf, bad: str) -> None:
    with pytest.raises(InputError):
        loads({**VERIFIED, SPEED: bad})
    with pytest.raises(InputError):
        loads({**VERIFIED, PLACE: EXPOSURE.replace("is: C", "is: A") + PLACE})


def test_what_is_not_exact_spans_its_corners(loads: LoadsOf) -> None:
    two = EXPOSURE.replace("is: C", "one_of: [B, D]")
    found, b, d = (
        loads({**VERIFIED, PLACE: line + PLACE})
        for line in (two, EXPOSURE.replace(": C", ": B"), EXPOSURE.replace(": C", ": D"))
    )
    assert b.peak_pa is not None
    assert d.peak_pa is not None
    assert b.peak_pa.high < d.peak_pa.low
    assert found.peak_pa == Ends(b.peak_pa.low, d.peak_pa.high)
    assert rows(found)["exposure"].value == "B or D"


def test_the_factors_of_the_older_edition_stand_without_a_set(loads: LoadsOf) -> None:
    # clauses 2.3.1 combinations 3 to 5 and 2.4.1 combinations 3, 5, 6 and 7
    expected = {
        "lrfd_uplift_d": 0.9,
        "lrfd_d": 1.2,
        "lrfd_w": 1.0,
        "lrfd_s": 1.6,
        "lrfd_w_with": 0.5,
        "lrfd_s_with": 0.5,
        "asd_uplift_d": 0.6,
        "asd_w": 0.6,
        "asd_both": 0.75,
    }
    at = rows(loads(VERIFIED), "combinations")
    assert {name: row.value for name, row in at.items()} == {
        name: (value, value) for name, value in expected.items()
    }


def test_the_newer_edition_says_that_it_keeps_no_factors(loads: LoadsOf) -> None:
    found = loads(NEWER)
    for_an_engineer(found)
    assert found.topics["combinations"].rows == ()
    kinds = {o.about: o.kind for o in found.topics["combinations"].opens}
    assert kinds == {"code": "trial", "factors of the combinations": "engineer"}
    # K_d is part of the pressure there, not of q_h (29.4.4, from memory)
    assert "Kd" not in rows(found)["qh"].inputs


@settings(max_examples=25)
@given(
    speeds=st.tuples(st.integers(5, 80), st.integers(5, 80)),
    exposure=st.sampled_from("BCD"),
    code=st.sampled_from(["asce-7-16", "asce-7-22"]),
)
def test_a_higher_speed_never_gives_a_lower_pressure(
    base: Base, speeds: tuple[int, int], exposure: str, code: str
) -> None:
    before = -inf
    for speed in sorted(speeds):
        changes = {
            **VERIFIED,
            "{is: en-first-generation}": f"{{is: {code}}}",
            SPEED: f"{{is: {speed} m/s, paper: map}}",
            PLACE: EXPOSURE.replace(": C", f": {exposure}") + PLACE,
        }
        found = worked(base, changed(HALL, changes))
        for_an_engineer(found)
        assert found.peak_pa is not None
        assert found.peak_pa.low >= before
        before = found.peak_pa.high
