"""How the value of a formula moves with one of its arguments, said in a word."""

from collections.abc import Callable, Iterable, Iterator
from itertools import product

from selector.engineering.over import Argument, Box, Direction

Breaks = Callable[[Box], Iterable[float]]


def up(name: str, unit: str = "") -> Argument:
    """It rises with this argument."""
    return Argument(name, unit, "rising")


def down(name: str, unit: str = "") -> Argument:
    """It falls with this argument."""
    return Argument(name, unit, "falling")


def turns(name: str, unit: str, *points: float) -> Argument:
    """It may turn at these points."""
    return piecewise(name, unit, lambda box: points)


def piecewise(name: str, unit: str, breaks: Breaks) -> Argument:
    """It may turn where `breaks` says, which sees all other arguments."""
    direction: Direction = "piecewise"
    return Argument(name, unit, direction, breaks)


def one_of(name: str, words: tuple[str, ...]) -> Argument:
    """One of some words."""
    return Argument(name, ", ".join(words), "choice")


def ends_of(box: Box, *names: str) -> Iterator[tuple[float, ...]]:
    """Ends of some arguments in all combinations."""
    ends: list[list[float]] = [[float(end) for end in box[name]] for name in names]
    yield from product(*ends)
