"""What snow drifts at beside an array: obstacles, parapets and a taller part, and how far away."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import Ends, Open
from selector.facts.actions.roof import (
    TALLER,
    Block,
    block_of,
    depth_of,
    parapet_of,
    rectangle_of,
)
from selector.model.job import Obstacle
from selector.model.truth import Word

METRE = 1e6
EDGES = ("eave", "ridge", "left", "right")
OBSTACLES, ABOVE = "plane.obstacles", "site.run_off_from_above"
SIZES = ("plane.taller_step", "plane.taller_length", "plane.taller_pitch")


@dataclass(frozen=True)
class Upper:
    """A taller part: length of its roof, length of this one towards it, pitch that falls here."""

    length: Known
    lower: Known
    pitch: Known


@dataclass(frozen=True)
class Source:
    """One thing that snow drifts at: how high it stands, and how far the array lies on plan.

    `sides` are the lengths b1 and b2 of the roof before it and on either side of it, of each side.
    """

    name: str
    kind: str  # obstacle | parapet | taller
    height: Known
    distance: Known
    sides: tuple[tuple[Ends, Ends], ...] = ()
    upper: Upper | None = None


@dataclass(frozen=True)
class _Ground:
    """The plane and the array on plan, in m."""

    form: str
    block: Block
    length: Ends
    run: Ends  # of this plane, from eave to ridge
    depth: Ends  # of the whole roof
    cosine: Ends
    seen: str  # of the outline
    origin: str

    def known(self, ends: Ends) -> Known:
        """What follows from the outline."""
        return Known(ends, self.seen, "measured", self.origin)

    @property
    def edges(self) -> tuple[str, ...]:
        """Edges along which a parapet may stand: none where two planes meet."""
        return tuple(e for e in EDGES if e != "ridge" or self.form != "duopitch")

    def beyond(self, edge: str) -> Ends:
        """Distance of the array from an edge; nothing where it hangs over."""
        x, y = self.block.x, self.block.y
        if edge == "left":
            found = Ends(x.low, x.low)
        elif edge == "right":
            found = Ends(self.length.low - x.high, self.length.high - x.high)
        elif edge == "eave":
            found = Ends(y.low * self.cosine.low, y.low * self.cosine.high)
        else:
            top = Ends(y.high * self.cosine.low, y.high * self.cosine.high)
            found = Ends(self.run.low - top.high, self.run.high - top.low)
        return Ends(max(0.0, found.low), max(0.0, found.high))

    def across(self, edge: str) -> tuple[Ends, Ends]:
        """Lengths of the plane and of the whole roof at right angles to an edge."""
        if edge in ("left", "right"):
            return self.length, self.length
        return self.run, self.depth


def sources_of(g: Gather) -> tuple[Source, ...]:
    """All that snow may drift at; what is missing or contradicts itself is open."""
    objects, parapet, taller = _objects(g), parapet_of(g), _taller(g)
    height = None if parapet is None else parapet.height
    if not objects and height is None and taller is None:
        return ()
    ground = _ground(g)
    if ground is None:
        return ()
    found = [_obstacle(g, one, ground) for one in objects]
    if height is not None:
        found += [_parapet(edge, height, ground) for edge in ground.edges]
    if taller is not None:
        found += list(_taller_part(g, taller, ground))
    return tuple(found)


# --- what is there -----------------------------------------------------------------------


def _objects(g: Gather) -> tuple[Obstacle, ...]:
    """Obstacles with where they stand and how far they rise; none where that is open."""
    some, objects = g.word(OBSTACLES), g.plane.objects
    if some == "none" and objects:
        _disagree(g, OBSTACLES, "none", objects[0].id, ("plane.objects",))
    if some != "some":
        return ()
    if not objects or any(one.rises is None for one in objects):
        g.miss("plane.objects")
        return ()
    return objects


def _taller(g: Gather) -> str | None:
    """The edge along which a taller part stands; None where there is none, or it is open."""
    taller, above = g.word(TALLER), g.words(ABOVE)
    if taller == "none" and above is not None and "higher roof" in above:
        if len(above) > 1:
            g.word(ABOVE)
        else:
            _disagree(g, TALLER, "none", "higher roof", (ABOVE,))
    if taller == "none" and g.stated(SIZES[0]):
        _disagree(g, TALLER, "none", "some", (SIZES[0],))
    if taller == "several":
        g.stop("taller parts", "several", "one taller part along one edge", "EN 1991-1-3 5.3.6")
    return g.word("plane.taller_along") if taller in ("adjoins", "stands near") else None


def _disagree(g: Gather, about: str, given: str, allowed: str, also: tuple[str, ...]) -> None:
    g.opens.append(Open(Word.OBSERVE, "disagree", about, given, allowed, "above", also))


# --- where it is -------------------------------------------------------------------------


def _ground(g: Gather) -> _Ground | None:
    form, pitch, outline, block = (
        g.word("plane.form"),
        g.measure("plane.pitch"),
        rectangle_of(g),
        block_of(g),
    )
    if form is None or pitch is None or outline is None or block is None:
        return None
    assert outline.rectangle is not None
    length, slope = (Ends(p.low / METRE, p.high / METRE) for p in outline.rectangle)
    low, high = pitch.ends
    cosine = Ends(math.cos(math.radians(high)), math.cos(math.radians(low)))
    run = Ends(slope.low * cosine.low, slope.high * cosine.high)
    seen = outline.seen, f"{g.job.file}:{outline.line}"
    return _Ground(form, block, length, run, depth_of(form, slope, pitch.ends), cosine, *seen)


def _obstacle(g: Gather, one: Obstacle, ground: _Ground) -> Source:
    """Least distance between array and obstacle along one of both axes, and its four sides."""
    assert one.rises is not None
    rises = Ends(one.rises.low / METRE, one.rises.high / METRE)
    origin = f"{g.job.file}:{one.line}"
    x = Ends(one.from_left / METRE, (one.from_left + one.width) / METRE)
    y = Ends(one.from_eave / METRE, (one.from_eave + one.height) / METRE)
    block, (flat, steep) = ground.block, (ground.cosine.high, ground.cosine.low)
    dx, dy = _apart(x, block.x), _apart(y, block.y)
    distance = Ends(max(dx, dy * steep), max(dx, dy * flat))
    bottom, top = Ends(y.low * steep, y.low * flat), Ends(y.high * steep, y.high * flat)
    right = Ends(max(0.0, ground.length.low - x.high), max(0.0, ground.length.high - x.high))
    above = Ends(max(0.0, ground.depth.low - top.high), max(0.0, ground.depth.high - top.low))
    left = Ends(x.low, x.low)
    sides = ((left, right), (right, left), (bottom, above), (above, bottom))
    height = Known(rises, one.seen, "measured", origin)
    return Source(one.id, "obstacle", height, replace(height, ends=distance), sides)


def _apart(one: Ends, other: Ends) -> float:
    """Gap between two stretches; none where they overlap."""
    return max(0.0, one.low - other.high, other.low - one.high)


def _parapet(edge: str, height: Known, ground: _Ground) -> Source:
    distance = ground.known(ground.beyond(edge))
    return Source(f"parapet {edge}", "parapet", height, distance, (ground.across(edge),))


def _taller_part(g: Gather, edge: str, ground: _Ground) -> Iterator[Source]:
    height, length, pitch = (g.measure(path) for path in SIZES)
    if height is None or length is None or pitch is None:
        return
    upper = Upper(length, ground.known(ground.across(edge)[1]), pitch)
    distance = ground.known(ground.beyond(edge))
    yield Source(f"taller part {edge}", "taller", height, distance, upper=upper)
