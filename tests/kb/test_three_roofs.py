"""Roofs as a corrosion engineer reads them: copper above zinc, stainless by the sea, open metal."""

import pytest

from selector.inference.answer import Answer, Desk
from selector.inference.judge import Judge, Judgement
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.truth import Word
from tests.conftest import ROOT

MILL = (ROOT / "examples" / "mill-house" / "job.yaml").read_text(encoding="utf-8")
METAL = "{is: steel, how: cut edge of the offcut, paper: offcut}"
COAT = "{is: [paint, zinc], how: cut edge of the offcut, paper: offcut}"
CORE = "{is: 0.65 mm, tool: micrometer, over: paint 0.05 mm,"
SEA, MAGNET = "{is: 240 km, tool: map", "{is: strong, how: fridge magnet"
ABOVE = "{is: none, how: eyes from the ridge ladder"


def desk(base: Base, judge: Judge, *changes: tuple[str, str]) -> Desk:
    """The mill house with other words in it."""
    text = MILL
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    return Desk(base, job_of(read_string(text, "variant.yaml"), base.vocabulary), judge)


def rules(answer: Answer) -> set[str]:
    """Rules of refusals and of stacks that stand, where they surely fire."""
    verdicts = [r.verdict for r in answer.refusals] + [o.verdict for o in answer.options]
    return {f.rule.id for v in verdicts for f in v.findings if f.surely}


def by_the_sea(grade: str) -> list[tuple[str, str]]:
    """A bare stainless sheet 600 m from the sea."""
    metal = "{is: stainless, how: cut edge of the offcut, paper: offcut}"
    named = f"\n      grade: {{is: {grade}, how: papers, paper: offcut}}" if grade else ""
    return [
        (METAL, metal),
        (COAT, "{is: [none], how: cut edge of the offcut, paper: offcut}" + named),
        (CORE, "{is: 0.45 mm, tool: micrometer,"),
        (SEA, "{is: 600 m, tool: map"),
        (MAGNET, "{is: weak, how: fridge magnet"),
    ]


def test_a_copper_chimney_above_a_galvanised_hall_stops_every_stack(
    base: Base, judge: Judge
) -> None:
    changes = [
        (COAT, "{is: [zinc], how: cut edge of the offcut, paper: offcut}"),
        (CORE, "{is: 0.65 mm, tool: micrometer,"),
        (ABOVE, "{is: copper, how: cap of the chimney"),
    ]
    answer = desk(base, judge, *changes).choose("a1")
    assert answer.word == Word.FORBIDDEN
    # the aluminium parts, and the sheet itself below clamps of any metal
    assert {"water-eats-what-it-reaches", "water-eats-the-sheet"} <= rules(answer)


@pytest.mark.parametrize(
    ("grade", "word"),
    [
        ("A4", Word.CONDITIONAL),
        ("ferritic", Word.ENGINEER),
        ("A2", Word.ENGINEER),
        ("", Word.OBSERVE),
    ],
)
def test_a_stainless_sheet_by_the_sea_asks_for_its_grade(
    base: Base, judge: Judge, grade: str, word: Word
) -> None:
    """EN 1993-1-4 annex A, 0.25 to 1 km, unwashed: -7 and -7 ask for class III, which A4 is of."""
    answer = desk(base, judge, *by_the_sea(grade)).choose("a1")
    assert answer.word == word
    best = answer.options[0]
    assert best.core.clamp == "demo/dl-2"  # stainless of grade A4
    ids = {f.rule.id for f in best.verdict.findings if f.surely}
    assert ("sheet-no-longer-washed-by-rain" in ids) == (word == Word.ENGINEER)
    assert {"faces-to-be-sealed", "washing-plan-in-salt-air"} <= ids
    assert "metals-that-eat-each-other" in rules(answer)  # aluminium clamps, small on large noble


def test_a_clamp_that_is_right_on_every_metal_left_needs_no_cut_edge(
    base: Base, judge: Judge
) -> None:
    either = "{one_of: [zinc, copper], how: grey and tinned or weathered, by: tk}"
    bare = "{is: [none], how: eyes, by: tk}"
    changes = [(METAL, either), (COAT, bare), (MAGNET, "{is: none, how: fridge magnet")]
    there = desk(base, judge, *changes)
    there.choose("a1")
    pairings = {
        j.subject.id: j.proven("pairing")
        for j in there._judged.values()
        if j.subject.kind == "contact"
    }
    assert pairings["dl-2 on sheet"].surely
    assert not pairings["dl-1 on sheet"].surely
    assert pairings["dl-1 on sheet"].possibly


def test_a_magnet_contradicts_a_metal_and_settles_none(base: Base, judge: Judge) -> None:
    copper = "{is: copper, how: red cut edge, by: tk}"
    bare = "{is: [none], how: eyes, by: tk}"
    there = desk(base, judge, (METAL, copper), (COAT, bare))  # the magnet holds strongly
    answer = there.choose("a1")
    assert answer.word == Word.OBSERVE
    assert "plane.sheet.metal" in {o.path for o in answer.contradicted}


# --- what the colour of a bare sheet tells ---------------------------------------------------

BARE = "{is: [none], how: cut edge of the offcut, paper: offcut}"
OFFCUT = "{one_of: [zinc, copper, stainless], how: dull cut edge, by: tk}"


def coloured(metal: str, coat: str, colour: str = "") -> list[tuple[str, str]]:
    """Another sheet without a magnet on it; its colour where it is given."""
    seen = f"\n      colour: {{is: {colour}, how: daylight, by: tk}}" if colour else ""
    core = (CORE, "{is: 0.7 mm, tool: micrometer,")
    return [(METAL, metal), (COAT, coat + seen), core, (MAGNET, "{unknown: not asked, how: x")]


def pairing(there: Desk, clamp: str) -> Judgement:
    """A clamp on the sheet, as it was judged."""
    names = {j.subject.id: j for j in there._judged.values() if j.subject.kind == "contact"}
    return names[f"{clamp} on sheet"]


def test_a_clamp_right_on_every_metal_of_this_colour_may_be_given(base: Base, judge: Judge) -> None:
    # aluminium on zinc or stainless may touch, on copper it may not; grey copper there is none
    there = desk(base, judge, *coloured(OFFCUT, BARE, "grey"))
    there.choose("a1")
    found = pairing(there, "dl-1")
    assert found.proven("pairing").surely
    paths = {f.path for reason in found.reasons("need:pairing") for f in reason}
    assert {"plane.sheet.colour", "plane.sheet.coating", "trade.sheet_colour"} <= paths
    for metal, coat, colour in (
        (OFFCUT, BARE, ""),
        (OFFCUT, BARE, "dark"),
        (OFFCUT, "{is: [none], how: eyes, by: tk}", "grey"),  # may be tinned copper
        (OFFCUT, "{is: [tin], how: cut edge, paper: offcut}", "grey"),
        (OFFCUT, "{unknown: not asked}", "grey"),
    ):
        other = desk(base, judge, *coloured(metal, coat, colour))
        other.choose("a1")
        assert not pairing(other, "dl-1").proven("pairing").surely, (coat, colour)


def test_a_colour_that_the_metal_never_has_is_named_beside_it(base: Base, judge: Judge) -> None:
    zinc = "{is: zinc, how: cut edge of the offcut, paper: offcut}"
    answer = desk(base, judge, *coloured(zinc, BARE, "yellow")).choose("a1")
    assert answer.word == Word.OBSERVE
    named = {o.path: str(o.value) for o in answer.contradicted}
    assert named == {
        "plane.sheet.metal": "zinc",
        "plane.sheet.colour": "yellow",
        "plane.sheet.coating": "none",
    }


@pytest.mark.parametrize("colour", ["red", "green", "grey", "dark"])
@pytest.mark.parametrize("coat", [BARE, "{is: [tin], how: eyes, by: tk}", "{unknown: not asked}"])
@pytest.mark.parametrize("metal", [OFFCUT, "{is: copper, how: cut edge, paper: offcut}"])
def test_without_its_colour_no_stack_becomes_a_yes(
    base: Base, judge: Judge, metal: str, coat: str, colour: str
) -> None:
    def yes(*told: str) -> tuple[set[str], bool]:
        answer = desk(base, judge, *coloured(metal, coat, *told)).choose("a1")
        stacks = {o.name for o in answer.options if o.verdict.word.is_yes}
        return stacks, bool(answer.contradicted)

    (told, contradicted), (untold, _) = yes(colour), yes()
    assert contradicted or untold <= told
