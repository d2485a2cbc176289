"""What the clip-window finder answers: a word, the lines in their windows, what else would do."""

from dataclasses import dataclass, replace

from selector.facts.places.clips import ClipCase
from selector.layout.clip_forces import borne
from selector.layout.clip_windows import Window, free, lines_of
from selector.layout.least_change import (
    Change,
    Found,
    Line,
    Miss,
    Task,
    find,
    nearest,
    overloaded,
)
from selector.model.truth import Word

SET_OUT_ONLY = ("shift", "rows")  # changes after which every figure for a clamp still counts


@dataclass(frozen=True)
class Drawn:
    """A rail line of the drawing: its height, and what is wrong with it, if anything."""

    id: str
    height: int
    miss: Miss | None


@dataclass(frozen=True)
class ClipAnswer:
    """The word, and everything behind it.

    `found` is None where nothing could be worked out. `early`: no mark that is still missing could
    turn it.
    """

    case: ClipCase
    word: Word
    found: Found | None
    drawn: tuple[Drawn, ...]
    early: bool = False

    @property
    def change(self) -> Change | None:
        """The least change, where the block as drawn has no place for every line."""
        if self.found is None or self.found.stands or not self.found.changes:
            return None
        return self.found.changes[0]

    @property
    def unclear(self) -> bool:
        """Whether marks that nobody has yet may show more than is known here."""
        lines = () if self.found is None else self.found.lines
        dark = any(x.miss is not None and x.miss.cause == "dark" for x in lines)
        return (dark or bool(self.case.unmarked)) and not self.early

    @property
    def lines(self) -> tuple[Line, ...]:
        """Rail lines to mark on the roof: as drawn, or after a change that leaves all figures."""
        if self.found is None or not self.word.is_yes:
            return ()
        return self.found.lines if self.change is None else self.change.set


def clip_answer(case: ClipCase) -> ClipAnswer:
    """Windows, changes and the word of one case."""
    task = case.task
    if task is None:
        return ClipAnswer(case, max(one.word for one in case.opens), None, ())
    if case.ground != "weak":
        return ClipAnswer(case, _beside(case, Word.CONDITIONAL), _anywhere(task), ())
    found = find(task)
    drawn = _drawn(case, task)
    word = _word(found)
    if case.unmarked:
        early = _never(task)
        word = Word.FORBIDDEN if early else max(Word.OBSERVE, min(word, Word.ENGINEER))
        return ClipAnswer(case, _beside(case, word), found, drawn, early)
    return ClipAnswer(case, _beside(case, word), found, drawn)


def _beside(case: ClipCase, word: Word) -> Word:
    """The stronger of a word and of what is open."""
    return max([word, *(one.word for one in case.opens)])


def _word(found: Found) -> Word:
    """The word of a block by its lines and by what would help."""
    if found.stands:
        return Word.CONDITIONAL
    causes = {line.miss.cause for line in found.lines if line.miss is not None}
    if "dark" in causes:
        return Word.OBSERVE  # the block may stand as it is drawn: look first
    if any(change.kind in SET_OUT_ONLY for change in found.changes):
        return Word.CONDITIONAL
    if found.changes:
        return Word.OBSERVE  # forces and papers have to be worked out anew first
    return Word.FORBIDDEN if causes & {"clip", "zone"} else Word.ENGINEER


def _never(task: Task) -> bool:
    """Whether the seams that are marked leave no way already."""
    seams = tuple(s for s in task.seams if s.marks)
    if not seams:
        return False
    return _word(find(replace(task, seams=seams))) == Word.FORBIDDEN


def _drawn(case: ClipCase, task: Task) -> tuple[Drawn, ...]:
    """What is wrong with each drawn height: distance and bay first, then the share of the clips."""
    heights, heights_free = [at for _, at in case.drawn], free(task.seams, task.reach)
    found = []
    for n, (name, at) in enumerate(case.drawn):
        clear = any(w.holds(at) for w in heights_free)
        miss = None if clear else nearest(task, [Window(at, at)])
        if clear:
            others = [*heights[:n], *heights[n + 1 :]]
            fits = task.pull is None or borne(task.seams, others, task.pull, Window(at, at))
            miss = None if fits or task.pull is None else overloaded(task, heights, at, task.pull)
        zones = (
            z for y in task.block.rows for zone in lines_of(y, task.zones[task.lines]) for z in zone
        )
        if miss is None and not any(z.holds(at) for z in zones):
            miss = Miss("zone", at)
        found.append(Drawn(name, at, miss))
    return tuple(found)


def _anywhere(task: Task) -> Found:
    """Lines that keep no distance to clips: each in all of its zone."""
    bare = replace(task, seams=(), between=(), pull=None)
    lines = find(bare)
    return replace(lines, shifts=(), row_shifts=())
