"""How fast the command line is, in ratios; run it with `python tests/benchmarks/run.py`.

Seconds say little about another machine, so none are printed. What is compared runs in turn, round
after round, and the median of each is used. The exit code is 1 when a limit is passed.
"""

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from selector.interfaces.cli.main import app

ROUNDS = 9  # after one that is thrown away
ROOT = Path(__file__).resolve().parent.parent.parent
JOB = str(ROOT / "examples" / "mill-house" / "job.yaml")
FORBIDDEN = ["durable", "durable_rules_engine", "networkx", "numpy", "pydantic", "yaml"]
COMMAND = "from selector.interfaces.cli.main import run; run()"
LOADED = """
import json, sys
before = set(sys.modules)
from selector.interfaces.cli.main import run
try:
    run()
except SystemExit:
    pass
known = sys.stdlib_module_names
new = [n for n in sys.modules if n not in before and getattr(sys.modules[n], "__spec__", None)]
names = [n for n in new if n.partition(".")[0] not in known and n.replace(".", "").isidentifier()]
print(json.dumps(names), file=sys.stderr)
"""
PHASES = """
import json, sys, time
times = [("", time.perf_counter())]
def mark(name):
    times.append((name, time.perf_counter()))
import importlib
from pathlib import Path
for name in json.loads(sys.argv[2]):
    importlib.import_module(name)
mark("import libraries")
from rich.console import Console
from selector.explanation.console import SHOWN, show
from selector.inference.answer import Desk
from selector.jobs.read import read_job
from selector.knowledge.loader import load_base
mark("import selector")
base = load_base(None)
mark("load base")
job = read_job(Path(sys.argv[1]), base.vocabulary)
mark("read job")
desk = Desk(base, job)
mark("make the desk")
answer = desk.choose(job.request.array or "")
mark("judge")
show(answer, base, job, "", Console(highlight=False, width=80), SHOWN)
mark("print")
spent = [(name, now - times[i][1]) for i, (name, now) in enumerate(times[1:])]
print(json.dumps(spent), file=sys.stderr)
"""


@dataclass(frozen=True)
class Ratio:
    """One comparison; `limit` is None when it only informs."""

    text: str
    value: float
    limit: float | None

    @property
    def over(self) -> bool:
        """Whether the limit is passed."""
        return self.limit is not None and self.value > self.limit


def execute(arguments: list[str], env: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """Run python; compiled modules may be kept, as with an installed program."""
    clean = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    command = [sys.executable, *arguments]
    return subprocess.run(command, env=clean | env, capture_output=True, text=True, check=False)


def loaded_after(arguments: list[str], env: dict[str, str]) -> list[str]:
    """Third-party and own modules that a command leaves loaded, in the order of loading."""
    done = execute(["-c", LOADED, *arguments], env)
    names: list[str] = json.loads(done.stderr.splitlines()[-1])
    return names


def others(loaded: list[str]) -> list[str]:
    """Modules that are not ours."""
    return [name for name in loaded if name.partition(".")[0] != "selector"]


def forbidden(loaded: list[str]) -> list[str]:
    """Packages that `--help` must not load."""
    return sorted({name.partition(".")[0] for name in loaded} & set(FORBIDDEN))


def count_commands() -> int:
    """How many commands the command line has, groups not counted."""
    groups = [app]
    total = 0
    while groups:
        group = groups.pop()
        total += len(group.registered_commands)
        groups += [g.typer_instance for g in group.registered_groups if g.typer_instance]
    return total


def minimal_program(folder: Path, commands: int) -> None:
    """A typer program with as many commands and nothing behind them."""
    lines = ["import typer", "", "app = typer.Typer(add_completion=False, rich_markup_mode=None)"]
    for number in range(commands):
        lines += ["", "", "@app.command()", f"def command_{number}(job: str) -> None:"]
        lines += [f'    """Command number {number}."""']
    (folder / "minimal.py").write_text("\n".join([*lines, ""]), encoding="utf-8")


def measure(folder: Path, loaded: list[str]) -> tuple[dict[str, float], dict[str, float]]:
    """Median seconds of every command, and of every phase of `pick`."""
    libraries = others(loaded)
    env = {"PYTHONPATH": os.pathsep.join([str(ROOT), str(folder)])}
    warm = env | {"XDG_CACHE_HOME": str(folder / "warm")}
    cold = env | {"XDG_CACHE_HOME": str(folder / "cold")}
    programs = {
        "python": (["-c", "pass"], env),
        "help": (["-c", COMMAND, "--help"], env),
        "minimal": (["-c", "import minimal; minimal.app()", "--help"], env),
        "imports": (["-c", "".join(f"import {name}\n" for name in loaded)], env),
        "libraries": (["-c", "".join(f"import {name}\n" for name in libraries)], env),
        "warm": (["-c", COMMAND, "pick", JOB], warm),
        "cold": (["-c", COMMAND, "pick", JOB], cold),
        "phases": (["-c", PHASES, JOB, json.dumps(libraries)], warm),
    }
    times: dict[str, list[float]] = {name: [] for name in programs}
    phases: dict[str, list[float]] = {}
    for number in range(ROUNDS + 1):
        shutil.rmtree(folder / "cold", ignore_errors=True)
        for name, (arguments, environment) in programs.items():
            start = time.perf_counter()
            done = execute(arguments, environment)
            spent = time.perf_counter() - start
            if done.returncode not in (0, 3, 4, 5):
                raise RuntimeError(f"{name} failed:\n{done.stderr}")
            if number == 0:
                continue
            times[name].append(spent)
            if name == "phases":
                for phase, seconds in json.loads(done.stderr.splitlines()[-1]):
                    phases.setdefault(phase, []).append(seconds)
    medians = {name: statistics.median(found) for name, found in times.items()}
    return medians, {name: statistics.median(found) for name, found in phases.items()}


def report(medians: dict[str, float], phases: dict[str, float]) -> list[Ratio]:
    """The ratios, and a table of where a pick spends its time, on the screen."""
    ratios = [
        Ratio("--help / minimal program", medians["help"] / medians["minimal"], 1.3),
        Ratio("warm pick / its imports", medians["warm"] / medians["imports"], 2.0),
        Ratio("warm pick / its libraries", medians["warm"] / medians["libraries"], None),
        Ratio("cold pick / warm pick", medians["cold"] / medians["warm"], None),
    ]
    for ratio in ratios:
        limit = "" if ratio.limit is None else f"  limit {ratio.limit:.1f}"
        print(f"{ratio.text:<26}{ratio.value:6.2f}{limit}{'  OVER' if ratio.over else ''}")
    print("shares of a warm pick:")
    shares = {"start python": medians["python"]} | phases
    total = sum(shares.values())
    for name, seconds in shares.items():
        print(f"  {name:<24}{100 * seconds / total:5.1f} %")
    return ratios


def main() -> int:
    """Measure everything; 1 when a limit is passed."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        env = {"PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(folder / "warm")}
        bad = forbidden(loaded_after(["--help"], env))
        print(f"forbidden imports after --help: {', '.join(bad) or 'none'}")
        execute(["-c", COMMAND, "pick", JOB], env)  # fills the cache
        loaded = loaded_after(["pick", JOB], env)
        tops = sorted({n for n in loaded if "." not in n})
        print(f"imports of a warm pick: {len(loaded)} modules of {', '.join(tops)}")
        minimal_program(folder, count_commands())
        ratios = report(*measure(folder, loaded))
    return 1 if bad or any(ratio.over for ratio in ratios) else 0


if __name__ == "__main__":
    raise SystemExit(main())
