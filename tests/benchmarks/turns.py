"""Programs measured in turn in one process, shown as ratios to one of them."""

import gc
import statistics
import time
from collections.abc import Callable, Iterator

from run import Ratio

Times = dict[str, float]


def in_turn(
    programs: dict[str, Callable[[], object]], rounds: int, collecting: bool = False
) -> Times:
    """Median milliseconds of each; all run once in every round, after one that is thrown away.

    Without `collecting` no collection falls into anybody's turn, as with timeit.
    """
    times: dict[str, list[float]] = {name: [] for name in programs}
    for number in range(rounds + 1):
        for name, program in programs.items():
            gc.collect()
            if not collecting:
                gc.disable()
            start = time.perf_counter()
            program()
            spent = time.perf_counter() - start
            gc.enable()
            if number:
                times[name].append(1000 * spent)
    return {name: statistics.median(found) for name, found in times.items()}


def show(text: str, times: Times, yardstick: str, limits: dict[str, float]) -> Iterator[Ratio]:
    """Print each beside its yardstick."""
    print(f"{text}; {yardstick}: {times[yardstick]:.3f} ms")
    for name, spent in times.items():
        if name != yardstick:
            ratio = Ratio(f"  {name}", spent / times[yardstick], limits.get(name))
            limit = "" if ratio.limit is None else f"  limit {ratio.limit:.1f}"
            print(f"{ratio.text:<44}{ratio.value:9.3f}{limit}{'  OVER' if ratio.over else ''}")
            yield ratio
