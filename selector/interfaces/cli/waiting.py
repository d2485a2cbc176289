"""A bar on a terminal for work that takes longer than a second; silent everywhere else."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import ProgressColumn

PATIENCE_S = 1.0
Tick = Callable[[float], None]  # told how much is done


@contextmanager
def waiting(label: str, patience_s: float = PATIENCE_S) -> Iterator[Tick]:
    """A function to be told how far the work is, from 0 to 1; the bar goes away when it is done.

    It is drawn on the error stream, so that what is printed can be piped.
    """
    with _bar(label, 1.0, patience_s, _share) as tick:
        yield tick


@contextmanager
def counting(label: str, total: int) -> Iterator[Tick]:
    """The same for work that is counted: how many of how many, and how long yet."""
    with _bar(label, total, PATIENCE_S, _count) as tick:
        yield tick


def _share() -> tuple["ProgressColumn", ...]:
    from rich.progress import TextColumn

    return (TextColumn("{task.percentage:.0f} %"),)


def _count() -> tuple["ProgressColumn", ...]:
    from rich.progress import MofNCompleteColumn, TimeRemainingColumn

    return MofNCompleteColumn(), TimeRemainingColumn()


@contextmanager
def _bar(
    label: str, total: float, patience_s: float, beside: Callable[[], tuple["ProgressColumn", ...]]
) -> Iterator[Tick]:
    if not sys.stderr.isatty():
        yield lambda done: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    columns = (TextColumn("{task.description}"), BarColumn(), *beside())
    bar = Progress(*columns, console=Console(stderr=True), transient=True)
    task, begun, shown = bar.add_task(label, total=total), time.monotonic(), False

    def tick(done: float) -> None:
        nonlocal shown
        if not shown and time.monotonic() - begun >= patience_s:
            bar.start()
            shown = True
        bar.update(task, completed=done)

    try:
        yield tick
    finally:
        if shown:
            bar.stop()
