"""Forces of drawn clamps where no action is worked out: a net uplift on paper, as an even load.

Nobody measured where the seams run below the modules, so each clamp has a range: every place of the
row that leaves the named seams below it and no other one, and every spacing as measured, seams
evenly apart. At one place the larger of the continuous and the hinged beam counts, as everywhere.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from selector import units
from selector.engineering.beam import Beam, Spread, hinged, rigid
from selector.facts.actions.model import Ends
from selector.facts.links.clip_figures import FORCE, NEWTON
from selector.facts.links.figures import EVEN, even_load
from selector.facts.places.rail_loads import shares
from selector.facts.places.stack import module_size
from selector.facts.view import View
from selector.layout.block import rows_of
from selector.layout.model import Box
from selector.model.job import Layout, Stated, Worked
from selector.model.quantity import Measured, Unknown

PASCAL, METRE = units.parse("1 Pa", "pressure"), units.parse("1 m", "length")
LIFT, SPACING = "net_uplift", "plane.seam.spacing"
HIGHER = ("cross", "upper_rail", "frame")
Clamp = tuple[str, int]  # its seam, and its height above the eave in micrometres


def on_paper(view: View, name: str) -> Stated | None:
    """A figure that a paper states for this array and its zones."""
    found = view.stated(name)
    return None if isinstance(found, Unknown) or isinstance(found[0], Worked) else found[0]


def even_forces(view: View, layout: Layout) -> dict[Clamp, Ends]:
    """Design uplift of each drawn clamp in N; empty where something is missing or does not fit.

    Only one layer of uncut rails below a row without breaks, parallel to the roof.
    """
    rows, paper, spacing = _rows(view, layout), on_paper(view, LIFT), _spacing(view)
    array = view.binding.array
    if not rows or paper is None or spacing is None or array is None or not array.crosses:
        return {}
    found: dict[Clamp, Ends] = {}
    for row in rows:
        heights = tuple(sorted(r.from_eave for r in layout.rails if row.y0 < r.from_eave < row.y1))
        if len(heights) < 2:
            return {}
        for y, share in zip(heights, shares(row, heights), strict=True):
            at = tuple(n for n, name in enumerate(array.crosses) if _stands(layout, name, n, y))
            line = _Line((row.x1 - row.x0) / METRE, len(array.crosses), at)
            forces = line.forces(paper.value / PASCAL * share, spacing)
            if not forces:
                return {}
            found |= {(array.crosses[n], y): force for n, force in forces.items()}
    return found


def even_uplift(view: View, forces: Mapping[Clamp, Ends]) -> dict[str, Worked]:
    """The largest of these forces as a figure; the most that some clamp gets wherever seams lie."""
    paper = on_paper(view, LIFT)
    if paper is None or not forces:
        return {}
    how = f"{even_load(paper)}: each rail line as a beam over its clamps, wherever the seams lie"
    most = math.ceil(max(force.high for force in forces.values()) * NEWTON)
    least = math.floor(max(force.low for force in forces.values()) * NEWTON)
    return {FORCE: Worked(FORCE, "force", most, how, EVEN, least=least)}


def drawn_clamps(layout: Layout, order: tuple[str, ...]) -> Iterator[Clamp]:
    """Seam and height of every drawn clamp."""
    if isinstance(layout.clamps, dict):
        yield from ((name, y) for name, heights in layout.clamps.items() for y in heights)
        return
    for n, name in enumerate(order):
        yield from ((name, r.from_eave) for r in layout.rails if _stands(layout, name, n, 0))


def _stands(layout: Layout, name: str, n: int, y: int) -> bool:
    """Whether a clamp is drawn on a seam, the n-th from the left, at a height."""
    if isinstance(layout.clamps, dict):
        return y in layout.clamps.get(name, ())
    return n % 2 == 0 or layout.clamps == "every seam"


def _rows(view: View, layout: Layout) -> list[Box]:
    """Each row as one rectangle; none where the load is not even or a rail not in one piece."""
    array, plan, size = view.binding.array, view.binding.plan, module_size(view)
    if array is None or plan is None or size is None or array.from_eave is None:
        return []
    higher = any(plan.slots.get(slot) for slot in HIGHER)
    if higher or not plan.slots.get("rail") or array.tilt is not None or array.breaks:
        return []
    if any(rail.cut_at for rail in layout.rails):
        return []
    many = (array.columns, array.rows)
    rows = [row.box for row in rows_of((0, array.from_eave), size, many, array.gap)]
    drawn = {rail.from_eave for rail in layout.rails}
    if isinstance(layout.clamps, dict):
        on_rails = all(set(heights) <= drawn for heights in layout.clamps.values())
        if not on_rails or not set(layout.clamps) <= set(array.crosses or ()):
            return []
    return rows if all(any(r.y0 < y < r.y1 for r in rows) for y in drawn) else []


def _spacing(view: View) -> tuple[float, float] | None:
    """From seam to seam, in m; None where places surely differ, or the seams fan out."""
    found = view.read(SPACING).value
    even_apart = view.words("plane.seam.parallel") == frozenset({"parallel"})
    if not isinstance(found, Measured) or not even_apart:
        return None
    lows, highs = [p.low for p in found.places], [p.high for p in found.places]
    return (min(lows) / METRE, max(highs) / METRE) if max(lows) <= min(highs) else None


@dataclass(frozen=True)
class _Line:
    """A rail line below a row so wide, in m, that lies over `seams` seams; clamps by number."""

    wide: float
    seams: int
    clamps: tuple[int, ...]

    def forces(self, n_per_m: float, spacing: tuple[float, float]) -> dict[int, Ends]:
        """Range of each clamp in N; empty with fewer than two, or where the seams do not fit."""
        found: dict[int, Ends] = {}
        if len(self.clamps) < 2:
            return found
        low = max(spacing[0], self.wide / (self.seams + 1))
        high = min(spacing[1], self.wide / (self.seams - 1))
        if low > high:
            return found
        longest = min(max(low, self.wide / self.seams), high)  # the end beyond the last clamp
        for apart in (low, longest, high):
            rest = max(0.0, self.wide - (self.seams - 1) * apart)
            first = (max(0.0, min(apart, rest - apart)), min(apart, rest))  # of the first seam
            for n, force in zip(self.clamps, self._over(n_per_m, apart, first), strict=True):
                before = found.get(n, force)
                found[n] = Ends(min(before.low, force.low), max(before.high, force.high))
        return found

    def _over(self, n_per_m: float, apart: float, first: tuple[float, float]) -> Iterator[Ends]:
        """At one spacing, over all places of the first seam: each bound is a parabola in it."""
        solved = []
        for at in (first[0], (first[0] + first[1]) / 2, first[1]):
            places = tuple(min(at + n * apart, self.wide) for n in self.clamps)
            beam = Beam(0.0, self.wide, places, (Spread(0.0, self.wide, n_per_m),))
            solved.append((rigid(beam).reactions_n, hinged(beam).reactions_n))
        for n in range(len(self.clamps)):
            both = [_parabola(*(one[kind][n] for one in solved)) for kind in (0, 1)]
            yield Ends(max(0.0, *(b.low for b in both)), max(0.0, *(b.high for b in both)))


def _parabola(left: float, middle: float, right: float) -> Ends:
    """Lowest and highest value of a parabola between two places, by its ends and the middle."""
    values = [left, middle, right]
    bend, slope = (left + right) / 2 - middle, (right - left) / 2
    if abs(slope) < 2 * abs(bend):
        values.append(middle - slope**2 / (4 * bend))
    return Ends(min(values), max(values))
