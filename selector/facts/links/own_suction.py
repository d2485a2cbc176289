"""What the wind draws at the bare sheet by itself: taken off a clip record that is stated gross.

EN 1991-1-4:2005 clauses 5.2(3) and 7.2.9: the coefficient of 1 m2 in the worst zone that the sheet
of a clip touches, with inner pressure, since no fact of a job says that a deck lets no air through.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from selector.engineering.clip_influence import suction_pa
from selector.engineering.lines import weakest
from selector.engineering.tables import Code
from selector.facts.actions.model import Ends, Loads
from selector.layout.model import Box, Roof

INNER = "inner_pressure"
DOMINANT = "judgement"  # that no face dominates by its openings, which nobody is asked


@dataclass(frozen=True)
class OwnSuction:
    """Design suction in Pa by wind and zone, and the boxes of the zones as far as they reach."""

    by_zone: Mapping[tuple[str, str], Ends]
    boxes: tuple[tuple[tuple[str, str], Box], ...]
    inner: float
    status: str

    def on(self, piece: Box) -> Ends:
        """Range over the zones that a piece of sheet touches; over all zones where it meets none.

        The largest counts against the clip, whatever wind and zone it comes from.
        """
        met = [key for key, box in self.boxes if _meets(box, piece)] or list(self.by_zone)
        least: dict[str, float] = {}  # by wind
        for key in met:
            low = self.by_zone[key].low
            least[key[0]] = min(low, least.get(key[0], low))
        return Ends(max(least.values()), max(self.by_zone[key].high for key in met))


def own_suction(loads: Loads, code: Code | None, roof: Roof) -> OwnSuction | None:
    """Design suction on the bare sheet; None where the wind on the roof is not worked out."""
    if code is None or loads.peak_pa is None or loads.gamma_wind is None or not loads.zones:
        return None
    inner, gamma, peak = code.figure(INNER), loads.gamma_wind, loads.peak_pa
    found: dict[tuple[str, str], Ends] = {}
    for row in loads.zones:
        outside = row.up["cpe,1"]
        both = Ends(
            suction_pa(gamma, peak.low, min(0.0, outside.high), inner.value),
            suction_pa(gamma, peak.high, min(0.0, outside.low), inner.value),
        )
        old = found.setdefault((row.wind, row.name), both)
        found[row.wind, row.name] = Ends(min(old.low, both.low), max(old.high, both.high))
    boxes = tuple(((z.wind, z.name), z.box) for z in roof.zones if (z.wind, z.name) in found)
    wind = (row.status for row in loads.topics["wind"].rows)
    return OwnSuction(found, boxes, inner.value, weakest([*wind, inner.ref.status, DOMINANT]))


def _meets(box: Box, piece: Box) -> bool:
    """Whether a zone reaches a piece of sheet, its edge too."""
    across = box.x0 <= piece.x1 and piece.x0 <= box.x1
    return across and box.y0 <= piece.y1 and piece.y0 <= box.y1
