"""Lines that a person types and reads: on a terminal with arrow keys, or through a pipe."""

import io
import sys
from collections.abc import Iterable
from contextlib import suppress

LONGEST = 2_000  # characters of one line; nobody types more, and a paste of more is a slip
SAME = {"undo": "back"}


class Lines:
    """Reads lines, prints lines."""

    def __init__(self) -> None:
        if isinstance(sys.stdin, io.TextIOWrapper):
            sys.stdin.reconfigure(errors="replace")
        with suppress(ImportError):
            import readline  # noqa: F401  arrow keys and a memory of lines, where there is one

    def say(self, lines: Iterable[str]) -> None:
        """Print lines."""
        for line in lines:
            print(line)

    def read(self) -> str | None:
        """One line without control characters, or None at the end of the input."""
        try:
            line = input("> ")
        except EOFError:
            print()
            return None
        except OSError:  # the terminal is gone, and with it everybody who could read on
            raise SystemExit(1) from None
        line = " ".join("".join(c if c.isprintable() else " " for c in line).split())
        if not sys.stdin.isatty():
            print(line[:LONGEST])
        return SAME.get(line, line)
