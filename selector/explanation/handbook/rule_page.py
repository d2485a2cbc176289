"""What the page of a rule says."""

from dataclasses import dataclass

from selector.explanation.handbook.phrases import SUBJECTS, full_path, short
from selector.explanation.handbook.sentences import Said, filled, listed, say
from selector.knowledge.base import Base
from selector.model.rule import Case, Path, Rule

KINDS = {
    "classify": "works something out",
    "forbid": "forbids",
    "engineer": "stops for an engineer",
    "require": "demands",
    "support": "proves",
    "duty": "is a duty",
}
EXPECTED = {
    "fires": "the rule fires",
    "silent": "the rule stays silent",
    "asks": "not enough is known, and it asks",
    "not applicable": "the rule does not apply",
}


@dataclass(frozen=True)
class Example:
    """A case of the rule as a worked example."""

    name: str
    given: tuple[tuple[str, str], ...]
    expected: str
    more: str
    place: str


@dataclass(frozen=True)
class RulePage:
    """A rule with everything that stands around it."""

    rule: Rule
    theme: str
    subject: str
    when: tuple[tuple[Said, ...], ...]
    require: tuple[Said, ...]
    then: Said | None
    gives: str
    lifted: str
    message: tuple[tuple[str, bool], ...]
    help: tuple[tuple[str, bool], ...]
    never: tuple[str, ...]
    examples: tuple[Example, ...]
    exempts: tuple[Rule, ...]
    exempted_by: tuple[Rule, ...]
    numbers: tuple[str, ...]
    asked: tuple[str, ...]


def theme_of(rule: Rule) -> str:
    """The folder of a rule: `rules/grips/x.yaml` -> grips."""
    return rule.file.split("/")[-2]


def rule_page(rule: Rule, base: Base) -> RulePage:
    """The page of a rule of the base."""
    by_id = {r.id: r for r in base.rules}
    return RulePage(
        rule=rule,
        theme=theme_of(rule),
        subject=SUBJECTS.get(rule.subject, rule.subject),
        when=tuple(tuple(say(c, rule, base) for c in group) for group in rule.when),
        require=tuple(say(c, rule, base) for c in rule.require),
        then=None if rule.then is None else say(rule.then, rule, base),
        gives=gives(rule),
        lifted=lifted(rule),
        message=tuple(filled(rule.message, rule, base)),
        help=tuple(filled(rule.help, rule, base)),
        never=tuple(short(full_path(path, rule)) for path in rule.never_default),
        examples=tuple(_example(case, rule) for case in base.cases if case.rule == rule.id),
        exempts=tuple(by_id[other] for other in rule.excepts),
        exempted_by=tuple(r for r in base.rules if rule.id in r.excepts),
        numbers=tuple(sorted({p.name for p in paths_of(rule) if p.role == "trade"})),
        asked=tuple(sorted(set(map(str, paths_of(rule))) & set(base.vocabulary.asks))),
    )


def paths_of(rule: Rule) -> list[Path]:
    """Every path that a condition of the rule reads, and the one it asks for first."""
    found = [c.left for c in rule.conditions]
    found += [c.right for c in rule.conditions if isinstance(c.right, Path)]
    if rule.first:
        role, _, name = rule.first.partition(".")
        found.append(Path(role, name))
    return found


def gives(rule: Rule) -> str:
    """The word of a rule, or what it does instead of giving one, in a few words."""
    if rule.gate is not None:
        return f"gate {rule.gate}"
    if rule.duty == "standing":
        return "always said"
    if rule.word is not None:
        return rule.word.text
    return "proof" if rule.kind == "support" else "worked out"


def lifted(rule: Rule) -> str:
    """Who can lift what the rule gives."""
    if rule.gate is not None:
        return "whoever brings the paper that closes this gate"
    if rule.lifted is not None:
        return f"the {rule.lifted}" if rule.lifted != "roof" else "somebody on the roof, by looking"
    if rule.word is not None and rule.word.text == "forbidden":
        return "nobody, as long as the facts stay so; what to change stands under help"
    return "there is nothing to lift"


def _example(case: Case, rule: Rule) -> Example:
    given = [(short(full_path(k, rule)), _shown(v)) for k, v in case.given.items()]
    parts = [(rule.roles.get(k, k), v) for k, v in case.parts.items()]
    more = ""
    if case.asks:
        more = listed([short(full_path(p, rule)) for p in case.asks], "and")
    elif case.expect == "fires":
        more = gives(rule) if rule.word is not None or rule.kind == "support" else ""
    return Example(
        case.name, (*parts, *given), EXPECTED[case.expect], more, f"{case.file}:{case.line}"
    )


def _shown(value: object) -> str:
    if isinstance(value, list):
        return f"{listed([str(v) for v in value])}, not known which"
    return "not known" if value == "unknown" else str(value).replace("+-", "±")
