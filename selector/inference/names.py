"""Short names for the engine: bucketed, copied for many readers, checked for hash collisions.

The engine keeps 100 names a bucket, at most 100 readers a name and 100 rules a barrier.
"""

from collections import Counter

from selector.errors import InputError
from selector.inference.horn import Clause, Program

WIDE = 100
Use = tuple[Clause, str, tuple[str, ...]]  # clause, mode, the copies its premises read


class Names:
    """All names of one program."""

    def __init__(self, program: Program, letter: str = "a"):
        texts = sorted({*program.conditions, *program.heads})
        self._short = {text: f"{letter}{i}" for i, text in enumerate(texts)}
        uses = [
            (c, mode, [self.of(x.name, x.positive, mode) for x in c.literals])
            for c in program.clauses
            for mode in "!?"
        ]
        readers = Counter(n for _, _, names in uses for n in names)
        self.copies = {
            n: (n, *(f"{n}~{j}" for j in range(1, (count - 1) // WIDE + 1)))
            for n, count in sorted(readers.items())
        }
        ordered = sorted(copy for copies in self.copies.values() for copy in copies)
        self.bucket = {copy: f"k{i // WIDE}" for i, copy in enumerate(ordered)}
        used: Counter[str] = Counter()
        self.uses: list[Use] = []
        for clause, mode, names in uses:
            taken = []
            for name in names:
                taken.append(self.copies[name][used[name] // WIDE])
                used[name] += 1
            self.uses.append((clause, mode, tuple(taken)))
        self.barriers: dict[int, list[str]] = {s: [] for s in range(1, program.strata + 1)}
        for i, (clause, _, _) in enumerate(uses):
            go = self.barrier(i, clause)
            if go not in self.barriers[clause.stratum]:
                self.barriers[clause.stratum].append(go)
        refuse_collisions([*ordered, *(g for gs in self.barriers.values() for g in gs), "hb"])

    def of(self, text: str, positive: bool, mode: str) -> str:
        """Name of a literal in one mode."""
        return f"{'' if positive else '-'}{self._short[text]}{mode}"

    @staticmethod
    def barrier(index: int, clause: Clause) -> str:
        """Barrier that a rule waits for."""
        return f"go{clause.stratum}.{index // WIDE}"


def names_of(program: Program) -> Names:
    """Names without a collision; another first letter gives other hashes."""
    for letter in "abcdefgh":
        try:
            return Names(program, letter)
        except InputError as error:
            last = error
    raise last


def fnv1a(text: str) -> int:
    """32-bit FNV-1a, the identity that the engine gives a fact."""
    value = 2166136261
    for byte in text.encode():
        value = ((value ^ byte) * 16777619) & 0xFFFFFFFF
    return value


def refuse_collisions(names: list[str]) -> None:
    """Two names with one identity would be one fact to the engine."""
    seen: dict[int, str] = {}
    for name in names:
        other = seen.setdefault(fnv1a(name), name)
        if other != name:
            text = f"names `{other}` and `{name}` have the same hash"
            raise InputError.of(text, "rename one condition", file="rules")
