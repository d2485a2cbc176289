"""Clamps that are alive on a plane, some at a time, in an order that tells nothing of them.

The first are judged each by itself, and a talk remembers them. Where none of these can become a
yes, very many more may follow: of those that no condition tells apart one is judged for all.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from selector.inference.answer import Desk, Finder
from selector.inference.judge import Judgement
from selector.inference.verdict import verdict
from selector.knowledge.base import Part
from selector.model.truth import Word


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
    _dead: dict[object, str] = field(default_factory=dict)  # sort -> title of the rule
    _known: dict[object, Judgement] = field(default_factory=dict)  # kind -> of its first

    def __post_init__(self) -> None:
        sieve = self.desk.stock.sieve
        self._sort: Callable[[Part], object] = sieve.sorter(self.finder.view)
        self._kind: Callable[[Part], object] = sieve.kinds(self.finder.view)

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
        judged = self._of_like(clamp) if self.alike else self._by_itself(clamp)
        if judged.word(True) < Word.FORBIDDEN:
            return judged
        why = judged.once("killer", lambda: _killer(judged))
        died[clamp.id] = why
        if any(judged.fires(rule).surely for rule in self.desk.stock.sieve.rules):
            self._dead[sort] = why
        return None

    def _of_like(self, clamp: Part) -> Judgement:
        kind = self._kind(clamp)
        if kind not in self._known:
            self._known[kind] = self._by_itself(clamp)
        return self._known[kind]

    def _by_itself(self, clamp: Part) -> Judgement:
        return self.finder.judge("part-on-plane", clamp.id, clamp=clamp)


def _killer(judged: Judgement) -> str:
    """Title of the rule that a clamp dies of."""
    findings = verdict([judged]).findings
    return next(f.rule.title for f in findings if f.rule.word == Word.FORBIDDEN)
