"""How much warmer and colder rails become than on the day they are fitted."""

from dataclasses import dataclass

from selector import units
from selector.engineering.lines import weakest
from selector.engineering.movement import Steps, steps_k
from selector.facts.actions.model import Open
from selector.facts.view import View
from selector.knowledge.base import Base
from selector.model.quantity import Measured
from selector.model.truth import Word

KELVIN = units.parse("1 K", "temperature step")
CELSIUS = units.parse("1 C", "temperature")
FITTED = "plane.rail_temperature"


@dataclass(frozen=True)
class Climate:
    """Steps from the day a rail is fitted to the hottest and the coldest day.

    `opens` is what somebody has to confirm where it is this climate that lets something pass.
    """

    steps: Steps
    how: str
    status: str
    opens: tuple[Open, ...] = ()


def climate_of(base: Base) -> Climate:
    """The whole range either way: it holds whatever the day."""
    number = base.numbers["expansion_range"]
    whole = number.value.places[0].high / KELVIN
    how = f"{whole:g} K either way, whatever the day it is fitted on"
    return Climate(Steps(whole, whole), how, number.status)


def climates_of(view: View) -> tuple[Climate, ...]:
    """The whole range; and, where the metal was measured when fitted, what is left either way."""
    fitted = view.read(FITTED).value
    if not isinstance(fitted, Measured):
        return (climate_of(view.base),)
    return climate_of(view.base), fitted_between(view.base, fitted)


def fitted_between(base: Base, fitted: Measured) -> Climate:
    """From the coldest and the warmest metal on the days of fitting, tolerances and all."""
    cold, hot = base.numbers["coldest_metal"], base.numbers["hottest_metal"]
    first = min(p.low for p in fitted.places) / CELSIUS
    last = max(p.high for p in fitted.places) / CELSIUS
    low = min(cold.value.places[0].low / CELSIUS, first)
    high = max(hot.value.places[0].high / CELSIUS, last)
    steps = steps_k(low, high, first, last)
    how = f"fitted at {first:g} to {last:g} C, metal from {low:g} to {high:g} C"
    confirm = Open(Word.CONDITIONAL, "missing", "rail.temperatures", "from memory")
    return Climate(steps, how, weakest([cold.status, hot.status]), (confirm,))
