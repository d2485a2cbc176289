"""The store as data, schemas `jobs/1` (list, show) and `replay/1`."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from pathlib import Path
from textwrap import indent
from typing import Any

from selector.explanation.dumped import dumped
from selector.store.entry import Event
from selector.store.find import Found
from selector.store.replay import Replayed
from selector.store.store import Store

Data = dict[str, Any]


def event_data(event: Event) -> Data:
    """One line of the history with its entry."""
    entry = {k: v for k, v in asdict(event.entry).items() if k not in ("data", "screen")}
    line = {"number": event.seq, "kind": event.kind, "written": event.at, "early": event.early}
    return {**line, "hash": event.entry.hash, **entry}


def list_text(path: Path, found: Found) -> Iterator[str]:
    """The list as JSON, oldest first, piece by piece: it may be longer than memory is large."""
    head = {"schema": "jobs/1", "store": str(path), "entries": found.entries, "head": found.head}
    above, end = dumped({**head, "jobs": []}).rsplit("]", 1)
    yield above
    lead = "\n"
    for event in found.oldest_first():
        yield lead + indent(dumped(event_data(event)), "  ")
        lead = ",\n"
    yield ("\n ]" if found.number else "]") + end


def show_data(store: Store, event: Event, every: Iterable[Event]) -> Data:
    """One entry with its job, its answer and the history of its job."""
    entry = event.entry
    return {
        "schema": "jobs/1",
        **event_data(event),
        "text": store.text(entry.job_text).decode(),
        "answer": json.loads(store.text(entry.data)),
        "page": store.text(entry.screen).decode(),
        "history": [event_data(e) for e in every if e.entry.job == entry.job],
    }


def replay_data(found: Replayed, event: Event, version: str, code: str) -> Data:
    """The kept answer, whether it comes again, and what today's base says."""
    today = found.today
    return {
        "schema": "replay/1",
        "seamwright": version,
        "code": code,
        **{k: v for k, v in event_data(event).items() if k != "job_text"},
        "answer": json.loads(found.data),
        "same": found.same,
        "other_program": found.other_program,
        "fault": found.fault or None,
        "otherwise": None if found.otherwise is None else asdict(found.otherwise),
        "today_fault": found.today_fault or None,
        "today": None
        if today is None
        else {
            "base": today.base,
            "answer": today.data,
            "differs": asdict(today.differs),
            "changed": [asdict(c) for c in today.changed],
            "worded": today.worded,
            "brought_back": list(today.brought_back),
            "fewest": today.fewest,
        },
    }
