"""Facts as they are printed, and the pages that hold them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Block:
    """One fact as it is printed."""

    id: str
    title: str
    fields: tuple[tuple[str, str], ...]
    numbers: tuple[str, ...]
    source: str
    status: str
    origin: str
    picture: str = ""


@dataclass(frozen=True)
class Topic:
    """One page of facts."""

    name: str
    title: str
    lead: str
    blocks: tuple[Block, ...]
