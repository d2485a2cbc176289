"""Processes that judge jobs beside each other; rows come in the order of the tasks.

Where it can, a worker is forked with the bases read already; else it reads them itself. At most a
few chunks a worker are on their way, so that memory does not grow with the number of jobs.
"""

import gc
import multiprocessing
import os
import signal
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import islice
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

from selector.errors import InputError
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.store.rows import Bench, Row
from selector.store.tasks import Task

CHUNK = 2  # jobs that a worker gets at once: few, so that all end together
AHEAD = 3  # chunks a worker that may wait for an earlier one
FORK = "fork" if sys.platform == "linux" else "spawn"
Chunk = list[Task]


class WorkerError(Exception):
    """A worker ended by itself, or was ended from outside."""


@dataclass(frozen=True)
class Setup:
    """Bases to judge by: where they lie, and what they are if they were read already."""

    places: tuple[Path | None, ...]
    digests: tuple[str, ...]
    bases: tuple[Base, ...] = ()

    def bench(self) -> Bench:
        """The bases with their judges; InputError where one is not the one that was meant."""
        bases = self.bases or tuple(map(load_base, self.places))
        if tuple(b.digest for b in bases) != self.digests:
            raise InputError.of("the base was changed while jobs were judged", "begin anew")
        return Bench.of(bases)


@dataclass
class _Worker:
    process: BaseProcess
    pipe: Connection
    number: int = -1  # of the chunk it works on
    chunk: Chunk | None = None


def cores() -> int:
    """How many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def rows(
    tasks: Iterable[Task], setup: Setup, workers: int, method: str = FORK, size: int = CHUNK
) -> Iterator[list[Row]]:
    """Rows of all tasks, chunk by chunk and in their order; WorkerError where a worker is gone."""
    chunks = enumerate(_chunks(tasks, size))
    done: dict[int, list[Row]] = {}
    following, open_still = 0, True
    with _started(setup, workers, method) as team:
        while True:
            for worker in team if open_still else ():
                given = max((w.number for w in team), default=0)
                if worker.chunk is None and given < following + AHEAD * workers:
                    worker.number, worker.chunk = next(chunks, (-1, None))
                    open_still = worker.chunk is not None
                    if worker.chunk is not None:
                        _send(worker, worker.chunk)
            while following in done:  # all are at work while these are looked at
                yield done.pop(following)
                following += 1
            busy = {w.pipe: w for w in team if w.chunk is not None}
            if not busy:
                return
            for pipe in wait(list(busy)):
                worker = busy[pipe]  # type: ignore[index]
                done[worker.number] = _received(worker)
                worker.chunk = None


def _chunks(tasks: Iterable[Task], size: int) -> Iterator[Chunk]:
    tasks = iter(tasks)
    while chunk := list(islice(tasks, size)):
        yield chunk


def _send(worker: _Worker, chunk: Chunk) -> None:
    with suppress(BrokenPipeError, ConnectionResetError):  # told when its answer is read
        worker.pipe.send(chunk)


def _received(worker: _Worker) -> list[Row]:
    try:
        found = worker.pipe.recv()
    except (EOFError, ConnectionResetError):
        worker.process.join()
        names = ", ".join(t.name for t in worker.chunk or ())
        code = worker.process.exitcode
        raise WorkerError(f"a worker ended ({code}) at one of: {names}") from None
    if isinstance(found, InputError):
        raise found
    return list(found)


@contextmanager
def _started(setup: Setup, workers: int, method: str) -> Iterator[list[_Worker]]:
    context: Any = multiprocessing.get_context(method)
    bases = setup.bases if method == "fork" else ()
    setup = Setup(setup.places, setup.digests, bases)
    team: list[_Worker] = []
    gc.collect()
    gc.freeze()  # what is read already is shared, and stays so while a worker collects
    try:
        for _ in range(workers):
            mine, theirs = context.Pipe()
            inherited = [*(w.pipe for w in team), mine] if method == "fork" else []
            process = context.Process(target=_work, args=(theirs, setup, inherited), daemon=True)
            process.start()
            theirs.close()
            team.append(_Worker(process, mine))
        gc.unfreeze()
        yield team
    finally:
        for worker in team:
            worker.pipe.close()  # tells it to end
        for worker in team:
            worker.process.join(timeout=5)
            if worker.process.is_alive():
                worker.process.kill()
                worker.process.join()


def _work(pipe: Connection, setup: Setup, inherited: list[Connection]) -> None:
    """Judge chunks until nobody sends one; the other ends of the pipes are not ours to hold."""
    for other in inherited:
        other.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who started it says when to stop
    gc.disable()
    with suppress(EOFError, BrokenPipeError, ConnectionResetError):
        try:
            bench = setup.bench()
        except InputError as error:
            pipe.recv()
            pipe.send(error)
            return
        while True:
            pipe.send([_judged(bench, task) for task in pipe.recv()])


def _judged(bench: Bench, task: Task) -> Row:
    """One row; what the job left behind is collected, and nothing older is looked at again."""
    row = bench.row(task)
    gc.collect(0)
    return row
