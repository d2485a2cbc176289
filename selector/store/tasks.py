"""The jobs to be judged again, one at a time: files of folders, or last entries of a store."""

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from selector.errors import InputError
from selector.store.entry import Asked, Event
from selector.store.hashes import canonical, hash_of
from selector.store.store import Store

ENDINGS = (".yaml", ".yml")


@dataclass(frozen=True)
class Task:
    """One job; `state` changes with its text, so that a row of another text is not taken for it."""

    name: str
    state: str
    path: str = ""  # of a job file; else the text is here
    text: str = ""
    file: str = ""  # name that it is read by
    asked: Asked | None = None  # None: what the file asks itself
    before: str = ""  # word that was kept
    data: str = ""  # hash of the answer that was kept


def tasks_of_files(paths: Iterable[Path]) -> Iterator[Task]:
    """Job files and those of folders, by name; the same order on every run."""
    for path in paths:
        for file in _files(path):
            try:
                seen = file.stat()
            except OSError as error:
                text = f"the file cannot be read ({error.strerror})"
                raise InputError.of(text, "check its rights", file=str(file)) from None
            yield Task(str(file), f"{seen.st_size}-{seen.st_mtime_ns}", str(file), file=str(file))


def _files(path: Path) -> Iterator[Path]:
    if path.is_file():
        yield path
        return
    if not path.is_dir():
        raise InputError.of("no such file or folder", "check the path", file=str(path))
    for folder, below, names in os.walk(path):
        below.sort()
        yield from (Path(folder) / n for n in sorted(names) if n.endswith(ENDINGS))


def pick_last_of_each(store: Store) -> int:
    """Pick the last line of each job and question, the whole store checked; how many."""
    return store.pick(store.history(), _question)


def _question(event: Event) -> str:
    return hash_of(canonical([event.entry.job, event.entry.asked]))


def tasks_of_store(store: Store) -> Iterator[Task]:
    """The entries that were picked, as they were asked."""
    for event in store.picked():
        entry = event.entry
        yield Task(
            name=f"{entry.job}, {event.seq}",
            state=entry.hash,
            text=store.text(entry.job_text).decode(),
            file=entry.file,
            asked=entry.asked,
            before=entry.word,
            data=entry.data,
        )
