"""Rules of one subject kind compiled to clauses: heads, literals, strata.

Heads: `when:ID` the guard of a require-rule holds; `rule:ID` the rule fires; `need:NAME` a proof
is there; `word:WORD` some rule gives this word; a classify rule derives the text of an atom.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from selector.errors import InputError, Problem
from selector.model.rule import Condition, Path, Rule


@dataclass(frozen=True)
class Literal:
    """An atom or head, positive or negated."""

    name: str
    positive: bool = True


@dataclass(frozen=True)
class Clause:
    """One way to a head: all literals together."""

    id: str
    head: str
    literals: tuple[Literal, ...]
    stratum: int = 1

    def __post_init__(self) -> None:
        """One fact never fills two premises of the engine, so a literal stands once."""
        if len(set(self.literals)) < len(self.literals):
            raise ValueError(f"clause {self.id} names a literal twice")


@dataclass(frozen=True)
class Program:
    """All clauses of a subject kind, with the conditions behind its atoms."""

    kind: str
    rules: tuple[Rule, ...]
    conditions: dict[str, Condition]  # text of the atom -> condition, without its negation
    clauses: tuple[Clause, ...]
    strata: int
    heads: dict[str, int]  # head -> stratum

    @cached_property
    def by_head(self) -> dict[str, list[Clause]]:
        """Clauses of each head."""
        found: dict[str, list[Clause]] = {}
        for clause in self.clauses:
            found.setdefault(clause.head, []).append(clause)
        return found

    @cached_property
    def rests(self) -> dict[str, frozenset[str]]:
        """Texts of the conditions that each head rests on."""
        return {h: frozenset(self.conditions.keys() & self.below([h])) for h in self.heads}

    @cached_property
    def reading(self) -> dict[str, list[Condition]]:
        """Conditions that compare each path."""
        found: dict[str, list[Condition]] = {}
        for condition in self.conditions.values():
            for path in {p for p in (condition.left, condition.right) if isinstance(p, Path)}:
                found.setdefault(str(path), []).append(condition)
        return found

    def below(self, heads: Iterable[str]) -> set[str]:
        """Names of all heads and atoms that heads rest on, themselves included."""
        seen: set[str] = set()
        wanted = list(heads)
        while wanted:
            name = wanted.pop()
            if name not in seen:
                seen.add(name)
                wanted += [x.name for c in self.by_head.get(name, ()) for x in c.literals]
        return seen

    @property
    def atoms(self) -> list[str]:
        """Texts of base atoms in order; heads among them get their base bits added."""
        return sorted(self.conditions)


def compile_rules(kind: str, rules: Iterable[Rule]) -> Program:
    """Program of the active rules of one subject kind."""
    kept = tuple(sorted(rules, key=lambda r: r.id))
    conditions: dict[str, Condition] = {}
    raw: list[tuple[str, str, tuple[Literal, ...]]] = []
    exempt = {r.id: [x.id for x in kept if r.id in x.excepts] for r in kept}

    def literal(condition: Condition) -> Literal:
        conditions.setdefault(condition.text, replace(condition, negated=False))
        return Literal(condition.text, not condition.negated)

    def add(head: str, literals: tuple[Literal, ...]) -> None:
        raw.append((f"{head}#{len(raw)}", head, tuple(dict.fromkeys(literals))))

    for rule in kept:
        free = tuple(Literal(f"rule:{x}", False) for x in exempt[rule.id])
        plain = [tuple(literal(c) for c in choice) for choice in product(*rule.when)]
        guards = [guard + free for guard in plain]
        fires = f"rule:{rule.id}"
        if rule.kind == "require":
            when = Literal(f"when:{rule.id}")
            for guard in guards:
                add(when.name, guard)
            wanted = tuple(literal(c) for c in rule.require)
            for one in wanted:
                add(fires, (when, Literal(one.name, not one.positive)))
            for need in rule.proves:  # a requirement that is met proves, excepted or not
                for guard in plain:
                    add(f"need:{need}", (*guard, *wanted))
        else:
            for guard in guards:
                add(fires, guard)
        if rule.kind == "support":
            for need in rule.proves:
                add(f"need:{need}", (Literal(fires),))
        if rule.then is not None:
            add(rule.then.text, (Literal(fires),))
        if rule.word is not None and rule.gate is None:
            add(f"word:{rule.word.text}", (Literal(fires),))
    strata = _strata(kind, raw)
    clauses = tuple(Clause(i, h, ls, strata[h]) for i, h, ls in raw)
    return Program(kind, kept, conditions, clauses, max(strata.values(), default=1), strata)


def _strata(kind: str, raw: list[tuple[str, str, tuple[Literal, ...]]]) -> dict[str, int]:
    """Lowest stratum of each head: above every head it negates, not below one it uses."""
    heads = {head for _, head, _ in raw}
    level = dict.fromkeys(sorted(heads), 1)
    for _ in range(len(heads) + 1):
        changed = False
        for _, head, literals in raw:
            for literal in literals:
                if literal.name in heads:
                    least = level[literal.name] + (0 if literal.positive else 1)
                    if level[head] < least:
                        level[head] = least
                        changed = True
        if not changed:
            _refuse_circles(kind, raw, heads)
            return level
    worst = sorted(h for h in heads if level[h] > len(heads))
    problem = Problem("rules", 0, f"rules on {kind} contradict each other in a circle")
    raise InputError([problem, *(Problem("rules", 0, f"in the circle: {h}") for h in worst[:4])])


def _refuse_circles(
    kind: str, raw: list[tuple[str, str, tuple[Literal, ...]]], heads: set[str]
) -> None:
    """No head may rest on itself, negated or not: what is circular proves nothing."""
    rests: dict[str, set[str]] = {head: set() for head in heads}
    for _, head, literals in raw:
        rests[head] |= {x.name for x in literals if x.name in heads}
    while True:
        free = {head for head, below in rests.items() if not below}
        if not free:
            break
        rests = {h: below - free for h, below in rests.items() if h not in free}
    if rests:
        first = min(rests)
        text = f"rules on {kind} rest on themselves: {first}"
        raise InputError.of(text, "let one of them stand on facts alone", file="rules")
