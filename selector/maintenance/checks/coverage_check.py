"""Whether `rules/coverage.yaml` and the base say the same of every rule of the trade."""

import ast
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import selector
from selector.errors import Problem, near
from selector.knowledge.base import Base
from selector.knowledge.coverage import FILE
from selector.model.coverage import Coverage

ROOT = Path(selector.__file__).resolve().parent.parent


def check_coverage(base: Base) -> list[Problem]:
    """What a row names and is not there, and where rows and rules disagree."""
    if not base.coverage:
        return [Problem(FILE, 0, "no rule of the trade is accounted for", "restore this file")]
    problems: list[Problem] = []
    for row in base.coverage:
        for text, remedy in _wrong(base, row):
            problems.append(Problem(row.file, row.line, f"{row.trade}: {text}", remedy))
    return problems + _rules_without_row(base)


def _wrong(base: Base, row: Coverage) -> Iterator[tuple[str, str]]:
    rules = {r.id: r for r in base.rules}
    for name in row.rules:
        if name not in rules:
            yield f"no rule `{name}`", near(name, rules)
        elif row.trade not in rules[name].trade:
            yield f"rule `{name}` does not carry it", "name it under `trade` there, or not here"
        elif rules[name].status != "active":
            yield f"rule `{name}` is {rules[name].status}", "name a rule that is active"
    if row.emergent is not None:
        cases = [c.name for c in base.cases if c.rule == row.emergent]
        if row.case not in cases:
            yield (
                f"rule `{row.emergent}` has no case `{row.case}`",
                near(str(row.case), cases) or "add one beside the rule",
            )
    if row.built_in is not None and not _is_function(row.built_in):
        yield f"no function `{row.built_in}`", "write part.module.function"
    if row.test is not None and not _is_test(row.test):
        yield f"no test `{row.test}`", "write tests/FILE.py::FUNCTION"


def _rules_without_row(base: Base) -> list[Problem]:
    rows = {row.trade: row for row in base.coverage}
    problems = []
    for rule in base.rules:
        for trade in rule.trade:
            row = rows.get(trade)
            if row is None:
                text = f"`{trade}` is no row of {FILE}"
                problems.append(Problem(rule.file, rule.line, text, near(trade, rows)))
            elif rule.id not in row.rules:
                text = f"the row of {trade} in {FILE} does not name this rule"
                problems.append(Problem(rule.file, rule.line, text, "add it there"))
    return problems


def _is_function(name: str) -> bool:
    """Whether `part.module.function` or `part.module.Class.method` is there, in any folder."""
    try:
        found = pkgutil.resolve_name(f"selector.{name}")
    except (ImportError, AttributeError, ValueError):
        return False
    return callable(found)


def _is_test(name: str) -> bool:
    """Whether a test is there; an installed program has no tests and takes it on trust."""
    if not (ROOT / "tests" / "conftest.py").is_file() or not (ROOT / "rules").is_dir():
        return True
    file, _, function = name.partition("::")
    path = ROOT / file
    if not function or ".." in file or not path.is_file():
        return False
    tree = ast.parse(path.read_text(encoding="utf-8"), file)
    return any(isinstance(node, ast.FunctionDef) and node.name == function for node in tree.body)
