"""Answer a request: all stacks of an array, one named stack, or one act."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from selector.errors import InputError, Problem, near
from selector.facts.actions.reached import with_reached
from selector.facts.places.crossed import with_crossed
from selector.facts.view import Binding, View
from selector.inference import chain
from selector.inference.bystanders import Bystander
from selector.inference.cores import Shape
from selector.inference.flip import Flip
from selector.inference.judge import Judge, Judgement, Stock, Subject
from selector.inference.rank import rank
from selector.inference.verdict import Verdict, verdict
from selector.knowledge.base import Base, Part
from selector.model.contact import Contact
from selector.model.fact import Reading
from selector.model.job import Array, Job, Observed, Plane, StackPlan
from selector.model.quantity import Candidates, Unknown
from selector.model.stack import ClampPlace, Core, Joint
from selector.model.truth import Word

Derived = dict[str, Reading]  # what subjects judged before derive


@dataclass(frozen=True)
class Option:
    """One stack with its module clamp, judged."""

    name: str
    core: Core
    module_clamp: str | None
    judgements: tuple[Judgement, ...]
    verdict: Verdict


@dataclass(frozen=True)
class Refusal:
    """The smallest thing that dies: a part on this plane, a contact, a joint or a core.

    `alike` are parts that fail as this one does: clamps that miss the same requirement, rails that
    do not take what the same clamp offers.
    """

    level: str
    id: str
    judgements: tuple[Judgement, ...]
    verdict: Verdict
    alike: tuple[str, ...] = ()


@dataclass(frozen=True)
class Change:
    """Slots of a stack with their old and new filling, and the stack that comes of it, judged."""

    moved: tuple[tuple[str, str | None, str | None], ...]
    option: Option
    brings: tuple[str, ...]
    effort: int = 0  # on the roof, summed over the moves
    shows: tuple[tuple[str, str], ...] = ()  # figures that what is to be got must show
    who: tuple[str, ...] = ()  # can get it; empty where all of it lies in a hand


@dataclass(frozen=True)
class Answer:
    """What is asked, its word, and everything behind it."""

    kind: str
    about: str
    word: Word
    options: tuple[Option, ...]
    refusals: tuple[Refusal, ...]
    acts: tuple[Refusal, ...]  # prohibitions, said unasked
    site: Verdict  # job and plane alone
    contradicted: tuple[Observed, ...]
    invented: tuple[str, ...]  # catalogues that make the answer DEMO
    changes: tuple[Change, ...] = ()  # what would make a refused stack milder
    flips: dict[str, tuple[Flip, ...]] = field(default_factory=dict)  # rule on subject -> figures
    bystanders: tuple[Bystander, ...] = ()  # what was not a reason for a refused stack

    @property
    def ties(self) -> int:
        """How many stacks share the best rank."""
        best = [rank(o.verdict, o.core)[:-1] for o in self.options]
        return best.count(best[0]) if best else 0


class Desk:
    """One base and one job on the desk; subjects are judged once.

    After a change of the job, a desk that is given the one before judges again only what read
    something that changed.
    """

    def __init__(
        self, base: Base, job: Job, judge: Judge | None = None, before: "Desk | None" = None
    ):
        self.base = base
        self.job = job = with_reached(base, with_crossed(base, job))
        self.judge: Judge = judge or (before.judge if before is not None else Judge(base))
        self._judged: dict[tuple[Any, ...], Judgement] = {}
        self._before: dict[tuple[Any, ...], Judgement] = {}
        self._options: dict[tuple[Any, ...], Option] = {}
        self._grounds: dict[tuple[str, ...], View] = {}
        self._grounds_before: dict[tuple[str, ...], View] = {}
        self.died: dict[str, str] = {}  # clamps of the array, with the rule that took each
        # What was found changed, by what old and new subjects rest on (kept, so that ids stay).
        self._compared: dict[tuple[int, int, str], tuple[Derived, Derived, dict[str, bool]]] = {}
        if before is not None and before.base is base and _same_frame(before.job, job):
            self._before, self._options = before._judged, before._options
            self._grounds_before = before._grounds
            if only_adds(before.job, job):
                self.died = dict(before.died)
        problems = [
            Problem(
                job.file,
                job.line("catalogues"),
                f"no catalogue `{name}`",
                near(name, base.catalogues),
            )
            for name in job.catalogues
            if name not in base.catalogues
        ]
        if problems:
            raise InputError(problems)
        self._check_parts()

    @property
    def stock(self) -> Stock:
        """Parts of the job's catalogues."""
        return self.judge.stock(self.job.catalogues)

    def part(self, part_id: str) -> Part:
        """Part of a catalogue of the job."""
        return self.base.catalogues[part_id.partition("/")[0]].parts[part_id]

    def _check_parts(self) -> None:
        """Every part that the job names is there and sits in its slot."""
        known = self.stock.graph.parts
        problems: list[Problem] = []

        def wanted(part_id: str, slot: str, line: int, where: str) -> None:
            found = known.get(part_id)
            if found is not None and found.slot == slot:
                return
            text = f"{where} names no part `{part_id}`"
            if found is not None:
                text = f"{where}: `{part_id}` is a {found.slot}, not a {slot}"
            same = [p for p, x in known.items() if x.slot == slot]
            problems.append(Problem(self.job.file, line, text, near(part_id, same)))

        for array in self.job.arrays.values():
            wanted(array.module, "module", array.line, f"array `{array.id}`")
        for plan in self.job.stacks.values():
            for slot, part_id in plan.slots.items():
                if part_id is not None:
                    kind = "rail" if slot == "upper_rail" else slot
                    wanted(part_id, kind, plan.line, f"stack `{plan.id}` slot {slot}")
            for part_id in plan.adapters:
                wanted(part_id, "adapter", plan.line, f"stack `{plan.id}` adapters")
        for slot, part_id in self.job.request.must_use.items():
            kind = "rail" if slot == "upper_rail" else slot
            line = self.job.line("request", "must_use", slot)
            wanted(part_id, kind, line, f"must_use {slot}")
        if problems:
            raise InputError(problems)

    # --- subjects ----------------------------------------------------------------------

    def _judge(
        self,
        kind: str,
        name: str,
        binding: Binding,
        derived: Derived | None = None,
        ground: View | None = None,
    ) -> Judgement:
        b = binding
        key = (
            kind,
            name,
            *(x.id if x else None for x in (b.plane, b.array, b.clamp, b.rail, b.plan)),
            *(b.core, b.module_clamp, b.joint, b.contact, b.place, b.act),
        )
        if key not in self._judged:
            subject = Subject(kind, name, binding)
            old = self._before.get(key)
            self._judged[key] = self._afresh(subject, derived or {}, old, ground)
        return self._judged[key]

    def _afresh(
        self, subject: Subject, derived: Derived, old: Judgement | None, ground: View | None
    ) -> Judgement:
        """A judgement of the desk before where nothing it read has changed, or a new one."""
        changed = None
        if old is not None:
            changed = self._changed(old.view, subject.binding, derived)
        if old is None or changed is None:
            return self.judge.judge(subject, self.job, derived, ground=ground)
        if not changed:
            return old
        view = old.view.again(subject.binding, self.job, derived, changed, ground)
        return self.judge.look(subject, view)

    def _changed(self, old: View, binding: Binding, derived: Derived) -> set[str] | None:
        """What a view looked at and the job now says otherwise; None if all may differ."""
        same = (id(old.derived), id(derived), binding.plane.id if binding.plane else "")
        known = self._compared.setdefault(same, (old.derived, derived, {}))[2]
        return old.changed_since(binding, self.job, derived, known)

    def ground(self, binding: Binding, derived: Derived) -> View:
        """Plane and array alone, read once for all that stands there."""
        key = tuple(x.id if x else "" for x in (binding.plane, binding.array, binding.plan))
        if key not in self._grounds:
            old = self._grounds_before.get(key)
            changed = self._changed(old, binding, derived) if old is not None else None
            if old is None or changed is None:
                self._grounds[key] = View(self.base, self.job, binding, derived)
            else:
                self._grounds[key] = old.again(binding, self.job, derived, changed)
        return self._grounds[key]

    def _below(self, array: Array) -> tuple[Plane, Judgement, Judgement, Derived]:
        """Plane of an array, judgements of job and plane, and what they derive."""
        plane = self.job.planes[array.plane]
        about_job = self._judge("job", array.id, Binding(array=array, plane=plane))
        derived = self.judge.derived(about_job)
        # Twice: records read what the first look derives.
        binding = Binding(plane=plane, array=array)
        first = self._judge("plane", f"{plane.id}, first look", binding, dict(derived))
        derived |= self.judge.derived(first)
        about_plane = self._judge("plane", plane.id, binding, dict(derived))
        return plane, about_job, about_plane, derived | self.judge.derived(about_plane)

    # --- requests ----------------------------------------------------------------------

    def choose(self, array_id: str) -> Answer:
        """All stacks of an array, best first, and the smallest things that die."""
        finder = Finder(self, self.job.arrays[array_id])
        return self.among(finder, finder.options())

    def among(self, finder: "Finder", found: Iterable[Option]) -> Answer:
        """The answer where no other stacks are looked at."""
        options = sorted(found, key=lambda o: rank(o.verdict, o.core))
        refusals = list(finder.refusals.values())
        alive = [o for o in options if o.verdict.word != Word.FORBIDDEN]
        refusals += [
            Refusal("stack", o.core.id, o.judgements, o.verdict)
            for o in options
            if o.verdict.word == Word.FORBIDDEN
        ]
        word = alive[0].verdict.word if alive else Word.FORBIDDEN
        about = f"array {finder.array.id}"
        return self._answer("choose", about, word, alive, refusals, finder)

    def stack(self, stack_id: str) -> Answer:
        """The word of one named stack as it stands."""
        plan = self.job.stacks[stack_id]
        finder = Finder(self, self.job.arrays[plan.array], plan)
        option = self.planned(plan)
        return self._answer("judge", f"stack {stack_id}", option.verdict.word, [option], [], finder)

    def planned(self, plan: StackPlan) -> Option:
        """A plan judged exactly as it is filled."""
        return Finder(self, self.job.arrays[plan.array], plan).planned()

    def act(self, act: str) -> Answer:
        """The word of one thing somebody wants to do."""
        known = self.base.vocabulary.acts
        if act not in known:
            text = f"`{act}` is no act of the vocabulary"
            raise InputError.of(text, near(act, known), file="--act")
        found = self._act(act)
        return Answer(
            kind="act",
            about=act,
            word=max(found.verdict.word, Word.OBSERVE)
            if not found.judgements
            else found.verdict.word,
            options=(),
            refusals=(found,),
            acts=(),
            site=verdict([]),
            contradicted=(),
            invented=self._invented(),
        )

    def _act(self, act: str) -> Refusal:
        judgement = self.judge.judge(Subject("act", act, Binding(act=act)), self.job)
        found = verdict([judgement])
        if not any(f.surely for f in found.findings):
            found = verdict([])
            return Refusal("act", act, (), found)
        return Refusal("act", act, (judgement,), found)

    def _invented(self) -> tuple[str, ...]:
        return tuple(n for n in self.job.catalogues if self.base.catalogues[n].tag == "invented")

    def _answer(
        self,
        kind: str,
        about: str,
        word: Word,
        options: list[Option],
        refusals: list[Refusal],
        finder: "Finder",
    ) -> Answer:
        acts = [self._act(a) for a in self.base.vocabulary.acts]
        site = verdict([finder.about_job, finder.about_plane])
        return Answer(
            kind=kind,
            about=about,
            word=word,
            options=tuple(options),
            refusals=tuple(sorted(refusals, key=lambda r: (_LEVELS.index(r.level), r.id))),
            acts=tuple(a for a in acts if a.judgements),
            site=site,
            contradicted=_contradicted(self.job, finder),
            invented=self._invented(),
        )


def _same_frame(one: Job, other: Job) -> bool:
    """Whether two jobs differ in observations, arrays and stacks at most."""

    def frame(job: Job) -> tuple[object, ...]:
        return job.as_of, job.catalogues, job.papers, job.request, job.file

    return frame(one) == frame(other)


def only_adds(old: Job, new: Job) -> bool:
    """Whether all that a job says stands in another one, which may know more."""
    if old.arrays != new.arrays or old.stacks != new.stacks or new.contradictions():
        return False
    rooms = [(old.site, new.site)]
    for name, plane in old.planes.items():
        if name not in new.planes or new.planes[name].marks != plane.marks:
            return False
        rooms.append((plane.observed, new.planes[name].observed))
    return all(
        _narrower(x, after.get(path)) for before, after in rooms for path, x in before.items()
    )


def _narrower(old: Observed, new: Observed | None) -> bool:
    if new is None or old == new:
        return new is not None
    before, after = old.value, new.value
    if isinstance(before, Candidates) and isinstance(after, Candidates):
        return after.left <= before.left
    return isinstance(before, Unknown)


def _contradicted(job: Job, finder: "Finder") -> tuple[Observed, ...]:
    """Quantities whose sightings exclude each other; head, magnet and coating included."""
    found = {(o.path, id(o)): o for o in job.contradictions()}
    for path in ("plane.seam.shape", "plane.sheet.metal"):
        reading = finder.about_plane.view.read(path)
        if isinstance(reading.value, Unknown) and reading.value.why == "contradicted":
            for name in reading.open_paths:
                observed = finder.plane.observed.get(name)
                if observed is not None:
                    found[name, id(observed)] = observed
    return tuple(sorted(found.values(), key=lambda o: o.path))


_LEVELS = ("part", "contact", "joint", "stack", "act")


class Finder:
    """Walks from the seam up, judging the smallest thing first."""

    def __init__(self, desk: Desk, array: Array, plan: StackPlan | None = None):
        self.desk = desk
        self.array = array
        self.plan = plan
        self.plane, self.about_job, self.about_plane, self.derived = desk._below(array)
        self.ground = desk.ground(self.binding(), self.derived)
        self.wanted = Shape(array.tilt is not None, array.orientation == "landscape")
        self.refusals: dict[tuple[str, str], Refusal] = {}

    def binding(self, **roles: Any) -> Binding:
        """What a subject of this array is about."""
        return Binding(plane=self.plane, array=self.array, plan=self.plan, **roles)

    def view(self, clamp: Part) -> View:
        """A clamp on the plane."""
        binding = self.binding(clamp=clamp)
        return View(self.desk.base, self.desk.job, binding, self.derived, ground=self.ground)

    def judge(self, kind: str, name: str, **roles: Any) -> Judgement:
        """A subject of this array, judged once."""
        return self.desk._judge(kind, name, self.binding(**roles), self.derived, self.ground)

    def dies(self, level: str, name: str, judgement: Judgement, alike: Iterable[str] = ()) -> bool:
        """Whether a thing is forbidden by itself; then it is kept as a refusal."""
        if judgement.word(True) != Word.FORBIDDEN:
            return False
        found = verdict([judgement])
        self.refusals[level, name] = Refusal(level, name, (judgement,), found, tuple(alike))
        return True

    # --- choose ------------------------------------------------------------------------

    def options(self) -> Iterator[Option]:
        """Every core whose parts, contacts and joints stand, judged whole."""
        for first, *others in self.desk.stock.sieve.sorts(self.view):
            judged = self.judge("part-on-plane", first.id, clamp=first)
            if any(judged.fires(rule).surely for rule in self.desk.stock.sieve.rules):
                self.dies("part", first.id, judged, (p.id for p in others))
                continue
            for clamp in (first, *others):
                on_plane = self.judge("part-on-plane", clamp.id, clamp=clamp)
                if not self.dies("part", clamp.id, on_plane):
                    yield from self.above(clamp)

    def above(self, clamp: Part) -> Iterator[Option]:
        """Every core above a clamp that stands; rails that no core reaches are refused."""
        must = self.desk.job.request.must_use
        touching = False
        reached: set[str | None] = set()
        for insert, inlay in self.fittings(clamp):
            if self._contact_dies(clamp, insert, inlay):
                continue
            touching = True
            for core in self.cores(clamp, insert, inlay):
                reached.add(core.rail)
                if _uses(core, must):
                    yield self.option(core)
        rails = self.desk.stock.graph.rails_apart(clamp.id) if touching else []
        apart = [rail for rail in rails if rail not in reached]
        for rail in apart[:1]:
            joint = Joint(clamp.id, None, rail)
            judged = self.judge("joint", joint.id, joint=joint, clamp=clamp)
            self.dies("joint", joint.id, judged, apart[1:])

    def fittings(self, clamp: Part) -> list[tuple[Part | None, Part | None]]:
        """Inserts and inlays listed for a clamp, and leaving them out."""
        listed = sorted(self.desk.stock.graph.listed.get(clamp.id, ()), key=lambda p: p.id)
        inserts = [None, *(p for p in listed if p.slot == "insert")]
        inlays = [None, *(p for p in listed if p.slot == "inlay")]
        return [(a, b) for a in inserts for b in inlays]

    def _contact_dies(self, clamp: Part, insert: Part | None, inlay: Part | None) -> bool:
        contacts = chain.sheet_contacts(clamp, insert, inlay)
        judged = [(c, self.judge("contact", c.id, contact=c, clamp=clamp)) for c in contacts]
        dead = [c for c, j in judged if self.dies("contact", c.id, j)]
        return bool(dead)

    def cores(self, clamp: Part, insert: Part | None, inlay: Part | None) -> Iterator[Core]:
        """Every core above a clamp whose joints stand."""

        def stands(lower: str, bolts: str | None, upper: str) -> bool:
            joint = Joint(lower, bolts, upper)
            name = f"{joint.id} for {clamp.handle}"
            judged = self.judge("joint", name, joint=joint, clamp=clamp)
            return not self.dies("joint", name, judged)

        insert_id = insert.id if insert else None
        inlay_id = inlay.id if inlay else None
        yield from self.desk.stock.graph.cores(clamp, insert_id, inlay_id, self.wanted, stands)

    def option(self, core: Core, name: str = "") -> Option:
        """A core with the module clamp that suits it best."""
        wanted = self.desk.job.request.must_use.get("module_clamp")
        choices = [p.id for p in self.desk.stock.graph.tops(core) if wanted in (None, p.id)]
        found = [self.whole(core, choice, name) for choice in choices] or [
            self.whole(core, None, name)
        ]
        return min(found, key=lambda o: (o.verdict.word, o.module_clamp or ""))

    # --- judge -------------------------------------------------------------------------

    def planned(self) -> Option:
        """The stack of the plan exactly as it is filled."""
        plan = self.plan
        assert plan is not None
        slots = plan.slots
        core = Core(
            clamp=slots["clamp"] or "",
            insert=slots["insert"],
            inlay=slots["inlay"],
            adapters=plan.adapters,
            bolts=slots["bolts"],
            rail=slots["rail"],
            frame=slots["frame"],
            cross=slots["cross"],
            upper_rail=slots["upper_rail"],
        )
        return self.whole(core, slots["module_clamp"], plan.id)

    def whole(self, core: Core, module_clamp: str | None, name: str = "") -> Option:
        """Everything that a core is made of, judged together."""
        judged = [self.about_job, self.about_plane, *self.pieces(core, module_clamp)]
        kept = self.desk._options
        key = (name, core, module_clamp, *map(id, judged))
        if key not in kept:
            option = Option(name or core.id, core, module_clamp, tuple(judged), verdict(judged))
            kept[key] = option
        return kept[key]

    def pieces(self, core: Core, module_clamp: str | None) -> Iterator[Judgement]:
        """Judgements of all that a core is made of, from the plane up."""
        part = self.desk.part
        clamp = part(core.clamp)
        rail = part(core.rail) if core.rail else None
        yield self.judge("part-on-plane", clamp.id, clamp=clamp)
        insert = part(core.insert) if core.insert else None
        inlay = part(core.inlay) if core.inlay else None
        contacts: list[Contact] = chain.sheet_contacts(clamp, insert, inlay)
        contacts += chain.part_contacts(self.desk.base, core, module_clamp, self.array.module)
        if self.plan is not None:
            contacts += chain.wire_contacts(self.desk.base, core, self.plan.bonding_wire)
        for contact in contacts:
            yield self.judge("contact", contact.id, contact=contact, clamp=clamp)
        for joint in chain.joints(core, module_clamp):
            name = f"{joint.id} for {clamp.handle}"
            yield self.judge("joint", name, joint=joint, clamp=clamp)
        roles = {"core": core, "clamp": clamp, "rail": rail, "module_clamp": module_clamp}
        yield self.judge("stack", core.id, **roles)
        if self.plan is not None and self.plan.layout is not None:
            yield self.judge("layout", self.plan.id, **roles)
            for place in places(self.plan, self.array, self.plane):
                yield self.judge("place", place.id, place=place, **roles)


def places(plan: StackPlan, array: Array, plane: Plane) -> list[ClampPlace]:
    """Clamps of a drawn layout; a seam that nobody named is a place of its own, unknown."""
    layout = plan.layout
    assert layout is not None
    if isinstance(layout.clamps, dict):
        return [
            ClampPlace(_rail_at(plan, height), seam, height)
            for seam, heights in sorted(layout.clamps.items())
            for height in heights
        ]
    seams = list(array.crosses or (plane.marks.seams if plane.marks else ()))
    if layout.clamps == "every second seam":
        seams = seams[::2]
    if array.crosses is None:
        seams.append("a seam not named")
    return [ClampPlace(r.id, seam, r.from_eave) for r in layout.rails for seam in seams]


def _rail_at(plan: StackPlan, height: int) -> str:
    assert plan.layout is not None
    for rail in plan.layout.rails:
        if rail.from_eave == height:
            return rail.id
    return "no rail"


def _uses(core: Core, must: dict[str, str]) -> bool:
    return all(
        getattr(core, slot, None) == part for slot, part in must.items() if slot != "module_clamp"
    )
