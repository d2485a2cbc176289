"""Talks with people who stand before a roof that we know: they see it as well as their tools do.

What a person knows of a roof, and what every tool reads there, is drawn once for each roof and
path, so that two orders of questions meet the same person.
"""

import random
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from selector import units
from selector.facts import atoms
from selector.inference.answer import Desk, Finder
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.job import Job, Observed
from selector.model.quantity import Measured, Place, Window
from selector.model.rule import Group, Quantity
from selector.model.truth import Word
from selector.questions.edit import seen, withdrawn
from selector.questions.order import Asked
from selector.questions.talk import State, Talk, job_in, state_of
from tests.kb.roofs import SEAM, SHEETS, roof, seam, sheet

MOST_QUESTIONS = 70
ELSEWHERE = {  # what roofs.py leaves unsaid
    "plane.below_eave": "none",
    "plane.steps": "none",
    "plane.collars": "none",
    "plane.obstacles": "none",
    "plane.taller": "none",
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
COLOURS = {  # how a sheet truly looks: its outer coat, else its metal
    "copper": ("red", "brown", "green", "dark"),
    "steel": ("red", "brown", "dark"),
    "zinc": ("silvery", "grey"),
    "aluminium": ("silvery", "grey"),
    "stainless": ("silvery", "grey"),
}
BEYOND = 0.1  # share of a window's width that a true seam may lie outside of it
SPREAD = 200  # micrometres between the places of one true seam, either way
BY_THE_SEA = 0.1
Choose = Callable[[State, tuple[str, ...]], str]  # where a talk stands, what was asked
Rows = dict[str, Any]


@dataclass(frozen=True)
class Outcome:
    """How a talk ended, beside what the roof truly allows.

    `known` is what the roof allows by exact figures, less all that this person cannot tell.
    """

    said: Word
    known: Word
    true: Word
    yes: frozenset[str]  # stacks that were a yes
    knowable: frozenset[str]
    truly: frozenset[str]
    asked: tuple[str, ...]
    effort: int
    contradicted: bool

    @property
    def false_yes(self) -> bool:
        """A yes that the roof does not bear."""
        return not self.yes <= self.truly

    @property
    def right_set(self) -> bool:
        """Exactly those stacks were a yes that can be one by all that this person can tell."""
        return self.yes == self.knowable


def true_roof(base: Base, chance: random.Random) -> Rows:
    """A roof that one clamp of the demo catalogue was made for, seldom with something bad.

    Its head is one that the shape can have: any other is no seam of this shape, and contradicts it.
    """
    clamps = [p for p in base.parts_of(("demo",)) if p.slot == "clamp"]
    grip = chance.choice(chance.choice(clamps).shape.grips)  # type: ignore[attr-defined]
    data = roof(seam(grip), sheet(chance.choice(sorted(SHEETS))))
    row = data["planes"]["p1"]["seam"]
    for name in SEAM:
        window = getattr(grip, name)
        if window is not None:
            row[name]["places"] = _somewhere(window, chance)
    head = base.shapes[grip.shape].shape.head
    if head is not None and "head" in row:
        row["head"]["places"] = [_inside(head, text) for text in row["head"]["places"]]
    for path, text in ELSEWHERE.items():
        _place(data, path, text)
    _place(data, "plane.sheet.colour", _colour(data["planes"]["p1"]["sheet"]))
    for path, (word, rate) in SELDOM_BAD.items():
        if chance.random() < rate:
            _place(data, path, word)
    if chance.random() < BY_THE_SEA:
        _place(data, "site.sea_distance", "600 m")
    return data


def _colour(sheet: Rows) -> str:
    """A colour of the true sheet, drawn by its thickness: what else is drawn stays as it was."""
    [coat, metal] = sheet["coating"]["is"][0], sheet["metal"]["is"]
    chance = random.Random(str(sheet["thickness"]))
    return chance.choice(COLOURS[metal if coat == "none" else coat])


LEAST = units.parse("0.5 mm", "length")  # no dimension of a seam is plausible below it


def _somewhere(window: Window, chance: random.Random) -> list[str]:
    """Three places of one seam, about evenly anywhere in a window and a little beyond its ends."""
    low = window.low or 0
    high = window.high if window.high is not None else 2 * low
    more = round(BEYOND * (high - low))
    middle = chance.randint(max(low - more, LEAST + SPREAD), high + more)
    places = [middle + chance.randint(-SPREAD, SPREAD) for _ in range(3)]
    return [f"{place / 1000} mm" for place in places]


def _inside(window: Window, text: str) -> str:
    """The reading nearest to a place that a window holds."""
    place = units.parse(text, "length")
    low, high = window.low or 0, window.high if window.high is not None else place
    return f"{min(max(place, low), high) / 1000} mm"


def _place(data: Rows, path: str, text: str) -> None:
    role, _, name = path.partition(".")
    holder = data["site"] if role == "site" else data["planes"]["p1"]
    *above, last = name.split(".")
    for key in above:
        holder = holder.setdefault(key, {})
    figure = text[0].isdigit()
    holder[last] = {"is": text, "by": "x", **({"tool": "map"} if figure else {"how": "eyes"})}


def unseen(data: Rows) -> Rows:
    """The same job before anybody has looked; papers, array and clip marks are there."""
    start = deepcopy(data)
    start["site"] = {}
    start["planes"] = {"p1": {"clips": {"marks": data["planes"]["p1"]["clips"]["marks"]}}}
    return start


def exact(base: Base, data: Rows) -> Job:
    """A job of true figures: each reading is what it says, without the tolerance of its tool."""
    job = job_in(base, data)
    planes = {
        name: replace(plane, observed={p: _exact(o) for p, o in plane.observed.items()})
        for name, plane in job.planes.items()
    }
    return replace(job, site={p: _exact(o) for p, o in job.site.items()}, planes=planes)


def _exact(observed: Observed) -> Observed:
    def point(place: Place) -> Place:
        middle = (place.low + place.high) // 2
        return Place(middle, middle)

    sightings = [
        replace(s, value=replace(s.value, places=tuple(map(point, s.value.places))))
        if isinstance(s.value, Measured)
        else s
        for s in observed.sightings
    ]
    return replace(observed, sightings=tuple(sightings))


class Person:
    """Answers from a true roof: within the tolerance of the tool, and sometimes not at all."""

    def __init__(
        self, base: Base, truth: Rows, seed: str, noise: float = 1, knows_all: bool = False
    ):
        self.base = base
        self.truth = truth
        self.seed = seed
        self.noise = noise
        self.knows_all = knows_all

    def knows(self, path: str) -> bool:
        """Whether this person can tell, as often as the question says that people can."""
        question = self.base.question_of(path)
        rate = question.dont_know.roof or 0 if question is not None else 0
        return self.knows_all or self._chance("knows", path).random() >= rate / 1_000_000

    def told(self) -> Rows:
        """The true roof less all that this person cannot tell."""
        found = self.truth
        for path, quantity in self.base.vocabulary.quantities.items():
            if seen(found, quantity.path, "p1") and not self.knows(path):
                found = withdrawn(found, quantity.path, "p1")
        return found

    def answer(self, quantity: Quantity) -> tuple[str, str]:
        """What is typed, and how it was seen."""
        path = str(quantity.path)
        found = seen(self.truth, quantity.path, "p1")
        if not found or not self.knows(path):
            return "?", ""
        said = found[0]
        if quantity.dimension == "choice":
            value = said["is"]
            way = quantity.by[0] if quantity.by else "seen and told"
            return (" on ".join(value) if isinstance(value, list) else str(value)), way
        return self._figures(said, quantity), ""

    def _chance(self, what: str, path: str) -> random.Random:
        return random.Random(f"{self.seed}, {what} {path}")

    def _figures(self, said: Rows, quantity: Quantity) -> str:
        texts = said.get("places") or [said["is"]] * quantity.places
        if not quantity.tools:
            return str(texts[0]) + ("" if quantity.dimension == "count" else " +-1 %")
        chance = self._chance("reads", str(quantity.path))
        tool = min(quantity.tools, key=lambda t: quantity.tools[t])
        readings = [self._reading(text, quantity, tool, chance) for text in texts]
        return " ".join(readings) + f" {tool}"

    def _reading(self, text: str, quantity: Quantity, tool: str, chance: random.Random) -> str:
        value = units.parse(text, quantity.dimension)
        slack = quantity.tools[tool]
        if tool in quantity.relative_tools:
            slack = value * slack // 1_000_000
        read = value + round(self.noise * slack * chance.uniform(-1, 1))
        low, high = quantity.plausible  # what cannot be is read again, and never typed
        read = max(read, low if low is not None else read)
        read = min(read, high if high is not None else read)
        unit = next(u for u in units.units_of(quantity.dimension) if units.UNITS[u][1] >= 1)
        size = units.UNITS[unit][1]
        return f"{max(read, 0) / float(size):.6f}".rstrip("0").rstrip(".") + unit


def talk_through(
    base: Base,
    judge: Judge,
    steps: Judge,
    seed: str,
    choose: Choose,
    noise: float = 1,
    knows_all: bool = False,
) -> Outcome:
    """A whole talk with a person before a roof drawn from a seed; `steps` judges on the way."""
    truth = true_roof(base, random.Random(seed))
    person = Person(base, truth, seed, noise, knows_all)
    talk = Talk(unseen(truth), "a1", "x", "roof")
    state = state_of(talk, base, steps)
    asked: list[str] = []
    while not state.contradicted and state.ask and len(asked) < MOST_QUESTIONS:
        path = choose(state, tuple(asked))
        quantity = base.vocabulary.quantities.get(path)
        if quantity is None:
            talk = talk.skip(path)
        else:
            text, how = person.answer(quantity)
            talk = talk.answer(quantity, text, how or None)
            asked.append(path)
        state = state_of(talk, base, steps, state.desk)
    said, yes = _end(Desk(base, job_in(base, talk.job), judge))
    known, knowable = _end(Desk(base, exact(base, person.told()), judge))
    true, truly = _end(Desk(base, exact(base, truth), judge))
    return Outcome(
        said,
        known,
        true,
        yes,
        knowable,
        truly,
        tuple(asked),
        sum(effort_of(base, path) for path in asked),
        bool(state.contradicted),
    )


def effort_of(base: Base, path: str) -> int:
    """Effort of one answer on the roof."""
    question, own = base.question_of(path), base.vocabulary.ask(path).effort
    return max(question.effort.roof, own) if question is not None else own


def _end(desk: Desk) -> tuple[Word, frozenset[str]]:
    """The word of a desk, and the stacks that are a yes."""
    answer = desk.choose("a1")
    return answer.word, frozenset(o.name for o in answer.options if o.verdict.word.is_yes)


def best(state: State, asked: tuple[str, ...]) -> str:
    """The question that spares most."""
    return state.ask[0].path


def questionnaire(base: Base) -> Choose:
    """A fixed questionnaire: whatever no guard rules out, stop questions first, in file order."""
    questions = [base.questions[name] for name in sorted(base.questions)]
    questions = [q for q in questions if q.never_skip is None or q.never_skip.work is None]
    questions.sort(key=lambda q: not q.stop)

    def choose(state: State, asked: tuple[str, ...]) -> str:
        """The next of the questionnaire; at its end what is still waited for."""
        view = Finder(state.desk, state.desk.job.arrays["a1"]).about_plane.view

        def may_hold(group: Group) -> bool:
            return any(atoms.evaluate(c, view).bits.possibly for c in group)

        for question in questions:
            if all(may_hold(group) for group in question.asked_when):
                for path in question.quantities:
                    if path not in asked:
                        return path
        return state.ask[0].path

    return choose


def in_file_order(base: Base) -> Choose:
    """What some stack waits for, stop questions first, as the files stand."""
    order = {path: i for i, path in enumerate(sorted(base.questions))}

    def choose(state: State, asked: tuple[str, ...]) -> str:
        def place(one: Asked) -> tuple[bool, int, str]:
            question = one.question
            number = order[question.observation] if question is not None else len(order)
            return not (question is not None and question.stop), number, one.path

        return min(state.ask, key=place).path

    return choose
