"""Contacts: two metals that touch, or one whose water runs onto the other."""

from dataclasses import dataclass

ON_SHEET, BETWEEN, ABOVE = "on the sheet", "between parts", "above"
PLACES = (ON_SHEET, BETWEEN, ABOVE)
# Wetted area that a role brings, from the least up. Judgement: only their order counts.
SIZES = ("fastener", "part", "surface")
ROLES = {
    "set screw": "fastener",
    "bolt": "fastener",
    "rivet": "fastener",
    "screw": "fastener",
    "bonding wire": "fastener",
    "jaw": "part",
    "body": "part",
    "insert": "part",
    "adapter": "part",
    "cross connector": "part",
    "module clamp": "part",
    "part": "part",
    "rail": "surface",
    "frame": "surface",
    "module frame": "surface",
    "sheet": "surface",
    "flashing": "surface",
}
PIECES = {"set screw": "screw", "module frame": "frame"}  # what is only a piece of its part
ISOLATIONS = ("none", "listed", "not listed")
BRIDGES = ("none", "set screw", "bonding wire")


@dataclass(frozen=True, order=True)
class Side:
    """One side of a contact: what it is and of which metal, as far as somebody knows.

    Without a metal it is read from the roof where the role is `sheet`; else nobody knows it.
    """

    role: str  # a key of ROLES
    metal: str | None = None  # a word of the vocabulary, or a substance such as bitumen
    coating: tuple[str, ...] = ("none",)  # outermost first
    grade: str = "unknown"
    point: str = ""  # of a screw that presses on the other side
    part: str = ""  # part id; empty where it stands for itself
    area: str = ""  # a word of SIZES; empty: that of its role

    @property
    def size(self) -> str:
        """Which wetted area it brings."""
        return self.area or ROLES[self.role]

    @property
    def piece(self) -> str:
        """The piece of its part that touches; empty for the whole part."""
        return PIECES.get(self.role, "")

    @property
    def metal_text(self) -> str:
        """Metal and coats, such as `steel, paint on zinc`."""
        coat = " on ".join(self.coating)
        return f"{self.metal}" if coat == "none" else f"{self.metal}, {coat}"

    @property
    def name(self) -> str:
        """The part by its handle, or the plain words."""
        handle = self.part.partition("/")[2] or self.part
        if handle:
            told = {"screw": "set screw", "frame": "module frame"}.get(self.piece)
            return f"{handle} ({told})" if told else handle
        return f"{self.role} of {self.metal_text}" if self.metal else self.role


@dataclass(frozen=True, order=True)
class Contact:
    """Two sides; the upper one presses on the lower one, or its water runs onto it."""

    place: str  # a word of PLACES
    upper: Side
    lower: Side
    inlay: str | None = None  # part id of what lies between
    isolation: str = "none"  # a word of ISOLATIONS: nothing, the listed inlay, another thing
    bridge: str = "none"  # a word of BRIDGES: metal that goes round what isolates
    washed: bool = False  # rain rinses it; never under modules

    @property
    def id(self) -> str:
        """Both sides in words."""
        if self.place == ABOVE:
            return f"{self.lower.name} below {self.upper.name}"
        between = f" with {self.inlay.partition('/')[2]} between" if self.inlay else ""
        return f"{self.upper.name} on {self.lower.name}{between}"
