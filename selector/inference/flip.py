"""Which figure would turn a rule off, and by how much: moved to its limit and judged again."""

from collections.abc import Iterator
from dataclasses import dataclass

from selector.facts.view import View
from selector.inference.judge import Judge
from selector.inference.verdict import Finding, Verdict
from selector.model.fact import Reading
from selector.model.quantity import Measured, Place, Ratio, Window, Windows
from selector.model.rule import Condition, Limit, Path
from selector.model.truth import Word


@dataclass(frozen=True)
class Flip:
    """A figure of a rule, how far it misses its limit, and the limit."""

    path: str
    dimension: str  # of `by`; `ratio` where the figure is a share of its capacity
    by: int | float  # positive: so much too large; negative: so much too small
    limit: str


def key_of(finding: Finding) -> str:
    """Rule and subject of a finding."""
    return f"{finding.rule.id} on {finding.judgement.subject.id}"


def flips_of(judge: Judge, verdict: Verdict) -> dict[str, tuple[Flip, ...]]:
    """Figures that would turn off the rules which hold a verdict back, by `key_of`."""
    strong = [f for f in verdict.findings if f.surely and f.rule.word is not None]
    found = {key_of(f): tuple(flips(judge, f)) for f in strong if f.rule.word != Word.CONDITIONAL}
    return {key: each for key, each in found.items() if each}


def flips(judge: Judge, finding: Finding) -> list[Flip]:
    """Figures of a rule that surely fires, each of which alone would turn it off."""
    if not finding.surely:
        return []
    found = []
    for condition in finding.rule.require:
        for flip, value in _moved(finding, condition):
            if _turns_off(judge, finding, flip.path, value):
                found.append(flip)
    return found


def _turns_off(judge: Judge, finding: Finding, path: str, value: Measured | Ratio) -> bool:
    """Whether the rule stays silent with another value of one path, all else as it is."""
    old = finding.judgement
    before = old.view.read(path)
    reading = Reading(value, before.because, path, before.entity, before.asks)
    given = {**(old.view.given or {}), path: reading}
    again = judge.judge(old.subject, old.view.job, old.view.derived, given)
    return not again.fires(finding.rule).surely


def _moved(finding: Finding, condition: Condition) -> Iterator[tuple[Flip, Measured | Ratio]]:
    """The figure of a condition at its limit, if it misses it."""
    view, path = finding.judgement.view, str(condition.left)
    if condition.operator not in ("within", "at most", "at least", "passes"):
        return
    value = view.read(path).value
    if isinstance(value, Ratio) and value.high > 1:
        yield Flip(path, "ratio", value.high - 1, "1"), Ratio(0, 1)
    if isinstance(value, Measured) and not condition.negated:
        for window in windows_of(view, condition):
            places = tuple(_into(p, window) for p in value.places)
            by = max((a.low - b.low for a, b in zip(value.places, places, strict=True)), key=abs)
            if by:
                yield (
                    Flip(path, value.dimension, by, str(window)),
                    Measured(value.dimension, places),
                )


def windows_of(view: View, condition: Condition) -> tuple[Window, ...]:
    """Windows that the figure of a condition must lie in; any one of them is enough."""
    right = condition.right
    if condition.operator not in ("within", "at most", "at least"):
        return ()
    if isinstance(right, Path):
        found = view.read(str(right)).value
        if isinstance(found, Windows):
            return found.each
        if isinstance(found, Window):
            return (found,)
        if not isinstance(found, Measured):
            return ()
        low, high = min(p.low for p in found.places), max(p.high for p in found.places)
        dimension = found.dimension
    elif isinstance(right, Limit):
        low = high = right.value
        dimension = right.dimension
    else:
        return (right,) if isinstance(right, Window) else ()
    if condition.operator == "at most":
        return (Window(dimension, None, low),)
    return (Window(dimension, high, None),)


def _into(place: Place, window: Window) -> Place:
    """A reading moved as little as may be so that all of it lies in the window."""
    shift = 0
    if window.high is not None and place.high > window.high:
        shift = window.high - place.high
    elif window.low is not None and place.low < window.low:
        shift = window.low - place.low
    return Place(place.low + shift, place.high + shift)
