"""Read a file of pull tests: shapes first, then words, papers and dates."""

from collections.abc import Iterable
from pathlib import Path

from selector import units
from selector.errors import InputError, Problem, near
from selector.jobs import pull_schema as schema
from selector.knowledge.base import Vocabulary
from selector.knowledge.schema import check
from selector.knowledge.yaml_reader import Document, read_file
from selector.model.pull import LINK_KEYS, Asked, Pull, PullFile, PullPaper, Sourced

CLOSED = {"clip": "clip", "deck": "deck", "shape": "shape", "metal": "metal"}
LENGTHS = ("deck_thickness", "sheet_thickness")
STATES_FACTORS = ("engineer's calculation", "engineer's statement", "test report")
STATES_DEMAND = ("engineer's calculation",)
STATES_VARIATION = ("test report", "engineer's calculation", "engineer's statement")
At = tuple[object, ...]


def read_pulls(path: Path, vocabulary: Vocabulary) -> PullFile:
    """Pull tests of a file, or an InputError with every problem found."""
    document = read_file(path, path.name if path.is_absolute() else str(path))
    return pulls_of(document, vocabulary)


def pulls_of(document: Document, vocabulary: Vocabulary) -> PullFile:
    """Pull tests of a document that was read."""
    given = document.data.get("seamwright") if isinstance(document.data, dict) else None
    if given != schema.VERSION:
        text = (
            f"this is no file of pull tests: its first key must be `seamwright: {schema.VERSION}`"
        )
        remedy = "start from examples/granary/pulls.yaml"
        line = document.line("seamwright")
        raise InputError.of(text, remedy, file=document.file, line=line)
    problems: list[Problem] = []
    shape = check(schema.PullFileShape, document.data, document, (), problems)
    if shape is None:
        raise InputError(problems)
    found = _Reader(document, shape, vocabulary, problems).file()
    if problems:
        raise InputError(problems)
    return found


class _Reader:
    """Turns shapes into facts, gathering problems with their lines."""

    def __init__(
        self,
        document: Document,
        shape: schema.PullFileShape,
        vocabulary: Vocabulary,
        problems: list[Problem],
    ):
        self.document, self.shape = document, shape
        self.vocabulary, self.problems = vocabulary, problems

    def fault(self, at: At, text: str, remedy: str = "") -> None:
        self.problems.append(Problem(self.document.file, self.document.line(*at), text, remedy))

    def file(self) -> PullFile:
        shape, pulled = self.shape, self.shape.pulled
        self.papers_and_dates()
        if pulled.by not in shape.people:
            nearest = near(pulled.by, shape.people)
            self.fault(("pulled", "by"), f"nobody `{pulled.by}` under `people`", nearest)
        self.words(("what",), shape.what)
        for zone in shape.demand:
            self.word(("demand", zone), zone, "zone")
        person = shape.people.get(pulled.by)
        link = _link(shape.what)
        return PullFile(
            id=shape.id,
            file=self.document.file,
            as_of=shape.as_of,
            invented=shape.invented,
            roof=shape.roof,
            pulled_on=pulled.on,
            pulled_by=person.role if person else "",
            tool=pulled.tool,
            calibrated=pulled.calibrated,
            calibrated_until=pulled.calibrated_until,
            link=link,
            demand={z: s for z in shape.demand if (s := self.demand(z)) is not None},
            asked=self.asked(),
            pulls=self.pulls(link),
        )

    def papers_and_dates(self) -> None:
        shape, pulled = self.shape, self.shape.pulled
        kinds = self.vocabulary.words["paper"]
        for key, paper in shape.papers.items():
            if paper.kind not in kinds:
                text = f"`{paper.kind}` is no kind of paper"
                self.fault(("papers", key, "kind"), text, near(paper.kind, kinds))
            self.in_order(("papers", key, "dated"), paper.dated, shape.as_of, "`as_of`")
        self.in_order(("pulled", "on"), pulled.on, shape.as_of, "`as_of`")
        self.in_order(("pulled", "calibrated"), pulled.calibrated, pulled.on, "the pulls")
        until = pulled.calibrated_until
        if until is not None and until < pulled.calibrated:
            here = ("pulled", "calibrated_until")
            self.fault(here, "`calibrated_until` is before `calibrated`", "check both")

    def in_order(self, at: At, early: str, late: str, name: str) -> None:
        if early > late:
            self.fault(at, f"`{at[-1]}` is {early}, after {name} on {late}", "check both")

    def word(self, at: At, word: str, name: str) -> None:
        known = self.vocabulary.words[name]
        if word not in known:
            self.fault(at, f"`{word}` is no {name} that is known here", near(word, known))

    def words(self, at: At, shape: schema.LinkShape | schema.OtherShape) -> None:
        for key, name in CLOSED.items():
            given = getattr(shape, key)
            if given is not None:
                self.word((*at, key), given, name)
        if shape.clip == "none":
            self.fault((*at, "clip"), "`none` is no clip that can be pulled", "name the clip")

    # --- figures of papers ---------------------------------------------------------------

    def paper(
        self, at: At, key: str, kinds: Iterable[str] = (), before: bool = False
    ) -> PullPaper | None:
        """The paper of a key: of one of these kinds, and if need be older than the pulls."""
        shape = self.shape.papers.get(key)
        here = (*at, "paper")
        if shape is None:
            remedy = near(key, self.shape.papers) or "list it"
            self.fault(here, f"no paper `{key}` under `papers`", remedy)
            return None
        if kinds and shape.kind not in kinds:
            text = f"`{key}` is a {shape.kind}; `{at[-1]}` counts only from others"
            self.fault(here, text, f"use one of {', '.join(kinds)}")
        if before and shape.dated >= self.shape.pulled.on:
            text = f"`{key}` is of {shape.dated}, not before the pulls on {self.shape.pulled.on}"
            self.fault(here, text, f"leave `{at[-1]}` out: it was not laid down before testing")
        return PullPaper(key, shape.kind, shape.number or "", shape.dated)

    def demand(self, zone: str) -> Sourced | None:
        at = ("demand", zone)
        shape = self.shape.demand[zone]
        return self.sourced(at, shape.is_ / 1e3, self.paper(at, shape.paper, STATES_DEMAND))

    def sourced(self, at: At, value: float, paper: PullPaper | None) -> Sourced | None:
        return None if paper is None else Sourced(value, paper, self.document.line(*at))

    def asked(self) -> Asked:
        record = self.shape.record
        shape, method, gamma = record.distribution, record.method, record.gamma_m
        at: dict[str, At] = {name: ("record", name) for name in schema.RecordShape.model_fields}
        laid = self.paper(at["distribution"], shape.paper, before=True) if shape else None
        way = self.paper(at["method"], method.paper, before=True) if method else None
        direct = way if method is not None and method.is_ == "EN 1990 D.7.3" else None
        if direct is not None and gamma is not None:
            text = "`gamma_m` has no place in D.7.3: `eta_d` covers what it covered"
            self.fault(at["gamma_m"], text, "take it out, and say so to whoever set `eta_d`")
        return Asked(
            distribution=shape.is_ if shape else None,
            distribution_paper=laid,
            variation=self.figure(at["variation"], record.variation, STATES_VARIATION, True),
            direct=direct,
            eta_d=self.figure(at["eta_d"], record.eta_d, STATES_FACTORS),
            gamma_m=self.figure(at["gamma_m"], gamma, STATES_FACTORS),
        )

    def figure(
        self,
        at: At,
        shape: schema.FactorShape | schema.VariationShape | None,
        kinds: tuple[str, ...],
        before: bool = False,
    ) -> Sourced | None:
        if shape is None:
            return None
        return self.sourced(at, shape.is_, self.paper(at, shape.paper, kinds, before))

    # --- pulls -----------------------------------------------------------------------------

    def pulls(self, link: dict[str, str]) -> tuple[Pull, ...]:
        found: list[Pull] = []
        gone: dict[tuple[str, int], int] = {}
        for i, shape in enumerate(self.shape.pulls):
            at = ("pulls", i)
            self.word((*at, "zone"), shape.zone, "zone")
            self.words((*at, "but"), shape.but)
            place = shape.seam, shape.from_eave
            if place in gone:
                before = f"failed before, in pull {gone[place]}"
                text = f"the clip on `{shape.seam}` at this height {before}"
                self.fault(at, text, "a clip fails once: check seam and `from_eave`")
            elif shape.failed_at is not None:
                gone[place] = i + 1
            found.append(
                Pull(
                    number=i + 1,
                    seam=shape.seam,
                    from_eave_um=shape.from_eave,
                    zone=shape.zone,
                    link=link | _link(shape.but),
                    failed_mn=shape.failed_at,
                    held_mn=shape.held,
                    to_hold_mn=shape.to_hold,
                    seconds=shape.for_,
                    mode=shape.mode or "",
                    line=self.document.line(*at),
                )
            )
        return tuple(found)


def _link(shape: schema.LinkShape | schema.OtherShape) -> dict[str, str]:
    """What is said of a link, each as a text."""
    given = ((key, getattr(shape, key)) for key in LINK_KEYS)
    return {
        key: units.show(value, "length") if key in LENGTHS else value
        for key, value in given
        if value is not None
    }
