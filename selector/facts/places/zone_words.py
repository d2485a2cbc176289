"""The words of the trade for the zones of the wind that an array reaches, if nobody said them."""

from selector.facts.actions.model import Loads

# Along eave, verge and ridge; the rest is field. Working rule: our own reading of the code's zones.
WORDS = {"F": "corner", "Fup": "corner", "Flow": "corner", "G": "edge", "J": "edge"}
FIELD, ORDER = "field", ("field", "edge", "corner")


def zones_of(loads: Loads) -> tuple[str, ...] | None:
    """Every zone that any wind may make the array reach; None where zones are not worked out."""
    if not loads.zones:
        return None
    found = {WORDS.get(zone.name, FIELD) for zone in loads.zones if zone.touched != "no"}
    return tuple(sorted(found, key=ORDER.index))
