"""`seamwright recheck` of many job files, once, as a person runs it: time and memory.

Run it from the root: `PYTHONPATH=. python tests/benchmarks/recheck_once.py --jobs 1000`, then with
ten times as many: what a process takes at most is to stay the same. The jobs are those of
`recheck.py`; of many a few are bad input, since clip marks that were varied no longer rise from the
eave. Nothing is compared and no limit holds.
"""

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from tests.benchmarks.recheck import written

RUN = "from selector.interfaces.cli.main import run; run()"
LOOK_S = 1.0


def processes(pid: int) -> Iterator[int]:
    """A process and those it started, as long as they are there."""
    yield pid
    for child in Path(f"/proc/{pid}/task/{pid}/children").read_text("utf-8").split():
        yield from processes(int(child))


def peak_mb(pid: int) -> int:
    """Most memory that a process had so far, what it shares with others included."""
    status = Path(f"/proc/{pid}/status").read_text("utf-8")
    found = (line.split()[1] for line in status.splitlines() if line.startswith("VmHWM"))
    return int(next(found, "0")) // 1024


def main() -> int:
    """Print jobs a second, the work of the processors, the rows, and the peak of each process."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=1_000)
    number = parser.parse_args().jobs
    with tempfile.TemporaryDirectory() as name:
        folder, out = Path(name) / "jobs", Path(name) / "rows.jsonl"
        folder.mkdir()
        written(folder, number)
        command = [sys.executable, "-c", RUN, "recheck", str(folder), "--out", str(out), "--json"]
        start = time.perf_counter()
        peaks: dict[int, int] = {}
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as ran:
            while ran.poll() is None:
                with suppress(OSError):  # one ended while it was looked at
                    peaks |= {pid: peak_mb(pid) for pid in processes(ran.pid)}
                time.sleep(LOOK_S)
            clock = time.perf_counter() - start
            assert ran.stdout is not None
            report = json.loads(ran.stdout.read())
        size = out.stat().st_size
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    work = used.ru_utime + used.ru_stime
    parent, *workers = (peaks[pid] for pid in sorted(peaks))
    print(f"{number} jobs: {clock:.0f} s, {number / clock:.1f} a second", end="; ")
    print(f"{work:.0f} s of a processor, {1000 * work / number:.0f} ms each; ", end="")
    print(f"load {os.getloadavg()[1]:.1f} on {os.cpu_count()} processors")
    print(f"rows: {size / number:.0f} bytes each; peak: {parent} MB, workers {workers} MB")
    print(f"words: {report['words']}; {report['changes']}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
