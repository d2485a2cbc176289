"""Standard output as it is: a terminal or a pipe, any encoding, a reader that may go away."""

import codecs
import io
import os
import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from rich.console import Console

from selector.explanation.language import PLAIN, speaking
from selector.knowledge.base import Base
from selector.knowledge.texts import FIRST

PIPED = 80  # columns where nobody says how wide the paper is


class _Console(Console):
    """A console that leaves a closed pipe to `to_screen`."""

    def on_broken_pipe(self) -> None:
        """Say it on; by default the program would end here."""
        raise BrokenPipeError


def language(wanted: str | None, known: Iterable[str]) -> str:
    """Language to speak: the one asked for, or that of the locale if `known`, or English."""
    if wanted:
        return wanted
    names = (os.environ.get(name) for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    locale = next(filter(None, names), "")
    found = re.split(r"[_.@]", locale)[0]
    return found if found in known else FIRST


def in_language(base: Base, wanted: str | None) -> Base:
    """The base in the language to speak, in letters that standard output has."""
    try:
        "äöüÄÖÜß„“–".encode(sys.stdout.encoding or "ascii")
        plain = False
    except UnicodeEncodeError:
        plain = True
    return speaking(base, language(wanted, base.texts), plain=plain)


def _transliterated(error: UnicodeError) -> tuple[str, int]:
    """Letters that the screen does not have as people write them without; else their code."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    bad = error.object[error.start : error.end]
    bad = bad.encode("utf-8", "surrogateescape").decode("utf-8", "replace").replace("\ufffd", "?")
    return bad.translate(PLAIN).encode("ascii", "backslashreplace").decode(), error.end


@contextmanager
def to_screen() -> Iterator[Console]:
    """A console to print on; a closed pipe is the reader's choice, not an error."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        codecs.register_error("transliterate", _transliterated)
        sys.stdout.reconfigure(errors="transliterate")
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
