"""A layout as data: schema layout/1, lengths in whole micrometres, forces in N."""

from typing import Any

from selector.explanation.places.telling import PlacesTelling
from selector.layout.model import Box, Placed

SCHEMA = "layout/1"


def layout_data(telling: PlacesTelling, version: str) -> dict[str, Any]:
    """Everything on the page, and every clamp with its place."""
    laid = telling.laid
    return {
        "schema": SCHEMA,
        "seamwright": version,
        "base": telling.base.digest,
        "job": laid.loads.job,
        "as_of": laid.loads.as_of,
        "array": laid.array.id,
        "plane": laid.array.plane,
        "stack": laid.plan.id,
        "word": laid.word.text,
        "demo": list(laid.loads.invented),
        "unit": "um",
        "against": [telling.fault(f) for f in laid.faults]
        + [telling.flaw(rail, flaw) for rail, flaw in laid.flaws]
        + [telling.parting(why) for why in laid.unjoined]
        + telling.between_clips
        + telling.by_rules,
        "missing": [
            {"word": o.word.text, "path": o.about, "text": telling.missing(o)} for o in laid.opens
        ],
        "breaks_added": list(laid.added),
        "repairs": telling.repairs,
        "layout": None if laid.placed is None else _placed(telling, laid.placed),
    }


def _placed(telling: PlacesTelling, placed: Placed) -> dict[str, Any]:
    forces = {line.rail: line.found for line in telling.laid.lines}
    rails = []
    for rail in placed.rails:
        pieces = []
        for piece, found in zip(rail.pieces, forces[rail.id], strict=True):
            clamps = [
                {
                    "seam": c.seam,
                    "x": c.x,
                    "y": c.y,
                    "zone": c.zone,
                    "wind": c.wind,
                    "from_clip": c.from_clip,
                    "force_n": held.force_n or None,
                    "ratio": held.ratio or None,
                }
                for c, held in zip(piece.clamps, found.clamps, strict=True)
            ]
            ends = {"x0": piece.x0, "x1": piece.x1, "parts": list(piece.parts)}
            pieces.append({**ends, "clamps": clamps})
        rails.append(
            {
                "id": rail.id,
                "row": rail.row,
                "line": rail.line,
                "y": rail.y,
                "joints": list(rail.joints),
                "pieces": pieces,
            }
        )
    return {
        "pattern": placed.pattern,
        "claim": telling.claim,
        "outline": [list(corner) for corner in placed.roof.outline],
        "seams": [{"id": s.id, "x": s.x, "off": s.off} for s in placed.roof.seams],
        "modules": [
            {"row": row.number, "boxes": [_box(b) for b in row.modules], "breaks": list(row.breaks)}
            for row in placed.rows
        ],
        "rails": rails,
        "cut": None
        if placed.cut is None
        else {
            "bars": [{"stock": b.stock, "cuts": list(b.cuts)} for b in placed.cut.bars],
            "bound": placed.cut.bound,
            "proven": placed.cut.proven,
            "how": placed.cut.how,
        },
    }


def _box(box: Box) -> list[int]:
    return [box.x0, box.y0, box.x1, box.y1]
