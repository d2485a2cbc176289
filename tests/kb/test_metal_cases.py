"""Twenty pairings judged by others, and two published tables, against the rules of the base."""

from itertools import combinations, combinations_with_replacement
from pathlib import Path
from typing import Any

import pytest

from selector.explanation.pair.tables import told
from selector.inference.judge import Judge
from selector.inference.pair import Paired
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.kb.pair_asked import ask
from tests.kb.published_pairs import (
    D4,
    D4_ORDER,
    D4_WORDS,
    DIFFER,
    INDEX,
    LIMITS,
    LOCK,
    LOCK_ORDER,
    LOCK_WORDS,
    METALS,
    WORDS,
)

HERE = Path(__file__).parent
CASES = read_string((HERE / "metal_cases.yaml").read_text(encoding="utf-8"), "cases").data
PLACES = ("on the sheet", "between parts")


# --- twenty cases ----------------------------------------------------------------------


def judged(base: Base, judge: Judge, case: dict[str, Any]) -> list[Paired]:
    """Every contact of a case."""
    found = []
    for asked in case["asked"]:
        said = dict(asked)
        said["washed"] = bool(said.pop("washed", False))
        found.append(ask(base, judge, said.pop("metals"), case["air"], **said))
    return found


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_a_case_that_others_judged(base: Base, judge: Judge, case: dict[str, Any]) -> None:
    """Their word, or another one that is listed with its reason; never a yes where they forbid."""
    word = max(paired.word for paired in judged(base, judge, case))
    expected = WORDS[case["expected"]]
    if expected == Word.FORBIDDEN:
        assert word == Word.FORBIDDEN
    if "ours" in case:
        assert word == Word.of(case["ours"]["word"]) != expected
        assert len(case["ours"]["because"]) > 20
    else:
        assert word == expected


def test_all_twenty_are_there() -> None:
    assert [case["id"] for case in CASES] == [f"A{n:02}" for n in range(1, 21)]


# --- the table for roofers ---------------------------------------------------------------


def d4_word(one: str, other: str) -> Word:
    return D4_WORDS[D4[one][D4_ORDER.index(other)]]


# Where we say another word than the table, and why; all of it on the safe side.
DRY = "the table knows no area: a small lesser part on a large noble sheet wants a seat that dries"
STRICTER = {
    ("on the sheet", "aluminium", "stainless"): DRY,
    ("on the sheet", "zinc", "stainless"): DRY,
    ("on the sheet", "galvanised", "stainless"): DRY,
    ("on the sheet", "bare steel", "stainless"): (
        "the table knows no area: a small bare steel part on a large noble sheet is the sacrifice"
    ),
}


def ours(base: Base, judge: Judge, place: str, upper: str, lower: str) -> Word:
    metals = [METALS[upper], METALS[lower]]
    small = "neither" if place == "between parts" else None
    return ask(base, judge, metals, "clean", where=place, small=small, washed=True).word


def test_no_cell_is_milder_than_the_table_for_roofers(base: Base, judge: Judge) -> None:
    milder = [
        (place, upper, lower)
        for place in PLACES
        for upper in D4_ORDER
        for lower in D4_ORDER
        if ours(base, judge, place, upper, lower) < d4_word(upper, lower)
    ]
    assert milder == []


def test_every_other_difference_is_listed_with_its_reason(base: Base, judge: Judge) -> None:
    found = {
        (place, upper, lower): ours(base, judge, place, upper, lower).text
        for place in PLACES
        for upper in D4_ORDER
        for lower in D4_ORDER
        if ours(base, judge, place, upper, lower) != d4_word(upper, lower)
    }
    assert {key: word for key, word in found.items() if key not in STRICTER} == {}
    assert set(STRICTER) == set(found)
    assert all(len(reason) > 30 for reason in STRICTER.values())


def test_the_table_for_roofers_is_kept_as_it_stands(base: Base) -> None:
    (table,) = (r.shape for r in base.trade.published_pairs if r.shape.id == "roofers-table")
    for one, other in combinations_with_replacement(D4_ORDER, 2):
        assert table.cell(one, other) == (D4[one][D4_ORDER.index(other)],), (one, other)


# --- the table for locksmiths: its dissent is shown --------------------------------------


def lock_word(one: str, other: str) -> Word | None:
    if one not in LOCK:
        one, other = other, one
    return LOCK_WORDS[LOCK[one][LOCK_ORDER.index(other)]] if one in LOCK else None


LOCK_PAIRS = [
    (one, other)
    for one, other in combinations_with_replacement(LOCK_ORDER, 2)
    if lock_word(one, other) is not None
]


def test_the_second_table_is_kept_as_it_stands(base: Base) -> None:
    (table,) = (r.shape for r in base.trade.published_pairs if r.shape.id == "locksmiths-table")
    signs = {"y": "ok", "?": "?", "n": "ng"}
    rows = {"bare steel": "steel"}
    for one, row in LOCK.items():
        for other, sign in zip(LOCK_ORDER, row, strict=True):
            cell = table.cell(rows.get(one, one), rows.get(other, other))
            assert cell == (signs[sign],), (one, other)


def test_the_two_tables_differ_where_their_reader_saw_it() -> None:
    both = [name for name in LOCK_ORDER if name in D4_ORDER]
    found = {
        frozenset((one, other))
        for one, other in combinations(both, 2)
        if lock_word(one, other) not in (None, d4_word(one, other))
    }
    assert found == DIFFER


@pytest.mark.parametrize(("one", "other"), LOCK_PAIRS)
def test_each_dissent_of_the_second_table_is_told(
    base: Base, judge: Judge, one: str, other: str
) -> None:
    paired = ask(base, judge, [METALS[one], METALS[other]], "clean", small="neither")
    (row,) = (t for t in told(base, paired) if t.table.id == "locksmiths-table")
    theirs = lock_word(one, other)
    assert row.word == theirs
    assert (row.dissent == "none") == (theirs == paired.word)


# --- the anodic index decides nothing ----------------------------------------------------


def step(one: str, other: str) -> int:
    """Difference of two metals in hundredths of a volt."""
    return abs(INDEX[one] - INDEX[other])


@pytest.mark.parametrize("limit", LIMITS)
def test_the_index_agrees_with_roofers_in_half_of_the_pairs_at_most(limit: int) -> None:
    pairs = list(combinations(D4_ORDER, 2))
    alike = [p for p in pairs if (step(*p) <= limit) == (d4_word(*p) == Word.ALLOWED)]
    assert len(pairs) == 21
    assert 9 <= len(alike) <= 11


@pytest.mark.parametrize(
    ("one", "other", "volts", "forbidden"),
    [
        ("bare steel", "aluminium", 5, True),  # the index passes it, the trade forbids it
        ("lead", "bare steel", 15, True),
        ("stainless", "aluminium", 55, False),  # the index refuses it, the trade uses it daily
        ("zinc", "aluminium", 35, False),
        ("stainless", "zinc", 90, False),
        ("galvanised", "stainless", 85, False),
    ],
)
def test_the_index_does_not_decide(
    base: Base, judge: Judge, one: str, other: str, volts: int, forbidden: bool
) -> None:
    assert step(one, other) == volts
    word = ours(base, judge, "on the sheet", one, other)
    assert (word == Word.FORBIDDEN) == forbidden
