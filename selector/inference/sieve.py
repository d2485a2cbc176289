"""Sorts the clamps of a base by what every one of them must meet; one stands for its sort.

What a rule gives depends on nothing but the conditions below it. Clamps that agree on these in
every world share what the rule gives, so one of them is judged for all that it refuses. Clamps
whose data these conditions cannot tell apart are put together once, before any job is there.
"""

from collections.abc import Callable, Iterable
from functools import partial

from selector.facts import atoms
from selector.facts.split import split_paths, worlds
from selector.facts.view import Binding, View
from selector.inference.horn import Program
from selector.knowledge.base import Base, Part
from selector.model.rule import Condition, Path
from selector.model.truth import Bits, Word

Sort = tuple[tuple[Bits, ...], ...]  # world by world, condition by condition


class Sieve:
    """The requirements of a program that stand without a guard and forbid."""

    def __init__(self, program: Program, base: Base, clamps: Iterable[Part], most_worlds: int):
        self.rules = [
            r
            for r in program.rules
            if r.kind == "require" and not r.when and r.otherwise == Word.FORBIDDEN
        ]
        below = program.below(f"rule:{r.id}" for r in self.rules)
        self.conditions = [c for t, c in sorted(program.conditions.items()) if t in below]
        self._split = split_paths(base, program.conditions.values())
        self._most_worlds = most_worlds
        self._named = set(split_paths(base, self.conditions))
        groups: dict[object, list[Part]] = {}
        for clamp in sorted(clamps, key=lambda p: p.id):
            groups.setdefault(self._data(base, clamp), []).append(clamp)
        self._groups = list(groups.values())
        self._group_of = {p.id: i for i, group in enumerate(self._groups) for p in group}

    def sorts(self, view: Callable[[Part], View]) -> list[list[Part]]:
        """Clamps with one view each; those that no first requirement tells apart are together."""
        found: dict[object, list[Part]] = {}
        sort = self.sorter(view)
        for group in self._groups:
            found.setdefault(sort(group[0]), []).extend(group)
        return [sorted(parts, key=lambda p: p.id) for parts in found.values()]

    def sorter(self, view: Callable[[Part], View]) -> Callable[[Part], object]:
        """What sort a clamp is of: equal for clamps that no first requirement tells apart."""
        tried: list[dict[str, str]] = []
        known: dict[int, object] = {}

        def sort(clamp: Part) -> object:
            group = self._group_of[clamp.id]
            if group not in known:
                here = view(clamp)
                if not tried:
                    tried.extend(worlds(here, self._split, self._most_worlds))  # of every clamp
                known[group] = self._sort(here, tried) or clamp.id
            return known[group]

        return sort

    def _data(self, base: Base, clamp: Part) -> object:
        """What the conditions read of a clamp; its id where they read more than the clamp."""
        view = View(base, None, Binding(clamp=clamp))
        paths = sorted({p for c in self.conditions for p in _paths(c) if p.startswith("clamp.")})
        values = tuple(view.read(path).value for path in paths)
        alone = view.memo.looked <= {f"derived {path}" for path in paths}
        return values if alone else clamp.id

    def _sort(self, view: View, tried: list[dict[str, str]]) -> Sort | None:
        """How the conditions come out; None where they rest on words that they do not name."""
        found = []
        for words in _distinct(tried, self._named):
            here = view.in_world(words)
            found.append(tuple(_bits(here, c) for c in self.conditions))
        rested = {p for c in self.conditions for p in view.memo.rests_on(("atom", c.text))}
        return tuple(found) if rested & tried[0].keys() <= self._named else None


def _paths(condition: Condition) -> list[str]:
    return [str(p) for p in (condition.left, condition.right) if isinstance(p, Path)]


def _distinct(tried: Iterable[dict[str, str]], named: set[str]) -> list[dict[str, str]]:
    """Worlds with their named words only, each once."""
    parts = [{path: words[path] for path in sorted(words) if path in named} for words in tried]
    return list({tuple(part.items()): part for part in parts}.values())


def _bits(view: View, condition: Condition) -> Bits:
    return view.once(("atom", condition.text), partial(atoms.evaluate, condition, view)).bits
