"""Snow on the roof below and on the array, on plan."""

from dataclasses import dataclass, replace

from selector.engineering.lines import Outside, Ref, Sheet
from selector.engineering.over import over
from selector.engineering.registry import registry
from selector.engineering.snow_en import SnowSite, roof_snow
from selector.engineering.tables import Code
from selector.facts.actions.drift import Source, sources_of
from selector.facts.actions.drifted import Fallen, drifted
from selector.facts.actions.gather import Gather, Known
from selector.facts.actions.model import Drift, Ends, Row
from selector.facts.actions.roof import form_of
from selector.facts.actions.rows import Rows, laid_over, worse_of

ALTITUDE = "snow_tables_altitude"


@dataclass(frozen=True)
class ArraySnow:
    """Snow in Pa on plan; exceptional snow and drifts only where a country has them."""

    pa: Ends
    accidental_pa: Ends | None
    rows: tuple[Row, ...]
    drift_pa: Ends | None = None  # exceptional
    drifts: tuple[Drift, ...] = ()


def snow_of(g: Gather, code: Code, altitude: Known | None) -> ArraySnow | None:
    """Snow held by the array; None, and open, where something is missing or outside."""
    before = len(g.opens)
    _low_enough(g, altitude)
    sources = beside_of(g)
    if code.variant("snow").value != "table 5.2":
        if sources:
            names = ", ".join(source.name for source in sources)
            allowed = "roofs without drifts, where the way of the country is not kept"
            g.stop("drifts", names, allowed, "EN 1991-1-3 5.3.6, 6.2")
        return _stated(g, len(g.opens) == before)
    ground, exposure, pitch = fallen_of(g)
    if ground is None or exposure is None or pitch is None or altitude is None:
        return None
    if len(g.opens) > before:
        return None
    even = _even(g, code, (ground, exposure, pitch))
    if even is None:
        return None
    worked: ArraySnow | None = ArraySnow(even.pa, _row(even.rows, "sAd"), even.rows)
    if sources:
        found = drifted(g, code, even, sources)
        if found is None:
            return None
        extra = _row(found.rows, "sAd")
        worked = ArraySnow(found.pa, extra, found.rows, found.exceptional_pa, found.drifts)
    assert worked is not None
    if not g.stated("site.roof_snow"):
        return worked
    stated = g.on_paper("site.roof_snow")
    return None if stated is None else _both(worked, stated)


def _even(g: Gather, code: Code, inputs: tuple[Known, frozenset[str], Known]) -> Fallen | None:
    """Snow without drifts; None, and a stop, where the table ends."""
    ground, exposure, pitch = inputs
    box = {
        "pitch": pitch.ends,
        "exposure": _ends([code.snow.exposures[word].value for word in exposure]),
        "thermal": _ends([code.figure("thermal_factor").value]),
        "ground": ground.ends,
    }
    hull = over(registry(code)["roof snow, held"], box)
    if isinstance(hull, Outside):
        g.stop(hull.what, hull.given, hull.allowed, hull.clause)
        return None
    sheets: list[Sheet] = []
    for one in ground.both:
        for word in sorted(exposure):
            for at in _pitches(code, pitch.ends):
                site = SnowSite(one, word)
                sheet = roof_snow(code, site, pitch.given(at), held=True)
                assert not isinstance(sheet, Outside)  # the hull would have been so too
                sheets.append(sheet)
    pa, rows = Ends(hull.low, hull.high), laid_over(sheets)
    return Fallen(ground, box["exposure"], box["thermal"], tuple(sheets), pa, rows)


def _row(rows: tuple[Row, ...], symbol: str) -> Ends | None:
    values = [row.value for row in rows if row.symbol == symbol]
    return values[0] if values and isinstance(values[0], Ends) else None


def _both(worked: ArraySnow, found: Known) -> ArraySnow:
    """Stated and worked out side by side; a conflict counts as the worse of them."""
    if worked.pa.low <= found.ends.low and found.ends.high <= worked.pa.high:
        return worked
    rows, worse = worse_of(worked.rows, "s", worked.pa, found, "snow on the roof, on plan")
    return replace(worked, pa=worse, rows=rows)


def fallen_of(g: Gather) -> tuple[Known | None, frozenset[str] | None, Known | None]:
    """Ground snow on paper, exposure, and the pitch."""
    ground, exposure = g.on_paper("site.ground_snow"), g.words("site.snow_exposure")
    return ground, exposure, g.measure("plane.pitch")


def _stated(g: Gather, sure: bool) -> ArraySnow | None:
    """Snow that an engineer states, where the way of the country is not kept."""
    if not g.stated("site.roof_snow"):
        g.miss("site.roof_snow")
        return None
    found = g.on_paper("site.roof_snow")
    if found is None or not sure:
        return None
    out = Rows()
    ref = Ref("given", found.source, found.status, found.origin)
    out.given("s", found.ends, "Pa", ref, "snow on the roof, on plan")
    return ArraySnow(found.ends, None, out.all)


def beside_of(g: Gather) -> tuple[Source, ...]:
    """What snow drifts at; what is missing of it, or of the form of the roof, is open."""
    found = sources_of(g)
    form_of(g)
    return found


def _low_enough(g: Gather, altitude: Known | None) -> None:
    limit = g.base.numbers[ALTITUDE].value.places[0].high / 1e6
    if altitude is not None and altitude.ends.high > limit:
        given = f"{altitude.ends.high:g} m"
        g.stop("altitude", given, f"up to {limit:g} m", "EN 1991-1-3 1.1(2)")


def _pitches(code: Code, ends: Ends) -> list[float]:
    """Ends of the pitch, and between them the rows of the table and of the held floor."""
    formula = registry(code)["mu1 held"]
    assert not hasattr(formula, "outer")
    [argument] = formula.arguments
    inner = argument.breaks({}) if argument.breaks else ()
    return sorted({*ends, *(x for x in inner if ends.low < x < ends.high)})


def _ends(values: list[float]) -> Ends:
    return Ends(min(values), max(values))
