"""A condition in one subject becomes an atom: two bits, why yes, why no, what to look at."""

from selector.facts.view import View
from selector.model.fact import TRIVIAL, Atom, Cover, Reading, Reasons, all_of
from selector.model.quantity import Candidates, Filled, Measured, Place, Ratio, Window, Windows
from selector.model.rule import Condition, Limit, Path
from selector.model.truth import NO, OPEN, YES, Bits


def evaluate(condition: Condition, view: View) -> Atom:
    """Atom of a condition; its negation is left to the caller, who swaps the bits as a pair."""
    if condition.operator == "covered by":
        reading = view.read(f"{condition.left} {condition.right}")
        return _cover(condition, reading)
    left = view.read(str(condition.left))
    right = view.read(str(condition.right)) if isinstance(condition.right, Path) else None
    bits = _bits(condition, left, right)
    because = _because(condition, left, right)
    asks: tuple[str, ...] = ()
    if bits == OPEN:
        asks = left.open_paths
        if right is not None and not right.because:
            asks = tuple(dict.fromkeys((*asks, *right.open_paths)))
    limit = str(right.value) if right is not None else _literal(condition)
    return Atom(condition.text, bits, because, because, asks, limit)


def _cover(condition: Condition, reading: Reading) -> Atom:
    cover = reading.value
    if not isinstance(cover, Cover):
        return Atom(condition.text, OPEN, (), (), reading.open_paths)
    asks = reading.open_paths if cover.bits == OPEN else ()
    return Atom(condition.text, cover.bits, cover.yes, cover.no, asks)


def _literal(condition: Condition) -> str:
    right = condition.right
    if isinstance(right, Limit):
        from selector import units

        return units.show(right.value, right.dimension)
    if isinstance(right, tuple) and not isinstance(right, Path):
        return " or ".join(right)
    return "" if right is None else str(right)


def _because(condition: Condition, left: Reading, right: Reading | None) -> Reasons:
    """Facts that settle the atom; a list of the base on the right side stays implicit."""
    if right is None or condition.operator == "is one of":
        return left.because
    return all_of([left.because or TRIVIAL, right.because or TRIVIAL])


def _bits(condition: Condition, left: Reading, right: Reading | None) -> Bits:
    operator, value = condition.operator, left.value
    if operator in ("present", "absent"):
        if not isinstance(value, Filled):
            return OPEN
        return YES if (value.what is not None) == (operator == "present") else NO
    if operator == "known":
        # Whether something is known is itself always known.
        return YES if left.because and not _partly(value) else NO
    if operator == "passes":
        if not isinstance(value, Ratio):
            return OPEN
        return Bits(value.high <= 1, value.low <= 1)
    if operator in ("is", "is one of"):
        words = _words(condition, right)
        if words is None or not isinstance(value, Candidates):
            return OPEN
        return Bits(value.left <= words, bool(value.left & words))
    if not isinstance(value, Measured):
        return OPEN
    windows = _windows(condition, right)
    if windows is None:
        return OPEN
    enough = len(value.places) >= condition.places
    inside = all(w.holds(p) for w in windows for p in value.places)
    touches = any(all(w.touches(p) for p in value.places) for w in windows)
    return Bits(inside and enough, touches)


def _partly(value: object) -> bool:
    return isinstance(value, Candidates) and len(value.left) > 1


def _words(condition: Condition, right: Reading | None) -> frozenset[str] | None:
    if right is not None:
        value = right.value
        if not isinstance(value, Candidates):
            return None
        # `is` against an open right side is never sure; a list is taken whole.
        if condition.operator == "is" and len(value.left) != 1:
            return None
        return value.left
    if isinstance(condition.right, tuple) and not isinstance(condition.right, Path):
        return frozenset(condition.right)
    return frozenset({str(condition.right)})


def _windows(condition: Condition, right: Reading | None) -> tuple[Window, ...] | None:
    """Windows that the left side is held against: all of them surely, one of them possibly."""
    if condition.operator == "within":
        value = right.value if right is not None else condition.right
        if isinstance(value, Window):
            return (value,)
        return value.each if isinstance(value, Windows) else None
    limit = _limit(condition, right)
    if limit is None:
        return None
    dimension, strict, loose = limit
    if condition.operator == "at most":
        return _pair(Window(dimension, None, strict.low), Window(dimension, None, loose.high))
    return _pair(Window(dimension, strict.high, None), Window(dimension, loose.low, None))


def _pair(strict: Window, loose: Window) -> tuple[Window, ...]:
    return (strict,) if strict == loose else (strict, loose)


def _limit(condition: Condition, right: Reading | None) -> tuple[str, Place, Place] | None:
    """The limit as an interval: its strictest and its loosest reading."""
    if isinstance(condition.right, Limit):
        place = Place(condition.right.value, condition.right.value)
        return condition.right.dimension, place, place
    if right is not None and isinstance(right.value, Measured):
        low = min(p.low for p in right.value.places)
        high = max(p.high for p in right.value.places)
        return right.value.dimension, Place(low, high), Place(low, high)
    return None
