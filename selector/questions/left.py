"""What is still alive for an array, and what each of it waits for.

While many clamps are alive a candidate is a clamp with all that stands above it; they are told
apart by what the plane and the clamp alone say. When few are left a candidate is a whole stack.
"""

from dataclasses import dataclass

from selector.explanation.stands import stands_if
from selector.explanation.texts import Texts
from selector.inference.answer import Answer, Desk, Finder
from selector.inference.judge import Judgement
from selector.inference.verdict import Verdict, verdict
from selector.model.truth import Word

FEW = 6  # clamps from which on whole stacks are judged


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
    """All candidates, what died, and the answer where stacks were judged."""

    candidates: tuple[Candidate, ...]
    died: dict[str, str]  # clamp -> title of the rule that took it
    answer: Answer | None

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


def left_of(desk: Desk, array_id: str) -> Left:
    """What is alive on a desk for an array."""
    finder = Finder(desk, desk.job.arrays[array_id])
    died: dict[str, str] = {}
    alive: list[tuple[str, int, Judgement]] = []
    for first, *others in desk.stock.sieve.sorts(finder.view):
        for clamp in (first, *others):
            judged = finder.judge("part-on-plane", clamp.id, clamp=clamp)
            if judged.word(True) == Word.FORBIDDEN:
                alike = others if clamp is first and _first_fails(desk, judged) else []
                why = [f for f in verdict([judged]).findings if f.rule.word == Word.FORBIDDEN]
                died |= {p.id: why[0].rule.title for p in (clamp, *alike)}
                if alike:
                    break
            else:
                weight = desk.stock.stacks_above(clamp.id, finder.wanted)
                alive.append((clamp.id, weight, judged))
    if len(alive) > FEW:
        shared = (finder.about_job, finder.about_plane)
        found = [_candidate(desk, name, n, (*shared, j)) for name, n, j in alive if n]
        return Left(tuple(c for c in found if c is not None), died, None)
    answer = desk.choose(array_id)
    stacks = [_candidate(desk, o.name, 1, o.judgements) for o in answer.options]
    return Left(tuple(c for c in stacks if c is not None), died, answer)


def _first_fails(desk: Desk, judged: Judgement) -> bool:
    return any(judged.fires(rule).surely for rule in desk.stock.sieve.rules)


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
