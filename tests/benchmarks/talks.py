"""Talks about simulated roofs: is a yes ever false, and what does the order of questions save?

Run it from the root: `PYTHONPATH=. python tests/benchmarks/talks.py [--roofs 2000]`.

Roofs are drawn from the demo catalogue. A person answers within the tolerance of the best tool, or
does not know, as often as the questions say. The same person before the same roof is asked

- in the order of the program;
- by a fixed questionnaire: whatever no guard rules out, in the order of its numbers, stop questions
  first, until nothing is left that some stack waits for, the same end as that of the program;
- in the order of the questionnaire, but only what some stack waits for: what the order alone saves;
- in the order of the program with readings twice as far off as the tools allow;
- in the order of the program by a person who knows everything, with both noises: at the rates at
  which people do not know, hardly a talk ends in a yes, so that these show whether one is false.

What is printed: how often a yes is false by exact figures (with the stated tolerances never);
questions and effort of a talk; how many talks end in the right set, where exactly those stacks are
a yes that can be one by exact figures less all that the person cannot tell; how many end in the
right word. With a folder, what was done before is read from there and not done again. The exit code
is 1 when a limit is passed.
"""

import argparse
import json
import multiprocessing
import os
import statistics
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from run import Ratio

from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.questions.talk import brisk
from tests.questions.simulate import Choose, best, in_file_order, questionnaire, talk_through

ARMS = {  # name -> order, noise as a multiple of the tolerance, whether all is known
    "program": ("program", 1, False),
    "questionnaire": ("questionnaire", 1, False),
    "waited for, in order": ("in order", 1, False),
    "program, doubled noise": ("program", 2, False),
    "all known": ("program", 1, True),
    "all known, doubled": ("program", 2, True),
}
STATED = [arm for arm, (_, noise, _) in ARMS.items() if noise == 1]
OTHERS = ("questionnaire", "waited for, in order")
FEWER = 0.75  # questions of the program, as a share of the questionnaire's
Row = dict[str, Any]


@dataclass(frozen=True)
class Asked:
    """One talk that is to be had."""

    roof: int
    arm: str


class _Own:
    """What a process keeps for all its talks."""

    base: Base
    judge: Judge
    steps: Judge


def start() -> None:
    """Load the base once in each process."""
    _Own.base = load_base()
    _Own.judge, _Own.steps = Judge(_Own.base), brisk(_Own.base)


def talk(asked: Asked) -> Row:
    """One talk, as a row of the file."""
    order, noise, knows_all = ARMS[asked.arm]
    base = _Own.base
    orders = {"program": lambda: best, "in order": lambda: in_file_order(base)}
    choose: Choose = orders.get(order, lambda: questionnaire(base))()
    begun = time.process_time()
    seed = f"roof {asked.roof}"
    found = talk_through(base, _Own.judge, _Own.steps, seed, choose, noise, knows_all)
    return {
        "roof": asked.roof,
        "arm": asked.arm,
        "said": found.said.text,
        "known": found.known.text,
        "true": found.true.text,
        "yes": len(found.yes),
        "knowable": len(found.knowable),
        "truly": len(found.truly),
        "false_yes": found.false_yes,
        "right_set": found.right_set,
        "contradicted": found.contradicted,
        "questions": len(found.asked),
        "asked": found.asked,
        "effort": found.effort,
        "seconds": round(time.process_time() - begun, 2),
    }


def talks(wanted: list[Asked], cores: int, file: Path | None) -> Iterator[Row]:
    """All talks, those of the file first; new ones are written to it as they end."""
    known = {(r["roof"], r["arm"]): r for r in rows(file)}
    left = []
    for asked in wanted:
        if (asked.roof, asked.arm) in known:
            yield known[asked.roof, asked.arm]
        else:
            left.append(asked)
    with multiprocessing.get_context("spawn").Pool(cores, start) as pool:
        for row in pool.imap_unordered(talk, left):
            if file is not None:
                with file.open("a", encoding="utf-8") as out:
                    out.write(json.dumps(row) + "\n")
            yield row


def rows(file: Path | None) -> Iterator[Row]:
    """Rows of a file; one that was cut off is left out, and had again."""
    if file is not None and file.exists():
        for line in file.read_text(encoding="utf-8").splitlines():
            try:
                yield json.loads(line)
            except json.JSONDecodeError:
                continue


def table(found: Iterable[Row]) -> Iterator[str]:
    """One line an arm, for all roofs, and for those that bear a stack and those that bear none."""
    every = list(found)
    for title, some in (
        ("all roofs", every),
        ("roofs that bear a stack", [r for r in every if r["truly"]]),
        ("roofs that bear none", [r for r in every if not r["truly"]]),
    ):
        yield f"{title:<25} talks false  questions         effort  right  right  right  contra-"
        yield f"{'':<25}         yes  mean median  p90   mean    set   word   word  dicted"
        for arm in ARMS:
            own = [r for r in some if r["arm"] == arm]
            if own:
                yield _line(arm, own)
        yield ""
    yield "right word: first as the person can tell, then as the roof truly is"


def _line(arm: str, own: list[Row]) -> str:
    counts = sorted(r["questions"] for r in own)
    shares = (
        100 * statistics.fmean(share)
        for share in (
            [r["right_set"] for r in own],
            [r["said"] == r["known"] for r in own],
            [r["said"] == r["true"] for r in own],
        )
    )
    ends = "".join(f"{share:5.1f} %" for share in shares)
    return (
        f"  {arm:<23}{len(own):>6}{sum(r['false_yes'] for r in own):>6}"
        f"{statistics.fmean(counts):>6.1f}{statistics.median(counts):>7.0f}"
        f"{counts[len(counts) * 9 // 10]:>5}{statistics.fmean(r['effort'] for r in own):>7.1f}"
        f"{ends}{sum(r['contradicted'] for r in own):>8}"
    )


def limits(found: list[Row]) -> Iterator[Ratio]:
    """What must hold with the stated tolerances, and what only informs."""
    own = {arm: [r for r in found if r["arm"] == arm] for arm in ARMS}
    false = sum(r["false_yes"] for arm in STATED for r in own[arm])
    yield Ratio("false yes, stated tolerances", false, 0)
    for other in OTHERS:
        for what in ("questions", "effort"):
            if own["program"] and own[other]:
                mine, its = (statistics.fmean(r[what] for r in own[a]) for a in ("program", other))
                limit = FEWER if (what, other) == ("questions", "questionnaire") else None
                yield Ratio(f"{what}, program / {other}", mine / its, limit)


def main() -> int:
    """Have the talks and print the table; 1 when a limit is passed."""
    parser = argparse.ArgumentParser(description="Talks about simulated roofs.")
    parser.add_argument("--roofs", type=int, default=40, help="how many roofs")
    parser.add_argument("--first", type=int, default=0, help="number of the first roof")
    parser.add_argument("--cores", type=int, default=os.cpu_count() or 1, help="processes")
    parser.add_argument("--into", type=Path, help="a folder that keeps what is done")
    parser.add_argument("--arms", nargs="+", choices=ARMS, default=list(ARMS), help="which talks")
    given = parser.parse_args()
    numbers = range(given.first, given.first + given.roofs)
    wanted = [Asked(roof, arm) for roof in numbers for arm in given.arms]
    file = given.into / "talks.jsonl" if given.into else None
    if file is not None:
        file.parent.mkdir(parents=True, exist_ok=True)
    begun = time.perf_counter()
    found = list(talks(wanted, given.cores, file))
    print("\n".join(table(found)))
    seconds = statistics.fmean(r["seconds"] for r in found)
    print(f"{seconds:.1f} CPU seconds a talk; {time.perf_counter() - begun:.0f} s now")
    ratios = list(limits(found))
    for ratio in ratios:
        limit = "" if ratio.limit is None else f"  limit {ratio.limit:.2f}"
        print(f"{ratio.text:<44}{ratio.value:8.3f}{limit}{'  OVER' if ratio.over else ''}")
    return 1 if any(ratio.over for ratio in ratios) else 0


if __name__ == "__main__":
    raise SystemExit(main())
