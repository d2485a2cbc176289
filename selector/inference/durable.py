"""The inference engine: clauses run by durable-rules, inside the subset that is safe.

A fact is `{"k": bucket, "t": name}`; a premise is one `$and` with `k` first. No host, no timers,
one session at a time, a heartbeat that fires before anything else, every result code checked,
sessions always deleted. A clause becomes two rules: over what is sure, and what is possible.
"""

import json
from collections.abc import Callable
from typing import Any

import durable_rules_engine as engine
from durable.engine import Ruleset

from selector.inference.horn import Clause, Program
from selector.inference.names import Names, names_of
from selector.model.truth import Bits

SID = "0"
Steps = frozenset[tuple[str, str, tuple[str, ...]]]  # clause, mode, names it used


class EngineError(Exception):
    """The engine answered with a code that the safe subset never gives."""


class Engine:
    """One compiled ruleset; `run` opens a session, draws all conclusions and closes it."""

    def __init__(self, program: Program):
        self.program = program
        self.names = names_of(program)
        self.heads = sorted(program.heads.items(), key=lambda item: (item[1], item[0]))
        rules: dict[str, Any] = {"~hb": {"all": [{"x": {"k": "hb"}}], "run": lambda c: None}}
        for i, (clause, mode, copies) in enumerate(self.names.uses):
            premises = [
                {f"m{j}": {"$and": [{"k": self.names.bucket[copy]}, {"t": copy}]}}
                for j, copy in enumerate(copies)
            ]
            premises.append({"g": {"$and": [{"k": "go"}, {"t": Names.barrier(i, clause)}]}})
            rules[f"c{i}"] = {"all": premises, "run": self._action(clause, mode, copies)}
        self._rules = Ruleset("kb", None, rules)
        self._open = True

    def _action(self, clause: Clause, mode: str, copies: tuple[str, ...]) -> Callable[[Any], None]:
        def fire(context: Any) -> None:  # exactly one parameter: two would make it asynchronous
            try:
                self._steps.add((clause.id, mode, copies))
                self._put(self.names.of(clause.head, True, mode))
            except BaseException as error:  # the engine would swallow it
                self._errors.append(error)

        return fire

    def _assert(self, fact: dict[str, str]) -> None:
        code, self._offset = engine.assert_fact(self._rules._handle, json.dumps(fact))
        if code not in (0, 1):  # 1: no rule reads it
            raise EngineError(f"code {code} for {fact}")

    def _put(self, name: str) -> None:
        if name not in self._true:
            self._true.add(name)
            for copy in self.names.copies.get(name, ()):
                self._assert({"id": copy, "k": self.names.bucket[copy], "t": copy})

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
            for stratum, barriers in self.names.barriers.items():
                for go in barriers:
                    self._assert({"id": go, "k": "go", "t": go})
                self._do()
                for head, level in self.heads:
                    if level == stratum:
                        self._state(head, self._bits(head), negations=True)
            return {h: self._bits(h) for h, _ in self.heads}, frozenset(self._steps)
        finally:
            engine.delete_state(self._rules._handle, SID)

    def _bits(self, text: str) -> Bits:
        surely, possibly = (self.names.of(text, True, mode) for mode in "!?")
        return Bits(surely in self._true, possibly in self._true)

    def _state(self, text: str, bits: Bits, *, negations: bool) -> None:
        if bits.surely:
            self._put(self.names.of(text, True, "!"))
        if bits.possibly:
            self._put(self.names.of(text, True, "?"))
        if negations and not bits.possibly:
            self._put(self.names.of(text, False, "!"))
        if negations and not bits.surely:
            self._put(self.names.of(text, False, "?"))

    def close(self) -> None:
        """Give the ruleset back; memory stays flat only if every engine is closed."""
        if self._open:
            self._open = False
            engine.delete_ruleset(self._rules._handle)
