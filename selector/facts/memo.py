"""Results worked out once: kept with the split words they rest on and the sightings they looked at.

One memo serves all worlds of a subject, and the same subject again after a change of the job.
"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any

Words = tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """A result, the split words that it rests on and what it looked at."""

    result: Any
    rests: dict[str, str | None]
    looked: frozenset[str]


@dataclass(slots=True)
class _Frame:
    rests: dict[str, str | None] = field(default_factory=dict)
    looked: set[str] = field(default_factory=set)


Tables = dict[tuple[str, ...], dict[Words, Kept]]  # split paths rested on -> words -> result


class Memo:
    """Results by key; what a result used is told by `rests` and `looks` while it is worked out."""

    def __init__(self) -> None:
        self._tables: dict[Hashable, Tables] = {}
        self._frames: list[_Frame] = []
        self.looked: set[str] = set()

    def kept(self, key: Hashable, world: Mapping[str, str], work: Callable[[], Any]) -> Kept:
        """What is kept from a world that agrees on all it rested on, or the result of `work`."""
        tables = self._tables.get(key)
        if tables is None:
            tables = self._tables[key] = {}
        for paths, table in tables.items():
            found = table.get(tuple(map(world.get, paths)) if paths else ())
            if found is not None:
                return found
        frame = _Frame()
        self._frames.append(frame)
        try:
            result = work()
        finally:
            self._frames.pop()
        kept = Kept(result, frame.rests, frozenset(frame.looked))
        tables.setdefault(tuple(frame.rests), {})[tuple(frame.rests.values())] = kept
        return kept

    def use(self, kept: Kept) -> None:
        """The result being worked out used this one, be it of this memo or of another."""
        if self._frames:
            frame = self._frames[-1]
            frame.rests.update(kept.rests)
            frame.looked |= kept.looked

    def rests(self, path: str, word: str | None) -> None:
        """The result being worked out rests on the word of a split quantity."""
        self._frames[-1].rests[path] = word

    def looks(self, what: str) -> None:
        """The result being worked out looked at something that may change."""
        self.looked.add(what)
        if self._frames:
            self._frames[-1].looked.add(what)

    def rests_on(self, key: Hashable) -> set[str]:
        """Split quantities that kept results of this key rested on."""
        return {path for paths in self._tables.get(key, ()) for path in paths}

    def looked_at(self, key: Hashable) -> set[str]:
        """What kept results of this key looked at."""
        tables = self._tables.get(key, {}).values()
        return {what for table in tables for kept in table.values() for what in kept.looked}

    def without(self, changed: set[str]) -> "Memo":
        """A memo with all results that looked at nothing that has changed."""
        new = Memo()
        new.looked = set(self.looked)
        for key, tables in self._tables.items():
            for paths, table in tables.items():
                kept = {w: k for w, k in table.items() if k.looked.isdisjoint(changed)}
                if kept:
                    new._tables.setdefault(key, {})[paths] = kept
        return new
