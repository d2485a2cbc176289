"""An elevated array, laid out for the engineer: what its front and rear rail lines get.

No wind coefficient of ours covers a tilted module: forces are for each kPa that somebody else
states. Where the resultant acts is not known either, so a quarter, the middle and three quarters
of the module are told.
"""

from dataclasses import dataclass

from selector import units
from selector.engineering.check import GRAVITY
from selector.engineering.overturning import Feet, Tilted, lifted, weighed
from selector.facts.actions.model import Ends, Open
from selector.facts.parts import module_of
from selector.facts.places.stack import module_size
from selector.facts.view import View
from selector.model.job import StackPlan
from selector.model.quantity import Measured
from selector.model.truth import Word

METRE, KILOGRAM, DEGREE = (
    units.parse("1 m", "length"),
    units.parse("1 kg", "mass"),
    units.parse("1 deg", "angle"),
)
KPA = 1000.0  # the pressure that the forces are for, in Pa
PLACES = (0.25, 0.5, 0.75)  # of the module, from its lower edge
RISE = 0.1  # m that a frame stands higher, for what it adds


@dataclass(frozen=True)
class CoupleRow:
    """Both lines under one force, in N; `at` is its place on the module, None is the weight."""

    at: float | None
    front_n: Ends
    rear_n: Ends
    down_slope_n: Ends


@dataclass(frozen=True)
class Couple:
    """Front and rear of one module, in N; `higher_n` is what 0.1 m of rise adds to the rear."""

    tilt_deg: float
    apart_m: float
    rows: tuple[CoupleRow, ...]  # for each kPa that lifts, then the weight where pitch is known
    higher_n: float


def couple_of(view: View, plan: StackPlan) -> Couple | Open | None:
    """Feet of a tilted module on its two drawn rail lines; None where it lies parallel."""
    array, found, size = view.binding.array, module_of(view), module_size(view)
    if array is None or array.tilt is None or size is None or found is None:
        return None
    drawn = () if plan.layout is None else plan.layout.rails
    if array.from_eave is None or not drawn:
        return Open(Word.OBSERVE, "undrawn", "layout.rails")
    width, length = (side / METRE for side in size)
    heights = sorted(rail.from_eave for rail in drawn)
    feet = [(y - array.from_eave) / METRE for y in heights[: array.rail_lines]]
    if len(feet) != 2 or not 0 <= feet[0] < feet[1] <= length:
        return Open(
            Word.ENGINEER, "engineer", "layout.rails", "other than two lines", clause="EL-3"
        )
    tilt, (front, rear) = array.tilt / DEGREE, feet
    module, higher = (Tilted(tilt, front, rear, rise) for rise in (0.0, RISE))
    force = KPA * width * length
    rows = [_row(place, [lifted(force, place * length, module)]) for place in PLACES]
    middle = length / 2
    more = lifted(force, middle, higher).rear_n - lifted(force, middle, module).rear_n
    weight = found[1].mass / KILOGRAM * GRAVITY
    weighs = [weighed(weight, middle, module, pitch) for pitch in _pitches(view)]
    rows += [_row(None, weighs)] if weighs else []
    return Couple(tilt, rear - front, tuple(rows), more)


def _row(at: float | None, feet: list[Feet]) -> CoupleRow:
    front, rear, down = (
        Ends(min(values), max(values))
        for values in (
            [f.front_n for f in feet],
            [f.rear_n for f in feet],
            [f.down_slope_n for f in feet],
        )
    )
    return CoupleRow(at, front, rear, down)


def _pitches(view: View) -> tuple[float, ...]:
    """Lowest and highest pitch in degrees; none where it was not seen."""
    value = view.read("plane.pitch").value
    if not isinstance(value, Measured):
        return ()
    ends = min(p.low for p in value.places), max(p.high for p in value.places)
    return tuple(dict.fromkeys(end / DEGREE for end in ends))
