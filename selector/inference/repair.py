"""A layout repaired until it holds as a whole, or no move is left: lines shifted, clamps added.

Heights between the clips need the force of a clamp, and that follows from the clamps; so a layout
is made again with the force that came of it until no clamp gets more than its lines were set for.
Where the clips get too much from a pattern of few clamps, every seam is tried.
"""

from collections.abc import Callable
from dataclasses import replace

from selector.facts.checks import CLIP_SPARE
from selector.inference.answer import Desk
from selector.inference.laid_out import LaidOut, Repair
from selector.inference.lay_out import laid_once
from selector.layout.model import Pattern
from selector.model.job import StackPlan
from selector.model.truth import Word

FORCE = "uplift_per_clamp"
PASSES = 4  # each sets lines for more force than the one before; forces settle in two
EVERY: Pattern = "every seam"


def lay_out(
    desk: Desk,
    plan: StackPlan,
    pattern: Pattern | None = None,
    tick: Callable[[float], None] = lambda share: None,
) -> LaidOut:
    """Lay out the array of a stack; nothing that is not known is filled in.

    `tick` is told how much of the work is done, from 0 to 1; it may start anew for a repair.
    """
    found = _settled(desk, plan, pattern, tick)
    if not _clips_get_too_much(found) or found.placed is None or plan.layout is not None:
        return found
    if found.placed.pattern == EVERY:
        return found
    more = _settled(desk, plan, EVERY, tick)
    if more.word >= found.word or more.placed is None:
        return found
    before, after = (len(list(placed.clamps)) for placed in (found.placed, more.placed))
    return replace(more, repairs=(*more.repairs, Repair("clamps", before, after)))


def _settled(
    desk: Desk, plan: StackPlan, pattern: Pattern | None, tick: Callable[[float], None]
) -> LaidOut:
    """Laid out again with the force that came of it, until the lines are set for all of it."""
    found = laid_once(desk, plan, pattern, tick)
    first = found
    for _ in range(PASSES):
        force = found.worked.get(FORCE)
        if force is None or plan.layout is not None or not _needs_force(found):
            return found
        used = found.plan.worked.get(FORCE)
        if used is not None and force.value <= used.value:
            break
        found = laid_once(desk, replace(plan, worked=found.worked), pattern, tick)
    moved = _moved(first, found)
    return replace(found, repairs=(Repair("lines", 0, moved),)) if moved else found


def _needs_force(found: LaidOut) -> bool:
    """Whether heights between weak clips wait for what only a layout gives: force, or spare."""
    clips = found.clips
    if clips is None or clips.case.ground != "weak" or clips.case.task is None:
        return False
    lacking, worked = clips.case.lacking, found.plan.worked
    waits = "force" in lacking or ("spare" in lacking and CLIP_SPARE in found.worked)
    return FORCE in worked or waits


def _moved(first: LaidOut, last: LaidOut) -> int:
    """How many rail lines lie elsewhere than at first."""
    if first.placed is None or last.placed is None:
        return 0
    pairs = zip(first.placed.rails, last.placed.rails, strict=False)
    return sum(a.y != b.y for a, b in pairs)


def _clips_get_too_much(found: LaidOut) -> bool:
    clips = found.clips
    if found.word < Word.FORBIDDEN or clips is None or clips.found is None:
        return False
    return any(line.miss is not None and line.miss.cause == "share" for line in clips.found.lines)
