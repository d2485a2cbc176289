"""Resistance from tests: characteristic and design values of a sample of failure loads.

Source: EN 1990:2002 annex D. The closed forms stand behind its tables D1 and D2; the wording of
D.7.2 and D.7.3 is from memory. The factor is that of the central t distribution: the tolerance
bound with a confidence of its own (noncentral t) is another statistic.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from selector.engineering.lines import BadInputError, finite
from selector.engineering.quantiles import normal_quantile, student_quantile

Distribution = Literal["normal", "log-normal"]
DISTRIBUTIONS: tuple[Distribution, ...] = ("normal", "log-normal")
FRACTILE = 0.05  # below the characteristic value
DESIGN_FRACTILE = 0.001  # below the design value found at once
FEWEST = 3
FEWEST_DIRECT = 4  # direct design, variation not known beforehand
MOST_TESTS = 1_000
LARGEST_N = 1e9
MOST_VARIATION = 1.0
MOST_GAMMA = 10.0


@dataclass(frozen=True)
class Sample:
    """Failure loads in figures: of the loads in N, and of their natural logarithms."""

    n: int
    mean_n: float
    sd_n: float
    mean_ln: float
    sd_ln: float

    @property
    def variation(self) -> float:
        """Standard deviation over mean."""
        return self.sd_n / self.mean_n


@dataclass(frozen=True)
class Estimate:
    """A fractile of one distribution; `value_n` is None where none is above zero."""

    distribution: Distribution
    variation: float  # V, or s_y of the logarithms
    factor: float  # k_n or k_d,n
    value_n: float | None


def sample_of(loads_n: Sequence[float]) -> Sample:
    """Mean and standard deviation, by n - 1, of three failure loads or more that scatter.

    EN 1990 D.7.1 and D.7.2; BadInputError for too few, no scatter, or a load that is none.
    """
    if len(loads_n) < FEWEST:
        raise BadInputError(f"{len(loads_n)} failures given; expected {FEWEST} or more")
    if len(loads_n) > MOST_TESTS:
        raise BadInputError(f"{len(loads_n)} failures given; expected {MOST_TESTS} at most")
    loads = sorted(finite("failure load", x, 1e-6, LARGEST_N, "N") for x in loads_n)
    if loads[0] == loads[-1]:
        raise BadInputError("all failures at one load; expected loads that scatter")
    mean, sd = _moments(loads)
    mean_ln, sd_ln = _moments([math.log(x) for x in loads])
    return Sample(len(loads), mean, sd, mean_ln, sd_ln)


def _moments(values: Sequence[float]) -> tuple[float, float]:
    """Mean and standard deviation by n - 1."""
    mean = math.fsum(values) / len(values)
    return mean, math.sqrt(math.fsum((x - mean) ** 2 for x in values) / (len(values) - 1))


def fractile_factor(n: int, known: bool, below: float) -> float:
    """Factor on the standard deviation for a fractile of n tests, variation known or not.

    EN 1990 tables D1 and D2 in closed form: u or t(n - 1), times the root of 1 + 1/n.
    """
    least = 1 if known else 2
    count = int(finite("number of tests", n, least, MOST_TESTS))
    quantile = normal_quantile(1 - below) if known else student_quantile(1 - below, count - 1)
    return quantile * math.sqrt(1 + 1 / count)


def characteristic(
    sample: Sample, distribution: Distribution, known_variation: float | None = None
) -> Estimate:
    """The value that 5 % lie below: X_k = m (1 - k_n V), or exp(m_y - k_n s_y).

    EN 1990 D.7.2, without eta_d and gamma_M.
    """
    return _fractile(sample, distribution, known_variation, FRACTILE)


def direct(
    sample: Sample, distribution: Distribution, known_variation: float | None = None
) -> Estimate | None:
    """The value that 1 in 1000 lie below; None for fewer than 4 tests of unknown variation.

    EN 1990 D.7.3, without eta_d; never the product of 0.8 and 3.8 for small samples.
    """
    if known_variation is None and sample.n < FEWEST_DIRECT:
        return None
    return _fractile(sample, distribution, known_variation, DESIGN_FRACTILE)


def _fractile(
    sample: Sample, distribution: Distribution, known_variation: float | None, below: float
) -> Estimate:
    known = known_variation is not None
    factor = fractile_factor(sample.n, known, below)
    given = None
    if known_variation is not None:
        given = finite("known variation", known_variation, 1e-6, MOST_VARIATION)
    if distribution == "normal":
        spread = sample.variation if given is None else given
        value = sample.mean_n * (1 - factor * spread)
    else:
        spread = sample.sd_ln if given is None else math.sqrt(math.log(given**2 + 1))
        value = math.exp(sample.mean_ln - factor * spread)
    return Estimate(distribution, spread, factor, value if value > 0 else None)


def design_n(value_n: float, eta_d: float, gamma_m: float = 1.0) -> float:
    """Design value: eta_d X_k / gamma_M; of a value found directly gamma_M is in eta_d.

    EN 1990 D.7.2, D.7.3.
    """
    finite("value", value_n, 0, LARGEST_N, "N")
    eta = finite("eta_d", eta_d, 1e-6, 1)
    return eta * value_n / finite("gamma_M", gamma_m, 1, MOST_GAMMA)


def proof_confidence(held: int, failed: int = 0, below: float = FRACTILE) -> float:
    """How sure it is that the fractile lies at the proof load or above it.

    Binomial: the chance that more than `failed` of all tests would fail if it lay just below.
    """
    count = int(finite("tests held", held, 0, MOST_TESTS))
    lost = int(finite("tests failed", failed, 0, MOST_TESTS))
    share = finite("fractile", below, 1e-3, 1 - 1e-3)
    total = count + lost
    terms = (math.comb(total, i) * share**i * (1 - share) ** (total - i) for i in range(lost + 1))
    return 1 - math.fsum(terms)


def proof_tests_for(confidence: float, below: float = FRACTILE) -> int:
    """Fewest tests, all held, that show a fractile with this confidence.

    Binomial, no failure: the least n with 1 - (1 - p)^n at least the confidence.
    """
    wanted = finite("confidence", confidence, 1e-9, 1 - 1e-9)
    share = finite("fractile", below, 1e-3, 1 - 1e-3)
    count = max(1, math.floor(math.log(1 - wanted) / math.log(1 - share)) - 1)
    while 1 - (1 - share) ** count < wanted:
        count += 1
    return count
