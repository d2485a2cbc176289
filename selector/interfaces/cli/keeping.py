"""Keep an answer that was given: the store is tried first, so that no work is done in vain."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.interfaces.cli.screen import language
from selector.jobs.read import read_job_and_text
from selector.knowledge.base import Base
from selector.knowledge.documents import documents_of, read_texts
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.model.job import Job
from selector.store.answering import Given, kept
from selector.store.entry import Asked
from selector.store.place import usual_store
from selector.store.store import opened


def now() -> str:
    """The time of the clock, UTC."""
    return datetime.now(UTC).isoformat(timespec="seconds")


@dataclass(frozen=True)
class Opened:
    """A job and its base with the very texts that they were read from."""

    base: Base
    texts: dict[str, str]
    job: Job
    text: str


def open_job(path: Path, kb: Path | None, lang: str | None) -> Opened:
    """A job to be kept, read once."""
    texts = read_texts(home(kb))
    base = build(*documents_of(texts))
    base = speaking(base, language(lang, base.texts))
    job, text = read_job_and_text(path, base.vocabulary)
    return Opened(base, texts, job, text)


def keep(
    given: Given, asked: Asked, opened_job: Opened, store: Path, *, by: str = "", note: str = ""
) -> None:
    """Keep an answer and say so on the error stream; InputError where it could not be kept."""
    at = now()
    found = kept(given, asked, opened_job.text, at=at, by=by, note=note)
    with opened(store, write=True) as open_store:
        event = open_store.keep(found.entry, found.texts, opened_job.texts, at)
    say = Texts.of(given.base).say
    print(say("store.kept", seq=event.seq, path=store), file=sys.stderr)
    if event.early:
        print(say("store.kept_early", seq=event.seq), file=sys.stderr)


@contextmanager
def tried(store: Path | None) -> Iterator[Path]:
    """The store to keep in, after a look whether it can be opened at all."""
    path = store or usual_store()
    with opened(path, write=True):
        pass
    yield path
