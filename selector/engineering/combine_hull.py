"""Design sets over intervals: every set at all ends of its actions and where its pitch turns.

Source: EN 1990:2002 clauses 6.4.3.2 and 6.4.3.3, as in `combine_en`.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from selector.engineering.combine_en import Actions, DesignSet, combine, factors
from selector.engineering.lines import Sheet
from selector.engineering.over import Interval, interval
from selector.engineering.tables import Code

PARTS = ("uplift", "pressure", "along")


@dataclass(frozen=True)
class ActionsBox:
    """Lowest and highest actions in Pa, pitch in degrees, altitude in m; as in `Actions`."""

    exact: Actions  # weights and statuses; its other figures are not read
    wind_up_pa: Interval
    wind_down_pa: Interval
    snow_pa: Interval
    pitch_deg: Interval
    altitude_m: Interval
    accidental_pa: Interval | None = None
    drift_pa: Interval | None = None


@dataclass(frozen=True)
class SetHull:
    """One part of a named set: uplift, pressure or along, in Pa from lowest to highest."""

    name: str
    part: str
    clause: str
    how: str
    low: float
    high: float


@dataclass(frozen=True)
class CombinedHull:
    """All parts of all sets, those that govern by direction, what does not apply, the sheets."""

    sets: tuple[SetHull, ...]
    governing: Mapping[str, SetHull]  # uplift, pressure, along -> the one with the highest end
    not_applicable: Mapping[str, str]
    sheets: tuple[Sheet, ...]

    def of(self, name: str, part: str) -> SetHull:
        """One part of a set; KeyError where there is none."""
        for found in self.sets:
            if (found.name, found.part) == (name, part):
                return found
        raise KeyError(f"{name}, {part}")


def combine_hull(code: Code, box: ActionsBox) -> CombinedHull:
    """Hull of every named set; of equal ones the first governs.

    EN 1990:2002 clauses 6.4.3.2 and 6.4.3.3; BadInputError for a reversed interval.
    """
    for name in ("wind_up_pa", "wind_down_pa", "snow_pa", "pitch_deg"):
        interval(name, getattr(box, name), "")
    found: dict[tuple[str, str], SetHull] = {}
    absent: dict[str, str] = {}
    sheets = []
    for actions, altitude in _corners(code, box):
        combined = combine(code, actions, altitude)
        absent |= combined.not_applicable
        sheets.append(combined.sheet)
        for one in combined.sets:
            for part in PARTS:
                _widen(found, one, part)
    sets = tuple(found.values())
    return CombinedHull(sets, _governing(sets), absent, tuple(sheets))


def _widen(found: dict[tuple[str, str], SetHull], one: DesignSet, part: str) -> None:
    value = getattr(one, f"{part}_pa")
    if value is None:
        return
    before = found.get((one.name, part))
    low, high = (value, value) if before is None else (before.low, before.high)
    ends = min(low, value), max(high, value)
    found[one.name, part] = SetHull(one.name, part, one.clause, one.how, *ends)


def _governing(sets: tuple[SetHull, ...]) -> dict[str, SetHull]:
    """Sets that act both ways at once are shown by themselves and govern nothing."""
    both = {s.name for s in sets if s.part == "uplift"} & {
        s.name for s in sets if s.part == "along"
    }
    governing: dict[str, SetHull] = {}
    for one in sets:
        best = governing.get(one.part)
        if one.name not in both and (best is None or one.high > best.high):
            governing[one.part] = one
    return governing


def _corners(code: Code, box: ActionsBox) -> Iterator[tuple[Actions, float]]:
    """Ends of the actions, with every pitch at which a set along the roof may turn.

    Snow, accidental snow and wind onto the roof act one way in every set, so they go together.
    """
    accidental, drifts = box.accidental_pa or (None, None), box.drift_pa or (None, None)
    loads = set(zip(box.wind_down_pa, box.snow_pa, accidental, drifts, strict=True))
    pitches, altitudes = _pitches(code, box), set(box.altitude_m)
    for up, (down, snow, extra, drift), pitch, altitude in product(
        set(box.wind_up_pa), loads, pitches, altitudes
    ):
        changed = replace(
            box.exact,
            wind_up_pa=up,
            wind_down_pa=down,
            snow_pa=snow,
            pitch_deg=pitch,
            accidental_pa=extra,
            drift_pa=drift,
        )
        yield changed, altitude


def _pitches(code: Code, box: ActionsBox) -> list[float]:
    """Ends of the pitch, and where g sin + s sin cos of some set is largest.

    Statics: 2 s cos2 + g cos - s = 0.
    """
    low, high = box.pitch_deg
    found = {low, high}
    weights = (box.exact.weight_min_pa, box.exact.weight_max_pa)
    loads = (*box.snow_pa, *(box.accidental_pa or ()), *(box.drift_pa or ()))
    for altitude in box.altitude_m:
        f, _ = factors(code, altitude)
        shares = (f.q, f.q * f.psi0_snow, 1.0)
        for g, s in product(
            {a * w for a in (f.g_sup, f.xi * f.g_sup, f.g_inf, 1.0) for w in weights},
            {a * load for a in shares for load in loads if load > 0},
        ):
            cosine = (math.sqrt(g * g + 8 * s * s) - g) / (4 * s)
            turn = math.degrees(math.acos(min(1.0, cosine)))
            found |= {turn} if low < turn < high else set()
    return sorted(found)
