"""Why a stack gets a milder word in another job: what differs, put in here and judged again."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from selector.errors import InputError
from selector.inference.answer import Desk, Option
from selector.inference.grounds import Grounds
from selector.inference.second_look import with_seen
from selector.model.fact import Fact
from selector.model.job import Array, Job, StackPlan
from selector.model.truth import Word

State = tuple[Job, StackPlan]
Swap = Callable[[State], State]
SLOTS_OF = {"clamp": ("clamp",), "rail": ("rail",), "module_clamp": ("module_clamp",)}


@dataclass(frozen=True)
class Difference:
    """Something that a reason rests on and that is otherwise there."""

    name: str  # path, or `stack.SLOT`
    here: str
    there: str
    word: Word | None  # of the stack here with it; None where it cannot be put in
    fault: str = ""  # why not


@dataclass(frozen=True)
class Contrast:
    """Two stacks of two jobs, what differs among the reasons, and what each would do here."""

    job: str
    stack: str
    option: Option
    differences: tuple[Difference, ...]
    pair: tuple[str, str] | None  # the smallest pair, where none alone makes it milder
    pair_word: Word | None


@dataclass(frozen=True)
class _Candidate:
    name: str
    here: str
    there: str
    swap: Swap


def contrast(desk: Desk, plan: StackPlan, reasons: Grounds, other: Desk, there: str) -> Contrast:
    """The other stack judged in its own job, and each difference judged in this one."""
    their_plan = other.job.stacks[there]
    option = other.planned(their_plan)
    word = desk.planned(plan).verdict.word
    found = _differences((desk.job, plan), (other.job, their_plan), reasons)
    judged = [(c, _word(desk, plan, [c])) for c in found]
    each = tuple(Difference(c.name, c.here, c.there, w, fault) for c, (w, fault) in judged)
    pair, pair_word = None, None
    if not any(d.word is not None and d.word < word for d in each):
        pair, pair_word = _pair(desk, plan, found, word)
    return Contrast(other.job.id, there, option, each, pair, pair_word)


def _pair(
    desk: Desk, plan: StackPlan, found: list[_Candidate], word: Word
) -> tuple[tuple[str, str] | None, Word | None]:
    """The pair of differences with the mildest word, if that is milder."""
    best: tuple[Word, tuple[str, str]] | None = None
    for one, two in combinations(found, 2):
        after, _ = _word(desk, plan, [one, two])
        if after is not None and after < word and (best is None or after < best[0]):
            best = after, (one.name, two.name)
    return (best[1], best[0]) if best is not None else (None, None)


def _word(desk: Desk, plan: StackPlan, put: list[_Candidate]) -> tuple[Word | None, str]:
    """Word of the stack here with these differences put in."""
    state: State = desk.job, replace(plan, id=f"{plan.id} with {', '.join(c.name for c in put)}")
    for candidate in put:
        state = candidate.swap(state)
    job, changed = state
    try:
        here = Desk(desk.base, replace(job, stacks={plan.id: changed}), desk.judge, before=desk)
    except InputError as error:
        return None, error.problems[0].text
    return here.planned(changed).verdict.word, ""


def _differences(here: State, there: State, reasons: Grounds) -> list[_Candidate]:
    """Differences among the facts of the reasons, in their order, each once."""
    found: dict[str, _Candidate] = {}
    for ground in reasons.each:
        for fact in ground.ordered:
            for candidate in _of_fact(fact, here, there):
                found.setdefault(candidate.name, candidate)
    return list(found.values())


def _of_fact(fact: Fact, here: State, there: State) -> Iterator[_Candidate]:
    role, _, name = fact.path.partition(".")
    if fact.path == "plane.clips.marks":
        yield from _marks(here, there)
    elif role in ("plane", "site") and _seen(here, fact.path) != _seen(there, fact.path):
        yield from _observation(fact.path, here, there)
    elif role == "stated":
        yield from _figure(name, here, there)
    elif role == "array" and name in ("tilt", "zones", "clamps", "from_eave", "crosses"):
        yield from _array(name, here, there)
    elif role in ("array", "site", "papers"):
        yield from _papers(here, there)
    elif role in ("place", "layout"):
        yield from _layout(here, there)
    elif role in ("clamp", "contact", "joint", "rail", "stack", "record", "pairing"):
        yield from _slots(fact, here, there)


def _array_of(state: State) -> Array:
    return state[0].arrays[state[1].array]


def _seen(state: State, path: str) -> object:
    job, _ = state
    plane = job.planes[_array_of(state).plane]
    found = {**job.site, **plane.observed}.get(path)
    return None if found is None else found.value


def _shown(value: object) -> str:
    return "not known" if value is None else str(value)


def _observation(path: str, here: State, there: State) -> Iterator[_Candidate]:
    job, _ = there
    seen = {**job.site, **job.planes[_array_of(there).plane].observed}.get(path)

    def swap(state: State) -> State:
        return with_seen(state[0], _array_of(state).plane, path, seen), state[1]

    yield _Candidate(path, _shown(_seen(here, path)), _shown(_seen(there, path)), swap)


def _marks(here: State, there: State) -> Iterator[_Candidate]:
    mine = here[0].planes[_array_of(here).plane].marks
    theirs = there[0].planes[_array_of(there).plane].marks
    if (mine and mine.seams) == (theirs and theirs.seams):
        return

    def swap(state: State) -> State:
        job, plan = state
        plane = replace(job.planes[_array_of(state).plane], marks=theirs)
        return replace(job, planes={**job.planes, plane.id: plane}), plan

    yield _Candidate("plane.clips.marks", _count(mine), _count(theirs), swap)


def _count(marks: object) -> str:
    seams = getattr(marks, "seams", {})
    return f"marks on {', '.join(seams)}" if seams else "not known"


def _figure(name: str, here: State, there: State) -> Iterator[_Candidate]:
    mine, theirs = _array_of(here).stated.get(name), _array_of(there).stated.get(name)
    if theirs is None or (mine is not None and mine.value == theirs.value):
        return

    def swap(state: State) -> State:
        array = _array_of(state)
        other = replace(theirs, covers=mine.covers if mine else theirs.covers)
        return _with_array(state, replace(array, stated={**array.stated, name: other}))

    from selector import units

    shown = [_shown(s and units.show(s.value, s.dimension)) for s in (mine, theirs)]
    yield _Candidate(f"stated.{name}", shown[0], shown[1], swap)


def _with_array(state: State, array: Array) -> State:
    job, plan = state
    return replace(job, arrays={**job.arrays, array.id: array}), plan


def _array(name: str, here: State, there: State) -> Iterator[_Candidate]:
    mine, theirs = getattr(_array_of(here), name), getattr(_array_of(there), name)
    if mine == theirs:
        return

    def swap(state: State) -> State:
        changed = _with_array(state, replace(_array_of(state), **{name: theirs}))
        if name != "tilt":
            return changed
        frame = there[1].slots["frame"]  # a frame and its tilt go together
        return changed[0], _filled(changed[1], "frame", frame)

    yield _Candidate(f"array.{name}", _said(name, mine), _said(name, theirs), swap)


def _said(name: str, value: object) -> str:
    if name == "tilt":
        return "parallel" if value is None else "elevated"
    return ", ".join(value) if isinstance(value, tuple) else _shown(value)


def _papers(here: State, there: State) -> Iterator[_Candidate]:
    mine, theirs = here[0].papers, there[0].papers
    added = {k: p for k, p in theirs.items() if k not in mine or mine[k].covers != p.covers}
    if not added:
        return

    def swap(state: State) -> State:
        job, plan = state
        return replace(job, papers={**job.papers, **added}), plan

    yield _Candidate("papers", "not here", "; ".join(p.title for p in added.values()), swap)


def _layout(here: State, there: State) -> Iterator[_Candidate]:
    mine, theirs = here[1].layout, there[1].layout
    if mine is None or theirs is None or (mine.rails, mine.clamps) == (theirs.rails, theirs.clamps):
        return

    def swap(state: State) -> State:
        return state[0], replace(state[1], layout=theirs)

    from selector import units

    def lines(state: State) -> str:
        rails = state[1].layout.rails if state[1].layout is not None else ()
        return ", ".join(f"{r.id} at {units.show(r.from_eave, 'length')}" for r in rails)

    yield _Candidate("layout", lines(here), lines(there), swap)


def _slots(fact: Fact, here: State, there: State) -> Iterator[_Candidate]:
    """Slots that differ, of the part that a fact is about; all of them where it names none."""
    role, _, name = fact.path.partition(".")
    mine, theirs = _filling(here[1]), _filling(there[1])
    wanted: tuple[str, ...] = tuple(
        s for s, p in mine.items() if p and fact.entity in p.split(", ")
    )
    if role == "stack" and name in mine:
        wanted = (name,)
    elif role == "joint":
        wanted = (*wanted, "adapters", "bolts", "rail", "module_clamp")
    elif not wanted:
        wanted = SLOTS_OF.get(role, tuple(mine))
    for slot in dict.fromkeys(wanted):
        if mine[slot] != theirs[slot]:
            filling = theirs[slot]

            def swap(state: State, slot: str = slot, filling: str | None = filling) -> State:
                return state[0], _filled(state[1], slot, filling)

            yield _Candidate(f"stack.{slot}", mine[slot] or "none", filling or "none", swap)


def _filling(plan: StackPlan) -> dict[str, str | None]:
    return {**plan.slots, "adapters": ", ".join(plan.adapters) or None}


def _filled(plan: StackPlan, slot: str, filling: str | None) -> StackPlan:
    if slot == "adapters":
        return replace(plan, adapters=tuple(filling.split(", ")) if filling else ())
    return replace(plan, slots={**plan.slots, slot: filling})
