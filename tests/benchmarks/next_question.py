"""How long the next question takes among many parts.

Run it from the root: `PYTHONPATH=. python tests/benchmarks/next_question.py`.

Talks about two roofs, answered as a person on them would, after a base with 50, 1,000 and 20,000
more parts is loaded: one bears a stack, on the other every clamp that is alive has to be put aside
in one turn. From each answer to the question after it one turn is measured: job checked, stacks
found, questions ranked; nothing is collected meanwhile, as in the command. The further parts grip
the shapes of the demo catalogue, so that thousands of clamps are alive at the first question; with
`--other` they grip seams that no roof has, and must be seen to be dead. The yardstick is one bare
walk over the same graph: every joint that interfaces allow visited once, nothing judged.
Milliseconds are those of the processor. `--turns` prints every turn, `--profile` where the largest
talks spend their time. The exit code is 1 when the median or the longest turn among 20,000 parts
is over its limit.
"""

import cProfile
import gc
import pstats
import random
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from catalogues import sample

from selector.inference.answer import Desk
from selector.inference.cores import CLAMP, Graph, Shape, Walk
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base
from selector.questions.talk import State, Talk, brisk, job_in, state_of
from tests.questions.simulate import Person, Rows, true_roof, unseen

SIZES = (50, 1_000, 20_000)  # added to the shipped parts
MOST = 1.0  # bare walks that the median may take at the largest size
LONGEST = 20.0  # bare walks that the longest turn may take there
WANTED = 50  # milliseconds of the median, on a usual machine; they only inform
ROOFS = ("roof 9", "roof 3")  # one bears a stack, one bears none
SHAPES = ("double-lock", "single-lock", "snap-lock", "round", "T", "batten", "trapezoidal")
PLAIN = Shape(framed=False, crossed=False)


@dataclass(frozen=True)
class Turn:
    """One answer and the time until the next question is there."""

    path: str
    alive: int
    milliseconds: float


def grown(base: Base, parts: int, same_seams: bool) -> Base:
    """The shipped base whose demo catalogue has so many parts more."""
    demo = base.catalogues["demo"]
    found = sample(parts, shapes=SHAPES if same_seams else ())
    more = (replace(part, id=f"demo/x-{part.handle}") for part in found.parts)
    catalogue = replace(demo, parts=demo.parts | {p.id: p for p in more})
    return replace(base, catalogues=base.catalogues | {"demo": catalogue})


def turns(base: Base, judge: Judge, truths: dict[str, Rows]) -> list[Turn]:
    """Every turn of all talks; the first, which nothing was worked out for yet, is left out."""
    return [turn for roof, truth in truths.items() for turn in _turns(base, judge, roof, truth)]


def _turns(base: Base, judge: Judge, roof: str, truth: Rows) -> list[Turn]:
    person = Person(base, truth, roof)
    talk = Talk(unseen(truth), "a1", "x", "roof")
    found: list[Turn] = []
    state = state_of(talk, base, judge)
    while state.ask and not state.contradicted:
        path = state.ask[0].path
        talk = _answered(base, talk, person, state)
        start = time.process_time()
        state = state_of(talk, base, judge, state.desk)
        spent = 1000 * (time.process_time() - start)
        found.append(Turn(path, len(state.left.candidates), spent))
    return found


def _answered(base: Base, talk: Talk, person: Person, state: State) -> Talk:
    asked = state.ask[0]
    quantity = base.vocabulary.quantities.get(asked.path)
    if quantity is None:
        return talk.skip(asked.path)
    text, how = person.answer(quantity)
    return talk.answer(quantity, text, how or None)


def bare_walk(desk: Desk) -> float:
    """Milliseconds of one walk over the graph from every clamp, nothing judged; the median of 9."""
    graph: Graph = desk.stock.graph
    clamps = [p.id for p in graph.parts.values() if p.slot == "clamp"]
    times = []
    for _ in range(10):
        start = time.process_time()
        walk = Walk(graph, PLAIN, lambda *_: True)
        for clamp in clamps:
            walk.number(CLAMP, clamp)
        times.append(1000 * (time.process_time() - start))
    return statistics.median(times[1:])


def main() -> int:
    """Measure every size; 1 when one of the largest is over its limit."""
    shipped = load_base()
    shared = brisk(shipped)
    truths = {roof: true_roof(shipped, random.Random(roof)) for roof in ROOFS}
    same = "--other" not in sys.argv
    over = False
    print(f"{'parts':>7}{'turns':>6}{'median':>10}{'p90':>10}{'longest':>10}{'bare walk':>11}")
    for parts in SIZES:
        base = grown(shipped, parts, same)
        judge = brisk(base)
        judge.share(shared)
        walk = bare_walk(Desk(base, job_in(base, unseen(truths[ROOFS[0]])), judge))
        profile = cProfile.Profile()
        profiled = "--profile" in sys.argv and parts == SIZES[-1]
        run = profile.runcall if profiled else _plain
        gc.disable()
        found: list[Turn] = run(turns, base, judge, truths)
        gc.enable()
        gc.collect()
        over = _show(parts, found, walk)
        if "--turns" in sys.argv:
            for turn in found:
                print(f"    {turn.path:<32}{turn.alive:>7} alive {turn.milliseconds:>8.0f} ms")
        if profiled:
            pstats.Stats(profile).sort_stats("cumulative").print_stats(45)
    shared.close()
    return 1 if over else 0


def _show(parts: int, found: list[Turn], walk: float) -> bool:
    """Print one size; whether it is the largest and over a limit."""
    times = sorted(turn.milliseconds for turn in found)
    median, last = statistics.median(times), parts == SIZES[-1]
    print(
        f"{parts:>7,}{len(times):>6}{median:>7.0f} ms{times[len(times) * 9 // 10]:>7.0f} ms"
        f"{times[-1]:>7.0f} ms{walk:>8.1f} ms{f'  (median wanted: {WANTED} ms)' if last else ''}"
    )
    over = False
    for name, ratio, limit in (
        ("median", median / walk, MOST),
        ("longest", times[-1] / walk, LONGEST),
    ):
        beyond = last and ratio > limit
        over |= beyond
        told = f"  limit {limit:g}{'  OVER' if beyond else ''}" if last else ""
        print(f"{name + ' / bare walk':>33}{ratio:>8.2f}{told}")
    return over


def _plain(function: Callable[..., list[Turn]], *given: Any) -> list[Turn]:
    return function(*given)


if __name__ == "__main__":
    raise SystemExit(main())
