"""Every rule of the trade is carried: the list is whole, and what its rows name is there."""

from dataclasses import replace

import pytest
from pydantic import ValidationError

from selector.errors import InputError
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.knowledge.coverage import read_coverage
from selector.knowledge.yaml_reader import read_string
from selector.maintenance.checks.coverage_check import check_coverage
from selector.model.coverage import Coverage
from tests.conftest import ROOT

GROUPS = {
    "PI": 8,
    "GF": 6,
    "RI": 6,
    "AD": 4,
    "MP": 11,
    "TQ": 7,
    "CD": 10,
    "LS": 9,
    "LY": 5,
    "TH": 5,
    "EL": 5,
    "EX": 6,
    "AE": 6,
    "GM": 3,
    "EV": 3,
    "BL": 4,
    "FI": 2,
    "AS": 4,
}
IDS = [f"{group}-{i}" for group, many in GROUPS.items() for i in range(1, many + 1)]


def test_all_104_rules_of_the_trade_have_a_row_in_their_order(base: Base) -> None:
    assert len(IDS) == 104
    assert [row.trade for row in base.coverage] == IDS


def test_every_row_stands(base: Base) -> None:
    assert check_coverage(base) == []


def said(base: Base, trade: str, **changes: object) -> list[str]:
    """What the check says after one row was changed."""
    rows = [replace(r, **changes) if r.trade == trade else r for r in base.coverage]
    return [str(p) for p in check_coverage(replace(base, coverage=tuple(rows)))]


@pytest.mark.parametrize(
    ("trade", "changes", "text"),
    [
        ("PI-1", {"files": ("seam-class-on-one-sightin",)}, "did you mean `seam-class-on-one"),
        ("PI-1", {"files": ("shape-not-gripped",)}, "rule `shape-not-gripped` does not carry it"),
        ("PI-1", {"files": ("seam-class-on-one-sighting", "no-fold-on-this-roof")}, "not carry"),
        ("GF-2", {"case": "no such case"}, "has no case `no such case`"),
        (
            "PI-4",
            {"built_in": "facts.measures.seam_shap"},
            "no function `facts.measures.seam_s",
        ),
        ("PI-4", {"built_in": "facts.measure.seam_shape"}, "no function"),
        ("PI-4", {"built_in": "facts.measures"}, "no function"),
        ("PI-4", {"built_in": "facts.sheet_metal.MAGNETIC"}, "no function"),
        ("PI-4", {"test": "tests/facts/test_measures.py::test_nothing"}, "no test"),
        ("PI-4", {"test": "tests/facts/test_measure.py::test_nothing"}, "no test"),
        ("PI-4", {"test": "tests/facts/test_measures.py"}, "no test"),
        ("BL-2", {"files": ()}, "the row of BL-2 in rules/coverage.yaml does not name this rule"),
    ],
)
def test_a_wrong_row_is_named(
    base: Base, trade: str, changes: dict[str, object], text: str
) -> None:
    problems = said(base, trade, **changes)
    assert any(text in problem for problem in problems), problems
    assert any("rules/" in problem for problem in problems)


def test_an_id_without_a_row_is_named_where_the_rule_stands(base: Base) -> None:
    less = tuple(r for r in base.coverage if r.trade != "BL-2")
    problems = [str(p) for p in check_coverage(replace(base, coverage=less))]
    assert len(problems) == 1
    assert problems[0].startswith("rules/joins/inlay-cuts-the-earth-path.yaml:")
    assert "`BL-2` is no row" in problems[0]


def test_a_retired_rule_carries_nothing(base: Base) -> None:
    rules = tuple(
        replace(r, status="retired") if r.id == "inlay-cuts-the-earth-path" else r
        for r in base.rules
    )
    problems = [str(p) for p in check_coverage(replace(base, rules=rules))]
    assert ["BL-2" in p and "is retired" in p for p in problems] == [True]


def test_a_base_without_the_file_is_told(base: Base) -> None:
    (problem,) = check_coverage(replace(base, coverage=()))
    assert str(problem).startswith("rules/coverage.yaml: no rule of the trade is accounted for")


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("PI-1: {}", "give `files`, `emergent` or `built in`"),
        ("PI-1: {emergent: a-rule}", "`emergent` and `case` stand together"),
        ("PI-1: {files: [a], case: x}", "`emergent` and `case` stand together"),
        ("PI-1: {built in: a.b.c}", "`built in` and `test` stand together"),
        ("PI-1: {files: [a], wait: links}", "unknown key `wait`"),
        ("- PI-1", "expected `ID: {...}`"),
    ],
)
def test_a_row_says_how_it_is_covered(text: str, part: str) -> None:
    problems: list[object] = []
    rows = read_coverage(read_string(text, "rules/coverage.yaml"), problems)
    assert rows == ()
    assert len(problems) == 1
    assert part in str(problems[0])
    assert str(problems[0]).startswith("rules/coverage.yaml:1: ")


def test_a_row_keeps_its_line() -> None:
    text = "# a remark\nPI-1: {files: [a]}\nGF-2: {emergent: b, case: c, files: [a]}\n"
    problems: list[object] = []
    one, two = read_coverage(read_string(text, "f.yaml"), problems)
    assert problems == []
    assert one == Coverage("PI-1", ("a",), None, None, None, None, "f.yaml", 2)
    assert (two.line, two.rules) == (3, ("a", "b"))


def test_an_id_twice_is_refused() -> None:
    with pytest.raises(InputError, match="written twice"):
        read_string("PI-1: {files: [a]}\nPI-1: {files: [b]}\n", "f.yaml")


def test_a_mean_or_a_single_test_is_no_design_value() -> None:
    # EN 1990 annex D: a design value falls from the characteristic one, and that from the mean
    result = {
        "n": 8,
        "mean": "1.302 kN",
        "variation": {"value": 0.06, "known": False},
        "characteristic": {"value": "1.145 kN", "method": "EN 1990 D.7.2", "k": 2.0},
        "design": {"en": {"value": "0.86 kN", "gamma_m": 1.33}},
    }
    schema.Result.model_validate(result)
    for wrong, text in [
        ({"n": 1}, "three tests or more"),
        ({"characteristic": {**result["characteristic"], "value": "1.40 kN"}}, "above the mean"),
        ({"design": {"en": {"value": "1.145 kN", "gamma_m": 1.33}}}, "above eta"),
    ]:
        with pytest.raises(ValidationError, match=text):
            schema.Result.model_validate({**result, **wrong})


def test_the_file_ships_beside_the_rules() -> None:
    assert (ROOT / "rules" / "coverage.yaml").is_file()
