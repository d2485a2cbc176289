"""Codes of `kb/codes/`: one file an edition, one file a national choice; every row checked."""

from collections.abc import Iterable, Mapping
from itertools import pairwise
from pathlib import Path as FilePath
from typing import Any

from selector.engineering import tables
from selector.engineering.lines import STATUSES, Ref
from selector.errors import Problem, near
from selector.knowledge.code_files import (
    FILES,
    AluminiumFile,
    ClauseRow,
    EditionFile,
    FigureRow,
    NationalFile,
    Row,
    SnowFile,
    SteelFile,
    TrialFile,
    WindFile,
)
from selector.knowledge.faults import Faults
from selector.knowledge.schema import check
from selector.knowledge.yaml_reader import Document

FOLDER = "kb/codes/"
NATIONAL = "kb/codes/national/"
# unit in the file -> unit and size in a calculation
UNITS: Mapping[str, tuple[str, float]] = {
    "": ("", 1.0),
    "m": ("m", 1.0),
    "m2": ("m2", 1.0),
    "1/m": ("1/m", 1.0),
    "deg": ("deg", 1.0),
    "kg/m3": ("kg/m3", 1.0),
    "kN/m3": ("N/m3", 1000.0),
    "GPa": ("Pa", 1e9),
}
At = tuple[object, ...]


def read_codes(
    documents: dict[str, Document], sources: Mapping[str, str], problems: list[Problem]
) -> tables.Codes:
    """Editions and national choices; `sources` says what each source is worth.

    Every fault goes to `problems` with its file and line.
    """
    reader = _Reader(documents, problems, sources)
    editions = reader.editions()
    return tables.Codes(editions, reader.nationals(editions))


def cited(codes: tables.Codes) -> set[str]:
    """Ids of all sources that a row cites."""
    found: set[str] = set()
    for edition in codes.editions.values():
        found |= {edition.source} | {ref.source for ref in _refs(edition)}
    for choice in codes.nationals.values():
        found |= {v.ref.source for v in choice.variants.values()}
        found |= {f.ref.source for f in choice.figures.values()}
    return found


def _refs(edition: tables.Edition) -> Iterable[Ref]:
    yield from (f.ref for f in edition.figures.values())
    yield from (c.ref for c in edition.clauses.values())
    curves: list[tables.Curve] = []
    if isinstance(edition, tables.WindEdition):
        yield from (t.ref for t in edition.terrains.values())
        yield from (p.ref for p in edition.plans.values())
        curves += edition.curves.values()
    elif isinstance(edition, tables.SnowEdition):
        yield from (f.ref for f in edition.exposures.values())
        curves += edition.shapes.values()
    elif isinstance(edition, tables.TrialEdition):
        yield from (f.ref for pair in edition.exposures.values() for f in pair)
        curves.append(edition.equalization)
    yield from (node.ref for curve in curves for node in curve)


class _Reader(Faults):
    """One pass over the files of `kb/codes/`."""

    def __init__(
        self, documents: dict[str, Document], problems: list[Problem], sources: Mapping[str, str]
    ):
        super().__init__(documents, problems)
        self.sources = sources

    def editions(self) -> dict[str, tables.Edition]:
        found: dict[str, tables.Edition] = {}
        for name, document in sorted(self.documents.items()):
            if not name.startswith(FOLDER) or name.startswith(NATIONAL):
                continue
            kind = document.data.get("kind") if isinstance(document.data, dict) else None
            model = FILES.get(str(kind))
            if model is None:
                self.fault(document, ("kind",), f"no kind of code `{kind}`", near(str(kind), FILES))
                continue
            shape = check(model, document.data, document, (), self.problems)
            if shape is not None:
                self.named(document, shape.id)
                found[shape.id] = self.edition(document, str(kind), shape)
        return found

    def edition(self, document: Document, kind: str, shape: EditionFile) -> tables.Edition:
        self.cites(document, ("source",), shape.source)
        if shape.trial != (kind == "trial"):
            self.fault(document, ("trial",), "`trial` does not fit the kind")
        common: dict[str, Any] = {
            "id": shape.id,
            "title": shape.title,
            "source": shape.source,
            "trial": shape.trial,
            "figures": self.complete(document, kind, shape.figures),
            "clauses": self.clauses(document, kind, shape.clauses),
            "origin": f"{document.file}:{document.line('id')}",
        }
        if isinstance(shape, WindFile):
            return self.wind(document, shape, common)
        if isinstance(shape, SnowFile):
            exposures = {
                r.word: tables.Figure(r.word, r.value, "", "C_e", ref)
                for r, ref in self.rows(document, "exposures", shape.exposures, "word")
            }
            shapes = self.shapes(document, shape)
            return tables.SnowEdition(exposures=exposures, shapes=shapes, **common)
        if isinstance(shape, TrialFile):
            grounds = {
                r.word: (
                    tables.Figure("gradient_height", r.zg, "m", "z_g", ref),
                    tables.Figure("exponent", r.alpha, "", "alpha", ref),
                )
                for r, ref in self.rows(document, "exposures", shape.exposures, "word")
            }
            nodes = [
                tables.Node(r.at, (r.value,), ref)
                for r, ref in self.rows(document, "equalization", shape.equalization, "at")
            ]
            curve = self.curve(document, ("equalization",), nodes)
            if len(curve) != 2:
                self.fault(document, ("equalization",), "expected two areas", "list both ends")
            return tables.TrialEdition(exposures=grounds, equalization=curve, **common)
        if isinstance(shape, AluminiumFile | SteelFile):
            return tables.MemberEdition(material=kind, **common)
        return tables.Edition(**common)

    # --- rows --------------------------------------------------------------------------

    def named(self, document: Document, name: str) -> None:
        if FilePath(document.file).stem != name:
            self.fault(document, ("id",), f"id `{name}` is not the file's name")

    def cites(self, document: Document, at: At, source: str) -> None:
        if source not in self.sources:
            self.fault(document, at, f"no source `{source}`", near(source, self.sources))

    def ref(self, document: Document, at: At, row: Row) -> Ref:
        self.cites(document, (*at, "source"), row.source)
        best = self.sources.get(row.source, row.status)
        if STATUSES.index(row.status.removeprefix("stricter ")) < STATUSES.index(best):
            text = f"`{row.status}` rests on `{row.source}`, which is `{best}`"
            remedy = "cite what says it, or mark it as weak"
            self.fault(document, (*at, "source"), text, remedy)
        origin = f"{document.file}:{document.line(*at)}"
        return Ref(row.clause, row.source, row.status, origin)

    def rows(
        self, document: Document, key: str, rows: tuple[Any, ...], name: str
    ) -> list[tuple[Any, Ref]]:
        """Rows of a list with their place; an empty list and a repeated name are faults."""
        if not rows:
            self.fault(document, (key,), f"`{key}` is empty", "add its rows")
        seen: set[object] = set()
        for i, row in enumerate(rows):
            own = getattr(row, name)
            if own in seen:
                self.fault(document, (key, i), f"`{own}` is listed twice", "keep one of them")
            seen.add(own)
        return [(row, self.ref(document, (key, i), row)) for i, row in enumerate(rows)]

    def figures(
        self, document: Document, rows: tuple[FigureRow, ...], known: Mapping[str, str]
    ) -> dict[str, tables.Figure]:
        found: dict[str, tables.Figure] = {}
        for i, row in enumerate(rows):
            at = ("figures", i)
            if row.id not in known:
                self.fault(document, (*at, "id"), f"no figure `{row.id}`", near(row.id, known))
                continue
            if row.id in found:
                self.fault(document, (*at, "id"), f"`{row.id}` is listed twice", "keep one of them")
            unit, size = UNITS.get(row.unit, (row.unit, 1.0))
            if unit != known[row.id]:
                text = f"`{row.id}` is in `{known[row.id]}`, not in `{row.unit}`"
                self.fault(document, (*at, "unit"), text)
            ref = self.ref(document, at, row)
            found[row.id] = tables.Figure(row.id, row.value * size, unit, row.text, ref)
        return found

    def complete(
        self, document: Document, kind: str, rows: tuple[FigureRow, ...]
    ) -> dict[str, tables.Figure]:
        known = dict(tables.FIGURES[kind])
        needed = set(known)
        if kind == "trial":
            known |= tables.FIGURES["combinations"]
            if any(row.id in tables.FIGURES["combinations"] for row in rows):
                needed = set(known)
        found = self.figures(document, rows, known)
        for name in sorted(needed - set(found)):
            self.fault(document, ("figures",), f"figure `{name}` is missing", "add it")
        return found

    def clauses(
        self, document: Document, kind: str, rows: tuple[ClauseRow, ...]
    ) -> dict[str, tables.Clause]:
        known = tables.CLAUSES[kind]
        found = {}
        for i, row in enumerate(rows):
            self.known(document, ("clauses", i, "id"), row.id, known, "clause")
            ref = self.ref(document, ("clauses", i), row)
            found[row.id] = tables.Clause(row.id, row.text, ref)
        for name in known:
            if name not in found:
                self.fault(document, ("clauses",), f"clause `{name}` is missing", "add it")
        return found

    # --- tables ------------------------------------------------------------------------

    def wind(self, document: Document, shape: WindFile, common: Any) -> tables.WindEdition:
        terrains = {
            r.category: tables.Terrain(r.category, r.z0, r.zmin, ref)
            for r, ref in self.rows(document, "terrains", shape.terrains, "category")
        }
        for i, terrain in enumerate(shape.terrains):
            if terrain.zmin <= terrain.z0:
                self.fault(document, ("terrains", i), "`zmin` lies within the roughness")
        plans: dict[tuple[str, int], tables.ZonePlan] = {}
        wanted = {("flat", 0)} | {k for k in tables.ZONES if not k[0].startswith("flat")}
        for i, plan in enumerate(shape.plans):
            ref = self.ref(document, ("plans", i), plan)
            where = (plan.roof, plan.theta)
            if where not in wanted or where in plans:
                self.fault(document, ("plans", i), f"no place for a plan of {where}")
            if (plan.inner > 0) != (plan.roof == "flat" or plan.theta == 90):
                self.fault(document, ("plans", i, "inner"), "`inner` does not fit these zones")
            plans[where] = tables.ZonePlan(plan.corner, plan.strip, plan.inner, ref)
        for roof, theta in sorted(wanted - set(plans)):
            self.fault(document, ("plans",), f"no plan of {roof} for {theta} deg", "add it")
        curves = self.curves(document, shape)
        return tables.WindEdition(terrains=terrains, plans=plans, curves=curves, **common)

    def curves(self, document: Document, shape: WindFile) -> dict[tables.CurveKey, tables.Curve]:
        nodes: dict[tables.CurveKey, list[tables.Node]] = {}
        for i, row in enumerate(shape.curves):
            at: At = ("curves", i)
            ref = self.ref(document, at, row)
            zones = tables.ZONES.get((row.roof, row.theta))
            if zones is None:
                text = f"no table for a {row.roof} roof at {row.theta} deg"
                self.fault(document, at, text, near(row.roof, {k[0] for k in tables.ZONES}))
                continue
            for zone, (cpe10, cpe1) in row.zones.items():
                self.known(document, (*at, "zones"), zone, zones, "zone here")
                if abs(cpe1) < abs(cpe10) or cpe1 * cpe10 < 0:
                    text = f"zone {zone}: cpe,1 is milder than cpe,10"
                    self.fault(document, (*at, "zones", zone), text, "write [cpe,10, cpe,1]")
                if max(abs(cpe1), abs(cpe10)) > 5:
                    text = f"zone {zone}: a coefficient above 5"
                    self.fault(document, (*at, "zones", zone), text, "check the decimal point")
                key = tables.CurveKey(row.roof, row.theta, zone, row.signs)
                nodes.setdefault(key, []).append(tables.Node(row.at, (cpe10, cpe1), ref))
        for (roof, theta), zones in tables.ZONES.items():
            for zone in zones:
                if tables.CurveKey(roof, theta, zone, "negative") not in nodes:
                    text = f"no row for zone {zone} of {roof} at {theta} deg"
                    self.fault(document, ("curves",), text, "add it")
        return {key: self.curve(document, ("curves",), found) for key, found in nodes.items()}

    def curve(self, document: Document, at: At, nodes: list[tables.Node]) -> tables.Curve:
        """Nodes in rising order, of one sign on either side of the flat roof."""
        found = tuple(sorted(nodes, key=lambda n: n.at))
        for one, two in pairwise(found):
            line = int(two.ref.origin.rpartition(":")[2])
            if one.at == two.at:
                text = f"two rows for one place of the table, {two.at:g}"
                self.problems.append(Problem(document.file, line, text, "keep one of them"))
            turns = any(a * b < 0 for a, b in zip(one.values, two.values, strict=True))
            if turns and one.at * two.at >= 0:
                text = f"the sign changes between {one.at:g} and {two.at:g}"
                self.problems.append(Problem(document.file, line, text, "one sign for one row"))
        return found

    def shapes(self, document: Document, shape: SnowFile) -> dict[str, tables.Curve]:
        nodes: dict[str, list[tables.Node]] = {"mu1": [], "mu2": []}
        for i, row in enumerate(shape.shapes):
            ref = self.ref(document, ("shapes", i), row)
            nodes[row.shape].append(tables.Node(row.at, (row.value,), ref))
        for name, found in nodes.items():
            if len(found) < 2:
                self.fault(document, ("shapes",), f"`{name}` needs two rows or more")
        return {name: self.curve(document, ("shapes",), found) for name, found in nodes.items()}

    # --- national choices --------------------------------------------------------------

    def nationals(self, editions: dict[str, tables.Edition]) -> dict[str, tables.National]:
        found: dict[str, tables.National] = {}
        for name, document in sorted(self.documents.items()):
            if not name.startswith(NATIONAL):
                continue
            shape = check(NationalFile, document.data, document, (), self.problems)
            if shape is None:
                continue
            self.named(document, shape.id)
            chosen = dict(shape.editions)
            for kind, edition in chosen.items():
                at = ("editions", kind)
                if edition not in editions:
                    text = f"no edition `{edition}`"
                    self.fault(document, at, text, near(edition, editions))
                elif not self.fits(kind, editions[edition]):
                    self.fault(document, at, f"`{edition}` is no edition of `{kind}`")
            known = {k: u for kind in chosen for k, u in tables.FIGURES[kind].items()}
            figures = self.figures(document, shape.figures, known)
            variants = self.variants(document, shape)
            refs = [v.ref for v in variants.values()] + [f.ref for f in figures.values()]
            for ref in refs:
                if (ref.status == "invented") != (shape.tag == "invented"):
                    line = int(ref.origin.rpartition(":")[2])
                    text = f"a row that is {ref.status} in a choice that is {shape.tag}"
                    remedy = "real and invented never stand in one file"
                    self.problems.append(Problem(document.file, line, text, remedy))
            origin = f"{document.file}:{document.line('id')}"
            found[shape.id] = tables.National(
                shape.id, shape.title, shape.tag, chosen, variants, figures, origin
            )
        return found

    def fits(self, kind: str, edition: tables.Edition) -> bool:
        return set(tables.FIGURES[kind]) == set(edition.figures) and not edition.trial

    def variants(self, document: Document, shape: NationalFile) -> dict[str, tables.Variant]:
        found: dict[str, tables.Variant] = {}
        for row, ref in self.rows(document, "variants", shape.variants, "choice"):
            at = ("variants", shape.variants.index(row))
            if row.choice not in tables.VARIANTS:
                remedy = near(row.choice, tables.VARIANTS)
                self.fault(document, (*at, "choice"), f"no choice `{row.choice}`", remedy)
                continue
            ways = tables.VARIANTS[row.choice]
            self.known(document, (*at, "takes"), row.takes, ways, f"way for `{row.choice}`")
            found[row.choice] = tables.Variant(row.choice, row.takes, ref)
        for name in tables.VARIANTS:
            if name not in found:
                self.fault(document, ("variants",), f"no answer to `{name}`", "add it")
        return found
