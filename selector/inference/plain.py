"""The plain path: the same rules judged by direct recursion, with comparisons of its own.

It shares with the engine path only the parsed rule and the parsed fact. Each of the four
outcomes of every rule must come out equal, or the subject is withheld.
"""

from collections.abc import Iterable

from selector.facts.view import View
from selector.model.fact import Cover
from selector.model.quantity import Candidates, Filled, Measured, Ratio, Window, Windows
from selector.model.rule import Condition, Limit, Path, Rule

Pair = tuple[bool, bool]  # true in every filling, true in some filling


class Plain:
    """All rules of one subject kind, from the pairs of their conditions."""

    def __init__(self, rules: Iterable[Rule], compared: dict[str, Pair]):
        self.rules = {r.id: r for r in rules}
        self.compared = compared
        self.done: dict[str, Pair] = {}

    def outcomes(self) -> dict[str, Pair]:
        """Pair of every rule: fires surely, fires possibly."""
        return {rule_id: self.fires(rule) for rule_id, rule in sorted(self.rules.items())}

    def fires(self, rule: Rule) -> Pair:
        """Whether a rule fires."""
        if rule.id not in self.done:
            guard = self.guard(rule)
            if rule.kind == "require":
                broken = [_flip(self.holds(c)) for c in rule.require]
                guard = _and([guard, _or(broken)])
            self.done[rule.id] = guard
        return self.done[rule.id]

    def guard(self, rule: Rule) -> Pair:
        """Whether the conditions under `when` hold and no exception does."""
        exempt = [
            _flip(self.fires(other)) for other in self.rules.values() if rule.id in other.excepts
        ]
        return _and([self.applies(rule), *exempt])

    def applies(self, rule: Rule) -> Pair:
        """Whether the conditions under `when` hold, exceptions aside."""
        return _and([_or([self.holds(c) for c in group]) for group in rule.when])

    def proven(self, need: str) -> Pair:
        """Whether a support rule or a kept requirement brings a proof."""
        ways: list[Pair] = []
        for rule in self.rules.values():
            if need in rule.proves:
                kept = [self.holds(c) for c in rule.require]
                met = self.applies(rule) if rule.kind == "require" else self.fires(rule)
                ways.append(_and([met, *kept]))
        return _or(ways)

    def word(self, text: str) -> Pair:
        """Whether some rule gives this word to the subject."""
        return _or(
            [
                self.fires(r)
                for r in self.rules.values()
                if r.gate is None and r.word is not None and r.word.text == text
            ]
        )

    def holds(self, condition: Condition) -> Pair:
        """Pair of a condition, derived facts included, negation applied."""
        derived = [
            r for r in self.rules.values() if r.then is not None and _same(r.then, condition)
        ]
        pair = _or([self.compared[condition.text], *(self.fires(r) for r in derived)])
        return _flip(pair) if condition.negated else pair


def compare(condition: Condition, view: View) -> Pair:
    """Pair of a condition on readings alone, its negation left to the caller."""
    left = str(condition.left)
    if condition.operator == "covered by":
        value = view.read(f"{left} {condition.right}").value
        return (value.bits[0], value.bits[1]) if isinstance(value, Cover) else (False, True)
    reading = view.read(left)
    value = reading.value
    right = _right(condition, view)
    match condition.operator, value:
        case "present", Filled(what=what):
            return (what is not None,) * 2
        case "absent", Filled(what=what):
            return (what is None,) * 2
        case "known", Candidates(left=words):
            return (bool(reading.because) and len(words) == 1,) * 2
        case "known", _:
            return (bool(reading.because),) * 2
        case "passes", Ratio(low=low, high=high):
            return not high > 1, not low > 1
        case "is" | "is one of", Candidates(left=words):
            return _among(condition, words, right)
        case "within" | "at most" | "at least", Measured():
            return _measure(condition, value, right)
    return False, True


def _right(condition: Condition, view: View) -> object:
    if isinstance(condition.right, Path):
        return view.read(str(condition.right)).value
    return condition.right


def _among(condition: Condition, words: frozenset[str], right: object) -> Pair:
    if isinstance(right, Candidates):
        if condition.operator == "is" and len(right.left) > 1:
            return False, True
        wanted = set(right.left)
    elif isinstance(right, tuple):
        wanted = set(right)
    elif isinstance(right, str):
        wanted = {right}
    else:
        return False, True
    return not words - wanted, any(w in wanted for w in words)


def _measure(condition: Condition, value: Measured, right: object) -> Pair:
    lows = [low for low, _ in value.places]
    highs = [high for _, high in value.places]
    enough = len(value.places) >= condition.places
    if condition.operator == "within":
        if not isinstance(right, Window | Windows):
            return False, True
        ranges = right.each if isinstance(right, Windows) else (right,)
        fits = [
            (r.low is None or min(lows) >= r.low) and (r.high is None or max(highs) <= r.high)
            for r in ranges
        ]
        meets = [
            (r.low is None or min(highs) >= r.low) and (r.high is None or max(lows) <= r.high)
            for r in ranges
        ]
        return enough and all(fits), any(meets)
    if isinstance(right, Limit):
        least = most = right.value
    elif isinstance(right, Measured):
        least = min(p.low for p in right.places)
        most = max(p.high for p in right.places)
    else:
        return False, True
    if condition.operator == "at most":
        return enough and max(highs) <= least, max(lows) <= most
    return enough and min(lows) >= most, min(highs) >= least


def _same(one: Condition, other: Condition) -> bool:
    return (one.left, one.operator, one.right) == (other.left, other.operator, other.right)


def _flip(pair: Pair) -> Pair:
    return not pair[1], not pair[0]


def _and(pairs: list[Pair]) -> Pair:
    return all(p[0] for p in pairs), all(p[1] for p in pairs)


def _or(pairs: list[Pair]) -> Pair:
    return any(p[0] for p in pairs), any(p[1] for p in pairs)
