"""What the clip-window finder takes, out of a job: marks, block, zones, forces; or what is missing.

Nothing is assumed: a seam without marks has no free height, a bay that nobody measured is no bay.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from selector import units
from selector.errors import InputError, Problem
from selector.facts.actions.model import Open
from selector.facts.checks import clip_capacity
from selector.facts.covers import module_records
from selector.facts.parts import module_of
from selector.facts.view import View
from selector.knowledge import schema
from selector.layout.clip_forces import Pull
from selector.layout.clip_windows import (
    FAR,
    Block,
    MarkedSeam,
    Reach,
    Window,
    Zones,
    line_zones,
)
from selector.layout.least_change import Task
from selector.model.job import Array, Job, Layout, Marks, Plane
from selector.model.quantity import Measured, Place, Unknown
from selector.model.truth import Word

MARKS, CROSSES, BLOCK, MODULES = (
    "plane.clips.marks",
    "array.crosses",
    "array.block",
    "stack.modules",
)
LENGTH, SHAPE, STRENGTH = "plane.sheet.length", "plane.seam.shape", "plane.clips.strength"
LINES = (1, 2, 3)
Ground = Literal["weak", "strong", "ribs"]


@dataclass(frozen=True)
class ClipCase:
    """One array with one stack, ready to be set out between the clips.

    `task` is None where something is missing without which nothing can be said. `unmarked` are
    seams with clamps and without marks. `lacking` is what the share of the clips waits for.
    `recalled` is how far a third line may lie from the middle, where no record says it; `clear` is
    kept of eave and ridge where the block is moved, `bay` is the most between two clips.
    """

    job: str
    as_of: str
    array: str
    plane: str
    stack: str
    clamp: str
    invented: tuple[str, ...]
    ground: Ground
    task: Task | None
    opens: tuple[Open, ...]
    unmarked: tuple[str, ...]
    lacking: tuple[str, ...]
    recalled: int | None
    rails: bool
    clear: int
    bay: int
    seen: str
    mark_off: int
    pattern: str  # `every seam`, `every second seam`, `by hand`; empty where nobody said
    drawn: tuple[tuple[str, int], ...]  # rail lines of the drawing, with their heights


def clip_case(view: View) -> ClipCase:
    """The case of a stack plan; `view` has plane, array, plan, clamp and core.

    InputError where a mark lies beyond the sheet.
    """
    gather = _Gather(view)
    array, plan, job = gather.array, view.binding.plan, gather.job
    task = gather.task()
    assert plan is not None and view.binding.clamp is not None
    names = (n for n in job.catalogues if view.base.catalogues[n].tag == "invented")
    rails = plan.layout.rails if plan.layout is not None else ()
    marks = gather.plane.marks
    return ClipCase(
        job=job.id,
        as_of=job.as_of,
        array=array.id,
        plane=gather.plane.id,
        stack=plan.id,
        clamp=view.binding.clamp.id,
        invented=tuple(names),
        ground=gather.ground,
        task=task,
        opens=tuple(gather.opens),
        unmarked=gather.unmarked,
        lacking=tuple(gather.lacking),
        recalled=gather.recalled,
        rails=bool(plan.slots.get("rail")),
        clear=gather.number("edge_clear_distance").high,
        bay=gather.number("clip_spacing_limit").high,
        seen="" if marks is None or gather.ground != "weak" else marks.seen,
        mark_off=view.base.vocabulary.mark_tolerance,
        pattern=gather.pattern,
        drawn=tuple((r.id, r.from_eave) for r in sorted(rails, key=lambda r: r.from_eave)),
    )


class _Gather:
    """Reads one plan of a job; what it cannot find is open."""

    def __init__(self, view: View):
        binding = view.binding
        assert view.job is not None and binding.array is not None and binding.plane is not None
        self.view = view
        self.job: Job = view.job
        self.array: Array = binding.array
        self.plane: Plane = binding.plane
        self.layout: Layout | None = None if binding.plan is None else binding.plan.layout
        self.opens: list[Open] = []
        self.unmarked: tuple[str, ...] = ()
        self.lacking: list[str] = []
        self.recalled: int | None = None
        self.ground = self._ground()
        self.pattern = self._pattern()

    def _ground(self) -> Ground:
        if self.view.words(SHAPE) == frozenset({"trapezoidal"}):
            return "ribs"
        return "strong" if self.view.words(STRENGTH) == frozenset({"strong"}) else "weak"

    def _pattern(self) -> str:
        drawn = self.array.clamps if self.layout is None else self.layout.clamps
        return drawn or "" if isinstance(drawn, str | None) else "by hand"

    def miss(self, kind: str, path: str, given: str = "", allowed: str = "") -> None:
        """Something to look at before anybody sets out."""
        self.opens.append(Open(Word.OBSERVE, kind, path, given=given, allowed=allowed))

    # --- the task ----------------------------------------------------------------------

    def task(self) -> Task | None:
        """What is to be set out; None, and open, where it cannot be said."""
        view, array = self.view, self.array
        module, clamp = module_of(view), view.binding.clamp
        assert module is not None and clamp is not None
        assert isinstance(clamp.shape, schema.Clamp)
        upright = array.orientation == "portrait"
        length = module[1].length if upright else module[1].width
        zones = self.zones(length)
        seams, between, order = self.seams()
        if array.from_eave is None:
            self.miss("missing", BLOCK)
        self.wide_bays()
        self.other_shapes()
        if array.from_eave is None or array.rail_lines not in zones:
            return None
        if self.ground == "weak" and not seams:
            return None
        pitch = length + array.gap
        rows = tuple(array.from_eave + n * pitch for n in range(array.rows))
        block = Block(rows, length, array.gap)
        return Task(
            seams=seams,
            between=between,
            order=order,
            reach=Reach(clamp.shape.clip_distance, self.slack, self.widest),
            block=block,
            lines=array.rail_lines,
            zones=zones,
            room=self.room(block),
            steps=self.steps(),
            pull=self.pull() if self.ground == "weak" else None,
        )

    def number(self, name: str) -> Place:
        """A number of the trade."""
        return self.view.base.numbers[name].value.places[0]

    @property
    def slack(self) -> int:
        """What a clamp may be off its drawn place."""
        return self.number("setting_out_tolerance").high

    @property
    def widest(self) -> int:
        """The widest bay that is one bay, as its marks show it."""
        off = self.view.base.vocabulary.mark_tolerance
        return self.number("clip_spacing_limit").high + 2 * off

    def room(self, block: Block) -> Window:
        """How far the block may go down and up, its clear distances kept."""
        clear = self.number("edge_clear_distance").high
        down = max(0, block.rows[0] - clear)
        top = block.rows[-1] + block.length
        sheet = self.view.read(LENGTH).value
        if isinstance(sheet, Measured) and top > (ends := max(p.high for p in sheet.places)):
            self.miss("beyond", BLOCK, units.show(top, "length"), units.show(ends, "length"))
        up = FAR if not isinstance(sheet, Measured) else min(p.low for p in sheet.places)
        return Window(-down, max(0, up - clear - top))

    def steps(self) -> int | None:
        """How many seams further the next clamp may stand, by the span of the rail."""
        plan, spacing = self.view.binding.plan, self.view.read("plane.seam.spacing").value
        rail = plan.slots.get("rail") if plan is not None else None
        shape = self.view.part(rail).shape if rail else None
        if not isinstance(shape, schema.Rail) or not isinstance(spacing, Measured):
            return None
        return shape.span // max(p.high for p in spacing.places)

    # --- zones of the module -----------------------------------------------------------

    def zones(self, length: int) -> Mapping[int, Zones]:
        """By number of rail lines, where each may lie under a module, as records allow it."""
        found = {}
        for lines in LINES:
            shape = self._record(lines)
            wanted = lines == self.array.rail_lines
            if shape is None:
                if wanted:
                    self.miss("no_record", MODULES, str(lines))
            else:
                middle = shape.middle
                if lines == 3 and middle is None:
                    middle = self.number("third_line_off_middle").high
                    self.recalled = middle if wanted else self.recalled
                high = length // 2 if shape.zone.high is None else shape.zone.high
                zone = Window(shape.zone.low or 0, high)
                found[lines] = line_zones(length, zone, lines, self.slack, middle)
        if self.array.rail_lines not in LINES:
            self.miss("no_record", MODULES, str(self.array.rail_lines))
        return found

    def _record(self, lines: int) -> schema.ModuleRecord | None:
        """What all valid records of the module for so many lines leave together."""
        binding = replace(self.view.binding, array=replace(self.array, rail_lines=lines))
        view = View(self.view.base, self.job, binding, self.view.derived)
        shapes = [
            r.shape
            for r, parts in module_records(view)
            if all(p.bits.surely for p in parts) and isinstance(r.shape, schema.ModuleRecord)
        ]
        if not shapes:
            return None
        first, *others = shapes
        for other in others:
            low = max(first.zone.low or 0, other.zone.low or 0)
            highs = [z.high for z in (first.zone, other.zone) if z.high is not None]
            middles = [m for m in (first.middle, other.middle) if m is not None]
            zone = replace(first.zone, low=low, high=min(highs, default=None))
            update = {"zone": zone, "middle": min(middles, default=None)}
            first = first.model_copy(update=update)
        return first

    # --- seams and marks ---------------------------------------------------------------

    def seams(
        self,
    ) -> tuple[tuple[MarkedSeam, ...], tuple[MarkedSeam, ...], tuple[str, ...]]:
        """Seams with clamps, seams without, and all from the left; faults of marks are open."""
        order = self.array.crosses
        if self.ground != "weak":
            return (), (), order or ()
        if self.plane.marks is None:
            self.miss("missing", MARKS)
        if not order:
            self.miss("missing", CROSSES)
            return (), (), ()
        carry = set(self._carry(order))
        astray = sorted(carry - set(order))
        if astray:
            self.miss("astray", CROSSES, ", ".join(astray))
            order = (*order, *astray)
        marks = self.plane.marks
        read = {name: self._marked(name, marks) for name in order}
        self.unmarked = tuple(n for n in order if n in carry and not read[n].marks)
        if marks is not None and self.unmarked:
            self.miss("unmarked", MARKS, ", ".join(self.unmarked))
        self._enough(marks)
        with_clamps = tuple(read[n] for n in order if n in carry)
        return with_clamps, tuple(read[n] for n in order if n not in carry), order

    def _carry(self, order: tuple[str, ...]) -> tuple[str, ...]:
        """Seams that carry clamps; every seam where nobody says which."""
        if self.layout is not None and isinstance(self.layout.clamps, dict):
            return tuple(n for n, heights in self.layout.clamps.items() if heights) or order
        return order[::2] if self.pattern == "every second seam" else order

    def _marked(self, name: str, marks: Marks | None) -> MarkedSeam:
        """A seam with its marks; none where nobody has them."""
        found = None if marks is None else marks.seams.get(name)
        sheet = self.view.read(LENGTH).value
        top = max(p.high for p in sheet.places) if isinstance(sheet, Measured) else None
        if not isinstance(found, Measured):
            return MarkedSeam(name, (), top)
        self._on_the_sheet(name, found, top)
        for one, other in zip(found.places, found.places[1:], strict=False):
            if other.low < one.high:
                pair = " / ".join(units.show(sum(p) // 2, "length") for p in (one, other))
                off = units.show(one.high - one.low, "length")
                self.miss("close", MARKS, f"{name}: {pair}", off)
        return MarkedSeam(name, found.places, top)

    def _on_the_sheet(self, name: str, found: Measured, top: int | None) -> None:
        """Every mark lies on the sheet, or it is bad input."""
        last = found.places[-1]
        if top is None or last.low <= top:
            return
        line = self.job.line("planes", self.plane.id, "clips", "marks", "seams", name)
        at, end = units.show(sum(last) // 2, "length"), units.show(top, "length")
        text = f"a mark of seam `{name}` lies {at} from the eave; the sheet ends at {end}"
        problem = Problem(self.job.file, line, text, "check the mark and the length of the sheet")
        raise InputError([problem])

    def _enough(self, marks: Marks | None) -> None:
        """Whether so many seams are named as must lie below an array so wide."""
        located = self.view.read("plane.clips.located")
        if marks is None or self.view.words("plane.clips.located") != frozenset({"no"}):
            return
        named = set(self.array.crosses or ())
        if all(isinstance(marks.seams.get(n), Measured) for n in named):
            fact = next(iter(located.because[0]))
            self.miss("few", CROSSES, fact.shown)

    def wide_bays(self) -> None:
        """A bay that is surely wider than the trade knows: an engineer's."""
        limit = self.number("clip_spacing_limit").high
        bay = self.view.read("plane.clips.widest_bay").value
        if self.ground == "weak" and isinstance(bay, Measured) and bay.places[0].low > limit:
            given = units.show(bay.places[0].low, "length")
            allowed = units.show(limit, "length")
            self.opens.append(Open(Word.ENGINEER, "wide", MARKS, given=given, allowed=allowed))

    def other_shapes(self) -> None:
        """What is no block of modules on one layer of rails: nothing here sets it out."""
        plan = self.view.binding.plan
        if plan is not None and plan.slots.get("cross"):
            self.opens.append(Open(Word.ENGINEER, "crossed", "stack.cross"))
        if self.array.tilt is not None:
            self.opens.append(Open(Word.ENGINEER, "elevated", "array.tilt"))

    # --- forces ------------------------------------------------------------------------

    def pull(self) -> Pull | None:
        """Force of a clamp, spare of a clip, clip factor; None with what is lacking."""
        view = self.view
        force, spare = view.stated("uplift_per_clamp"), clip_capacity(view, "pull")
        clamp = view.binding.clamp
        factor = None if clamp is None else view.base.catalogues[clamp.catalogue].clip_factor
        if isinstance(force, Unknown):
            self.lacking.append("force")
        if spare is None:
            self.lacking.append("spare")
        if factor is None:
            self.lacking.append("factor")
        if isinstance(force, Unknown) or spare is None or factor is None:
            return None
        return Pull(force[0].value, spare[0], Fraction(str(factor)), self.slack)
