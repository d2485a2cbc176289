"""Inputs of the actions out of a job: figures in SI with their ends, or what is missing."""

from dataclasses import dataclass, field

from selector.engineering.lines import Given
from selector.facts.actions.model import Ends, Open
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.model.job import Array, Job, Observed, Paper, Plane
from selector.model.quantity import Candidates, Measured, Unknown
from selector.model.truth import Word

SI = {
    "length": 1e6,
    "pressure": 1e3,
    "angle": 1e3,
    "speed": 1e3,
    "mass": 1e3,
    "area mass": 1e3,
    "count": 1.0,
    "share": 1e6,
}
# Kinds of paper that may state wind and snow of a place; a map sheet is published.
MAP = "national map sheet"
STATES_PLACE = (MAP, *Paper.STATES_RESERVE)


@dataclass(frozen=True)
class Known:
    """A figure of the job: both ends in SI, where it stands and what it is worth."""

    ends: Ends
    source: str
    status: str
    origin: str

    def given(self, value: float) -> Given:
        """One value inside it, as the formulas take it."""
        return Given(value, self.source, self.status, self.origin)

    @property
    def low(self) -> Given:
        """Its lower end."""
        return self.given(self.ends.low)

    @property
    def high(self) -> Given:
        """Its upper end."""
        return self.given(self.ends.high)

    @property
    def both(self) -> tuple[Given, ...]:
        """Its ends; one where they are equal."""
        return (self.low,) if self.ends.low == self.ends.high else (self.low, self.high)


@dataclass
class Gather:
    """Reads one array of a job; what it cannot find is open."""

    base: Base
    job: Job
    array: Array
    opens: list[Open] = field(default_factory=list)

    @property
    def plane(self) -> Plane:
        """The plane that the array lies on."""
        return self.job.planes[self.array.plane]

    def miss(self, path: str, why: str = "not asked") -> None:
        """Something nobody has found out, or that was found out in two ways."""
        if why != "contradicted":
            self.opens.append(Open(Word.OBSERVE, "missing", path, given=why))
            return
        found = self._observed(path)
        seen = [] if found is None else [f"{s.value} ({s.seen})" for s in found.sightings]
        self.opens.append(Open(Word.OBSERVE, "contradicted", path, given="; ".join(seen)))

    def stop(self, about: str, given: str, allowed: str, clause: str) -> None:
        """Something that no clause kept here covers: an engineer decides."""
        self.opens.append(Open(Word.ENGINEER, "outside", about, given, allowed, clause))

    def measure(self, path: str) -> Known | None:
        """Ends over all places of a measurement; None, and open, where it is not known."""
        found = self._observed(path)
        value = Unknown("not asked") if found is None else found.value
        if found is None or not isinstance(value, Measured):
            self.miss(path, value.why if isinstance(value, Unknown) else "not asked")
            return None
        return self._known(found, value, found.sightings[0].seen, "measured")

    def on_paper(self, path: str, kinds: tuple[str, ...] = STATES_PLACE) -> Known | None:
        """A figure of the place that stands in a map sheet or an engineer's paper."""
        found = self._observed(path)
        value = Unknown("not asked") if found is None else found.value
        if found is None or not isinstance(value, Measured):
            self.miss(path, value.why if isinstance(value, Unknown) else "not asked")
            return None
        papers = [self.job.papers[s.paper] for s in found.sightings if s.paper in self.job.papers]
        good = [p for p in papers if p.kind in kinds]
        if not good:
            shown = f"{value} ({found.sightings[0].seen})"
            self.opens.append(Open(Word.OBSERVE, "paper", path, given=shown))
            return None
        status = "published" if good[0].kind == MAP else "measured"
        return self._known(found, value, good[0].title, status)

    def words(self, path: str) -> frozenset[str] | None:
        """Words that a choice can still be; None, and open, where it is not known."""
        found = self._observed(path)
        value = Unknown("not asked") if found is None else found.value
        if isinstance(value, Candidates):
            return value.left
        self.miss(path, value.why if isinstance(value, Unknown) else "not asked")
        return None

    def word(self, path: str) -> str | None:
        """The one word of a choice; several are open."""
        left = self.words(path)
        if left is None or len(left) == 1:
            return None if left is None else next(iter(left))
        shown = " or ".join(sorted(left))
        self.opens.append(Open(Word.OBSERVE, "inexact", path, given=shown))
        return None

    def stated(self, path: str) -> bool:
        """Whether the job says anything of a quantity."""
        return self._observed(path) is not None

    def where(self, path: str) -> str:
        """File and line of a quantity."""
        found = self._observed(path)
        return "" if found is None else f"{self.job.file}:{found.sightings[0].line}"

    def seen(self, path: str) -> str:
        """How a quantity was seen."""
        found = self._observed(path)
        return "" if found is None else found.sightings[0].seen

    def module(self) -> schema.Module | None:
        """The module of the array, or None, and open, where no catalogue of the job has it."""
        name = self.array.module.partition("/")[0]
        catalogue = self.base.catalogues.get(name)
        part = catalogue.parts.get(self.array.module) if catalogue else None
        known = part is not None and name in self.job.catalogues
        if part is None or not known or not isinstance(part.shape, schema.Module):
            self.miss("array.module")
            return None
        return part.shape

    def _observed(self, path: str) -> Observed | None:
        role = path.partition(".")[0]
        return (self.job.site if role == "site" else self.plane.observed).get(path)

    def _known(self, found: Observed, value: Measured, source: str, status: str) -> Known:
        size = SI[value.dimension]
        low, high = min(p.low for p in value.places), max(p.high for p in value.places)
        origin = f"{self.job.file}:{found.sightings[0].line}"
        return Known(Ends(max(0, low) / size, max(0, high) / size), source, status, origin)
