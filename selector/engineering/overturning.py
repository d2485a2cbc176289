"""Front and rear feet of a tilted module: what a force on it asks of the two lines that carry it.

Along the roof x counts up the slope, y away from the roof. The module rises from its lower edge
by `tilt_deg` over the roof; its feet stand on the roof surface.
Source: statics, moments about the front foot.
"""

import math
from dataclasses import dataclass

from selector.engineering.lines import BadInputError, finite

FORCE_N = (0.0, 1e6)
LENGTH_M = (0.0, 10.0)
TILT_DEG = (0.0, 89.0)
PITCH_DEG = (0.0, 89.0)


@dataclass(frozen=True)
class Tilted:
    """A tilted module over its feet, in m from the lower edge along the roof.

    `rise_m` is how far the lower edge stands above the feet.
    """

    tilt_deg: float
    front_m: float
    rear_m: float
    rise_m: float = 0.0


@dataclass(frozen=True)
class Feet:
    """Forces of the two lines together with the roof, in N: away from it is above zero."""

    front_n: float
    rear_n: float
    down_slope_n: float


def lifted(force_n: float, at_m: float, module: Tilted) -> Feet:
    """A force along the normal of the module, away from the roof, `at_m` from its lower edge.

    BadInputError for figures that cannot be.
    """
    force = finite("force on a module", force_n, *FORCE_N, "N")
    tilt = math.radians(finite("tilt of a module", module.tilt_deg, *TILT_DEG, "deg"))
    return _feet(-force * math.sin(tilt), force * math.cos(tilt), at_m, module)


def weighed(weight_n: float, at_m: float, module: Tilted, pitch_deg: float) -> Feet:
    """The weight of a module on a roof of a pitch, its middle `at_m` from the lower edge."""
    weight = finite("weight of a module", weight_n, *FORCE_N, "N")
    pitch = math.radians(finite("pitch", pitch_deg, *PITCH_DEG, "deg"))
    return _feet(-weight * math.sin(pitch), -weight * math.cos(pitch), at_m, module)


def _feet(along_n: float, away_n: float, at_m: float, module: Tilted) -> Feet:
    at = finite("place on a module", at_m, *LENGTH_M, "m")
    front = finite("front foot", module.front_m, *LENGTH_M, "m")
    rear = finite("rear foot", module.rear_m, *LENGTH_M, "m")
    rise = finite("rise of a module", module.rise_m, *LENGTH_M, "m")
    if rear <= front:
        raise BadInputError(f"rear foot at {rear:g} m; expected above the front one, {front:g} m")
    tilt = math.radians(finite("tilt of a module", module.tilt_deg, *TILT_DEG, "deg"))
    x, y = at * math.cos(tilt), rise + at * math.sin(tilt)
    moment = (x - front) * away_n - y * along_n
    back = moment / (rear - front)
    return Feet(away_n - back, back, -along_n)
