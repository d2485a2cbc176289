"""Values of facts: readings with tolerance, candidates, windows, and the unknown."""

from dataclasses import dataclass
from typing import NamedTuple

from selector import units

MOST_SHOWN = 99  # times a capacity; whatever is more is shown as that


class Place(NamedTuple):
    """One reading with its tolerance, as a closed interval of canonical units."""

    low: int
    high: int


@dataclass(frozen=True)
class Measured:
    """Readings at several places; spread between places is never merged into tolerance."""

    dimension: str
    places: tuple[Place, ...]

    def __str__(self) -> str:
        def one(place: Place) -> str:
            middle = units.show((place.low + place.high) // 2, self.dimension)
            half = (place.high - place.low) // 2
            return middle if half == 0 else f"{middle} +-{units.show(half, self.dimension)}"

        shown = sorted(set(self.places))
        if len(shown) == 1:
            return one(shown[0])
        return f"{one(shown[0])} to {one(shown[-1])} at {len(self.places)} places"


@dataclass(frozen=True)
class Candidates:
    """Words that a choice can still be; one word left means it is known."""

    left: frozenset[str]

    def __str__(self) -> str:
        return " or ".join(sorted(self.left))


@dataclass(frozen=True)
class Unknown:
    """Nothing usable is known; `why` is one of the kinds of the job file."""

    why: str

    def __str__(self) -> str:
        return "not known" if self.why == "not asked" else f"not known ({self.why})"


@dataclass(frozen=True)
class Window:
    """A closed range of a catalogue or table; None is an open end."""

    dimension: str
    low: int | None
    high: int | None

    def __str__(self) -> str:
        return units.show_window(self.low, self.high, self.dimension)

    def holds(self, place: Place) -> bool:
        """Whether the whole interval lies inside; touching a limit is inside."""
        return (self.low is None or place.low >= self.low) and (
            self.high is None or place.high <= self.high
        )

    def touches(self, place: Place) -> bool:
        """Whether some value of the interval lies inside."""
        return (self.low is None or place.high >= self.low) and (
            self.high is None or place.low <= self.high
        )


@dataclass(frozen=True)
class Windows:
    """One window for each candidate that is still open; all or any of them may count."""

    each: tuple[Window, ...]

    def __str__(self) -> str:
        return " or ".join(sorted(map(str, self.each)))


def shown_share(share: float) -> str:
    """A demand over a capacity; without bound where there is no capacity at all."""
    return f"{share:.2f}" if share <= MOST_SHOWN else "over 99"


@dataclass(frozen=True)
class Ratio:
    """Demand over capacity as an interval; at most 1 passes, equality included."""

    low: float
    high: float

    def __str__(self) -> str:
        low, high = shown_share(self.low), shown_share(self.high)
        return low if low == high else f"{low} to {high}"


@dataclass(frozen=True)
class Filled:
    """Whether a slot or a paper is there: always known (closed world); `what` names it."""

    what: str | None

    def __str__(self) -> str:
        return self.what or "none"


@dataclass(frozen=True)
class Text:
    """A text of the base that no rule compares, for messages."""

    text: str

    def __str__(self) -> str:
        return self.text


Value = Measured | Candidates | Unknown | Window | Windows | Ratio | Filled | Text
