"""Texts of the program by language: `kb/texts/LANGUAGE.yaml` and `kb/texts/LANGUAGE/*.yaml`.

A text has an id in words by screen; what stands below an id is joined to it by a dot, and the
items of a list are numbered from 1. The file `LANGUAGE/words.yaml` has other keys: the English
word or phrase itself, with holes where a value stands.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from selector.knowledge.faults import Faults

FOLDER = "kb/texts/"
WORDS = "words.yaml"
FIRST = "en"  # the language that rules and questions are written in
HOLE = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True)
class TextBook:
    """All texts of one language."""

    language: str
    texts: dict[str, str] = field(default_factory=dict)  # id -> text
    words: dict[str, str] = field(default_factory=dict)  # English word or phrase -> the same here
    places: dict[str, tuple[str, int]] = field(default_factory=dict)  # id or phrase -> file, line


def holes(text: str) -> list[str]:
    """Names of the holes of a text, sorted."""
    return sorted(set(HOLE.findall(text)))


class TextReader(Faults):
    """Reads the texts of every language; faults go to the problems."""

    def books(self) -> dict[str, TextBook]:
        """Book of each language by its two letters; English is always there."""
        found: dict[str, TextBook] = {FIRST: TextBook(FIRST)}
        for name, document in sorted(self.documents.items()):
            if not name.startswith(FOLDER):
                continue
            language = name.removeprefix(FOLDER).partition("/")[0].removesuffix(".yaml")
            book = found.setdefault(language, TextBook(language))
            if not isinstance(document.data, dict):
                self.fault(document, (), "expected texts by their ids", "write `id: text`")
                continue
            into = book.words if name.endswith(f"/{WORDS}") else book.texts
            for at, text in _flat(document.data, ()):
                key = ".".join(at)
                if not isinstance(text, str):
                    self.fault(document, at, f"`{key}` is no text", "put it in quotes")
                elif key in into:
                    self.fault(document, at, f"`{key}` is written twice", "keep one of them")
                else:
                    into[key] = text
                    book.places[key] = document.file, document.line(*at)
        return found


def _flat(data: Any, at: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield from _flat(value, (*at, key))
    elif isinstance(data, list):
        for number, value in enumerate(data, 1):
            yield from _flat(value, (*at, str(number)))
    else:
        yield at, data
