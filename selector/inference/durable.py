"""The inference engine: clauses run by durable-rules, inside the subset that is safe.

A fact is `{"k": bucket, "t": name}`; a premise is one `$and` with `k` first; 100 names a bucket,
100 readers a copy of a name, 100 rules a barrier. No host, no timers, one session at a time, a
heartbeat that fires before anything else, every result code checked, sessions always deleted.
A clause becomes two rules: `surely` over the names with `!`, `possibly` over those with `?`.
"""

import json
from collections import Counter, defaultdict
from collections.abc import Callable
from typing import Any

import durable_rules_engine as engine
from durable.engine import Ruleset

from selector.inference.horn import Clause, Program
from selector.model.truth import Bits

WIDE = 100
SID = "0"
Steps = frozenset[tuple[str, str, tuple[str, ...]]]  # clause, mode, names it used


class EngineError(Exception):
    """The engine answered with a code that the safe subset never gives."""


class Engine:
    """One compiled ruleset; `run` opens a session, draws all conclusions and closes it."""

    def __init__(self, program: Program):
        self.program = program
        texts = sorted({*program.conditions, *program.heads})
        self.short = {text: f"a{i}" for i, text in enumerate(texts)}
        self.heads = sorted(program.heads.items(), key=lambda item: (item[1], item[0]))
        uses = [
            (clause, mode, [self._name(lit.name, lit.positive, mode) for lit in clause.literals])
            for clause in program.clauses
            for mode in "!?"
        ]
        readers = Counter(n for _, _, names in uses for n in names)
        self.copies = {
            n: [n, *(f"{n}~{j}" for j in range(1, (count - 1) // WIDE + 1))]
            for n, count in sorted(readers.items())
        }
        ordered = sorted(copy for copies in self.copies.values() for copy in copies)
        self.bucket = {copy: f"k{i // WIDE}" for i, copy in enumerate(ordered)}
        self.barriers: dict[int, set[str]] = defaultdict(set)
        self._rules = Ruleset("kb", None, self._compile(uses))
        self._open = True

    def _compile(self, uses: list[tuple[Clause, str, list[str]]]) -> dict[str, Any]:
        used: Counter[str] = Counter()
        rules: dict[str, Any] = {"~hb": {"all": [{"x": {"k": "hb"}}], "run": lambda c: None}}
        for i, (clause, mode, names) in enumerate(uses):
            premises: list[dict[str, Any]] = []
            for j, name in enumerate(names):
                copy = self.copies[name][used[name] // WIDE]
                used[name] += 1
                premises.append({f"m{j}": {"$and": [{"k": self.bucket[copy]}, {"t": copy}]}})
            go = f"go{clause.stratum}.{i // WIDE}"
            self.barriers[clause.stratum].add(go)
            premises.append({"g": {"$and": [{"k": "go"}, {"t": go}]}})
            rules[f"c{i}{mode}"] = {"all": premises, "run": self._action(clause, mode, names)}
        return rules

    def _name(self, text: str, positive: bool, mode: str) -> str:
        return f"{'' if positive else '-'}{self.short[text]}{mode}"

    def _action(self, clause: Clause, mode: str, names: list[str]) -> Callable[[Any], None]:
        def fire(context: Any) -> None:  # exactly one parameter: two would make it asynchronous
            try:
                self._steps.add((clause.id, mode, tuple(names)))
                self._put(self._name(clause.head, True, mode))
            except BaseException as error:  # the engine would swallow it
                self._errors.append(error)

        return fire

    def _assert(self, fact: dict[str, str]) -> None:
        code, self._offset = engine.assert_fact(self._rules._handle, json.dumps(fact))
        if code not in (0, 1):  # 1: no rule reads it
            raise EngineError(f"code {code} for {fact}")

    def _put(self, name: str) -> None:
        if name in self._true:
            return
        self._true.add(name)
        for copy in self.copies.get(name, ()):
            self._assert({"id": copy, "k": self.bucket[copy], "t": copy})

    def _do(self) -> None:
        def done(error: Any, _: Any) -> None:
            if error:
                self._errors.append(EngineError(str(error)))

        self._rules.do_actions(self._offset, done)
        if self._errors:
            raise self._errors[0]

    def run(self, bits: dict[str, Bits]) -> tuple[dict[str, Bits], Steps]:
        """Bits of every head, and the firings, from the bits of the atoms."""
        if not self._open:
            raise EngineError("this engine was closed")
        self._true: set[str] = set()
        self._errors: list[BaseException] = []
        self._steps: set[tuple[str, str, tuple[str, ...]]] = set()
        self._assert({"id": "hb", "k": "hb", "t": "hb"})
        try:
            self._do()
            for text, bit in sorted(bits.items()):
                self._state(text, bit, negations=text not in self.program.heads)
            for stratum in range(1, self.program.strata + 1):
                for go in sorted(self.barriers[stratum]):
                    self._assert({"id": go, "k": "go", "t": go})
                self._do()
                for head, level in self.heads:
                    if level == stratum:
                        self._state(head, self._bits(head), negations=True)
            return {h: self._bits(h) for h, _ in self.heads}, frozenset(self._steps)
        finally:
            engine.delete_state(self._rules._handle, SID)

    def _bits(self, text: str) -> Bits:
        surely, possibly = self._name(text, True, "!"), self._name(text, True, "?")
        return Bits(surely in self._true, possibly in self._true)

    def _state(self, text: str, bits: Bits, *, negations: bool) -> None:
        if bits.surely:
            self._put(self._name(text, True, "!"))
        if bits.possibly:
            self._put(self._name(text, True, "?"))
        if negations and not bits.possibly:
            self._put(self._name(text, False, "!"))
        if negations and not bits.surely:
            self._put(self._name(text, False, "?"))

    def close(self) -> None:
        """Give the ruleset back; memory stays flat only if every engine is closed."""
        if self._open:
            self._open = False
            engine.delete_ruleset(self._rules._handle)
