"""A rail piece longer than any bar, joined rigidly of several lengths away from its clamps."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

Span = tuple[int, int]
Parts = tuple[int, ...]
Unjoined = Literal["no splices", "too many", "clamps"]


@dataclass(frozen=True)
class Joining:
    """Longest bar, how many splices a piece may have, and what they keep to; in micrometres."""

    longest: int
    splices: int = 0
    clear: int = 0  # from a splice to the next clamp
    shortest: int = 1  # a length that is still spliced on


def parts_of(x0: int, x1: int, clamps: Sequence[int], rules: Joining) -> Parts | Unjoined:
    """Lengths that a piece from `x0` to `x1` is joined of, from the left; itself if a bar will do.

    Exact: the fewest lengths, each splice as far right as can be, so that bars are used whole. A
    word says why there is none: *no splices* are allowed, it takes *too many*, or the *clamps*
    leave no place. ValueError for figures that cannot be.
    """
    if x0 >= x1 or not 0 < rules.shortest <= rules.longest or min(rules.splices, rules.clear) < 0:
        raise ValueError("a piece runs from left to right; lengths and numbers are not below zero")
    if x1 - x0 <= rules.longest:
        return (x1 - x0,)
    if not rules.splices:
        return "no splices"
    free = _free(x0, x1, clamps, rules.clear)
    reached: list[list[Span]] = [[(x0, x0)]]  # where the n-th splice may stand
    while not _before(reached[-1], x1, rules):
        grown = _onward(reached[-1], free, rules)
        if not grown or grown[-1][1] <= reached[-1][-1][1]:
            return "clamps"
        reached.append(grown)
    if len(reached) - 1 > rules.splices:
        return "too many"
    marks = [x1]
    for places in reversed(reached):
        marks.append(max(high for _, high in _before(places, marks[-1], rules)))
    marks.reverse()
    return tuple(b - a for a, b in pairwise(marks))


def _free(x0: int, x1: int, clamps: Sequence[int], clear: int) -> list[Span]:
    """Stretches of the piece where a splice keeps clear of every clamp, from the left."""
    free, start = [], x0
    for clamp in sorted(clamps):
        if clamp - clear >= start:
            free.append((start, clamp - clear))
        start = max(start, clamp + clear)
    return [*free, (start, x1)] if start <= x1 else free


def _onward(places: list[Span], free: list[Span], rules: Joining) -> list[Span]:
    """Where the next splice may stand, given where this one may."""
    found = [
        (max(low + rules.shortest, a), min(high + rules.longest, b))
        for low, high in places
        for a, b in free
    ]
    merged: list[Span] = []
    for low, high in sorted(one for one in found if one[0] <= one[1]):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return merged


def _before(places: list[Span], mark: int, rules: Joining) -> list[Span]:
    """The part of some places from which one length reaches a mark."""
    found = [(max(a, mark - rules.longest), min(b, mark - rules.shortest)) for a, b in places]
    return [(low, high) for low, high in found if low <= high]
