"""What is a sample, what is a proof test, and what each comes to.

Figures: the worked samples beside the tests of annex D; the rest by hand.
"""

from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from selector.facts.links.pull import ProofResult, Pulled, SampleResult, pulled_of
from selector.knowledge.base import Base
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.facts.links.pull_files import FACTORS, HEAD, failed, file_of, held

WORKED: dict[str, dict[str, Any]] = {
    w["id"]: w
    for w in yaml.safe_load(
        Path(ROOT / "tests" / "engineering" / "worked_samples.yaml").read_text("utf-8")
    )
}
EIGHT = [1.52, 1.71, 1.6, 1.74, 1.55, 1.66, 1.49, 1.69]  # M25 and M26
EDGE = {"edge": "{is: 0.40 kN, paper: calc}"}  # to be held: 0.60 kN


def found(base: Base, *pulls: dict[str, str], **more: Any) -> Pulled:
    return pulled_of(base, file_of(base, *pulls, **more))


def sample(base: Base, *pulls: dict[str, str], **more: Any) -> SampleResult:
    result = found(base, *pulls, **more).sample
    assert result is not None
    return result


def proof(base: Base, *pulls: dict[str, str], **more: Any) -> ProofResult:
    [result] = found(base, *pulls, **more).proofs
    return result


# --- what is refused: M33 ------------------------------------------------------------------------


def test_what_must_be_refused(base: Base) -> None:
    inputs = WORKED["M33"]["inputs"]["samples"]
    said = {
        "too_few": "refused: fewer than 3 failures",
        "no_scatter": "refused: no scatter",
        None: "proof test only: no statistics",
        "no_factors": "failures alone: n=3, held load stays out of the mean",
        "mixed": "refused: mixed zones",
    }
    outcomes = []
    for one in inputs:
        loads = one.get("failures_kN", [])
        zones = one.get("zones", ["field"] * len(loads))
        pulls = [failed(kn, zone) for kn, zone in zip(loads, zones, strict=True)]
        result = found(base, *pulls, *(held(kn) for kn in one.get("held_kN", [])))
        outcomes.append(said[result.sample.outcome if result.sample else None])
    assert outcomes == WORKED["M33"]["results"]["outcome"]


def test_a_held_load_stays_out_of_the_mean(base: Base) -> None:
    result = found(base, *(failed(x) for x in (1.1, 1.2, 1.0)), held(0.9))
    assert result.sample is not None
    assert result.sample.sample is not None
    assert result.sample.sample.n == 3
    assert result.sample.sample.mean_n == pytest.approx(1100.0)
    assert len(result.proofs) == 1


@pytest.mark.parametrize("outcome", ["too_few", "no_scatter"])
def test_without_a_sample_something_is_to_be_done(base: Base, outcome: str) -> None:
    loads = (1.2, 1.4) if outcome == "too_few" else (0.8, 0.8, 0.8)
    result = sample(base, *(failed(x) for x in loads), record=FACTORS)
    assert (result.outcome, result.word, result.values) == (outcome, Word.OBSERVE, ())


OTHERS = {
    "clip": "system clip",
    "nails": "one screw",
    "deck": "plywood",
    "deck_thickness": "22 mm",
    "shape": "single-lock",
    "metal": "copper",
    "sheet_thickness": "0.65 mm",
    "direction": "down the slope",
    "failure": "moved 3 mm",
}


@pytest.mark.parametrize(("key", "value"), OTHERS.items())
def test_each_thing_that_is_mixed_is_named(base: Base, key: str, value: str) -> None:
    loads = [failed(x) for x in EIGHT]
    loads[3] |= {"but": f"{{{key}: {value}}}"}
    result = sample(base, *loads, record=FACTORS)
    assert (result.outcome, result.word) == ("mixed", Word.OBSERVE)
    assert [m.key for m in result.mixed] == [key]
    assert sorted(count for _, count in result.mixed[0].values) == [1, 7]


def test_all_that_is_mixed_is_named(base: Base) -> None:
    other = failed(1.7, "edge", but="{metal: copper}")
    result = sample(base, *(failed(x) for x in EIGHT), other)
    assert [m.key for m in result.mixed] == ["zone", "metal"]
    assert result.mixed[0].values == (("edge", 1), ("field", 8))


def test_the_same_thing_said_twice_is_not_mixed(base: Base) -> None:
    loads = [failed(x) for x in EIGHT]
    loads[0] |= {"but": "{deck_thickness: 2.4 cm, metal: zinc}"}
    assert sample(base, *loads, record=FACTORS).outcome == "value"


# --- values --------------------------------------------------------------------------------------


def test_both_distributions_and_the_lower_counts(base: Base) -> None:
    result = sample(base, *(failed(x) for x in EIGHT), record=FACTORS)
    assert (result.outcome, result.word) == ("value", Word.CONDITIONAL)
    for values, which in zip(result.values, ("M25", "M26"), strict=True):
        expected = WORKED[which]["results"]
        usual = values.characteristic.value_n
        assert usual == pytest.approx(expected["characteristic_kN"] * 1e3, rel=1e-6)
        assert values.design_n == pytest.approx(expected["design_D72_kN"] * 1e3, rel=1e-6)
    assert result.counts is not None
    assert result.counts.distribution == "normal"


def test_what_was_laid_down_before_testing_counts(base: Base) -> None:
    record = FACTORS | {"distribution": "{is: log-normal, paper: plan}"}
    result = sample(base, *(failed(x) for x in EIGHT), record=record)
    assert result.counts is not None
    assert result.counts.distribution == "log-normal"


def test_a_known_variation(base: Base) -> None:
    record = {
        "variation": "{is: 12 %, paper: prior}",
        "eta_d": "{is: 0.9, paper: calc}",
        "gamma_m": "{is: 1.5, paper: calc}",
    }
    result = sample(base, *(failed(x) for x in (0.92, 0.81, 1.03)), record=record)
    expected = WORKED["M28"]["results"]
    normal = result.values[0]
    assert normal.characteristic.factor == pytest.approx(expected["k_n"], rel=1e-6)
    assert normal.design_n == pytest.approx(expected["design_D72_kN"] * 1e3, rel=1e-6)
    assert not result.scatters_more  # 0.1196 against 0.12


def test_a_sample_that_scatters_more_than_it_should_is_told(base: Base) -> None:
    record = FACTORS | {"variation": "{is: 11 %, paper: prior}"}
    assert sample(base, *(failed(x) for x in (0.92, 0.81, 1.03)), record=record).scatters_more


def test_direct_design_where_it_was_asked_for(base: Base) -> None:
    record = {"method": "{is: EN 1990 D.7.3, paper: plan}", "eta_d": "{is: 1.0, paper: calc}"}
    result = sample(base, *(failed(x) for x in EIGHT), record=record)
    assert result.outcome == "value"
    for values, which in zip(result.values, ("M25", "M26"), strict=True):
        expected = WORKED[which]["results"]["design_D73_kN"] * 1e3
        assert values.design_n == pytest.approx(expected, rel=1e-6)


def test_direct_design_of_three_pulls_is_no_value(base: Base) -> None:
    record = {"method": "{is: EN 1990 D.7.3, paper: plan}", "eta_d": "{is: 1.0, paper: calc}"}
    loads = [failed(x) for x in (0.92, 0.81, 1.03)]
    result = sample(base, *loads, record=record)
    assert (result.outcome, result.word, result.counts) == ("no_value", Word.ENGINEER, None)
    known = record | {"variation": "{is: 12 %, paper: prior}"}
    assert sample(base, *loads, record=known).outcome == "value"


def test_too_scattered_is_no_value(base: Base) -> None:
    # M31: the normal value is below zero; the log-normal one alone does not come in its place
    loads = [failed(x) for x in (0.4, 1.3, 0.75)]
    result = sample(base, *loads, record=FACTORS)
    assert (result.outcome, result.word, result.counts) == ("no_value", Word.ENGINEER, None)
    assert [v.design_n is None for v in result.values] == [True, False]
    fixed = FACTORS | {"distribution": "{is: log-normal, paper: plan}"}
    assert sample(base, *loads, record=fixed).outcome == "value"


@pytest.mark.parametrize("name", ["eta_d", "gamma_m"])
def test_a_factor_that_is_missing_is_for_an_engineer(base: Base, name: str) -> None:
    record = {k: v for k, v in FACTORS.items() if k != name}
    result = sample(base, *(failed(x) for x in EIGHT), record=record)
    assert (result.outcome, result.word, result.missing) == ("no_factors", Word.ENGINEER, (name,))
    assert result.counts is not None
    assert result.counts.characteristic.value_n is not None
    assert result.counts.design_n is None


def test_an_outlier_is_told_and_stays_in(base: Base) -> None:
    loads = [*EIGHT[:7], 0.9]
    result = sample(base, *(failed(x) for x in loads), record=FACTORS)
    assert result.outlier is not None
    assert result.outlier.pull == 8
    assert result.sample is not None
    assert result.sample.n == 8
    assert result.sample.mean_n == pytest.approx(sum(loads) / 8 * 1e3)
    assert sample(base, *(failed(x) for x in EIGHT), record=FACTORS).outlier is None


@pytest.mark.parametrize(
    ("demand", "word"), [("1.07 kN", Word.CONDITIONAL), ("1.08 kN", Word.ENGINEER)]
)
def test_a_design_value_below_the_demand(base: Base, demand: str, word: Word) -> None:
    zone = {"field": f"{{is: {demand}, paper: calc}}"}  # M25: 1.0768 kN
    loads = [failed(x) for x in EIGHT]
    result = sample(base, *loads, record=FACTORS, demand=zone)
    assert result.word == word
    assert (result.outcome, result.below) == ("value", ())
    assert result.design_below == (word is Word.ENGINEER)


@pytest.mark.parametrize(
    ("loads", "outcome"), [((0.3, 0.9), "too_few"), ((0.3, 0.3, 0.3), "no_scatter")]
)
def test_a_failure_below_the_demand_counts_without_any_statistics(
    base: Base, loads: tuple[float, ...], outcome: str
) -> None:
    pulls = [failed(x) for x in loads]
    zone = {"field": "{is: 0.31 kN, paper: calc}"}
    result = sample(base, *pulls, record=FACTORS, demand=zone)
    assert (result.outcome, result.word) == (outcome, Word.ENGINEER)
    assert result.below == tuple(i for i, x in enumerate(loads, 1) if x == 0.3)
    zone = {"field": "{is: 0.30 kN, paper: calc}"}
    assert sample(base, *pulls, record=FACTORS, demand=zone).below == ()


def test_each_failure_is_held_against_its_own_zone(base: Base) -> None:
    zone = {"edge": "{is: 1.0 kN, paper: calc}", "field": "{is: 0.5 kN, paper: calc}"}
    result = sample(base, failed(0.9), failed(0.9, "edge"), failed(1.1, "edge"), demand=zone)
    assert (result.outcome, result.word, result.below) == ("mixed", Word.ENGINEER, (2,))


def test_a_demand_of_another_zone_is_no_matter(base: Base) -> None:
    zone = {"edge": "{is: 1.50 kN, paper: calc}"}
    assert sample(base, *(failed(x) for x in EIGHT), record=FACTORS, demand=zone).outcome == "value"


def test_a_tool_that_ran_out_is_for_an_engineer(base: Base) -> None:
    late = HEAD.replace("calibrated_until: 2031-11-01", "calibrated_until: 2031-04-21")
    assert late != HEAD
    loads = [failed(x) for x in EIGHT]
    assert found(base, *loads, record=FACTORS, head=late).word is Word.ENGINEER
    same_day = late.replace("2031-04-21", "2031-04-22")
    assert found(base, *loads, record=FACTORS, head=same_day).word is Word.CONDITIONAL


def test_the_order_of_pulls_is_irrelevant(base: Base) -> None:
    pulls = [failed(x) for x in (0.92, 0.81, 1.03)] + [held(0.5)]
    seen = set()
    for order in permutations(pulls):
        result = found(base, *order, record=FACTORS)
        assert result.sample is not None
        seen.add((result.sample.sample, result.sample.values, result.word))
    assert len(seen) == 1


@given(st.lists(st.integers(100, 5000), min_size=3, max_size=12, unique=True))
def test_the_unit_of_a_load_is_irrelevant(base: Base, newtons: list[int]) -> None:
    in_n = [failed(1, failed_at=f"{x} N") for x in newtons]
    in_kn = [failed(f"{x / 1000:.3f}") for x in newtons]
    one, other = sample(base, *in_n, record=FACTORS), sample(base, *in_kn, record=FACTORS)
    assert (one.sample, one.values) == (other.sample, other.values)


# --- proof tests ---------------------------------------------------------------------------------


def test_enough_tests_that_held_show_a_load(base: Base) -> None:
    result = proof(base, *(held(x, "edge") for x in (0.6, 0.6, 0.63, 0.6, 0.7)), demand=EDGE)
    assert (result.outcome, result.word, result.enough) == ("held", Word.CONDITIONAL, 5)
    assert result.target_n == 600.0
    assert result.shown_n == pytest.approx(400.0)
    assert result.confidence == pytest.approx(0.22621906, abs=5e-9)


@pytest.mark.parametrize("loads", [(0.6,) * 4, (0.6, 0.6, 0.6, 0.6, 0.599), (0.5,) * 9])
def test_too_few_that_held_enough(base: Base, loads: tuple[float, ...]) -> None:
    result = proof(base, *(held(x, "edge") for x in loads), demand=EDGE)
    assert (result.outcome, result.word, result.shown_n) == ("too_few", Word.OBSERVE, None)


def test_a_test_that_held_less_only_does_not_count(base: Base) -> None:
    result = proof(base, *(held(x, "edge") for x in (0.6,) * 5 + (0.4,)), demand=EDGE)
    assert (result.outcome, result.enough, len(result.held)) == ("held", 5, 6)
    assert result.shown_n == pytest.approx(400.0)


def test_without_a_demand_nothing_is_enough(base: Base) -> None:
    result = proof(base, *(held(0.6, "edge") for _ in range(5)))
    assert (result.outcome, result.word) == ("no_demand", Word.OBSERVE)
    assert result.shown_n == pytest.approx(400.0)


def test_one_that_failed_makes_the_zone_one_for_an_engineer(base: Base) -> None:
    lost = failed(0.55, "edge", to_hold="0.60 kN")
    result = found(base, *(held(0.6, "edge") for _ in range(9)), lost, demand=EDGE)
    [zone] = result.proofs
    assert (zone.outcome, zone.word, zone.shown_n) == ("failed", Word.ENGINEER, None)
    assert [p.number for p in zone.failed] == [10]
    assert result.sample is None  # a failure of a future sample, not of one here
    assert result.word is Word.ENGINEER


def test_a_proof_test_that_failed_is_in_no_mean(base: Base) -> None:
    lost = failed(0.55, to_hold="0.60 kN")
    result = sample(base, *(failed(x) for x in EIGHT), lost, record=FACTORS)
    assert result.sample is not None
    assert result.sample.n == 8


@pytest.mark.parametrize(("load", "outcome"), [(0.599, "failed"), (0.6, "held")])
def test_a_failure_below_the_load_to_be_held_stands_against_it(
    base: Base, load: float, outcome: str
) -> None:
    pulls = [held(0.6, "edge") for _ in range(5)]
    assert proof(base, *pulls, failed(load, "edge"), demand=EDGE).outcome == outcome
    assert proof(base, *pulls, failed(load, "corner"), demand=EDGE).outcome == "held"


def test_each_zone_by_itself(base: Base) -> None:
    pulls = [held(0.6, "edge") for _ in range(5)] + [held(0.6, "corner") for _ in range(4)]
    demand = EDGE | {"corner": "{is: 0.40 kN, paper: calc}"}
    result = found(base, *pulls, demand=demand)
    assert {p.zone: p.outcome for p in result.proofs} == {"edge": "held", "corner": "too_few"}
    assert result.word is Word.OBSERVE


def test_proof_tests_of_two_kinds_are_refused(base: Base) -> None:
    pulls = [held(0.6, "edge") for _ in range(5)]
    pulls.append(held(0.6, "edge", but="{deck: OSB}"))
    result = proof(base, *pulls, demand=EDGE)
    assert (result.outcome, result.word) == ("mixed", Word.OBSERVE)
    assert [m.key for m in result.mixed] == ["deck"]


def test_the_working_values_are_those_of_the_base(base: Base) -> None:
    # 5 tests at 1.5 times the demand: our own judgement, no source
    result = found(base, held(0.6))
    assert (result.least, result.factor) == (5, 1.5)
    assert {n.status for n in (result.least_tests, result.load_factor)} == {"judgement"}
    assert result.tests_wanted == WORKED["M32"]["results"]["n_required"]
