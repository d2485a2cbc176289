"""Stacks and their parts of speech: joints and places. Ids only; parts live in the base."""

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
class ClampPlace:
    """One clamp of a layout: on which seam, at which height above the eave."""

    rail: str
    seam: str
    from_eave: int

    @property
    def id(self) -> str:
        """Rail and seam."""
        return f"{self.rail} on {self.seam}"
