"""Stacks and their parts of speech: joints, contacts, places. Ids only; parts live in the base."""

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Core:
    """A filled form: clamp, insert, inlay, adapters, bolts, rail, frame and upper layer."""

    clamp: str
    insert: str | None = None
    inlay: str | None = None
    adapters: tuple[str, ...] = ()
    bolts: str | None = None
    rail: str | None = None
    frame: str | None = None
    cross: str | None = None
    upper_rail: str | None = None

    @property
    def parts(self) -> tuple[str, ...]:
        """Filled slots from the seam up."""
        chain = (self.clamp, self.insert, self.inlay, *self.adapters, self.bolts, self.rail)
        return tuple(p for p in (*chain, self.frame, self.cross, self.upper_rail) if p)

    @property
    def id(self) -> str:
        """Handles in order, without the catalogue."""
        return " + ".join(p.partition("/")[2] for p in self.parts)


@dataclass(frozen=True, order=True)
class Joint:
    """A lower part that offers an interface, bolts between, an upper part that takes one."""

    lower: str
    bolts: str | None
    upper: str

    @property
    def id(self) -> str:
        """Handles from below."""
        handles = [p.partition("/")[2] for p in (self.lower, self.bolts, self.upper) if p]
        return " + ".join(handles)


@dataclass(frozen=True, order=True)
class Contact:
    """Two metals that touch; `lower` is a part or the sheet, the inlay lies between."""

    place: str  # on the sheet | between parts
    upper: str  # part id, or part id with `:screw` or `:frame`
    lower: str  # the same, or `sheet`
    inlay: str | None = None

    @property
    def id(self) -> str:
        """Both sides in words."""
        between = f" with {self.inlay.partition('/')[2]} between" if self.inlay else ""
        return f"{_handle(self.upper)} on {_handle(self.lower)}{between}"


def _handle(side: str) -> str:
    handle = side.partition("/")[2] or side
    return handle.replace(":screw", " (set screw)").replace(":frame", " (module frame)")


@dataclass(frozen=True, order=True)
class ClampPlace:
    """One clamp of a layout: on which seam, at which height above the eave."""

    rail: str
    seam: str
    from_eave: int

    @property
    def id(self) -> str:
        """Rail and seam."""
        return f"{self.rail} on {self.seam}"
