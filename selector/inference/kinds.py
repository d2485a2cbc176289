"""Tells judged clamps apart by what their conditions give: those of one kind are judged alike.

What a program gives depends on nothing but its conditions. What these read of plane, array and site
is the same for all clamps of an array, so that those that read the clamp tell the kinds apart.
"""

from collections.abc import Iterable
from functools import partial

from selector.facts import atoms
from selector.facts.split import split_paths, worlds
from selector.facts.view import View
from selector.inference.horn import Program
from selector.model.fact import Atom
from selector.model.rule import Condition
from selector.model.truth import Bits

Kind = tuple[tuple[Bits, tuple[str, ...]], ...]  # bits and what is asked for, world by world

Rules = tuple[str, ...]  # ids


class Kinds:
    """Kinds of the clamps of one array."""

    def __init__(self, program: Program, most_worlds: int):
        self._all = list(program.conditions.values())
        self._own = [c for c in self._all if "clamp" in c.roles]
        self._program = program
        self._below: dict[Rules, list[Condition]] = {}
        self._most_worlds = most_worlds
        self._worlds: list[dict[str, str]] = []

    def of(self, view: View) -> Kind:
        """Equal for clamps that nothing tells apart: they die alike and wait for the same."""
        return self._kind(view, self._own)

    def under(self, rules: Rules, view: View) -> Kind:
        """Equal for clamps on which each of some rules does the same."""
        if rules not in self._below:
            below = self._program.below(f"rule:{rule}" for rule in rules)
            self._below[rules] = [c for c in self._own if c.text in below]
        return self._kind(view, self._below[rules])

    def _kind(self, view: View, conditions: Iterable[Condition]) -> Kind:
        if not self._worlds:  # of every clamp: only the ground splits
            self._worlds = worlds(view, split_paths(view.base, self._all), self._most_worlds)
        each = [view.in_world(words) for words in self._worlds]
        found = [_atom(here, condition) for here in each for condition in conditions]
        return tuple((atom.bits, atom.asks) for atom in found)


def _atom(view: View, condition: Condition) -> Atom:
    key = ("atom", condition.text)
    return view.once(key, partial(atoms.evaluate, condition, view))
