"""How far a drawn rail line may move up or down the slope before another rule says no.

Each place is judged again, step by step outwards; steps are finer than what forbids a place beside
a clip is wide. Figures that were worked out for the drawn place are left out, so that only what
the places themselves say is told: what loads do at another place has to be worked out there.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from selector import units
from selector.inference.answer import Desk, Option
from selector.inference.in_worlds import giving
from selector.model.job import Layout, RailLine, StackPlan
from selector.model.truth import Word

STEP, FINE = units.parse("25 mm", "length"), units.parse("5 mm", "length")
FURTHEST = units.parse("300 mm", "length")


@dataclass(frozen=True)
class Side:
    """How far it may go this way, in micrometres; `rules` say no beyond, none up to there."""

    by: int
    rules: tuple[str, ...]
    word: Word | None


@dataclass(frozen=True)
class Reach:
    """A rail line at its place, and how far it may move towards the ridge and the eave."""

    rail: str
    at: int
    up: Side
    down: Side


def lines_of(layout: Layout, paths: Iterable[str]) -> tuple[str, ...]:
    """Rail lines whose height was set; of clamps set one by one, the lines they stand on."""
    heights: set[int] = set()
    named: list[str] = []
    clamps = layout.clamps if isinstance(layout.clamps, dict) else {}
    for path in paths:
        keys = path.split(".")
        if keys[:2] == ["layout", "rails"] and len(keys) > 2:
            named.append(keys[2])
        elif keys[:2] == ["layout", "clamps"] and len(keys) > 2:
            heights |= set(clamps.get(keys[2], ()))
    named += [rail.id for rail in layout.rails if rail.from_eave in heights]
    known = {rail.id for rail in layout.rails}
    return tuple(name for name in dict.fromkeys(named) if name in known)


def reaches(desk: Desk, stack: str, paths: Iterable[str]) -> Iterator[Reach]:
    """Each rail line that was set; none of a stack that is refused where it stands."""
    plan = replace(desk.job.stacks[stack], worked={})
    layout = plan.layout
    if layout is None:
        return
    now = desk.planned(plan)
    if now.verdict.word >= Word.ENGINEER:
        return
    for name in lines_of(layout, paths):
        rail = next(r for r in layout.rails if r.id == name)
        judged = _Judged(desk, plan, layout, rail, now)
        yield Reach(name, rail.from_eave, judged.side(1), judged.side(-1))


@dataclass(frozen=True)
class _Judged:
    """A rail line of a plan that is moved and judged again."""

    desk: Desk
    plan: StackPlan
    layout: Layout
    rail: RailLine
    now: Option

    def side(self, way: int) -> Side:
        """How far it may go one way, to the step before the first that is worse."""
        good = 0
        most = FURTHEST if way > 0 else min(FURTHEST, self.rail.from_eave)
        for by in range(STEP, most + 1, STEP):
            if self.worse(way * by) is not None:
                return self.edge(way, good, by)
            good = by
        return Side(good, (), None)

    def edge(self, way: int, good: int, bad: int) -> Side:
        """The last place that is as good as now, between one that is and one that is not."""
        while bad - good > FINE:
            middle = good + max(FINE, (bad - good) // 2 // FINE * FINE)
            if self.worse(way * middle) is None:
                good = middle
            else:
                bad = middle
        option = self.worse(way * bad)
        assert option is not None
        rules = dict.fromkeys(f.rule.id for f in giving(option.verdict))
        return Side(good, tuple(rules), option.verdict.word)

    def worse(self, by: int) -> Option | None:
        """The stack with the line moved, where its word is worse than now."""
        option = self.desk.planned(self.moved(self.rail.from_eave + by))
        return option if option.verdict.word > self.now.verdict.word else None

    def moved(self, at: int) -> StackPlan:
        """The plan with this line at another height, its clamps with it."""
        old, layout = self.rail.from_eave, self.layout
        rails = tuple(replace(r, from_eave=at) if r.id == self.rail.id else r for r in layout.rails)
        clamps = layout.clamps
        if isinstance(clamps, dict):
            clamps = {
                seam: tuple(sorted(at if height == old else height for height in heights))
                for seam, heights in clamps.items()
            }
        drawn = replace(layout, rails=rails, clamps=clamps)
        name = f"{self.plan.id}, {self.rail.id} at {units.show(at, 'length')}"
        return replace(self.plan, id=name, layout=drawn)
