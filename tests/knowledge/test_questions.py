"""Question files and drawings: their shape, and every fault of their readers."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from selector.errors import InputError, Problem
from selector.knowledge.base import Base
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build, load_base
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import Document, read_string
from selector.model.rule import Limit
from tests.conftest import ROOT

QUESTIONS = "kb/questions/"
PICTURE = f"{QUESTIONS}seam-end-picture.yaml"
HEIGHT = f"{QUESTIONS}seam-height.yaml"
BULB = f"{QUESTIONS}bulb-diameter.yaml"
SPACING = f"{QUESTIONS}clip-spacing-field.yaml"
WRENCH = f"{QUESTIONS}torque-wrench.yaml"
MODULE = f"{QUESTIONS}module.yaml"
BRITTLE = f"{QUESTIONS}brittle-or-live.yaml"
SVG = f"{QUESTIONS}drawings/round.svg"
TEXT = f"{QUESTIONS}drawings/round.txt"


@pytest.fixture(scope="module")
def documents() -> dict[str, Document]:
    """The base without what questions do not need, so that reading it is quick."""
    whole = read_documents(home())[1]
    return {n: d for n, d in whole.items() if n.startswith("kb/") and "/catalogues/" not in n}


Found = Callable[[dict[str, str | None]], tuple[Problem, ...]]


@pytest.fixture(scope="module")
def found(documents: dict[str, Document]) -> Found:
    """Problems of a base with other texts for some of its files; None: without the file."""

    def problems(changed: dict[str, str | None]) -> tuple[Problem, ...]:
        other = dict(documents)
        for name, text in changed.items():
            other.pop(name, None)
            if text is not None:
                is_yaml = name.endswith(".yaml")
                other[name] = read_string(text, name) if is_yaml else Document(name, text)
        with pytest.raises(InputError) as caught:
            build("copy", other)
        return caught.value.problems

    return problems


def text_of(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def test_the_lean_base_is_sound(documents: dict[str, Document]) -> None:
    assert build("copy", documents).questions == load_base().questions


def test_a_question_as_it_is_read(base: Base) -> None:
    question = base.questions["O-07"]
    assert (question.name, question.title) == ("bulb-diameter", "diameter of the bulb")
    assert question.look[0] == "calliper, not tape"
    assert (question.effort.phone, question.effort.roof) == (5, 2)
    assert (question.dont_know.phone, question.dont_know.roof) == (850_000, 50_000)
    assert question.dont_know.status == "from memory"
    [[guard]] = question.asked_when
    assert (str(guard.left), guard.operator, guard.right) == ("plane.seam.shape", "is", "round")
    assert question.never_skip is None
    assert not question.stop
    assert question.origin == f"{BULB}:1"


def test_a_quantity_has_the_wording_of_its_question_or_its_own(base: Base) -> None:
    question = base.questions["O-04"]
    head, leg = (base.vocabulary.quantities[path] for path in question.quantities)
    assert (head.ask, head.how) == (question.ask, question.look[0])
    assert (leg.ask, leg.how) != (head.ask, head.how)
    assert (head.observation, leg.observation, head.unit) == ("O-04", "O-04", "mm")


def test_effort_is_of_who_looks(base: Base) -> None:
    quantities = base.vocabulary.quantities
    asked_from_the_desk = quantities["site.building"]
    assert (asked_from_the_desk.lifted, asked_from_the_desk.effort) == ("owner", 1)
    assert base.questions["O-28"].effort.roof == 2
    assert quantities["plane.seam.made"].effort == base.questions["O-13"].effort.roof
    assert quantities["plane.clips.kind"].effort == 4  # a place is opened


def test_what_is_no_quantity_is_asked_in_the_words_of_its_question(base: Base) -> None:
    ask, question = base.vocabulary.ask("plane.clips.marks"), base.questions["O-14"]
    assert question.answers == ("plane.clips.marks",)
    assert (ask.ask, ask.how, ask.who, ask.effort) == (
        question.ask,
        question.look[0],
        question.who,
        question.effort.roof,
    )
    # several questions end in papers, so none of them words the asking for papers
    assert "papers" not in base.vocabulary.asks


def test_alternatives_and_measures_can_guard(documents: dict[str, Document]) -> None:
    guard = "\nasked_when: [{any: [p.seam.shape is round, not p.seam.height at most 30 mm]}]\n"
    changed = read_string(text_of(HEIGHT).rstrip() + guard, HEIGHT)
    [[one, other]] = build("copy", {**documents, HEIGHT: changed}).questions["O-03"].asked_when
    assert (one.right, other.right, other.negated) == ("round", Limit("length", 30_000), True)


# file, place in it, what stands there instead, text, remedy
WRONG: list[tuple[str, str, str, str, str]] = [
    (PICTURE, "O-02", "O-41", "`O-41` is no observation", "did you mean `O-"),
    (PICTURE, "O-02", "O-03", "`O-03` is asked for twice", f"the other is {PICTURE}:1"),
    (PICTURE, "group: seam and sheet", "group: seam", "`group` is `seam`", "use one of"),
    (PICTURE, "title:", "titel:", "unknown key `titel`", "did you mean `title`?"),
    (PICTURE, "why:", "wy:", "key `why` is missing", "add it"),
    (PICTURE, "who: roof", "who: rof", "`who` is `rof`", "use one of 'phone', 'owner', 'roof'"),
    (PICTURE, "roof: 2}", "roof: 6}", "`roof`: input should be less than or equal to 5", ""),
    (PICTURE, "roof: 2}", "roof: 0}", "`roof`: input should be greater than or equal to 1", ""),
    (PICTURE, "phone: 50 %", "phone: 120 %", "a rate is 0 to 100 %, given 120 %", ""),
    (PICTURE, "phone: 50 %", "phone: -1 %", "`-1 %` is negative", ""),
    (PICTURE, "phone: 50 %", "phone: 50", "with its unit, given `50`", "%"),
    (PICTURE, "phone: 50 %, ", "", "have both a `phone` or neither", ""),
    (PICTURE, "from memory", "remembered", "`status` is `remembered`", "use one of"),
    (PICTURE, "never_skip: yes", "never_skip: no", "`never_skip`: write `yes`, or", ""),
    (PICTURE, "list: shape", "list: shap", "no list `shap`", "did you mean `shape`?"),
    (WRENCH, "who: roof", "who: owner", "`owner` is asked from the desk", ""),
    (WRENCH, "sign-off}", "signing}", "`only_for` is `signing`", "'substitution' or 'sign-off'"),
    (BRITTLE, "caution:", "# caution:", "a question that can end the work says a `caution`", ""),
    (MODULE, "answers: array.module", "", "a question has `quantities`, or `answers`", ""),
    (HEIGHT, "unit: mm, ", "", "does not say in which unit one answers", "add `unit`"),
    (HEIGHT, "unit: mm", "unit: kN", "`kN` is no unit of length", "known here: "),
    (BULB, "p.seam.shape is", "p.seam.shap is", "no quantity `plane.seam.shap`", "`plane.seam.sh"),
    (BULB, "p.seam.shape is", "p.seam.sightings at least", "`round` has no known unit", ""),
    (BULB, "p.seam.shape is", "q.seam.shape is", "`q` is no role", "p, s"),
    (BULB, "is round", "is rund", "`rund` is no word of `plane.seam.shape`", "`round`?"),
    (BULB, "is round", "is one of [T, rund]", "`rund` is no word of", "`round`?"),
    (BULB, "is round", "known", "`known` cannot guard a question", "known here: at least, "),
    (BULB, "is round", "at most 3 mm", "`plane.seam.shape` is a choice, not length", ""),
    (BULB, "is round", "sounds", "is not `PATH OPERATOR VALUE`", ""),
    (BULB, "p.seam.shape is round", "{any: []}", "a group is `any: [condition, ...]`", ""),
    (BULB, "p.seam.shape is round", "3", "a condition is a text, given `3`", ""),
    (
        SPACING,
        "when: [p.clips.strength is weak]",
        "when: [p.clips.strength is wek]",
        "`wek`",
        "weak",
    ),
]


@pytest.mark.parametrize(
    ("name", "old", "new", "said", "remedy"),
    WRONG,
    ids=[f"{i:02}-{Path(row[0]).stem}" for i, row in enumerate(WRONG)],
)
def test_one_wrong_place_is_named(
    found: Found, name: str, old: str, new: str, said: str, remedy: str
) -> None:
    text = text_of(name)
    assert old in text
    problems = [p for p in found({name: text.replace(old, new, 1)}) if said in str(p)]
    [problem] = [p for p in problems if remedy in str(p)]
    assert problem.line >= 1
    assert problem.file.startswith(QUESTIONS)


def test_a_fault_names_its_line(found: Found) -> None:
    text = text_of(BULB)
    [problem] = found({BULB: text.replace("is round", "is rund", 1)})
    assert problem.place == f"{BULB}:{text[: text.index('is round')].count(chr(10)) + 1}"


def test_an_observation_without_a_question(found: Found) -> None:
    [problem] = found({WRENCH: None})
    assert str(problem) == f"{QUESTIONS}: no question asks for `O-40`; add its file"


def test_a_quantity_of_two_questions(found: Found) -> None:
    text = text_of(BULB).replace("path: plane.seam.bulb", "path: plane.seam.neck", 1)
    assert "`plane.seam.neck` is listed twice" in [p.text for p in found({BULB: text})]


@pytest.mark.parametrize("key", ["ask", "how", "who", "effort"])
def test_a_quantity_without_a_question_needs_a_wording(found: Found, key: str) -> None:
    name = "kb/vocabulary.yaml"
    row = {
        "ask": "ask: which country?, ",
        "how": "how: address, ",
        "who": "who: phone, ",
        "effort": "effort: 1, ",
    }
    whole = "  - {path: site.country, " + "".join(row.values()) + "setting: true, "
    text = text_of(name)
    [old] = [line for line in text.splitlines() if "path: site.country" in line]
    rest = "dimension: choice, words: [example-land]}"
    new = whole.replace(row[key], "") + rest
    [problem] = found({name: text.replace(old, new)})
    assert problem.text == f"key `{key}` is missing in `site.country`"
    assert problem.remedy == "add it"


# --- drawings ------------------------------------------------------------------------------


def test_a_drawing_as_it_is_read(base: Base) -> None:
    assert tuple(base.drawings) == base.vocabulary.words["shape"]
    drawing = base.drawings["round"]
    assert drawing.svg == text_of(SVG)
    assert drawing.text == text_of(TEXT)


def test_a_changed_drawing_is_another_base(tmp_path: Path) -> None:
    for folder in ("kb", "rules"):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    assert read_documents(home(tmp_path))[0] == read_documents(home())[0]
    with (tmp_path / TEXT).open("a", encoding="utf-8") as file:
        file.write("\n")
    assert read_documents(home(tmp_path))[0] != read_documents(home())[0]


@pytest.mark.parametrize("name", [SVG, TEXT])
def test_a_missing_drawing(found: Found, name: str) -> None:
    [problem] = found({name: None})
    assert str(problem) == f"{name}: shape `round` has no such drawing; draw it"


def test_a_drawing_of_no_shape(found: Found) -> None:
    name = f"{QUESTIONS}drawings/rond.svg"
    [problem] = found({name: text_of(SVG)})
    assert problem.text == "a drawing of `rond`, which is no shape"
    assert "`round`" in problem.remedy


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("</svg>", "", "not well-formed"),
        ("</svg>", "<script>1</script></svg>", "a drawing takes no `script`"),
        ("</svg>", '<image href="a.png"/></svg>', "a drawing takes no `image`"),
        ("<path ", '<path onclick="x()" ', "`path` of a drawing takes no `onclick`"),
        ("<path ", '<path style="x" ', "`path` of a drawing takes no `style`"),
        ('fill="none"', 'fill="url(http://example.org/a)"', "`url(` stands in a drawing"),
        ("<svg", '<!DOCTYPE svg [<!ENTITY a "b">]><svg', "`<!` stands in a drawing"),
        ("<svg", '<?xml-stylesheet href="a.css"?><svg', "`<?` stands in a drawing"),
        (' xmlns="http://www.w3.org/2000/svg"', "", "this is no SVG"),
        ("<title>Round seam, end view</title>", "", "a drawing has a `title`"),
        ("<title>Round seam, end view</title>", "<title></title>", "a drawing has a `title`"),
        ("desc>", "text>", "a drawing has a `desc`"),
    ],
)
def test_a_drawing_that_can_do_more_than_show(found: Found, old: str, new: str, said: str) -> None:
    text = text_of(SVG)
    assert old in text
    problems = found({SVG: text.replace(old, new)})
    assert {p.file for p in problems} == {SVG}
    assert any(p.text.startswith(said) for p in problems)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("x" * 41 + "\n", "larger than 12 lines of 40 characters"),
        ("x\n" * 13, "larger than 12 lines of 40 characters"),
        ("\n \n", "of ASCII characters"),
        ("┌──┐\n", "of ASCII characters"),
    ],
)
def test_a_text_drawing_that_does_not_fit(found: Found, text: str, said: str) -> None:
    [problem] = found({TEXT: text})
    assert said in problem.text
    assert problem.remedy


def test_the_largest_text_drawing_fits(documents: dict[str, Document]) -> None:
    largest = Document(TEXT, ("x" * 40 + "\n") * 12)
    assert build("copy", {**documents, TEXT: largest}).drawings["round"].text == largest.data
