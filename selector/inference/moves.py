"""What a hand can change of a planned array besides its parts.

A rule names the moves that may cure it (`moves:`); those of `TRIED` make a new job or a new plan
that is judged like any other. A figure that somebody worked out for what is moved falls away with
the move: it is asked for again, never carried over.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from selector import units
from selector.inference.answer import Desk, Option
from selector.inference.in_worlds import giving
from selector.knowledge import schema
from selector.model.job import Array, Job, Layout, RailLine, StackPlan, Stated
from selector.model.quantity import Measured

Move = tuple[str, str | None, str | None]  # kind and name, before, after
# Figures that stay where clamps or lines change: pressures on the modules.
PRESSURES = ("net_uplift", "net_down")
LIMIT = "edge_clear_distance"


@dataclass(frozen=True)
class Site:
    """A desk with a plan on it, and what was moved to get there."""

    desk: Desk
    plan: StackPlan
    moved: tuple[Move, ...] = ()
    keeps_parts: bool = False  # parts are not exchanged as well

    @property
    def array(self) -> Array:
        """The array of the plan."""
        return self.desk.job.arrays[self.plan.array]

    def judged(self) -> Option:
        """The plan judged whole."""
        return self.desk.planned(self.plan)

    def with_array(self, array: Array) -> "Site":
        """The same with another array."""
        job = self.desk.job
        return self.with_job(replace(job, arrays={**job.arrays, array.id: array}))

    def with_job(self, job: Job) -> "Site":
        """The same in another job; what does not read the change keeps its judgement."""
        desk = Desk(self.desk.base, job, self.desk.judge, before=self.desk)
        return replace(self, desk=desk)

    def redrawn(self, layout: Layout | None, how: str) -> "Site":
        """The same with another drawing, under a name of its own."""
        plan = replace(self.plan, id=f"{self.plan.id}, {how}", layout=layout)
        return replace(self, plan=plan)


def named(option: Option) -> set[str]:
    """Moves that the rules which give the word of a stack name as a cure."""
    return {move for finding in giving(option.verdict) for move in finding.rule.moves}


def sites(desk: Desk, plan: StackPlan, option: Option) -> Iterator[Site]:
    """The job as it is, and as each move would make it that a reason of its word names."""
    here = Site(desk, plan)
    yield here
    wanted = named(option)
    for names, move in TRIED:
        if wanted & names:
            yield from move(here)


# --- the array ---------------------------------------------------------------------------


def _without_figures(site: Site, kept: tuple[str, ...], **changed: Any) -> Site:
    """An array that is changed; of the figures worked out for it only these are left."""

    def left(stated: dict[str, Stated]) -> dict[str, Stated]:
        return {k: v for k, v in stated.items() if k in kept}

    array = site.array
    found = site.with_array(replace(array, stated=left(array.stated), **changed))
    return replace(found, plan=replace(found.plan, stated=left(found.plan.stated)))


def _parallel(site: Site) -> Iterator[Site]:
    """The array laid parallel without frames."""
    tilt = site.array.tilt
    if tilt is None:
        return
    flat = _without_figures(site, (), tilt=None)
    plan = replace(flat.plan, slots={**flat.plan.slots, "frame": None})
    move = ("tilt", units.show(tilt, "angle"), "parallel to the roof")
    yield replace(flat, plan=plan, moved=(move,))


def _every_seam(site: Site) -> Iterator[Site]:
    """A clamp on every seam in place of every second one."""
    layout = site.plan.layout
    drawn = layout.clamps if layout is not None else site.array.clamps
    every = "every seam"
    if drawn != "every second seam":
        return
    found = _without_figures(site, PRESSURES, clamps=every)
    if layout is not None:
        found = found.redrawn(replace(layout, clamps=every), every)
    yield replace(found, moved=(("pattern", drawn, every),), keeps_parts=True)


def _third_line(site: Site) -> Iterator[Site]:
    """A third rail line in the middle of each row."""
    array, layout = site.array, site.plan.layout
    eave = array.from_eave
    if array.rail_lines != 2 or (layout is not None and eave is None):
        return  # nobody said where the drawn block lies
    found = _without_figures(site, PRESSURES, rail_lines=3)
    if layout is not None and eave is not None:
        middle = [
            eave + row * _row(site) + (_row(site) - array.gap) // 2 for row in range(array.rows)
        ]
        names = {h: f"middle {n}" for n, h in enumerate(middle, 1)}
        rails = (*layout.rails, *(RailLine(name, h, ()) for h, name in names.items()))
        clamps = layout.clamps
        if not isinstance(clamps, str):
            clamps = {seam: (*heights, *middle) for seam, heights in clamps.items() if heights}
        found = found.redrawn(replace(layout, rails=rails, clamps=clamps), "three lines")
    yield replace(found, moved=(("lines", "2", "3"),), keeps_parts=True)


def _two_lines(site: Site) -> Iterator[Site]:
    """Two rail lines a row in place of three; a drawing would have to be made anew."""
    if site.array.rail_lines == 3 and site.plan.layout is None:
        found = _without_figures(site, PRESSURES, rail_lines=2)
        yield replace(found, moved=(("lines", "3", "2"),), keeps_parts=True)


def _turned(site: Site) -> Iterator[Site]:
    """The modules turned; a drawing would have to be made anew."""
    if site.plan.layout is not None:
        return
    old = site.array.orientation
    new = "landscape" if old == "portrait" else "portrait"
    found = _without_figures(site, (), orientation=new)
    yield replace(found, moved=(("orientation", old, new),), keeps_parts=True)


def _modules(site: Site) -> Iterator[Site]:
    """Each other module of the catalogues."""
    old = site.array.module
    for name in site.desk.job.catalogues:
        for part in site.desk.base.catalogues[name].slot("module"):
            if part.id != old:
                found = _without_figures(site, (), module=part.id)
                yield replace(found, moved=(("module", old, part.id),), keeps_parts=True)


def _rows_less(site: Site) -> Iterator[Site]:
    """The upper rows left out, one more each time."""
    array, layout, eave = site.array, site.plan.layout, site.array.from_eave
    if layout is not None and eave is None:
        return
    for rows in range(array.rows - 1, 0, -1):
        found = _without_figures(site, PRESSURES, rows=rows)
        if layout is not None and eave is not None:
            top = eave + rows * _row(site) - array.gap
            rails = tuple(r for r in layout.rails if r.from_eave <= top)
            clamps = layout.clamps
            if not isinstance(clamps, str):
                clamps = {s: tuple(h for h in hs if h <= top) for s, hs in clamps.items()}
            found = found.redrawn(replace(layout, rails=rails, clamps=clamps), f"{rows} rows")
        yield replace(found, moved=(("rows", str(array.rows), str(rows)),), keeps_parts=True)


def _shifted(site: Site) -> Iterator[Site]:
    """The array with its lines as far from the eave as asked for; its zones are asked for again."""
    layout, old = site.plan.layout, site.array.from_eave
    if old is None:
        return
    limit = site.desk.base.numbers[LIMIT].value.places[0].low
    ground = next(j.view for j in site.judged().judgements if j.subject.kind == "plane")
    sheet = ground.read("plane.sheet.length").value
    new = limit
    if old >= limit and isinstance(sheet, Measured):
        block = site.array.rows * _row(site) - site.array.gap
        new = min(p.low for p in sheet.places) - limit - block
    if layout is None or new < limit:
        return
    by = new - old
    rails = tuple(replace(r, from_eave=r.from_eave + by) for r in layout.rails)
    clamps = layout.clamps
    if not isinstance(clamps, str):
        clamps = {seam: tuple(h + by for h in heights) for seam, heights in clamps.items()}
    found = _without_figures(site, (), from_eave=new, zones=None)
    found = found.redrawn(replace(layout, rails=rails, clamps=clamps), f"from {new}")
    before, after = (f"{units.show(h, 'length')} above the eave" for h in (old, new))
    move = ("array", before, after)
    yield replace(found, moved=(move,), keeps_parts=True)


def width_of(site: Site) -> int:
    """Width of a module along the eave."""
    return _module(site)[site.array.orientation == "landscape"]


def _row(site: Site) -> int:
    """From row to row up the slope."""
    return _module(site)[site.array.orientation == "portrait"] + site.array.gap


def _module(site: Site) -> tuple[int, int]:
    """Width and length of the module."""
    shape = site.desk.part(site.array.module).shape
    assert isinstance(shape, schema.Module)
    return shape.width, shape.length


# Names of moves in rules, and what tries them. What a rule names besides is exchanged as a part
# (`changes.py`), drawn anew (`redraw.py`), got (`to_get.py`), looked at (`second_look.py`), or only
# said in the help of the rule: the roof itself changed, or somebody's decision.
TRIED: tuple[tuple[frozenset[str], Callable[[Site], Iterator[Site]]], ...] = (
    (frozenset({"lay it parallel"}), _parallel),
    (frozenset({"more clamps"}), _every_seam),
    (frozenset({"third rail line", "other rail lines", "other number of rail lines"}), _third_line),
    (frozenset({"other rail lines", "other number of rail lines"}), _two_lines),
    (frozenset({"turn the modules", "other orientation"}), _turned),
    (frozenset({"other module"}), _modules),
    (frozenset({"fewer rows"}), _rows_less),
    (frozenset({"shift the array"}), _shifted),
)
