"""What the crew did with the parts of a stack, and what already stands beside it."""

from selector.facts.parts import clamped_side, module_of, word
from selector.facts.view import View, reads
from selector.model.fact import Reading
from selector.model.quantity import Filled


def _improvised(key: str) -> None:
    path = f"stack.improvised.{key}"

    @reads(path, "filled")
    def improvised(view: View) -> Reading:
        plan = view.binding.plan
        made = plan.improvised.get(key) if plan is not None else None
        if plan is None and view.binding.core is None:
            return view.unknown(path, "not asked")
        return view.known(path, Filled(made), view.slot_fact(f"improvised.{key}", made))


for _key in ("fit", "inlay", "adapter"):
    _improvised(_key)


def _said(path: str, field: str, otherwise: str) -> None:
    name = path.partition(".")[2]

    @reads(path, "choice")
    def said(view: View) -> Reading:
        plan = view.binding.plan
        if plan is None and view.binding.core is None:
            return view.unknown(path, "not asked")
        found = otherwise if plan is None else str(getattr(plan, field))
        return view.known(path, word(found), view.slot_fact(name, found))


_said("stack.tightened", "tightened", "as listed")
_said("stack.beside.clamps", "beside_clamps", "none")
_said("stack.beside.rails", "beside_rails", "none")


@reads("contact.wire", "choice")
def contact_wire(view: View) -> Reading:
    """The earth wire that may drip on a contact: bare copper, or another or none."""
    path = "contact.wire"
    if view.binding.contact is None:
        return view.unknown(path, "not asked")
    plan = view.binding.plan
    wire = plan.bonding_wire if plan is not None else "not stated"
    value = word("bare copper" if wire == "bare copper" else "other")
    return view.known(path, value, view.slot_fact("bonding_wire", wire))


@reads("stack.side", "choice")
def stack_side(view: View) -> Reading:
    """Sides on which these rails clamp the modules: long or short."""
    path = "stack.side"
    array, core = view.binding.array, view.binding.core
    if array is None or core is None:
        return view.unknown(path, "not asked")
    side = clamped_side(array, core)
    layers = "two layers" if core.upper_rail is not None else "one layer"
    fact = view.slot_fact("upper_rail", f"{array.orientation} on {layers}")
    return view.known(path, word(side), fact)


@reads("array.module_sides", "choice")
def module_sides(view: View) -> Reading:
    """Sides on which the module's own sheet allows clamps."""
    path = "array.module_sides"
    found = module_of(view)
    if found is None:
        return view.unknown(path, "not asked")
    part, module = found
    fact = view.part_fact(part, path, f"its {module.sides} sides may be clamped", "sides")
    return view.known(path, word(module.sides), fact, entity=part.id)
