"""Intervals through formulas: evaluated at all ends and breakpoints, never in between.

A formula declares for each argument how its value moves with it. Between two breakpoints of an
argument the formula must rise or fall, whatever the other arguments are.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any, Literal

from selector.engineering.lines import BadInputError, Outside, finite

MOST = 4096  # combinations
Interval = tuple[float, float]
Words = tuple[str, ...]
Box = Mapping[str, Interval | Words]
Direction = Literal["rising", "falling", "piecewise", "choice"]
LARGEST = 1e12


@dataclass(frozen=True)
class Argument:
    """One argument: unit, direction, and for piecewise ones where the direction may turn.

    `breaks` sees the whole box, since a turning point may hang on the other arguments.
    """

    name: str
    unit: str
    direction: Direction
    breaks: Callable[[Box], Iterable[float]] | None = None


@dataclass(frozen=True)
class Formula:
    """A named function of numbers and words, with what `over` must know of it."""

    name: str
    function: Callable[..., float | Outside]
    unit: str
    clause: str
    arguments: tuple[Argument, ...]
    separate: "Composite | None" = None  # used above 4096 combinations


@dataclass(frozen=True)
class Composite:
    """A formula of formulas, whose turning points have no closed form.

    Each inner formula gets a hull of its own; arguments that two of them share count as
    independent, so the hull is wider than need be, never narrower.
    """

    name: str
    outer: Formula
    inner: Mapping[str, "Formula | Composite"]  # argument of `outer` -> where it comes from

    @property
    def unit(self) -> str:
        """Unit of the outer formula."""
        return self.outer.unit


@dataclass(frozen=True)
class Hull:
    """Range of a formula over a box; `separate` if it is wider than need be."""

    low: float
    high: float
    separate: bool = False


def over(formula: Formula | Composite, box: Box) -> Hull | Outside:
    """Hull of a formula over intervals, or Outside if any part of the box leaves its range.

    BadInputError for a missing, unknown or reversed interval, and for too many combinations.
    """
    if isinstance(formula, Composite):
        return _composite(formula, box)
    names = [argument.name for argument in formula.arguments]
    unknown = sorted(set(box) ^ set(names))
    if unknown:
        raise BadInputError(f"{formula.name} reads {', '.join(names)}; not so: {unknown[0]}")
    points = [_points(formula, argument, box) for argument in formula.arguments]
    count = math.prod(len(p) for p in points)
    if count > MOST:
        if formula.separate is not None:
            return _composite(formula.separate, box)
        text = f"{formula.name} over {count} combinations; expected at most {MOST}"
        raise BadInputError(f"{text}: narrow the intervals, or give it in parts")
    low, high = math.inf, -math.inf
    for values in product(*points):
        found = formula.function(*values)
        if isinstance(found, Outside):
            return found
        low, high = min(low, found), max(high, found)
    return Hull(low, high)


def _composite(formula: Composite, box: Box) -> Hull | Outside:
    outer: dict[str, Any] = {}
    used: set[str] = set()
    for argument in formula.outer.arguments:
        part = formula.inner.get(argument.name)
        if part is None:
            outer[argument.name] = _of(box, formula.name, argument.name)
            used.add(argument.name)
            continue
        needed = names_of(part)
        hull = over(part, {name: _of(box, formula.name, name) for name in needed})
        if isinstance(hull, Outside):
            return hull
        used |= set(needed)
        outer[argument.name] = (hull.low, hull.high)
    if set(box) - used:
        raise BadInputError(f"{formula.name} does not read {sorted(set(box) - used)[0]}")
    found = over(formula.outer, outer)
    return found if isinstance(found, Outside) else Hull(found.low, found.high, True)


def names_of(formula: Formula | Composite) -> tuple[str, ...]:
    """Names of all arguments that a box for this formula must hold."""
    if isinstance(formula, Formula):
        return tuple(argument.name for argument in formula.arguments)
    names: list[str] = []
    for argument in formula.outer.arguments:
        part = formula.inner.get(argument.name)
        names += (argument.name,) if part is None else names_of(part)
    return tuple(dict.fromkeys(names))


def _of(box: Box, formula: str, name: str) -> Any:
    if name not in box:
        raise BadInputError(f"{formula} needs {name}")
    return box[name]


def _points(formula: Formula, argument: Argument, box: Box) -> list[float] | list[str]:
    """Ends and breakpoints of one argument, or its words."""
    given = box[argument.name]
    if argument.direction == "choice":
        words = [word for word in given if isinstance(word, str)]
        if not words or len(words) != len(given):
            raise BadInputError(f"{argument.name} is {given!r}; expected one word or more")
        return words
    low, high = interval(f"{argument.name} of {formula.name}", given, argument.unit)
    inner = argument.breaks(box) if argument.breaks else ()
    return sorted({low, high, *(point for point in inner if low < point < high)})


def interval(name: str, given: Sequence[Any], unit: str, least: float = -LARGEST) -> Interval:
    """Both ends of an interval; BadInputError unless they are numbers, the lower one first."""
    if len(given) != 2:
        raise BadInputError(f"{name} is {given!r}; expected a lower and an upper end")
    low, high = (finite(name, end, least, LARGEST, unit) for end in given)
    if low > high:
        raise BadInputError(f"{name} is {low:g} to {high:g}; expected the lower end first")
    return low, high
