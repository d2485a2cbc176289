"""One program on the engine: a single ruleset, or several where one would be too large.

A large program is split by depth: a head comes after every head it rests on. Clauses of one depth
are independent, so they may be shared out among rulesets; each gets the bits of the heads before.
"""

from collections import defaultdict

from selector.errors import InputError
from selector.inference.durable import Engine, Steps
from selector.inference.horn import Clause, Program
from selector.model.rule import Condition, Path
from selector.model.truth import Bits

MOST_CLAUSES = 2047  # of one ruleset; the engine refuses more


class Rulesets:
    """All rulesets of a program; runs like one engine."""

    def __init__(self, program: Program, most: int = MOST_CLAUSES):
        self.programs = [program] if len(program.clauses) <= most else split(program, most)
        self._engines = [Engine(p) for p in self.programs]

    def run(self, bits: dict[str, Bits]) -> tuple[dict[str, Bits], Steps]:
        """Bits of every head, and the firings, from the bits of the atoms."""
        if len(self._engines) == 1:
            return self._engines[0].run(bits)
        known: dict[str, Bits] = dict(bits)
        heads: dict[str, Bits] = {}
        steps: Steps = frozenset()
        for program, engine in zip(self.programs, self._engines, strict=True):
            found, fired = engine.run({text: known[text] for text in program.conditions})
            heads |= found
            known |= found
            steps |= fired
        return heads, steps

    def close(self) -> None:
        """Give every ruleset back."""
        for engine in self._engines:
            engine.close()


def split(program: Program, most: int = MOST_CLAUSES) -> list[Program]:
    """Programs of at most so many clauses, in an order in which each rests on those before."""
    levels: dict[int, list[str]] = defaultdict(list)
    for head, depth in _depths(program).items():
        levels[depth].append(head)
    found: list[Program] = []
    for _, heads in sorted(levels.items()):
        taken: list[str] = []
        size = 0
        for head in sorted(heads):
            count = len(program.by_head[head])
            if count > most:
                text = f"{count} clauses give `{head}`; one ruleset takes {most}"
                raise InputError.of(text, "split the rules by subject", file="rules")
            if size + count > most:
                found.append(_piece(program, taken))
                taken, size = [], 0
            taken.append(head)
            size += count
        found.append(_piece(program, taken))
    return found


def _depths(program: Program) -> dict[str, int]:
    """Depth of each head: one more than the deepest head it rests on."""
    depth: dict[str, int] = {}
    waiting = {
        head: {x.name for c in clauses for x in c.literals if x.name in program.heads}
        for head, clauses in program.by_head.items()
    }
    while waiting:
        ready = [h for h, below in waiting.items() if below <= depth.keys()]
        for head in ready:
            depth[head] = 1 + max((depth[b] for b in waiting[head]), default=0)
        waiting = {h: below for h, below in waiting.items() if h not in depth}
    return depth


def _piece(program: Program, heads: list[str]) -> Program:
    """The clauses of these heads alone; what they rest on is given from outside."""
    clauses = tuple(
        Clause(c.id, c.head, c.literals, 1) for head in heads for c in program.by_head[head]
    )
    used = {x.name for c in clauses for x in c.literals} | (set(heads) & set(program.conditions))
    conditions = {
        text: program.conditions.get(text) or Condition(Path("head", text), "known")
        for text in sorted(used)
    }
    return Program(program.kind, program.rules, conditions, clauses, 1, dict.fromkeys(heads, 1))
