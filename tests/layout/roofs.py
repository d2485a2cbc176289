"""Random roofs with clip marks, and a scan of heights millimetre by millimetre, written apart.

The scan asks the questions of the rules for one clamp at a time, as a person with a tape would: is
the bay around it known, is it no last bay, and is each mark far enough away on every seam?
"""

import random
from dataclasses import dataclass

from selector.layout.clip_windows import MarkedSeam, Reach

MM = 1_000


@dataclass(frozen=True)
class Tape:
    """What the scan goes by, in mm."""

    distance: int
    slack: int
    widest: int
    top: int | None


def seam(name: str, marks: list[int], tolerance: int = 10, top: int | None = 9_000) -> MarkedSeam:
    """A seam with marks in mm."""
    around = tuple(((m - tolerance) * MM, (m + tolerance) * MM) for m in marks)
    return MarkedSeam(name, around, None if top is None else top * MM)


def reach(tape: Tape) -> Reach:
    """The same in micrometres."""
    return Reach(tape.distance * MM, tape.slack * MM, tape.widest * MM)


def random_marks(rng: random.Random) -> list[list[int]]:
    """Marks in mm of one to six seams, some with a bay too wide, some that stop short."""
    pitch = rng.choice((330, 400, 450, 480))
    found = []
    for _ in range(rng.randint(1, 6)):
        at, marks = rng.randint(40, 480), []
        for _ in range(rng.randint(0, 12)):
            marks.append(at)
            at += pitch + rng.randint(-25, 25) + (rng.random() < 0.05) * 200
        found.append(marks)
    return found


def free_at(height: int, marks: list[int], tape: Tape, tolerance: int) -> bool:
    """Whether one clamp may stand at a height on one seam; all in mm."""
    below = [m for m in marks if m <= height]
    above = [m for m in marks if m >= height]
    if not above:
        return False  # the marks stop short of it
    foot = below[-1] if below else 0
    if height in marks:
        return False  # on a clip, however little it keeps away
    if above[0] - foot > tape.widest:
        return False  # nobody knows whether a clip was missed in so wide a bay
    if len(marks) < 2 or height < marks[1]:
        return False  # last bay at the eave
    if height > marks[-2]:
        if tape.top is None:
            return False  # nobody knows whether this is the last bay
        if tape.top - marks[-1] <= tape.widest:
            return False  # last bay at the ridge
    return all(abs(height - m) - tolerance - tape.slack >= tape.distance for m in marks)
