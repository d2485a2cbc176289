"""The list of pairings read: the worst row that fits, coats that spare, what nobody judged.

Rows stand with their sources in `kb/trade/pairings.yaml`; here are those of CSN 73 3610, table D.4,
and what reading them has to keep, whatever the rows say.
"""

from itertools import product

import pytest

from selector.facts.pairings import NOT_JUDGED, ORDER, Sort, judged, sorts_of
from selector.facts.view import Binding, View
from selector.knowledge.base import Base
from selector.model.contact import BETWEEN, ON_SHEET, Contact, Side

SALTS = ("none", "present", "extreme")
FAMILIES = ("aluminium", "zinc", "coated steel", "steel", "stainless", "copper", "lead")


@pytest.fixture
def view(base: Base) -> View:
    return View(base, None, Binding())


def sort(family: str, outer: str = "none") -> Sort:
    return Sort(family, outer, frozenset({family}))


@pytest.mark.parametrize(
    ("upper", "lower", "word"),
    [  # CSN 73 3610, table D.4: contacts that must be excluded
        ("aluminium", "copper", "bad"),
        ("zinc", "copper", "bad"),
        ("coated steel", "copper", "bad"),
        ("stainless", "copper", "good"),
        ("aluminium", "zinc", "good"),
    ],
)
def test_bare_metals_on_a_sheet(view: View, upper: str, lower: str, word: str) -> None:
    found = judged(view, ON_SHEET, sort(upper), sort(lower), "none", isolated=False)
    assert found.word == word
    assert found.row is not None
    assert {f.status for f in found.facts} == {found.row.shape.status}


def test_two_parts_are_read_either_way_round(view: View) -> None:
    for a, b, salt in product(FAMILIES, FAMILIES, SALTS):
        one = judged(view, BETWEEN, sort(a), sort(b), salt, isolated=False)
        other = judged(view, BETWEEN, sort(b), sort(a), salt, isolated=False)
        assert one.word == other.word, (a, b, salt)


def test_more_salt_is_never_kinder(view: View) -> None:
    # common practice, no source: an electrolyte that conducts better eats faster
    for a, b, place in product(FAMILIES, FAMILIES, (ON_SHEET, BETWEEN)):
        words = [judged(view, place, sort(a), sort(b), s, isolated=False).word for s in SALTS]
        ranks = [ORDER.index(word) for word in words]
        assert ranks == sorted(ranks, reverse=True), (place, a, b, words)


def test_what_has_no_row_is_judged_by_nobody(view: View) -> None:
    found = judged(view, ON_SHEET, sort("titanium"), sort("copper"), "none", isolated=False)
    assert (found.word, found.row, found.facts) == (NOT_JUDGED, None, frozenset())
    assert ORDER.index(NOT_JUDGED) < ORDER.index("good")


def test_a_steel_whose_coat_nobody_knows_may_be_any_of_them(view: View) -> None:
    steel = sorts_of(view, Side("rail", "steel", ("paint",)))
    assert steel is not None
    below = {kind for one in steel for kind in one.kinds}
    assert "aluminium-zinc" in below  # paint may hide it


def test_a_part_whose_metal_nobody_knows_is_no_sort_at_all(view: View) -> None:
    assert sorts_of(view, Side("rail")) is None
    contact = Contact(BETWEEN, Side("rail"), Side("jaw", "aluminium"))
    lone = View(view.base, None, Binding(contact=contact))
    assert lone.words("contact.pairing") is None
    assert lone.words("contact.sufferer") is None


def test_tinned_steel_may_be_bare_where_the_tin_has_pores(view: View) -> None:
    # tin is nobler than steel and shields it no longer once it is open (common practice, no source;
    # from memory): as bad as bare steel, as good as coated steel, so nobody says yes
    tinned = sorts_of(view, Side("sheet", "steel", ("tin",)))
    assert tinned is not None
    assert {one.family for one in tinned} == {"coated steel", "bare steel"}
    zinc = sorts_of(view, Side("sheet", "steel", ("tin", "zinc")))
    assert zinc is not None and {one.family for one in zinc} == {"coated steel"}
