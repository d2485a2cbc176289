"""Results worked out once: kept with the split words they rest on and the sightings they looked at.

One memo serves all worlds of a subject, and the same subject again after a change of the job.
"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

Result = TypeVar("Result")
Words = tuple[str | None, ...]


@dataclass(frozen=True)
class _Kept:
    result: Any
    looked: frozenset[str]


@dataclass
class _Frame:
    rests: dict[str, str | None] = field(default_factory=dict)
    looked: set[str] = field(default_factory=set)


Tables = dict[tuple[str, ...], dict[Words, _Kept]]  # split paths rested on -> words -> result


class Memo:
    """Results by key; what a result used is told by `rests` and `looks` while it is worked out."""

    def __init__(self) -> None:
        self._tables: dict[Hashable, Tables] = {}
        self._frames: list[_Frame] = []
        self.looked: set[str] = set()

    def once(self, key: Hashable, world: Mapping[str, str], work: Callable[[], Result]) -> Result:
        """Result of `work`, or the one kept from a world that agrees on all it rested on."""
        tables = self._tables.setdefault(key, {})
        for paths, table in tables.items():
            words = tuple(map(world.get, paths)) if paths else ()
            kept = table.get(words)
            if kept is not None:
                rests = dict(zip(paths, words, strict=True))
                break
        else:
            frame = _Frame()
            self._frames.append(frame)
            try:
                result = work()
            finally:
                self._frames.pop()
            rests, kept = frame.rests, _Kept(result, frozenset(frame.looked))
            tables.setdefault(tuple(rests), {})[tuple(rests.values())] = kept
        if self._frames:
            self._frames[-1].rests.update(rests)
            self._frames[-1].looked |= kept.looked
        found: Result = kept.result
        return found

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
