"""A profile that takes only its owner's clamp: what the owner's papers settle, and what not.

Common practice, no source. The profile, its clamp and its folder are those of a judged case.
"""

from typing import Any

import pytest

from selector.facts.actions.reached import with_reached
from selector.facts.view import Binding, View
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.model.fact import Cover
from selector.model.quantity import Filled, Ratio, Unknown
from selector.model.stack import Core
from selector.model.truth import NO, OPEN, YES, Word
from tests.kb.judged import silent

KIND = "papers of the roof system"
COVERS = ["profile case-rib", "aluminium", "clamp asym-own-tboltseat", "array a1"]


def folder(*covers: str, kind: str = KIND) -> dict[str, Any]:
    return {"papers": {"folder": {"kind": kind, "dated": "2031-03-14", "covers": [*covers]}}}


def seen(base: Base, change: dict[str, Any], clamp: str, case: str = "SEL-07") -> View:
    job = with_reached(base, silent.job(case, base.vocabulary, change))
    part = base.part(f"cases/{clamp}")
    where = Binding(
        plane=job.planes["roof"], array=job.arrays["a1"], clamp=part, core=Core(part.id)
    )
    return View(base, job, where)


def words(view: View, path: str) -> str:
    return str(view.read(path).value)


def test_the_folder_names_one_clamp(base: Base) -> None:
    path = "clamp.named_by_owner"
    assert words(seen(base, {}, "asym-own-tboltseat"), path) == "this clamp"
    assert words(seen(base, {}, "double-alu-slideon"), path) == "another clamp"


@pytest.mark.parametrize(
    "change",
    [
        folder(*COVERS[1:]),
        folder(*COVERS, kind="invoice"),
        folder("profile another-rib", *COVERS[1:]),
    ],
)
def test_without_the_owners_word_on_this_profile_it_is_asked_for(
    base: Base, change: dict[str, Any]
) -> None:
    reading = seen(base, change, "asym-own-tboltseat").read("clamp.named_by_owner")
    assert isinstance(reading.value, Unknown)
    assert reading.asks == ("site.papers.owner",)


def test_a_hand_fold_has_no_owner(base: Base) -> None:
    view = seen(base, {}, "double-alu-slideon", "SEL-01")
    assert words(view, "clamp.named_by_owner") == "any clamp"


@pytest.mark.parametrize(
    ("covers", "bits"),
    [
        (COVERS, YES),
        ([COVERS[0], "steel", *COVERS[2:]], NO),  # the document lists other sheets
        ([*COVERS[:2], COVERS[3]], OPEN),  # it names the profile and not this clamp
    ],
)
def test_the_owner_lists_the_sheets(base: Base, covers: list[str], bits: object) -> None:
    view = seen(base, folder(*covers), "asym-own-tboltseat")
    cover = view.read("stack.evidence clamp on seam").value
    assert isinstance(cover, Cover)
    assert cover.bits == bits


@pytest.mark.parametrize("check", ["clamp_uplift", "clamp_slide", "clamp_together"])
def test_loads_count_only_inside_the_owners_document(base: Base, check: str) -> None:
    inside = seen(base, {}, "asym-own-tboltseat").read(f"stack.{check}")
    assert inside.value == Ratio(0, 1)
    outside = seen(base, folder(*COVERS[:3]), "asym-own-tboltseat").read(f"stack.{check}")
    assert isinstance(outside.value, Unknown)
    assert outside.asks == ("site.papers.owner",)


def test_a_clamp_with_figures_of_its_own_is_never_judged_by_a_folder(base: Base) -> None:
    covers = folder("clamp double-alu-slideon", "array a1")
    view = seen(base, covers, "double-alu-slideon", "SEL-01")
    assert view.read("stack.owners_document").value == Filled(None)
    heavy = {
        "stated": {"uplift_per_clamp": {"is": "2 kN", "paper": "case", "covers": ["array a1"]}}
    }
    view = seen(base, {**covers, "arrays": {"a1": heavy}}, "double-alu-slideon", "SEL-01")
    ratio = view.read("stack.clamp_uplift").value
    assert isinstance(ratio, Ratio)
    assert ratio.low > 1


@pytest.mark.parametrize("missing", COVERS)
def test_no_yes_where_the_folder_leaves_something_out(
    base: Base, judge: Judge, missing: str
) -> None:
    change = folder(*(c for c in COVERS if c != missing))
    job = silent.job("SEL-07", base.vocabulary, change)
    assert Desk(base, job, judge).choose("a1").word >= Word.OBSERVE


def test_a_rib_piece_wants_to_know_what_it_is_screwed_to(base: Base) -> None:
    deck = {"deck": {"kind": "boards", "thickness": "24 mm"}, "sheet": {"thickness": "0.6 mm"}}
    for said, bits in (({}, OPEN), (deck, YES)):
        change = {"planes": {"roof": said}}
        view = seen(base, change, "rib-alu-railpiece-screwed", "SEL-10")
        for world in ({}, {"plane.deck.kind": "boards"}):
            cover = view.in_world(world).read("stack.evidence clamp on seam").value
            assert isinstance(cover, Cover)
            assert cover.bits == bits
