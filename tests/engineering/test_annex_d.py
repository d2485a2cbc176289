"""Resistance from tests against worked samples, the tables of EN 1990 annex D, and scipy.

WORKED: see the head of the file. Table D1 as seen in open code that cites it, D2 from memory.
"""

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import integrate, stats

from selector.engineering.annex_d import (
    DESIGN_FRACTILE,
    DISTRIBUTIONS,
    FRACTILE,
    Distribution,
    Estimate,
    Sample,
    characteristic,
    design_n,
    direct,
    fractile_factor,
    proof_confidence,
    proof_tests_for,
    sample_of,
)
from selector.engineering.lines import BadInputError
from selector.engineering.quantiles import normal_quantile, student_quantile

WORKED: dict[str, dict[str, Any]] = {
    w["id"]: w
    for w in yaml.safe_load(Path(__file__).with_name("worked_samples.yaml").read_text("utf-8"))
}
SAMPLES = [f"M{number}" for number in range(25, 32)]
NAMES: dict[str, Distribution] = {"normal": "normal", "lognormal": "log-normal"}
LOADS = st.lists(st.floats(50, 5000), min_size=3, max_size=30).filter(
    lambda xs: max(xs) - min(xs) > 0.01 * max(xs)
)
SHARES = (0.0001, 0.001, 0.05, 0.3, 0.5, 0.6, 0.75, 0.9, 0.95, 0.99, 0.999, 0.9999, 1 - 2e-5)


# --- quantiles ---------------------------------------------------------------------------------


@pytest.mark.parametrize("share", SHARES)
def test_the_normal_quantile_is_that_of_scipy(share: float) -> None:
    assert normal_quantile(share) == pytest.approx(stats.norm.ppf(share), rel=1e-10, abs=1e-10)


@pytest.mark.parametrize("degrees", [1, 2, 3, 4, 5, 7, 10, 29, 30, 99, 100, 999, 5000])
@pytest.mark.parametrize("share", SHARES)
def test_the_quantile_of_student_is_that_of_scipy(share: float, degrees: int) -> None:
    found = student_quantile(share, degrees)
    assert found == pytest.approx(stats.t.ppf(share, degrees), rel=1e-10, abs=1e-10)


@pytest.mark.parametrize("degrees", [2, 7, 29])
def test_the_density_below_the_quantile_has_its_share(degrees: int) -> None:
    scale = math.gamma((degrees + 1) / 2) / math.gamma(degrees / 2) / math.sqrt(degrees * math.pi)

    def density(t: float) -> float:
        return float(scale * (1 + t * t / degrees) ** (-(degrees + 1) / 2))

    half, _ = integrate.quad(density, 0, student_quantile(0.95, degrees), epsabs=1e-12)
    assert half == pytest.approx(0.45, abs=1e-10)


@pytest.mark.parametrize("share", [0.0, 1.0, math.nan, -1.0, 2.0])
def test_a_share_that_is_none(share: float) -> None:
    with pytest.raises(BadInputError, match="share"):
        normal_quantile(share)
    with pytest.raises(BadInputError, match="share"):
        student_quantile(share, 5)


@pytest.mark.parametrize("degrees", [0, -1, True])
def test_degrees_that_are_none(degrees: int) -> None:
    with pytest.raises(BadInputError, match="degrees"):
        student_quantile(0.95, degrees)


# --- factors -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("which", "below", "table", "close", "wide"),
    [("M23", FRACTILE, "D1", 1e-5, 0.015), ("M24", DESIGN_FRACTILE, "D2", 1e-4, 0.03)],
)
@pytest.mark.parametrize("known", [True, False])
def test_the_factors(
    which: str, below: float, table: str, close: float, wide: float, known: bool
) -> None:
    worked = WORKED[which]
    results = worked["results"]
    name = "known" if known else "unknown"
    [tabled] = [v for k, v in results.items() if k.startswith(f"table_{table}_{name}")]
    rows = zip(worked["inputs"]["n"], results[f"V_{name}"], tabled, strict=True)
    for n, expected, printed in rows:
        found = fractile_factor(n, known, below)
        assert found == pytest.approx(expected, abs=close)
        assert found == pytest.approx(printed, abs=wide)


def test_the_factor_is_not_that_of_a_tolerance_bound() -> None:
    wrong = WORKED["M23"]["must_not_equal"]["V_unknown"]
    for n, value in zip(WORKED["M23"]["inputs"]["n"], wrong, strict=True):
        bound = stats.nct.ppf(0.75, n - 1, 1.6448536269514722 * math.sqrt(n)) / math.sqrt(n)
        assert bound == pytest.approx(value, abs=1e-4)  # the slip, so that it is the known one
        assert abs(fractile_factor(n, False, FRACTILE) - value) > 0.01


def test_the_product_of_two_factors_is_no_shortcut() -> None:
    # 3.04 = 0.8 * 3.8 in the place of u: less than table D2 (11.40, from memory) for n = 4
    short = stats.t.ppf(stats.norm.cdf(3.04), 3) * math.sqrt(1.25)
    assert short == pytest.approx(10.78, abs=0.01)
    assert fractile_factor(4, False, DESIGN_FRACTILE) > 11.40


# --- samples -----------------------------------------------------------------------------------


def _worked(which: str) -> tuple[Sample, Distribution, float | None, dict[str, Any]]:
    inputs = WORKED[which]["inputs"]
    sample = sample_of([x * 1e3 for x in inputs["failure_loads_kN"]])
    return sample, NAMES[inputs["distribution"]], inputs["V_known"], inputs


@pytest.mark.parametrize("which", SAMPLES)
def test_the_sample_in_figures(which: str) -> None:
    sample, name, known, _ = _worked(which)
    results = WORKED[which]["results"]
    assert sample.n == results["n"]
    close = 1e-6
    if name == "normal":
        assert sample.mean_n == pytest.approx(results["mean_kN"] * 1e3, rel=close)
        assert sample.sd_n == pytest.approx(results["sd_kN"] * 1e3, rel=close)
    else:
        assert sample.mean_ln - math.log(1e3) == pytest.approx(results["mean_ln"], rel=close)
    estimate = characteristic(sample, name, known)
    used = results["V_used" if name == "normal" else "s_y_used"]
    assert estimate.variation == pytest.approx(used, rel=close)
    assert estimate.factor == pytest.approx(results["k_n"], rel=close)


@pytest.mark.parametrize("which", SAMPLES)
def test_the_values_of_a_sample(which: str) -> None:
    sample, name, known, inputs = _worked(which)
    results = WORKED[which]["results"]
    eta, gamma = inputs["eta_d"], inputs["gamma_M"]
    _same(characteristic(sample, name, known), results["characteristic_kN"])
    value = characteristic(sample, name, known).value_n
    if value is not None:
        expected = results["design_D72_kN"] * 1e3
        assert design_n(value, eta, gamma) == pytest.approx(expected, rel=1e-6)
    at_once = direct(sample, name, known)
    _same(at_once, results["design_D73_kN"], eta)
    if at_once is not None and results["k_d_n_p0001"] is not None:
        assert at_once.factor == pytest.approx(results["k_d_n_p0001"], rel=1e-6)


def _same(found: Estimate | None, expected: object, eta: float = 1.0) -> None:
    if expected == "no value":
        assert found is None or found.value_n is None
    else:
        assert found is not None
        assert found.value_n is not None
        assert isinstance(expected, float)
        assert design_n(found.value_n, eta) == pytest.approx(expected * 1e3, rel=1e-6)


def test_below_zero_is_no_value() -> None:
    sample, name, known, _ = _worked("M31")
    estimate = characteristic(sample, name, known)
    would = sample.mean_n * (1 - estimate.factor * estimate.variation)
    formula = WORKED["M31"]["results"]["formula_would_give_kN"] * 1e3
    assert would == pytest.approx(formula, rel=1e-6)
    assert estimate.value_n is None


@pytest.mark.parametrize(
    ("loads", "said"),
    [
        ([1200.0, 1400.0], "2 failures given"),
        ([800.0] * 4, "at one load"),
        ([800.0, 900.0, 0.0], "failure load"),
        ([800.0, 900.0, -1.0], "failure load"),
        ([800.0, 900.0, math.nan], "failure load"),
        ([800.0, 900.0, math.inf], "failure load"),
        ([float(x) for x in range(1, 1003)], "1002 failures"),
    ],
)
def test_what_is_no_sample(loads: list[float], said: str) -> None:
    with pytest.raises(BadInputError, match=said):
        sample_of(loads)


@pytest.mark.parametrize(("eta", "gamma"), [(0.0, 1.3), (1.1, 1.3), (0.8, 0.9), (math.nan, 1.3)])
def test_factors_that_are_none(eta: float, gamma: float) -> None:
    with pytest.raises(BadInputError):
        design_n(1000.0, eta, gamma)


# --- properties --------------------------------------------------------------------------------


@given(LOADS, st.randoms(use_true_random=False))
def test_the_order_of_pulls_is_irrelevant(loads: list[float], random: Any) -> None:
    other = list(loads)
    random.shuffle(other)
    assert sample_of(other) == sample_of(loads)


@given(
    LOADS, st.floats(0.01, 100), st.sampled_from(DISTRIBUTIONS), st.none() | st.floats(0.02, 0.3)
)
def test_values_scale_with_the_unit(
    loads: list[float], scale: float, name: Distribution, known: float | None
) -> None:
    one = characteristic(sample_of(loads), name, known)
    other = characteristic(sample_of([x * scale for x in loads]), name, known)
    assert other.factor == one.factor
    assume(one.value_n is None or one.value_n > 1e-3 * max(loads))  # no difference of equals
    assume(other.value_n is None or other.value_n > 1e-3 * scale * max(loads))
    assert (one.value_n is None) == (other.value_n is None)
    if one.value_n is not None:
        assert other.value_n == pytest.approx(one.value_n * scale, rel=1e-6)


@given(
    st.integers(3, 60),
    st.floats(100, 5000),
    st.floats(0.01, 0.5),
    st.sampled_from(DISTRIBUTIONS),
    st.booleans(),
    st.sampled_from([characteristic, direct]),
)
def test_one_more_failure_like_the_others_never_lowers_a_value(
    n: int, mean: float, spread: float, name: Distribution, known: bool, ask: Any
) -> None:
    def found(count: int) -> float:
        sample = Sample(count, mean, mean * spread, math.log(mean), spread)
        estimate = ask(sample, name, spread if known else None)
        return (estimate.value_n if estimate else None) or 0.0

    assert found(n + 1) >= found(n)


@given(LOADS, st.sampled_from(DISTRIBUTIONS))
def test_a_value_lies_below_every_mean_and_the_direct_one_below_it(
    loads: Sequence[float], name: Distribution
) -> None:
    sample = sample_of(loads)
    usual, at_once = characteristic(sample, name), direct(sample, name)
    assert (usual.value_n or 0.0) < sample.mean_n
    if at_once is not None and at_once.value_n is not None:
        assert usual.value_n is not None
        assert at_once.value_n < usual.value_n


# --- proof tests -------------------------------------------------------------------------------


def test_what_held_loads_say() -> None:
    inputs, results = WORKED["M32"]["inputs"], WORKED["M32"]["results"]
    small = proof_confidence(inputs["n_small"], 0, inputs["fractile"])
    assert small == pytest.approx(results["confidence_of_5_held"], abs=5e-9)  # as printed
    assert small == pytest.approx(1 - 0.95**5, rel=1e-12)
    assert proof_tests_for(inputs["confidence"], inputs["fractile"]) == results["n_required"]


@pytest.mark.parametrize(("held", "failed"), [(0, 0), (5, 0), (28, 0), (27, 1), (92, 1), (50, 3)])
def test_confidence_is_a_binomial_tail(held: int, failed: int) -> None:
    expected = stats.binom.sf(failed, held + failed, 0.05)
    assert proof_confidence(held, failed) == pytest.approx(expected, abs=1e-12)


@given(st.floats(0.01, 0.999), st.floats(0.01, 0.5))
def test_fewest_tests_are_the_fewest(confidence: float, below: float) -> None:
    count = proof_tests_for(confidence, below)
    assert 1 - (1 - below) ** count >= confidence
    assert count == 1 or 1 - (1 - below) ** (count - 1) < confidence
