"""What a base knows of every kit: things to take along and to leave, spares, figures."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from selector.model.rule import Group

# Counted things that have spares, by the ids of `kb/kits/spares.yaml`.
SPARED = (
    *("clamp", "set_screw", "insert", "inlay", "adapter", "bolts"),
    *("mid_clamp", "end_clamp", "end_cap", "cable_clip"),
)
HOLES = ("clamp", "torque", "tip", "order")  # of a text of the kit
WHOLE = 1_000_000  # 100 % as a share


@dataclass(frozen=True)
class KitItem:
    """A tool, a consumable, a label, a paper, or something that must not be in the box."""

    id: str
    text: str
    why: str
    number: int
    unit: str
    when: tuple[Group, ...]  # goes along while all of it is possible
    there: tuple[Group, ...]  # the job has it already where all of it is sure; empty: never
    must: bool  # not released without it
    source: str
    status: str
    origin: str


@dataclass(frozen=True)
class Spare:
    """A share in millionths, and the fewest."""

    share: int
    at_least: int
    source: str
    status: str

    def of(self, counted: int) -> int:
        """Spares for so many, whole and rounded up; none for nothing."""
        return max(-(-counted * self.share // WHOLE), self.at_least) if counted else 0

    @property
    def percent(self) -> int:
        """The share in whole per cent."""
        return self.share * 100 // WHOLE


@dataclass(frozen=True)
class KitBook:
    """All rows of `kb/kits/`."""

    tools: tuple[KitItem, ...] = ()
    consumables: tuple[KitItem, ...] = ()
    labels: tuple[KitItem, ...] = ()
    papers: tuple[KitItem, ...] = ()
    leave_out: tuple[KitItem, ...] = ()
    spares: Mapping[str, Spare] = field(default_factory=dict)
    figures: Mapping[str, int] = field(default_factory=dict)  # lengths in micrometres

    @property
    def items(self) -> tuple[KitItem, ...]:
        """Everything that is worded."""
        return (*self.tools, *self.consumables, *self.labels, *self.papers, *self.leave_out)
