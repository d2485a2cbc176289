"""One subject as rules see it: a path in, a reading out. Nothing is guessed here."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from selector.facts.memo import Kept, Memo
from selector.knowledge.base import Base, Part
from selector.model.contact import Contact
from selector.model.fact import NO_REASON, TRIVIAL, Cover, Fact, Reading, Reasons
from selector.model.job import Array, Job, Observed, Plane, StackPlan, Stated, Worked
from selector.model.quantity import Candidates, Unknown, Value
from selector.model.rule import SUBJECTS, Quantity
from selector.model.stack import ClampPlace, Core, Joint

Result = TypeVar("Result")
Reader = Callable[["View"], Reading]
READERS: dict[str, tuple[str, Reader]] = {}  # path -> (type, function)
GROUND = frozenset({"plane", "site", "array", "trade"})  # the same for all that stands on a plane
OTHER_ZONES = "the array may reach other roof zones"  # than those of a stated figure
TYPES = ("choice", "filled", "ratio", "window", "cover", "text")  # or a dimension of units


def reads(path: str, kind: str) -> Callable[[Reader], Reader]:
    """Register the function that reads a path which is not an observation."""

    def register(function: Reader) -> Reader:
        if path in READERS:
            raise ValueError(f"{path} is registered twice")
        READERS[path] = (kind, function)
        return function

    return register


@dataclass(frozen=True)
class Binding:
    """What a subject is about; a role that is not there reads as unknown."""

    plane: Plane | None = None
    array: Array | None = None
    clamp: Part | None = None
    rail: Part | None = None
    core: Core | None = None
    module_clamp: str | None = None
    plan: StackPlan | None = None
    joint: Joint | None = None
    contact: Contact | None = None
    place: ClampPlace | None = None
    act: str | None = None


@dataclass
class View:
    """Reads paths of one subject in one world.

    Results are kept for all worlds of the subject, each with the split words it rested on, so
    that a world reuses what does not depend on its own words. What plane, array and site alone say
    is read on the `ground`, once for all that stands on it.
    """

    base: Base
    job: Job | None
    binding: Binding
    derived: dict[str, Reading] = field(default_factory=dict)
    given: dict[str, Reading] | None = None
    world: dict[str, str] = field(default_factory=dict)
    memo: Memo = field(default_factory=Memo)
    ground: "View | None" = None

    def in_world(self, world: dict[str, str]) -> "View":
        """The same subject with one word for each split quantity."""
        return replace(self, world=world)

    def once(self, key: Hashable, work: Callable[[], Result]) -> Result:
        """Result of `work`, or the one kept from a world that agrees on all it rested on."""
        found: Result = self.kept(key, work).result
        return found

    def kept(self, key: Hashable, work: Callable[[], Any]) -> Kept:
        """As `once`, with what the result rests on."""
        kept = self.memo.kept(key, self.world, work)
        self.memo.use(kept)
        return kept

    def below(self, key: Hashable, work: "Callable[[View], Any]") -> Kept:
        """As `kept`, for what plane, array and site alone say: kept for all that stands there."""
        ground = self.ground
        if ground is None:
            return self.kept(key, lambda: work(self))
        kept = ground.memo.kept(key, self.world, lambda: work(ground.in_world(self.world)))
        self.memo.use(kept)
        self.memo.looked |= kept.looked
        return kept

    def read(self, path: str) -> Reading:
        """Reading of a path such as `plane.seam.height`; KeyError where no such path exists."""
        if self.ground is not None and path.partition(".")[0] in GROUND:
            found: Reading = self.below(path, lambda ground: ground._read(path)).result
            return found
        return self.once(path, lambda: self._read(path))

    def _read(self, path: str) -> Reading:
        word = self.world.get(path)
        quantity = self.base.vocabulary.quantities.get(path)
        if quantity is not None and quantity.split:
            self.memo.rests(path, word)
        reading = self._source(path)
        if word is None:
            return reading
        because = reading.because or TRIVIAL  # an unknown adds no fact: every word is tried
        return replace(reading, value=Candidates(frozenset({word})), because=because)

    def changed_since(
        self,
        binding: Binding,
        job: Job | None,
        derived: dict[str, Reading],
        known: dict[str, bool],
    ) -> set[str] | None:
        """What this subject looked at and another job says otherwise; None if all may differ.

        `known` keeps what was compared, for other subjects of the same plane.
        """
        mine, plane = self.binding, binding.plane
        if (mine.array, mine.plan) != (binding.array, binding.plan):
            return None
        if (mine.plane and mine.plane.marks) != (plane and plane.marks):
            return None
        other = View(self.base, job, binding, derived)
        for what in self.memo.looked - known.keys():
            known[what] = self._seen(what) != other._seen(what)
        return {what for what in self.memo.looked if known[what]}

    def _seen(self, what: str) -> Observed | Reading | None:
        """What stands behind an entry of `memo.looked`."""
        kind, _, path = what.partition(" ")
        if kind == "derived":
            return self.derived.get(path)
        return self._observations(path.partition(".")[0])[0].get(path)

    def again(
        self,
        binding: Binding,
        job: Job | None,
        derived: dict[str, Reading],
        changed: set[str],
        ground: "View | None" = None,
    ) -> "View":
        """The same subject in another job, with all results that looked at nothing changed."""
        memo = self.memo.without(changed)
        return View(self.base, job, binding, derived, memo=memo, ground=ground)

    def sighted(self, path: str) -> Observed | None:
        """What a job says of a quantity, if anything."""
        self.memo.looks(f"sighted {path}")
        return self._observations(path.partition(".")[0])[0].get(path)

    def _source(self, path: str) -> Reading:
        if self.given is not None and path in self.given:
            return self.given[path]
        self.memo.looks(f"derived {path}")
        if path in self.derived:
            return self.derived[path]
        if path in READERS:
            return READERS[path][1](self)
        if path.startswith("trade."):
            return self.trade(path)
        quantity = self.base.vocabulary.quantities[path]
        if quantity.derived:
            return self.underived(quantity)
        return self.observed(quantity)

    def underived(self, quantity: Quantity) -> Reading:
        """A derived quantity before its rules: its default, or unknown where no rule derives it."""
        path = str(quantity.path)
        derives = any(
            r.then is not None and r.then.left == quantity.path
            for kind in SUBJECTS
            for r in self.base.rules_of(kind)
        )
        if self.job is None or not derives or quantity.default is None:
            return self.unknown(path, "not asked")
        return Reading(Candidates(frozenset({quantity.default})), TRIVIAL, path)

    def trade(self, path: str) -> Reading:
        """A number of the trade with its source and status."""
        number = self.base.numbers[path.removeprefix("trade.")]
        shown = f"{number.value} ({number.text})"
        fact = Fact(path, "trade", shown, number.origin, number.source, number.status)
        return self.known(path, number.value, fact)

    def observed(self, quantity: Quantity) -> Reading:
        """What the job's sightings of a quantity leave together."""
        path = str(quantity.path)
        _, entity = self._observations(quantity.path.role)
        found = self.sighted(path)
        if found is None:
            return self.unknown(path, "not asked", entity)
        value = found.value
        if isinstance(value, Unknown):
            return self.unknown(path, value.why, entity)
        return Reading(value, (frozenset({self.seen(found, entity)}),), path, entity)

    def _observations(self, role: str) -> tuple[dict[str, Observed], str]:
        if role == "plane" and self.binding.plane is not None:
            return self.binding.plane.observed, self.binding.plane.id
        if role == "site" and self.job is not None:
            return self.job.site, "site"
        return {}, role

    def seen(self, observed: Observed, entity: str) -> Fact:
        """The fact behind the sightings of one quantity."""
        first = observed.sightings[0]
        seen = "; ".join(dict.fromkeys(s.seen for s in observed.sightings if s.seen))
        file = self.job.file if self.job is not None else ""
        origin = f"{file}:{first.line}" if file else ""
        return Fact(observed.path, entity, str(observed.value), origin, seen, "measured")

    # --- helpers for readers -----------------------------------------------------------

    def known(self, path: str, value: Value, *facts: Fact, entity: str = "") -> Reading:
        """A reading that rests on these facts together."""
        return Reading(value, (frozenset(facts),), path, entity)

    def resting(self, path: str, value: Value | Cover, because: Reasons) -> Reading:
        """A reading with reasons worked out elsewhere."""
        return Reading(value, because, path)

    def unknown(self, path: str, why: str, entity: str = "", asks: tuple[str, ...] = ()) -> Reading:
        """A reading that nothing settles; `asks` are the paths to look at."""
        return Reading(Unknown(why), NO_REASON, path, entity, asks)

    def words(self, path: str) -> frozenset[str] | None:
        """Candidates of a choice, or None where it is unknown."""
        value = self.read(path).value
        return value.left if isinstance(value, Candidates) else None

    def part_fact(self, part: Part, path: str, shown: Any, *keys: object) -> Fact:
        """A datum of a part with its file and line."""
        line = part.line
        names = [str(k) for k in keys]
        while names:
            found = part.lines.get("/".join(names))
            if found:
                line = found
                break
            names.pop()
        return Fact(path, part.id, str(shown), f"{part.file}:{line}", "", part.status)

    def slot_fact(self, slot: str, part: str | None) -> Fact:
        """The choice of a part for a slot of the stack."""
        plan = self.binding.plan
        origin = f"{self.job.file}:{plan.line}" if plan is not None and self.job else ""
        shown = part or "none"
        entity = plan.id if plan is not None else "stack"
        return Fact(f"stack.{slot}", entity, shown, origin, "", "measured")

    def stated(self, name: str) -> tuple[Stated | Worked, Fact] | Unknown:
        """A figure that a paper states for this, else one worked out, or why there is none."""
        found, plan = self._on_paper(name), self.binding.plan
        worked = None if plan is None else plan.worked.get(name)
        if not isinstance(found, Unknown) or worked is None or plan is None:
            return found
        from selector import units

        shown = units.show(worked.value, worked.dimension)
        file = self.job.file if self.job is not None else ""
        seen = f"worked out: {worked.how}"
        return worked, Fact(f"stated.{name}", plan.array, shown, file, seen, worked.status)

    def to_ask(self, name: str) -> tuple[str, ...]:
        """What to look at where a stated figure does not count: the roof, or another paper."""
        found, array = self._on_paper(name), self.binding.array
        if array is not None and isinstance(found, Unknown) and found.why == OTHER_ZONES:
            return array.reached.asks
        return (f"stated.{name}",)

    def given_figures(self, name: str) -> list[Stated]:
        """What is stated of a figure for this, whether its paper counts or not."""
        owners = [o for o in (self.binding.plan, self.binding.array) if o is not None]
        return [owner.stated[name] for owner in owners if name in owner.stated]

    def _on_paper(self, name: str) -> tuple[Stated, Fact] | Unknown:
        """A stated figure that its paper covers, or why there is none."""
        plan, array = self.binding.plan, self.binding.array
        given = self.given_figures(name)
        if not given or array is None:
            return Unknown("not asked")
        found = max(given, key=lambda stated: stated.value)  # two figures: the stricter counts
        wanted = {f"array {array.id}", name.replace("_", " ")}
        if not wanted <= set(found.paper.covers) or f"array {array.id}" not in found.covers:
            return Unknown("its paper does not cover it")
        if self.job is not None and not found.paper.counts_on(self.job.as_of):
            return Unknown("its paper has run out")
        zones = {c.removesuffix(" zone") for c in found.covers if not c.startswith("array ")}
        zones = zones or set(array.zones or ())  # none named: those that the array is said to reach
        if not zones or not array.reached.settled:
            return Unknown(OTHER_ZONES)
        if not zones >= set(array.named_zones):
            return Unknown("worked out for other roof zones")
        if _other_spacing(plan, array):
            return Unknown("worked out for other clamps")
        from selector import units

        shown = units.show(found.value, found.dimension)
        file = self.job.file if self.job is not None else ""
        origin, seen = f"{file}:{found.line}", f"stated in {found.paper.title}"
        return found, Fact(f"stated.{name}", array.id, shown, origin, seen, "measured")

    def part(self, part_id: str) -> Part:
        """Part by id; KeyError where no catalogue of the job has it."""
        return self.base.catalogues[part_id.partition("/")[0]].parts[part_id]


def _other_spacing(plan: StackPlan | None, array: Array) -> bool:
    """Whether the drawn clamps are not those that the array was worked out for."""
    if plan is None or plan.layout is None:
        return False
    if array.clamps is None:
        return True  # nobody says for which clamps
    drawn = plan.layout.clamps
    if isinstance(drawn, str):
        return drawn != array.clamps
    step = 2 if array.clamps == "every second seam" else 1
    heights = sorted(r.from_eave for r in plan.layout.rails)
    wanted = dict.fromkeys((array.crosses or ())[::step], heights)
    return {seam: sorted(places) for seam, places in drawn.items() if places} != wanted


def type_of(base: Base, path: str) -> str:
    """Type of a path: a reader's, or the dimension of an observation; KeyError if unknown."""
    if path in READERS:
        return READERS[path][0]
    if path in base.vocabulary.quantities:
        return base.vocabulary.quantities[path].dimension
    if path.startswith("trade."):
        return base.numbers[path.removeprefix("trade.")].value.dimension
    raise KeyError(path)


def all_paths(base: Base) -> list[str]:
    """Every path that a rule may read."""
    numbers = [f"trade.{n}" for n in base.numbers]
    return sorted([*READERS, *base.vocabulary.quantities, *numbers])
