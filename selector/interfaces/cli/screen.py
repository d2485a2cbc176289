"""Standard output as it is: a terminal or a pipe, any encoding, a reader that may go away."""

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console

PIPED = 80  # columns where nobody says how wide the paper is


class _Console(Console):
    """A console that leaves a closed pipe to `to_screen`."""

    def on_broken_pipe(self) -> None:
        """Say it on; by default the program would end here."""
        raise BrokenPipeError


@contextmanager
def to_screen() -> Iterator[Console]:
    """A console to print on; a closed pipe is the reader's choice, not an error."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    plain = True if os.environ.get("NO_COLOR") else None
    piped = not sys.stdout.isatty()
    console = _Console(
        highlight=False,
        width=PIPED if piped else None,
        force_terminal=False if plain else None,
    )
    try:
        yield console
        sys.stdout.flush()
    except BrokenPipeError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
