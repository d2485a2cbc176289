"""The page of `loads`: what it says in German, what it draws, how it says a number."""

import re
from collections.abc import Iterator
from itertools import product

import pytest

from selector.explanation.language import speaking
from selector.explanation.loads.page import page
from selector.explanation.loads.plan_text import plan_text
from selector.explanation.loads.telling import LoadsTelling, plain
from selector.explanation.texts import Texts
from selector.facts.actions.loads import loads_of
from selector.facts.actions.model import TOPICS, Loads
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from tests.facts.actions.beside import BESIDE, FLAT, HOOD, STACK, obstacles, parapet
from tests.facts.actions.conftest import HALL, changed
from tests.facts.actions.test_drifts_by_hand import LAND
from tests.facts.actions.test_drifts_open import OUTSIDE as DRIFTS_OUTSIDE
from tests.facts.actions.test_open import FREE, NEEDED, OUTSIDE
from tests.facts.actions.test_trial import EXPOSURE, NEWER, PLACE, VERIFIED

PITCHED = {**FREE, "{is: 8.5 deg": "{is: 45 deg"}
JOBS: list[dict[str, str]] = [
    {},
    {"{is: recommended-values}": "{is: example-land}"},
    PITCHED,
    {**PITCHED, "{is: duopitch, paper": "{is: monopitch, paper"},
    {**FREE, "{is: 8.5 deg": "{is: 2 deg", "{is: duopitch, paper": "{is: flat, paper"},
    {"{is: normal, how": "{one_of: [normal, sheltered], how"},
    *({line: ""} for line in NEEDED),
    *(changes for changes, *_ in (*OUTSIDE, *DRIFTS_OUTSIDE)),
    BESIDE,
    {**FLAT, **parapet("{is: 0.6 m, paper: plan}"), **LAND},
    {**LAND, **obstacles(HOOD, STACK)},
    VERIFIED,
    NEWER,
    {**VERIFIED, PLACE: PLACE},
    {**VERIFIED, PLACE: EXPOSURE + PLACE.replace("none", "some")},
]


def told(base: Base, changes: dict[str, str]) -> LoadsTelling:
    job = job_of(read_string(changed(HALL, changes), "job.yaml"), base.vocabulary)
    return LoadsTelling(loads_of(base, job, job.arrays["a1"]), base, Texts.of(base))


@pytest.fixture(scope="module")
def german(base: Base) -> Base:
    return speaking(base, "de")


WORD = re.compile(r"(?<![\w])[a-z]{3,}(?![\w])")
# Signs of the formulas, and names of rows and sets, which stay as they are.
SIGNS = {
    "sharp",
    "slope",
    "depth",
    "length",
    "heavy",
    "light",
    "deg",
    "rho",
    "gamma",
    "min",
    "log",
    "exp",
    "cos",
    "sin",
}


def names(found: Loads) -> set[str]:
    """Words of which rows, sets and sources are named."""
    rows = [r for topic in found.topics.values() for r in topic.rows]
    sets = [s.name for link in found.sets.values() for s in link.sets]
    texts = (*sets, *(r.symbol for r in rows), *(r.source for r in rows))
    return {w for text in texts for w in re.findall(r"[a-z]{3,}", text)} | SIGNS


def said(found: Loads) -> Iterator[tuple[str, bool]]:
    """Every text that the calculation hands to the page, and whether it is a clause."""
    for topic in found.topics.values():
        for row in topic.rows:
            yield from ((row.how, False), (row.clause, True), (row.status, False))
            if isinstance(row.value, str):
                yield row.value, False
        for one in topic.opens:
            if one.kind in ("outside", "engineer"):
                texts = (one.about, one.given, one.allowed)
                yield from ((text, False) for text in texts)
                yield one.clause, True
    yield found.country, False
    yield from ((zone.wind, False) for zone in found.zones)
    yield from ((why, False) for why in found.not_applicable.values())


@pytest.mark.parametrize("changes", JOBS, ids=lambda c: list(c.values())[-1][:30] if c else "hall")
def test_nothing_of_the_calculation_stays_in_english(
    base: Base, german: Base, changes: dict[str, str]
) -> None:
    telling = told(german, changes)
    kept, left = names(telling.loads), set()
    for text, clause in said(telling.loads):
        shown = telling.clause(text) if clause else telling.shown(text)
        words = set(WORD.findall(text)) - kept
        if words & set(WORD.findall(shown)) - {"annex", "asce"}:
            left.add(f"{text} -> {shown}")
    assert sorted(left) == []


def test_a_clause_keeps_its_numbers(german: Base) -> None:
    telling = told(german, {})
    assert telling.clause("7.2.5 figure 7.8") == "7.2.5 Bild 7.8"
    assert telling.clause("4.2(2)P note 2") == "4.2(2)P Anmerkung 2"
    assert telling.clause("table A1.2(B)") == "Tabelle A1.2(B)"
    assert telling.clause("given") == "gegeben"


@pytest.mark.parametrize("changes", JOBS, ids=lambda c: list(c.values())[-1][:30] if c else "hall")
def test_every_page_fits_the_paper(base: Base, german: Base, changes: dict[str, str]) -> None:
    for spoken, shown in product((base, german), ((), TOPICS)):
        for line in page(told(spoken, changes), "VERSION", shown):
            assert len(line) <= 80, line
            assert "{" not in line, line


def test_what_is_open_names_its_path_and_topics(base: Base) -> None:
    flat = " ".join(" ".join(page(told(base, {"    gap_below: 120 mm\n": ""}), "V", ())).split())
    assert "[array.gap_below] (for wind)" in flat
    assert "OBSERVE" in flat
    assert "wind lifts a module by no figure" in flat


def test_the_picture_names_every_zone_and_both_sides_of_the_wind(base: Base) -> None:
    telling = told(base, {})
    arrows = {"onto the eave": "^", "from behind": "v", "onto the left end": ">>"}
    arrows["onto the right end"] = "<<"
    assert telling.loads.plan is not None
    for wind, parts in telling.loads.plan.zones.items():
        lines = [line for line in plan_text(telling, wind, 79) if not line[:1].strip()]
        drawn = "\n".join(lines)
        assert arrows[wind] in drawn
        assert drawn.count("#") > 20
        assert all(part.name in drawn for part in parts)
        assert max(map(len, lines)) <= 79


@pytest.mark.parametrize(
    ("value", "form", "text"),
    [(0.6618, ".3f", "0.662"), (-0.0001, ".3f", "0.000"), (12345678.0, ".4g", "12350000")],
)
def test_numbers_are_plain(value: float, form: str, text: str) -> None:
    assert plain(value, form) == text


@pytest.mark.parametrize("changes", [VERIFIED, NEWER], ids=["older", "newer"])
def test_a_code_on_trial_is_for_an_engineer_only(base: Base, changes: dict[str, str]) -> None:
    lines = page(told(base, changes), "V", TOPICS)
    flat = " ".join(" ".join(lines).split())
    assert "on trial: nothing of it may be used without a licensed engineer" in lines[1]
    assert "ENGINEER stop" in flat
    assert "velocity pressure qh" in flat
    assert "wind lifts a module by no figure" in flat
    assert "pressure coefficient (GCp) of the roof zone: not kept" in flat
    assert "a speed off the map of another code is wrong here" in flat


def test_a_missing_exposure_is_asked_for_beside_the_stop(base: Base) -> None:
    lines = page(told(base, {**VERIFIED, PLACE: PLACE}), "V", ())
    flat = " ".join(" ".join(lines).split())
    assert "ENGINEER stop" in flat
    assert "exposure category by ASCE 7: B, C or D? (aerial view" in flat
    assert "[site.exposure] (for wind)" in flat
