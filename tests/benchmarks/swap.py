"""How long a substitution takes beside its imports: `python tests/benchmarks/swap.py`.

Both are whole processes: the command, and one that only imports what the command leaves loaded.
They run in turn, round after round, after one that fills the cache and is thrown away; what counts
is the median of the processor's time, which a busy machine changes little. Of a refusal the stacks
of the array are built and judged in its place, the nearest first, until the five smallest changes
are found; more of them grow with the catalogue.
"""

import argparse
import json
import resource
import statistics
import tempfile
from pathlib import Path

from run import COMMAND, JOB, ROOT, execute, loaded_after

LIMIT, OF_A_REFUSAL = 2.0, 2.2
PLACE = "layout.rails.r1.from_eave=1.02 m"
CASES: dict[str, tuple[list[str], float]] = {
    "torque as listed, a yes": (["--set", "torque=11 Nm"], LIMIT),
    "a rail line moved, with how far it may move": (["--set", PLACE], LIMIT),
    "another clamp, refused, with its ways out": (["--out", "dl-1", "--in", "dl-3"], OF_A_REFUSAL),
}
IMPORTS = (
    "import importlib, json, sys\nfor n in json.loads(sys.argv[1]): importlib.import_module(n)"
)


def seconds(arguments: list[str], env: dict[str, str], codes: tuple[int, ...]) -> float:
    """Processor time of one run of python that ends with one of these codes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = execute(arguments, env)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert done.returncode in codes, done.stderr
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> int:
    """Print the ratio of each case; 1 where the limit is passed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=9)
    runs = parser.parse_args().runs
    over = False
    with tempfile.TemporaryDirectory() as cache:
        env = {"PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(Path(cache)), "LC_ALL": "C.UTF-8"}
        for name, (change, limit) in CASES.items():
            command = ["swap", JOB, *change]
            names = json.dumps(loaded_after(command, env))
            works: list[float] = []
            imports: list[float] = []
            for _ in range(runs):
                works.append(seconds(["-c", COMMAND, *command], env, (0, 3, 4, 5)))
                imports.append(seconds(["-c", IMPORTS, names], env, (0,)))
            ratio = statistics.median(works) / statistics.median(imports)
            spread = [w / i for w, i in zip(works, imports, strict=True)]
            print(f"{name} / its imports: {ratio:.2f} ({min(spread):.2f} to {max(spread):.2f})")
            over = over or ratio > limit
    print(f"limit {LIMIT:g}, of the refusal {OF_A_REFUSAL:g}")
    return int(over)


if __name__ == "__main__":
    raise SystemExit(main())
