"""The order of questions beside the best one there is, on catalogues so small that it can be found.

A generated catalogue has six clamps of the demo catalogue with windows moved and widened at random;
a roof is known but for eight questions. What an answer takes away is asked of the product once, at
the start; from then on a state is what is alive, what is not asked yet and what nobody could say.
Over these states the least expected effort is found by trying every question everywhere, and
beside it stands the expected effort of the product's own order. Chances, efforts and the end of a
talk are the same for both.
"""

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.model.quantity import Window
from selector.questions.edit import withdrawn
from selector.questions.left import Candidate, Left, left_of
from selector.questions.order import WHOLE, outcomes, ranked
from selector.questions.talk import job_in
from tests.questions.simulate import effort_of, true_roof

CLAMPS, OPEN = 6, 8
TELLING = (  # some of these are always open: what a catalogue is made for
    "plane.seam.shape",
    "plane.seam.height",
    "plane.seam.head",
    "plane.sheet.metal",
    "plane.deck.kind",
    "plane.clips.kind",
)
Answers = tuple[tuple[float, frozenset[str]], ...]  # chance of each answer, and what it takes away


@dataclass(frozen=True)
class Game:
    """A small catalogue before a roof that is known but for some questions."""

    base: Base
    candidates: tuple[Candidate, ...]
    paths: tuple[str, ...]
    efforts: dict[str, int]
    unknown: dict[str, float]  # chance that nobody can say
    answers: dict[str, Answers]


@dataclass(frozen=True)
class State:
    """Where a talk stands."""

    alive: frozenset[str]
    unasked: frozenset[str]
    unsaid: frozenset[str]  # asked, and nobody could say


def small(base: Base, seed: int) -> Base:
    """The shipped base with six clamps, their windows moved and widened at random."""
    chance = random.Random(f"catalogue {seed}")
    demo = base.catalogues["demo"]
    clamps = [p for p in demo.parts.values() if _usual(p)]
    chosen = [_moved(p, chance) for p in chance.sample(clamps, CLAMPS)]
    others = [p for p in demo.parts.values() if p.slot != "clamp"]
    catalogue = replace(demo, parts={p.id: p for p in (*chosen, *others)})
    return replace(base, catalogues=base.catalogues | {"demo": catalogue})


def _usual(part: Part) -> bool:
    return isinstance(part.shape, schema.Clamp) and part.shape.generation != "old"


def _moved(part: Part, chance: random.Random) -> Part:
    def move(window: Window) -> Window:
        low, high = window.low or 0, window.high or 0
        step = (high - low) // 4
        down, up = chance.randint(-step, 3 * step), chance.randint(-step, 3 * step)
        return replace(window, low=max(low - down, 0), high=high + up)

    grips = [
        grip.model_copy(
            update={
                n: move(w) for n in ("height", "head", "bulb", "leg") if (w := getattr(grip, n))
            }
        )
        for grip in part.shape.grips  # type: ignore[attr-defined]
    ]
    return replace(part, shape=part.shape.model_copy(update={"grips": tuple(grips)}))


def game(base: Base, judge: Judge, seed: int) -> Game | None:
    """A game drawn from a seed; None where too little is open or alive to tell orders apart."""
    chance = random.Random(f"game {seed}")
    truth = true_roof(base, chance)
    everything = [p for p in base.vocabulary.quantities if not p.startswith("site.wrench")]
    telling = chance.sample(TELLING, 4)
    for path in (*telling, *chance.sample(sorted(set(everything) - set(telling)), 12)):
        truth = withdrawn(truth, base.vocabulary.quantities[path].path, "p1")
    left = left_of(Desk(base, job_in(base, truth), judge), "a1")
    found = _cut(base, left, chance)
    if found is None or left.answer is None:
        return None
    return found


def _cut(base: Base, left: Left, chance: random.Random) -> Game | None:
    """Eight of the questions that are open; the others count as answered."""
    asked = [a for a in ranked(base, left, "roof") if a.question is not None]
    if len(asked) < OPEN or len(left.candidates) < 3:
        return None
    telling = [a.path for a in asked if a.path in TELLING]
    others = [a.path for a in asked if a.path not in TELLING]
    chance.shuffle(others)
    paths = tuple(sorted((*telling, *others)[:OPEN]))
    candidates = tuple(
        replace(c, waits=tuple(p for p in c.waits if p in paths)) for c in left.candidates
    )
    left = replace(left, candidates=candidates)
    if any(not c.waits for c in candidates):
        return None
    unknown, answers = {}, {}
    for path in paths:
        question = base.question_of(path)
        assert question is not None and question.dont_know.roof is not None
        unknown[path] = question.dont_know.roof / WHOLE
        found = outcomes(base, left, path)
        total = sum(o.chance for o in found)
        answers[path] = tuple((o.chance / total, frozenset(c.name for c in o.dead)) for o in found)
    return Game(base, candidates, paths, {p: effort_of(base, p) for p in paths}, unknown, answers)


def askable(game: Game, state: State) -> list[str]:
    """What some stack that is alive waits for; nothing where one waits for no more."""
    alive = [c for c in game.candidates if c.name in state.alive]
    waits = [set(c.waits) & (state.unasked | state.unsaid) for c in alive]
    if not all(waits):
        return []
    return sorted(set().union(*waits) & state.unasked) if waits else []


def after(game: Game, state: State, path: str) -> Iterable[tuple[float, State]]:
    """Where an answer leads, each with its chance."""
    unasked = state.unasked - {path}
    yield game.unknown[path], State(state.alive, unasked, state.unsaid | {path})
    for share, dead in game.answers[path]:
        known = (1 - game.unknown[path]) * share
        yield known, State(state.alive - dead, unasked, state.unsaid)


def first(game: Game) -> State:
    """Before anything is asked."""
    names = frozenset(c.name for c in game.candidates)
    return State(names, frozenset(game.paths), frozenset())


def expected(game: Game, choose: Callable[[State, list[str]], str]) -> float:
    """Expected effort of a talk in which an order chooses."""

    @cache
    def effort(state: State) -> float:
        open_now = askable(game, state)
        if not open_now:
            return 0.0
        path = choose(state, open_now)
        return game.efforts[path] + sum(p * effort(s) for p, s in after(game, state, path))

    return effort(first(game))


def least(game: Game) -> float:
    """The least expected effort that any order can have, stop questions first."""

    @cache
    def effort(state: State) -> float:
        open_now = askable(game, state)
        stops = [p for p in open_now if (q := game.base.question_of(p)) is not None and q.stop]
        return min(
            (
                game.efforts[path] + sum(p * effort(s) for p, s in after(game, state, path))
                for path in stops or open_now
            ),
            default=0.0,
        )

    return effort(first(game))


def product(game: Game) -> float:
    """Expected effort of the order of the product."""

    def choose(state: State, open_now: list[str]) -> str:
        alive = tuple(
            replace(c, waits=tuple(p for p in c.waits if p in state.unasked | state.unsaid))
            for c in game.candidates
            if c.name in state.alive
        )
        left = Left(alive, {}, None, True)
        path = ranked(game.base, left, "roof", state.unsaid)[0].path
        assert path in open_now
        return path

    return expected(game, choose)
