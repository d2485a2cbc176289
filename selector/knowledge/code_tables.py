"""Editions and national choices as plain tables, row by row with clause, source and status."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from selector.engineering import tables
from selector.engineering.lines import Ref


@dataclass(frozen=True)
class CodeRow:
    """One row: its cells, and where it comes from."""

    cells: tuple[str, ...]
    clause: str
    source: str
    status: str
    origin: str


@dataclass(frozen=True)
class CodeTable:
    """One table of a code."""

    title: str
    head: tuple[str, ...]
    rows: tuple[CodeRow, ...]


@dataclass(frozen=True)
class CodeSheet:
    """An edition or a national choice with all its tables; `editions` are those it uses."""

    id: str
    title: str
    kind: str  # edition | trial | country
    invented: bool
    source: str  # "" for a country
    editions: tuple[str, ...]
    tables: tuple[CodeTable, ...]
    origin: str


def code_sheets(codes: tables.Codes) -> tuple[CodeSheet, ...]:
    """Editions, then countries, each by id."""
    return (
        *(_edition(codes.editions[k]) for k in sorted(codes.editions)),
        *(_national(codes.nationals[k]) for k in sorted(codes.nationals)),
    )


def _edition(edition: tables.Edition) -> CodeSheet:
    found = [*_figures(edition.figures), *_clauses(edition.clauses)]
    if isinstance(edition, tables.WindEdition):
        found += _wind(edition)
    elif isinstance(edition, tables.SnowEdition):
        found += _snow(edition)
    elif isinstance(edition, tables.TrialEdition):
        found += _trial(edition)
    kind = "trial" if edition.trial else "edition"
    made = edition.source, (), tuple(found), edition.origin
    return CodeSheet(edition.id, edition.title, kind, False, *made)


def _national(national: tables.National) -> CodeSheet:
    ways = [_row((v.name, v.value), v.ref) for v in national.variants.values()]
    found = [CodeTable("Ways that it takes", ("question", "way"), tuple(ways))]
    found += _figures(national.figures, "Figures that it replaces")
    invented, used = national.tag == "invented", tuple(national.editions.values())
    made = "", used, tuple(found), national.origin
    return CodeSheet(national.id, national.title, "country", invented, *made)


def _figures(figures: Mapping[str, tables.Figure], title: str = "Figures") -> Iterator[CodeTable]:
    rows = [_row((f.id, f.text, _unit(f.value, f.unit)), f.ref) for f in figures.values()]
    if rows:
        yield CodeTable(title, ("name", "what it is", "value"), tuple(rows))


def _clauses(clauses: Mapping[str, tables.Clause]) -> Iterator[CodeTable]:
    rows = [_row((c.id, c.text), c.ref) for c in clauses.values()]
    if rows:
        yield CodeTable("Sentences that are followed", ("name", "what it says"), tuple(rows))


def _wind(edition: tables.WindEdition) -> Iterator[CodeTable]:
    terrains = [
        _row((t.word, f"{t.z0_m:g}", f"{t.zmin_m:g}"), t.ref) for t in edition.terrains.values()
    ]
    yield CodeTable("Terrain", ("category", "z0, m", "zmin, m"), tuple(terrains))
    plans = [
        _row((f"{roof}, {theta} deg", *(f"{x:g}" for x in (p.corner, p.strip, p.inner))), p.ref)
        for (roof, theta), p in edition.plans.items()
    ]
    head = ("roof and wind", "F along, of e", "F, G, J deep, of e", "H to, of e")
    yield CodeTable("Plans of the zones", head, tuple(plans))
    for (roof, theta), zones in tables.ZONES.items():
        for signs in ("negative", "positive"):
            yield from _curves(edition, roof, theta, signs, zones)


def _curves(
    edition: tables.WindEdition, roof: str, theta: int, signs: str, zones: tuple[str, ...]
) -> Iterator[CodeTable]:
    """One row for each pitch (or height ratio): cpe,10 and cpe,1 of each zone."""
    by_place: dict[float, dict[str, tables.Node]] = {}
    for zone in zones:
        for node in edition.curves.get(tables.CurveKey(roof, theta, zone, signs), ()):
            by_place.setdefault(node.at, {})[zone] = node
    shown = [z for z in zones if any(z in nodes for nodes in by_place.values())]
    rows = []
    for at, nodes in sorted(by_place.items()):
        cells = [
            " / ".join(f"{v:g}" for v in nodes[z].values) if z in nodes else "-" for z in shown
        ]
        rows.append(_row((f"{at:g}", *cells), next(iter(nodes.values())).ref))
    if rows:
        where = "height or pitch of its eave" if roof.startswith("flat") else "pitch, deg"
        title = f"{roof}, wind {theta} deg, {signs} row: cpe,10 / cpe,1"
        yield CodeTable(title, (where, *shown), tuple(rows))


def _snow(edition: tables.SnowEdition) -> Iterator[CodeTable]:
    words = [_row((word, f"{f.value:g}"), f.ref) for word, f in edition.exposures.items()]
    yield CodeTable("Exposure", ("site", "C_e"), tuple(words))
    for name, curve in edition.shapes.items():
        rows = [_row((f"{n.at:g}", f"{n.values[0]:g}"), n.ref) for n in curve]
        yield CodeTable(f"Shape {name}", ("pitch, deg", name), tuple(rows))


def _trial(edition: tables.TrialEdition) -> Iterator[CodeTable]:
    rows = [
        _row((word, f"{height.value:g}", f"{power.value:g}"), height.ref)
        for word, (height, power) in edition.exposures.items()
    ]
    yield CodeTable("Exposure", ("surface", "z_g, m", "alpha"), tuple(rows))
    areas = [_row((f"{n.at:.4g}", f"{n.values[0]:g}"), n.ref) for n in edition.equalization]
    yield CodeTable("Equalization", ("area, m2", "gamma_a"), tuple(areas))


def _row(cells: tuple[str, ...], ref: Ref) -> CodeRow:
    return CodeRow(cells, ref.clause, ref.source, ref.status, ref.origin)


def _unit(value: float, unit: str) -> str:
    return f"{value:.10g} {unit}".rstrip()
