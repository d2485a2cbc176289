"""Contacts stand between parts of a stack, or between two metals that somebody only names."""

from selector.facts.view import Binding, View
from selector.inference import chain
from selector.inference.judge import Judge, Judgement, Subject
from selector.inference.verdict import verdict
from selector.knowledge.base import Base
from selector.model.contact import ABOVE, BETWEEN, ON_SHEET, Contact, Side
from selector.model.fact import TRIVIAL, Reading
from selector.model.quantity import Candidates
from selector.model.stack import Core
from selector.model.truth import Word

CLEAN = {
    "site.run_off_from_above": "none",
    "site.salt": "none",
    "site.salted_road": "none",
    "site.pool_hall": "none",
    "site.harsh_air": "none",
}
COPPER = Side("sheet", "copper")
JAW = Side("jaw", "aluminium", grade="6xxx")


def judged(judge: Judge, contact: Contact, **site: str) -> Judgement:
    """A contact between plain metals in clean air, or with some of it otherwise."""
    words = CLEAN | {f"site.{key}": word for key, word in site.items()}
    given = {
        path: Reading(Candidates(frozenset({word})), TRIVIAL, path) for path, word in words.items()
    }
    return judge.judge(Subject("contact", contact.id, Binding(contact=contact)), None, given=given)


def fired(found: Judgement) -> set[str]:
    return {f.rule.id for f in verdict([found]).findings if f.surely}


def test_two_named_metals_are_judged_by_the_rules_of_a_stack(judge: Judge) -> None:
    found = judged(judge, Contact(ON_SHEET, JAW, COPPER))
    assert verdict([found]).word == Word.FORBIDDEN
    assert fired(found) == {"aluminium-on-copper-without-inlay"}


def test_water_from_copper_is_judged_without_any_contact(judge: Judge) -> None:
    roof, chimney = Side("rail", "aluminium"), Side("flashing", "copper")
    found = judged(judge, Contact(ABOVE, chimney, roof))
    assert fired(found) == {"water-eats-what-it-reaches"}
    assert found.subject.id == "rail of aluminium below flashing of copper"


def test_water_from_above_reaches_a_named_contact_too(judge: Judge) -> None:
    found = judged(judge, Contact(BETWEEN, JAW, JAW), run_off_from_above="copper")
    assert fired(found) == {"water-eats-what-it-reaches"}


def test_a_metal_that_nobody_knows_is_never_a_yes(judge: Judge) -> None:
    found = judged(judge, Contact(BETWEEN, Side("body"), JAW))
    assert verdict([found]).word == Word.OBSERVE


def test_contacts_of_a_stack_carry_the_metals_of_its_parts(base: Base) -> None:
    part = base.part
    jaw, screw = chain.sheet_contacts(part("demo/dl-1"), None, None)
    assert (jaw.upper.role, jaw.upper.metal, jaw.upper.grade) == ("jaw", "aluminium", "6xxx")
    assert (screw.upper.metal, screw.upper.grade, screw.upper.point) == ("stainless", "A2", "dome")
    assert jaw.lower.role == "sheet"
    assert jaw.lower.metal is None
    assert [c.id for c in (jaw, screw)] == ["dl-1 on sheet", "dl-1 (set screw) on sheet"]


def test_every_joint_of_a_stack_has_its_contacts(base: Base) -> None:
    core = Core("demo/dl-1", rail="demo/rail-u")
    found = chain.part_contacts(base, core, "demo/mc-1", "demo/module-p35")
    assert [c.id for c in found] == [
        "dl-1 (set screw) on dl-1",
        "rail-u on dl-1",
        "mc-1 on rail-u",
        "module-p35 (module frame) on rail-u",
        "mc-1 on module-p35 (module frame)",
    ]
    assert {c.place for c in found} == {BETWEEN}


def test_the_size_of_a_side_follows_its_role_and_may_be_said(base: Base) -> None:
    view = View(base, None, Binding(contact=Contact(ON_SHEET, JAW, COPPER)))
    assert view.words("contact.lower") == {"copper"}
    assert [s.size for s in (Side("rivet"), JAW, COPPER)] == ["fastener", "part", "surface"]
    assert Side("jaw", area="surface").size == "surface"
