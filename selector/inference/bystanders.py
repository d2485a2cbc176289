"""What was not a reason: facts of the job that a rule looked at and that would not have helped.

A fact is named where some rule that could have given the word of the verdict, or a stronger one,
stays silent because of it, and no reason for the word holds it. A figure comes with its margin: how
far it may move before that rule would speak.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from selector.inference.flip import windows_of
from selector.inference.judge import Judgement
from selector.inference.verdict import Verdict
from selector.model.fact import Fact
from selector.model.quantity import Measured, Place, Ratio, Window
from selector.model.rule import Condition, Rule
from selector.model.truth import Word

Margin = tuple[int | float | None, str, str]  # how far, its dimension, the limit
NO_MARGIN: Margin = (None, "", "")


@dataclass(frozen=True)
class Bystander:
    """A fact, the silent rule that read it, and the margin of a figure."""

    fact: Fact
    rule: Rule
    margin: int | float | None = None  # None: no figure, or no limit on either side
    dimension: str = ""  # of the margin; `ratio` where it is a share of a capacity
    limit: str = ""


def bystanders(judgements: tuple[Judgement, ...], verdict: Verdict) -> tuple[Bystander, ...]:
    """Facts that gave no reason for a refusal; one each, with the smallest margin."""
    if verdict.word < Word.ENGINEER:
        return ()
    guilty = {
        fact
        for finding in verdict.of_word(verdict.word)
        for reason in finding.judgement.reasons(f"rule:{finding.rule.id}")
        for fact in reason
    }
    found: dict[tuple[str, str], Bystander] = {}
    for each in (b for j in judgements for b in _silent(j, verdict.word)):
        key = (each.fact.path, each.fact.entity)
        if each.fact not in guilty and _tighter(each, found.get(key)):
            found[key] = each
    return tuple(found[key] for key in sorted(found))


def _silent(judgement: Judgement, word: Word) -> Iterator[Bystander]:
    """Facts of the job by which a rule of a word stays silent."""
    file = judgement.view.job.file if judgement.view.job is not None else ""
    for rule in judgement.program.rules:
        strong = rule.gate is None and rule.word is not None and rule.word >= word
        if not strong or judgement.outcome(rule) != "silent":
            continue
        margins = {str(c.left): _margin(judgement, c) for c in rule.require}
        only = next(iter(margins.values())) if len(margins) == 1 else NO_MARGIN
        for reason in judgement.reasons(f"rule:{rule.id}", False):
            for fact in reason:
                if fact.origin.startswith(f"{file}:") and not _left_out(fact):
                    yield Bystander(fact, rule, *margins.get(fact.path, _of_stated(fact, only)))


def _left_out(fact: Fact) -> bool:
    """What a stack does not have, or has as it comes; nobody would take it for a reason."""
    return fact.path.startswith("stack.") and fact.shown in ("none", "as delivered", "not said")


def _of_stated(fact: Fact, only: Margin) -> Margin:
    """A stated figure has the margin of the one check that reads it."""
    return only if fact.path.startswith("stated.") and only[1] == "ratio" else NO_MARGIN


def _tighter(one: Bystander, other: Bystander | None) -> bool:
    if other is None or other.margin is None:
        return True
    return one.margin is not None and one.margin < other.margin


def _margin(judgement: Judgement, condition: Condition) -> Margin:
    """How far a figure may move before its condition is no longer met at every place."""
    if condition.operator not in ("within", "at most", "at least", "passes"):
        return NO_MARGIN
    value = judgement.view.read(str(condition.left)).value
    if isinstance(value, Ratio):
        return 1 - value.high, "ratio", "1"
    if condition.negated or not isinstance(value, Measured):
        return NO_MARGIN
    best = NO_MARGIN
    for window in windows_of(judgement.view, condition):
        room = min((_room(place, window) for place in value.places), key=_or_far)
        if room is not None and room >= 0 and (best[0] is None or room < best[0]):
            best = (room, value.dimension, str(window))
    return best


def _room(place: Place, window: Window) -> int | None:
    sides = []
    if window.low is not None:
        sides.append(place.low - window.low)
    if window.high is not None:
        sides.append(window.high - place.high)
    return min(sides, default=None)


def _or_far(room: int | None) -> float:
    return float("inf") if room is None else room
