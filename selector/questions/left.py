"""What is still alive for an array, and what each of it waits for.

While many clamps are alive a candidate is a clamp with all that stands above it; they are told
apart by what the plane and the clamp alone say. When few are left, or few stacks, or the clamps say
all they can, a candidate is a whole stack. Of very many, so many are looked at as tell what to ask.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from selector.explanation.stands import stands_if
from selector.explanation.texts import Texts
from selector.inference.answer import Answer, Desk, Finder, Option
from selector.inference.judge import Judgement
from selector.inference.verdict import Verdict, verdict
from selector.knowledge.base import Part
from selector.model.truth import Word
from selector.questions.alive import Alive, Batch

FEW = 6  # clamps from which on whole stacks are judged
MANY = 24  # clamps, and stacks, that are looked at among more
TRIES = 4  # stacks that are looked at for one that is alive


@dataclass(frozen=True)
class Candidate:
    """A clamp or a stack that may still become a yes."""

    name: str
    weight: int  # stacks that it stands for
    judgements: tuple[Judgement, ...]
    verdict: Verdict
    waits: tuple[str, ...]  # paths, easiest first


@dataclass(frozen=True)
class Left:
    """All candidates, what died, and the answer among the stacks that were judged, if any were."""

    candidates: tuple[Candidate, ...]
    died: dict[str, str]  # clamp -> title of the rule that took it
    answer: Answer | None
    whole: bool  # nothing that is alive was left out

    @property
    def paths(self) -> dict[str, int]:
        """Paths that some candidate waits for, with the stacks that do."""
        found: dict[str, int] = {}
        for candidate in self.candidates:
            for path in candidate.waits:
                found[path] = found.get(path, 0) + candidate.weight
        return found

    @property
    def settled(self) -> bool:
        """Whether the best stack is a yes, or nothing that is asked can make one."""
        best = self.answer.options[0].verdict.word if self.answer and self.answer.options else None
        return (best is not None and best.is_yes) or not self.paths


def left_of(desk: Desk, array_id: str, passed: frozenset[str] = frozenset()) -> Left:
    """What is alive on a desk for an array; clamps alone while they wait for more than `passed`."""
    finder = Finder(desk, desk.job.arrays[array_id])
    alive = Alive(desk, finder)
    while True:
        batch = alive.more(MANY)
        clamps = [clamp for clamp, _ in batch.clamps]
        if len(clamps) > FEW and _above(desk, finder, clamps) > MANY:
            left = _clamps(desk, finder, batch)
            if not left.paths.keys() <= passed:
                return _clamps(desk, finder, alive.own(batch)) if alive.alike else left
        left = _stacks(desk, finder, clamps, batch.whole)
        if left.candidates or batch.whole:
            return left
        for clamp in clamps:  # none of these can become a yes; others still may
            desk.died[clamp.id] = _stopped(desk, left, clamp)
        alive.alike = True


def _clamps(desk: Desk, finder: Finder, batch: Batch) -> Left:
    """Clamps with all that stands above them."""
    shared = (finder.about_job, finder.about_plane)
    weighed = [(c.id, desk.stock.stacks_above(c.id, finder.wanted), j) for c, j in batch.clamps]
    found = [_candidate(desk, name, n, (*shared, j)) for name, n, j in weighed if n]
    return Left(tuple(c for c in found if c is not None), desk.died, None, batch.whole)


def _stopped(desk: Desk, left: Left, clamp: Part) -> str:
    """What stops a clamp: that it has no record, or what stops the best stack on it."""
    say, options = Texts.of(desk.base).say, left.answer.options if left.answer is not None else ()
    if not _recorded(desk, clamp):
        return say("talk.no_record")
    found = (stopped(o.verdict) for o in options if o.core.clamp == clamp.id)
    return next(found, "") or say("talk.no_stack")


def stopped(found: Verdict) -> str:
    """The first thing that keeps a stack from ever becoming a yes; empty where nothing does."""
    return next(iter(stops(found)), "")


def stops(found: Verdict) -> list[str]:
    """Everything that keeps a stack from ever becoming a yes, by its title."""
    sure = (f.rule for f in found.findings if f.surely)
    rules = [rule.title for rule in sure if (rule.word or 0) >= Word.ENGINEER]
    lost = [m.need.text for m in found.missing if m.lost]
    return [*rules, *lost]


def _stacks(desk: Desk, finder: Finder, clamps: list[Part], whole: bool) -> Left:
    """Stacks on these clamps: all of few, some of many."""
    recorded = [clamp for clamp in clamps if _recorded(desk, clamp)]
    if not recorded and not whole:
        return Left((), desk.died, None, whole)
    above = _above(desk, finder, clamps)
    few = above <= MANY
    each = above if few else -(-MANY // max(1, len(clamps)))
    options = [o for clamp in recorded for o in _some(finder, clamp, each)]
    answer = desk.among(finder, options)
    found = [_candidate(desk, o.name, 1, o.judgements) for o in answer.options]
    alive = tuple(c for c in found if c is not None)
    if whole and not alive:  # the nearest is named, and may be one without a record
        others = (c for c in clamps if c not in recorded)
        options += [o for c in others for o in islice(finder.above(c), 1)]
        answer = desk.among(finder, options)
    return Left(alive, desk.died, answer, whole and (few or not alive))


def _above(desk: Desk, finder: Finder, clamps: Iterable[Part]) -> int:
    """How many stacks interfaces allow on some clamps."""
    return sum(desk.stock.stacks_above(c.id, finder.wanted) for c in clamps)


def _recorded(desk: Desk, clamp: Part) -> bool:
    """Whether any record names a clamp; without one no stack on it can become a yes."""
    return bool(desk.base.catalogues[clamp.catalogue].of_clamp(clamp.handle))


def _some(finder: Finder, clamp: Part, most: int) -> Iterator[Option]:
    """Stacks on a clamp until so many are alive; where none is, all of them."""
    alive = 0
    for number, option in enumerate(finder.above(clamp), 1):
        yield option
        alive += option.verdict.word < Word.ENGINEER
        if alive == most or (alive and number >= TRIES * most):
            return


def _candidate(
    desk: Desk, name: str, weight: int, judgements: tuple[Judgement, ...]
) -> Candidate | None:
    """A candidate that may still become a yes; None where it surely cannot."""
    found = verdict(judgements)
    if found.word >= Word.ENGINEER or any(m.lost for m in found.missing):
        return None
    looks = stands_if(found, desk.base.vocabulary, Texts.of(desk.base))
    waits = tuple(look.ask.path for look in looks)
    return Candidate(name, weight, judgements, found, waits)
