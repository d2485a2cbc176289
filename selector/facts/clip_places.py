"""Where between its clips a clamp may stand so that neither gets more than it can spare."""

import math

from selector import units
from selector.engineering.clip_share import least_distance_m
from selector.facts.checks import clip_capacity, least_of
from selector.facts.measures import widest_apart
from selector.facts.parts import word
from selector.facts.split import looks_at
from selector.facts.view import View, reads
from selector.model.fact import Fact, Reading, Reasons, all_of
from selector.model.quantity import Text, Unknown

MILLIMETRE, METRE = units.parse("1 mm", "length"), units.parse("1 m", "length")
NEWTON = units.parse("1 N", "force")


def _solved(view: View) -> tuple[int, bool | None, Reasons] | None:
    """Least distance in whole millimetres, whether a window is left, and why; None if not known.

    The nominal spacing counts; what marks and setting out may be off must fit into the window. Of a
    force that is known as a range the most gives the distance; it is not known whether a window
    is left where both ends differ.
    """
    clamp, widest = view.binding.clamp, widest_apart(view)
    if clamp is None or view.job is None or widest is None:
        return None
    factor = view.base.catalogues[clamp.catalogue].clip_factor
    force, spare = view.stated("uplift_per_clamp"), clip_capacity(view, "pull")
    if factor is None or isinstance(force, Unknown) or spare is None:
        return None
    apart, because = widest
    off = [view.base.numbers[n].value.places[0].high for n in _OFF]
    distances = []
    for newtons in (least_of(force[0]) / NEWTON, force[0].value / NEWTON):
        least = least_distance_m(apart / METRE, newtons, spare[0] / NEWTON, factor)
        distances.append(math.ceil(round(least * 1000, 3)))
    first, last = (apart - 2 * one * MILLIMETRE >= 2 * sum(off) for one in distances)
    left = last if first == last else None
    shown = f"clip factor {factor} of the catalogue {clamp.catalogue}"
    own = Fact("catalogue.clip_factor", clamp.catalogue, shown, "", "", clamp.status)
    return distances[-1], left, all_of([because, spare[2], (frozenset({force[1], own}),)])


def _missing(view: View) -> tuple[str, ...]:
    """What the share still waits for."""
    found = []
    if widest_apart(view) is None:
        found.append("plane.clips.spacing")
    if isinstance(view.stated("uplift_per_clamp"), Unknown):
        found += view.to_ask("uplift_per_clamp")
    if view.job is None or clip_capacity(view, "pull") is None:
        found += view.read("plane.clips clip in deck").asks or ("plane.clips",)
    return tuple(found)


_OFF = ("clip_mark_tolerance", "setting_out_tolerance")


@reads("stack.clip_places", "choice")
def clip_places(view: View) -> Reading:
    """Whether some place between two clips carries the clamp, as far as that is worked out."""
    path = "stack.clip_places"
    clamp, solved = view.binding.clamp, _solved(view)
    if solved is None and clamp is not None:
        if view.base.catalogues[clamp.catalogue].clip_factor is None:
            fact = Fact(path, clamp.catalogue, "no clip factor, so no share by the hand rule")
            return view.known(path, word("not worked out"), fact)
        return view.unknown(path, "not asked", "", _missing(view))
    if solved is None:
        return view.unknown(path, "not asked")
    if solved[1] is None:
        return view.unknown(path, "not asked", "", ("stated.uplift_per_clamp",))
    return view.resting(path, word("between the clips" if solved[1] else "nowhere"), solved[2])


@reads("stack.clip_window", "text")
def clip_window(view: View) -> Reading:
    """What the share of the clips adds to the least distance of the clamp, in words."""
    path = "stack.clip_window"
    solved = _solved(view)
    text = "further where the calculation of the clip's share asks for it"
    if solved is not None:
        text = f"and {solved[0]} mm from both clips beside it, so that neither gets too much"
    return view.known(path, Text(text), Fact(path, "stack", text))


for _path in ("stack.clip_places", "stack.clip_window"):
    looks_at(_path, "plane.seam.shape", "plane.deck.kind", "plane.clips.kind")
