"""Run the cases beside the rules: given values in, the outcome of one rule out."""

import re
from dataclasses import dataclass

from selector import units
from selector.errors import Problem, near
from selector.facts.view import Binding, View, all_paths, type_of
from selector.inference.judge import Judge, Judgement, Subject
from selector.knowledge.base import Base
from selector.model.fact import NO_REASON, Cover, Fact, Reading
from selector.model.quantity import (
    Candidates,
    Filled,
    Measured,
    Place,
    Ratio,
    Text,
    Unknown,
    Value,
    Window,
)
from selector.model.rule import Case, Rule
from selector.model.truth import NO, OPEN, YES

OUTCOMES = {"fires": "fires", "may fire": "asks", "silent": "silent"}
_READING = re.compile(
    r"(?P<numbers>[-0-9.]+(?: / [-0-9.]+)*)(?: \+-(?P<before>[0-9.]+))? (?P<unit>[A-Za-z0-9/%]+)"
    r"(?: \+-(?P<after>[0-9.]+))?"
)


@dataclass(frozen=True)
class CaseResult:
    """What a case gave, and what is wrong with it."""

    case: Case
    outcome: str
    problems: tuple[Problem, ...]


def run_case(base: Base, judge: Judge, case: Case) -> CaseResult:
    """Judge the rule of a case on its given values, on both paths."""
    rule = base.rule(case.rule)

    def fault(text: str, remedy: str = "") -> Problem:
        return Problem(case.file, case.line, f"case `{case.name}`: {text}", remedy)

    try:
        binding = _binding(base, rule, case)
        bare = View(base, None, binding, {})
        given = {path: _given(bare, rule, path, v) for path, v in _paths(base, rule, case).items()}
    except (ValueError, KeyError) as error:
        return CaseResult(case, "", (fault(str(error).strip("'\"")),))
    subject = Subject(rule.subject, case.name, binding)
    judgement = judge.judge(subject, None, given=given)
    word = judgement.outcome(rule)
    outcome = OUTCOMES.get(word, word)
    problems = []
    if case.gives is not None and set(case.gives) != set(rule.gives):
        problems.append(fault(f"the rule gives {_list(rule.gives)}, the cases {_list(case.gives)}"))
    if judgement.withheld:
        problems.append(fault(f"the two paths disagree: {judgement.withheld}"))
    if outcome != case.expect:
        problems.append(fault(f"expected {case.expect}, got {outcome}"))
    elif case.reasons is not None:
        found = _reasons(rule, judgement)
        wanted = {frozenset(r) for r in case.reasons}
        if found != wanted:
            problems.append(fault(f"reasons {_show(found)}, expected {_show(wanted)}"))
    if outcome == case.expect and case.asks is not None:
        asked = {
            _letters(rule, path)
            for atom in judgement.open_atoms(f"rule:{rule.id}")
            for path in atom.asks
        }
        if asked != set(case.asks):
            problems.append(fault(f"asks {sorted(asked)}, expected {sorted(case.asks)}"))
    return CaseResult(case, outcome, tuple(problems))


def _list(words: tuple[str, ...]) -> str:
    return ", ".join(sorted(words)) or "nothing"


def _show(reasons: set[frozenset[str]]) -> str:
    return "; ".join(sorted("{" + ", ".join(sorted(r)) + "}" for r in reasons)) or "none"


def _reasons(rule: Rule, judgement: Judgement) -> set[frozenset[str]]:
    return {
        frozenset(_letters(rule, f.path) for f in reason)
        for reason in judgement.reasons(f"rule:{rule.id}")
    }


def _letters(rule: Rule, path: str) -> str:
    role, _, name = path.partition(".")
    for letter, known in rule.roles.items():
        if known == role:
            return f"{letter}.{name}"
    return path


def _paths(base: Base, rule: Rule, case: Case) -> dict[str, object]:
    found: dict[str, object] = {}
    known = all_paths(base)
    for key, value in case.given.items():
        letter, _, name = key.partition(".")
        if letter not in rule.roles:
            raise ValueError(f"`{letter}` is no role of the rule; {near(letter, rule.roles)}")
        path = f"{rule.roles[letter]}.{name}"
        if path not in known:
            raise ValueError(f"no path `{key}`; {near(path, known)}")
        found[path] = value
    return found


def _binding(base: Base, rule: Rule, case: Case) -> Binding:
    parts = {}
    for letter, part_id in case.parts.items():
        role = rule.roles.get(letter)
        if role not in ("clamp", "rail"):
            raise ValueError(f"`with` fills clamp and rail, not `{letter}`")
        catalogue = base.catalogues.get(part_id.partition("/")[0])
        if catalogue is None or part_id not in catalogue.parts:
            known = [p for c in base.catalogues.values() for p in c.parts]
            raise ValueError(f"no part `{part_id}`; {near(part_id, known)}")
        parts[role] = catalogue.parts[part_id]
    return Binding(clamp=parts.get("clamp"), rail=parts.get("rail"))


def _given(bare: View, rule: Rule, path: str, given: object) -> Reading:
    """Reading of a given value; it asks for itself, or for what the rule looks at first."""
    base = bare.base
    asks = tuple(a for a in bare.read(path).open_paths if a == rule.first)
    if given == "unknown":
        return Reading(Unknown("not asked"), NO_REASON, path, "case", asks)
    kind = type_of(base, path)
    fact = Fact(path, "case", str(given))
    if kind == "cover":
        bits = {"yes": YES, "no": NO, "perhaps": OPEN}.get(str(given))
        if bits is None:
            raise ValueError(f"`{path}` is yes, no or perhaps, given `{given}`")
        why = (frozenset({fact}),)
        return Reading(Cover(bits, why, why), why if bits != OPEN else NO_REASON, path, "case")
    return Reading(_value(base, path, kind, given), (frozenset({fact}),), path, "case", asks)


def _value(base: Base, path: str, kind: str, given: object) -> Value:
    if kind == "choice":
        words = given if isinstance(given, list) else [given]
        quantity = base.vocabulary.quantities.get(path)
        for word in words:
            if quantity is not None and not quantity.stacked and word not in quantity.words:
                raise ValueError(f"`{word}` is no word of `{path}`")
        return Candidates(frozenset(map(str, words)))
    if kind == "filled":
        return Filled(None if given == "none" else str(given))
    if kind == "ratio":
        low, _, high = str(given).partition(" to ")
        return Ratio(float(low), float(high or low))
    if kind == "text":
        return Text(str(given))
    if kind == "window":
        return Window("length", *units.parse_window(given, "length"))
    return _measured(kind, given)


def _measured(dimension: str, given: object) -> Measured:
    """`24.8 / 25.0 / 25.2 mm +-0.5`: places, one unit, one tolerance."""
    if dimension == "count":
        value = units.parse(given, "count")
        return Measured("count", (Place(value, value),))
    match = _READING.fullmatch(str(given))
    if match is None:
        raise ValueError(f"`{given}` is no reading such as `24.8 / 25.0 mm +-0.5`")
    unit = match["unit"]
    slack = match["before"] or match["after"]
    half = units.parse(f"{slack} {unit}", dimension) if slack else 0
    middles = [units.parse(f"{n} {unit}", dimension) for n in match["numbers"].split(" / ")]
    return Measured(dimension, tuple(Place(m - half, m + half) for m in middles))
