"""Lines that a person types and reads: on a terminal with arrow keys, or through a pipe."""

import codecs
import io
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress

LONGEST = 2_000  # characters of one line; nobody types more, and a paste of more is a slip
# Where the locale is plain, readline takes the bytes of an umlaut for keys and drops them.
BYTES = ("set convert-meta off", "set input-meta on", "set output-meta on")


class Lines:
    """Reads lines, prints lines; a word in `same` stands for another."""

    def __init__(self, same: Mapping[str, str]) -> None:
        self.same = same
        if isinstance(sys.stdin, io.TextIOWrapper):
            sys.stdin.reconfigure(errors="replace")
            if codecs.lookup(sys.stdin.encoding).name == "ascii":
                sys.stdin.reconfigure(encoding="utf-8")
        with suppress(ImportError):  # arrow keys and a memory of lines, where there is one
            import readline

            for line in BYTES:
                readline.parse_and_bind(line)

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
        return self.same.get(line.lower(), line)
