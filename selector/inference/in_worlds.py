"""Which rules give a word where it is open which word of something holds (worlds of a subject)."""

from dataclasses import dataclass
from itertools import combinations

from selector.inference.judge import Judgement, World
from selector.inference.verdict import Finding, Verdict
from selector.model.rule import Rule
from selector.model.truth import NO, Word

Words = tuple[tuple[str, str], ...]  # path and word, of what the rules turn on


@dataclass(frozen=True)
class InWorlds:
    """One word that a subject gets whatever holds, by other rules each time."""

    judgement: Judgement
    cases: tuple[tuple[tuple[Words, ...], tuple[Rule, ...]], ...]  # words -> rules that give it


def giving(verdict: Verdict) -> list[Finding]:
    """Findings that give the word of a verdict, each in every world or some of them in each."""
    return verdict.of_word(verdict.word) or [
        f
        for found in in_worlds(verdict)
        for f in verdict.findings
        if f.judgement is found.judgement
        and any(f.rule.id == r.id for _, rules in found.cases for r in rules)
    ]


def in_worlds(verdict: Verdict) -> tuple[InWorlds, ...]:
    """Subjects that give a refusal without one rule that surely gives it; none where one does."""
    if verdict.word < Word.ENGINEER or verdict.of_word(verdict.word):
        return ()
    judged = {id(f.judgement): f.judgement for f in verdict.findings}.values()
    here = [j for j in judged if len(j.worlds) > 1 and j.word(True) == verdict.word]
    return tuple(InWorlds(j, _cases(j)) for j in here)


def _cases(
    judgement: Judgement,
) -> tuple[tuple[tuple[Words, ...], tuple[Rule, ...]], ...]:
    """Worlds by the strongest rules that say so there, told by the fewest quantities."""
    rules = [r for r in judgement.program.rules if r.word is not None and not r.gate]
    by = [(world, _strongest(world, rules)) for world in judgement.worlds]
    paths = _telling(by)
    cases: dict[tuple[str, ...], tuple[dict[Words, None], tuple[Rule, ...]]] = {}
    for world, found in by:
        words = tuple((p, world.words[p]) for p in paths)
        cases.setdefault(_ids(found), ({}, found))[0][words] = None
    return tuple((tuple(sorted(words)), found) for words, found in cases.values())


def _ids(rules: tuple[Rule, ...]) -> tuple[str, ...]:
    return tuple(r.id for r in rules)


def _strongest(world: World, rules: list[Rule]) -> tuple[Rule, ...]:
    """Rules that surely fire in a world and give its word."""
    fired = [r for r in rules if world.heads.get(f"rule:{r.id}", NO).surely]
    most = max((r.word or Word.ALLOWED for r in fired), default=Word.ALLOWED)
    return tuple(r for r in fired if r.word == most)


def _telling(by: list[tuple[World, tuple[Rule, ...]]]) -> tuple[str, ...]:
    """The fewest quantities whose words tell the rules of a world."""
    every = sorted(by[0][0].words)
    for size in range(1, len(every)):
        for paths in combinations(every, size):
            told: dict[tuple[str, ...], set[tuple[str, ...]]] = {}
            for world, found in by:
                told.setdefault(tuple(world.words[p] for p in paths), set()).add(_ids(found))
            if all(len(found) == 1 for found in told.values()):
                return paths
    return tuple(every)
