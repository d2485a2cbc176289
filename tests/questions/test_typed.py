"""What people type, read into sightings; what does not fit is refused with what was expected."""

import re

import pytest

from selector.knowledge.base import Base
from selector.questions.typed import Data, expected, sighting

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
    ],
)
def test_read(base: Base, path: str, text: str, read: Data) -> None:
    assert sighting(text, base.vocabulary.quantities[path]) == read


@pytest.mark.parametrize(
    ("path", "text", "said"),
    [
        (HEIGHT, "", "nothing given"),
        (HEIGHT, "high", "is no measurement; expected 3 places in mm"),
        (HEIGHT, "24,25,26", "is no measurement"),
        (HEIGHT, "25 kg", "is a mass"),
        (HEIGHT, "25 furlong", "unit `furlong` is not known"),
        (HEIGHT, "-25", "a reading has no sign"),
        (HEIGHT, "2500", "cannot be right; 5 to 200 mm is plausible here"),
        (HEIGHT, "nan", "is no measurement"),
        (HEIGHT, "inf mm", "is no measurement"),
        (HEIGHT, "1e9", "unit `e9` is not known"),
        (HEIGHT, "25 mm; rm -rf", "is no measurement"),
        (HEIGHT, "9" * 40, "absurdly large"),
        (HEIGHT, "about very high", "is no measurement"),
        (SHAPE, "0", "is no number of the list; 1 to 8"),
        (SHAPE, "9", "is no number of the list"),
        (SHAPE, "wavy", "is not in the list"),
        (SHAPE, "not sure wavy", "is not in the list"),
        (COATING, "paint on rust", "is not in the list"),
        (YEAR, "19.5", "expected a whole number"),
    ],
)
def test_refused(base: Base, path: str, text: str, said: str) -> None:
    with pytest.raises(ValueError, match=re.escape(said)):
        sighting(text, base.vocabulary.quantities[path])


def test_a_start_that_fits_several_words_is_asked_back(base: Base) -> None:
    with pytest.raises(ValueError, match=r"fits `copper` and `copper-alloy`"):
        sighting("co", base.vocabulary.quantities["plane.sheet.metal"])
    assert sighting("copper", base.vocabulary.quantities["plane.sheet.metal"]) == {"is": "copper"}


def test_every_quantity_says_what_it_expects_and_takes_it(base: Base) -> None:
    for quantity in base.vocabulary.quantities.values():
        text = expected(quantity)
        assert text and "  " not in text
        if quantity.dimension == "choice":
            assert sighting("1", quantity) == {"is": quantity.words[0]}
