"""What is left in a van: parts that somebody counted."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Van:
    """Pieces by part, of rails the length of each in micrometres; nothing else is there."""

    file: str
    counted: str  # the day; empty where nobody says it
    by: str
    pieces: Mapping[str, int]
    lengths: Mapping[str, tuple[int, ...]]

    def has(self, part: str) -> bool:
        """Whether at least one piece is there."""
        return bool(self.pieces.get(part) or self.lengths.get(part))
