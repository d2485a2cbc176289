"""Clamps that are alive on a plane, some at a time, in an order that tells nothing of them.

The first are judged each by itself, and a talk remembers them. Where none of these can become a
yes, or many die, very many more may follow: of those that no condition tells apart one is judged
for all.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from selector.facts.view import View
from selector.inference.answer import Desk, Finder
from selector.inference.judge import Judgement
from selector.inference.kinds import Kind, Kinds, Rules
from selector.inference.verdict import verdict
from selector.knowledge.base import Part
from selector.model.truth import NO, Word

ENOUGH = 24  # that die one by one; there may be very many more


@dataclass(frozen=True)
class Batch:
    """Clamps that the plane leaves, by name, each with a judgement of itself or of its like."""

    clamps: tuple[tuple[Part, Judgement], ...]
    whole: bool  # no clamp is left that was not looked at


@dataclass
class Alive:
    """Goes through the clamps of a desk once; those that die of the plane are kept there."""

    desk: Desk
    finder: Finder
    alike: bool = False  # whether one is judged for its like
    _at: int = 0
    _fell: int = 0  # that were judged and died
    _dead: dict[object, str] = field(default_factory=dict)  # sort -> title of the rule
    _killers: dict[Rules, dict[Kind, str]] = field(default_factory=dict)  # by what killed
    _known: dict[Kind, Judgement] = field(default_factory=dict)  # of the first of a kind

    def __post_init__(self) -> None:
        judge, sieve = self.desk.judge, self.desk.stock.sieve
        self._sort: Callable[[Part], object] = sieve.sorter(self.finder.view)
        self._kinds = Kinds(judge.programs["part-on-plane"], judge.most_worlds)

    def more(self, most: int) -> Batch:
        """The next clamps that are alive, at most so many."""
        mixed, died = self.desk.stock.mixed, self.desk.died
        found: list[tuple[Part, Judgement]] = []
        while self._at < len(mixed):
            clamp = mixed[self._at]
            if clamp.id not in died:
                if len(found) == most:
                    break
                judged = self._judged(clamp)
                if judged is not None:
                    found.append((clamp, judged))
            self._at += 1
        by_name = sorted(found, key=lambda pair: pair[0].id)
        return Batch(tuple(by_name), self._at == len(mixed))

    def own(self, batch: Batch) -> Batch:
        """The same clamps, each judged by itself."""
        return Batch(
            tuple((clamp, self._by_itself(clamp)) for clamp, _ in batch.clamps), batch.whole
        )

    def _judged(self, clamp: Part) -> Judgement | None:
        """A judgement of a clamp or of its like; None where it dies."""
        sort, died = self._sort(clamp), self.desk.died
        if sort in self._dead:
            died[clamp.id] = self._dead[sort]
            return None
        view = self.finder.view(clamp) if self.alike else None
        why = self._killed(view) if view is not None else None
        if why is None:
            judged = self._of_like(clamp, view) if view is not None else self._by_itself(clamp)
            if judged.word(True) < Word.FORBIDDEN:
                return judged
            why = judged.once("killer", partial(_killer, judged))
            self._keep(why, judged, sort)
        died[clamp.id] = why
        return None

    def _keep(self, why: str, judged: Judgement, sort: object) -> None:
        """What others die of as this one does."""
        self._fell += 1
        self.alike |= self._fell == ENOUGH
        if any(judged.fires(rule).surely for rule in self.desk.stock.sieve.rules):
            self._dead[sort] = why
        rules = _killers(judged)
        if rules:
            self._killers.setdefault(rules, {})[self._kinds.under(rules, judged.view)] = why

    def _killed(self, view: View) -> str | None:
        """Title of the rule that a clamp dies of, where others died of the same rules."""
        for rules, kinds in self._killers.items():
            why = kinds.get(self._kinds.under(rules, view))
            if why is not None:
                return why
        return None

    def _of_like(self, clamp: Part, view: View) -> Judgement:
        kind = self._kinds.of(view)
        if kind not in self._known:
            self._known[kind] = self._by_itself(clamp)
        return self._known[kind]

    def _by_itself(self, clamp: Part) -> Judgement:
        return self.finder.judge("part-on-plane", clamp.id, clamp=clamp)


def _killers(judged: Judgement) -> Rules:
    """Rules that forbid a clamp in every world: one alone, or else one for each world."""
    rules = [rule for rule in judged.program.rules if rule.word == Word.FORBIDDEN]
    for rule in rules:
        if judged.fires(rule).surely:
            return (rule.id,)
    found = set()
    for world in judged.worlds:
        here = (r.id for r in rules if world.heads.get(f"rule:{r.id}", NO).surely)
        found.add(next(here, ""))
    return tuple(sorted(found)) if all(found) else ()


def _killer(judged: Judgement) -> str:
    """Title of the rule that a clamp dies of."""
    findings = verdict([judged]).findings
    return next(f.rule.title for f in findings if f.rule.word == Word.FORBIDDEN)
