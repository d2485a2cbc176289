"""What a torque wrench can be trusted with.

ISO 6789, type II, class A, as reviewed in a manual: the limit follows the largest torque of the
tool, which is checked from a fifth of it upwards. The device it is checked on may be 1 % off.
"""

from dataclasses import dataclass

from selector.engineering.lines import Outside, finite

SMALL_NM = 10.0  # tools up to here are less exact
LIMIT_SMALL = 0.06
LIMIT = 0.04
CHECKED_FROM = 0.2  # of the largest torque
MOST_NM = 1e12
CLAUSE = "ISO 6789, type II, class A"


@dataclass(frozen=True)
class Scatter:
    """What a set torque may be in truth."""

    low_nm: float
    high_nm: float
    share: float


def scatter(torque_nm: float, lowest_nm: float, highest_nm: float) -> Scatter | Outside:
    """The torques that a checked wrench may give when it is set to one, or Outside its range.

    ISO 6789: 4 % where the largest torque of the tool is above 10 Nm, else 6 %; from 20 % of it on.
    """
    torque = finite("torque", torque_nm, 1e-3, MOST_NM, "Nm")
    highest = finite("highest torque of the wrench", highest_nm, 1e-3, MOST_NM, "Nm")
    lowest = finite("lowest torque of the wrench", lowest_nm, 0.0, highest, "Nm")
    least = max(lowest, CHECKED_FROM * highest)
    if not least <= torque <= highest:
        return Outside("torque", f"{torque:g} Nm", f"{least:g} to {highest:g} Nm", CLAUSE)
    share = LIMIT if highest > SMALL_NM else LIMIT_SMALL
    return Scatter(torque * (1 - share), torque * (1 + share), share)
