"""A bar on a terminal for work that takes longer than a second; silent everywhere else."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

PATIENCE_S = 1.0
Tick = Callable[[float], None]  # told how much is done, from 0 to 1


@contextmanager
def waiting(label: str, patience_s: float = PATIENCE_S) -> Iterator[Tick]:
    """A function to be told how far the work is; the bar goes away when it is done.

    It is drawn on the error stream, so that what is printed can be piped.
    """
    if not sys.stderr.isatty():
        yield lambda share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.percentage:.0f} %"))
    bar = Progress(*columns, console=Console(stderr=True), transient=True)
    task, begun, shown = bar.add_task(label, total=1.0), time.monotonic(), False

    def tick(share: float) -> None:
        nonlocal shown
        if not shown and time.monotonic() - begun >= patience_s:
            bar.start()
            shown = True
        bar.update(task, completed=share)

    try:
        yield tick
    finally:
        if shown:
            bar.stop()
