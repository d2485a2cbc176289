"""Heights of the rail lines of each row: as drawn, or in the middle of where they may lie."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from selector.facts.actions.gather import Gather
from selector.facts.actions.model import Open
from selector.facts.places.stack import Limits
from selector.layout.clip_windows import Window, height_in, line_zones, lines_of, within
from selector.layout.model import Row
from selector.model.job import Layout, StackPlan
from selector.model.quantity import Measured
from selector.model.truth import Word

LINES = (2, 3)
METHOD = "STRUCTURAL method, two or three lines a row"


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
    g: Gather, plan: StackPlan, rows: tuple[Row, ...], limits: Limits, windows: list[Window] | None
) -> Heights | None:
    """Heights as drawn; else the middle of the widest window of each line, or of its zone.

    `windows` are the heights that are free of clips, None where clips set no limit. None comes
    back, and why is open, where no line can be drawn.
    """
    marks, slack = _marks(g), g.base.numbers["setting_out_tolerance"].value.places[0].high
    if plan.layout is not None:
        rows_drawn, names = _drawn(plan.layout, rows)
        return Heights(rows_drawn, names, True, marks, slack)
    if g.array.rail_lines not in LINES:
        g.stop("rail lines", str(g.array.rail_lines), "2 or 3", "this method")
        return None
    if limits.zone is None or limits.zone.high is None:
        g.opens.append(Open(Word.OBSERVE, "missing", "stack.modules", "no record"))
        return None
    middle = g.base.numbers["third_line_off_middle"].value.places[0].high
    zone = Window(limits.zone.low or 0, limits.zone.high)
    length = rows[0].box.y1 - rows[0].box.y0
    zones = line_zones(length, zone, g.array.rail_lines, slack, middle)
    found: dict[int, tuple[int, ...]] = {}
    for row in rows:
        heights = [_best(ranges, windows) for ranges in lines_of(row.box.y0, zones)]
        if any(h is None for h in heights):
            return None
        found[row.number] = tuple(h for h in heights if h is not None)
    names = {(r, n): f"r{r}-{n}" for r, many in found.items() for n in range(1, len(many) + 1)}
    return Heights(found, names, False, marks, slack)


def _best(ranges: list[Window], windows: list[Window] | None) -> int | None:
    """A height to mark: in the widest window inside the ranges of a line; None without one."""
    left = ranges if windows is None else within(windows, ranges)
    return None if not left else height_in(left[0])


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
