"""What came of a layout, and the same layout as somebody would have drawn it in the job file."""

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from selector.facts.actions.model import Loads, Open
from selector.facts.links.clip_sums import ClipSums
from selector.facts.places.clip_answer import ClipAnswer
from selector.facts.places.heights import Heights
from selector.facts.places.stack import Limits
from selector.inference.answer import Option
from selector.layout.faults import Fault
from selector.layout.model import Placed
from selector.layout.stretch import Fault as Flaw
from selector.layout.stretch import Found
from selector.model.job import Array, Job, Layout, Line, RailLine, StackPlan, Worked
from selector.model.truth import Word


@dataclass(frozen=True)
class Elsewhere:
    """Where along the eave seams would carry every rail piece: shift, corner, breaks, their gap."""

    by: int
    left: int
    breaks: tuple[int, ...]
    gap: int


@dataclass(frozen=True)
class Repair:
    """What was changed until the layout held: rail lines moved, or clamps added, from and to."""

    kind: Literal["lines", "clamps"]
    before: int
    after: int


@dataclass(frozen=True)
class RailLineFound:
    """One rail line: its clamps with their forces, and every limit that is passed."""

    rail: str
    row: int
    found: tuple[Found, ...]  # one a piece


@dataclass(frozen=True)
class LaidOut:
    """All that came of it; `placed` is None where no rail can be drawn."""

    job: Job
    plan: StackPlan
    array: Array
    loads: Loads
    option: Option  # the stack with this layout, judged by the rules
    word: Word
    opens: tuple[Open, ...] = ()
    faults: tuple[Fault, ...] = ()
    placed: Placed | None = None
    lines: tuple[RailLineFound, ...] = ()
    limits: Limits | None = None
    heights: Heights | None = None
    added: tuple[int, ...] = ()  # breaks of a row that the job does not name
    unjoined: tuple[str, ...] = ()  # why a row cannot be parted, or a piece not be joined
    worked: dict[str, Worked] = field(default_factory=dict)  # figures that follow from it
    lacking: tuple[Open, ...] = ()  # what figures of sliding wait for
    sums: ClipSums | None = None  # every clip under all clamps
    repairs: tuple[Repair, ...] = ()
    sketch: Placed | None = None  # plane and modules alone, where no rail can be drawn
    clips: ClipAnswer | None = None  # what the clips leave of the heights
    elsewhere: Elsewhere | None = None
    nowhere: bool = False  # no pattern carries the rails, nor would one nearby

    @property
    def impossible(self) -> tuple[Fault, ...]:
        """What cannot be at all: bad input."""
        return tuple(f for f in self.faults if not f.possible)

    @property
    def flaws(self) -> tuple[tuple[str, Flaw], ...]:
        """Limits that the clamps of a rail line pass."""
        return tuple(
            (line.rail, flaw)
            for line in self.lines
            for found in line.found
            for flaw in found.faults
        )


def crossed_seams(placed: Placed) -> list[str]:
    """Seams under the rails, from the left."""
    x0 = min(piece.x0 for rail in placed.rails for piece in rail.pieces)
    x1 = max(piece.x1 for rail in placed.rails for piece in rail.pieces)
    return [s.id for s in placed.roof.seams if x0 <= s.x - s.off and s.x + s.off <= x1]


def as_drawn(placed: Placed, drawn: Layout | None) -> Layout:
    """A laid-out array as a layout of the job file."""
    left = placed.rows[0].box.x0
    seams: dict[str, tuple[int, ...]] = {}
    for clamp in placed.clamps:
        seams[clamp.seam] = (*seams.get(clamp.seam, ()), clamp.y)
    rails: list[RailLine] = []
    splices: dict[str, tuple[str, ...]] = {}
    for rail in placed.rails:
        cuts = [(a.x1 + b.x0) // 2 - left for a, b in pairwise(rail.pieces)]
        rails.append(RailLine(rail.id, rail.y, tuple(cuts)))
        if cuts:
            splices[rail.id] = tuple(rail.joints)
    clamps: str | dict[str, tuple[int, ...]] = seams
    if placed.pattern in ("every seam", "every second seam"):
        clamps = placed.pattern
    lines = tuple(Line(d.id, d.up_the_slope, d.at) for d in placed.roof.divides)
    collar = drawn.collar_distance if drawn is not None else None
    return Layout(tuple(rails), clamps, splices, 0, lines, collar)
