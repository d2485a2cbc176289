"""Find what was kept: by the number, by the job, by what stands in it."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from selector.store.entry import Event
from selector.store.store import Store


@dataclass(frozen=True)
class Wanted:
    """What a list is to hold; empty where anything will do."""

    text: str = ""  # in the job, the answer, the note
    word: str = ""
    since: str = ""  # dates, both included
    until: str = ""

    def fits(self, event: Event, store: Store) -> bool:
        """Whether a line is wanted; texts are looked at last."""
        entry = event.entry
        day = entry.at[:10]
        if self.word not in ("", entry.word) or not self.since <= day <= (self.until or day):
            return False
        wanted = self.text.casefold()
        about = (entry.job, entry.file, entry.by, entry.note, *map(str, entry.asked.values()))
        if not wanted or any(wanted in piece.casefold() for piece in about):
            return True
        texts = (store.text(h).decode() for h in (entry.job_text, entry.screen))
        return any(wanted in text.casefold() for text in texts)


@dataclass(frozen=True)
class Found:
    """The lines of a store that are wanted, and what is said of the store above them."""

    store: Store
    entries: int  # in the whole store
    jobs: int
    head: str  # of the last line; empty without one
    number: int  # of lines that are wanted

    def oldest_first(self) -> Iterator[Event]:
        """The lines that are wanted."""
        return self.store.picked()

    def newest_first(self) -> Iterator[Event]:
        """The same the other way round."""
        return self.store.picked(newest_first=True)


def found(store: Store, wanted: Wanted) -> Found:
    """What is wanted of a store, all of it checked; its lines are read when they are asked for."""
    last: Event | None = None

    def fitting() -> Iterator[Event]:
        nonlocal last
        for last in store.history():
            if wanted.fits(last, store):
                yield last

    number = store.pick(fitting(), lambda event: str(event.seq))
    if last is None:
        return Found(store, 0, 0, "", 0)
    return Found(store, last.seq, store.jobs(last.seq), last.head, number)


def named(events: Iterable[Event], which: str) -> Event | None:
    """The entry of a number, or the last one of a job; a job may be called by figures too."""
    last, numbered = None, None
    for event in events:
        if event.entry.job == which:
            last = event
        if re.fullmatch(r"#?[0-9]{1,15}", which) and event.seq == int(which.lstrip("#")):
            numbered = event
    return numbered or last
