"""One kept answer: what was asked of which job, on what knowledge, and what came of it."""

from dataclasses import asdict, dataclass, fields
from functools import cached_property
from typing import Any

from selector.jobs.schema import NAME
from selector.store.hashes import canonical, hash_of

Asked = dict[str, Any]  # the request in the form of a job file
LONGEST = 2_000  # characters of a name or a note


@dataclass(frozen=True)
class Entry:
    """One kept answer; texts stand by their hash, `before` is the entry before of the same job.

    Its own hash covers all of it, so that a chain of entries holds together by hashes alone.
    """

    job: str
    file: str  # name that the job file was read by; it stands in the answer
    asked: Asked
    as_of: str
    at: str  # when it was kept, UTC
    by: str
    note: str
    language: str
    word: str
    exit: int
    base: str  # digest of the knowledge
    program: str  # version
    code: str  # digest of the source of the program
    job_text: str
    data: str  # answer/1, or swap/1 of a substitution
    screen: str  # as printed on 80 columns
    before: str

    @cached_property
    def hash(self) -> str:
        """SHA-256 over everything above."""
        return hash_of(canonical(asdict(self)))

    @property
    def texts(self) -> tuple[str, str, str]:
        """Hashes of the texts that belong to it."""
        return self.job_text, self.data, self.screen


def entry_of(data: Any) -> Entry:
    """Entry of plain data; ValueError says what is wrong with it."""
    if not isinstance(data, dict):
        raise ValueError("an entry is no object")
    wanted = {f.name: f.type for f in fields(Entry)}
    missing, unknown = sorted(wanted.keys() - data.keys()), sorted(data.keys() - wanted.keys())
    if missing or unknown:
        raise ValueError(f"an entry has other keys: {', '.join((*missing, *unknown))}")
    for name, value in data.items():
        kind = {"asked": dict, "exit": int}.get(name, str)
        if type(value) is not kind:
            raise ValueError(f"`{name}` of an entry is no {kind.__name__}")
        if isinstance(value, str) and len(value) > LONGEST:
            raise ValueError(f"`{name}` of an entry is longer than {LONGEST:,} characters")
    if not NAME.fullmatch(data["job"]):
        raise ValueError("`job` of an entry is no id of a job")
    return Entry(**data)


@dataclass(frozen=True)
class Event:
    """One line of the history of a store: an entry kept here, or brought in."""

    seq: int
    kind: str  # kept | imported
    at: str
    entry: Entry
    head: str  # hash of this line and of the one before
    early: bool = False  # dated before a line that stands above it: the clock was set back


def line_of(seq: int, kind: str, at: str, entry: str) -> dict[str, Any]:
    """What the head of a line of the history covers besides the head before it."""
    return {"seq": seq, "kind": kind, "at": at, "entry": entry}
