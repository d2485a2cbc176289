"""Heights of the rail lines of each row: as drawn, between the clips, or in the module's zone."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from selector.facts.actions.gather import Gather
from selector.facts.places.clip_answer import ClipAnswer
from selector.facts.places.stack import Limits
from selector.layout.clip_windows import Window, height_in, line_zones, lines_of
from selector.layout.model import Row
from selector.model.job import Layout, StackPlan
from selector.model.quantity import Measured

LINES = (2, 3)


@dataclass(frozen=True)
class Heights:
    """By row: the height of each line from the eave, its name, and the marks beside it."""

    rows: Mapping[int, tuple[int, ...]]
    names: Mapping[tuple[int, int], str]
    drawn: bool
    marks: Mapping[str, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    slack: int = 0

    def of_row(self, row: int) -> tuple[int, ...]:
        """Heights of the lines of a row, from the eave."""
        return self.rows[row]

    def name(self, row: int, line: int) -> str:
        """Name of a rail line."""
        return self.names[row, line]

    def from_clip(self, seam: str, y: int) -> int | None:
        """Least distance to the nearest clip mark, both tolerances taken off; None if unknown."""
        marks = self.marks.get(seam)
        if not marks:
            return None
        near = min(max(low - y, y - high, 0) for low, high in marks)
        return max(0, near - self.slack)


def heights_of(
    g: Gather, plan: StackPlan, rows: tuple[Row, ...], limits: Limits, clips: ClipAnswer
) -> Heights | None:
    """Heights as drawn; else those between the clips, or the nearest to them; else of the zone.

    None, and why is open, where no line can be drawn.
    """
    marks, slack = _marks(g), g.base.numbers["setting_out_tolerance"].value.places[0].high
    if plan.layout is not None:
        rows_drawn, names = _drawn(plan.layout, rows)
        return Heights(rows_drawn, names, True, marks, slack)
    g.opens += clips.case.opens
    found = _between_clips(clips) or _in_zones(g, rows, limits, slack)
    if not found:
        return None
    named = {(r, n): f"r{r}-{n}" for r, many in found.items() for n in range(1, len(many) + 1)}
    return Heights(found, named, False, marks, slack)


def _between_clips(clips: ClipAnswer) -> dict[int, tuple[int, ...]]:
    """Each line at its height, or where it misses least; nothing where some line has neither."""
    found: dict[int, tuple[int, ...]] = {}
    for line in () if clips.found is None else clips.found.lines:
        at = line.height if line.miss is None else line.miss.height
        if at is None:
            return {}
        found[line.row] = (*found.get(line.row, ()), at)
    return found


def _in_zones(
    g: Gather, rows: tuple[Row, ...], limits: Limits, slack: int
) -> dict[int, tuple[int, ...]]:
    """The middle of the zone of each line, where the clips leave or tell nothing."""
    if g.array.rail_lines not in LINES or limits.zone is None or limits.zone.high is None:
        return {}
    middle = g.base.numbers["third_line_off_middle"].value.places[0].high
    zone = Window(limits.zone.low or 0, limits.zone.high)
    length = rows[0].box.y1 - rows[0].box.y0
    zones = line_zones(length, zone, g.array.rail_lines, slack, middle)
    found: dict[int, tuple[int, ...]] = {}
    for row in rows:
        lines = lines_of(row.box.y0, zones)
        if not all(lines):
            return {}
        found[row.number] = tuple(height_in(ranges[0]) for ranges in lines)
    return found


def _drawn(
    layout: Layout, rows: tuple[Row, ...]
) -> tuple[dict[int, tuple[int, ...]], dict[tuple[int, int], str]]:
    """The drawn rail lines of each row, from the eave; a line under no row belongs to none."""
    found: dict[int, tuple[int, ...]] = {}
    names: dict[tuple[int, int], str] = {}
    for row in rows:
        under = sorted(
            (r for r in layout.rails if row.box.y0 <= r.from_eave <= row.box.y1),
            key=lambda r: r.from_eave,
        )
        found[row.number] = tuple(r.from_eave for r in under)
        names |= {(row.number, n): r.id for n, r in enumerate(under, 1)}
    return found, names


def _marks(g: Gather) -> dict[str, tuple[tuple[int, int], ...]]:
    marks = g.plane.marks
    if marks is None:
        return {}
    return {
        seam: tuple((p.low, p.high) for p in found.places)
        for seam, found in marks.seams.items()
        if isinstance(found, Measured)
    }
