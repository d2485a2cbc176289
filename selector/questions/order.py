"""Which question comes next: the most that is spared for the least effort.

What is still to be asked is counted as pairs: each stack that is alive with each path that it waits
for. A question is worth the pairs of the stacks that its answers take away on average, times the
chance that somebody can answer, for one step of effort: who asks first what ends most needs not ask
the rest. Of equals the one whose worst answer spares more comes first, and where nothing is taken
away the one that most stacks wait for.

Words of a closed list that is judged word by word (shapes, metals, decks) are taken for equally
likely. Of all else an answer is likely where many stacks would stay alive: parts are made for roofs
that are common.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from selector.inference.fate import dies, told
from selector.inference.flip import windows_of
from selector.knowledge.base import Base
from selector.model.quantity import Candidates, Measured, Place
from selector.model.question import Question
from selector.model.rule import Quantity
from selector.questions.left import Candidate, Left

Mode = Literal["phone", "roof"]
ASKED = ("phone", "owner", "roof", "roofer")  # the others answer with a paper
MOST_ANSWERS = 12
WHOLE = 1_000_000  # don't-know rates are parts per million
SELDOM = 0.05  # chance of an answer that leaves nothing alive, beside one that leaves all
USUAL_RATE = 200_000  # where a path belongs to no question


@dataclass(frozen=True)
class Asked:
    """One thing to ask, with what speaks for it."""

    path: str
    question: Question | None
    worth: float
    worst: int
    settles: float  # stacks that wait for it and would no more, for one step of effort
    effort: int


def ranked(base: Base, left: Left, mode: Mode, passed: Iterable[str] = ()) -> list[Asked]:
    """Everything that may be asked now, the best first; `passed` paths are left out."""
    out = set(passed)
    paths = [p for p in left.paths if p not in out and base.vocabulary.ask(p).who in ASKED]
    found = [_asked(base, left, path, mode) for path in paths]
    kept = [a for a in found if a is not None]
    return sorted(kept, key=lambda a: (not _stops(a), -a.worth, -a.worst, -a.settles, a.path))


def _stops(asked: Asked) -> bool:
    return asked.question is not None and asked.question.stop


def _asked(base: Base, left: Left, path: str, mode: Mode) -> Asked | None:
    question = base.question_of(path)
    effort = base.vocabulary.ask(path).effort
    rate: int | None = USUAL_RATE
    if question is not None:
        here = question.effort.phone if mode == "phone" else question.effort.roof
        effort = max(here, effort) if here else 0  # one quantity may be harder than its question
        rate = question.dont_know.phone if mode == "phone" else question.dont_know.roof
    if rate is None or effort == 0:
        return None  # never asked from the desk
    found = outcomes(base, left, path)
    total = sum(o.chance for o in found)
    mean = sum(o.chance * o.spared for o in found) / total if found else 0
    told = (1 - rate / WHOLE) / effort
    own = sum(c.weight for c in left.candidates if path in c.waits)
    worst = min((o.spared for o in found), default=0)
    return Asked(path, question, told * mean, worst, told * own, effort)


@dataclass(frozen=True)
class Outcome:
    """One answer: how likely it is beside the others, and what it surely takes away."""

    answer: Candidates | Measured
    chance: float
    dead: tuple[Candidate, ...]

    @property
    def spared(self) -> int:
        """Pairs of all that it takes away."""
        return sum(c.weight * len(c.waits) for c in self.dead)


def outcomes(base: Base, left: Left, path: str) -> list[Outcome]:
    """What may be answered; nothing where a path is no quantity."""
    quantity = base.vocabulary.quantities.get(path)
    every = sum(c.weight for c in left.candidates)
    found = []
    for answer in answers(quantity, left.candidates) if quantity is not None else ():
        first = left.candidates[0].judgements if left.candidates else ()
        known = told(first, path, answer)
        dead = tuple(c for c in left.candidates if any(dies(j, known) for j in c.judgements))
        alive = every - sum(c.weight for c in dead)
        split = quantity is not None and quantity.split
        found.append(Outcome(answer, 1 if split else alive + SELDOM * every, dead))
    return found


def answers(quantity: Quantity, candidates: Sequence[Candidate]) -> list[Candidates | Measured]:
    """What may be answered: every word that is left, or one reading between any two limits."""
    path = str(quantity.path)
    if quantity.dimension == "choice":
        value = candidates[0].judgements[-1].view.read(path).value if candidates else None
        left = value.left if isinstance(value, Candidates) else frozenset(quantity.words)
        return [Candidates(frozenset({w})) for w in quantity.words if w in left]
    low, high = quantity.plausible
    limits = sorted({*_limits(path, candidates), *(x for x in (low, high) if x is not None)})
    middles = [(a + b) // 2 for a, b in pairwise(limits)]
    step = max(1, -(-len(middles) // MOST_ANSWERS))
    return [Measured(quantity.dimension, (Place(m, m),) * quantity.places) for m in middles[::step]]


def _limits(path: str, candidates: Sequence[Candidate]) -> set[int]:
    """Ends of all windows that a figure of a path is held against."""
    found: set[int] = set()
    judged = {id(j): j for c in candidates for j in c.judgements}
    for judgement in judged.values():
        for condition in judgement.program.conditions.values():
            if str(condition.left) == path:
                for world in judgement.worlds[:MOST_ANSWERS]:
                    for window in windows_of(judgement.view.in_world(world.words), condition):
                        found |= {x for x in (window.low, window.high) if x is not None}
    return found
