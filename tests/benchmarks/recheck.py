"""How fast many jobs are judged again, and whether memory stays flat.

Run it from the root: `PYTHONPATH=. python tests/benchmarks/recheck.py --jobs 20`. The jobs are
examples with some figures a little otherwise (`tests/store/made.py`). Both ways read the same files
with the base at hand: `recheck` on all processors, rows written to a file, and a plain loop in one
process with one judge. Ratios of alternating runs; the exit code is 1 beyond a limit. They want all
processors free: what else runs takes its share of both ways.
"""

import argparse
import gc
import os
import resource
import statistics
import tempfile
import time
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from selector.inference.judge import Judge
from selector.jobs.read import read_job
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.store.answering import asked_of, brief
from selector.store.outfile import rows_file
from selector.store.recheck import recheck
from selector.store.rows import Bench
from selector.store.tasks import Task, tasks_of_files
from selector.store.workers import Setup, cores
from tests.store.made import variations

LEAST_RATIO = 1.6  # jobs per second, on two processors
MOST_GROWTH = 1.10  # of the peak memory of a process, for ten times the jobs


def written(folder: Path, number: int) -> list[Path]:
    """So many job files."""
    paths = []
    for name, text in variations(number):
        paths.append(folder / f"{name}.yaml")
        paths[-1].write_text(text, encoding="utf-8")
    return paths


@dataclass(frozen=True)
class Spent:
    """Seconds of the clock, and of the processors."""

    clock: float
    work: float


def work_s() -> float:
    """Seconds of a processor that this process and those it started have used."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(u.ru_utime + u.ru_stime for u in used)


def in_a_loop(base: Base, paths: list[Path]) -> Spent:
    """Judging one job after another in this process."""
    gc.collect()
    start, used = time.perf_counter(), work_s()
    judge = Judge(base)
    for path in paths:
        job = read_job(path, base.vocabulary)
        brief(base, job, asked_of(job), judge)
    return Spent(time.perf_counter() - start, work_s() - used)


def rechecked(base: Base, paths: list[Path], workers: int) -> Spent:
    """The same with recheck, from the start of the workers to the report."""
    setup = Setup((None,), (base.digest,), (base,))
    gc.collect()
    start, used = time.perf_counter(), work_s()
    with rows_file(None, {"base": base.digest}) as file:
        done = file.begun()
        report = recheck(file, tasks_of_files(paths), setup, workers, None, done, lambda n: None)
    assert report.total == len(paths) and not report.changes.get("fault"), report.changes
    return Spent(time.perf_counter() - start, work_s() - used)


def peak_mb(base: Base, number: int) -> float:
    """Peak memory of a process of its own that judges so many jobs, without files."""
    read, write = os.pipe()
    pid = os.fork()
    if pid == 0:
        gc.disable()
        Path("/proc/self/clear_refs").write_text("5", encoding="utf-8")  # the peak begins anew
        bench = Bench.of((base,))
        for name, text in islice(variations(number), number):
            bench.row(Task(name, "", text=text, file=f"{name}.yaml"))
            gc.collect(0)  # as a worker does
        status = Path("/proc/self/status").read_text("utf-8")
        kb = next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM"))
        os.write(write, kb.encode())
        os._exit(0)
    os.close(write)
    with os.fdopen(read) as pipe:
        found = pipe.read()
    os.waitpid(pid, 0)
    return int(found) / 1024


def main() -> int:
    """Print both rates, their ratio and spread, the memory, and whether the limits hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=20)
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument(
        "--least",
        type=float,
        default=LEAST_RATIO,
        help="a lower one for processors that are shared",
    )
    parser.add_argument("--memory", type=int, default=100, help="jobs N; memory at N and 10 N")
    options = parser.parse_args()
    base = load_base(None)
    workers = cores()
    with tempfile.TemporaryDirectory() as name:
        paths = written(Path(name), options.jobs)
        ratios, rates, works = [], [], []
        for run in range(options.runs):
            ways = [lambda: in_a_loop(base, paths), lambda: rechecked(base, paths, workers)]
            found = [ways[i]() for i in ((0, 1) if run % 2 == 0 else (1, 0))]
            alone, beside = found if run % 2 == 0 else found[::-1]
            ratios.append(alone.clock / beside.clock)
            rates.append(options.jobs / beside.clock)
            works.append(workers * alone.work / beside.work)
    ratio, rate = statistics.median(ratios), statistics.median(rates)
    print(f"{options.jobs} jobs on {workers} processors: {rate:.1f} jobs a second")
    spread = f"{min(ratios):.2f} to {max(ratios):.2f} in {options.runs} runs"
    print(f"to a loop in one process: {ratio:.2f} ({spread}; at least {LEAST_RATIO:g} on two)")
    print(f"by the work that the processors did, were all free: {statistics.median(works):.2f}")
    small, large = peak_mb(base, options.memory), peak_mb(base, 10 * options.memory)
    growth = large / small
    print(f"peak of a worker: {small:.0f} MB at {options.memory} jobs, {large:.0f} MB at ", end="")
    print(f"{10 * options.memory}; ratio {growth:.2f} (limit {MOST_GROWTH:g})")
    too_slow = workers >= 2 and ratio < options.least
    return int(too_slow or growth > MOST_GROWTH)


if __name__ == "__main__":
    raise SystemExit(main())
