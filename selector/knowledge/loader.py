"""Documents to a Base: every file checked, every problem gathered."""

from pathlib import Path as FilePath
from typing import Any

from pydantic import TypeAdapter, ValidationError

from selector import units
from selector.errors import InputError, Problem, near
from selector.knowledge import schema
from selector.knowledge.agree import agree
from selector.knowledge.base import (
    Base,
    Catalogue,
    Number,
    PairingRow,
    Part,
    Record,
    ShapeRow,
    Vocabulary,
    exact,
)
from selector.knowledge.codes import read_codes
from selector.knowledge.coverage import FILE as COVERAGE
from selector.knowledge.coverage import read_coverage
from selector.knowledge.documents import documents_of, read_documents
from selector.knowledge.drawings import Drawings
from selector.knowledge.faults import Faults
from selector.knowledge.kits import KitReader
from selector.knowledge.locate import Home, home
from selector.knowledge.questions import question_sheets, read_questions
from selector.knowledge.rules import read_case_file, read_rule
from selector.knowledge.schema import check
from selector.knowledge.texts import TextReader
from selector.knowledge.trade import TradeReader
from selector.knowledge.vocabulary import read_vocabulary
from selector.knowledge.yaml_reader import Document
from selector.model.rule import Case, Rule


def load_base(kb: FilePath | None = None) -> Base:
    """Base of the shipped folders, or of a folder that holds `kb/` and `rules/`."""
    return load(home(kb))


def load(where: Home) -> Base:
    """Base of given folders, or an InputError with every problem."""
    return build(*read_documents(where))


def base_of(texts: dict[str, str]) -> Base:
    """Base of the texts of its files by name, wherever they were kept."""
    return build(*documents_of(texts))


def build(digest: str, documents: dict[str, Document]) -> Base:
    """Base of documents that were read."""
    problems: list[Problem] = []
    loader = _Loader(documents, problems)
    sheets = question_sheets(documents, problems)
    vocabulary = read_vocabulary(documents, sheets, problems)
    if problems:
        raise InputError(problems)
    questions = read_questions(documents, sheets, vocabulary, problems)
    drawings = Drawings(documents, problems).drawings(vocabulary.words["shape"])
    sources = loader.sources()
    loader.known_sources = {FilePath(d.file).stem for d in loader.below("kb/sources/")}
    loader.worth = {source.id: source.status for source in sources.values()}
    numbers = loader.numbers()
    shapes = loader.shapes(vocabulary)
    facts = TradeReader(documents, problems, vocabulary.words, loader.cited)
    tools = {tool for quantity in vocabulary.quantities.values() for tool in quantity.tools}
    known = dict.fromkeys(loader.known_sources, "published")  # also one with a fault of its own
    base = Base(
        digest=digest,
        vocabulary=vocabulary,
        questions=questions,
        drawings=drawings,
        sources=sources,
        numbers=numbers,
        pairings=loader.pairings(vocabulary),
        shapes=shapes,
        catalogues=loader.catalogues(vocabulary, shapes),
        codes=read_codes(documents, known | loader.worth, problems),
        rules=loader.rules(vocabulary),
        cases=loader.cases,
        trade=facts.book(tools),
        kits=KitReader(documents, problems, vocabulary, loader.cited).book(),
        coverage=read_coverage(documents.get(COVERAGE), problems),
        texts=TextReader(documents, problems).books(),
    )
    if problems:
        raise InputError(problems)
    return base


_RECORD: TypeAdapter[Any] = TypeAdapter(
    schema.ClampRecord
    | schema.ClipRecord
    | schema.JointRecord
    | schema.ModuleClampRecord
    | schema.ModuleRecord
)


# What a status is worth, best first: a fact is worth no more than its source.
WORTH = {
    "published": 0,
    "measured": 1,
    "common practice": 2,
    "judgement": 3,
    "from memory": 4,
    "invented": 5,
}


class _Loader(Faults):
    """One pass over all documents."""

    def __init__(self, documents: dict[str, Document], problems: list[Problem]):
        super().__init__(documents, problems)
        self.known_sources: set[str] = set()
        self.worth: dict[str, str] = {}  # source -> its status
        self.cases: tuple[Case, ...] = ()

    def below(self, prefix: str) -> list[Document]:
        return [d for n, d in sorted(self.documents.items()) if n.startswith(prefix)]

    def rows(self, name: str) -> list[tuple[Document, int, Any]]:
        """Items of a list file."""
        document = self.documents.get(name)
        if document is None:
            self.problems.append(Problem(name, 0, "this file is missing", "restore it"))
            return []
        if not isinstance(document.data, list):
            self.fault(document, (), "expected a list", "start every entry with `- `")
            return []
        return [(document, i, item) for i, item in enumerate(document.data)]

    # --- sources and trade -------------------------------------------------------------

    def sources(self) -> dict[str, schema.Source]:
        found: dict[str, schema.Source] = {}
        for document in self.below("kb/sources/"):
            source = check(schema.Source, document.data, document, (), self.problems)
            if source is None:
                continue
            if FilePath(document.file).stem != source.id:
                self.fault(document, ("id",), f"id `{source.id}` is not the file's name")
            found[source.id] = source
        return found

    def named(self, document: Document, at: tuple[object, ...], source: str) -> bool:
        """Whether a source is there, also one with a fault of its own."""
        if source in self.known_sources:
            return True
        remedy = near(source, self.known_sources)
        self.fault(document, (*at, "source"), f"no source `{source}`", remedy)
        return False

    def cited(self, document: Document, at: tuple[object, ...], source: str, status: str) -> None:
        """A source is there, and what rests on it is worth no more than the source itself."""
        best = self.worth.get(source, status)
        if self.named(document, at, source) and WORTH[status] < WORTH[best]:
            text = f"`{status}` rests on `{source}`, which is `{best}`"
            self.fault(document, (*at, "source"), text, "cite what says it, or mark it as weak")

    def numbers(self) -> dict[str, Number]:
        found: dict[str, Number] = {}
        for document, i, item in self.rows("kb/trade/numbers.yaml"):
            row = check(schema.TradeNumber, item, document, (i,), self.problems)
            if row is None:
                continue
            self.cited(document, (i,), row.source, row.status)
            if row.id in found:
                self.fault(document, (i, "id"), f"`{row.id}` is listed twice")
            if row.dimension not in units.DIMENSIONS:
                remedy = near(row.dimension, units.DIMENSIONS)
                self.fault(document, (i, "dimension"), f"no dimension `{row.dimension}`", remedy)
                continue
            try:
                value = exact(units.parse(row.value, row.dimension), row.dimension)
            except ValueError as error:
                self.fault(document, (i, "value"), str(error))
                continue
            origin = f"{document.file}:{document.line(i)}"
            found[row.id] = Number(row.id, row.text, value, row.source, row.status, origin)
        return found

    def shapes(self, vocabulary: Vocabulary) -> dict[str, ShapeRow]:
        found: dict[str, ShapeRow] = {}
        for document, i, item in self.rows("kb/trade/shapes.yaml"):
            row = check(schema.ShapeFacts, item, document, (i,), self.problems)
            if row is None:
                continue
            self.cited(document, (i,), row.source, row.status)
            self.known(document, (i, "id"), row.id, vocabulary.words["shape"], "shape")
            found[row.id] = ShapeRow(row, f"{document.file}:{document.line(i)}")
        for shape in vocabulary.words["shape"]:
            if shape not in found:
                name = "kb/trade/shapes.yaml"
                self.problems.append(Problem(name, 0, f"shape `{shape}` is missing", "add it"))
        return found

    def pairings(self, vocabulary: Vocabulary) -> tuple[PairingRow, ...]:
        found: dict[str, PairingRow] = {}
        for document, i, item in self.rows("kb/trade/pairings.yaml"):
            row = check(schema.Pairing, item, document, (i,), self.problems)
            if row is None:
                continue
            self.cited(document, (i,), row.source, row.status)
            words = vocabulary.words
            kinds = (*words["family"], "aluminium-zinc", *words["substance"])
            for key, known in (("upper", kinds), ("lower", kinds), ("spares", words["coating"])):
                for word in getattr(row, key):
                    kind = "coating" if key == "spares" else "family"
                    self.known(document, (i, key), word, known, kind)
            for k, other in enumerate(row.dissent):
                self.named(document, (i, "dissent", k), other.source)
                for word in other.of:
                    at = (i, "dissent", k, "of")
                    self.known(document, at, word, (*row.upper, *row.lower), "metal of this row")
            for word in row.salt:
                self.known(document, (i, "salt"), word, words["salt"], "word")
            if row.id in found:
                self.fault(document, (i, "id"), f"`{row.id}` is listed twice")
            found[row.id] = PairingRow(row, f"{document.file}:{document.line(i)}")
        return tuple(found[k] for k in sorted(found))

    # --- catalogues --------------------------------------------------------------------

    def catalogues(
        self, vocabulary: Vocabulary, shapes: dict[str, ShapeRow]
    ) -> dict[str, Catalogue]:
        root = "kb/catalogues/"
        names = sorted({n[len(root) :].partition("/")[0] for n in self.documents if root in n})
        found: dict[str, Catalogue] = {}
        for name in names:
            front = self.documents.get(f"{root}{name}/catalogue.yaml")
            if front is None:
                text = f"catalogue `{name}` has no front page"
                self.problems.append(Problem(f"{root}{name}/catalogue.yaml", 0, text, "add it"))
                continue
            page = check(schema.CatalogueFile, front.data, front, (), self.problems)
            if page is None:
                continue
            if page.name != name:
                self.fault(front, ("name",), f"name `{page.name}` is not the folder's name")
            try:
                allowance = units.parse(page.mass_allowance, "area mass")
            except ValueError as error:
                self.fault(front, ("mass_allowance",), str(error))
                continue
            status = "invented" if page.tag == "invented" else "measured"
            parts = self.parts(name, status)
            records = self.records(name, status)
            self.problems += agree(self.documents, vocabulary, shapes, parts, records)
            found[name] = Catalogue(
                name,
                page.tag,
                page.scenario,
                allowance,
                parts,
                records,
                page.clip_factor,
                page.methods.clip_share,
            )
        return found

    def parts(self, catalogue: str, status: str) -> dict[str, Part]:
        found: dict[str, Part] = {}
        for stem, (slot, model) in schema.PART_FILES.items():
            document = self.documents.get(f"kb/catalogues/{catalogue}/{stem}.yaml")
            if document is None:
                continue
            if not isinstance(document.data, dict):
                self.fault(document, (), "expected `id: {...}` for each part")
                continue
            lines: dict[str, dict[str, int]] = {}
            for path, at in document.lines.items():
                owner, _, key = path.partition("/")
                if key:
                    lines.setdefault(owner, {})[key] = at
            for handle, data in document.data.items():
                shape = check(model, data, document, (handle,), self.problems)
                if shape is None:
                    continue
                part_id = f"{catalogue}/{handle}"
                if part_id in found:
                    self.fault(document, (handle,), f"part `{handle}` is listed twice")
                line, own = document.line(handle), lines.get(handle, {})
                found[part_id] = Part(part_id, slot, shape, document.file, line, own, status)
        return found

    def records(self, catalogue: str, status: str) -> tuple[Record, ...]:
        found: dict[str, Record] = {}
        for document in self.below(f"kb/catalogues/{catalogue}/records/"):
            if not isinstance(document.data, list):
                self.fault(document, (), "expected a list of records")
                continue
            for i, data in enumerate(document.data):
                kind = data.get("kind") if isinstance(data, dict) else None
                model = schema.RECORD_KINDS.get(str(kind))
                if model is None:
                    remedy = near(str(kind), schema.RECORD_KINDS)
                    self.fault(document, (i,), f"no record kind `{kind}`", remedy)
                    continue
                shape = check(model, data, document, (i,), self.problems)
                if shape is None:
                    continue
                if shape.id in found:
                    self.fault(document, (i, "id"), f"record `{shape.id}` is listed twice")
                line = document.line(i)
                found[shape.id] = Record(shape.id, shape, document.file, line, status)
        return tuple(found[k] for k in sorted(found))

    # --- rules -------------------------------------------------------------------------

    def rules(self, vocabulary: Vocabulary) -> tuple[Rule, ...]:
        found: dict[str, Rule] = {}
        cases: list[Case] = []
        faulty: set[str] = set()
        for document in self.below("rules/"):
            if document.file == COVERAGE:
                continue
            if document.file.endswith(".cases.yaml"):
                cases += read_case_file(document, self.problems)
                continue
            rule = read_rule(document, vocabulary, self.problems)
            if rule is None:
                faulty.add(FilePath(document.file).stem)
                continue
            self.cited(document, (), rule.source, rule.basis)
            if rule.id in found:
                self.fault(document, ("id",), f"rule `{rule.id}` is written twice")
            found[rule.id] = rule
        for rule in found.values():
            for other in rule.excepts:
                if other == rule.id:
                    text = "a rule cannot except itself"
                    self.fault(self.documents[rule.file], ("except",), text, "name another rule")
                elif other in faulty:
                    continue
                elif other not in found:
                    text = f"`except` names no rule `{other}`"
                    self.problems.append(Problem(rule.file, rule.line, text, near(other, found)))
                elif found[other].subject != rule.subject:
                    text = f"`{other}` has another subject; an exception stays in its own"
                    self.problems.append(Problem(rule.file, rule.line, text))
        for case in cases:
            if case.rule not in found and case.rule not in faulty:
                text = f"no rule `{case.rule}` beside these cases"
                self.problems.append(Problem(case.file, case.line, text, near(case.rule, found)))
        self.cases = tuple(cases)
        return tuple(found[k] for k in sorted(found))


__all__ = ["ValidationError", "base_of", "build", "load", "load_base"]
