"""Metals as they are typed: read in both languages, and what cannot be is explained."""

import pytest

from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.pair_facts import phrase_of
from selector.questions.metal_typed import metal_of
from selector.questions.wrong import WrongError, told


@pytest.fixture(scope="module")
def english(base: Base) -> Texts:
    return Texts.of(base)


@pytest.fixture(scope="module")
def german(base: Base) -> Texts:
    return Texts.of(speaking(base, "de"))


@pytest.mark.parametrize(
    ("typed", "phrase"),
    [
        ("aluminium", "aluminium"),
        ("Aluminium:6XXX", "aluminium:6xxx"),
        ("alu", "aluminium"),
        ("steel+zinc", "steel+zinc"),
        ("steel + paint + zinc : z275", "steel+paint+zinc:Z275"),
        ("steel+none", "steel"),
        ("stainless:A4", "stainless:A4"),
        ("stainless+tin:1.4510", "stainless+tin:1.4510"),
        ("galvanised steel+paint", "steel+paint+zinc"),
        ("stain", "stainless"),
        ("copper-alloy:tin bronze", "copper-alloy:tin bronze"),
        ("titanium-zinc", "zinc"),
    ],
)
def test_english(base: Base, english: Texts, typed: str, phrase: str) -> None:
    assert phrase_of(metal_of(english, base, typed)) == phrase


@pytest.mark.parametrize(
    ("typed", "phrase"),
    [
        ("Edelstahl:A4", "stainless:A4"),
        ("Stahl+Lack+Zink", "steel+paint+zinc"),
        ("Kupfer", "copper"),
        ("verzinkter Stahl", "steel+zinc"),
        ("Titanzink", "zinc"),
        ("Blei", "lead"),
        ("steel+zinc", "steel+zinc"),
    ],
)
def test_german(base: Base, german: Texts, typed: str, phrase: str) -> None:
    assert phrase_of(metal_of(german, base, typed)) == phrase


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("aluminum", "`aluminium`"),
        ("coper", "`copper`"),
        ("stone+paint", "`stone` is no metal here"),
        ("cop", "fits `copper` and `copper-alloy`"),
        ("1", "`1` is no metal here"),
        ("", "reads as no metal"),
        ("steel+", "reads as no metal"),
        ("steel:A2:A4", "reads as no metal"),
        ("steel:", "reads as no metal"),
        ("steel+zink", "`zinc`"),
        ("steel+gold", "is no coating here"),
        ("steel+zinc+paint", "did you mean `steel+paint+zinc`?"),
        ("steel+paint+paint", "did you mean `steel+paint`?"),
        ("steel+zinc+tin", "do not lie on one metal together"),
        ("copper+zinc", "no `zinc` lies on `copper`; here it carries `paint` and `tin`"),
        ("zinc+anodic", "no `anodic` lies on `zinc`; here it carries `paint`"),
        ("aluminium:A4", "grade `A4` is one of `stainless`, not of `aluminium`"),
        ("steel:Z275", "grade `Z275` is one of `steel+zinc`, not of `steel`"),
        ("lead:5", "no grade of `lead` is known here"),
        ("stainless:A9", "near or known: `A4` and `A2`"),
        ("x" * 5000, "is no metal here"),
        ("metal\x00", "is no metal here"),
    ],
)
def test_what_cannot_be_is_explained(base: Base, english: Texts, typed: str, said: str) -> None:
    with pytest.raises(WrongError) as caught:
        metal_of(english, base, typed)
    assert said in told(english, caught.value)
    assert len(told(english, caught.value)) < 400


def test_near_names_in_german(base: Base, german: Texts) -> None:
    with pytest.raises(WrongError) as caught:
        metal_of(german, base, "Alluminium")
    said = told(german, caught.value)
    assert said.startswith("`Alluminium` ist hier kein Metall; ähnlich oder bekannt: `Aluminium`")
