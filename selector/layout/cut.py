"""Rail lengths sawn from bars of the lengths that are sold, with the least length of bars.

One-dimensional cutting stock with several stock lengths (L. V. Kantorovich, 1939; P. C. Gilmore and
R. E. Gomory, 1961). A saw cut takes `kerf` between two lengths; where the rest is shorter than a
cut, the saw takes it. So a bar holds lengths whose sum, each with one cut, is at most the bar with
one cut: below, a *size* is a length with its cut and a *room* a bar with one.
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from math import ceil, gcd
from typing import Literal

from selector.layout.model import Bar, CutPlan

PATTERNS = 20_000  # ways to fill one bar, all stock lengths together, that are still handed on
TRIES = 20_000  # bars that the search by hand fills before it gives up
NODES = 20_000  # of the solver, so that the same input ends at the same plan
EXACT = 1e-6
Solver = Literal["any", "own", "patterns"]


@dataclass(frozen=True)
class Stock:
    """Bar lengths that are sold, what a saw cut takes, and the shortest rest worth keeping."""

    lengths: tuple[int, ...]
    kerf: int = 0
    reusable: int = 0


def cut_plan(lengths: Sequence[int], stock: Stock, solver: Solver = "any") -> CutPlan:
    """Bars that give all lengths, with the least sum of bars that was found, and a proven bound.

    All in micrometres. `how` says what found it: *first fit*, *search* (branch and bound), or
    *patterns* (scipy's HiGHS over all ways to fill a bar). The quick ways come first; scipy is
    loaded only where they do not meet their own bound, and never with `own`. Without it, or above
    20,000 ways, a plan may stay unproven. ValueError for a length that no bar holds.
    """
    task = _Task(lengths, stock)
    if not lengths:
        return CutPlan((), 0, True, "first fit")
    bound = task.least_sum(sum(task.sizes[i] * n for i, n in enumerate(task.wanted)))
    bars, how = _first_fit(task), "first fit"
    if solver != "patterns" and _sum(bars) > bound:
        found, complete = _search(task, bars, bound)
        if _sum(found) < _sum(bars):
            bars, how = found, "search"
        if complete:
            bound, how = _sum(bars), "search"
    if solver == "patterns" or (solver == "any" and _sum(bars) > bound):
        solved = _by_patterns(task)
        if solved is not None:
            bound = max(bound, solved[1])
            if _sum(solved[0]) < _sum(bars) or solver == "patterns":
                bars, how = solved[0], "patterns"
    ordered = sorted(task.gathered(bars), key=lambda bar: (-bar.stock, [-c for c in bar.cuts]))
    return CutPlan(tuple(ordered), bound, _sum(bars) <= bound, how)


def quick_sum(lengths: Sequence[int], stock: Stock) -> int:
    """Sum of the bars of a plan found without search, to compare ways to splice by."""
    return _sum(_first_fit(_Task(lengths, stock))) if lengths else 0


def bound_of(size: int, pieces: int, stock: Stock) -> int:
    """The least sum of bars for pieces of so much together, wherever they are spliced."""
    return _Task((), stock).least_sum(size + pieces * stock.kerf)


# --- the task in sizes and rooms -------------------------------------------------------


class _Task:
    """Different lengths from the longest down with how many of each are wanted."""

    def __init__(self, lengths: Sequence[int], stock: Stock):
        self.stocks = sorted(set(stock.lengths))
        self.kerf = stock.kerf
        if not self.stocks or self.stocks[0] <= 0 or stock.kerf < 0:
            raise ValueError("stock lengths are above zero, a saw cut not below")
        if not all(0 < length <= self.stocks[-1] for length in lengths):
            raise ValueError("a length is above zero and not longer than the longest bar")
        self.counts = Counter(lengths)
        self.lengths = sorted(self.counts, reverse=True)
        self.sizes = [length + stock.kerf for length in self.lengths]
        self.wanted = tuple(self.counts[length] for length in self.lengths)
        self.unit = gcd(*self.stocks)
        self._rooms = [0]  # by sum of bars in units: the most room, -1 where no bars give it
        self._best = [(0, 0)]  # room, sum: less of one is less of the other

    def least_sum(self, size: int) -> int:
        """The least sum of bars whose rooms hold so much, were it cut as finely as one likes."""
        while self._best[-1][0] < size:
            number = len(self._rooms)
            steps = [(number - bar // self.unit, bar + self.kerf) for bar in self.stocks]
            before = [(self._rooms[n], room) for n, room in steps if n >= 0]
            room = max((old + new for old, new in before if old >= 0), default=-1)
            self._rooms.append(room)
            if room > self._best[-1][0]:
                self._best.append((room, number * self.unit))
        return self._best[bisect_left(self._best, (size, 0))][1]

    def smallest(self, size: int) -> int:
        """The shortest bar with room for so much; the sum of sizes is at most the longest room."""
        return next(bar for bar in self.stocks if size <= bar + self.kerf)

    def size(self, filling: Sequence[int]) -> int:
        """What a filling takes of a room."""
        return sum(size * n for size, n in zip(self.sizes, filling, strict=True))

    def bar(self, stock: int, filling: Sequence[int]) -> Bar:
        """A bar cut into so many of each length."""
        cuts = (length for length, n in zip(self.lengths, filling, strict=True) for _ in range(n))
        return Bar(stock, tuple(cuts))

    def fillings(
        self, room: int, left: Sequence[int], at: int = 0, spare: int | None = None
    ) -> Iterator[tuple[int, ...]]:
        """Every way to fill a room with what is left so that nothing more of it goes in.

        The fullest of the longest first; `spare` is the shortest size passed over before `at`.
        """
        if at == len(left):
            if spare is None or room < spare:
                yield ()
            return
        size = self.sizes[at]
        for number in range(min(left[at], room // size), -1, -1):
            passed = size if number < left[at] else spare  # sizes fall, so it is the shortest
            for more in self.fillings(room - number * size, left, at + 1, passed):
                yield (number, *more)

    def gathered(self, bars: list[Bar]) -> list[Bar]:
        """The same bars with lengths moved into tighter rests, so that what is left is long."""
        free = [bar.stock + self.kerf - sum(c + self.kerf for c in bar.cuts) for bar in bars]
        cuts = [sorted(bar.cuts) for bar in bars]
        for giver in sorted(range(len(bars)), key=lambda n: (-free[n], n)):
            for length in list(cuts[giver]):
                size = length + self.kerf
                takers = [n for n in range(len(bars)) if n != giver and size <= free[n]]
                taker = min(takers, key=lambda n: (free[n], n), default=giver)
                if free[taker] < free[giver] + size and taker != giver and len(cuts[giver]) > 1:
                    cuts[giver].remove(length)
                    cuts[taker].append(length)
                    free[giver] += size
                    free[taker] -= size
        return [
            Bar(bar.stock, tuple(sorted(mine, reverse=True)))
            for bar, mine in zip(bars, cuts, strict=True)
        ]


# --- three ways to a plan --------------------------------------------------------------


def _first_fit(task: _Task) -> list[Bar]:
    """The longest first into the first bar with room, for each stock length; the best of them."""
    plans = []
    for stock in task.stocks:
        if stock >= task.lengths[0]:
            rooms: list[int] = []
            held: list[list[int]] = []
            for number, wanted in enumerate(task.wanted):
                for _ in range(wanted):
                    size = task.sizes[number]
                    at = next((n for n, room in enumerate(rooms) if size <= room), len(rooms))
                    if at == len(rooms):
                        rooms.append(stock + task.kerf)
                        held.append([0] * len(task.wanted))
                    rooms[at] -= size
                    held[at][number] += 1
            plans.append([task.bar(task.smallest(task.size(h)), h) for h in held])
    plans.append(_fullest(task))
    return min(plans, key=_sum)


def _fullest(task: _Task) -> list[Bar]:
    """Bar by bar, the stock length that the longest ones left fill best."""
    left, bars = task.wanted, []
    while any(left):
        longest = next(n for n, wanted in enumerate(left) if wanted)
        room = [stock for stock in task.stocks if stock >= task.lengths[longest]]
        tried = [(task.size(f) / s, s, f) for s in room for f in (_greedy(task, s, left),)]
        filling = max(tried)[2]
        bars.append(task.bar(task.smallest(task.size(filling)), filling))
        left = _without(left, filling)
    return bars


def _greedy(task: _Task, stock: int, left: tuple[int, ...]) -> tuple[int, ...]:
    """A bar filled with as many as will go of the longest, then of the next."""
    return next(task.fillings(stock + task.kerf, left))


def _search(task: _Task, bars: list[Bar], bound: int) -> tuple[list[Bar], bool]:
    """The least plan by branch and bound, and whether all was searched.

    The longest length left goes into some bar, and that bar may as well be full: so each step tries
    every full bar with it. Cut off where the sum so far and the least sum for the rest are no less
    than the best plan, or where the same rest was met with no more.
    """
    best, tries = bars, 0
    met: dict[tuple[int, ...], int] = {}
    open_: list[tuple[tuple[int, ...], int, tuple[tuple[int, tuple[int, ...]], ...]]]
    open_ = [(task.wanted, 0, ())]
    while open_ and _sum(best) > bound:
        left, spent, so_far = open_.pop()
        if not any(left):
            best = [task.bar(*one) for one in so_far] if spent < _sum(best) else best
            continue
        if (
            spent + task.least_sum(task.size(left)) >= _sum(best)
            or met.get(left, spent + 1) <= spent
        ):
            continue
        met[left] = spent
        steps = []
        for stock, filling in _full_bars(task, left):
            tries += 1
            if tries > TRIES:
                return best, False
            steps.append((stock - task.size(filling), stock, filling))
        for _, stock, filling in sorted(steps, reverse=True):  # the fullest is taken next
            rest = _without(left, filling)
            open_.append((rest, spent + stock, (*so_far, (stock, filling))))
    return best, True


def _full_bars(task: _Task, left: tuple[int, ...]) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Every full bar with the longest length left, in no longer a bar than it needs."""
    longest = next(n for n, wanted in enumerate(left) if wanted)
    for stock in task.stocks:
        if stock >= task.lengths[longest]:
            for filling in task.fillings(stock + task.kerf, left):
                if not filling[longest]:
                    break  # the fullest of the longest come first
                if task.smallest(task.size(filling)) == stock:
                    yield stock, filling


def _by_patterns(task: _Task) -> tuple[list[Bar], int] | None:
    """A plan and a bound by mixed-integer programming; None without scipy or with too many ways."""
    try:
        from scipy.optimize import Bounds, LinearConstraint, milp
    except ImportError:
        return None
    every = (
        (stock, filling)
        for stock in task.stocks
        for filling in task.fillings(stock + task.kerf, task.wanted)
        if any(filling) and task.smallest(task.size(filling)) == stock
    )
    ways = list(islice(every, PATTERNS + 1))
    if len(ways) > PATTERNS:
        return None
    found = milp(
        [stock // task.unit for stock, _ in ways],
        integrality=[1] * len(ways),
        bounds=Bounds(0, sum(task.wanted)),
        constraints=LinearConstraint(
            [list(row) for row in zip(*(filling for _, filling in ways), strict=True)], task.wanted
        ),
        options={"node_limit": NODES, "mip_rel_gap": 0.0},
    )
    if found.x is None:
        return None
    bars, left = [], task.wanted
    for (_, filling), times in zip(ways, found.x, strict=True):
        for _ in range(round(times)):
            cut = tuple(min(a, b) for a, b in zip(filling, left, strict=True))
            if any(cut):
                bars.append(task.bar(task.smallest(task.size(cut)), cut))
                left = _without(left, cut)
    if any(left):
        return None
    return bars, ceil(found.mip_dual_bound - EXACT) * task.unit


def _without(left: tuple[int, ...], filling: Sequence[int]) -> tuple[int, ...]:
    return tuple(a - b for a, b in zip(left, filling, strict=True))


def _sum(bars: list[Bar]) -> int:
    return sum(bar.stock for bar in bars)
