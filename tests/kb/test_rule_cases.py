"""Every case beside a rule, on both inference paths; and that the cases need the engine."""

import pytest

from selector.inference.durable import Steps
from selector.inference.horn import Program
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.maintenance.cases import run_case
from selector.maintenance.checks.base_check import check_base
from selector.model.truth import NO, Bits


def test_the_shipped_base_is_sound(base: Base) -> None:
    report = check_base(base)
    assert report.problems == ()
    assert report.counts["rules"] == len(base.rules) >= 12
    assert {n.text for n in report.notes} == {
        "records `ev-07` and `ev-09` cover the same; the stricter counts"
    }


def test_all_four_kinds_and_three_aspects_are_there(base: Base) -> None:
    kinds = {r.kind for r in base.rules}
    assert kinds >= {"classify", "forbid", "engineer", "require", "support", "duty"}
    assert {r.aspect for r in base.rules} >= {"grips", "joins", "holds"}
    assert any(r.excepts for r in base.rules)
    assert any(r.word is not None and r.word.text == "observe" and r.lifted for r in base.rules)


class _Mute:
    """An engine that draws no conclusion."""

    def __init__(self, program: Program):
        self.program = program

    def run(self, bits: dict[str, Bits]) -> tuple[dict[str, Bits], Steps]:
        return dict.fromkeys(self.program.heads, NO), frozenset()

    def close(self) -> None:
        """Nothing to give back."""


class _Eager(_Mute):
    """An engine that concludes everything."""

    def run(self, bits: dict[str, Bits]) -> tuple[dict[str, Bits], Steps]:
        return dict.fromkeys(self.program.heads, Bits(True, True)), frozenset()


@pytest.mark.parametrize("engine", [_Mute, _Eager])
def test_with_another_engine_in_its_place_every_case_fails(base: Base, engine: type[_Mute]) -> None:
    judge = Judge(base, engine)  # type: ignore[arg-type]
    passed = [c.name for c in base.cases if not run_case(base, judge, c).problems]
    assert passed == []
