"""What is missing of a drift is asked for, what cannot be is refused, what is outside is a stop."""

import pytest

from selector.errors import InputError
from selector.facts.actions.model import Loads
from selector.knowledge.base import Base
from selector.model.truth import Word
from tests.facts.actions.beside import ALONE, FLAT, HOOD, NONE, obstacles, parapet, taller, thing
from tests.facts.actions.conftest import LoadsOf
from tests.facts.actions.test_open import no_figures, the_open

ABOVE = "  run_off_from_above: {is: none, how: the hall stands alone, by: hb}\n"
HIGHER = ABOVE.replace("none", "higher roof")
SOME = {NONE: NONE.replace("none", "some")}

# changes -> the path that is asked for, and the topics that then wait
MISSING: list[tuple[dict[str, str], str, str]] = [
    (SOME, "plane.objects", "snow"),
    (obstacles(HOOD.replace(" rises: 0.60 m,", "")), "plane.objects", "snow"),
    (
        obstacles(HOOD, thing("cat", "9 m", "1 m").replace(" rises: 1 m,", "")),
        "plane.objects",
        "snow",
    ),
    (taller(step=""), "plane.taller_step", "snow"),
    (taller(length=""), "plane.taller_length", "snow"),
    (taller(pitch=""), "plane.taller_pitch", "snow"),
    (
        {ALONE: "    taller: {is: stands near, how: eyes, by: lw}\n"},
        "plane.taller_along",
        "snow",
    ),
    ({**FLAT, **parapet("")}, "plane.parapet_height", "wind snow"),
    ({**taller(), " from_left: 5.00 m,": ""}, "array.block", "wind snow"),
]


@pytest.mark.parametrize(
    ("changes", "path", "topics"),
    MISSING,
    ids=lambda v: str(sorted(v) if isinstance(v, set) else v)[:40],
)
def test_what_is_missing_of_a_drift_is_asked_for(
    loads: LoadsOf, base: Base, changes: dict[str, str], path: str, topics: str
) -> None:
    one, waiting = the_open(loads(changes))
    assert (one.word, one.kind, one.about) == (Word.OBSERVE, "missing", path)
    assert " ".join(waiting) == topics
    assert base.vocabulary.ask(path).how
    for topic in waiting:
        no_figures(loads(changes), topic)


# changes -> both words that cannot be true, and the paths to look at again
CONTRADICTORY: list[tuple[dict[str, str], str, str, set[str]]] = [
    ({ABOVE: HIGHER}, "none", "higher roof", {"plane.taller", "site.run_off_from_above"}),
    (
        {ALONE: ALONE + "    taller_step: {is: 3 m, paper: plan}\n"},
        "none",
        "some",
        {"plane.taller", "plane.taller_step"},
    ),
    (
        {NONE: NONE + "    objects:\n" + HOOD},
        "none",
        "hood",
        {"plane.obstacles", "plane.objects"},
    ),
    (
        {**FLAT, **parapet(word="none")},
        "none",
        "some",
        {"plane.parapet", "plane.parapet_height"},
    ),
]


@pytest.mark.parametrize(
    ("changes", "given", "allowed", "paths"),
    CONTRADICTORY,
    ids=lambda v: str(sorted(v) if isinstance(v, set) else v)[:40],
)
def test_what_cannot_both_be_true_is_asked_back(
    loads: LoadsOf, changes: dict[str, str], given: str, allowed: str, paths: set[str]
) -> None:
    found = loads(changes)
    one, waiting = the_open(found)
    assert (one.word, one.kind) == (Word.OBSERVE, "disagree")
    assert (one.given, one.allowed) == (given, allowed)
    assert {one.about, *one.also} == paths
    assert "snow" in waiting
    no_figures(found, "snow")


def test_a_roof_above_that_may_be_there_is_asked_for(loads: LoadsOf) -> None:
    either = HIGHER.replace("is: higher roof", "one_of: [none, higher roof]")
    one, _ = the_open(loads({ABOVE: either}))
    assert (one.kind, one.about) == ("inexact", "site.run_off_from_above")


# EN 1991-1-3:2003 clause 5.3.6 (15 deg), EN 1991-1-4:2005 clause 7.2.3 (5 deg); 30 deg is ours
OUTSIDE: list[tuple[dict[str, str], str, str, str]] = [
    (taller(pitch="{is: 16 deg, paper: plan}"), "pitch of the upper roof", "15 deg", "snow"),
    (taller("eave"), "pitch towards a taller part", "below 5 deg", "snow"),
    (taller(word="adjoins"), "taller parts", "nothing taller", "wind"),
    ({**FLAT, **parapet(word="some")}, "parapet", "all round", "wind"),
    (parapet(), "pitch behind a parapet", "below 5 deg", "wind"),
    ({**FLAT, **parapet("{is: 0.9 m, paper: plan}")}, "pitch or parapet", "0.1", "wind"),
]


@pytest.mark.parametrize(
    ("changes", "about", "allowed", "topic"),
    OUTSIDE,
    ids=lambda v: str(sorted(v) if isinstance(v, set) else v)[:40],
)
def test_outside_of_what_the_clauses_reach_there_is_no_number(
    loads: LoadsOf, changes: dict[str, str], about: str, allowed: str, topic: str
) -> None:
    found = loads(changes)
    one, waiting = the_open(found)
    assert (one.word, one.kind, one.about) == (Word.ENGINEER, "outside", about)
    assert allowed in one.allowed
    assert waiting == (topic,)
    no_figures(found, topic)


def test_several_taller_parts_are_the_engineers(loads: LoadsOf) -> None:
    found = loads({ALONE: ALONE.replace("none", "several")})
    assert found.word == Word.ENGINEER
    assert {one.about for one, _ in found.opens} == {"taller parts"}
    no_figures(found, "snow")
    no_figures(found, "wind")


def test_a_steep_plane_has_no_drift(loads: LoadsOf) -> None:
    steep = {k: v for k, v in FLAT.items() if "plan" in k and not v}
    changes = {**steep, "{is: 8.5 deg": "{is: 31 deg", **obstacles(HOOD)}
    one, waiting = the_open(loads(changes))
    assert (one.word, one.about, waiting) == (Word.ENGINEER, "pitch beside a drift", ("snow",))


def test_where_a_country_has_exceptional_drifts_a_taller_part_is_the_engineers(
    loads: LoadsOf,
) -> None:
    found = loads({**taller(), "{is: recommended-values}": "{is: example-land}"})
    one, _ = the_open(found)
    assert one.clause == "EN 1991-1-3 annex B.3"
    no_figures(found, "snow")


@pytest.mark.parametrize("pitch", ["15 deg", "0 deg"])
def test_a_flat_taller_roof_sheds_no_snow(loads: LoadsOf, pitch: str) -> None:
    found: Loads = loads(taller(pitch=f"{{is: {pitch}, paper: plan}}"))
    assert found.opens == ()


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        (obstacles(HOOD.replace("0.60 m", "-0.60 m")), "rises"),
        (obstacles(HOOD.replace("0.60 m", ".nan")), "rises"),
        (obstacles(HOOD.replace("0.60 m", "900 m")), "`rises` cannot be right; at most 100 m"),
        (obstacles(HOOD.replace("0.60 m", "0.6")), "with its unit"),
        (obstacles(HOOD.replace("paper: plan", "how: eyes, by: lw")), "how exact is it?"),
        (taller(step="{is: -3 m, paper: plan}"), "taller_step"),
        (taller(step="{is: .nan, paper: plan}"), "taller_step"),
        (taller(step="{is: 3 km, paper: plan}"), "100 mm to 100 m is plausible"),
        (taller(length="{is: 0 m, paper: plan}"), "plausible"),
        (taller(pitch="{is: 90 deg, paper: plan}"), "0 to 75 deg is plausible"),
        (taller("above"), "above"),
        (taller(word="one"), "one"),
        ({**FLAT, **parapet("{is: -0.4 m, paper: plan}")}, "parapet_height"),
        ({**FLAT, **parapet("{is: 40 m, paper: plan}")}, "plausible"),
        ({**FLAT, **parapet(word="round")}, "round"),
    ],
    ids=lambda v: str(v)[-50:],
)
def test_bad_heights_are_bad_input(loads: LoadsOf, changes: dict[str, str], told: str) -> None:
    with pytest.raises(InputError) as refused:
        loads(changes)
    for problem in refused.value.problems:
        assert str(problem).startswith("job.yaml")
    assert any(told in str(problem) for problem in refused.value.problems), refused.value.problems
