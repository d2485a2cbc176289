"""The one value of a sample that stands out most, and whether it stands out too far."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from selector.engineering.annex_d import sample_of
from selector.engineering.quantiles import student_quantile

LEVEL = 0.05  # both sides together


@dataclass(frozen=True)
class Outlier:
    """Place of the value in the sample, its distance from the mean in standard deviations."""

    index: int
    distance: float
    limit: float

    @property
    def out(self) -> bool:
        """Whether it stands out too far."""
        return self.distance > self.limit


def farthest(loads_n: Sequence[float]) -> Outlier:
    """The load that is farthest from the mean, with the limit of Grubbs at 5 %, two-sided.

    F. E. Grubbs, Procedures for detecting outlying observations in samples, Technometrics 11
    (1969), 1 to 21. It takes loads as normal, finds one value only, and decides nothing.
    """
    sample = sample_of(loads_n)
    index = max(range(sample.n), key=lambda i: (abs(loads_n[i] - sample.mean_n), -loads_n[i]))
    distance = abs(loads_n[index] - sample.mean_n) / sample.sd_n
    return Outlier(index, distance, grubbs_limit(sample.n))


def grubbs_limit(n: int, level: float = LEVEL) -> float:
    """Largest distance over standard deviation that n normal values show by chance.

    Grubbs 1969: (n - 1) / sqrt(n) times sqrt(t^2 / (n - 2 + t^2)), t at level / (2 n), n - 2.
    """
    t = student_quantile(1 - level / (2 * n), n - 2)
    return (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))
