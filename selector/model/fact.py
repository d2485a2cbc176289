"""Facts with their origin, the readings that rules see, and atoms with their bits."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

from selector.model.quantity import Value
from selector.model.truth import Bits

STATUSES = (
    "published",
    "measured",
    "common practice",
    "judgement",
    "from memory",
    "invented",
)


@dataclass(frozen=True, order=True)
class Fact:
    """One thing that holds, where it stands and how good it is."""

    path: str  # role and name, such as `plane.seam.height`
    entity: str  # which plane, part or record
    shown: str
    origin: str = ""  # file:line
    seen: str = ""  # how and by whom, or which source
    status: str = "measured"


Reason = frozenset[Fact]
Reasons = tuple[Reason, ...]  # an antichain: no reason holds another one
NO_REASON: Reasons = ()
TRIVIAL: Reasons = (frozenset(),)
MOST_REASONS = 64


def absorb(reasons: Iterable[Reason]) -> Reasons:
    """Drop every reason that holds a smaller one; deterministic order, at most 64."""
    distinct = set(reasons)
    if len(distinct) < 2:
        return tuple(distinct)
    kept: list[Reason] = []
    for reason in sorted(distinct, key=lambda r: (len(r), sorted(r))):
        if not any(k <= reason for k in kept):
            kept.append(reason)
    return tuple(kept[:MOST_REASONS])


def any_of(parts: Iterable[Reasons]) -> Reasons:
    """Reasons of a disjunction: the union."""
    return absorb(r for part in parts for r in part)


def all_of(parts: Iterable[Reasons]) -> Reasons:
    """Reasons of a conjunction: every way to take one reason of each part."""
    total: Reasons = TRIVIAL
    for part in parts:
        total = absorb(a | b for a, b in product(total, part))
    return total


@dataclass(frozen=True)
class Cover:
    """Whether some record covers a link: its bits, and the records that do or may."""

    bits: Bits
    yes: Reasons
    no: Reasons
    surely: tuple[str, ...] = ()  # record ids
    possibly: tuple[str, ...] = ()

    def __str__(self) -> str:
        if self.surely:
            return "record " + " and ".join(self.surely)
        return "perhaps record " + " or ".join(self.possibly) if self.possibly else "no record"


@dataclass(frozen=True)
class Reading:
    """What a path gives in one subject: its value, why, and what to ask if it is open."""

    value: Value | Cover
    because: Reasons
    path: str
    entity: str = ""
    asks: tuple[str, ...] = ()  # paths to look at; the path itself where empty

    @property
    def open_paths(self) -> tuple[str, ...]:
        """Paths that a person would have to look at to settle this reading."""
        return self.asks or (self.path,)


@dataclass(frozen=True)
class Atom:
    """One condition in one subject: its bits, why yes, why no, what would settle it."""

    text: str
    bits: Bits
    yes: Reasons
    no: Reasons
    asks: tuple[str, ...] = ()
    limit: str = ""  # what an open observation must meet
