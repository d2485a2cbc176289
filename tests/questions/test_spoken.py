"""What is typed in German means what the same line means in English, and nothing is guessed."""

import pytest

from selector.explanation.language import speaking
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.questions.spoken import (
    answer_in_english,
    in_english,
    several_in_english,
    way_in_english,
)

HEIGHT, SHAPE, COATING = "plane.seam.height", "plane.seam.shape", "plane.sheet.coating"


@pytest.fixture(scope="module")
def german(base: Base) -> Texts:
    return Texts.of(speaking(base, "de"))


@pytest.mark.parametrize(
    ("path", "typed", "english"),
    [
        (SHAPE, "Klick", "snap-lock"),
        (SHAPE, "Klickfalz", "snap-lock"),
        (SHAPE, "snap", "snap"),
        (SHAPE, "nicht sicher Klickfalz", "not sure snap-lock"),
        (SHAPE, "vielleicht: Rundfalz", "perhaps round"),
        (SHAPE, "Rundfalz oder Klickfalz", "round or snap-lock"),
        (SHAPE, "weiß nicht", "?"),
        (SHAPE, "wei\u00df nicht", "?"),
        (SHAPE, "Welle", "Welle"),
        (SHAPE, "Doppel oder Welle", "double-lock or Welle"),
        (COATING, "Lack auf Zink", "paint on zinc"),
        (COATING, "Lack auf Zink oder keine", "paint on zinc or none"),
        ("plane.sheet.metal", "Kupf", "Kupf"),  # copper or its alloy: asked back
        ("plane.sheet.metal", "Kupfer", "copper"),
        ("site.pool_hall", "Ja", "yes"),
        ("site.pool_hall", "nein", "no"),
        (HEIGHT, "24,8 25,1 25,3 Schieblehre", "24,8 25,1 25,3 calliper"),
        (HEIGHT, "25 mm Ma\u00dfband", "25 mm tape"),
        (HEIGHT, "25 mm tape", "25 mm tape"),
        (HEIGHT, "etwa 25", "about 25"),
        (HEIGHT, "kommt nicht hin", "can't reach"),
        ("site.altitude", "5 m Telefon", "5 m phone"),
    ],
)
def test_german(base: Base, german: Texts, path: str, typed: str, english: str) -> None:
    assert answer_in_english(german, base.vocabulary.quantities[path], typed) == english


@pytest.mark.parametrize("typed", ["round or T", "not sure round", "25 mm tape", "about 25", "x"])
def test_english_stays(base: Base, typed: str) -> None:
    texts = Texts.of(base)
    for path in (SHAPE, HEIGHT):
        assert answer_in_english(texts, base.vocabulary.quantities[path], typed) == typed


def test_every_word_and_tool_is_taken_as_it_is_shown(base: Base, german: Texts) -> None:
    for quantity in base.vocabulary.quantities.values():
        own = [german.word(w).lower() for w in quantity.words]
        for word in quantity.words:
            said = german.word(word)
            alike = [w for w in quantity.words if w.lower().startswith(said.lower())]
            if own.count(said.lower()) == 1 and not alike:
                assert answer_in_english(german, quantity, said) == word, quantity.path
        for tool in quantity.tools:
            assert answer_in_english(german, quantity, f"12 {german.word(tool)}").startswith("12 ")


def test_a_way_is_a_tool_or_stays_as_typed(base: Base, german: Texts) -> None:
    sea = base.vocabulary.quantities["site.sea_distance"]
    assert way_in_english(german, sea, "Karte") == "map"
    assert way_in_english(german, sea, "Foto vom Kunden") == "Foto vom Kunden"


def test_the_colour_of_a_metal_settles_nothing_in_any_language(base: Base, german: Texts) -> None:
    metal = base.vocabulary.quantities["plane.sheet.metal"]
    for way in ("Farbe", "nach der Farbe geraten", "aus der Erinnerung"):
        english = way_in_english(german, metal, way)
        assert english.startswith(way) and not metal.settled_by(english)
    assert way_in_english(german, metal, "Schnittkante") == "Schnittkante (cut edge)"
    for way in ("an der Schnittkante", "Abschnitt vom Dachboden", "verdeckter Kratzer"):
        assert metal.settled_by(way_in_english(german, metal, way)), way
    for way in ("keine Schnittkante", "Abschnitt nicht gefunden", "ohne Abschnitt"):
        assert not metal.settled_by(way_in_english(german, metal, way)), way
    for way in ("its Colour", "eyes", "x", "", "the owner says so", "photo of the cut edge"):
        assert not metal.settled_by(way), way
    assert base.vocabulary.quantities["site.pool_hall"].settled_by("colour")


def test_lists_and_forms(german: Texts) -> None:
    words = ("building", "field", "none")
    assert several_in_english(german, words, "Geb\u00e4ude, Innenbereich") == "building, field"
    assert several_in_english(german, words, "1 2") == "1 2"
    assert in_english(german, words, "keine") == "none"
    assert several_in_english(german, (*words, "none"), "keine") == "none"  # proposed besides
    assert in_english(german, words, "") == ""
