"""How fast windows between clips are found; run it with `python tests/benchmarks/clip_windows.py`.

Three rail lines over 60 seams with 1,200 clips, against sorting those clips once in plain Python.
What is compared runs in turn, round after round, and the median of each is used; the collector of
unused memory stands still meanwhile, as in the program. The exit code is 1 beyond the limit.
"""

import gc
import random
import statistics
import time
from collections.abc import Callable

from selector.layout.clip_windows import (
    MarkedSeam,
    Reach,
    Window,
    free,
    line_zones,
    lines_of,
    shifts,
    within,
)

MM = 1_000
SEAMS, CLIPS, ROUNDS = 60, 20, 301
LIMIT = 3.0


def roof(seed: int = 1) -> list[MarkedSeam]:
    """Seams whose clips stand some 450 mm apart, each to 5 mm, on a sheet of 9.3 m; invented."""
    rng = random.Random(seed)
    seams = []
    for n in range(SEAMS):
        at, marks = rng.randint(40, 60) * 5, []
        for _ in range(CLIPS):
            marks.append(((at - 10) * MM, (at + 10) * MM))
            at += 450 + 5 * rng.randint(-1, 1)
        seams.append(MarkedSeam(f"s{n:02}", tuple(marks), 9_300 * MM))
    return seams


def medians(programs: dict[str, Callable[[], object]]) -> dict[str, float]:
    """Median seconds of each, all of them run in turn."""
    times: dict[str, list[float]] = {name: [] for name in programs}
    gc.disable()
    for number in range(ROUNDS + 1):
        for name, program in programs.items():
            start = time.perf_counter()
            program()
            if number:
                times[name].append(time.perf_counter() - start)
    gc.enable()
    return {name: statistics.median(found) for name, found in times.items()}


def main() -> int:
    """Measure; 1 when the limit is passed."""
    seams = roof()
    reach = Reach(95 * MM, 10 * MM, 520 * MM)
    clips = [mark for seam in seams for mark in seam.marks]
    lows = [low for low, _ in clips]
    zones = line_zones(1_740 * MM, Window(120 * MM, 440 * MM), 3, 10 * MM, 110 * MM)
    lines = lines_of(2_000 * MM, zones)

    def three_lines() -> list[list[Window]]:
        heights = free(seams, reach)
        return [within(heights, zone) for zone in lines]

    heights, room = free(seams, reach), Window(-1_800 * MM, 4_000 * MM)
    found = medians(
        {
            "sort": lambda: sorted(clips),
            "sort of bare numbers": lambda: sorted(lows),
            "three lines": three_lines,
            "all shifts": lambda: shifts(heights, lines, room),
        }
    )
    print(f"{len(lines)} rail lines, {len(seams)} seams, {len(clips):,} clips")
    ratio = found["three lines"] / found["sort"]
    over = "  OVER" if ratio > LIMIT else ""
    print(f"windows of all lines / sorting the clips     {ratio:5.2f}  limit {LIMIT:.1f}{over}")
    bare = found["three lines"] / found["sort of bare numbers"]
    print(f"the same / sorting bare numbers              {bare:5.2f}")
    shift = found["all shifts"] / found["sort"]
    print(f"all shifts of the block then / sorting       {shift:5.2f}")
    return 1 if ratio > LIMIT else 0


if __name__ == "__main__":
    raise SystemExit(main())
