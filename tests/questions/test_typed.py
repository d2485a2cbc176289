"""What people type, read into sightings; what does not fit is refused with what was expected."""

import re

import pytest

from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.questions.typed import Data, expected, figure_like, sighting, unit_of
from selector.questions.wrong import said
from tests.questions.told import refused

HEIGHT, SHAPE, COATING = "plane.seam.height", "plane.seam.shape", "plane.sheet.coating"
PITCH, SEA, YEAR, HEAD = "plane.pitch", "site.sea_distance", "site.year", "plane.seam.head"


@pytest.mark.parametrize(
    ("path", "text", "read"),
    [
        (HEIGHT, "25", {"is": "25 mm"}),
        (HEIGHT, "25 mm", {"is": "25 mm"}),
        (HEIGHT, "25mm calliper", {"is": "25 mm", "tool": "calliper"}),
        (HEIGHT, "1 in", {"is": "1 in"}),
        (HEIGHT, "2.5 cm tape", {"is": "2.5 cm", "tool": "tape"}),
        (HEIGHT, "24.8 25.1 25.3", {"places": ["24.8 mm", "25.1 mm", "25.3 mm"]}),
        (HEIGHT, "24.8, 25.1, 25.3 mm", {"places": ["24.8 mm", "25.1 mm", "25.3 mm"]}),
        (HEIGHT, "24.8,25.1,25.3", {"places": ["24.8 mm", "25.1 mm", "25.3 mm"]}),
        (HEIGHT, "24.8 / 25.1 / 25.3", {"places": ["24.8 mm", "25.1 mm", "25.3 mm"]}),
        (HEIGHT, "24,8 25,1 25,3", {"places": ["24.8 mm", "25.1 mm", "25.3 mm"]}),
        (HEIGHT, "1 in 25 mm 2.5 cm", {"places": ["1 in", "25 mm", "2.5 cm"]}),
        (HEIGHT, "25 26 27 calliper", {"places": ["25 mm", "26 mm", "27 mm"], "tool": "calliper"}),
        (HEIGHT, "25 +-2 tape", {"is": "25 mm", "within": "2 mm", "tool": "tape"}),
        (HEIGHT, "25 ±0.1 in", {"is": "25 mm", "within": "0.1 in"}),
        (HEIGHT, "about 25", {"hint": "25 mm"}),
        (HEIGHT, "not sure, 25 mm", {"hint": "25 mm"}),
        (HEIGHT, "not sure", {"unknown": "not sure"}),
        (HEIGHT, "?", {"unknown": "don't know"}),
        (HEIGHT, "Don't know", {"unknown": "don't know"}),
        (HEIGHT, "can't reach", {"unknown": "can't reach"}),
        (SHAPE, "1", {"is": "double-lock"}),
        (SHAPE, "Double-Lock", {"is": "double-lock"}),
        (SHAPE, "do", {"is": "double-lock"}),
        (SHAPE, "t", {"is": "T"}),
        (SHAPE, "round or T", {"one_of": ["round", "T"]}),
        (SHAPE, "1,2", {"one_of": ["double-lock", "single-lock"]}),
        (SHAPE, "1 or double-lock", {"is": "double-lock"}),
        (SHAPE, "not sure round", {"hint": "round"}),
        ("plane.seam.branch", "Fold or joint", {"is": "fold or joint"}),
        (COATING, "paint on zinc", {"is": ["paint", "zinc"]}),
        (COATING, "paint on zinc or none", {"one_of": [["paint", "zinc"], "none"]}),
        (PITCH, "22", {"is": "22 deg"}),
        (SEA, "240 km +-20 %", {"is": "240 km", "within": "20 %"}),
        ("site.ground_snow", "0.65 kN/m2", {"is": "0.65 kN/m2"}),
        ("site.ground_snow", "0.65 kN/m2 +-1 %", {"is": "0.65 kN/m2", "within": "1 %"}),
        (HEIGHT, "24.8/25.1/25.3", {"places": ["24.8 mm", "25.1 mm", "25.3 mm"]}),
        (YEAR, "1998", {"is": 1998}),
        (PITCH, "22\u00b0", {"is": "22 deg"}),
        (PITCH, "22 Grad pitch meter", {"is": "22 deg", "tool": "pitch meter"}),
        (PITCH, "22 degrees", {"is": "22 deg"}),
        (HEIGHT, '1"', {"is": "1 in"}),
        (HEIGHT, "25 MM", {"is": "25 mm"}),
        ("site.ground_snow", "0.65 kN/m\u00b2", {"is": "0.65 kN/m2"}),
        (SHAPE, "I think round", {"hint": "round"}),
        (SHAPE, "maybe", {"unknown": "not sure"}),
        ("site.pool_hall", "yes", {"is": "present"}),
        ("site.pool_hall", "no", {"is": "none"}),
        ("site.reserve_paper", "Yes", {"is": "exists"}),
        ("site.brittle", "yes", {"is": "suspected"}),
        ("plane.below_eave", "no", {"is": "none"}),
    ],
)
def test_read(base: Base, path: str, text: str, read: Data) -> None:
    assert sighting(text, base.vocabulary.quantities[path]) == read


@pytest.mark.parametrize(
    ("path", "text", "told"),
    [
        (HEIGHT, "", "nothing given"),
        (HEIGHT, "high", "is no measurement; expected 3 places in mm"),
        (HEIGHT, "24,25,26", "is no measurement"),
        (HEIGHT, "25 kg", "`25 kg` does not fit (mass); expected 3 places in mm"),
        (
            HEIGHT,
            "25 furlong",
            "`furlong` is no unit and no tool of this; tools: `tape`,",
        ),
        (HEIGHT, "-25", "a reading has no sign"),
        (HEIGHT, "2500", "cannot be right; 5 to 200 mm is plausible here"),
        (HEIGHT, "nan", "is no measurement"),
        (HEIGHT, "inf mm", "is no measurement"),
        (HEIGHT, "1e9", "`e9` is no unit"),
        (HEIGHT, "25 mm; rm -rf", "is no measurement"),
        (HEIGHT, "9" * 40, "absurdly large"),
        (HEIGHT, "about very high", "is no measurement"),
        (SHAPE, "0", "is no number of the list; 1 to 8"),
        (SHAPE, "9", "is no number of the list"),
        (SHAPE, "wavy", "is not in the list"),
        (SHAPE, "not sure wavy", "is not in the list"),
        (COATING, "paint on rust", "is not in the list"),
        (COATING, "paint, zinc", "Type `paint on zinc` or `paint or zinc`"),
        (HEIGHT, "25 inclinometer", "`inclinometer` is no unit and no tool of this"),
        (HEIGHT, "25 mm inclinometer", "`inclinometer` is no unit and no tool of this"),
        (SEA, "9 parsec", "`parsec` is no unit"),
        ("site.ground_snow", "24 mm", "`24 mm` does not fit (length); expected a number in kPa"),
        ("site.ground_snow", "24 XY", "unit `XY` is not known here; use Pa, kPa"),
        (YEAR, "19.5", "is no whole number"),
    ],
)
def test_refused(base: Base, path: str, text: str, told: str) -> None:
    with refused(base, re.escape(told)):
        sighting(text, base.vocabulary.quantities[path])


def test_a_start_that_fits_several_words_is_asked_back(base: Base) -> None:
    with refused(base, r"fits `copper` and `copper-alloy`"):
        sighting("co", base.vocabulary.quantities["plane.sheet.metal"])
    assert sighting("copper", base.vocabulary.quantities["plane.sheet.metal"]) == {"is": "copper"}


def test_every_quantity_says_what_it_expects_and_takes_it(base: Base) -> None:
    for quantity in base.vocabulary.quantities.values():
        text = said(Texts.of(base), expected(quantity))
        assert text and "  " not in text
        if quantity.dimension == "choice":
            assert sighting("1", quantity) == {"is": quantity.words[0]}


def test_the_figure_that_is_shown_can_be_typed_as_it_stands(base: Base) -> None:
    for quantity in base.vocabulary.quantities.values():
        if quantity.dimension != "choice" and not quantity.derived:
            one = figure_like(quantity)
            read = sighting(" ".join([one] * quantity.places), quantity)
            assert "is" in read or "places" in read, quantity.path
            assert sighting(f"{one} {unit_of(quantity)}".strip(), quantity)


def test_yes_is_no_word_where_a_list_has_more_than_two(base: Base) -> None:
    with refused(base, "is not in the list"):
        sighting("yes", base.vocabulary.quantities["plane.below_eave"])


@pytest.mark.parametrize(
    ("path", "text", "told"),
    [
        (SHAPE, "wavy", "steht nicht in der Liste; eine Nummer von 1 bis 8 gen\u00fcgt"),
        (SHAPE, "Klikfalz", "gemeint `Klickfalz`"),
        (
            HEIGHT,
            "hoch",
            "erwartet: 3 Stellen in mm, etwa `24,8 24,8 24,8`",
        ),
        (HEIGHT, "2500", "hier ist 5 bis 200 mm plausibel"),
        (HEIGHT, "25 kg", r"passt nicht \(Masse\)"),
        (HEIGHT, "25 furlong", "Werkzeuge: `Ma\u00dfband`, `Stahlma\u00df` und `Schieblehre`"),
        ("plane.sheet.metal", "co", "`Kupfer` und `Kupferlegierung`"),
        (PITCH, "steil", "eine Zahl in Grad, etwa `12` oder `12 Grad`"),
    ],
)
def test_refusals_speak_german(base: Base, path: str, text: str, told: str) -> None:
    with refused(base, told, "de"):
        sighting(text, base.vocabulary.quantities[path])
