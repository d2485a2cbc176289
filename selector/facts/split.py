"""Worlds: one for each combination of words that split quantities can still be."""

from collections import Counter
from collections.abc import Iterable
from itertools import product

from selector.facts.view import View
from selector.knowledge.base import Base
from selector.model.quantity import Candidates, Unknown
from selector.model.rule import Condition, Path

MOST_WORLDS = 64
LAYERED = "several layers"  # stands for every layering of an unknown coating
# Readers that look at split quantities without naming them in a condition.
LOOKS_AT: dict[str, tuple[str, ...]] = {}


def looks_at(path: str, *split: str) -> None:
    """Say that reading `path` depends on these split quantities."""
    LOOKS_AT[path] = split


def split_paths(base: Base, conditions: Iterable[Condition]) -> Counter[str]:
    """Split quantities that conditions read, with how often."""
    readers: Counter[str] = Counter()
    for condition in conditions:
        for path in _paths(condition):
            for split in (path, *LOOKS_AT.get(path, ())):
                quantity = base.vocabulary.quantities.get(split)
                if quantity is not None and quantity.split:
                    readers[split] += 1
    return readers


def worlds(view: View, readers: Counter[str], most: int = MOST_WORLDS) -> list[dict[str, str]]:
    """Worlds of a subject by the `split_paths` of its conditions, at most `most`.

    What does not fit in stays undivided, which is safe.
    """
    open_words: dict[str, list[str]] = {}
    for path in sorted(readers):
        left = _left(view, path)
        if len(left) > 1:
            open_words[path] = left
    while _count(open_words) > most:
        del open_words[min(open_words, key=lambda p: (readers[p], p))]
    paths = list(open_words)
    return [dict(zip(paths, words, strict=True)) for words in product(*open_words.values())]


def _paths(condition: Condition) -> list[str]:
    if condition.operator == "covered by":
        return [f"{condition.left} {condition.right}"]
    paths = [str(condition.left)]
    if isinstance(condition.right, Path):
        paths.append(str(condition.right))
    return paths


def _left(view: View, path: str) -> list[str]:
    value = view.read(path).value
    if isinstance(value, Candidates):
        return sorted(value.left)
    if isinstance(value, Unknown):
        quantity = view.base.vocabulary.quantities[path]
        return sorted([*quantity.words, LAYERED] if quantity.stacked else quantity.words)
    return []


def _count(open_words: dict[str, list[str]]) -> int:
    total = 1
    for words in open_words.values():
        total *= len(words)
    return total
