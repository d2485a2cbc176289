"""Lines of text on paper of a given width; marks hang, nothing needs colour."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from textwrap import wrap

WIDTH = 80
LEAST = 20  # a column is never narrower than this


@dataclass
class Sheet:
    """Lines that are added one below the other."""

    width: int = WIDTH
    lines: list[str] = field(default_factory=list)

    def add(self, mark: str, text: str, indent: int = 0) -> None:
        """A text behind a mark, wrapped under itself."""
        self.lines += lines(text, self.width, " " * indent + mark)

    def head(self, text: str) -> None:
        """A heading with air above it."""
        self.lines.append("")
        self.add("", text)
        self.lines.append("-" * min(self.width, len(text)))

    def rows(self, cells: Iterable[tuple[str, ...]], widths: tuple[int, ...]) -> None:
        """Rows of a table; each cell is wrapped in its column."""
        for row in cells:
            self.lines += row_lines(row, widths)


def lines(text: str, width: int, lead: str = "") -> list[str]:
    """A text behind a lead, wrapped under itself."""
    body = wrapped(text, max(LEAST, width - len(lead))) or [""]
    return [(lead + body[0]).rstrip(), *(" " * len(lead) + rest for rest in body[1:])]


def row_lines(cells: tuple[str, ...], widths: tuple[int, ...]) -> list[str]:
    """A row of a table; each cell is wrapped in its column."""
    parts = [wrapped(c, w) or [""] for c, w in zip(cells, widths, strict=True)]
    return [
        "  ".join(
            (p[n] if n < len(p) else "").ljust(w) for p, w in zip(parts, widths, strict=True)
        ).rstrip()
        for n in range(max(map(len, parts)))
    ]


def wrapped(text: str, width: int) -> list[str]:
    """Lines of at most a width; a word that is longer is broken, so that nothing sticks out."""
    return wrap(text, width, break_on_hyphens=False)
