"""The loads as data: schema loads/1, all figures in SI."""

from collections.abc import Mapping
from typing import Any

from selector.explanation.loads.telling import LoadsTelling
from selector.facts.actions.model import (
    Drift,
    Ends,
    LinkSets,
    Open,
    Part,
    Plan,
    Row,
    SetRow,
    Worst,
    ZoneRow,
)

SCHEMA = "loads/1"


def loads_data(telling: LoadsTelling, version: str, shown: tuple[str, ...]) -> dict[str, Any]:
    """Everything on the page; rows, zones and sets of the topics that are wanted."""
    loads = telling.loads
    topics = {
        name: {
            "word": topic.word.text,
            "open": [_open(telling, one) for one in topic.opens],
            **({"rows": [_row(telling, r) for r in topic.rows]} if name in shown else {}),
        }
        for name, topic in loads.topics.items()
    }
    data: dict[str, Any] = {
        "schema": SCHEMA,
        "seamwright": version,
        "base": telling.base.digest,
        "job": loads.job,
        "as_of": loads.as_of,
        "array": loads.array,
        "plane": loads.plane,
        "code": loads.code,
        "country": loads.country,
        "word": loads.word.text,
        "demo": list(loads.invented),
        "unit": "Pa",
        "peak": _ends(loads.peak_pa),
        "lift": {link: _worst(w) for link, w in loads.lift.items()},
        "press": {link: _worst(w) for link, w in loads.press.items()},
        "snow": _ends(loads.snow_pa),
        "accidental_snow": _ends(loads.accidental_pa),
        "accidental_drift": _ends(loads.drift_pa),
        "drifts": [_drift(one) for one in loads.drifts],
        "weight": _ends(loads.weight_pa),
        "area_m2": dict(loads.area_m2),
        "governing": {
            link: {part: _set(one) for part, one in found.governing.items()}
            for link, found in loads.sets.items()
        },
        "not_applicable": dict(loads.not_applicable),
        "to_confirm": [_row(telling, row) for row in loads.to_confirm],
        "topics": topics,
        "plan": None if loads.plan is None else _plan(loads.plan),
    }
    if "wind" in shown:
        data["zones"] = [_zone(zone) for zone in loads.zones]
    if "combinations" in shown:
        data["sets"] = {link: _sets(found) for link, found in loads.sets.items()}
    return data


def _ends(ends: Ends | None) -> list[float] | None:
    return None if ends is None else [ends.low, ends.high]


def _drift(one: Drift) -> dict[str, Any]:
    return {
        "at": one.name,
        "kind": one.kind,
        "distance_m": _ends(one.distance_m),
        "length_m": _ends(one.length_m),
        "snow": _ends(one.pa),
        "reaches": one.reaches,
    }


def _worst(worst: Worst) -> dict[str, Any]:
    return {"pressure": _ends(worst.pressure_pa), "zone": worst.zone, "wind": worst.wind}


def _open(telling: LoadsTelling, one: Open) -> dict[str, Any]:
    return {
        "word": one.word.text,
        "kind": one.kind,
        "about": one.about,
        "given": one.given,
        "allowed": one.allowed,
        "clause": one.clause,
        "also": list(one.also),
        "text": telling.missing(one),
    }


def _row(telling: LoadsTelling, row: Row) -> dict[str, Any]:
    return {
        "symbol": row.symbol,
        "value": row.value if isinstance(row.value, str) else _ends(row.value),
        "unit": row.unit,
        "clause": row.clause,
        "source": row.source,
        "status": row.status,
        "inputs": list(row.inputs),
        "how": telling.shown(row.how),
        "origin": row.origin,
    }


def _many(ends: Mapping[str, Ends]) -> dict[str, list[float] | None]:
    return {name: _ends(one) for name, one in ends.items()}


def _zone(zone: ZoneRow) -> dict[str, Any]:
    return {
        "zone": zone.name,
        "wind": zone.wind,
        "table": zone.table,
        "touched": zone.touched,
        "up": _many(zone.up),
        "down": _many(zone.down),
        "lift": _many(zone.lift_pa),
        "press": _many(zone.press_pa),
        "clause": zone.clause,
        "status": zone.status,
    }


def _sets(found: LinkSets) -> list[dict[str, Any]]:
    return [_set(one) for one in found.sets]


def _set(one: SetRow) -> dict[str, Any]:
    return {
        "name": one.name,
        "part": one.part,
        "value": _ends(one.value_pa),
        "clause": one.clause,
        "how": one.how,
        "inputs": list(one.inputs),
        "status": one.status,
    }


def _plan(plan: Plan) -> dict[str, Any]:
    return {
        "length_m": plan.length_m,
        "slope_m": plan.slope_m,
        "exact": plan.exact,
        "array": _part(plan.array),
        "zones": {wind: [_part(p) for p in parts] for wind, parts in plan.zones.items()},
    }


def _part(part: Part) -> dict[str, Any]:
    return {"zone": part.name, "x": [part.x0, part.x1], "y": [part.y0, part.y1]}
