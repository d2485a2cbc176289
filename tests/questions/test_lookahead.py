"""On small catalogues the order of questions costs at most a quarter more than the best one."""

import statistics

import pytest

from selector.knowledge.base import Base
from selector.questions.talk import brisk
from tests.questions.lookahead import Game, State, askable, expected, game, least, product, small

MOST = 1.25
GAMES = 30


def games_of(base: Base) -> list[Game]:
    """Small catalogues with a roof each, drawn from seeds."""
    found: list[Game] = []
    judge = brisk(base)
    seed = 0
    while len(found) < GAMES:
        own = small(base, seed)
        judged = brisk(own)
        assert judged.share(judge)
        drawn = game(own, judged, seed)
        found += [drawn] if drawn is not None else []
        seed += 1
    return found


@pytest.mark.slow
def test_the_order_costs_little_more_than_the_best_and_less_than_none(base: Base) -> None:
    games = games_of(base)
    ratios = [product(game) / least(game) for game in games]
    print(f"mean {statistics.fmean(ratios):.3f}, worst {max(ratios):.3f} of {len(ratios)}")
    assert all(ratio >= 1 - 1e-9 for ratio in ratios)
    assert max(ratios) <= MOST

    def by_name(state: State, open_now: list[str]) -> str:
        return open_now[0]

    assert all(
        len(g.paths) == 8 and askable(g, State(frozenset(), frozenset(), frozenset())) == []
        for g in games
    )
    plain = statistics.fmean(expected(game, by_name) / least(game) for game in games)
    assert plain > statistics.fmean(ratios) > 0
