"""The answers of the example roofs, word for word; `pytest --rewrite` writes them anew."""

import io
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from rich.console import Console

from selector.explanation.console import show
from selector.explanation.kit.page import page as kit_page
from selector.explanation.kit.telling import KitTelling
from selector.explanation.language import speaking
from selector.explanation.loads.page import page as loads_page
from selector.explanation.loads.plan_svg import plan_svg
from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.places.layout_page import page as layout_page
from selector.explanation.places.telling import PlacesTelling
from selector.explanation.texts import Texts
from selector.explanation.why.page import page
from selector.explanation.why.picture_svg import picture_svg
from selector.explanation.why.telling import Telling
from selector.facts.actions.loads import loads_of
from selector.facts.actions.model import TOPICS
from selector.inference.answer import Answer, Desk
from selector.inference.changes import explained
from selector.inference.judge import Judge
from selector.inference.repair import lay_out
from selector.inference.why import why
from selector.inference.worked import with_worked
from selector.jobs.read import read_job
from selector.kit.count import Judged, kit_of
from selector.knowledge.base import Base
from selector.model.job import Job
from selector.questions.kits_screen import kits
from selector.questions.provisional import provisional_of
from tests.conftest import ROOT

EXAMPLES = ROOT / "examples"
PICKED = [
    *("first-call", "mill-house", "round-hall", "long-barn", "harbour-shed", "case-yard"),
    *("reading-hall", "granary"),
]
TRAPS = {  # what a naive check calls fine, with the word that the link nobody looks at gives
    "clip-behind-the-clamp": "forbidden",
    "clips-not-looked-for": "observe",
    "two-rows-on-one-clip": "forbidden",
    "sheet-that-creeps": "engineer",
    "tested-on-another-sheet": "engineer",
    "a-few-degrees": "engineer",
    "pinned-on-a-sliding-clip": "forbidden",
}
JUDGED = [
    ("mill-house", "planned"),
    ("granary", "planned"),
    ("round-hall", "without-insert"),
    ("copper-chapel", "from-the-van"),
    ("copper-chapel", "with-inlay"),
    ("copper-chapel", "stainless"),
    ("case-yard", "wrong-rail"),
    ("case-yard", "right-rail"),
    *(("seven-traps", trap) for trap in TRAPS),
]
EXPLAINED = [
    ("copper-chapel", "from-the-van"),
    ("round-hall", "without-insert"),
    ("case-yard", "wrong-rail"),
    *(("seven-traps", trap) for trap, word in TRAPS.items() if word != "observe"),
]
IN_GERMAN = [("mill-house", None), ("copper-chapel", "from-the-van")]
LOADED = [
    ("reading-hall", "en", "conditional"),
    ("reading-hall", "de", "conditional"),
    ("mill-house", "en", "observe"),
]
WORDS = {
    "first-call/pick": "observe",
    "mill-house/pick": "conditional",
    "round-hall/pick": "conditional",
    "long-barn/pick": "observe",
    "harbour-shed/pick": "engineer",
    "case-yard/pick": "conditional",
    "reading-hall/pick": "observe",
    "granary/pick": "conditional",
    "granary/planned": "conditional",
    "mill-house/planned": "conditional",
    "round-hall/without-insert": "forbidden",
    "copper-chapel/from-the-van": "forbidden",
    "copper-chapel/with-inlay": "observe",
    "copper-chapel/stainless": "observe",
    "case-yard/wrong-rail": "forbidden",
    "case-yard/right-rail": "conditional",
    **{f"seven-traps/{trap}": word for trap, word in TRAPS.items()},
}


def _job(base: Base, name: str) -> Job:
    return read_job(Path("examples") / name / "job.yaml", base.vocabulary)


def _text(answer: Answer, base: Base, job: Job, left: Sequence[str] = ()) -> str:
    out = io.StringIO()
    console = Console(file=out, width=80, highlight=False, no_color=True)
    show(answer, base, job, "VERSION", console, 5, left)
    return out.getvalue().replace(base.digest[:12], "DIGEST")


def _answer(base: Base, judge: Judge, name: str, stack: str | None) -> tuple[str, Answer]:
    job = _job(base, name)
    desk = Desk(base, job, judge)
    if stack is None:
        answer = desk.choose("a1")
        found = provisional_of(desk, answer, "a1")
    else:
        desk = with_worked(desk, stack)
        answer, found = explained(desk, stack), None
    return _text(answer, base, job, kits(base, found) if found else ()), answer


@pytest.fixture(autouse=True)
def _in_the_tree(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


@pytest.mark.parametrize(
    ("name", "stack"), [*((n, None) for n in PICKED), *JUDGED], ids=lambda v: v or "pick"
)
def test_the_answer_is_the_text_beside_the_job(
    base: Base, judge: Judge, name: str, stack: str | None, request: pytest.FixtureRequest
) -> None:
    text, answer = _answer(base, judge, name, stack)
    file = EXAMPLES / name / (f"{stack or 'pick'}.txt")
    if request.config.getoption("--rewrite"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
    assert answer.word.text == WORDS[f"{name}/{stack or 'pick'}"]
    assert all(len(line) <= 80 for line in text.splitlines())
    assert "\x1b" not in text


@pytest.fixture(scope="module")
def german(base: Base) -> Iterator[tuple[Base, Judge]]:
    spoken = speaking(base, "de")
    judge = Judge(spoken)
    yield spoken, judge
    judge.close()


@pytest.mark.parametrize(("name", "stack"), IN_GERMAN, ids=lambda v: v or "pick")
def test_the_answer_in_german_is_the_text_beside_the_job(
    german: tuple[Base, Judge], name: str, stack: str | None, request: pytest.FixtureRequest
) -> None:
    text, answer = _answer(*german, name, stack)
    file = EXAMPLES / name / (f"{stack or 'pick'}.de.txt")
    if request.config.getoption("--rewrite"):
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")
    assert answer.word.text == WORDS[f"{name}/{stack or 'pick'}"]
    assert all(len(line) <= 80 for line in text.splitlines())


@pytest.mark.parametrize(("name", "stack"), EXPLAINED)
def test_a_refusal_is_explained_beside_the_job(
    base: Base, judge: Judge, name: str, stack: str, request: pytest.FixtureRequest
) -> None:
    job = _job(base, name)
    desk = with_worked(Desk(base, job, judge), stack)
    told = Telling(why(desk, stack), base, job, Texts.of(base))
    text = "\n".join(page(told, "VERSION")) + "\n"
    made = {".txt": text.replace(base.digest[:12], "DIGEST"), ".svg": picture_svg(told)}
    for ending, content in made.items():
        file = EXAMPLES / name / f"why-{stack}{ending}"
        if request.config.getoption("--rewrite"):
            file.write_text(content, encoding="utf-8")
        assert content == file.read_text(encoding="utf-8")
    assert told.why.word.text == WORDS[f"{name}/{stack}"]


@pytest.mark.parametrize(("name", "language", "word"), LOADED)
def test_the_loads_are_the_text_beside_the_job(
    base: Base, name: str, language: str, word: str, request: pytest.FixtureRequest
) -> None:
    spoken = speaking(base, language)
    job = _job(base, name)
    told = LoadsTelling(loads_of(spoken, job, job.arrays["a1"]), spoken, Texts.of(spoken))
    tail = "" if language == "en" else f".{language}"
    text = "\n".join(loads_page(told, "VERSION", ())) + "\n"
    made = {f"loads{tail}.txt": text.replace(base.digest[:12], "DIGEST")}
    if word == "conditional":
        whole = "\n".join(loads_page(told, "VERSION", TOPICS)) + "\n"
        made[f"loads-all{tail}.txt"] = whole.replace(base.digest[:12], "DIGEST")
        if language == "en":
            made["loads.svg"] = plan_svg(told)
    for file_name, content in made.items():
        file = EXAMPLES / name / file_name
        if request.config.getoption("--rewrite"):
            file.write_text(content, encoding="utf-8")
        assert content == file.read_text(encoding="utf-8")
    assert told.loads.word.text == word


@pytest.mark.parametrize("language", ["en", "de"])
def test_places_and_kit_are_the_texts_beside_the_job(
    base: Base, judge: Judge, language: str, request: pytest.FixtureRequest
) -> None:
    spoken = speaking(base, language)
    job = _job(base, "granary")
    desk, texts = Desk(spoken, job, judge), Texts.of(spoken)
    laid = lay_out(desk, job.stacks["planned"])
    assert laid.placed is not None
    told = PlacesTelling(laid, spoken, texts)
    judged = Judged(laid.option, laid.word)
    kit = kit_of(spoken, desk.job, laid.plan, laid.placed, desk, judged)
    kit_told = KitTelling(kit, spoken, texts)
    tail = "" if language == "en" else f".{language}"
    pages = {
        "layout": layout_page(told, "VERSION"),
        "kit": kit_page(kit_told, "VERSION", "examples/granary/job.yaml"),
    }
    for name, lines in pages.items():
        text = "\n".join(lines).replace(base.digest[:12], "DIGEST") + "\n"
        file = EXAMPLES / "granary" / f"{name}{tail}.txt"
        if request.config.getoption("--rewrite"):
            file.write_text(text, encoding="utf-8")
        assert text == file.read_text(encoding="utf-8")
        assert all(len(line) <= 80 for line in text.splitlines())


def test_every_refused_stack_of_the_examples_is_explained() -> None:
    refused = [(n, s) for n, s in JUDGED if WORDS[f"{n}/{s}"] in ("forbidden", "engineer")]
    assert sorted(EXPLAINED) == sorted(refused)


def test_every_example_is_read_and_every_stack_of_it_has_its_text(base: Base) -> None:
    names = sorted(p.parent.name for p in EXAMPLES.glob("*/job.yaml"))
    assert names == sorted({*PICKED, *(n for n, _ in JUDGED)})
    for name in names:
        assert sorted(_job(base, name).stacks) == sorted(s for n, s in JUDGED if n == name)


def test_nothing_invented_is_ever_released(base: Base, judge: Judge) -> None:
    for name in PICKED:
        text, answer = _answer(base, judge, name, None)
        assert answer.invented
        assert "not released" in text.lower()
        assert "DEMO" in text
