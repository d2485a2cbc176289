"""Heights of all rail lines together, so that no clip gets too much from several of them.

One line after the other, from the eave: of all pairs of neighbouring heights that the clips between
them bear, the chain that stays nearest to the middles of the windows. On a grid of 5 mm, so a chain
that is found stands, and one that is not found may still be there between the lines of the grid.
"""

from collections.abc import Iterable, Mapping, Sequence

from selector.layout.clip_forces import Pull, borne, on_clips, shares
from selector.layout.clip_windows import ROUND, MarkedSeam, Window, height_in

Loads = Mapping[tuple[int, int], int]  # (seam, clip) -> millinewtons, rounded up


def chain(
    seams: Sequence[MarkedSeam], windows: Sequence[Sequence[Window]], pull: Pull
) -> list[int] | None:
    """One height for each line out of its windows, lines from the eave; None where none is found.

    The windows are those that each line has alone. Lines that are no neighbours are not added up
    here: whoever uses the heights looks at all lines together.
    """
    best: dict[int, tuple[int, tuple[int, ...]]] = {}
    below: list[tuple[int, Loads]] = []
    for n, one in enumerate(windows):
        here = [(at, _loads(seams, at, pull)) for at in _grid(one)]
        fresh: dict[int, tuple[int, tuple[int, ...]]] = {}
        for at, loads in here:
            off = min(abs(2 * at - w.low - w.high) for w in one if w.holds(at))
            if not n:
                fresh[at] = off, (at,)
                continue
            ways = (
                best[other]
                for other, others in below
                if other in best and other < at and _bear(loads, others, pull.spare)
            )
            way = min(ways, default=None)
            if way is not None:
                fresh[at] = way[0] + off, (*way[1], at)
        best, below = fresh, here
    return list(min(best.values())[1]) if best else None


def centred(
    seams: Sequence[MarkedSeam],
    windows: Sequence[Sequence[Window]],
    heights: Sequence[int],
    pull: Pull,
) -> list[int]:
    """The heights, each moved to the middle of what the others leave it, one after the other."""
    found = list(heights)
    for n, one in enumerate(windows):
        others = [*found[:n], *found[n + 1 :]]
        for window in one:
            if window.holds(found[n]):
                left = borne(seams, others, pull, window)
                found[n] = next((height_in(w) for w in left if w.holds(found[n])), found[n])
                break
    return found


def _grid(windows: Iterable[Window]) -> list[int]:
    """Heights to try: whole steps inside the windows, and the one to mark of each."""
    found = set()
    for w in windows:
        found |= {*range(-(-w.low // ROUND) * ROUND, w.high + 1, ROUND), height_in(w)}
    return sorted(found)


def _loads(seams: Sequence[MarkedSeam], at: int, pull: Pull) -> Loads:
    """What a line at one height puts on the clips beside it, on every seam."""
    found: dict[tuple[int, int], int] = {}
    for i, seam in enumerate(seams):
        n = seam.bay(at)
        if n is None:
            found |= {(i, j): load for j, load in enumerate(on_clips(seam, [at], pull)) if load}
        else:
            lower, upper = shares(seam.marks[n], seam.marks[n + 1], at, pull)
            found[i, n], found[i, n + 1] = lower, upper
    return found


def _bear(one: Loads, other: Loads, spare: int) -> bool:
    """Whether no clip gets more than its spare from two lines."""
    return all(load + other.get(clip, 0) <= spare for clip, load in one.items())
