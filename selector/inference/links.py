"""The chain of a stack from module to board: every check that the rules make, link by link.

Each figure is read where the rules read it, so the chain never says another word than they do.
"""

from collections.abc import Iterator
from dataclasses import replace

from selector import units
from selector.engineering.lines import STATUSES, weakest
from selector.facts.actions.model import Ends, Open
from selector.facts.links.model import Link
from selector.facts.view import View
from selector.inference.answer import Option
from selector.inference.judge import Judgement
from selector.model.job import Stated, Worked
from selector.model.quantity import Ratio, Unknown
from selector.model.truth import Word

MODULE_CLAMP = "module_clamp"
ALONG = ("module_clamp_along", "joint_along", "clamp_along", "fixed_clips")
CLIP, LENGTHS = "clip", ("m", "mm")
BOTH = "stated.slide_with_uplift"
TOGETHER = "clamp_together"  # two directions at once: a ratio, no figure of its own
# Of the stack: name of the link, path of its check, and the figure that it gets.
UPPER = (
    ("module_up", "stack.module_up", "net_uplift"),
    ("module_down", "stack.module_down", "net_down"),
)
RAIL = (
    ("rail_up", "stack.rail_uplift", "net_uplift"),
    ("rail_down", "stack.rail_down", "net_down"),
)
LOWER = (
    ("clamp_up", "stack.clamp_uplift", "uplift_per_clamp"),
    ("clamp_along", "stack.clamp_slide", "slide_per_clamp"),
    (TOGETHER, "stack.clamp_together", ""),
    (CLIP, "stack.clip_share", "clip_share"),
    ("fixed_clips", "stack.sheet_slide", "slide_per_fixed_clip"),
)


def chain_of(option: Option, lacking: tuple[Open, ...] = ()) -> tuple[Link, ...]:
    """All links of a judged stack, from the module down to the building.

    `lacking` is what the figures along the slope wait for, said first where one is not known.
    """
    by_kind: dict[str, list[Judgement]] = {}
    for judgement in option.judgements:
        by_kind.setdefault(judgement.subject.kind, []).append(judgement)
    stack = by_kind["stack"][0].view
    links = _links(stack, [j.view for j in by_kind.get("joint", [])])
    return tuple(_waiting(link, lacking) for link in links)


def _waiting(link: Link, lacking: tuple[Open, ...]) -> Link:
    if link.ratio is not None or link.name not in ALONG or not lacking:
        return link
    own = lacking[-1:] if link.name == "fixed_clips" else lacking
    return replace(link, opens=(*own, *link.opens))


def most_used(links: tuple[Link, ...], clips: float = 0.0) -> Link | None:
    """The link that is used most, among those whose both sides are known; None without any.

    A length is a limit of a table or of use, no strength: it counts where it is passed. `clips` is
    the use of the clips by the sum of all clamps, which may lie above what a paper says.
    """

    def used(link: Link) -> float:
        high = 0.0 if link.ratio is None else link.ratio.high
        if link.name == CLIP:
            return max(high, clips)
        return high if link.unit not in LENGTHS or high > 1 else 0.0

    known = [link for link in links if link.ratio is not None]
    return max(known, key=used, default=None)


def _links(stack: View, joints: list[View]) -> Iterator[Link]:
    yield from (_link(stack, *row) for row in UPPER)
    above = [v for v in joints if _on_module(v)]
    yield from _joints(above, MODULE_CLAMP, "per_module_clamp")
    if stack.binding.rail is not None:
        yield from (_link(stack, *row) for row in RAIL)
    yield from _joints([v for v in joints if not _on_module(v)], "joint", "per_clamp")
    yield from (_link(stack, *row) for row in LOWER)
    yield _link(stack, "building", "array.reserve", "")


def _joints(views: list[View], name: str, of: str) -> Iterator[Link]:
    for view in views:
        yield _link(view, f"{name}_up", "joint.uplift", f"uplift_{of}")
        yield _link(view, f"{name}_along", "joint.along", f"slide_{of}")


def _on_module(view: View) -> bool:
    joint = view.binding.joint
    return joint is not None and view.part(joint.upper).slot == MODULE_CLAMP


def _link(view: View, name: str, path: str, figure: str) -> Link:
    """One check as the rules read it."""
    reading = view.read(path)
    joint = view.binding.joint
    place = "" if joint is None else joint.id
    stated = view.stated(figure) if figure else Unknown("not asked")
    facts = sorted({f for reason in reading.because[:1] for f in reason}, key=lambda f: f.path)
    inputs = tuple(f.shown for f in facts)
    status = weakest(f.status for f in facts if f.status in STATUSES) if facts else ""
    demand, how, unit = None, "", ""
    if not isinstance(stated, Unknown):
        value, fact = stated
        size, unit = _size(value.dimension)
        demand = Ends(value.value / size, value.value / size)
        how = fact.seen
    elif name == TOGETHER:
        how = next((f.seen for f in facts if f.path == BOTH), "")
    opens: tuple[Open, ...] = ()
    capacity = used = None
    if isinstance(reading.value, Ratio):
        found = reading.value
        own = None if isinstance(stated, Unknown) else _own(stated[0])
        if own is not None:
            demand, capacity = own
            used = Ends(found.low, found.high)
        elif demand is not None and name != TOGETHER:
            low, high = (_over(demand.high, r) for r in (found.high, found.low))
            capacity = Ends(low, high)
        else:  # a ratio without a figure of its own, such as two directions at once
            demand, capacity, unit = Ends(found.low, found.high), Ends(1.0, 1.0), ""
    else:
        asks = reading.asks or (path,)
        opens = tuple(Open(Word.OBSERVE, "missing", one, "not asked") for one in asks)
    return Link(name, place, demand, capacity, unit, "", how, inputs, status, opens, used)


def _own(figure: Stated | Worked) -> tuple[Ends, Ends] | None:
    """Demand and capacity at the place of a figure that was worked out with its check."""
    if not isinstance(figure, Worked) or figure.capacity is None:
        return None
    size, _ = _size(figure.dimension)
    low, high = figure.capacity
    least = figure.value if figure.least is None else figure.least
    return Ends(least / size, figure.value / size), Ends(low / size, high / size)


def _over(demand: float, ratio: float) -> float:
    return demand / ratio if ratio > 0 else float("inf")


def _size(dimension: str) -> tuple[int, str]:
    """Base units in the unit that is shown, and its name."""
    unit = {"force": "kN", "pressure": "kPa"}[dimension]
    return units.parse(f"1 {unit}", dimension), unit
