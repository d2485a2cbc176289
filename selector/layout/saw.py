"""All rail pieces of an array sawn from bars, those longer than any bar spliced."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from selector.layout.cut import Solver, Stock, bound_of, cut_plan, quick_sum
from selector.layout.model import CutPlan, Piece, Rail
from selector.layout.splices import Joining, Parts, Unjoined, parts_of

Key = tuple[int, tuple[int, ...]]  # a piece from its left end: length, clamps


@dataclass(frozen=True)
class Unsawn:
    """A piece, counted from 1 along its rail, that no bars give, and why."""

    rail: str
    piece: int
    why: Unjoined


@dataclass(frozen=True)
class Sawn:
    """Rails whose pieces name the lengths they are joined of, and the plan for all of these.

    Without a plan where a piece cannot be had.
    """

    rails: tuple[Rail, ...]
    plan: CutPlan | None
    unsawn: tuple[Unsawn, ...] = ()


def saw(rails: Sequence[Rail], stock: Stock, rules: Joining, solver: Solver = "any") -> Sawn:
    """Splice what is longer than the longest bar, and cut all lengths with little stock.

    `rules.longest` is that of the stock. Pieces alike are spliced alike, with no more splices than
    the longest bar asks for: from the left in lengths up to one of the bars that are sold, the one
    that ends with less stock by first fit. The bound of the plan holds for every place of a splice;
    so a plan with splices is seldom proven. ValueError as of `cut_plan`.
    """
    rules = replace(rules, longest=max(stock.lengths, default=0))
    pieces = [(rail, n, piece) for rail in rails for n, piece in enumerate(rail.pieces, 1)]
    ways: dict[Key, list[Parts]] = {}
    unsawn = []
    for rail, number, piece in pieces:
        key = _key(piece)
        if key not in ways:
            ways[key] = list(_ways(key, stock, rules))
        if not ways[key]:
            why = parts_of(0, piece.length, key[1], rules)
            unsawn.append(Unsawn(rail.id, number, why if isinstance(why, str) else "clamps"))
    if unsawn:
        return Sawn(tuple(rails), None, tuple(unsawn))
    chosen = _choose([_key(piece) for _, _, piece in pieces], ways, stock)
    joined = tuple(
        replace(rail, pieces=tuple(replace(p, parts=chosen[_key(p)]) for p in rail.pieces))
        for rail in rails
    )
    plan = cut_plan([part for _, _, p in pieces for part in chosen[_key(p)]], stock, solver)
    if any(len(parts) > 1 for parts in chosen.values()):
        bound = bound_of(sum(p.length for _, _, p in pieces), len(pieces), stock)
        plan = replace(plan, bound=bound, proven=plan.stock == bound)
    return Sawn(joined, plan)


def _key(piece: Piece) -> Key:
    return piece.length, tuple(sorted(clamp.x - piece.x0 for clamp in piece.clamps))


def _ways(key: Key, stock: Stock, rules: Joining) -> Iterator[Parts]:
    """Ways to join a piece of the fewest lengths, from the longest bar down; none if it is not."""
    length, clamps = key
    fewest = parts_of(0, length, clamps, rules)
    if isinstance(fewest, str):
        return
    yield fewest
    for bar in sorted(set(stock.lengths), reverse=True)[1:] if len(fewest) > 1 else ():
        if rules.shortest <= bar:
            parts = parts_of(0, length, clamps, replace(rules, longest=bar))
            if not isinstance(parts, str) and len(parts) == len(fewest) and parts != fewest:
                yield parts


def _choose(keys: Sequence[Key], ways: dict[Key, list[Parts]], stock: Stock) -> dict[Key, Parts]:
    """One way for all pieces alike: each in turn changed where that saves bars, until none does."""
    chosen = {key: found[0] for key, found in ways.items()}

    def needed(trial: dict[Key, Parts]) -> int:
        return quick_sum([part for key in keys for part in trial[key]], stock)

    best, better = needed(chosen), any(len(found) > 1 for found in ways.values())
    while better:
        better = False
        for key, found in ways.items():
            for parts in found:
                total = needed({**chosen, key: parts})
                if total < best:
                    best, better, chosen[key] = total, True, parts
    return chosen
