"""How high above the eave each sheet is held, and whether all under a rail are held alike."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from selector.facts.actions.model import Open
from selector.facts.view import View
from selector.model.quantity import Candidates, Measured
from selector.model.truth import Word

ZONE, STEPS, HEIGHTS = "plane.sheet.fixed_zone", "plane.steps", "plane.sheet.fixed_at"


@dataclass(frozen=True)
class Held:
    """Heights of the fixed zone by seam, lowest and highest, in micrometres from the eave.

    `alike` is true where no sheet can be held at another height than its neighbours; `opens` is
    what would have to be looked at to say so.
    """

    at: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    alike: bool = False
    opens: tuple[Open, ...] = ()


def held_of(view: View) -> Held:
    """What a plane says of where its sheets are held; heights that were measured go first."""
    plane = view.binding.plane
    if plane is None:
        return Held(opens=(_missing(HEIGHTS),))
    if plane.fixed is not None:
        off = view.base.numbers["fixed_zone_tolerance"].value.places[0].high
        read = {s: m.places[0] for s, m in plane.fixed.seams.items() if isinstance(m, Measured)}
        ends = {s: (max(0, p.low - off), p.high + off) for s, p in read.items()}
        return Held(ends, opens=(_missing(HEIGHTS),))
    if plane.lines or plane.outline is None or plane.outline.rectangle is None:
        return Held(opens=(_missing(HEIGHTS),))
    if not _is_one(view, STEPS, "none"):
        return Held(opens=(_missing(STEPS),))
    if not _is_one(view, ZONE):
        return Held(opens=(_missing(ZONE),))
    return Held(alike=True)


def _is_one(view: View, path: str, word: str | None = None) -> bool:
    found = view.read(path).value
    left = found.left if isinstance(found, Candidates) else frozenset()
    return len(left) == 1 and word in (None, *left)


def _missing(path: str) -> Open:
    return Open(Word.OBSERVE, "missing", path, "not asked")
