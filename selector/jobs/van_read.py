"""Read a file of leftovers, `van/1`: parts with their counts, rails with each piece's length."""

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from selector import units
from selector.errors import InputError, Problem
from selector.jobs.names import part_named
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.knowledge.schema import Date, Shape, check
from selector.knowledge.yaml_reader import Document, read_file
from selector.model.van import Van

VERSION = "van/1"
MOST_PIECES, MOST_ENTRIES = 100_000, 2_000
SEVERAL = re.compile(r"([0-9]{1,4}) ?[x\u00d7] ?(.+)")
LONGEST = units.parse("30 m", "length")
EXAMPLE = "`parts: {demo/dl-1: 14, demo/rail-u: [2 x 3.60 m, 1.10 m]}`"


class VanShape(Shape):
    """The whole file."""

    seamwright: str
    counted: Date | None = None
    by: str = ""
    parts: dict[str, Any]


def read_van(path: Path, base: Base, catalogues: tuple[str, ...]) -> Van:
    """Leftovers of a file, or an InputError with every problem found."""
    document = read_file(path, path.name if path.is_absolute() else str(path))
    return van_of(document, base, catalogues)


def van_of(document: Document, base: Base, catalogues: tuple[str, ...]) -> Van:
    """Leftovers of a document that was read; parts are those of these catalogues."""
    data = document.data
    if not isinstance(data, dict) or data.get("seamwright") != VERSION:
        text = f"this is no file of leftovers: its first key must be `seamwright: {VERSION}`"
        line = document.line("seamwright")
        raise InputError.of(text, f"then {EXAMPLE}", file=document.file, line=line)
    problems: list[Problem] = []
    shape = check(VanShape, data, document, (), problems)
    if shape is None:
        raise InputError(problems)
    found = _Reader(document, base, catalogues, problems).parts(shape.parts)
    if problems:
        raise InputError(problems)
    return Van(document.file, shape.counted or "", shape.by, *found)


class _Reader:
    """Turns entries into counts, gathering problems with their lines."""

    def __init__(
        self,
        document: Document,
        base: Base,
        catalogues: tuple[str, ...],
        problems: list[Problem],
    ):
        self.document, self.base, self.problems = document, base, problems
        self.catalogues = catalogues

    def fault(self, at: tuple[object, ...], text: str, remedy: str = "") -> None:
        self.problems.append(Problem(self.document.file, self.document.line(*at), text, remedy))

    def parts(self, given: Mapping[str, Any]) -> tuple[dict[str, int], dict[str, tuple[int, ...]]]:
        """Pieces and lengths by part; one part is counted once."""
        pieces: dict[str, int] = {}
        lengths: dict[str, tuple[int, ...]] = {}
        if not given:
            self.fault(("parts",), "nothing is counted", f"write {EXAMPLE}")
        if len(given) > MOST_ENTRIES:
            self.fault(("parts",), f"{len(given)} parts; at most {MOST_ENTRIES} are read")
            return pieces, lengths
        for name, value in given.items():
            at = ("parts", name)
            try:
                part = part_named(self.base, self.catalogues, name)
            except ValueError as error:
                self.fault(at, *error.args)
                continue
            if part.id in pieces or part.id in lengths:
                self.fault(at, f"`{part.id}` is counted twice", "count it once")
            elif isinstance(part.shape, schema.Rail):
                lengths[part.id] = self.lengths(at, part.id, value)
            else:
                pieces[part.id] = self.count(at, value)
        return pieces, lengths

    def count(self, at: tuple[object, ...], value: Any) -> int:
        """Whole pieces, none included."""
        whole = isinstance(value, int) and not isinstance(value, bool)
        if not whole or not 0 <= value <= MOST_PIECES:
            shown = units.shorten(value)
            self.fault(at, f"expected a count of whole pieces, given `{shown}`", "count again")
            return 0
        return int(value)

    def lengths(self, at: tuple[object, ...], part: str, value: Any) -> tuple[int, ...]:
        """Each piece of a rail by its length, `2 x 3.60 m` for several alike."""
        found: list[int] = []
        for entry in value if isinstance(value, list) else [value]:
            several = SEVERAL.fullmatch(entry.strip()) if isinstance(entry, str) else None
            try:
                length = units.parse(several[2] if several else entry, "length")
            except ValueError as error:
                remedy = "rails are counted by the length of each piece: [2 x 3.60 m, 1.10 m]"
                self.fault(at, f"`{part}`: {error}", remedy)
                return ()
            if not 0 < length <= LONGEST:
                shown = units.show(length, "length")
                self.fault(at, f"`{part}`: a piece of {shown} cannot be right", "check it")
                return ()
            found += [length] * (int(several[1]) if several else 1)
        if len(found) > MOST_PIECES:
            self.fault(at, f"`{part}`: {len(found)} pieces cannot be right", "check the counts")
        return tuple(sorted(found, reverse=True))
