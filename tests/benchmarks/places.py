"""How long layouts take: a roof of 134 seams with 10 rows of 60 modules, and one a tenth the size.

Run it from the root: `PYTHONPATH=. python tests/benchmarks/places.py`. Medians of alternating runs,
as a ratio; the exit code is 1 above the limit. The roofs are those of the example granary, larger.
"""

import argparse
import gc
import statistics
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import yaml

from selector.inference.answer import Desk
from selector.inference.laid_out import LaidOut
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job

ROOT = Path(__file__).resolve().parents[2]
SPACING, FIRST = 540, 200  # mm
CLIPS, UP = 440, 305  # four bays are one row of modules with its gap
LIMIT = 12.0  # a roof ten times the size
SECONDS = 2.0


def job_text(seams: int, rows: int, columns: int) -> str:
    """A job of the granary with so many seams and modules, every clip of every seam measured.

    The block lies in the field: e is 17 m at most, so edges are 1.7 m deep.
    """
    data: dict[str, Any] = yaml.safe_load((ROOT / "examples/granary/job.yaml").read_text("utf-8"))
    high = rows * 1_760 + 4_840
    plane = data["planes"]["south"]
    names = [f"s{n + 1:03}" for n in range(seams)]
    plane["outline"]["rectangle"] = [f"{seams * SPACING} mm", f"{high} mm"]
    plane["sheet"]["length"]["is"] = f"{high} mm"
    plane["seams"]["at"] = {n: f"{FIRST + SPACING * i} mm" for i, n in enumerate(names)}
    marks = [f"{y} mm" for y in range(UP, high, CLIPS)]
    plane["clips"]["marks"]["seams"] = {n: list(marks) for n in names}
    plane.pop("objects", None)
    plane.pop("strips", None)
    array = data["arrays"]["a1"]
    array["block"] = {
        "rows": rows,
        "columns": columns,
        "from_eave": "2110 mm",
        "from_left": "1840 mm",
        "gap": "20 mm",
    }
    return yaml.safe_dump(data, sort_keys=False)


def roof(base: Base, seams: int, rows: int, columns: int) -> Job:
    """The job read, its array set where the seams carry the rails."""
    job = job_of(read_string(job_text(seams, rows, columns), "roof.yaml"), base.vocabulary)
    laid = lay_out(Desk(base, job), job.stacks["planned"])
    array, found = job.arrays["a1"], laid.elsewhere
    if found is not None:
        place = {"from_left": found.left, "breaks": found.breaks, "break_gap": found.gap}
        array = replace(array, **place)
    clips = laid.clips.found if laid.clips is not None else None
    if clips is not None and not clips.stands and array.from_eave is not None:
        block = next(change for change in clips.changes if change.kind == "shift")
        array = replace(array, from_eave=array.from_eave + block.by[0])
    return replace(job, arrays={"a1": array})


def timed(base: Base, job: Job, desk: Desk) -> tuple[float, LaidOut]:
    """Seconds of one layout, everything judged anew."""
    gc.collect()
    gc.disable()  # as the command does
    start = time.perf_counter()
    found = lay_out(Desk(base, job, desk.judge), job.stacks["planned"])
    seconds = time.perf_counter() - start
    gc.enable()
    return seconds, found


def main() -> int:
    """Print both times, their ratio, and whether the limits hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=7)
    runs = parser.parse_args().runs
    base = load_base(None)
    large, small = roof(base, 134, 10, 60), roof(base, 49, 3, 20)
    desk = Desk(base, small)
    times: dict[str, list[float]] = {"large": [], "small": []}
    for _ in range(runs):
        for name, job in (("large", large), ("small", small)):
            seconds, found = timed(base, job, desk)
            times[name].append(seconds)
            assert found.placed is not None and not found.nowhere and found.elsewhere is None
    medians = {name: statistics.median(found) for name, found in times.items()}
    ratio = medians["large"] / medians["small"]
    modules = 10 * 60
    print(f"layout of {modules} modules: {medians['large']:.2f} s, of 60: {medians['small']:.2f} s")
    print(f"ratio {ratio:.1f} (limit {LIMIT:g}); the larger one under {SECONDS:g} s is wanted")
    return int(ratio > LIMIT)  # seconds are those of one machine


if __name__ == "__main__":
    raise SystemExit(main())
