"""The kit as data: schema kit/1. Prices are decimal strings, masses kg, lengths m."""

from decimal import Decimal
from typing import Any

from selector.explanation.kit.telling import KitTelling
from selector.kit.model import METRE, Line, Totals
from selector.kit.totals import area_mass, area_weight
from selector.knowledge.schema import Price

SCHEMA = "kit/1"


def kit_data(telling: KitTelling, version: str) -> dict[str, Any]:
    """Everything on the page."""
    kit = telling.kit
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": telling.base.digest,
        "job": kit.job,
        "as_of": kit.as_of,
        "array": kit.array,
        "plane": kit.plane,
        "stack": kit.stack,
        "core": kit.core,
        "word": kit.word.text,
        "released": kit.released,
        "preliminary": kit.preliminary,
        "complete": not kit.forbidden and not kit.unlisted,
        "demo": list(kit.invented),
        "gates": list(kit.gates),
        "stops": [] if kit.forbidden else list(telling.stops()),
        "forbidden_by": [
            {"rule": rule, "text": text, "more": more}
            for rule, text, more in telling.forbidden_by()
        ],
        "lines": [line_data(telling, line) for line in kit.lines],
        "leave_out": [
            {
                "id": line.item.id,
                "what": telling.what(line),
                "because": telling.why(line),
                "perhaps": line.perhaps,
                "source": line.item.source,
                "status": line.item.status,
            }
            for line in kit.leave_out
            if line.item is not None
        ],
        "totals": None if kit.totals is None else _totals(kit.totals),
    }


def line_data(telling: KitTelling, line: Line) -> dict[str, Any]:
    """One line; the table of a buyer has the same cells."""
    item = line.item
    return {
        "group": line.group,
        "kind": line.kind if item is None else item.id,
        "what": telling.what(line),
        "part": line.part,
        "number": _number(line.amount),
        "unit": line.unit,
        "length_m": line.length / METRE if line.length else None,
        "spare": line.spare,
        "pack": line.pack,
        "order": _number(line.order) if item is None else line.number,
        "mass_kg": None if line.mass is None else line.mass / 1_000,
        "on_roof_kg": None if line.on_roof is None else line.on_roof / 1_000,
        "price_each": _amount(line.each),
        "price": _amount(line.price),
        "currency": line.price.currency if line.price is not None else "",
        "because": telling.why(line),
        "follows": line.follows,
        "listed": line.listed,
        "there": line.there,
        "perhaps": line.perhaps,
        "fault": line.fault,
        "note": telling.say("kit.line.join").join(telling.notes(line)),
        "status": "" if item is None else item.status,
    }


def _number(value: Decimal | None) -> int | float | None:
    if value is None:
        return None
    return int(value) if value == value.to_integral_value() else float(value)


def _amount(price: Price | None) -> str | None:
    return None if price is None else f"{price.amount:.2f}"


def _totals(found: Totals) -> dict[str, Any]:
    mass = area_mass(found.on_roof, found.area)
    weight = area_weight(found.on_roof, found.area)
    return {
        "mass_kg": found.mass / 1_000,
        "on_roof_kg": found.on_roof / 1_000,
        "lines": found.lines,
        "weighed": found.weighed,
        "priced": found.priced,
        "prices": {currency: f"{amount:.2f}" for currency, amount in found.prices.items()},
        "area_m2": found.square_metres,
        "kg_m2": mass,
        "weight_pa": weight,
        "fixings_kg_m2": area_mass(found.fixings, found.area),
        "allowance_kg_m2": found.allowance / 1_000,
        "reserve_pa": None if found.reserve is None else found.reserve / 1_000,
        "reserve_paper": found.paper,
    }
