"""What is worse for metals never makes the word of a contact milder, whatever the contact is."""

from dataclasses import replace

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from selector.facts.view import Binding
from selector.inference.judge import Judge, Subject
from selector.inference.verdict import verdict
from selector.model.contact import ABOVE, BETWEEN, ON_SHEET, ROLES, Contact, Side
from selector.model.fact import TRIVIAL, Reading
from selector.model.quantity import Candidates, Measured, Place
from selector.model.truth import Word

KM = 1_000_000_000
# Each list from the mildest on. What lies above is compared with nothing above alone.
SEA_KM = (80, 9, 2, 0.6, 0.1)
AIR = ("none", "soot", "ammonia", "plating fumes")
WATER = ("none", "copper", "lead", "bare steel", "bitumen", "other metal", "higher roof")
PRESENCE = ("none", "present")
METALS = ("steel", "aluminium", "zinc", "copper", "stainless", "lead", "copper-alloy")
COATS = (("none",), ("paint",), ("zinc",), ("paint", "zinc"), ("aluminium-zinc",), ("tin",))
GRADES = ("unknown", "A2", "A4", "1.4462", "1.4529", "ferritic", "electroplated 5 um", "hot-dip")
POINTS = ("", "cup", "dome", "flat", "thread-forming")
Air = dict[str, str | float]

sides = st.builds(
    Side,
    role=st.sampled_from(sorted(ROLES)),
    metal=st.sampled_from(METALS),
    coating=st.sampled_from(COATS),
    grade=st.sampled_from(GRADES),
    point=st.sampled_from(POINTS),
)
contacts = st.builds(
    Contact,
    place=st.sampled_from((ON_SHEET, BETWEEN, ABOVE)),
    upper=sides,
    lower=sides,
    isolation=st.sampled_from(("none", "listed", "not listed")),
    bridge=st.just("none"),
    washed=st.booleans(),
)
airs = st.fixed_dictionaries(
    {
        "sea": st.sampled_from(SEA_KM),
        "road": st.sampled_from(PRESENCE),
        "pool": st.sampled_from(PRESENCE),
        "air": st.sampled_from(AIR),
        "water": st.sampled_from(WATER),
    }
)


def word_of(judge: Judge, contact: Contact, air: Air) -> Word:
    """Word of a contact and of its air together."""
    far = round(float(air["sea"]) * KM)
    values = {
        "site.sea_distance": Measured("length", (Place(far, far),)),
        "site.salted_road": Candidates(frozenset({str(air["road"])})),
        "site.pool_hall": Candidates(frozenset({str(air["pool"])})),
        "site.harsh_air": Candidates(frozenset({"none" if air["air"] == "none" else "present"})),
        "site.harsh_air_of": Candidates(frozenset({str(air["air"])})),
        "site.run_off_from_above": Candidates(frozenset({str(air["water"])})),
    }
    known = {path: Reading(value, TRIVIAL, path) for path, value in values.items()}
    around = judge.judge(Subject("job", "air", Binding()), None, given=known)
    known |= judge.derived(around)
    subject = Subject("contact", contact.id, Binding(contact=contact))
    found = verdict([judge.judge(subject, None, given=known)]).word
    return max(found, verdict([around]).aspects["joins"])


def worse(contact: Contact, air: Air) -> list[tuple[str, Contact, Air]]:
    """The same with one thing more against it."""
    found: list[tuple[str, Contact, Air]] = []
    nearer = [km for km in SEA_KM if km < float(air["sea"])]
    found += [(f"sea at {km} km", contact, air | {"sea": km}) for km in nearer]
    found += [("salted road", contact, air | {"road": "present"})]
    found += [("pool hall", contact, air | {"pool": "present"})]
    if air["air"] == "none":
        found += [(one, contact, air | {"air": one}) for one in AIR[1:]]
    if air["water"] == "none":
        found += [(f"water off {one}", contact, air | {"water": one}) for one in WATER[1:]]
    found += [("no rain", replace(contact, washed=False), air)]
    if contact.isolation == "listed":
        found += [("no inlay", replace(contact, isolation="none"), air)]
        for bridge in ("set screw", "bonding wire"):
            found += [(f"{bridge} round the inlay", replace(contact, bridge=bridge), air)]
    cutting = replace(contact.upper, point="cup")
    if contact.upper.point in ("dome", "flat"):
        found += [("a point that cuts", replace(contact, upper=cutting), air)]
    return found


def test_what_is_worse_never_makes_a_contact_better(judge: Judge) -> None:
    @settings(max_examples=120, deadline=None, database=None, phases=[Phase.generate])
    @given(contact=contacts, air=airs)
    def never(contact: Contact, air: Air) -> None:
        before = word_of(judge, contact, air)
        for what, other, there in worse(contact, air):
            after = word_of(judge, other, there)
            assert after >= before, f"{what} makes {before.text} {after.text}"

    never()


def test_the_test_itself_sees_an_improvement(judge: Judge) -> None:
    """Copper air is worse than clean air for aluminium, and the comparison notices it."""
    clean: Air = {"sea": 80, "road": "none", "pool": "none", "air": "none", "water": "none"}
    contact = Contact(BETWEEN, Side("rail", "aluminium"), Side("body", "aluminium"))
    assert word_of(judge, contact, clean).is_yes
    assert word_of(judge, contact, clean | {"water": "copper"}) == Word.FORBIDDEN
