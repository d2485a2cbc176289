"""What a sheet is made of: sections of paragraphs, lists, tables and drawings, all in words."""

from dataclasses import dataclass, field
from typing import ClassVar

Cells = tuple[str, ...]


@dataclass(frozen=True)
class Para:
    """A paragraph; `look` is empty, `strong`, `large` or `word` (a verdict word in its frame)."""

    tag: ClassVar[str] = "para"
    text: str
    look: str = ""


@dataclass(frozen=True)
class Items:
    """A list; `look` is empty, `large`, or `boxes` to be ticked."""

    tag: ClassVar[str] = "items"
    items: Cells
    look: str = ""


@dataclass(frozen=True)
class Table:
    """Rows below their heads; `look` is empty or `write`, with empty cells to write in."""

    tag: ClassVar[str] = "table"
    heads: Cells
    rows: tuple[Cells, ...]
    look: str = ""


@dataclass(frozen=True)
class Figure:
    """A drawing as text of an SVG file that this program drew."""

    tag: ClassVar[str] = "figure"
    svg: str


Block = Para | Items | Table | Figure


@dataclass(frozen=True)
class Section:
    """A heading and what stands below it; `apart` starts a new page."""

    id: str
    title: str
    blocks: tuple[Block, ...]
    apart: bool = False


@dataclass(frozen=True)
class Head:
    """What a page says around its sections; `banner` stays in sight."""

    language: str
    title: str
    banner: Cells
    foot: str


@dataclass(frozen=True)
class RoofSheet:
    """The whole sheet; the banner of its head stands on every page."""

    head: Head
    sections: tuple[Section, ...]


@dataclass(frozen=True)
class KitGroup:
    """One group of the kit: its name, heads, and rows as they are printed."""

    title: str
    heads: Cells
    rows: tuple[Cells, ...] = field(default=())
