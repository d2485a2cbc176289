"""The bar of a link in the chain: full where the link is used up, whatever that takes."""

import pytest

from selector.explanation.links.chain import BAR, _bar
from selector.facts.actions.model import Ends
from selector.facts.links.model import Link


@pytest.mark.parametrize(
    ("takes", "bar"),
    [
        (2.0, "#" * (BAR // 2) + " " * (BAR // 2) + "]"),
        (0.5, "#" * BAR + ">"),
        (0.0, "#" * BAR + ">"),
    ],
)
def test_a_link_that_takes_nothing_is_used_up(takes: float, bar: str) -> None:
    link = Link("clip", "", Ends(1.0, 1.0), Ends(takes, takes), "N", "", "", (), "measured")
    assert _bar(link) == "[" + bar
