"""How near a clamp stands to a soldered or welded collar: as stated in the layout, and as drawn."""

import math
from collections.abc import Iterator

from selector.facts.layouts import Drawing, drawing
from selector.facts.places.crossed import seams_of
from selector.facts.view import View, reads
from selector.layout.model import Seam
from selector.model.fact import Reading
from selector.model.job import Obstacle, Plane
from selector.model.quantity import Measured, Place

PATH = "layout.collar_distance"


@reads(PATH, "length")
def collar_distance(view: View) -> Reading:
    """The nearer of what the layout states and of what clamps and collars measure on the plane.

    Collars are drawn with the plane; one that is not drawn leaves the distance open.
    """
    drawn = drawing(view)
    if drawn is None:
        return view.unknown(PATH, "not drawn", "", (PATH,))
    found = [place for place in (_stated(view, drawn), _measured(view, drawn)) if place is not None]
    if not found:
        return view.unknown(PATH, "not drawn", "", (PATH,))
    value = Measured("length", (min(found),))
    return view.known(PATH, value, drawn.fact(PATH, str(value)))


def _stated(view: View, drawn: Drawing) -> Place | None:
    at, slack = drawn.layout.collar_distance, _slack(view)
    return None if at is None else Place(at - slack, at + slack)


def _slack(view: View) -> int:
    return view.base.numbers["setting_out_tolerance"].value.places[0].high


def _measured(view: View, drawn: Drawing) -> Place | None:
    """The nearest clamp to the nearest drawn collar; None where a seam or no collar is drawn."""
    plane = view.binding.plane
    collars = [] if plane is None else [o for o in plane.objects if o.collar]
    clamps = None if plane is None else _clamps(plane, drawn)
    if not collars or not clamps:
        return None
    play = _slack(view) + view.base.numbers["line_tolerance"].value.places[0].high
    return min(_between(seam, y, collar, play) for seam, y in clamps for collar in collars)


def _clamps(plane: Plane, drawn: Drawing) -> list[tuple[Seam, int]] | None:
    """Every clamp that may stand: its seam and its height; None where a seam is not measured."""
    wanted = list(_drawn(drawn))
    seams = {seam.id: seam for seam in seams_of(plane)}
    if not wanted or any(name not in seams for name, _ in wanted):
        return None
    return [(seams[name], y) for name, y in wanted]


def _drawn(drawn: Drawing) -> Iterator[tuple[str, int]]:
    """Seams and heights of the drawing; of every second seam any may be the one."""
    clamps = drawn.layout.clamps
    if isinstance(clamps, dict):
        yield from ((name, y) for name, heights in clamps.items() for y in heights)
        return
    for name in drawn.array.crosses or ():
        yield from ((name, rail.from_eave) for rail in drawn.layout.rails)


def _between(seam: Seam, y: int, collar: Obstacle, play: int) -> Place:
    """Distance of a clamp from the rectangle of a collar, both within what they may be off."""
    across = max(collar.from_left - seam.x, seam.x - collar.from_left - collar.width, 0)
    up = max(collar.from_eave - y, y - collar.from_eave - collar.height, 0)
    off = seam.off + play
    low = math.hypot(max(0, across - off), max(0, up - play))
    return Place(math.floor(low), math.ceil(math.hypot(across + off, up + play)))
