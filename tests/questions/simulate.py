"""Talks with people who stand before a roof that we know: they see it as well as their tools do."""

import random
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from selector import units
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.rule import Quantity
from selector.model.truth import Word
from selector.questions.edit import seen
from selector.questions.order import Asked
from selector.questions.talk import State, Talk, job_in, state_of
from tests.kb.roofs import SHEETS, roof, seam, sheet

MOST_QUESTIONS = 70
ELSEWHERE = {  # what roofs.py leaves unsaid
    "plane.below_eave": "none",
    "plane.steps": "none",
    "plane.collars": "none",
    "plane.obstacles": "none",
    "site.altitude": "400 m",
    "site.fire_wall": "none",
    "site.lightning": "none",
    "site.terrain": "II",
}
SELDOM_BAD = {  # path -> the word that is bad, with how many roofs have it
    "plane.deck.sound": ("wet or rotten", 0.05),
    "plane.seam.damage": ("some", 0.05),
    "plane.clips.nails": ("rusted or plain steel", 0.05),
    "plane.seam.parallel": ("fanning", 0.03),
    "site.pool_hall": ("present", 0.03),
    "site.harsh_air": ("present", 0.03),
    "site.run_off_from_above": ("copper", 0.05),
    "site.brittle": ("suspected", 0.02),
}
Choose = Callable[[State], Asked]


@dataclass(frozen=True)
class Outcome:
    """How a talk ended, beside what the roof truly allows."""

    said: Word
    true: Word
    yes: frozenset[str]  # stacks that were a yes
    truly: frozenset[str]
    questions: int

    @property
    def false_yes(self) -> bool:
        """A yes that the roof does not bear."""
        return not self.yes <= self.truly


def true_roof(base: Base, chance: random.Random) -> dict[str, Any]:
    """A roof that one clamp of the demo catalogue was made for, seldom with something bad."""
    clamps = [p for p in base.parts_of(("demo",)) if p.slot == "clamp"]
    grip = chance.choice(chance.choice(clamps).shape.grips)  # type: ignore[attr-defined]
    data = roof(seam(grip), sheet(chance.choice(sorted(SHEETS))))
    for path, text in ELSEWHERE.items():
        _place(data, path, text)
    for path, (word, rate) in SELDOM_BAD.items():
        if chance.random() < rate:
            _place(data, path, word)
    if chance.random() < 0.1:
        _place(data, "site.sea_distance", "600 m")
    return data


def _place(data: dict[str, Any], path: str, text: str) -> None:
    role, _, name = path.partition(".")
    holder = data["site"] if role == "site" else data["planes"]["p1"]
    *above, last = name.split(".")
    for key in above:
        holder = holder.setdefault(key, {})
    figure = text[0].isdigit()
    holder[last] = {"is": text, "by": "x", **({"tool": "map"} if figure else {"how": "eyes"})}


def unseen(data: dict[str, Any]) -> dict[str, Any]:
    """The same job before anybody has looked; papers, array and clip marks are there."""
    start = deepcopy(data)
    start["site"] = {}
    start["planes"] = {"p1": {"clips": {"marks": data["planes"]["p1"]["clips"]["marks"]}}}
    return start


class Person:
    """Answers from a true roof: within the tolerance of the tool, and sometimes not at all."""

    def __init__(self, base: Base, truth: dict[str, Any], chance: random.Random, noise: float = 1):
        self.base = base
        self.truth = truth
        self.chance = chance
        self.noise = noise

    def answer(self, asked: Asked, quantity: Quantity) -> tuple[str, str]:
        """What is typed, and how it was seen."""
        rate = asked.question.dont_know.roof or 0 if asked.question is not None else 0
        found = seen(self.truth, quantity.path, "p1")
        if not found or self.chance.random() < rate / 1_000_000:
            return "?", ""
        said = found[0]
        if quantity.dimension == "choice":
            value = said["is"]
            return (" on ".join(value) if isinstance(value, list) else str(value)), "seen and told"
        return self._figures(said, quantity), ""

    def _figures(self, said: dict[str, Any], quantity: Quantity) -> str:
        texts = said.get("places") or [said["is"]] * quantity.places
        if not quantity.tools:
            return str(texts[0])
        tool = min(quantity.tools, key=lambda t: quantity.tools[t])
        readings = [self._reading(text, quantity, tool) for text in texts]
        return " ".join(readings) + f" {tool}"

    def _reading(self, text: str, quantity: Quantity, tool: str) -> str:
        value = units.parse(text, quantity.dimension)
        slack = quantity.tools[tool]
        if tool in quantity.relative_tools:
            slack = value * slack // 1_000_000
        read = value + round(self.noise * slack * self.chance.uniform(-1, 1))
        unit = next(u for u in units.units_of(quantity.dimension) if units.UNITS[u][1] >= 1)
        size = units.UNITS[unit][1]
        return f"{max(read, 0) / float(size):.6f}".rstrip("0").rstrip(".") + unit


def talk_through(base: Base, judge: Judge, seed: str, choose: Choose, noise: float = 1) -> Outcome:
    """A whole talk with a person before a roof drawn from a seed."""
    chance = random.Random(seed)
    truth = true_roof(base, chance)
    person = Person(base, truth, chance, noise)
    talk = Talk(unseen(truth), "a1", "x", "roof")
    before: Desk | None = None
    asked = 0
    while asked < MOST_QUESTIONS:
        state = state_of(talk, base, judge, before)
        before = state.desk
        if state.contradicted or not state.ask:
            break
        one = choose(state)
        quantity = base.vocabulary.quantities.get(one.path)
        if quantity is None:
            talk = talk.skip(one.path)
            continue
        text, how = person.answer(one, quantity)
        talk = talk.answer(quantity, text, how or None)
        asked += 1
    said = Desk(base, job_in(base, talk.job), judge).choose("a1")
    true = Desk(base, job_in(base, truth), judge).choose("a1")
    return Outcome(
        said.word,
        true.word,
        frozenset(o.name for o in said.options if o.verdict.word.is_yes),
        frozenset(o.name for o in true.options if o.verdict.word.is_yes),
        asked,
    )


def best(state: State) -> Asked:
    """The question that spares most."""
    return state.ask[0]


def in_file_order(base: Base) -> Choose:
    """A fixed questionnaire: stop questions first, then as the files stand."""
    order = {path: i for i, path in enumerate(sorted(base.questions))}

    def choose(state: State) -> Asked:
        def place(asked: Asked) -> tuple[bool, int, str]:
            question = asked.question
            number = order[question.observation] if question is not None else len(order)
            return not (question is not None and question.stop), number, asked.path

        return min(state.ask, key=place)

    return choose
