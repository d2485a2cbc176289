"""Mutants of the rules: one small change to one rule, and the case that notices it.

A rule is only as good as the cases beside it: a change that no case notices could stand in the
file tomorrow. A mutant is judged on a slice of the base, the rules of its subject kind that its
cases rest on, with an engine of its own that is closed afterwards; nothing is shared.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from selector import units
from selector.errors import InputError
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.maintenance.cases import run_case
from selector.model.quantity import Window
from selector.model.rule import Case, Condition, Group, Limit, Operand, Path, Rule
from selector.model.truth import Word

LADDER = (Word.OBSERVE, Word.ENGINEER, Word.FORBIDDEN)
REFUSED = "the reader of the base"


@dataclass(frozen=True)
class Mutant:
    """One changed rule; `sort` says what kind of change it is."""

    id: str
    sort: str
    rule: Rule


def mutants(base: Base) -> list[Mutant]:
    """Every mutant of every active rule, by rule and sort; ids are unique."""
    found = [m for r in base.rules if r.status == "active" for m in mutants_of(base, r)]
    return list({m.id: m for m in found}.values())


def mutants_of(base: Base, rule: Rule) -> Iterator[Mutant]:
    """Mutants of one rule that differ from it."""
    made = (
        *_conditions(rule),
        *_groups(rule),
        *_places(rule),
        *_words(rule),
        *_heads(base, rule),
    )
    for sort, text, other in made:
        if other != rule:
            yield Mutant(f"{rule.id} / {text}", sort, other)


def killer(base: Base, mutant: Mutant) -> str | None:
    """Name of the first case that notices a mutant, or None where none does."""
    watched = watched_by(base, mutant)
    return first_problem(slice_of(base, watched, mutant.rule), cases_of(base, watched))


def first_problem(base: Base, cases: Iterable[Case]) -> str | None:
    """Name of the first case with a problem, judged on engines of its own."""
    try:
        judge = Judge(base)
    except InputError:
        return REFUSED
    try:
        for case in cases:
            if run_case(base, judge, case).problems:
                return case.name
        return None
    finally:
        judge.close()


def watched_by(base: Base, mutant: Mutant) -> list[str]:
    """Rules whose cases can tell: its own, what it excepts, and who reads what it derives."""
    rule = base.rule(mutant.rule.id)
    found = [rule.id]
    if mutant.sort == "except":
        found += rule.excepts
    if mutant.sort == "then" and rule.then is not None:
        readers = base.rules_of(rule.subject)
        found += [r.id for r in readers if any(c.left == rule.then.left for c in r.conditions)]
    return found


def cases_of(base: Base, rule_ids: Iterable[str]) -> list[Case]:
    """Cases beside these rules."""
    wanted = set(rule_ids)
    return [c for c in base.cases if c.rule in wanted]


def slice_of(base: Base, rule_ids: Iterable[str], changed: Rule | None = None) -> Base:
    """The base with only the rules that these rest on, one of them changed."""
    wanted = set(rule_ids) | ({changed.id} if changed is not None else set())
    while True:
        more = {b.id for i in wanted for b in _below(base, base.rule(i))}
        if more <= wanted:
            break
        wanted |= more
    kept = (r for r in base.rules if r.id in wanted)
    rules = tuple(changed if changed is not None and r.id == changed.id else r for r in kept)
    return replace(base, rules=rules)


def _below(base: Base, rule: Rule) -> Iterator[Rule]:
    """Rules of the same subject that except a rule, or derive what it reads."""
    lefts = {c.left for c in rule.conditions}
    for other in base.rules_of(rule.subject):
        if rule.id in other.excepts or (other.then is not None and other.then.left in lefts):
            yield other


# --- the changes: sort, text for the id, changed rule --------------------------------------

Change = tuple[str, str, Rule]


def _shown(condition: Condition) -> str:
    return f"{'not ' if condition.negated else ''}{condition.text}"


def _conditions(rule: Rule) -> Iterator[Change]:
    """Each condition dropped, negated, and each of its literal limits moved by one step."""
    for i, group in enumerate(rule.when):
        for j, condition in enumerate(group):
            for sort, text, others in _variants(condition):
                changed = (*group[:j], *others, *group[j + 1 :])
                groups = (changed,) if changed else ()
                when = (*rule.when[:i], *groups, *rule.when[i + 1 :])
                yield sort, f"when / {text}", replace(rule, when=when)
    for i, condition in enumerate(rule.require):
        for sort, text, others in _variants(condition):
            require = (*rule.require[:i], *others, *rule.require[i + 1 :])
            if require:  # without any, the reader refuses it
                yield sort, f"require / {text}", replace(rule, require=require)


def _variants(condition: Condition) -> Iterator[tuple[str, str, Group]]:
    shown = _shown(condition)
    yield "drop", f"drop {shown}", ()
    yield "negate", f"negate {shown}", (replace(condition, negated=not condition.negated),)
    for text, right in moved(condition.right):
        yield "limit", f"{text} in {shown}", (replace(condition, right=right),)
    for text, right in shortened(condition.right):
        yield "list", f"{text} in {shown}", (replace(condition, right=right),)


def moved(right: Operand) -> Iterator[tuple[str, Operand]]:
    """A literal limit, or each end of a literal window, one printed unit up and down."""
    if isinstance(right, Limit):
        step = step_of(right.value, right.dimension)
        yield "limit up", replace(right, value=right.value + step)
        yield "limit down", replace(right, value=right.value - step)
    if isinstance(right, Window):
        if right.low is not None:
            step = step_of(right.low, right.dimension)
            yield "low end up", replace(right, low=right.low + step)
            yield "low end down", replace(right, low=right.low - step)
        if right.high is not None:
            step = step_of(right.high, right.dimension)
            yield "high end up", replace(right, high=right.high + step)
            yield "high end down", replace(right, high=right.high - step)


def shortened(right: Operand) -> Iterator[tuple[str, Operand]]:
    """A literal list with one word left out."""
    if isinstance(right, tuple) and not isinstance(right, Path) and len(right) > 1:
        for word in right:
            yield f"no {word}", tuple(w for w in right if w != word)


def step_of(value: int, dimension: str) -> int:
    """One unit of the last digit that is printed: 1 mm for `25 mm`, 0.1 mm for `25.4 mm`."""
    if dimension == "count":
        return 1
    number, _, unit = units.show(value, dimension).partition(" ")
    decimals = len(number.partition(".")[2])
    return max(1, int(units.UNITS[unit][1].scaleb(-decimals).to_integral_value()))


def _groups(rule: Rule) -> Iterator[Change]:
    """Alternatives that must all hold, and conditions of which any one is enough."""
    for i, group in enumerate(rule.when):
        if len(group) > 1:
            every = tuple((c,) for c in group)
            when = (*rule.when[:i], *every, *rule.when[i + 1 :])
            yield "any to all", f"any to all of group {i + 1}", replace(rule, when=when)
    if len(rule.when) > 1:
        one = tuple(dict.fromkeys(c for group in rule.when for c in group))
        yield "all to any", "all to any of when", replace(rule, when=(one,))


def _places(rule: Rule) -> Iterator[Change]:
    """One place more, one place fewer."""
    fewest = {c.places for c in rule.conditions}
    for text, step in (("more", 1), ("fewer", -1)):
        if max(fewest, default=1) > 1:
            change = _placed(step)
            when = tuple(tuple(map(change, group)) for group in rule.when)
            require = tuple(map(change, rule.require))
            yield "places", f"one place {text}", replace(rule, when=when, require=require)


def _placed(step: int) -> Callable[[Condition], Condition]:
    def change(condition: Condition) -> Condition:
        return replace(condition, places=condition.places + step)

    return change


def _words(rule: Rule) -> Iterator[Change]:
    """The next word up and down; what only asks for something known can only observe."""
    lifted = rule.lifted or "engineer"
    if rule.kind in ("forbid", "engineer"):
        other = {"forbid": "engineer", "engineer": "forbid"}[rule.kind]
        yield "word", f"{rule.kind} to {other}", replace(rule, kind=other, lifted=lifted)
    if rule.duty is not None:
        duty = {"standing": "condition", "condition": "standing"}[rule.duty]
        yield "word", f"{rule.duty} to {duty}", replace(rule, duty=duty)
    if rule.otherwise is None or any(c.operator == "known" for c in rule.conditions):
        return
    at = LADDER.index(rule.otherwise)
    for i in (at - 1, at + 1):
        if 0 <= i < len(LADDER):
            text = f"{rule.otherwise.text} to {LADDER[i].text}"
            yield "word", text, replace(rule, otherwise=LADDER[i], lifted=lifted)


def _heads(base: Base, rule: Rule) -> Iterator[Change]:
    """One exception or proof dropped, another word derived."""
    for name in rule.excepts:
        kept = tuple(x for x in rule.excepts if x != name)
        yield "except", f"drop except {name}", replace(rule, excepts=kept)
    for need in rule.proves:
        kept = tuple(x for x in rule.proves if x != need)
        yield "proves", f"drop proves {need}", replace(rule, proves=kept)
    if rule.then is not None:
        for word in base.vocabulary.quantities[str(rule.then.left)].words:
            if word != rule.then.right:
                then = replace(rule.then, right=word)
                yield "then", f"then {word}", replace(rule, then=then)
