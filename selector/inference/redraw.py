"""Rail lines cut or set elsewhere, a clamp left out, where only the drawing holds a stack back."""

import itertools
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from selector import units
from selector.inference.answer import Option, places
from selector.inference.flip import flips
from selector.inference.moves import Site, width_of
from selector.inference.verdict import Finding
from selector.knowledge import schema
from selector.model.job import Layout
from selector.model.quantity import Measured
from selector.model.truth import Word

DISTANCE, OFFSET, BAY = "place.distance_to_nearest_clip", "layout.rail_offset", "place.bay"
OVER, RUN, ACROSS = "layout.rails_over", "layout.rigid_run", "layout.modules_over"
OFF = ("clip_mark_tolerance", "setting_out_tolerance")
TRIED = 8  # heights of a rail line that are built, nearest first
STAY = 2  # clamps that a rail line keeps at least
FREE = ("gap", "sliding")  # splices that leave the pieces free to move


def mends(site: Site, option: Option, word: Word) -> Iterator[Site]:
    """The plan drawn anew, each way once; nothing where that is not what it waits for."""
    held = _held(option, word)
    if site.plan.layout is None or not held:
        return
    if any(f.judgement.subject.kind not in ("place", "layout") for f in held):
        return
    cut = found = _cut(_recut(site, held), held)
    for rail in site.plan.layout.rails:
        found = _shift(found, rail.id, word)
    if found.moved != site.moved:
        yield found
    left = _left_out(cut, word)
    if left is not None:
        yield left


def _held(option: Option, word: Word) -> list[Finding]:
    """What gives this word or a stronger one."""
    return [f for f in option.verdict.findings if f.surely and (f.rule.word or 0) >= word]


def _reads(finding: Finding, path: str) -> bool:
    return any(str(c.left) == path for c in finding.rule.conditions)


# --- cuts --------------------------------------------------------------------------------


def _cut(site: Site, held: list[Finding]) -> Site:
    """Every rail line cut where sheets move apart, and into pieces that are short enough."""
    at: set[int] = set()
    if any(_reads(f, OVER) for f in held):
        at |= _at_lines(site)
    if any(_reads(f, RUN) for f in held):
        at |= _in_gaps(site)
    layout = site.plan.layout
    if not at or layout is None:
        return site
    rails, splices = [], dict(layout.splices)
    for rail in layout.rails:
        words = dict(zip(rail.cut_at, splices.get(rail.id, ()), strict=False))
        near = [c for c in words if words[c] not in FREE and _beside(site, c, at)]
        words = {c: word for c, word in words.items() if c not in near}
        words |= dict.fromkeys(at, "gap")
        rails.append(replace(rail, cut_at=tuple(sorted(words))))
        splices[rail.id] = tuple(words[c] for c in sorted(words))
    shown = ", ".join(units.show(c, "length") for c in sorted(at))
    move = ("cut", "in one piece", f"gap at {shown} from the left of the row")
    drawn = site.redrawn(replace(layout, rails=tuple(rails), splices=splices), "cut")
    return replace(drawn, moved=(*site.moved, move))


def _recut(site: Site, held: list[Finding]) -> Site:
    """Every gap of a rail that a module lies across moved to the nearest gap between modules."""
    layout = site.plan.layout
    if layout is None or not any(_reads(f, ACROSS) for f in held):
        return site
    gaps = [_gap_after(site, n) for n in range(1, site.array.columns)]
    rails, moved = [], {}
    for rail in layout.rails:
        words = layout.splices.get(rail.id, ())
        cuts = []
        for at, word in zip(rail.cut_at, words, strict=True):
            new = _nearest(at, gaps) if word in FREE else at
            cuts.append(at if abs(at - new) <= site.array.gap // 2 else new)
            if cuts[-1] != at:
                moved[units.show(at, "length")] = units.show(new, "length")
        rails.append(replace(rail, cut_at=tuple(cuts)))
    if not moved:
        return site
    old, new_ = (", ".join(shown) for shown in (moved, moved.values()))
    move = ("cut", f"gap at {old}", f"gap at {new_} from the left of the row")
    drawn = site.redrawn(replace(layout, rails=tuple(rails)), "cut elsewhere")
    return replace(drawn, moved=(*site.moved, move))


def _nearest(at: int, gaps: list[int]) -> int:
    """The nearest gap; the place itself where there is none."""
    return min(gaps, key=lambda gap: abs(gap - at), default=at)


def _at_lines(site: Site) -> set[int]:
    """Lines up the slope that lie below the row, from its left end."""
    layout = site.plan.layout
    lines = layout.lines if layout is not None else ()
    left = site.array.from_left
    inside = {line.at - left for line in lines if line.up_the_slope and left is not None}
    return {at for at in inside if 0 < at < _width(site)}


def _width(site: Site) -> int:
    """Width of the block along the eave."""
    array = site.array
    wider = (array.break_gap or array.gap) - array.gap
    return array.columns * _pitch(site) - array.gap + wider * len(array.breaks)


def _pitch(site: Site) -> int:
    """From module to module along the eave."""
    return width_of(site) + site.array.gap


def _in_gaps(site: Site) -> set[int]:
    """Gaps between modules that part the row into pieces as long as the rail may run."""
    rail = site.plan.slots["rail"]
    shape = site.desk.part(rail).shape if rail else None
    if not isinstance(shape, schema.Rail) or not shape.rigid_run:
        return set()
    array, pitch = site.array, _pitch(site)
    each = max(1, (shape.rigid_run + array.gap) // pitch)  # whole modules a piece
    pieces = -(-array.columns // each)
    even = -(-array.columns // pieces)
    return {_gap_after(site, n) for n in range(even, array.columns, even)}


def _gap_after(site: Site, module: int) -> int:
    """Middle of the gap after the n-th module of a row, from its left end."""
    array = site.array
    wider = (array.break_gap or array.gap) - array.gap
    before = sum(1 for b in array.breaks if b < module)
    here = wider // 2 if module in array.breaks else 0
    return module * _pitch(site) - array.gap // 2 + before * wider + here


def _beside(site: Site, cut: int, gaps: set[int]) -> bool:
    """Whether a splice lies within half a module of a new gap, which takes its place."""
    return any(abs(cut - gap) < _pitch(site) // 2 for gap in gaps)


# --- heights of a rail line --------------------------------------------------------------


def _shift(site: Site, rail: str, word: Word) -> Site:
    """A rail line at the nearest height where nothing of it gives the word; else as it was.

    A height that fails by another limit brings the heights at which that one is met.
    """
    layout = site.plan.layout
    held = [f for f in _held(site.judged(), word) if _of_rail(f, rail)]
    if layout is None or not held:
        return site
    old = next(r.from_eave for r in layout.rails if r.id == rail)
    left, seen = _heights(site, rail, old, held), {old}
    free = _without_share(site)
    for _ in range(TRIED):
        left -= seen
        if not left:
            break
        height = min(left, key=lambda h: (abs(h - old), h))
        seen.add(height)
        found = _at(free, layout, rail, (old, height))
        held = [f for f in _held(found.judged(), word) if _of_rail(f, rail)]
        if not held:
            return found
        left |= _heights(found, rail, height, held)
    return site


def _at(site: Site, layout: Layout, rail: str, heights: tuple[int, int]) -> Site:
    """A rail line set from one height to another, with its clamps."""
    old, new = heights
    rails = tuple(replace(r, from_eave=new) if r.id == rail else r for r in layout.rails)
    drawn = replace(layout, rails=rails, clamps=_clamps(layout, old, new))
    move = (f"line {rail}", units.show(old, "length"), units.show(new, "length"))
    return replace(site.redrawn(drawn, f"{rail} at {new}"), moved=(*site.moved, move))


def _of_rail(finding: Finding, rail: str) -> bool:
    """Whether a finding is about a clamp of a rail line, or about how the lines lie."""
    place = finding.judgement.view.binding.place
    return place.rail == rail if place is not None else _reads(finding, OFFSET)


def _heights(site: Site, rail: str, old: int, held: list[Finding]) -> set[int]:
    """Heights at which each figure that misses its limit would just meet it."""
    found: set[int] = set()
    for finding in held:
        if _reads(finding, BAY):
            found |= _inner(site, rail)
        for flip in flips(site.desk.judge, finding):
            by = abs(int(flip.by))
            if flip.path == OFFSET:
                found |= {old - by, old + by}
            value = finding.judgement.view.read(flip.path).value
            if flip.path == DISTANCE and isinstance(value, Measured):
                limit = min(value.places).low + by
                found |= _clear(site, rail, limit + _off(site))
    return {h for h in found if h > 0}


def _clear(site: Site, rail: str, away: int) -> set[int]:
    """Heights so far from a clip mark, and no nearer to any other on the seams of the line."""
    marks = [mark for seam in _marks(site, rail) for mark in seam]
    near = {m + side * away for m, side in itertools.product(marks, (-1, 1))}
    return {h for h in near if all(abs(h - m) >= away for m in marks)}


def _inner(site: Site, rail: str) -> set[int]:
    """In every bay but the last ones, on each seam of the line: its middle and its ends."""
    shape = site.desk.part(site.plan.slots["clamp"] or "").shape
    asked = shape.clip_distance if isinstance(shape, schema.Clamp) else 0
    away = asked + _off(site)
    pairs = [pair for seam in _marks(site, rail) for pair in itertools.pairwise(seam[1:-1])]
    near = {h for low, high in pairs for h in (low + away, (low + high) // 2, high - away)}
    return {h for h in near if any(low + away <= h <= high - away for low, high in pairs)}


def _off(site: Site) -> int:
    """What a distance to a mark may be off."""
    return sum(site.desk.base.numbers[n].value.places[0].high for n in OFF)


def _marks(site: Site, rail: str) -> list[list[int]]:
    """Clip marks on each seam of a rail line, from the eave up."""
    plane = site.desk.job.planes[site.array.plane]
    seams = {p.seam for p in places(site.plan, site.array, plane) if p.rail == rail}
    return [
        sorted((p.low + p.high) // 2 for p in value.places)
        for seam, value in (plane.marks.seams if plane.marks else {}).items()
        if seam in seams and isinstance(value, Measured)
    ]


def _clamps(layout: Layout, old: int, new: int) -> str | dict[str, tuple[int, ...]]:
    if isinstance(layout.clamps, str):
        return layout.clamps
    return {s: tuple(new if h == old else h for h in hs) for s, hs in layout.clamps.items()}


def _without_share(site: Site) -> Site:
    """The share of the clips was worked out for the old heights: it falls away."""
    plan = site.plan
    kept = {k: v for k, v in plan.stated.items() if k != "clip_share"}
    array = site.array
    if "clip_share" in array.stated:
        stated = {k: v for k, v in array.stated.items() if k != "clip_share"}
        site = site.with_array(replace(array, stated=stated))
    return replace(site, plan=replace(plan, stated=kept))


# --- a seam left out ---------------------------------------------------------------------


def _left_out(site: Site, word: Word) -> Site | None:
    """The clamps that give the word left out; every figure worked out for the pattern falls away.

    The rail then spans both bays beside such a seam, which its own rules judge. The ends of a rail
    line keep their clamps, and so do two of them: nobody here knows how far a rail may hang over.
    """
    layout, array = site.plan.layout, site.array
    if layout is None or array.crosses is None:
        return None
    here = [f.judgement.view.binding.place for f in _held(site.judged(), word)]
    gone = {place for place in here if place is not None}
    every = places(site.plan, array, site.desk.job.planes[array.plane])
    order = {seam: n for n, seam in enumerate(array.crosses)}
    if not gone or any(p.seam not in order for p in every):
        return None
    for rail in {place.rail for place in gone}:
        line = sorted((p for p in every if p.rail == rail), key=lambda p: order[p.seam])
        stays = [p for p in line if p not in gone]
        if len(stays) < STAY or line[0] in gone or line[-1] in gone:
            return None
    clamps: dict[str, tuple[int, ...]] = dict.fromkeys((p.seam for p in every), ())
    lines: dict[str, list[str]] = defaultdict(list)
    for place in every:
        if place in gone:
            lines[place.seam].append(place.rail)
        else:
            clamps[place.seam] = (*clamps[place.seam], place.from_eave)
    moves = [(f"seam {seam}", _clamps_on(lines[seam]), "left out") for seam in sorted(lines)]
    names = ", ".join(sorted(lines))
    drawn = site.redrawn(replace(layout, clamps=clamps), f"without {names}")
    return replace(drawn, moved=(*site.moved, *moves))


def _clamps_on(rails: list[str]) -> str:
    return f"clamp{'s' if len(rails) > 1 else ''} on {', '.join(rails)}"
