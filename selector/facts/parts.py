"""Readers of catalogue parts, slots and plain data of the job."""

from dataclasses import dataclass

from selector import units
from selector.facts.view import View, reads
from selector.knowledge import schema
from selector.knowledge.base import Part, exact
from selector.model.fact import Fact, Reading
from selector.model.job import Array
from selector.model.quantity import Candidates, Filled, Text, Value, Window, Windows
from selector.model.stack import Core


def family_of(metal: str, coating: str) -> str:
    """Family of a metal and its coating, outermost first."""
    if metal == "steel":
        return "bare steel" if coating == "none" else "coated steel"
    return "copper alloy" if metal == "copper-alloy" else metal


def word(text: str) -> Candidates:
    """A choice that is known."""
    return Candidates(frozenset({text}))


# --- clamp -----------------------------------------------------------------------------


def _clamp(view: View) -> tuple[Part, schema.Clamp] | None:
    part = view.binding.clamp
    if part is None or not isinstance(part.shape, schema.Clamp):
        return None
    return part, part.shape


def _clamp_datum(view: View, path: str, key: str, value: Value) -> Reading:
    found = _clamp(view)
    assert found is not None
    fact = view.part_fact(found[0], path, value, key)
    return view.known(path, value, fact, entity=found[0].id)


@reads("clamp.grips.shapes", "choice")
def grips_shapes(view: View) -> Reading:
    """Shapes that the clamp has an entry for; the list is closed."""
    path = "clamp.grips.shapes"
    found = _clamp(view)
    if found is None:
        return view.unknown(path, "not asked")
    shapes = Candidates(frozenset(g.shape for g in found[1].grips))
    return _clamp_datum(view, path, "grips", shapes)


def _window(dimension: str) -> None:
    path = f"clamp.grips.{dimension}"

    @reads(path, "window")
    def grips_window(view: View) -> Reading:
        found = _clamp(view)
        shapes = view.words("plane.seam.shape")
        if found is None:
            return view.unknown(path, "not asked")
        part, clamp = found
        grips = [g for g in clamp.grips if shapes is None or g.shape in shapes]
        windows = [w for g in grips if (w := getattr(g, dimension)) is not None]
        if not windows or len(windows) < len(grips):
            return view.unknown(path, "no such window", part.id)
        value: Window | Windows = windows[0] if len(windows) == 1 else Windows(tuple(windows))
        index = clamp.grips.index(grips[0])
        fact = view.part_fact(part, path, value, "grips", index, dimension)
        return view.known(path, value, fact, entity=part.id)


for _dimension in ("height", "head", "leg", "bulb", "neck"):
    _window(_dimension)


@reads("clamp.clip_distance", "length")
def clip_distance(view: View) -> Reading:
    """Smallest distance of this clamp to a weak clip."""
    found = _clamp(view)
    if found is None:
        return view.unknown("clamp.clip_distance", "not asked")
    value = exact(found[1].clip_distance, "length")
    return _clamp_datum(view, "clamp.clip_distance", "clip_distance", value)


@reads("clamp.torque", "torque")
def torque(view: View) -> Reading:
    """Torque of the set screws."""
    found = _clamp(view)
    if found is None:
        return view.unknown("clamp.torque", "not asked")
    torque = found[1].torque
    value = Text(torque) if isinstance(torque, str) else exact(torque, "torque")
    return _clamp_datum(view, "clamp.torque", "torque", value)


def shown_torque(torque: int | str) -> str:
    """A torque with its unit, or what takes its place."""
    return torque if isinstance(torque, str) else units.show(torque, "torque")


@reads("clamp.generation", "choice")
def generation(view: View) -> Reading:
    """Old or new generation."""
    found = _clamp(view)
    if found is None:
        return view.unknown("clamp.generation", "not asked")
    value = word(found[1].generation)
    return _clamp_datum(view, "clamp.generation", "generation", value)


@reads("clamp.needs_insert", "filled")
def needs_insert(view: View) -> Reading:
    """The insert a two-part clamp needs."""
    found = _clamp(view)
    if found is None:
        return view.unknown("clamp.needs_insert", "not asked")
    return _clamp_datum(view, "clamp.needs_insert", "needs_insert", Filled(found[1].needs_insert))


@reads("clamp.screw_order", "filled")
def screw_order(view: View) -> Reading:
    """The order of its screws, where the clamp has one."""
    found = _clamp(view)
    if found is None:
        return view.unknown("clamp.screw_order", "not asked")
    order = ", then ".join(found[1].screw_order) or None
    return _clamp_datum(view, "clamp.screw_order", "screw_order", Filled(order))


@reads("clamp.own_profile", "choice")
def own_profile(view: View) -> Reading:
    """Whether a profile of the base takes only this clamp."""
    path = "clamp.own_profile"
    found = _clamp(view)
    if found is None:
        return view.unknown(path, "not asked")
    part = found[0]
    catalogue = view.base.catalogues[part.id.partition("/")[0]]
    owned = any(
        isinstance(p.shape, schema.Profile) and p.shape.takes_only == part.handle
        for p in catalogue.slot("profile")
    )
    return _clamp_datum(view, path, "text", word("yes" if owned else "no"))


# --- rail ------------------------------------------------------------------------------


def _rail(view: View) -> tuple[Part, schema.Rail] | None:
    part = view.binding.rail
    if part is None or not isinstance(part.shape, schema.Rail):
        return None
    return part, part.shape


def _rail_length(key: str) -> None:
    path = f"rail.{key}"

    @reads(path, "length")
    def rail_length(view: View) -> Reading:
        found = _rail(view)
        if found is None:
            return view.unknown(path, "no rail")
        part, rail = found
        value = exact(getattr(rail, key), "length")
        return view.known(path, value, view.part_fact(part, path, value, key), entity=part.id)


for _key in ("span", "cantilever", "rigid_run"):
    _rail_length(_key)


# --- slots of the stack ----------------------------------------------------------------


def _slot(slot: str) -> None:
    path = f"stack.{slot}"

    @reads(path, "filled")
    def slot_of(view: View) -> Reading:
        core = view.binding.core
        if core is None:
            return view.unknown(path, "not asked")
        part = getattr(core, slot)
        return view.known(path, Filled(part), view.slot_fact(slot, part))


for _name in ("insert", "inlay", "bolts", "rail", "frame", "cross", "upper_rail"):
    _slot(_name)


@reads("stack.module_clamp", "filled")
def stack_module_clamp(view: View) -> Reading:
    """The module clamp that is judged with the core; without one nothing holds the modules."""
    path = "stack.module_clamp"
    if view.binding.core is None:
        return view.unknown(path, "not asked")
    chosen = view.binding.module_clamp
    return view.known(path, Filled(chosen), view.slot_fact("module_clamp", chosen))


@reads("stack.adapters", "count")
def adapters(view: View) -> Reading:
    """How many adapters stand between clamp and rail."""
    core = view.binding.core
    if core is None:
        return view.unknown("stack.adapters", "not asked")
    fact = view.slot_fact("adapters", ", ".join(core.adapters) or None)
    return view.known("stack.adapters", exact(len(core.adapters), "count"), fact)


@reads("stack.drawn", "choice")
def drawn(view: View) -> Reading:
    """Whether rail lines and clamp places are drawn; nothing undrawn is invented."""
    plan = view.binding.plan
    there = plan is not None and plan.layout is not None
    fact = view.slot_fact("layout", "drawn" if there else None)
    return view.known("stack.drawn", word("drawn" if there else "not drawn"), fact)


@reads("stack.screw_tip", "choice")
def screw_tip(view: View) -> Reading:
    """Whether the set screws are those that belong to the clamp."""
    plan, found = view.binding.plan, _clamp(view)
    if found is None:
        return view.unknown("stack.screw_tip", "not asked")
    tip = plan.screw_tip if plan is not None else None
    same = tip is None or tip == found[1].set_screw.tip
    value = word("as delivered" if same else "other")
    return view.known("stack.screw_tip", value, view.slot_fact("screw_tip", tip or "as delivered"))


@reads("stack.set_torque", "choice")
def set_torque(view: View) -> Reading:
    """Whether the set screws get the torque that the clamp is listed with, whatever that is."""
    path = "stack.set_torque"
    plan, found = view.binding.plan, _clamp(view)
    if found is None:
        return view.unknown(path, "not asked")
    torque = plan.torque if plan is not None else None
    same = torque is None or torque == found[1].torque
    shown = "as listed" if torque is None else units.show(torque, "torque")
    listed = view.part_fact(found[0], "clamp.torque", shown_torque(found[1].torque), "torque")
    value = word("as listed" if same else "other")
    return view.known(path, value, view.slot_fact("torque", shown), listed)


@reads("stack.torque", "torque")
def stack_torque(view: View) -> Reading:
    """Torque that the set screws get: the clamp's own, or what the stack is set to."""
    plan, listed = view.binding.plan, view.read("clamp.torque")
    if plan is None or plan.torque is None:
        return Reading(listed.value, listed.because, "stack.torque", listed.entity, listed.asks)
    value = exact(plan.torque, "torque")
    return view.known("stack.torque", value, view.slot_fact("torque", str(value)))


# --- joint -----------------------------------------------------------------------------


def offered_by(part: Part) -> str | None:
    """Interface that a part offers to the next one up."""
    return part.shape.offers


@dataclass(frozen=True)
class Ends:
    """The two interfaces that meet in a joint, and the parts they belong to."""

    lower: Part
    bolts: Part | None
    upper: Part
    offered: str
    taken: tuple[str, ...]
    offers: Part  # what really offers it: the bolts, where they stand on the lower part


def ends_of(view: View) -> Ends | None:
    """Interfaces of the joint of this subject."""
    joint = view.binding.joint
    if joint is None:
        return None
    lower, upper = view.part(joint.lower), view.part(joint.upper)
    bolts = None if joint.bolts is None else view.part(joint.bolts)
    offered, offers = lower.interface or "nothing", lower
    if bolts is not None and offered in bolts.takes:
        offered, offers = bolts.interface or "nothing", bolts
    elif bolts is not None:
        offered = f"{offered} (bolts {bolts.handle} do not fit)"
    return Ends(lower, bolts, upper, offered, upper.takes, offers)


@reads("joint.offered", "choice")
def joint_offered(view: View) -> Reading:
    """Interface that the lower side offers, bolts included."""
    ends = ends_of(view)
    if ends is None:
        return view.unknown("joint.offered", "not asked")
    shown = f"{ends.offers.handle} offers {ends.offered}"
    fact = view.part_fact(ends.offers, "joint.offered", shown, "offers")
    return view.known("joint.offered", word(ends.offered), fact, entity=ends.offers.id)


@reads("joint.taken", "choice")
def joint_taken(view: View) -> Reading:
    """Interfaces that the upper side takes."""
    ends = ends_of(view)
    if ends is None:
        return view.unknown("joint.taken", "not asked")
    shown = f"{ends.upper.handle} takes {' or '.join(ends.taken) or 'nothing'}"
    fact = view.part_fact(ends.upper, "joint.taken", shown, "takes")
    return view.known("joint.taken", Candidates(frozenset(ends.taken)), fact, entity=ends.upper.id)


@reads("joint.listing", "choice")
def joint_listing(view: View) -> Reading:
    """Whether an adapter of this joint is listed for the clamp of the stack."""
    path = "joint.listing"
    joint, clamp = view.binding.joint, view.binding.clamp
    if joint is None or clamp is None:
        return view.unknown(path, "not asked")
    upper = view.part(joint.upper)
    if upper.slot != "adapter":
        fact = view.part_fact(upper, path, f"{upper.handle} is no adapter")
        return view.known(path, word("no adapter"), fact, entity=upper.id)
    listed = upper.is_listed_for(clamp)
    shown = f"{upper.handle} is listed for {', '.join(upper.shape.listed_for) or 'nothing'}"
    fact = view.part_fact(upper, path, shown, "listed_for")
    return view.known(path, word("listed" if listed else "not listed"), fact, entity=upper.id)


@reads("joint.upper_slot", "choice")
def joint_upper_slot(view: View) -> Reading:
    """What sits on top: adapter, rail, module_clamp, ..."""
    joint = view.binding.joint
    if joint is None:
        return view.unknown("joint.upper_slot", "not asked")
    upper = view.part(joint.upper)
    fact = view.part_fact(upper, "joint.upper_slot", upper.handle)
    return view.known("joint.upper_slot", word(upper.slot), fact, entity=upper.id)


@reads("joint.bolted", "choice")
def joint_bolted(view: View) -> Reading:
    """Whether bolts join the two parts."""
    joint = view.binding.joint
    if joint is None:
        return view.unknown("joint.bolted", "not asked")
    fact = view.slot_fact("bolts", joint.bolts)
    return view.known("joint.bolted", word("yes" if joint.bolts else "no"), fact)


def module_of(view: View) -> tuple[Part, schema.Module] | None:
    """Module of the array."""
    if view.binding.array is None:
        return None
    part = view.part(view.binding.array.module)
    return (part, part.shape) if isinstance(part.shape, schema.Module) else None


def clamped_side(array: Array, core: Core | None) -> str:
    """Sides that rails clamp: a second layer that crosses the first turns them."""
    crossed = core is not None and core.upper_rail is not None
    return "long" if (array.orientation == "portrait") != crossed else "short"


@reads("array.frame", "length")
def array_frame(view: View) -> Reading:
    """Frame height of the module."""
    found = module_of(view)
    if found is None:
        return view.unknown("array.frame", "not asked")
    value = exact(found[1].frame, "length")
    fact = view.part_fact(found[0], "array.frame", value, "frame")
    return view.known("array.frame", value, fact, entity=found[0].id)


@reads("joint.frame", "window")
def joint_frame(view: View) -> Reading:
    """Frame heights that the module clamp of this joint holds."""
    joint = view.binding.joint
    upper = None if joint is None else view.part(joint.upper)
    if upper is None or not isinstance(upper.shape, schema.ModuleClamp):
        return view.unknown("joint.frame", "no module clamp")
    window = upper.shape.frame
    fact = view.part_fact(upper, "joint.frame", window, "frame")
    return view.known("joint.frame", window, fact, entity=upper.id)


# --- array, request, act -----------------------------------------------------


def _array_fact(view: View, path: str, shown: str) -> Fact:
    array, job = view.binding.array, view.job
    assert array is not None
    origin = f"{job.file}:{array.line}" if job else ""
    return Fact(path, array.id, shown, origin, "drawn", "measured")


@reads("array.tilt", "choice")
def array_tilt(view: View) -> Reading:
    """Parallel to the roof or elevated; any tilt is elevated."""
    array = view.binding.array
    if array is None:
        return view.unknown("array.tilt", "not asked")
    tilt = "parallel" if array.tilt is None else "elevated"
    return view.known("array.tilt", word(tilt), _array_fact(view, "array.tilt", tilt))


@reads("array.orientation", "choice")
def array_orientation(view: View) -> Reading:
    """Portrait or landscape."""
    array = view.binding.array
    if array is None:
        return view.unknown("array.orientation", "not asked")
    fact = _array_fact(view, "array.orientation", array.orientation)
    return view.known("array.orientation", word(array.orientation), fact)


@reads("request.kind", "choice")
def request_kind(view: View) -> Reading:
    """What is asked of the program."""
    if view.job is None:
        return view.unknown("request.kind", "not asked")
    kind = view.job.request.kind
    fact = Fact("request.kind", "job", kind, view.job.file, "", "measured")
    return view.known("request.kind", word(kind), fact)


@reads("act.what", "choice")
def act_what(view: View) -> Reading:
    """The thing that somebody wants to do."""
    act = view.binding.act
    if act is None:
        return view.unknown("act.what", "not asked")
    return view.known("act.what", word(act), Fact("act.what", "act", act, "", "asked"))
