"""What changed between two bases, and the fewest of it that bring an answer back."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.store.changes import fewest, file_changes, only_worded
from selector.store.differs import Differs, differs

OLD = {
    "kb/catalogues/demo/clamps.yaml": "dl-1: {torque: 11 Nm, metal: zinc}\ndl-2: {torque: 9 Nm}\n",
    "kb/catalogues/demo/records/a.yaml": "- {id: ev-1, n: 5}\n- {id: ev-2, n: 5}\n",
    "kb/trade/numbers.yaml": "- {id: gap, value: 3 mm}\n",
    "kb/trade/pairings.yaml": "- {id: zinc on zinc, salt: none}\n",
    "kb/texts/en.yaml": "a: b\n",
    "rules/grips/one.yaml": "id: one\nwhen: [a]\n",
    "rules/grips/one.cases.yaml": "cases: []\n",
    "rules/coverage.yaml": "- {id: GF-1}\n",
}
NEW = {
    "kb/catalogues/demo/clamps.yaml": "# a remark\ndl-1: {torque: 12 Nm, metal: tin}\ndl-3: {}\n",
    "kb/catalogues/demo/records/a.yaml": "- {id: ev-1, n: 5}\n- {id: ev-2, n: 6}\n",
    "kb/trade/numbers.yaml": "- {id: gap, value: 3 mm}  # a remark\n",
    "kb/texts/en.yaml": "a: c\n",
    "rules/grips/one.yaml": "id: one\nwhen: [b]\n",
    "rules/grips/one.cases.yaml": "cases: [x]\n",
    "rules/grips/two.yaml": "id: two\n",
    "rules/coverage.yaml": "- {id: GF-2}\n",
}


def test_files_that_give_a_word_are_told_with_what_is_otherwise_in_them() -> None:
    found = {c.name: (c.how, c.kind, c.about) for c in file_changes(OLD, NEW)}
    assert found == {
        "kb/catalogues/demo/clamps.yaml": (
            "changed",
            "part",
            ("dl-1: torque, metal", "dl-2", "dl-3"),
        ),
        "kb/catalogues/demo/records/a.yaml": ("changed", "record", ("ev-2: n",)),
        "kb/trade/pairings.yaml": ("removed", "pairing", ("zinc on zinc",)),
        "rules/grips/one.yaml": ("changed", "rule", ("when",)),
        "rules/grips/two.yaml": ("added", "rule", ("id",)),
    }
    # the remark, the sentence, the cases, the coverage
    assert only_worded(OLD, NEW) == 4
    assert file_changes(OLD, dict(OLD)) == []


@given(
    st.integers(1, 9).flatmap(
        lambda n: st.tuples(
            st.just(tuple(f"f{i}" for i in range(n))),
            st.lists(st.sets(st.integers(0, n - 1), min_size=1), min_size=1, max_size=3),
        )
    )
)
def test_of_the_fewest_none_can_be_left_out(drawn: tuple[tuple[str, ...], list[set[int]]]) -> None:
    names, ways = drawn
    needed = [{names[i] for i in way} for way in ways]

    def does(some: tuple[str, ...]) -> bool:
        return any(way <= set(some) for way in needed)

    found, shown = fewest(names, does, 1_000)
    assert shown and does(found)
    smaller = [s for k in range(1, len(found)) for s in combinations(found, k)]
    assert not any(does(s) for s in smaller)


def test_too_many_tries_are_said() -> None:
    names = tuple(f"f{i}" for i in range(64))
    found, shown = fewest(names, lambda some: "f63" in some, 3)
    assert "f63" in found and not shown


Row = dict[str, object]


def answer(word: str, stacks: dict[str, str], findings: list[Row]) -> Row:
    rows: list[Row] = [
        {"name": n, "word": w, "findings": findings if i == 0 else []}
        for i, (n, w) in enumerate(stacks.items())
    ]
    return {"word": word, "stacks": rows, "refused": [], "gates": {"fire": [1], "roofer": []}}


def finding(rule: str, shown: str, surely: bool = True) -> Row:
    fact = {"path": "clamp.grips.height", "of": "demo/dl-1", "shown": shown}
    about = {"rule": rule, "subject": "demo/dl-1", "word": "forbidden", "text": f"{rule}!"}
    return {**about, "surely": surely, "reasons": [[fact]]}


def test_two_answers_beside_each_other() -> None:
    old = answer("observe", {"a": "observe", "b": "engineer"}, [finding("r", "22 mm")])
    new = answer("forbidden", {"a": "forbidden", "c": "observe"}, [finding("r", "23 mm")])
    new["gates"] = {"fire": [], "roofer": [1]}
    found = differs(old, new)
    assert found.word == ("observe", "forbidden")
    assert found.stacks == (
        ("a", "observe", "forbidden"),
        ("b", "engineer", None),
        ("c", None, "observe"),
    )
    assert found.gates == (("fire", False), ("roofer", True))
    [rule] = found.rules
    assert rule.now and rule.facts == (("demo/dl-1 clamp.grips.height", "22 mm", "23 mm"),)


@pytest.mark.parametrize("now", [True, False])
def test_a_rule_of_one_answer_alone(now: bool) -> None:
    one = answer("observe", {"a": "observe"}, [finding("r", "22 mm", surely=False)])
    other = answer("observe", {"a": "observe"}, [])
    found = differs(*((other, one) if now else (one, other)))
    [rule] = found.rules
    assert (rule.rule, rule.now, rule.surely, rule.facts) == ("r", now, False, ())
    assert differs(one, one) == Differs(("observe", "observe"), (), (), ())
