"""What changed between two bases: rules, parts, records, numbers, file by file."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any

from selector.errors import InputError
from selector.knowledge.yaml_reader import read_string

Texts = dict[str, str]
# Files that word an answer, list what a talk asks, or check a base: they give no word.
_WORDING = ("kb/texts/", "kb/questions/drawings/", "rules/coverage.yaml")
MOST_KEYS = 6


@dataclass(frozen=True)
class FileChange:
    """One file of a base that is otherwise now."""

    name: str
    how: str  # added | removed | changed
    kind: str  # rule | part | record | number | pairing | question | source | data
    about: tuple[str, ...]  # what stands in it and is otherwise, such as `clamp dl-1: grips`


def file_changes(old: Texts, new: Texts) -> list[FileChange]:
    """Files that can give another word and are otherwise in the new base, by name."""
    found = []
    for name in sorted(old.keys() | new.keys()):
        if old.get(name) == new.get(name) or not _matters(name):
            continue
        how = "added" if name not in old else "removed" if name not in new else "changed"
        about = _about(name, old.get(name, ""), new.get(name, ""))
        if how != "changed" or about:
            found.append(FileChange(name, how, _kind(name), about))
    return found


def only_worded(old: Texts, new: Texts) -> int:
    """How many files differ that give no word: sentences, drawings, cases, remarks."""
    differ = {n for n in old.keys() | new.keys() if old.get(n) != new.get(n)}
    return len(differ - {c.name for c in file_changes(old, new)})


def _matters(name: str) -> bool:
    return (
        name.endswith(".yaml")
        and not name.endswith(".cases.yaml")
        and not (name.startswith(_WORDING))
    )


def _kind(name: str) -> str:
    parts = PurePosixPath(name).parts
    if parts[0] == "rules":
        return "rule"
    if "records" in parts:
        return "record"
    if parts[1:2] == ("catalogues",):
        return "part"
    names = {"numbers": "number", "pairings": "pairing"}
    folders = {"questions": "question", "sources": "source"}
    stem = PurePosixPath(name).stem
    return names.get(stem) or folders.get(parts[1] if len(parts) > 1 else "", "data")


def _about(name: str, old: str, new: str) -> tuple[str, ...]:
    """Entries that differ, each with the keys that do; the whole file where it has no entries."""
    before, after = _entries(name, old), _entries(name, new)
    told = []
    for key in dict.fromkeys((*before, *after)):
        one, two = before.get(key), after.get(key)
        if one == two:
            continue
        if isinstance(one, dict) and isinstance(two, dict):
            keys = [k for k in dict.fromkeys((*one, *two)) if one.get(k) != two.get(k)]
            more = ", ..." if len(keys) > MOST_KEYS else ""
            told.append(f"{key}: {', '.join(map(str, keys[:MOST_KEYS]))}{more}")
        else:
            told.append(str(key))
    return tuple(told)


def _entries(name: str, text: str) -> dict[Any, Any]:
    """What stands in a file, by its id or its key."""
    if not text:
        return {}
    try:
        data = read_string(text, name).data
    except InputError:
        return {}
    if isinstance(data, list):
        return {_id(i, row): row for i, row in enumerate(data, 1)}
    return data if isinstance(data, dict) else {"": data}


def _id(number: int, row: Any) -> object:
    return row.get("id", number) if isinstance(row, dict) else number


def fewest(
    names: tuple[str, ...], does: Callable[[tuple[str, ...]], bool], most: int
) -> tuple[tuple[str, ...], bool]:
    """Names of which none can be left out, and whether that was shown within so many tries.

    `does` holds for all of them together. Halves are left out first, then ever smaller blocks;
    at the end each name was tried alone.
    """
    size, tries = max(1, len(names) // 2), 0
    while True:
        kept = names
        for start in range(0, len(names), size):
            left = tuple(n for n in kept if n not in names[start : start + size])
            if not left or left == kept:
                continue
            if tries == most:
                return kept, False
            tries += 1
            if does(left):
                kept = left
        if size == 1 and kept == names:
            return names, True
        names, size = kept, max(1, size // 2)
