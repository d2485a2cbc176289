"""What a calculation leaves behind: its lines, its weakest status, or the range it left."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

# What a number is worth, best first. A result is worth what the weakest of its inputs is worth.
STATUSES = (
    "published",
    "measured",
    "statics",
    "stricter judgement",
    "common practice",
    "judgement",
    "from memory",
    "conflict",
    "invented",
)
# Such a number lets something pass that nobody has confirmed: at most conditional, and named.
TO_CONFIRM = frozenset({"judgement", "from memory", "conflict"})


class BadInputError(ValueError):
    """A figure that cannot be one; the text says what was given and what was expected."""


@dataclass(frozen=True)
class Given:
    """A figure that somebody states: value in the unit of its place, source and status."""

    value: float
    source: str
    status: str
    origin: str = ""  # file:line


@dataclass(frozen=True)
class Ref:
    """Where a row of a code stands, and what it is worth."""

    clause: str
    source: str
    status: str
    origin: str = ""  # file:line


@dataclass(frozen=True)
class Line:
    """One line of a calculation; `inputs` are symbols of lines before it.

    `status` is the weakest of the line itself and of everything it rests on.
    """

    symbol: str
    value: float | str
    unit: str
    clause: str
    source: str
    status: str
    inputs: tuple[str, ...] = ()
    how: str = ""  # the formula, or what the symbol is
    origin: str = ""


@dataclass(frozen=True)
class Outside:
    """No number: an input lies outside what a clause covers. The word for it is engineer."""

    what: str
    given: str
    allowed: str
    clause: str

    def __str__(self) -> str:
        return f"{self.what} is {self.given}; {self.clause} covers {self.allowed}"


@dataclass(frozen=True)
class Sheet:
    """The lines of one calculation in the order in which they were worked out."""

    lines: tuple[Line, ...]
    trial: bool = False  # worked out with a code on trial: never better than engineer

    def line(self, symbol: str) -> Line:
        """The line of a symbol; KeyError where there is none."""
        for line in self.lines:
            if line.symbol == symbol:
                return line
        raise KeyError(symbol)

    def value(self, symbol: str) -> float:
        """The number of a symbol; KeyError where there is none."""
        found = self.line(symbol).value
        if isinstance(found, str):
            raise KeyError(symbol)
        return found

    @property
    def status(self) -> str:
        """What the whole sheet is worth."""
        return weakest(line.status for line in self.lines)

    @property
    def at_best(self) -> str:
        """The best word that a proof on this sheet may get."""
        if self.trial:
            return "engineer"
        return "conditional" if self.to_confirm else "allowed"

    @property
    def to_confirm(self) -> tuple[Line, ...]:
        """Lines whose own number somebody has to look up or to answer for."""
        return tuple(x for x in self.lines if x.status in TO_CONFIRM and not x.inputs)


def weakest(statuses: Iterable[str]) -> str:
    """The weakest of some statuses; of none it is `statics`."""
    return max(statuses, key=STATUSES.index, default="statics")


class Ledger:
    """Lines in the making."""

    def __init__(self, source: str, before: Sheet | None = None):
        self.source = source
        self.lines = {x.symbol: x for x in before.lines} if before else {}
        self.trial = before.trial if before else False

    def given(self, symbol: str, given: Given, unit: str, how: str = "") -> float:
        """Enter what somebody stated."""
        if given.status not in STATUSES:
            known = ", ".join(STATUSES)
            raise BadInputError(f"status of {symbol} is `{given.status}`; expected one of {known}")
        where = "given", given.source, given.status
        self._enter(Line(symbol, given.value, unit, *where, (), how, given.origin))
        return given.value

    def row(self, symbol: str, value: float | str, unit: str, ref: Ref, how: str = "") -> None:
        """Enter a row of a code."""
        origin = ref.origin
        self._enter(Line(symbol, value, unit, ref.clause, ref.source, ref.status, (), how, origin))

    def work(
        self,
        symbol: str,
        value: float | str,
        unit: str,
        clause: str,
        how: str,
        inputs: tuple[str, ...],
    ) -> None:
        """Enter what was worked out of lines before it; KeyError for an unknown input."""
        own = "statics" if clause == "statics" else "published"
        status = weakest([own, *(self.lines[name].status for name in inputs)])
        source = clause if clause == "statics" else self.source
        self._enter(Line(symbol, value, unit, clause, source, status, inputs, how))

    def sheet(self, trial: bool = False) -> Sheet:
        """The lines so far."""
        return Sheet(tuple(self.lines.values()), trial or self.trial)

    def _enter(self, line: Line) -> None:
        if self.lines.get(line.symbol, line) != line:
            raise KeyError(f"two lines for `{line.symbol}`")
        self.lines[line.symbol] = line


def finite(name: str, value: float, low: float, high: float, unit: str = "") -> float:
    """`value` if it is a number from `low` to `high`; BadInputError says what was expected.

    The ends are what nobody means by such a figure, not the range of a clause.
    """
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not math.isfinite(value) or not low <= value <= high:
        shown = f" {unit}" if unit else ""
        wanted = f"a number from {low:g} to {high:g}{shown}"
        raise BadInputError(f"{name} is {value!r}{shown}; expected {wanted}")
    return float(value)


def interpolate(x: float, x0: float, y0: float, x1: float, y1: float) -> float:
    """Straight line through two points, exact at both."""
    if x == x1:
        return y1
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
