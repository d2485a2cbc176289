"""How long the links of a roof take: a plane with 200 clamps, and one with 50.

Run it from the root: `PYTHONPATH=. python tests/benchmarks/chain.py`. Laid out, checked as a whole
and repaired, then every link from module to board, with medians of alternating runs as a ratio; the
exit code is 1 above the limit. The roofs are those of the example granary, larger.
"""

import argparse
import statistics
import time

from places import roof

from selector.inference.answer import Desk
from selector.inference.repair import lay_out
from selector.inference.whole_chain import whole_chain
from selector.knowledge.loader import load_base

LIMIT = 6.0  # four times the clamps


def main() -> int:
    """Print both times, their ratio, and whether the limit holds."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=9)
    runs = parser.parse_args().runs
    base = load_base(None)
    jobs = {"large": roof(base, 34, 4, 12), "small": roof(base, 22, 2, 6)}
    desk = Desk(base, jobs["small"])
    times: dict[str, list[float]] = {name: [] for name in jobs}
    clamps = dict.fromkeys(jobs, 0)
    for _ in range(runs):
        for name, job in jobs.items():
            start = time.perf_counter()
            laid = lay_out(Desk(base, job, desk.judge), job.stacks["planned"])
            links = whole_chain(laid)
            times[name].append(time.perf_counter() - start)
            assert laid.placed is not None and laid.sums is not None and links
            clamps[name] = len(list(laid.placed.clamps))
    medians = {name: statistics.median(found) for name, found in times.items()}
    ratio = medians["large"] / medians["small"]
    for name, many in clamps.items():
        print(f"links of {many} clamps: {medians[name] * 1000:.0f} ms")
    print(f"ratio {ratio:.1f} for {clamps['large'] / clamps['small']:.1f} times the clamps")
    print(f"limit {LIMIT:g}")
    return int(ratio > LIMIT)


if __name__ == "__main__":
    raise SystemExit(main())
