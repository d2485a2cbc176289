"""Quantiles of the normal and of Student's central t distribution, to 1e-10 of themselves.

Both are found by Newton's method from below: above zero a distribution function bends down, so
that no step goes too far.
"""

import math

from selector.engineering.lines import BadInputError, finite

MOST_DEGREES = 100_000
LEAST_TAIL = 1e-5
STEPS = 200  # the slowest, one degree of freedom and the least tail, takes some 20


def normal_quantile(share: float) -> float:
    """Value below which a share of the standard normal distribution lies.

    M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions (1964), 26.2.2 and 7.1.2.
    """
    share = _share(share)
    if share < 0.5:
        return -normal_quantile(1 - share)
    found, tail = 0.0, 1 - share
    for _ in range(STEPS):
        density = math.exp(-found * found / 2) / math.sqrt(2 * math.pi)
        step = (math.erfc(found / math.sqrt(2)) / 2 - tail) / density
        if step <= found * 1e-15:
            break
        found += step
    return found


def student_quantile(share: float, degrees: int) -> float:
    """Value below which a share of Student's central t distribution lies.

    M. Abramowitz, I. A. Stegun, Handbook of Mathematical Functions (1964), 26.7.1, 26.7.3, 26.7.4.
    """
    share = _share(share)
    if isinstance(degrees, bool) or not isinstance(degrees, int):
        raise BadInputError(f"degrees of freedom are {degrees!r}; expected a whole number")
    finite("degrees of freedom", degrees, 1, MOST_DEGREES)
    if share < 0.5:
        return -student_quantile(1 - share, degrees)
    found, tail = normal_quantile(share), 1 - share
    constant = math.lgamma((degrees + 1) / 2) - math.lgamma(degrees / 2)
    constant -= math.log(degrees * math.pi) / 2
    for _ in range(STEPS):
        bend = -(degrees + 1) / 2 * math.log1p(found * found / degrees)
        step = (_student_tail(found, degrees) - tail) / math.exp(constant + bend)
        if step <= found * 1e-15:
            break
        found += step
    return found


def _share(share: float) -> float:
    return finite("share of the values", share, LEAST_TAIL, 1 - LEAST_TAIL)


def _student_tail(value: float, degrees: int) -> float:
    """Share of the values above `value`, which is not negative; finite sums of the handbook."""
    angle = math.atan(value / math.sqrt(degrees))
    square = math.cos(angle) ** 2
    odd = degrees % 2 == 1
    term = math.cos(angle) if odd else 1.0
    total = 0.0
    for j in range((degrees - 1) // 2 if odd else degrees // 2):
        total += term
        term *= square * ((2 * j + 2) / (2 * j + 3) if odd else (2 * j + 1) / (2 * j + 2))
    inside = math.sin(angle) * total
    return (1 - (2 / math.pi * (angle + inside) if odd else inside)) / 2
