"""The 40 questions as shipped: all there, each short, each with a place for its answer."""

import re
from collections import Counter
from xml.etree import ElementTree

import pytest
from pydantic import BaseModel

from selector.jobs import schema
from selector.knowledge.base import Base
from selector.model.question import Question
from selector.model.rule import Path, Quantity
from tests.conftest import ROOT

# How many of a hundred cannot say, on the phone and on the roof (from memory), and when the
# question is never left out (common practice, no source).
OBSERVATIONS: dict[str, tuple[int | None, int, str]] = {
    "O-01": (5, 0, "always"),
    "O-02": (50, 10, "always"),
    "O-03": (40, 2, "always"),
    "O-04": (70, 5, "always"),
    "O-05": (80, 10, "may be left out"),
    "O-06": (60, 10, "always"),
    "O-07": (85, 5, "may be left out"),
    "O-08": (40, 2, "may be left out"),
    "O-09": (50, 10, "may be left out"),
    "O-10": (20, 5, "may be left out"),
    "O-11": (80, 20, "always"),
    "O-12": (90, 40, "may be left out"),
    "O-13": (60, 20, "may be left out"),
    "O-14": (95, 30, "handcrafted"),
    "O-15": (95, 30, "handcrafted"),
    "O-16": (97, 40, "may be left out"),
    "O-17": (98, 70, "may be left out"),
    "O-18": (60, 40, "always"),
    "O-19": (80, 50, "always"),
    "O-20": (40, 2, "may be left out"),
    "O-21": (60, 5, "may be left out"),
    "O-22": (30, 1, "may be left out"),
    "O-23": (25, 10, "may be left out"),
    "O-24": (2, 2, "always"),
    "O-25": (15, 5, "may be left out"),
    "O-26": (20, 10, "always"),
    "O-27": (50, 3, "always"),
    "O-28": (10, 20, "always"),
    "O-29": (40, 90, "may be left out"),
    "O-30": (90, 60, "may be left out"),
    "O-31": (50, 5, "always"),
    "O-32": (40, 5, "always"),
    "O-33": (30, 3, "always"),
    "O-34": (50, 30, "may be left out"),
    "O-35": (30, 2, "may be left out"),
    "O-36": (15, 2, "may be left out"),
    "O-37": (20, 10, "always"),
    "O-38": (10, 5, "always"),
    "O-39": (None, 5, "substitution"),
    "O-40": (None, 20, "before sign-off"),
}
# What is asked first, since the answer can end the work: common practice, no source.
STOP = {"O-01", "O-28", "O-32", "O-38"}
ON_PAPER = (
    *("site.basic_wind", "site.ground_snow", "site.orography"),
    *("site.peak_pressure", "site.roof_snow"),
)
ROOTS: dict[str, type[BaseModel]] = {
    "array": schema.ArrayShape,
    "papers": schema.PaperShape,
    "request": schema.SwapShape,
    "stack": schema.StackShape,
}
SVG = "{http://www.w3.org/2000/svg}"


def when(question: Question) -> str:
    """When the question is never left out, in the words of the table."""
    never = question.never_skip
    if never is None:
        return "may be left out"
    if never.work is not None:
        return {"sign-off": "before sign-off"}.get(never.work, never.work)
    if not never.when:
        return "always"
    [[weak]] = never.when
    # hand-folded seams hang on weak clips
    assert (str(weak.left), weak.right) == ("plane.clips.strength", "weak")
    return "handcrafted"


def test_each_observation_has_one_question(base: Base) -> None:
    files = sorted(ROOT.glob("kb/questions/*.yaml"))
    found = [
        line.removeprefix("observation: ")
        for path in files
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith("observation: ")
    ]
    assert sorted(found) == sorted(OBSERVATIONS) == [f"O-{i:02}" for i in range(1, 41)]
    assert len(files) == len(base.questions) == 40


@pytest.mark.parametrize("observation", OBSERVATIONS)
def test_rates_and_what_is_never_skipped(base: Base, observation: str) -> None:
    question = base.questions[observation]
    phone, roof, never = OBSERVATIONS[observation]
    rate = question.dont_know
    assert rate.phone == (None if phone is None else phone * 10_000)
    assert rate.roof == roof * 10_000
    assert rate.status == "from memory"
    assert when(question) == never


def test_the_questions_that_stop_the_work(base: Base) -> None:
    assert {o for o, q in base.questions.items() if q.stop} == STOP
    assert "nobody steps on" in base.questions["O-32"].caution
    assert "licensed people" in base.questions["O-32"].caution
    assert "engineer" in base.questions["O-38"].caution


def test_questions_are_read_with_gloves_on(base: Base) -> None:
    for question in base.questions.values():
        assert 1 <= len(question.look) <= 4, question.name
        assert max(map(len, question.look)) <= 80, question.name
        assert len(question.ask) <= 100, question.name
        assert len(question.why) <= 120, question.name
        for text in (question.ask, question.why, question.caution, *question.look):
            assert not text.endswith("."), question.name
        assert not re.search(r"\bO-[0-9]|[a-z]\.[a-z]", f"{question.ask} {question.why}")


def test_guards_name_what_is_looked_at_before(base: Base) -> None:
    """A guard names quantities, and never the answer of its own question."""
    guarded = [q for q in base.questions.values() if q.asked_when]
    assert {"O-07", "O-14", "O-15"} <= {q.observation for q in guarded}
    for question in guarded:
        for condition in (c for group in question.asked_when for c in group):
            path = str(condition.left)
            assert path in base.vocabulary.quantities
            assert path not in question.quantities, question.name


def test_a_roof_of_which_nothing_is_known_is_asked_everything(base: Base) -> None:
    """Each guard may hold while its quantity is open, or has its default."""
    for question in base.questions.values():
        for condition in (c for group in question.asked_when for c in group):
            quantity = base.vocabulary.quantities[str(condition.left)]
            wanted = condition.right
            words = {wanted} if isinstance(wanted, str) else set(wanted or ())  # type: ignore[arg-type]
            assert words < set(quantity.words), "a guard that always holds is none"
            assert not condition.negated
            assert quantity.default is None or quantity.default in words


def needs_no_question(quantity: Quantity) -> bool:
    return quantity.derived or quantity.setting


def test_every_quantity_belongs_to_one_question_or_is_never_looked_at(base: Base) -> None:
    asked = Counter(path for q in base.questions.values() for path in q.quantities)
    assert set(asked.values()) == {1}
    quantities = base.vocabulary.quantities
    free = {path for path, q in quantities.items() if needs_no_question(q)}
    assert set(asked) | free == set(quantities)
    assert not set(asked) & free
    for path in asked:
        observation = quantities[path].observation
        assert path in base.questions[observation].quantities


def test_every_quantity_that_a_rule_reads_can_be_asked_for(base: Base) -> None:
    asked = {path for q in base.questions.values() for path in q.quantities}
    read: set[str] = set()
    for rule in base.rules:
        for condition in rule.conditions:
            read.add(str(condition.left))
            if isinstance(condition.right, Path):
                read.add(str(condition.right))
    quantities = base.vocabulary.quantities
    observed = {p for p in read & set(quantities) if not needs_no_question(quantities[p])}
    assert len(observed) > 20
    assert observed <= asked


def test_answers_that_are_no_quantity_have_a_place_in_the_job(base: Base) -> None:
    marks = "plane.clips.marks"
    named = {path for q in base.questions.values() for path in q.answers}
    assert marks in named
    for path in named - {marks}:
        root, _, key = path.partition(".")
        fields = ROOTS[root].model_fields
        assert not key or key in {f.alias or n for n, f in fields.items()}, path


def test_measures_name_unit_and_tools(base: Base) -> None:
    for question in base.questions.values():
        for path in question.quantities:
            quantity = base.vocabulary.quantities[path]
            if quantity.dimension in ("choice", "count"):
                assert not quantity.unit
            else:
                assert quantity.unit
                # wind and snow stand on a map sheet or in a calculation; nobody measures them
                assert quantity.tools or path in ON_PAPER


# --- drawings ------------------------------------------------------------------------------


def test_every_shape_is_drawn_and_nothing_else(base: Base) -> None:
    files = {p.name for p in ROOT.glob("kb/questions/drawings/*")}
    assert files == {f"{s}.{k}" for s in base.vocabulary.words["shape"] for k in ("svg", "txt")}


def test_drawings_show_what_is_measured(base: Base) -> None:
    for shape, drawing in base.drawings.items():
        root = ElementTree.fromstring(drawing.svg)
        shown = [e.text for e in root.iter(f"{SVG}text")]
        assert sorted(shown) == sorted(base.shapes[shape].shape.measured)
        for word in shown:
            assert word in drawing.text.replace("-", " ").split(), shape


def test_drawings_are_plain_lines_in_black_and_white(base: Base) -> None:
    for drawing in base.drawings.values():
        root = ElementTree.fromstring(drawing.svg)
        tags = {e.tag.removeprefix(SVG) for e in root.iter()}
        assert tags <= {"svg", "title", "desc", "rect", "path", "text"}
        colours = {e.get(k) for e in root.iter() for k in ("fill", "stroke")}
        assert colours <= {"#000", "#fff", "none", None}
        assert "://" not in drawing.svg.replace(SVG[1:-1], "")
        assert float(root.get("viewBox", "").split()[2]) <= 360  # lines stay visible on a phone
        assert {e.get("font-size") for e in root.iter(f"{SVG}text")} == {"22"}


def test_text_drawings_fit_a_small_terminal(base: Base) -> None:
    for drawing in base.drawings.values():
        lines = drawing.text.splitlines()
        assert len(lines) <= 12
        assert max(map(len, lines)) <= 40
        assert drawing.text.isascii()
        assert all(line == line.rstrip() for line in lines)


def layers(strokes: str) -> int:
    """Sheets that one looks through along a line of characters."""
    return len(re.findall(r"[^ ]", strokes))


def test_locks_are_folded_once_and_twice(base: Base) -> None:
    """Three layers lie in a single lock, five in a double one: common practice, no source."""
    double = base.drawings["double-lock"].text.splitlines()
    across = [line[5:14] for line in double if line.count("#") == 2]  # the columns of the fold
    assert [layers(line) for line in across] == [5] * len(across) != []
    single = base.drawings["single-lock"].text.splitlines()
    column = 10  # through the leg, left of the web
    leg = "".join(line[column] for line in single[2:] if len(line) > column)
    assert layers(leg[:-1]) == 3  # the last is the pan below it
