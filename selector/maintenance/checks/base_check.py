"""`kb check`: everything that can be wrong with a base beyond the shape of its files."""

from collections import defaultdict
from dataclasses import dataclass

from selector.errors import Problem
from selector.inference.judge import Judge
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.knowledge.codes import cited as cited_by_codes
from selector.maintenance.cases import run_case
from selector.maintenance.checks.coverage_check import check_coverage
from selector.maintenance.checks.logic_check import check_logic
from selector.maintenance.checks.text_check import check_texts
from selector.maintenance.checks.torque_check import check_torques


@dataclass(frozen=True)
class Report:
    """What a check found: problems stop a release, notes do not."""

    problems: tuple[Problem, ...]
    notes: tuple[Problem, ...]
    counts: dict[str, int]


def check_base(base: Base) -> Report:
    """Run every check of a base that was read."""
    judge = Judge(base)
    problems: list[Problem] = []
    try:
        outcomes: dict[str, set[str]] = defaultdict(set)
        for case in base.cases:
            result = run_case(base, judge, case)
            problems += result.problems
            outcomes[case.rule].add(result.outcome)
    finally:
        judge.close()
    problems += _cases_bite(base, outcomes)
    problems += _cases_say_what_is_given(base)
    problems += _needs_have_proofs(base)
    problems += check_coverage(base)
    faults, hints = check_logic(base)
    misworded, not_said = check_texts(base)
    problems += faults + misworded
    notes = [*_records_that_disagree(base), *_unused_sources(base), *hints, *not_said]
    notes += check_torques(base)
    counts = {
        "rules": len(base.rules),
        "cases": len(base.cases),
        "parts": sum(len(c.parts) for c in base.catalogues.values()),
        "records": sum(len(c.records) for c in base.catalogues.values()),
        "pairings": len(base.pairings),
        "sources": len(base.sources),
        "quantities": len(base.vocabulary.quantities),
        "questions": len(base.questions),
    }
    return Report(tuple(sorted(problems)), tuple(sorted(notes)), counts)


def _cases_bite(base: Base, outcomes: dict[str, set[str]]) -> list[Problem]:
    """Each rule has a case that fires, one that stays silent and one that asks."""
    problems = []
    for rule in base.rules:
        found = outcomes.get(rule.id, set())
        wanted = ["fires", "silent", "asks"]
        if all(c.operator == "known" for c in rule.conditions):  # always decided
            wanted.remove("asks")
        if not rule.conditions:
            wanted = ["fires"]
        for outcome in wanted:
            quiet = outcome == "silent" and "not applicable" in found
            if outcome not in found and not quiet:
                text = f"rule `{rule.id}` has no case that {outcome}"
                text = text.replace("that silent", "that stays silent")
                problems.append(Problem(rule.file, rule.line, text, "add one beside the rule"))
    return problems


def _cases_say_what_is_given(base: Base) -> list[Problem]:
    """The cases of a rule say a second time what it gives, so that a slip is noticed."""
    said = {case.rule for case in base.cases if case.gives is not None}
    return [
        Problem(
            rule.file,
            rule.line,
            f"the cases of `{rule.id}` do not say what it gives",
            f"write `gives: [{', '.join(rule.gives)}]` above them",
        )
        for rule in base.rules
        if rule.id not in said
    ]


def _needs_have_proofs(base: Base) -> list[Problem]:
    """A need that no rule can prove would withhold every yes."""
    proven = {need for r in base.rules if r.status == "active" for need in r.proves}
    return [
        Problem("kb/vocabulary.yaml", 0, f"no rule proves the need `{need.name}`", "add a support")
        for need in base.vocabulary.needs
        if need.name not in proven
    ]


def _records_that_disagree(base: Base) -> list[Problem]:
    """Two good records with one cover: the lower counts, and both are shown."""
    notes = []
    for catalogue in base.catalogues.values():
        groups = defaultdict(list)
        for record in catalogue.records:
            shape = record.shape
            if isinstance(shape, schema.ClampRecord):
                key = (shape.part.clamp, shape.part.insert, shape.part.inlay, shape.sits_on.shape)
                groups[(*key, str(shape.sheet))].append(record)
        for records in groups.values():
            first, *others = records
            for other in others:
                text = f"records `{first.id}` and `{other.id}` cover the same; the stricter counts"
                notes.append(Problem(other.file, other.line, text))
    return notes


def _unused_sources(base: Base) -> list[Problem]:
    cited = {r.source for r in base.rules} | {n.source for n in base.numbers.values()}
    cited |= {p.shape.source for p in base.pairings}
    cited |= {d.source for p in base.pairings for d in p.shape.dissent}
    cited |= {s.shape.source for s in base.shapes.values()}
    cited |= {row.shape.source for rows in base.trade.topics.values() for row in rows}
    cited |= {i.source for i in base.kits.items} | {s.source for s in base.kits.spares.values()}
    cited |= cited_by_codes(base.codes)
    text = "is cited by no rule, number, fact or code"
    return [
        Problem(f"kb/sources/{s}.yaml", 1, f"source `{s}` {text}")
        for s in sorted(set(base.sources) - cited)
    ]
