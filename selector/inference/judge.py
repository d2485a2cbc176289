"""Judge one subject: worlds, both paths, outcomes, proofs and reasons."""

import re
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any, TypeVar
from zlib import crc32

from selector.errors import InputError, Problem, near
from selector.facts import (
    atoms,
    checks,
    clip_paper,
    clip_places,
    collars,
    contacts,
    covers,
    exposure,
    fitting,
    layouts,
    measures,
    owners,
    pairings,
    papers,
    parts,
    sheet_metal,
    wrench,
)
from selector.facts.memo import Kept
from selector.facts.split import MOST_WORLDS, split_paths, worlds
from selector.facts.view import GROUND, Binding, View, all_paths, type_of
from selector.inference import plain
from selector.inference.cores import CLAMP, Graph, Shape, Walk
from selector.inference.durable import Steps
from selector.inference.horn import Program, compile_rules
from selector.inference.rulesets import Rulesets
from selector.inference.sieve import Sieve
from selector.knowledge.base import Base, Part
from selector.knowledge.guards import outside_guards
from selector.model.fact import NO_REASON, TRIVIAL, Atom, Reading, Reasons, all_of, any_of
from selector.model.job import Job
from selector.model.quantity import Candidates
from selector.model.rule import SUBJECTS, Condition, Need, Path, Quantity, Rule
from selector.model.truth import NO, OPEN, Bits, Word

_READERS = (
    checks,
    clip_paper,
    clip_places,
    collars,
    contacts,
    exposure,
    pairings,
    covers,
    fitting,
    layouts,
    measures,
    owners,
    papers,
    parts,
    sheet_metal,
    wrench,
)  # importing them registers what they read
Result = TypeVar("Result")
AtomBits = frozenset[tuple[str, Bits]]
Pairs = tuple[tuple[str, plain.Pair], ...]
Twice = tuple[Atom, plain.Pair]


@dataclass(frozen=True)
class Subject:
    """What is judged: its kind, a name, and its binding."""

    kind: str
    id: str
    binding: Binding


@dataclass(frozen=True)
class World:
    """One subject in one world: atoms, bits of heads, firings of the engine."""

    words: dict[str, str]
    atoms: dict[str, Atom]
    heads: dict[str, Bits]
    steps: Steps

    def word(self, surely: bool) -> Word:
        """Strongest word that is given surely, or possibly."""
        bits = ((w, self.heads.get(f"word:{w.text}", NO)) for w in Word)
        return max((w for w, b in bits if b[0 if surely else 1]), default=Word.ALLOWED)

    @cached_property
    def asked(self) -> tuple[tuple[str, ...], ...]:
        """What its open atoms ask for."""
        return tuple(a.asks for a in self.atoms.values() if a.bits == OPEN)


@dataclass(frozen=True)
class Judgement:
    """All outcomes of one subject."""

    subject: Subject
    program: Program
    worlds: tuple[World, ...]
    view: View
    needs: tuple[Need, ...]
    withheld: str = ""  # why the two paths disagree, if they do
    _kept: dict[tuple[str, bool], Reasons] = field(default_factory=dict, compare=False)
    _bits: dict[str, Bits] = field(default_factory=dict, compare=False)
    _once: dict[Hashable, Any] = field(default_factory=dict, compare=False)

    def once(self, key: Hashable, work: Callable[[], Result]) -> Result:
        """Result of `work`, kept with this judgement."""
        if key not in self._once:
            self._once[key] = work()
        found: Result = self._once[key]
        return found

    def bits(self, head: str) -> Bits:
        """Bits of a head over all worlds: surely in all, possibly in any."""
        found = self._bits.get(head)
        if found is None:
            each = [w.heads.get(head, NO) for w in self.worlds]
            found = Bits(all(b.surely for b in each), any(b.possibly for b in each))
            self._bits[head] = found
        return found

    def fires(self, rule: Rule) -> Bits:
        """Whether a rule fires."""
        return self.bits(f"rule:{rule.id}")

    def outcome(self, rule: Rule) -> str:
        """fires, may fire, silent or not applicable."""
        bits = self.fires(rule)
        if bits.surely:
            return "fires"
        if bits.possibly:
            return "may fire"
        guarded = rule.kind == "require"
        return (
            "silent" if not guarded or self.bits(f"when:{rule.id}").possibly else "not applicable"
        )

    def proven(self, need: str) -> Bits:
        """Whether a proof is there."""
        return self.bits(f"need:{need}")

    def word(self, surely: bool) -> Word:
        """Strongest word that is given whatever the world, or in some world."""
        worlds = {id(w.heads): w.word(surely) for w in self.worlds}.values()
        return min(worlds) if surely else max(worlds)

    def reasons(self, head: str, positive: bool = True) -> Reasons:
        """All minimal sets of facts that surely give a head, or surely rule it out."""
        key = (head, positive)
        if key not in self._kept:
            each = [_Algebra(self.program, w).lit(head, positive) for w in self.worlds]
            self._kept[key] = all_of(each)
        return self._kept[key]

    def open_atoms(self, head: str) -> list[Atom]:
        """Atoms without which a head is not decided, over all worlds."""
        return [atom for atom, _ in self.open_sides(head, True)]

    def open_sides(self, head: str, wanted: bool) -> list[tuple[Atom, bool]]:
        """Open atoms of a head, each with the side that helps the head to be as wanted."""
        return self.once((head, wanted), partial(self._open_sides, head, wanted))

    def _open_sides(self, head: str, wanted: bool) -> list[tuple[Atom, bool]]:
        found: dict[str, tuple[Atom, bool]] = {}
        if self.bits(head) != OPEN:
            return []
        alike = {(id(w.heads), w.asked): w for w in self.worlds}  # equal bits share their heads
        for world in alike.values():
            if world.heads.get(head, NO) == OPEN:
                for atom, side in _Algebra(self.program, world).open(head, wanted):
                    found.setdefault(atom.text, (atom, side))
        for path in self._deciding_splits(head):
            asks = self.view.read(path).open_paths
            found.setdefault(path, (Atom(path, OPEN, (), (), asks), True))
        return [found[k] for k in sorted(found)]

    def _deciding_splits(self, head: str) -> list[str]:
        """Split quantities on whose word alone a head depends, the others held."""
        deciding = []
        for path in self.worlds[0].words:
            groups: dict[tuple[str, ...], set[Bits]] = {}
            for world in self.worlds:
                others = tuple(w for p, w in world.words.items() if p != path)
                groups.setdefault(others, set()).add(world.heads.get(head, NO))
            if any(len(bits) > 1 for bits in groups.values()):
                deciding.append(path)
        return deciding


@dataclass(frozen=True)
class Stock:
    """Parts of some catalogues, ordered once for all jobs."""

    graph: Graph
    sieve: Sieve
    mixed: tuple[Part, ...]  # clamps in an order that has nothing to do with what they are
    _above: dict[tuple[str, Shape], int] = field(default_factory=dict, compare=False)
    _walks: dict[Shape, Walk] = field(default_factory=dict, compare=False)

    def stacks_above(self, clamp: str, wanted: Shape) -> int:
        """How many cores interfaces allow above a clamp."""
        key = (self.graph.offers[clamp], wanted)
        if key not in self._above:
            if wanted not in self._walks:
                self._walks[wanted] = Walk(self.graph, wanted, lambda *_: True)
            self._above[key] = self._walks[wanted].number(CLAMP, clamp)
        return self._above[key]


class _Algebra:
    """Reasons as sums of products over the clauses of a program in one world."""

    def __init__(self, program: Program, world: World):
        self.world = world
        self.clauses = program.by_head
        self.kept: dict[tuple[str, bool], Reasons] = {}

    def lit(self, name: str, positive: bool) -> Reasons:
        """Reasons why a literal surely holds; none where it does not."""
        key = (name, positive)
        if key not in self.kept:
            self.kept[key] = NO_REASON  # a positive circle proves nothing by itself
            self.kept[key] = self._lit(name, positive)
        return self.kept[key]

    def _lit(self, name: str, positive: bool) -> Reasons:
        base = self._atom(name, positive)
        if name not in self.clauses:
            return base
        if positive:
            products = [
                all_of(self.lit(x.name, x.positive) for x in c.literals) for c in self.clauses[name]
            ]
            return any_of([base, *products])
        blocked = [
            any_of(self.lit(x.name, not x.positive) for x in c.literals) for c in self.clauses[name]
        ]
        if name in self.world.atoms:
            blocked.append(base)
        return all_of(blocked)

    def _atom(self, name: str, positive: bool) -> Reasons:
        atom = self.world.atoms.get(name)
        if atom is None:
            return NO_REASON
        if positive:
            return (atom.yes or TRIVIAL) if atom.bits.surely else NO_REASON
        return NO_REASON if atom.bits.possibly else (atom.no or TRIVIAL)

    def open(
        self, name: str, wanted: bool, seen: frozenset[str] = frozenset()
    ) -> list[tuple[Atom, bool]]:
        """Undecided atoms below a head, each with the side that makes the head as wanted."""
        atom = self.world.atoms.get(name)
        found = [(atom, wanted)] if atom is not None and atom.bits == OPEN else []
        if name in seen:
            return found
        for clause in self.clauses.get(name, ()):
            below = [self._bits(x.name, x.positive) for x in clause.literals]
            if all(b.possibly for b in below):
                for literal in clause.literals:
                    side = wanted == literal.positive
                    found += self.open(literal.name, side, seen | {name})
        return found

    def _bits(self, name: str, positive: bool) -> Bits:
        bits = self.world.heads.get(name)
        if bits is None:
            atom = self.world.atoms.get(name)
            bits = atom.bits if atom is not None else NO
        return bits if positive else bits.negated()


class Judge:
    """Judges subjects of one base; engines are built when first used and kept.

    With fewer worlds it is quicker, as safe, and may ask for more than it needs.
    """

    def __init__(
        self,
        base: Base,
        engine: Callable[[Program], Rulesets] = Rulesets,
        most_worlds: int = MOST_WORLDS,
    ):
        self.base = base
        self.most_worlds = most_worlds
        self._engine = engine
        self.programs = {k: compile_rules(k, base.rules_of(k)) for k in SUBJECTS}
        self._engines: dict[str, Rulesets] = {}
        self._memo: dict[tuple[str, AtomBits], tuple[dict[str, Bits], Steps]] = {}
        self._compared: dict[tuple[str, AtomBits, Pairs], str] = {}
        self._stocks: dict[tuple[str, ...], Stock] = {}
        self.sessions = 0
        self._check_paths()
        self._split = {
            k: split_paths(base, p.conditions.values()) for k, p in self.programs.items()
        }
        self._said = {k: _named_in_sentences(p) for k, p in self.programs.items()}

    def stock(self, catalogues: tuple[str, ...]) -> Stock:
        """Graph and sieve of the parts of some catalogues, made when first asked for."""
        if catalogues not in self._stocks:
            parts = list(self.base.parts_of(catalogues))
            clamps = [p for p in parts if p.slot == "clamp"]
            sieve = Sieve(self.programs["part-on-plane"], self.base, clamps, self.most_worlds)
            mixed = sorted(clamps, key=lambda p: (crc32(p.id.encode()), p.id))
            self._stocks[catalogues] = Stock(Graph(parts), sieve, tuple(mixed))
        return self._stocks[catalogues]

    def _check_paths(self) -> None:
        """Every path of every rule exists, fits its operator and stands inside its guard."""
        base = self.base
        problems = outside_guards(base.rules, base.questions.values(), base.vocabulary)
        for rule in self.base.rules:
            for condition in rule.conditions:
                problem = path_problem(self.base, rule, condition)
                if problem is not None:
                    problems.append(problem)
            problems += _holes(self.base, rule)
        if problems:
            raise InputError(problems)

    def judge(
        self,
        subject: Subject,
        job: Job | None,
        derived: dict[str, Reading] | None = None,
        given: dict[str, Reading] | None = None,
        ground: View | None = None,
    ) -> Judgement:
        """All outcomes of one subject; `derived` are readings of subjects judged before."""
        view = View(self.base, job, subject.binding, derived or {}, given, ground=ground)
        return self.look(subject, view)

    def look(self, subject: Subject, view: View) -> Judgement:
        """All outcomes of one subject as a view shows it."""
        program = self.programs[subject.kind]
        conditions = program.conditions
        tried = worlds(view, self._split[subject.kind], self.most_worlds)
        steady: dict[str, Twice] = {}
        if len(tried) > 1:
            split = tried[0].keys()
            once = {t: _twice(c, view) for t, c in conditions.items()}
            steady = {t: k.result for t, k in once.items() if split.isdisjoint(k.rests)}
            if len(steady) == len(conditions):
                tried = [{}]  # nothing turns on a split quantity: every world is the same
        turning = [(t, c) for t, c in conditions.items() if t not in steady]
        alike: dict[tuple[object, ...], tuple[dict[str, Bits], Steps, str]] = {}
        found: list[World] = []
        for words in tried:
            here = view.in_world(words)
            both: dict[str, Twice] = {**steady, **{t: _twice(c, here).result for t, c in turning}}
            key = tuple((both[t][0].bits, both[t][1]) for t, _ in turning)
            if key not in alike:
                alike[key] = self._both_paths(program, both)
            heads, steps, _ = alike[key]
            found.append(World(words, {t: atom for t, (atom, _) in both.items()}, heads, steps))
        withheld = next((text for _, _, text in alike.values() if text), "")
        for path in self._said[subject.kind]:
            view.read(path)  # sentences are filled later; what they name is read now
        needs = tuple(n for n in self.base.vocabulary.needs if n.subject == subject.kind)
        return Judgement(subject, program, tuple(found), view, needs, withheld)

    def _both_paths(
        self, program: Program, both: dict[str, Twice]
    ) -> tuple[dict[str, Bits], Steps, str]:
        """What the engine gives, and what the plain path finds other than that."""
        bits = frozenset((t, atom.bits) for t, (atom, _) in both.items())
        heads, steps = self._run(program, bits)
        pairs = tuple((t, pair) for t, (_, pair) in both.items())
        return heads, steps, self._compare(program, bits, heads, pairs)

    def _run(self, program: Program, bits: AtomBits) -> tuple[dict[str, Bits], Steps]:
        key = (program.kind, bits)
        if key not in self._memo:
            if program.kind not in self._engines:
                self._engines[program.kind] = self._engine(program)
            self._memo[key] = self._engines[program.kind].run(dict(bits))
            self.sessions += 1
        return self._memo[key]

    def _compare(
        self, program: Program, bits: AtomBits, heads: dict[str, Bits], pairs: Pairs
    ) -> str:
        """What the plain path, with comparisons of its own, finds other than the engine."""
        key = (program.kind, bits, pairs)
        if key not in self._compared:
            other = plain.Plain(program.rules, dict(pairs))
            self._compared[key] = _difference(program, heads, other)
        return self._compared[key]

    def share(self, other: "Judge") -> bool:
        """Use engines and results of a judge with the same rules; False where rules differ."""
        if self.programs != other.programs:
            return False
        self._engines, self._memo = other._engines, other._memo
        self._compared = other._compared
        return True

    def forget(self, most: int) -> None:
        """Drop what is remembered of subjects where it is more than so many; engines stay."""
        if len(self._memo) + len(self._compared) > most:
            self._memo.clear()
            self._compared.clear()

    def close(self) -> None:
        """Give all rulesets back, shared ones too."""
        for engine in self._engines.values():
            engine.close()
        self._engines.clear()

    def derived(self, judgement: Judgement) -> dict[str, Reading]:
        """Derived quantities of a judged subject as readings for the subjects after it."""
        found: dict[str, Reading] = {}
        for quantity in self.base.vocabulary.quantities.values():
            heads = {
                r.then.text: str(r.then.right)
                for r in judgement.program.rules
                if r.then is not None and r.then.left == quantity.path
            }
            if quantity.derived and heads:
                found[str(quantity.path)] = _derived(judgement, quantity, heads)
        return found


def _twice(condition: Condition, view: View) -> Kept:
    """A condition in one world as both paths see it: the atom, and the plain comparison."""

    def look(here: View) -> Twice:
        return atoms.evaluate(condition, here), plain.compare(condition, here)

    key = ("twice", condition.text)
    if condition.roles <= GROUND:
        return view.below(key, look)
    return view.kept(key, lambda: look(view))


def _derived(judgement: Judgement, quantity: Quantity, heads: dict[str, str]) -> Reading:
    path = str(quantity.path)
    left: set[str] = set()
    surely = False
    reasons: list[Reasons] = []
    asks: list[str] = []
    for head, word in sorted(heads.items()):
        bits = judgement.bits(head)
        if bits.possibly:
            left.add(word)
        if bits.surely:
            surely = True
            reasons = [judgement.reasons(head)]
            break
        if not bits.possibly:
            reasons.append(judgement.reasons(head, False))
        asks += [a for atom in judgement.open_atoms(head) for a in atom.asks]
    if not surely and quantity.default is not None:
        left.add(quantity.default)
    if len(left) > 1:
        return Reading(Candidates(frozenset(left)), NO_REASON, path, "", tuple(dict.fromkeys(asks)))
    return Reading(Candidates(frozenset(left)), all_of(reasons), path)


def _difference(program: Program, heads: dict[str, Bits], other: plain.Plain) -> str:
    """First head on which the two paths differ, or nothing."""
    for head, bits, pair in both_paths(program, heads, other):
        if bits != pair:
            return f"{head}: engine {bits}, plain {pair}"
    return ""


def both_paths(
    program: Program, heads: dict[str, Bits], other: plain.Plain
) -> Iterator[tuple[str, Bits, Bits]]:
    """Every head that both paths work out, with the bits of the engine and of the plain path."""
    for rule_id, pair in other.outcomes().items():
        head = f"rule:{rule_id}"
        yield head, heads.get(head, NO), Bits(*pair)
    named = {"need": other.proven, "word": other.word}
    for head, bits in sorted(heads.items()):
        kind, _, name = head.partition(":")
        if kind in named:
            yield head, bits, Bits(*named[kind](name))
        elif kind == "when":
            yield head, bits, Bits(*other.guard(other.rules[name]))


def _named_in_sentences(program: Program) -> list[str]:
    """Paths that the messages and helps of a program's rules name."""
    found: dict[str, None] = {}
    for rule in program.rules:
        for hole in re.findall(r"\{([^{}]*)\}", rule.message + rule.help):
            letter, _, name = hole.partition(".")
            if name:
                found[f"{rule.roles[letter]}.{name.removesuffix('.fact')}"] = None
    return list(found)


def _holes(base: Base, rule: Rule) -> list[Problem]:
    """Every `{letter.path}` of a rule's sentences has a role and a path."""
    problems = []
    known = set(all_paths(base))
    for key, text in (("message", rule.message), ("help", rule.help)):
        for hole in re.findall(r"\{([^{}]*)\}", text):
            letter, _, name = hole.partition(".")
            role = rule.roles.get(letter)
            path = f"{role}.{name.removesuffix('.fact')}"
            where = f"`{key}` names `{{{hole}}}`"
            if role is None:
                remedy = near(letter, rule.roles)
                problems.append(
                    Problem(rule.file, rule.line, f"{where}: no role `{letter}`", remedy)
                )
            elif name and path not in known:
                remedy = near(path, known)
                problems.append(Problem(rule.file, rule.line, f"{where}: no path `{path}`", remedy))
    return problems


_TAKES = {
    "is": ("choice",),
    "is one of": ("choice",),
    "present": ("filled",),
    "absent": ("filled",),
    "passes": ("ratio",),
}


def path_problem(base: Base, rule: Rule, condition: Condition) -> Problem | None:
    """What is wrong with the paths of a condition, if anything."""
    known = all_paths(base)
    if condition.operator == "covered by":
        path = f"{condition.left} {condition.right}"
        if path not in known:
            remedy = near(path, [k for k in known if " " in k])
            return Problem(rule.file, rule.line, f"nothing covers `{path}`", remedy)
        return None
    types = []
    for operand in (condition.left, condition.right):
        if not isinstance(operand, Path):
            continue
        try:
            types.append(type_of(base, str(operand)))
        except KeyError:
            remedy = near(str(operand), known)
            return Problem(rule.file, rule.line, f"no path `{operand}`", remedy)
    wanted = _TAKES.get(condition.operator)
    left = types[0]
    text = f"`{condition.left}` is a {left}; `{condition.operator}` does not fit it"
    if wanted is not None and left not in wanted:
        return Problem(rule.file, rule.line, text, f"it takes a {wanted[0]}")
    if condition.operator in ("within", "at most", "at least"):
        if left in ("choice", "filled", "ratio", "cover", "window"):
            return Problem(rule.file, rule.line, text, "it takes a measure")
        dimension = getattr(condition.right, "dimension", left)
        if dimension != left:
            return Problem(rule.file, rule.line, f"`{condition.left}` is a {left}, not {dimension}")
        right = "window" if condition.operator == "within" else left
        if len(types) == 2 and types[1] != right:
            return Problem(rule.file, rule.line, f"`{condition.right}` is no {right}")
    quantity = base.vocabulary.quantities.get(str(condition.left))
    words = {condition.right} if condition.operator == "is" else condition.right
    if quantity is not None and isinstance(words, set | tuple) and not isinstance(words, Path):
        for word in sorted(w for w in words if isinstance(w, str)):
            if word not in quantity.words:
                text = f"`{word}` is no word of `{condition.left}`"
                return Problem(rule.file, rule.line, text, near(word, quantity.words))
    return None
