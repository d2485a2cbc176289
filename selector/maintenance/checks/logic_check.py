"""Faults between rules, found by an answer-set solver: an answer set is one possible situation.

What conditions say of one path is kept consistent: one word of a choice, a slot filled or not,
readings between a lowest and a highest. Heads follow from the clauses as stratified rules (stable
models: Gelfond and Lifschitz, 1988). Where more is left possible than there is, a fault may be
missed, and no sound rule is called faulty.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations, product
from typing import Any

from selector import units
from selector.errors import Problem
from selector.inference.horn import Literal, Program, compile_rules
from selector.knowledge.base import Base
from selector.model.quantity import Window
from selector.model.rule import SUBJECTS, Condition, Limit, Path, Rule
from selector.model.truth import Word

LEFT_OUT = Problem(
    "",
    0,
    "rules that never fire, are overshadowed or contradict each other were not looked for",
    "`pip install 'seamwright[logic]'` adds the solver",
)
OTHER = "any other word"
MEASURING = ("within", "at most", "at least")
Situation = tuple[Condition, ...]  # all of them hold; a negated one does not
Model = set[tuple[str, *tuple[int, ...]]]  # predicates of the solver with their numbers


@dataclass(frozen=True)
class Finding:
    """What is wrong between rules, and a smallest situation that shows it."""

    kind: str  # never | overshadowed | contradiction
    rules: tuple[str, ...]
    situation: Situation
    problem: Problem


def check_logic(base: Base) -> tuple[list[Problem], list[Problem]]:
    """Problems and notes; one note alone where the solver is not installed."""
    try:
        import clingo  # noqa: F401
    except ImportError:
        return [], [LEFT_OUT]
    found = find(base)
    notes = [f.problem for f in found if f.kind == "overshadowed"]
    return [f.problem for f in found if f.kind != "overshadowed"], notes


def find(base: Base) -> list[Finding]:
    """Every fault between the active rules of each subject kind."""
    found: list[Finding] = []
    for kind in SUBJECTS:
        program = compile_rules(kind, base.rules_of(kind))
        oracle = Oracle(program, base)
        ever = oracle.ever()
        living = [r for r in program.rules if f"rule:{r.id}" in ever]
        dead = [r for r in program.rules if f"rule:{r.id}" not in ever]
        found += [_never(program, oracle, r) for r in dead]
        found += _overshadowed(oracle, living)
        found += _two_words(oracle, living)
        found += _two_demands(oracle, program.rules)
    return found


def _never(program: Program, oracle: "Oracle", rule: Rule) -> Finding:
    """A rule that fires in no situation, with the smallest conflicts that stop it."""

    def shown(literal: Literal) -> str:
        name = literal.name.removeprefix("rule:")
        if name != literal.name:
            return f"`{name}` {'fires' if literal.positive else 'stays silent'}"
        return f"`{say(replace(program.conditions[name], negated=not literal.positive))}`"

    found = map(oracle.conflict, _ways(program, rule))
    conflicts = {frozenset(c): " and ".join(map(shown, c)) for c in found}
    nowhere = "; nor ".join(conflicts.values())
    text = f"rule `{rule.id}` never fires: there is no situation where {nowhere}"
    problem = Problem(rule.file, rule.line, text, "mend its conditions or delete it")
    return Finding("never", (rule.id,), (), problem)


def _ways(program: Program, rule: Rule) -> Iterator[tuple[Literal, ...]]:
    """Literals of each way in which a rule fires, its guard written out."""
    for clause in program.by_head[f"rule:{rule.id}"]:
        parts = [
            [c.literals for c in program.by_head[x.name]] if x.name.startswith("when:") else [(x,)]
            for x in clause.literals
        ]
        for chosen in product(*parts):
            yield tuple(dict.fromkeys(x for part in chosen for x in part))


def _overshadowed(oracle: "Oracle", rules: Iterable[Rule]) -> Iterator[Finding]:
    """Rules whose word never counts, since a stronger one always comes with it."""
    banning = [r for r in rules if r.kind in ("forbid", "engineer", "require")]
    words = [(r, r.word) for r in banning if r.gate is None and r.word is not None]
    for rule, word in words:
        if word == Word.FORBIDDEN:
            continue
        together = oracle.always(f"rule:{rule.id}")
        stronger = [(w, r.id) for r, w in words if w > word and f"rule:{r.id}" in together]
        if stronger:
            most, other = max(stronger, key=lambda pair: pair[0])
            situation = oracle.situation(f"rule:{rule.id}") or ()
            text = f"every time `{rule.id}` fires, `{other}` ({most.text}) fires too"
            problem = Problem(rule.file, rule.line, f"{text}, as {_where(situation)}")
            yield Finding("overshadowed", (rule.id, other), situation, problem)


def _two_words(oracle: "Oracle", rules: Iterable[Rule]) -> Iterator[Finding]:
    """Two rules that classify one quantity differently in one situation."""
    for one, other in combinations(rules, 2):
        first, second = one.then, other.then
        if first and second and first.left == second.left and first.right != second.right:
            situation = oracle.situation(f"rule:{one.id}", f"rule:{other.id}")
            if situation is not None:
                says = f"`{first.left}` becomes both {first.right} and {second.right}"
                yield _contradiction(one, other, says, situation)


def _two_demands(oracle: "Oracle", rules: Iterable[Rule]) -> Iterator[Finding]:
    """Two rules that ask of one path what can never be kept at once."""
    for one, other in combinations([r for r in rules if r.kind == "require"], 2):
        guards = (Literal(f"when:{one.id}"), Literal(f"when:{other.id}"))
        for mine, theirs in product(one.require, other.require):
            asked = [Literal(c.text, not c.negated) for c in (mine, theirs)]
            if (
                mine.left == theirs.left
                and all(oracle.possible(*guards, literal) for literal in asked)
                and not oracle.possible(*guards, *asked)
            ):
                situation = oracle.situation(*(g.name for g in guards)) or ()
                says = f"`{say(mine)}` and `{say(theirs)}` never hold at once, and both are asked"
                yield _contradiction(one, other, says, situation)


def _contradiction(one: Rule, other: Rule, says: str, situation: Situation) -> Finding:
    text = f"rules `{one.id}` and `{other.id}` contradict each other: {says} {_where(situation)}"
    remedy = "let one `except` the other, or part their conditions"
    problem = Problem(one.file, one.line, text, remedy)
    return Finding("contradiction", (one.id, other.id), situation, problem)


def _where(situation: Situation) -> str:
    shown = "; ".join(say(c) for c in situation)
    return f"where {shown}" if shown else "everywhere"


def say(condition: Condition) -> str:
    """A condition in the words of a rule file, its path in full."""
    right = condition.right
    if isinstance(right, Limit):
        shown = units.show(right.value, right.dimension)
        text = f"{condition.left} {condition.operator} {shown}"
    else:
        text = replace(condition, places=1).text
    return f"not {text}" if condition.negated else text


class Oracle:
    """The situations of one subject kind, and what holds in them."""

    def __init__(self, program: Program, base: Base):
        from clingo import Control, Function, Number

        self.program, self.base = program, base
        names = sorted({*program.conditions, *program.heads})
        self.index = {name: i for i, name in enumerate(names)}
        self.paths: dict[Path, list[Condition]] = {}
        for condition in program.conditions.values():
            self.paths.setdefault(condition.left, []).append(condition)
        self.number = {path: i for i, path in enumerate(sorted(self.paths))}
        self.words = {path: self._words(path) for path in self.paths}
        self.symbols = {name: Function("n", [Number(i)]) for name, i in self.index.items()}
        self.control = Control(["--warn=none"])
        self.control.add("base", [], "\n".join(self._lines()))
        self.control.ground([("base", [])])

    # --- questions ---------------------------------------------------------------------

    def ever(self) -> set[str]:
        """Names that hold in some situation."""
        return self._names(self._solve("brave") or set())

    def always(self, head: str) -> set[str]:
        """Names that hold in every situation in which a head does."""
        return self._names(self._solve("cautious", Literal(head)) or set())

    def possible(self, *literals: Literal) -> bool:
        """Whether literals hold together in some situation."""
        return self._solve("auto", *literals, models=1) is not None

    def conflict(self, literals: Iterable[Literal]) -> tuple[Literal, ...]:
        """A smallest part of literals that never hold together."""
        left = tuple(literals)
        for literal in left:
            fewer = tuple(x for x in left if x != literal)
            if not self.possible(*fewer):
                left = fewer
        return left

    def situation(self, *heads: str) -> Situation | None:
        """Conditions of a smallest situation in which heads hold, or None where there is none."""
        model = self._solve("auto", *map(Literal, heads), best=True)
        if model is None:
            return None
        reasons = frozenset[Literal]().union(*(self._because(h, True, model) for h in heads))
        found: dict[str, Condition] = {}
        for name, positive in sorted((x.name, x.positive) for x in reasons):
            condition = replace(self.program.conditions[name], negated=not positive, places=1)
            if _words_of(condition):
                condition = self._named(condition, model)
            found.setdefault(say(condition), condition)
        return tuple(found[text] for text in sorted(found))

    def _solve(
        self, mode: str, *wanted: Literal, models: int = 0, best: bool = False
    ) -> Model | None:
        """Last model of a call: the consequences, the best one, or any."""
        how: Any = self.control.configuration.solve
        how.enum_mode, how.models = mode, models
        how.opt_mode = "opt" if best else "ignore"
        assumed = [(self.symbols[x.name], x.positive) for x in wanted]
        found: Model | None = None
        with self.control.solve(assumptions=assumed, yield_=True) as handle:
            for model in handle:
                shown = model.symbols(shown=True)
                found = {(s.name, *(a.number for a in s.arguments)) for s in shown}
        return found

    def _names(self, model: Model) -> set[str]:
        return {name for name, i in self.index.items() if ("n", i) in model}

    def _because(self, name: str, positive: bool, model: Model) -> frozenset[Literal]:
        """Fewest conditions by which a head holds in a situation, or does not."""

        def fewest(ways: Iterable[frozenset[Literal]]) -> frozenset[Literal]:
            return min(ways, key=lambda way: (len(way), sorted(x.name for x in way)))

        def holds(literal: Literal) -> bool:
            return (("n", self.index[literal.name]) in model) == literal.positive

        clauses = [c.literals for c in self.program.by_head.get(name, ())]
        own = frozenset({Literal(name, positive)} if name in self.program.conditions else ())
        if not positive:
            blocked = [
                fewest(self._because(x.name, not x.positive, model) for x in c if not holds(x))
                for c in clauses
            ]
            return own.union(*blocked)
        ways = [
            frozenset[Literal]().union(*(self._because(x.name, x.positive, model) for x in c))
            for c in clauses
            if all(map(holds, c))
        ]
        return fewest(ways) if ways else own

    def _named(self, condition: Condition, model: Model) -> Condition:
        """The word of a choice in a situation, where it has one name."""
        path = condition.left
        held = [w for k, w in enumerate(self.words[path]) if ("w", self.number[path], k) in model]
        if len(held) != 1 or held == [OTHER]:
            return condition
        return Condition(path, "is", held[0])

    # --- what the conditions of one path have to do with each other ---------------------

    def _words(self, path: Path) -> tuple[str, ...]:
        """All words of a choice, or those that rules name and one for the rest."""
        quantity = self.base.vocabulary.quantities.get(str(path))
        if quantity is not None and quantity.words and not quantity.stacked:
            return tuple(dict.fromkeys((*quantity.words, *self._derived(path))))
        named = {w for c in self.paths[path] for w in _words_of(c)}
        return (*sorted(named), OTHER) if named else ()

    def _derived(self, path: Path) -> dict[str, str]:
        """Words that rules of this kind give a path, each with its head."""
        given = [r.then for r in self.program.rules if r.then is not None and r.then.left == path]
        return {str(c.right): c.text for c in given}

    def _lines(self) -> Iterator[str]:
        """n: a name holds; f: what a condition says, whatever the number of its readings."""
        yield "#show n/1. #show w/2."
        for clause in self.program.clauses:
            body = [f"{'' if x.positive else 'not '}{self._n(x.name)}" for x in clause.literals]
            yield f"{self._n(clause.head)} :- {', '.join(body) or '#true'}."
        for path, conditions in self.paths.items():
            p = self.number[path]
            ends = sorted({v for c in conditions for v in self._bounds(c) if v is not None})
            positions = {v: 2 * i + 1 for i, v in enumerate(ends)}  # between them the gaps
            yield from self._choice(path)
            yield from self._measure(path, positions)
            yield f"{{ filled({p}) }}."
            for c in conditions:
                yield from self._condition(c, positions)

    def _n(self, name: str) -> str:
        return f"n({self.index[name]})"

    def _condition(self, condition: Condition, positions: dict[int, int]) -> Iterator[str]:
        p, name = self.number[condition.left], self._n(condition.text)
        says = f'f({p},"{_quoted(condition)}")'
        counted = condition.operator in MEASURING and condition.places > 1
        yield f"{name} :- {says}{f', enough({p},{condition.places})' if counted else ''}."
        yield f":~ {name}. [1@1,{name}]"
        words, (low, high) = _words_of(condition), self._bounds(condition)
        if words:
            for word in words & set(self.words[condition.left]):
                yield f"{says} :- w({p},{self.words[condition.left].index(word)})."
        elif (low, high) != (None, None):
            first = "" if low is None else f", X >= {positions[low]}"
            last = "" if high is None else f", Y <= {positions[high]}"
            yield f"{says} :- lo({p},X), hi({p},Y){first}{last}."
        elif condition.operator in ("present", "absent"):
            yield f"{says} :- {'not ' if condition.operator == 'absent' else ''}filled({p})."
        else:
            yield f"{{ {says} }}."

    def _choice(self, path: Path) -> Iterator[str]:
        """One word holds; of a derived quantity those of its rules, or else its default."""
        p, words, derived = self.number[path], self.words[path], self._derived(path)
        if not words:
            return
        if not derived:
            yield f"1 {{ w({p},0..{len(words) - 1}) }} 1."
            return
        default = self.base.vocabulary.quantities[str(path)].default
        left = [words.index(default)] if default is not None else range(len(words))
        yield f"{{ by_default({p},({';'.join(map(str, left))})) }} 1."
        yield f"w({p},K) :- by_default({p},K)."
        for word, head in derived.items():
            yield f"w({p},{words.index(word)}) :- {self._n(head)}."
            yield f":- by_default({p},_), {self._n(head)}."
        if default is not None:
            none = ", ".join(f"not {self._n(head)}" for head in derived.values())
            yield f":- not by_default({p},{words.index(default)}), {none}."

    def _measure(self, path: Path, positions: dict[int, int]) -> Iterator[str]:
        """The lowest and the highest reading; one and the same where only one is taken."""
        p = self.number[path]
        gaps = [i - 1 for v, i in positions.items() if v - 1 not in positions]
        where = sorted([*positions.values(), *gaps, 2 * len(positions)])
        if positions:
            for end in ("lo", "hi"):
                yield f"1 {{ {end}({p},({';'.join(map(str, where))})) }} 1."
            counted = any(getattr(c.right, "dimension", "") == "count" for c in self.paths[path])
            single = path.role == "site" or counted  # elsewhere readings may spread
            yield f":- lo({p},X), hi({p},Y), X {'!=' if single else '>'} Y."
            yield f":~ lo({p},X), hi({p},Y), X != Y. [1@2,{p}]"
        many = sorted({c.places for c in self.paths[path] if c.places > 1})
        for i, n in enumerate(many):
            yield f"{{ enough({p},{n}) }}. :~ not enough({p},{n}). [1@2,{p},{n}]"
            yield from (f":- enough({p},{n}), not enough({p},{m})." for m in many[:i])

    def _bounds(self, condition: Condition) -> tuple[int | None, int | None]:
        """Lowest and highest value that a measure may have, where they are literal."""
        right = condition.right
        if isinstance(right, Window):
            return right.low, right.high
        value = right.value if isinstance(right, Limit) else None
        if isinstance(right, Path) and right.role == "trade":
            (place,) = self.base.numbers[right.name].value.places
            value = place.low
        if condition.operator == "at most":
            return None, value
        return (value, None) if condition.operator == "at least" else (None, None)


def _words_of(condition: Condition) -> frozenset[str]:
    """Words that a choice is held against; none where a path or a measure stands there."""
    right = condition.right
    if condition.operator not in ("is", "is one of") or isinstance(right, Path):
        return frozenset()
    return frozenset(right) if isinstance(right, tuple) else frozenset({str(right)})


def _quoted(condition: Condition) -> str:
    text = replace(condition, places=1).text
    return text.replace("\\", "\\\\").replace('"', '\\"')
