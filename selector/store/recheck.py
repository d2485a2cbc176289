"""Many jobs judged again by one base: rows as they come, and what became of their words."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from heapq import nsmallest
from typing import Any

from selector.errors import INTERNAL
from selector.model.truth import Word
from selector.store.outfile import OutFile
from selector.store.rows import BAD_INPUT, NO_JOB, Row, rules_of_data
from selector.store.tasks import Task
from selector.store.workers import Setup, rows

MOST = 1_000  # changed words that are listed; all of them stand in the file of rows
SEVERITY = (INTERNAL, BAD_INPUT, 5, 4, 3, 0)  # exit codes, worst first


@dataclass(frozen=True)
class Report:
    """What became of all words: counts, and the changed ones with loosenings first."""

    total: int
    words: dict[str, int]
    changes: dict[str, int]
    moves: dict[tuple[str, str], int]  # word before and now
    listed: tuple[Row, ...]  # changed words and faults, at most MOST of them
    exit: int

    @property
    def changed(self) -> int:
        """How many words are others now."""
        return self.changes.get("milder", 0) + self.changes.get("stricter", 0)


def recheck(
    out: OutFile,
    tasks: Iterator[Task],
    setup: Setup,
    workers: int,
    data_of: Callable[[str], dict[str, Any]] | None,
    done: int,
    tick: Callable[[int], None],
) -> Report:
    """Judge what has no row yet, write its rows, and report on all of them.

    `data_of` gives a kept answer by its hash; so many are `done`, and `tick` is told how many.
    InputError where the file cannot be gone on with, WorkerError where a worker was ended; rows
    written stay.
    """
    tick(done)
    waiting: list[Task] = []

    def remembered(tasks: Iterable[Task]) -> Iterator[Task]:
        for task in tasks:
            waiting.append(task)
            yield task

    for chunk in rows(remembered(out.past(tasks)), setup, workers):
        for row in chunk:
            task = waiting.pop(0)
            if data_of is not None and row["change"] in ("milder", "stricter") and task.data:
                row["rules_before"] = rules_of_data(data_of(task.data))
        out.add(chunk)
        done += len(chunk)
        tick(done)
    return report_of(out.rows)


def report_of(each: Callable[[], Iterable[Row]]) -> Report:
    """What became of all words; the rows are gone through twice, and never held at once."""
    words: Counter[str] = Counter()
    changes: Counter[str] = Counter()
    moves: Counter[tuple[str, str]] = Counter()
    exits = {0}
    total = 0
    for row in each():
        total += 1
        changes[row["change"]] += 1
        exits.add(row["exit"])
        if row["word"] is not None:
            words[row["word"]] += 1
        if row["change"] in ("milder", "stricter"):
            moves[row["before"], row["word"]] += 1
    to_list = (r for r in each() if r["change"] in ("milder", "stricter", "fault"))
    return Report(
        total=total - changes[NO_JOB],
        words=dict(words),
        changes=dict(changes),
        moves=dict(sorted(moves.items(), key=_milder_first)),
        listed=tuple(nsmallest(MOST, to_list, key=_first)),
        exit=min(exits, key=SEVERITY.index),
    )


def _first(row: Row) -> tuple[int, bool, int, str]:
    """Loosenings first, those that became a yes before the others; then the larger step."""
    if row["change"] == "fault":
        return 2, True, 0, row["name"]
    now, before = Word.of(row["word"]), Word.of(row["before"])
    return int(now > before), not now.is_yes, -abs(now - before), row["name"]


def _milder_first(move: tuple[tuple[str, str], int]) -> tuple[bool, int, int]:
    before, now = map(Word.of, move[0])
    return now > before, now, -before
