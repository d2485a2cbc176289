"""A strict YAML reader: types only what a person would, keeps lines, gathers all errors.

No aliases, tags, duplicate keys or guessed types (`no`, `012`, dates stay text), no file
above the size limit, no nesting deeper than a person writes.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from selector.errors import InputError, Problem

LARGEST_FILE = 4_000_000
DEEPEST = 24
_INT = re.compile(r"[-+]?(0|[1-9][0-9]*)")
_FLOAT = re.compile(r"[-+]?(0|[1-9][0-9]*)\.[0-9]+")
_WORDS = {"true": True, "false": False, "null": None}


@dataclass
class Document:
    """One read file: plain data, and the line of every key and item by its path."""

    file: str
    data: Any
    lines: dict[str, int] = field(default_factory=dict)

    def line(self, *keys: object) -> int:
        """Line of the deepest part of this path that the file has."""
        parts = [str(k) for k in keys]
        while parts:
            found = self.lines.get("/".join(parts))
            if found:
                return found
            parts.pop()
        return self.lines.get("", 1)


def read_text(path: Path, shown: str | None = None) -> str:
    """Text of a file in UTF-8, or an InputError that says what is wrong with the file."""
    name = shown or str(path)
    try:
        if path.is_dir():
            raise InputError.of("this is a folder", "name a file", file=name)
        if not path.is_file():
            raise InputError.of("no such file", "check the path", file=name)
        size = path.stat().st_size
        if size > LARGEST_FILE:
            text = f"the file has {size:,} bytes; at most {LARGEST_FILE:,} are read"
            raise InputError.of(text, "is this the right file?", file=name)
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise InputError.of(
            "the file is not UTF-8 text", "save it as text in UTF-8", file=name
        ) from None
    except OSError as error:
        raise InputError.of(
            f"the file cannot be read ({error.strerror})", "check its rights", file=name
        ) from None


def read_file(path: Path, shown: str | None = None) -> Document:
    """Read one YAML file strictly; InputError carries every problem."""
    return read_string(read_text(path, shown), shown or str(path))


def read_string(text: str, file: str) -> Document:
    """Read YAML text strictly; `file` is only printed."""
    import yaml

    class Reader(yaml.CSafeLoader):
        """The C parser without implicit types: every plain scalar arrives as text."""

        yaml_implicit_resolvers: dict[str, Any] = {}

    walker = _Walker(file)
    try:
        walker.walk(yaml.parse(text, Loader=Reader))
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        problem = error.problem or error.context or "this is not YAML"
        walker.problems.append(Problem(file, line, f"not readable as YAML: {problem}", _hint(text)))
    except yaml.YAMLError as error:
        first = str(error).splitlines()[0]
        walker.problems.append(Problem(file, 1, f"not readable as YAML: {first}", _hint(text)))
    if walker.problems:
        raise InputError(walker.problems)
    if walker.data is None and not walker.lines:
        raise InputError.of("the file is empty", "start from a shipped example", file=file)
    return Document(file, walker.data, walker.lines)


def _hint(text: str) -> str:
    if "\t" in text:
        return "indent with spaces, not tabs"
    if any(ord(c) < 9 for c in text[:2000]):
        return "this looks like a binary file"
    return "check indentation, colons and quotes at this line"


class _StopError(Exception):
    """Ends the walk early after a problem that makes the rest meaningless."""


class _Walker:
    """Builds plain data from parser events, with a line for each path."""

    def __init__(self, file: str):
        self.file = file
        self.problems: list[Problem] = []
        self.lines: dict[str, int] = {}
        self.data: Any = None

    def problem(self, line: int, text: str, remedy: str) -> None:
        self.problems.append(Problem(self.file, line, text, remedy))

    def walk(self, events: Iterator[Any]) -> None:
        documents = 0
        try:
            for event in events:
                kind = type(event).__name__
                if kind == "DocumentStartEvent":
                    documents += 1
                    if documents > 1:
                        line = event.start_mark.line + 1
                        self.problem(line, "a second document starts here", "one a file")
                        return
                elif kind not in ("StreamStartEvent", "StreamEndEvent", "DocumentEndEvent"):
                    self.data = self.node(event, events, "", 0)
        except _StopError:
            return

    def node(self, event: Any, events: Iterator[Any], path: str, depth: int) -> Any:
        line = event.start_mark.line + 1
        self.lines.setdefault(path, line)
        kind = type(event).__name__
        if kind == "AliasEvent":
            self.problem(line, f"the alias `*{event.anchor}` is not taken", "write it out")
            return None
        if event.tag is not None:
            self.problem(line, f"the tag `{event.tag}` is not taken", "remove it")
        if event.anchor is not None:
            self.problem(line, f"the anchor `&{event.anchor}` is not taken", "remove it")
        if depth > DEEPEST:
            self.problem(line, f"nested deeper than {DEEPEST} levels", "flatten it")
            raise _StopError
        if kind == "ScalarEvent":
            plain = event.style in (None, "")
            if plain and not event.value:
                self.empty(line, path.rsplit("/", 1)[-1])
            return _typed(event.value) if plain else event.value
        if kind == "SequenceStartEvent":
            items: list[Any] = []
            for child in events:
                if type(child).__name__ == "SequenceEndEvent":
                    break
                items.append(self.node(child, events, _join(path, len(items)), depth + 1))
            return items
        return self.mapping(events, path, depth)

    def empty(self, line: int, key: str) -> None:
        """A key without a value; inside braces it is often what follows a stray comma."""
        remedy = "fill or remove it"
        if key[:1].isdigit() and not key.isdigit():
            remedy = "a comma divides here: write a decimal point, or quote the text"
        elif " " in key:
            remedy = "fill or remove it; a text with a comma in it wants quotes"
        self.problem(line, f"`{key}` has no value", remedy)

    def mapping(self, events: Iterator[Any], path: str, depth: int) -> dict[str, Any]:
        out: dict[str, Any] = {}
        for event in events:
            if type(event).__name__ == "MappingEndEvent":
                break
            line = event.start_mark.line + 1
            if type(event).__name__ != "ScalarEvent":
                self.problem(line, "a key must be plain text", "write `name: value`")
                raise _StopError
            key = str(event.value)
            if key in out:
                self.problem(line, f"key `{key}` is written twice", "keep one of them")
            below = _join(path, key)
            self.lines[below] = line
            out[key] = self.node(next(events), events, below, depth + 1)
        return out


def _join(path: str, key: object) -> str:
    return f"{path}/{key}" if path else str(key)


def _typed(text: str) -> Any:
    if text in _WORDS:
        return _WORDS[text]
    if len(text) < 20 and _INT.fullmatch(text):
        return int(text)
    if len(text) < 20 and _FLOAT.fullmatch(text):
        return float(text)
    return text
