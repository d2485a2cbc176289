"""Provisional figures while facts are missing: which kits may still become a yes, what they share.

A kit is the parts of a stack by slot. Hints count here as if somebody had looked, and are named;
nothing of this is an answer.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from selector import units
from selector.facts.layouts import array_width
from selector.inference.answer import Answer, Desk, Finder
from selector.inference.verdict import Verdict
from selector.knowledge import schema
from selector.model.job import Array
from selector.model.stack import Core
from selector.model.truth import Word
from selector.questions.edit import seen
from selector.questions.left import Left, left_of
from selector.questions.talk import assumed, job_in
from selector.questions.typed import Data

MOST_KITS = 2_000  # more are counted by their clamps only
SLOTS = ("clamp", "insert", "inlay", "adapters", "bolts", "rail", "frame", "cross", "upper_rail")
MODULE_CLAMP = "module_clamp"
Filling = tuple[str, ...]  # parts of a slot; none: empty
Slots = tuple[tuple[str, Filling], ...]


@dataclass(frozen=True)
class Kit:
    """Parts of a stack by slot; of `module_clamp` one is taken, whichever."""

    core: Core
    module_clamps: Filling

    def filling(self, slot: str) -> Filling:
        """Parts in a slot."""
        if slot == MODULE_CLAMP:
            return self.module_clamps
        found: str | Filling | None = getattr(self.core, slot)
        return found if isinstance(found, tuple) else (found,) if found else ()


@dataclass(frozen=True)
class Count:
    """How many pieces of a slot the array takes, worked out from rows, columns and rail lines."""

    slot: str
    pieces: int
    length: int = 0  # of one piece, in micrometres, where pieces have a length
    ends: int = 0  # of the pieces, how many sit at the end of a rail line


@dataclass(frozen=True)
class Provisional:
    """What is left of all kits, and what can be said of them by now."""

    kits: tuple[Kit, ...]  # empty where they are too many to be listed
    clamps: tuple[str, ...]
    whole: bool  # whether every kit was judged; else some of them may not join
    more: bool  # whether there are clamps that nobody has looked at yet
    counts: tuple[Count, ...]
    hints: tuple[tuple[str, str], ...]  # path and word or figure that nobody is sure of

    def fillings(self, slot: str) -> list[Filling]:
        """What stands in a slot, in some kit or other."""
        return sorted({kit.filling(slot) for kit in self.kits})

    @property
    def common(self) -> Slots:
        """Slots that every kit fills alike; empty ones are left out."""
        each = ((slot, self.fillings(slot)) for slot in (*SLOTS, MODULE_CLAMP))
        return tuple((slot, found[0]) for slot, found in each if len(found) == 1 and found[0])

    @property
    def differs(self) -> tuple[tuple[str, tuple[Filling, ...]], ...]:
        """Slots that kits fill in different ways, with all of these."""
        each = ((slot, self.fillings(slot)) for slot in (*SLOTS, MODULE_CLAMP))
        return tuple((slot, tuple(found)) for slot, found in each if len(found) > 1)

    @property
    def groups(self) -> tuple[tuple[Filling, Filling, tuple[Filling, ...]], ...]:
        """Rail and module clamps, with the parts below them of each kit; the most first."""
        found: dict[tuple[Filling, Filling], list[Filling]] = defaultdict(list)
        for kit in self.kits:
            upper = {*kit.filling("rail"), *kit.filling("cross"), *kit.filling("upper_rail")}
            below = tuple(p for p in kit.core.parts if p not in upper)
            found[kit.filling("rail"), kit.module_clamps].append(below)
        every = [(rail, clamps, tuple(sorted(each))) for (rail, clamps), each in found.items()]
        return tuple(sorted(every, key=lambda g: (-len(g[2]), g)))


def provisional_of(
    desk: Desk, answer: Answer, array_id: str, data: Data | None = None
) -> Provisional | None:
    """What is left of an array that is only to be looked at; None under every other word."""
    if answer.kind != "choose" or answer.word != Word.OBSERVE:
        return None
    data = desk.job.raw if data is None else data
    hints = tuple(hints_of(desk, data, array_id))
    if hints:
        taken = job_in(desk.base, assumed(data, desk.base))
        desk = Desk(desk.base, replace(taken, file=desk.job.file), desk.judge, desk)
        return left_over(desk, left_of(desk, array_id), array_id, hints)
    return _of_stacks(desk, array_id, [o.core for o in answer.options if _possible(o.verdict)], ())


def left_over(
    desk: Desk, left: Left, array_id: str, hints: tuple[tuple[str, str], ...]
) -> Provisional:
    """What is left on a desk, on which hints are taken for seen."""
    array = desk.job.arrays[array_id]
    names = {c.name for c in left.candidates}
    if left.answer is not None:
        stacks = [o.core for o in left.answer.options if o.name in names]
        if left.whole:
            return _of_stacks(desk, array_id, stacks, hints)
        return Provisional((), _clamps(stacks), False, True, (), hints)
    many = not left.whole or sum(c.weight for c in left.candidates) > MOST_KITS
    kits = () if many else tuple(_unjudged(desk, array, sorted(names)))
    counts = tuple(_counts(desk, array, kits))
    return Provisional(kits, tuple(sorted(names)), False, not left.whole, counts, hints)


def _of_stacks(
    desk: Desk, array_id: str, stacks: Sequence[Core], hints: tuple[tuple[str, str], ...]
) -> Provisional:
    """What is left where every stack was judged; these may still become a yes."""
    array = desk.job.arrays[array_id]
    finder = Finder(desk, array)
    kits = tuple(Kit(core, tuple(_tops(finder, core))) for core in stacks)
    counts = tuple(_counts(desk, array, kits))
    return Provisional(kits, _clamps(stacks), True, False, counts, hints)


def _clamps(stacks: Sequence[Core]) -> Filling:
    return tuple(sorted({core.clamp for core in stacks}))


def hints_of(desk: Desk, data: Data, array_id: str) -> Iterator[tuple[str, str]]:
    """Quantities of the site and of the plane of an array that were merely said."""
    plane = desk.job.arrays[array_id].plane
    for path, quantity in sorted(desk.base.vocabulary.quantities.items()):
        said = seen(data, quantity.path, plane)
        hinted = [s["hint"] for s in said if "hint" in s]
        if hinted and not any(k in s for s in said for k in ("is", "places", "one_of")):
            yield path, " on ".join(hinted[-1]) if isinstance(hinted[-1], list) else str(hinted[-1])


def _possible(verdict: Verdict) -> bool:
    return verdict.word < Word.ENGINEER and not any(m.lost for m in verdict.missing)


def _tops(finder: Finder, core: Core) -> Iterator[str]:
    """Module clamps with which a core may still become a yes."""
    for part in finder.desk.stock.graph.tops(core):
        if _possible(finder.whole(core, part.id).verdict):
            yield part.id


def _unjudged(desk: Desk, array: Array, clamps: Iterable[str]) -> Iterator[Kit]:
    """Every kit that interfaces allow above these clamps."""
    finder, graph = Finder(desk, array), desk.stock.graph
    for name in clamps:
        clamp = desk.part(name)
        for insert, inlay in finder.fittings(clamp):
            ids = (insert.id if insert else None, inlay.id if inlay else None)
            for core in graph.cores(clamp, *ids, finder.wanted, lambda *_: True):
                yield Kit(core, tuple(p.id for p in graph.tops(core)))


def _counts(desk: Desk, array: Array, kits: tuple[Kit, ...]) -> Iterator[Count]:
    """Pieces of an upright, parallel array whose rails run along the eave, where all kits do."""
    module = desk.part(array.module).shape
    railed = all(kit.core.rail and not kit.core.cross for kit in kits)
    upright = array.orientation == "portrait" and array.tilt is None
    if not kits or not railed or not upright or not isinstance(module, schema.Module):
        return
    lines = array.rows * array.rail_lines
    if array.crosses is not None and array.clamps is not None:
        step = 2 if array.clamps == "every second seam" else 1
        yield Count("clamp", lines * len(array.crosses[::step]))
    yield Count("rail", lines, length=array_width(array, module))
    yield Count(MODULE_CLAMP, lines * (array.columns + 1), ends=2 * lines)


def _metres(length: int) -> str | None:
    return units.show(length, "length") if length else None


def provisional_data(found: Provisional) -> Data:
    """The same as plain data, for `answer/1`."""
    return {
        "kits": len(found.kits) or None,
        "clamps": list(found.clamps),
        "more": found.more,
        "judged": found.whole,
        "common": {slot: list(parts) for slot, parts in found.common},
        "differs": {slot: [list(parts) for parts in each] for slot, each in found.differs},
        "groups": [
            {"rail": list(rail), MODULE_CLAMP: list(clamps), "below": [list(b) for b in below]}
            for rail, clamps, below in (found.groups if found.whole else ())
        ],
        "counts": [
            {"slot": c.slot, "pieces": c.pieces, "ends": c.ends, "length": _metres(c.length)}
            for c in found.counts
        ],
        "hints": [{"path": path, "shown": shown} for path, shown in found.hints],
    }
