"""A plane with what lies on it, and an array laid out on it.

All lengths are whole micrometres in the plane itself: x along the eave from its left end, y up the
slope from the eave. What is not known stands as None or an empty word, never as a zero.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

Point = tuple[int, int]
KeepOut = Literal["obstacle", "edge", "fire", "walkway", "collar"]
Joint = Literal["rigid", "sliding", "gap"]
Pattern = Literal["least", "every seam", "every second seam", "by hand"]


@dataclass(frozen=True)
class Box:
    """A rectangle with its sides along the eave and up the slope."""

    x0: int
    x1: int
    y0: int
    y1: int

    def overlaps(self, other: "Box") -> bool:
        """Whether the two share an area; a common edge is none."""
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1
        )

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its corners from the lower left, against the clock."""
        return (self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1)


@dataclass(frozen=True)
class Seam:
    """One seam, straight up the slope; `off` is how far from `x` it may lie."""

    id: str
    x: int
    off: int


@dataclass(frozen=True)
class Keep:
    """A place that modules, rails and clamps keep clear of, its clear distance included."""

    id: str
    kind: KeepOut
    box: Box


@dataclass(frozen=True)
class Margin:
    """A clear distance that modules keep to some edges of the plane."""

    id: str
    kind: KeepOut
    width: int
    edges: tuple[tuple[Point, Point], ...]


@dataclass(frozen=True)
class Divide:
    """A step, movement joint, hip or edge of other sheets: what lies across it is cut there."""

    id: str
    up_the_slope: bool  # at a distance from the left end; else at a height above the eave
    at: int


@dataclass(frozen=True)
class Zone:
    """A rectangle of the plane under one wind, with the net design pressure that lifts there.

    As large as the measures of the roof may make it; None where no pressure is known.
    """

    name: str
    wind: str
    box: Box
    lift_pa: float | None


@dataclass(frozen=True)
class Roof:
    """One plane: its outline against the clock, its seams from the left, what lies on it."""

    plane: str
    outline: tuple[Point, ...]
    seams: tuple[Seam, ...]
    keeps: tuple[Keep, ...] = ()
    margins: tuple[Margin, ...] = ()
    divides: tuple[Divide, ...] = ()
    zones: tuple[Zone, ...] = ()


@dataclass(frozen=True)
class Row:
    """A row of modules from the left; after the module of each of `breaks` nothing holds on."""

    number: int  # from the eave, 1 is the lowest
    modules: tuple[Box, ...]
    breaks: tuple[int, ...] = ()

    @property
    def box(self) -> Box:
        """All that the row covers, its gaps included."""
        first, last = self.modules[0], self.modules[-1]
        return Box(first.x0, last.x1, first.y0, first.y1)


@dataclass(frozen=True)
class ClampAt:
    """A seam clamp: its seam, its place, its worst zone with the wind, its nearest clip mark."""

    seam: str
    x: int
    y: int
    zone: str = ""
    wind: str = ""
    from_clip: int | None = None  # at least so far from it, tolerances taken off


@dataclass(frozen=True)
class Piece:
    """A rail piece that moves as one; `parts` are the lengths it is joined of, rigidly."""

    x0: int
    x1: int
    clamps: tuple[ClampAt, ...]
    parts: tuple[int, ...]

    @property
    def length(self) -> int:
        """From end to end."""
        return self.x1 - self.x0


@dataclass(frozen=True)
class Rail:
    """One rail line under a row; `joints` stand between its pieces."""

    id: str
    row: int
    line: int  # from the eave, 1 is the lowest of its row
    y: int
    pieces: tuple[Piece, ...]
    joints: tuple[Joint, ...] = ()


@dataclass(frozen=True)
class Bar:
    """One stock length and the pieces that are cut from it."""

    stock: int
    cuts: tuple[int, ...]

    @property
    def rest(self) -> int:
        """What is left of it, saw cuts not counted."""
        return self.stock - sum(self.cuts)


@dataclass(frozen=True)
class CutPlan:
    """Bars to buy and to saw; no plan needs less stock than `bound`."""

    bars: tuple[Bar, ...]
    bound: int
    proven: bool  # whether no plan is shorter
    how: str

    @property
    def stock(self) -> int:
        """Length of all bars."""
        return sum(bar.stock for bar in self.bars)


@dataclass(frozen=True)
class Placed:
    """An array laid out: rows of modules, rails with their clamps, and what is cut from what."""

    job: str
    array: str
    stack: str  # its name in the job, or that of the core
    slots: Mapping[str, str]  # slot -> part, `catalogue/name`; an empty slot is left out
    module: str
    orientation: Literal["portrait", "landscape"]
    roof: Roof
    rows: tuple[Row, ...]
    rails: tuple[Rail, ...]
    pattern: Pattern
    cut: CutPlan | None = None  # None where the catalogue names no stock lengths

    @property
    def clamps(self) -> Iterator[ClampAt]:
        """All seam clamps, rail by rail from the eave, from the left."""
        return (c for rail in self.rails for piece in rail.pieces for c in piece.clamps)
