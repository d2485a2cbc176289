"""A conversation about one array: a job as data, its past, and what to ask now.

Every answer gives a new talk; the old one is its past, so that nothing is lost and all can be
undone. What is merely said (no tool, no photo, nobody looked) is kept as a hint: it steers what is
asked next, and is never a proof.
"""

from dataclasses import dataclass, replace

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.jobs.write import text_of
from selector.knowledge.base import Base
from selector.knowledge.quantities import ON_THE_PHONE
from selector.knowledge.yaml_reader import Document, read_string
from selector.model.job import Job, Observed
from selector.model.rule import Path, Quantity
from selector.questions.edit import answered, seen, withdrawn
from selector.questions.left import Left, left_of
from selector.questions.order import Asked, Mode, ranked
from selector.questions.typed import Data, sighting

SAID_WITHIN = "10 %"  # of a figure that stands on paper and was said by heart
BRISK_WORLDS = 8  # one split quantity at a time, such as the metal


@dataclass(frozen=True)
class Talk:
    """Where a conversation stands."""

    job: Data
    array: str
    by: str
    mode: Mode
    skipped: tuple[str, ...] = ()
    past: tuple["Talk", ...] = ()

    @property
    def plane(self) -> str:
        """Plane of the array."""
        plane: str = self.job["arrays"][self.array]["plane"]
        return plane

    def undone(self) -> "Talk":
        """One step back; the first stays as it is."""
        return replace(self.past[-1], past=self.past[:-1]) if self.past else self

    def moved(self, mode: Mode) -> "Talk":
        """The talk in another place; what could not be answered there may be asked again."""
        return self._after(replace(self, mode=mode, skipped=()))

    def skip(self, path: str) -> "Talk":
        """The talk without a question, until it is asked for."""
        return self._after(replace(self, skipped=(*self.skipped, path)))

    def answer(self, quantity: Quantity, text: str, how: str | None = None) -> "Talk":
        """The talk with an answer; ValueError says what was expected."""
        said = sighting(text, quantity)
        if "unknown" not in said:
            said = self._seen(said, quantity, how)
        said["by"] = self.by
        job = answered(self.job, quantity.path, said, self.plane)
        skipped = tuple(p for p in self.skipped if p != str(quantity.path))
        if "unknown" in said or job == self.job:  # the same again: nothing better is to be had
            skipped = (*skipped, str(quantity.path))
        return self._after(replace(self, job=job, skipped=skipped))

    def put(self, job: Data, path: str) -> "Talk":
        """The talk with an answer that is no single quantity, put into its job; asked once."""
        skipped = (*(p for p in self.skipped if p != path), path)
        return self._after(replace(self, job=job, skipped=skipped))

    def take_back(self, quantity: Quantity, number: int | None = None) -> "Talk":
        """The talk without one sighting of a quantity, or without all."""
        job = withdrawn(self.job, quantity.path, self.plane, number)
        return self._after(replace(self, job=job))

    def sightings(self, path: Path) -> list[Data]:
        """What was said of a quantity so far."""
        return seen(self.job, path, self.plane)

    def merely_said(self, quantity: Quantity) -> bool:
        """Whether the last answer is kept as a hint: nobody has looked."""
        return any("hint" in said for said in self.sightings(quantity.path)[-1:])

    def _seen(self, said: Data, quantity: Quantity, how: str | None) -> Data:
        """How an answer was come by; a bare word where somebody should have looked is a hint."""
        if "tool" in said or "hint" in said:
            return said
        if how is not None and how in self.job.get("papers", {}):
            return {**said, "paper": how}
        if on_paper_alone(quantity) and "within" not in said:
            return {"hint": _first(said, quantity)}
        if how in quantity.tools:
            return {**said, "tool": how}
        tool = coarsest(quantity)
        assumed_tool = {"tool": tool} if tool and "within" not in said else {}
        if quantity.said or quantity.setting or quantity.lifted in ON_THE_PHONE:
            return {**said, **assumed_tool, "how": how or "said"}
        if how is not None:
            return {**said, **assumed_tool, "how": how}
        if self.mode == "roof" and not quantity.by:  # a metal is never told by the eyes alone
            return said | (assumed_tool or {"how": "eyes"})
        return {"hint": _first(said, quantity)}

    def _after(self, new: "Talk") -> "Talk":
        return replace(new, past=(*self.past, replace(self, past=())))


@dataclass(frozen=True)
class State:
    """What a talk comes to: the job, what is alive, what to ask, what contradicts."""

    desk: Desk
    left: Left
    ask: tuple[Asked, ...]
    contradicted: tuple[Observed, ...]


def on_paper_alone(quantity: Quantity) -> bool:
    """Whether no tool reads a figure, so that it counts by the paper that it stands on."""
    return quantity.dimension not in ("choice", "count") and not quantity.tools


def _first(said: Data, quantity: Quantity) -> object:
    """The first of what was said: a hint has one value."""
    value = said.get("is", said.get("places", said.get("one_of")))
    layers = quantity.stacked and "one_of" not in said
    return value[0] if isinstance(value, list) and not layers else value


def coarsest(quantity: Quantity) -> str | None:
    """The tool with the widest tolerance: what is assumed where none is named."""
    tools = sorted(quantity.tools, key=lambda t: (quantity.tools[t], t))
    return tools[-1] if tools else None


def brisk(base: Base) -> Judge:
    """A judge for the steps of a talk: what it is unsure of is asked; the end is judged anew."""
    return Judge(base, most_worlds=BRISK_WORLDS)


def state_of(talk: Talk, base: Base, judge: Judge, before: Desk | None = None) -> State:
    """Where a talk stands if what was merely said is so.

    Its job has no lines: each answer would move them, and nothing would seem to be as it was.
    """
    job = job_of(Document("this job", assumed(talk.job, base)), base.vocabulary)
    desk = Desk(base, job, judge, before)
    passed = frozenset((*talk.skipped, *_answered(talk, base)))
    left = left_of(desk, talk.array, passed)
    ask = () if left.settled else tuple(ranked(base, left, talk.mode, passed))
    return State(desk, left, ask, tuple(job.contradictions()))


def _answered(talk: Talk, base: Base) -> list[str]:
    """Paths that were seen as well as their best tool can; to look again would tell nothing new."""
    return [
        path
        for path, quantity in base.vocabulary.quantities.items()
        if any(_whole(said, quantity) for said in talk.sightings(quantity.path))
    ]


def _whole(said: Data, quantity: Quantity) -> bool:
    if "hint" in said or "unknown" in said or "one_of" in said:
        return False
    if quantity.dimension == "choice" or not quantity.tools:
        return True
    finest = min(quantity.tools.values())
    tool = quantity.tools.get(str(said.get("tool")))
    places = said["places"] if isinstance(said.get("places"), list) else [said]
    return tool == finest and len(places) >= quantity.places


def job_in(base: Base, data: Data) -> Job:
    """Job of plain data, checked as its file would be."""
    return job_of(read_string(text_of(data), "this job"), base.vocabulary)


def assumed(data: Data, base: Base) -> Data:
    """The job with every hint taken for seen: for the order of questions, never for an answer.

    That somebody does not know is left out: it tells no more than not having asked.
    """
    for quantity in base.vocabulary.quantities.values():
        for plane in data["planes"]:
            said = seen(data, quantity.path, plane)
            if any("hint" in s or "unknown" in s for s in said):
                data = withdrawn(data, quantity.path, plane)
                for one in said:
                    if "unknown" not in one:
                        data = answered(data, quantity.path, _taken(one, quantity), plane)
    return data


def _taken(said: Data, quantity: Quantity) -> Data:
    """A hint as if somebody had looked, as coarsely as one can."""
    if "hint" not in said:
        return said
    way = {"tool": tool} if (tool := coarsest(quantity)) else {"how": "said"}
    if on_paper_alone(quantity):
        way["within"] = SAID_WITHIN
    rest = {key: value for key, value in said.items() if key != "hint"}
    looked = {"how": quantity.by[0]} if quantity.by else {}
    return {"is": said["hint"], **way, **rest, **looked}
