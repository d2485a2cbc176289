"""Cut plans against published problems, proven bounds and a second way to the same sum."""

import builtins
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from selector.layout.cut import Stock, cut_plan
from selector.layout.model import Bar, CutPlan

# Paper rolls of 5600 mm: the encyclopedia article "Cutting stock problem" (Wikipedia) has widths,
# orders, a simple bound of 72.7 rolls, and a plan of 73.
ROLLS = {1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20}
ROLLS |= {2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20}
# V. Chvátal, Linear Programming (1983), chapter 13; also model CUTSTOCK of the GAMS library, after
# P. C. Gilmore and R. E. Gomory (1961): 452.25 rolls relaxed (from memory), so 453.
CHVATAL = {45: 97, 36: 610, 31: 395, 14: 211}


def of(orders: dict[int, int]) -> list[int]:
    return [length for length, many in orders.items() for _ in range(many)]


def check(plan: CutPlan, lengths: Sequence[int], stock: Stock) -> None:
    """Every length once, no bar over-full, nothing below the bound."""
    assert Counter(c for bar in plan.bars for c in bar.cuts) == Counter(lengths)
    for bar in plan.bars:
        assert bar.stock in stock.lengths and bar.cuts
        assert sum(bar.cuts) + stock.kerf * (len(bar.cuts) - 1) <= bar.stock
    assert plan.bound <= plan.stock
    assert plan.proven == (plan.bound == plan.stock)


@pytest.mark.parametrize(("orders", "roll", "least"), [(ROLLS, 5600, 73), (CHVATAL, 100, 453)])
def test_published_problems(orders: dict[int, int], roll: int, least: int) -> None:
    lengths, stock = of(orders), Stock((roll,))
    plan = cut_plan(lengths, stock)
    check(plan, lengths, stock)
    assert plan.proven and len(plan.bars) == least


def test_several_stock_lengths_by_hand() -> None:
    """2 x 2.9 m fill a bar of 6 m, three of 1.4 m one of 4.4 m; 3 + 3 m must stay apart of 5.9."""
    stock = Stock((4_400, 6_000), kerf=4)
    plan = cut_plan([2_900, 1_400, 2_900, 1_400, 1_400], stock)
    assert plan.bars == (Bar(6_000, (2_900, 2_900)), Bar(4_400, (1_400, 1_400, 1_400)))
    assert plan.proven


def test_the_saw_takes_its_cut() -> None:
    assert len(cut_plan([3_000, 3_000], Stock((6_000,))).bars) == 1
    assert len(cut_plan([3_000, 3_000], Stock((6_000,), kerf=3)).bars) == 2
    assert len(cut_plan([2_999, 2_998], Stock((6_000,), kerf=3)).bars) == 1
    assert len(cut_plan([6_000], Stock((6_000,), kerf=3)).bars) == 1  # nothing to saw


def test_rests_are_left_long() -> None:
    stock = Stock((6_000,), kerf=5, reusable=1_500)
    plan = cut_plan([4_000, 4_000, 900, 900], stock)
    assert sorted(bar.cuts for bar in plan.bars) == [(4_000,), (4_000, 900, 900)]
    # of both bars one rest is long enough to be kept; the other one is scrap
    rests = sorted(bar.stock - sum(bar.cuts) - 5 * len(bar.cuts) for bar in plan.bars)
    assert rests == [6_000 - 5_800 - 15, 6_000 - 4_005]


@pytest.mark.parametrize(
    ("lengths", "stock"),
    [([7], Stock((6,))), ([0], Stock((6,))), ([1], Stock(())), ([1], Stock((6,), -1))],
)
def test_what_no_bar_holds_is_refused(lengths: list[int], stock: Stock) -> None:
    with pytest.raises(ValueError):
        cut_plan(lengths, stock)


def test_nothing_to_cut_takes_no_bars() -> None:
    assert cut_plan([], Stock((6_000,))) == CutPlan((), 0, True, "first fit")


@st.composite
def tasks(draw: st.DrawFn) -> tuple[list[int], Stock]:
    stocks = draw(st.lists(st.integers(20, 60), min_size=1, max_size=3, unique=True))
    kinds = draw(st.lists(st.integers(3, max(stocks)), min_size=1, max_size=5))
    lengths = draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=12))
    return lengths, Stock(tuple(stocks), draw(st.integers(0, 2)), 5)


@given(tasks())
@settings(max_examples=150)
def test_every_length_is_cut_once_and_both_ways_agree(task: tuple[list[int], Stock]) -> None:
    lengths, stock = task
    plans = [cut_plan(lengths, stock, solver) for solver in ("any", "own", "patterns")]
    for plan in plans:
        check(plan, lengths, stock)
    proven = {plan.stock for plan in plans if plan.proven}
    assert len(proven) == 1, "two proven plans of different sums"
    assert all(plan.stock >= min(proven) and plan.bound <= min(proven) for plan in plans)
    assert plans[0] == cut_plan(lengths[::-1], stock)


@given(tasks())
@settings(max_examples=60)
def test_no_assignment_of_few_lengths_takes_less(task: tuple[list[int], Stock]) -> None:
    """All ways to share out up to six lengths, grown one by one."""
    lengths, stock = task[0][:6], task[1]
    ways: set[tuple[int, ...]] = {()}  # rooms taken
    for length in lengths:
        size = length + stock.kerf
        grown = {tuple(sorted((*way, size))) for way in ways}
        for way in ways:
            for n, taken in enumerate(way):
                grown.add(tuple(sorted((*way[:n], taken + size, *way[n + 1 :]))))
        most = max(stock.lengths) + stock.kerf
        ways = {way for way in grown if not way or way[-1] <= most}
    least = min(
        sum(min(s for s in stock.lengths if taken <= s + stock.kerf) for taken in way)
        for way in ways
    )
    plan = cut_plan(lengths, stock, "own")
    assert plan.stock == least and plan.proven


def test_a_bound_is_shown_where_nothing_is_proven() -> None:
    """Too many ways for the search by hand; the bound is that of the sum of all lengths."""
    plan = cut_plan(of(ROLLS), Stock((5600,)), "own")
    check(plan, of(ROLLS), Stock((5600,)))
    assert not plan.proven
    assert plan.bound == 73 * 5600 < plan.stock <= 76 * 5600


def test_without_scipy_the_own_plan_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = builtins.__import__

    def refuse(name: str, *rest: Any) -> Any:
        if name.partition(".")[0] == "scipy":
            raise ImportError(name)
        return whole(name, *rest)

    monkeypatch.setattr(builtins, "__import__", refuse)
    lengths, stock = of(ROLLS), Stock((5600,))
    assert cut_plan(lengths, stock) == cut_plan(lengths, stock, "own")


def test_small_tasks_are_proven_without_loading_scipy() -> None:
    """Sixty rails of four lengths, as an array has them."""
    script = (
        "import sys; from selector.layout.cut import Stock, cut_plan; "
        "plan = cut_plan([4180, 3260, 7100, 1090] * 15, Stock((4400, 6200, 7500), 3)); "
        "print(plan.proven, plan.bound == plan.stock, 'scipy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.stdout.split() == ["True", "True", "False"]


@pytest.mark.slow
def test_random_tasks_of_a_whole_job_end_near_a_bound() -> None:
    """Up to 120 rails of up to eight lengths from one to three stock lengths, with scipy."""
    random, proven = Random(5), 0
    for _ in range(60):
        stocks = tuple(random.sample([3_300, 4_200, 5_100, 6_200, 7_400], random.randint(1, 3)))
        kinds = [random.randint(600, max(stocks)) for _ in range(random.randint(1, 8))]
        lengths = [random.choice(kinds) for _ in range(random.randint(5, 120))]
        stock = Stock(stocks, 4, 600)
        plan = cut_plan(lengths, stock)
        check(plan, lengths, stock)
        proven += plan.proven
        assert plan.stock <= cut_plan(lengths, stock, "own").stock
    assert proven >= 57
