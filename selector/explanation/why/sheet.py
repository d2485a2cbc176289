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
        lead = " " * indent + mark
        body = wrapped(text, max(LEAST, self.width - len(lead))) or [""]
        self.lines.append((lead + body[0]).rstrip())
        self.lines += [" " * len(lead) + rest for rest in body[1:]]

    def head(self, text: str) -> None:
        """A heading with air above it."""
        self.lines.append("")
        self.add("", text)
        self.lines.append("-" * min(self.width, len(text)))

    def rows(self, cells: Iterable[tuple[str, ...]], widths: tuple[int, ...]) -> None:
        """Rows of a table; each cell is wrapped in its column."""
        for row in cells:
            parts = [wrapped(c, w) or [""] for c, w in zip(row, widths, strict=True)]
            for n in range(max(map(len, parts))):
                line = "  ".join(
                    (p[n] if n < len(p) else "").ljust(w)
                    for p, w in zip(parts, widths, strict=True)
                )
                self.lines.append(line.rstrip())


def wrapped(text: str, width: int) -> list[str]:
    """Lines of at most a width; a word that is longer is broken, so that nothing sticks out."""
    return wrap(text, width, break_on_hyphens=False)
