"""Snow on an array beside what snow drifts at: every source by itself, the worst one counts.

The array takes all over what it gets where it is nearest to a drift.
"""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from selector.engineering.drift_en import (
    Step,
    obstacle_drift,
    parapet_drift,
    snow_beside,
    taller_drift,
)
from selector.engineering.drift_hull import step_turns
from selector.engineering.lines import Given, Outside, Ref, Sheet
from selector.engineering.over import Hull, over
from selector.engineering.registry import registry
from selector.engineering.tables import Code
from selector.facts.actions.drift import Source, Upper
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import Drift, Ends, Row
from selector.facts.actions.rows import STATICS, Rows, laid_over

LEAST = 0.01  # m: the least that annex B takes; what is smaller counts as this
LARGER = "the larger of all"
WHOLE = "exceptional drift whole"
RULES = ("along a drift", "drift_pitch", "parapet drifts")


@dataclass(frozen=True)
class Fallen:
    """Snow without any drift: the inputs, every sheet by its ground snow, and the rows."""

    ground: Known
    exposure: Ends
    thermal: Ends
    sheets: tuple[Sheet, ...]
    pa: Ends
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Drifted:
    """Snow with the worst drift, and the exceptional drift where a country has it, in Pa."""

    pa: Ends
    exceptional_pa: Ends | None
    drifts: tuple[Drift, ...]
    rows: tuple[Row, ...]


def drifted(g: Gather, code: Code, even: Fallen, sources: Sequence[Source]) -> Drifted | None:
    """Snow with all drifts; None, and a stop, where a clause does not reach."""
    if _outside(g, code, sources):
        return None
    exceptional = code.variant("exceptional drift").value != "none"
    out = Rows(even.rows)
    out.rows["s,even"] = replace(out.rows.pop("s"), symbol="s,even")
    shared = {*(row.symbol for row in even.rows), *code.snow.figures, *RULES}
    loads: list[tuple[str, Ends]] = [("s,even", even.pa)]
    extra: list[tuple[str, Ends]] = []
    drifts = []
    for source in sources:
        found = _beside(g, code, even, source)
        if found is None:
            return None
        rows, load = found
        _put(out, [row for row in rows if row.symbol != "s"], f" at {source.name}", shared)
        name = f"s,d at {source.name}"
        out.rows[name] = replace(out.rows[name], value=load)
        loads.append((name, load))
        drifts.append(_told(out, source, load))
        if exceptional:
            extra += _exceptional(out, code, even, source)
    pa, ref = _largest(loads), Ref(STATICS, STATICS, STATICS)
    out.worked("s", pa, "Pa", ref, LARGER, tuple(name for name, _ in loads))
    if "sAd" in out.rows:
        _with_drift(out, code, pa)
    most = _largest(extra) if extra else Ends(0.0, 0.0)
    if most.high == 0:
        return Drifted(pa, None, tuple(drifts), out.all)
    rule = code.arrays.clauses[WHOLE]
    out.given(WHOLE, rule.text, "", rule.ref)
    out.worked("sB", most, "Pa", ref, LARGER, (*(name for name, _ in extra), WHOLE))
    return Drifted(pa, most, tuple(drifts), out.all)


def _told(out: Rows, source: Source, load: Ends) -> Drift:
    length = out.rows[f"ls at {source.name}"].value
    assert isinstance(length, Ends)
    return Drift(source.name, source.kind, source.distance.ends, length, load)


def _with_drift(out: Rows, code: Code, pa: Ends) -> None:
    """Exceptional snow has the shape of the drifts too.

    EN 1991-1-3:2003 clause 5.2(3)P, expression (5.2).
    """
    even = out.rows.pop("sAd")
    out.rows["sAd,even"] = replace(even, symbol="sAd,even")
    factor = code.figure("exceptional_factor").value
    most = Ends(*(factor * x for x in pa))
    ref = Ref(even.clause, even.source, even.status)
    out.worked("sAd", most, "Pa", ref, "Cesl s", ("Cesl", "s", "sk,Ad"))


def _outside(g: Gather, code: Code, sources: Sequence[Source]) -> bool:
    """What the clauses on drifts do not reach: a steep plane, a plane that falls to a wall."""
    before = len(g.opens)
    pitch = g.measure("plane.pitch")
    assert pitch is not None
    limit, flat = code.figure("drift_pitch"), code.figure("flat_below")
    steep = f"{pitch.ends.high:g} deg"
    if pitch.ends.high > limit.value:
        allowed = f"up to {limit.value:g} deg, working value"
        g.stop("pitch beside a drift", steep, allowed, "EN 1991-1-3 5.3.6, 6.2")
    for source in sources:
        if source.upper is None:
            continue
        if source.name == "taller part eave" and pitch.ends.high >= flat.value:
            allowed = f"flat roofs below {flat.value:g} deg, and planes that fall away from it"
            g.stop("pitch towards a taller part", steep, allowed, "EN 1991-1-3 5.3.6")
        if code.variant("exceptional drift").value != "none":
            allowed = "roofs without a taller part where a country has exceptional drifts"
            g.stop("taller parts", "one", allowed, "EN 1991-1-3 annex B.3")
    return len(g.opens) > before


# --- drifts ------------------------------------------------------------------------------


def _beside(
    g: Gather, code: Code, even: Fallen, source: Source
) -> tuple[tuple[Row, ...], Ends] | None:
    """Rows of one drift, and the snow on the array beside it; None, and a stop, outside."""
    sheets = []
    for sheet, height in product(even.sheets, _heights(code, even, source)):
        drift = _drift(code, sheet, source, height)
        if isinstance(drift, Outside):
            g.stop(drift.what, drift.given, drift.allowed, f"EN 1991-1-3 {drift.clause}")
            return None
        parapet = source.kind == "parapet"
        for one, far in product(drift, reversed(source.distance.both)):
            sheets.append(snow_beside(code, sheet, one, far, parapet=parapet))
    return laid_over(sheets), _hull(code, even, source)


def _drift(code: Code, even: Sheet, source: Source, height: Given) -> tuple[Sheet, ...] | Outside:
    """Sheets of mu2 and its length at all ends of what they rest on."""
    ground, upper = _ground(even), source.upper
    if upper is None:
        return (obstacle_drift(code, ground, height),)
    found = []
    ends = upper.length.both, upper.lower.both, upper.pitch.both
    for length, lower, pitch in product(*ends):
        sheet = taller_drift(code, ground, Step(length, lower, height, pitch))
        if isinstance(sheet, Outside):
            return sheet
        found.append(sheet)
    return tuple(found)


def _ground(even: Sheet) -> Given:
    line = even.line("sk")
    return Given(even.value("sk"), line.source, line.status, line.origin)


def _heights(code: Code, even: Fallen, source: Source) -> tuple[Given, ...]:
    """Ends of the height, and where the drift at a taller part turns between them."""
    low, high = source.height.ends
    found = {low, high}
    if source.upper is not None:
        box = {
            "mean": _mean(source.upper),
            "distance": source.distance.ends,
            "ground": even.ground.ends,
        }
        found |= {h for h in step_turns(code, box) if low < h < high}
    return tuple(source.height.given(h) for h in sorted(found))


def _mean(upper: Upper) -> Ends:
    both = zip(upper.length.ends, upper.lower.ends, strict=True)
    return Ends(*((a + b) / 2 for a, b in both))


def _hull(code: Code, even: Fallen, source: Source) -> Ends:
    """Snow beside a drift over all that its measures may be."""
    box: dict[str, Ends] = {
        "height": source.height.ends,
        "distance": source.distance.ends,
        "ground": even.ground.ends,
        "exposure": even.exposure,
        "thermal": even.thermal,
    }
    name = "snow at an obstacle"
    if source.upper is not None:
        name = "snow at a taller part"
        box |= {"upper": source.upper.length.ends, "lower": source.upper.lower.ends}
    return _over(code, name, box)


def _over(code: Code, name: str, box: dict[str, Ends]) -> Ends:
    hull = over(registry(code)[name], box)
    assert isinstance(hull, Hull)  # no drift has a range of its own that the pitch does not keep
    return Ends(hull.low, hull.high)


# --- exceptional drifts ------------------------------------------------------------------


def _exceptional(out: Rows, code: Code, even: Fallen, source: Source) -> Iterator[tuple[str, Ends]]:
    """Exceptional drifts on every side of a source, whole where they reach the array.

    EN 1991-1-3:2003 annex B.4.
    """
    for number, (b1, b2) in enumerate(source.sides, 1):
        height = replace(source.height, ends=_held(source.height.ends))
        upper, lower = _held(b1), _held(b2)
        if b1.high < LEAST:
            continue
        sheets = []
        for ground, h, one, two in product(even.ground.both, height.both, upper, lower):
            sizes = (Given(x, STATICS, STATICS) for x in (one, two))
            sheet = parapet_drift(code, ground, h, *sizes)
            assert isinstance(sheet, Sheet)  # only where the country has them
            sheets.append(sheet)
        side = f" {number}" if len(source.sides) > 1 else ""
        suffix = f" behind {source.name}{side}"
        _put(out, laid_over(sheets), suffix, {"sk", "exceptional drift", *code.snow.figures})
        box = {"height": height.ends, "ground": even.ground.ends, "upper": upper, "lower": lower}
        load, reach = _over(code, "exceptional drift", box), out.rows[f"ls{suffix}"].value
        assert isinstance(reach, Ends)
        far = source.distance.ends
        low = load.low if far.high < reach.low else 0.0
        high = load.high if far.low < reach.high else 0.0
        name = f"sB{suffix}"
        out.rows[name] = replace(out.rows[name], value=Ends(low, high))
        yield name, Ends(low, high)


def _held(ends: Ends) -> Ends:
    return Ends(max(LEAST, ends.low), max(LEAST, ends.high))


# --- rows --------------------------------------------------------------------------------


def _put(out: Rows, rows: Sequence[Row], suffix: str, shared: Container[str]) -> None:
    """Enter rows of one drift under names of their own; `shared` ones stay as they are."""
    own = {row.symbol for row in rows if row.symbol not in shared}

    def named(symbol: str) -> str:
        return f"{symbol}{suffix}" if symbol in own else symbol

    for row in rows:
        inputs = tuple(map(named, row.inputs))
        out.rows.setdefault(
            named(row.symbol), replace(row, symbol=named(row.symbol), inputs=inputs)
        )


def _largest(loads: Sequence[tuple[str, Ends]]) -> Ends:
    return Ends(max(e.low for _, e in loads), max(e.high for _, e in loads))
