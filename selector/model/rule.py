"""Rules as parsed from their files: conditions over paths, a kind, a word."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from selector.model.quantity import Window
from selector.model.truth import Word

SUBJECTS = (
    "job",
    "plane",
    "part-on-plane",
    "contact",
    "joint",
    "stack",
    "place",
    "layout",
    "act",
)
KINDS = ("classify", "forbid", "engineer", "require", "support", "duty")
OPERATORS = (
    "is",
    "is one of",
    "within",
    "at most",
    "at least",
    "present",
    "absent",
    "passes",
    "covered by",
    "known",
)
# What each subject can talk about: role kinds that stand in its binding.
ROLES: dict[str, tuple[str, ...]] = {
    "job": ("site", "array", "request"),
    "plane": ("plane", "site", "array"),
    "part-on-plane": ("clamp", "plane", "site", "request"),
    "contact": ("contact", "plane", "site"),
    "joint": ("joint", "clamp", "plane", "array"),
    "stack": ("stack", "clamp", "rail", "plane", "array", "site", "request"),
    "place": ("place", "clamp", "plane", "stack"),
    "layout": ("layout", "rail", "stack", "array", "plane"),
    "act": ("act", "stack"),
}


class Path(NamedTuple):
    """A role kind and a name inside it, such as plane and `seam.height`."""

    role: str
    name: str

    def __str__(self) -> str:
        return f"{self.role}.{self.name}"


@dataclass(frozen=True)
class Limit:
    """One exact number of a condition."""

    dimension: str
    value: int


Operand = Path | Window | Limit | tuple[str, ...] | str | None


@dataclass(frozen=True)
class Condition:
    """One atomic condition, possibly negated; `places` is the fewest readings that prove it."""

    left: Path
    operator: str
    right: Operand = None
    negated: bool = False
    places: int = 1

    @cached_property
    def text(self) -> str:
        """Canonical text of the atom, without its negation; equal texts are one atom."""
        right = self.right
        if isinstance(right, tuple) and not isinstance(right, Path):
            shown = "[" + ", ".join(sorted(right)) + "]"
        elif isinstance(right, Limit):
            shown = f"{right.value} {right.dimension}"
        else:
            shown = "" if right is None else str(right)
        tail = f" at {self.places} places" if self.places > 1 else ""
        return f"{self.left} {self.operator} {shown}".rstrip() + tail

    @cached_property
    def roles(self) -> frozenset[str]:
        """Roles of the paths that it compares."""
        return frozenset(p.role for p in (self.left, self.right) if isinstance(p, Path))


Group = tuple[Condition, ...]  # alternatives: any one of them


@dataclass(frozen=True)
class Rule:
    """One rule file."""

    id: str
    title: str
    kind: str
    subject: str
    aspect: str | None
    roles: dict[str, str]  # letter in the file -> role kind
    when: tuple[Group, ...]
    message: str
    why: str
    help: str
    who_is_hurt: str
    trade: tuple[str, ...]
    source: str
    basis: str
    status: str
    since: str
    file: str
    line: int
    require: tuple[Condition, ...] = ()
    then: Condition | None = None
    otherwise: Word | None = None
    duty: str | None = None  # standing | condition
    proves: tuple[str, ...] = ()
    excepts: tuple[str, ...] = ()
    gate: str | None = None
    lifted: str | None = None
    moves: tuple[str, ...] = ()
    never_default: tuple[str, ...] = ()
    reviewed: str = ""
    first: str = ""  # path to look at first when the rule asks

    @property
    def word(self) -> Word | None:
        """The word the rule gives when it fires; None where it derives, supports or is said."""
        if self.kind == "forbid":
            return Word.FORBIDDEN
        if self.kind == "engineer":
            return Word.ENGINEER
        if self.kind == "require":
            return self.otherwise
        if self.kind == "duty" and self.duty == "condition":
            return Word.CONDITIONAL
        return None

    @property
    def gives(self) -> tuple[str, ...]:
        """What the rule gives in words: its word or duty or gate, its proofs, what it derives."""
        word = f"gate {self.gate}" if self.gate else self.word.text if self.word else None
        if self.duty is not None:
            word = self.duty
        derived = None if self.then is None else f"{self.then.left} {self.then.right}"
        return tuple(g for g in (word, *self.proves, derived) if g)

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """Every condition of the rule, guard first."""
        return (*(c for group in self.when for c in group), *self.require)


@dataclass(frozen=True)
class Need:
    """A proof that a subject must bring before any yes; silence never supports."""

    name: str
    subject: str
    aspect: str
    text: str
    lifted: str


@dataclass(frozen=True)
class Ask:
    """How a person is asked for something that is open."""

    path: str
    ask: str
    how: str
    who: str
    effort: int


@dataclass(frozen=True)
class Case:
    """One case of a rule: what is given, what is expected."""

    rule: str
    name: str
    given: dict[str, object]
    parts: dict[str, str]
    expect: str
    file: str
    line: int
    reasons: tuple[tuple[str, ...], ...] | None = None
    asks: tuple[str, ...] | None = None
    gives: tuple[str, ...] | None = None  # see Rule.gives


@dataclass(frozen=True)
class Quantity:
    """One entry of the vocabulary: what may be observed, how well, and how to ask for it."""

    path: Path
    dimension: str  # `choice` or a dimension of units
    ask: str
    how: str
    words: tuple[str, ...] = ()
    tools: dict[str, int] = field(default_factory=dict)  # tool -> tolerance; share: per million
    relative_tools: frozenset[str] = frozenset()
    places: int = 1
    plausible: tuple[int | None, int | None] = (None, None)
    by: tuple[str, ...] = ()  # the ways of looking that alone settle it; none: any does
    not_by: tuple[str, ...] = ()  # ways of looking that settle nothing
    split: bool = False
    derived: bool = False
    default: str | None = None
    stacked: bool = False  # words may be layered, outermost first
    said: bool = False  # a person's word is enough; no `how` asked
    setting: bool = False  # chosen, not observed
    lifted: str = "roof"
    effort: int = 2
    observation: str = ""
    unit: str = ""  # in which one answers

    def settled_by(self, way: str) -> bool:
        """Whether a way of looking settles it, such as the cut edge of a sheet its metal."""
        lower = way.lower()
        told = not self.by or any(word in lower for word in self.by)
        return told and not any(word in lower for word in self.not_by)
