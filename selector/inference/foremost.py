"""The stack of an array that is talked of where nobody names one: the first, else the nearest."""

from collections.abc import Iterable, Iterator

from selector.inference.answer import Desk, Finder, Option
from selector.inference.rank import Rank, rank
from selector.knowledge.base import Part
from selector.model.stack import Core
from selector.model.truth import Word


def foremost(desk: Desk, array_id: str) -> Option | None:
    """The stack that a choose request puts first; where none is left, the nearest to one.

    Nearest is what fewest rules forbid: of the stacks that were judged whole, else of one on each
    clamp with each of its fittings. None where the parts make no stack at all.
    """
    finder = Finder(desk, desk.job.arrays[array_id])
    judged = list(finder.options())
    alive = [option for option in judged if option.verdict.word != Word.FORBIDDEN]
    if alive:
        return min(alive, key=lambda o: rank(o.verdict, o.core))
    return min(judged or _on_each_clamp(desk, finder), key=_nearest_first, default=None)


def _nearest_first(option: Option) -> tuple[int, Rank]:
    forbids = {finding.rule.id for finding in option.verdict.of_word(Word.FORBIDDEN)}
    return len(forbids), rank(option.verdict, option.core)


def _on_each_clamp(desk: Desk, finder: Finder) -> Iterator[Option]:
    """A stack on each clamp that the parts make, though something in it is forbidden."""
    for clamp in sorted(desk.stock.mixed, key=lambda part: part.id):
        for insert, inlay in finder.fittings(clamp):
            ids = (insert.id if insert else None, inlay.id if inlay else None)
            joined = finder.cores(clamp, insert, inlay)
            core = _first(desk, joined) or _first(desk, _unjoined(desk, finder, clamp, *ids))
            if core is not None:
                yield finder.option(core)


def _unjoined(
    desk: Desk, finder: Finder, clamp: Part, insert: str | None, inlay: str | None
) -> Iterator[Core]:
    return desk.stock.graph.cores(clamp, insert, inlay, finder.wanted, lambda *joint: True)


def _first(desk: Desk, cores: Iterable[Core]) -> Core | None:
    """The first that is made of the parts that must be used."""
    must = {k: v for k, v in desk.job.request.must_use.items() if k != "module_clamp"}
    fitting = (c for c in cores if all(getattr(c, slot) == part for slot, part in must.items()))
    return next(fitting, None)
