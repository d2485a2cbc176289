"""What magnet, coat and colour leave of the metal of a sheet; none of them settles it."""

from itertools import product

import pytest

from selector.knowledge.base import Base
from selector.model.fact import Reading
from selector.model.quantity import Candidates, Unknown
from tests.facts.conftest import Sees

SHEET_METAL = "plane.sheet.metal"
COLOUR, COATING = "plane.sheet.colour", "plane.sheet.coating"


def words(sees: Sees, changes: dict[str, str], path: str) -> object:
    value = sees("mill-house", changes).read(path).value
    return set(value.left) if isinstance(value, Candidates) else value


METAL = "      metal:     {is: steel, how: cut edge of the offcut, paper: offcut}\n"
EITHER = "      metal:     {one_of: [steel, zinc, copper], how: scratch, by: tk}\n"
MAGNET = "{is: strong, how: fridge magnet, by: tk}"


@pytest.mark.parametrize(
    ("metal", "magnet", "left"),
    [  # carbon steel is ferromagnetic, of the rest only ferritic stainless is: physics
        ("", "strong", {"steel", "stainless"}),
        ("", "weak", {"steel", "stainless"}),
        ("", "none", {"aluminium", "zinc", "copper", "stainless", "lead", "copper-alloy"}),
        (EITHER, "none", {"zinc", "copper"}),
        (EITHER, "strong", {"steel", "zinc", "copper"}),  # a magnet alone settles no metal
        (METAL, "strong", {"steel"}),
        (METAL, "none", "contradicted"),
    ],
)
def test_a_magnet_narrows_the_metal_and_settles_none(
    sees: Sees, metal: str, magnet: str, left: set[str] | str
) -> None:
    pulls = {MAGNET: MAGNET.replace("strong", magnet), COAT: UNSEEN}
    found = words(sees, {METAL: metal, **pulls}, SHEET_METAL)
    assert (found.why if isinstance(found, Unknown) else found) == left


UNSEEN = "{unknown: not asked}"
COAT = "{is: [paint, zinc], how: cut edge of the offcut, paper: offcut}"
ALUMINIUM = METAL.replace("steel", "aluminium")
TINNED = {COAT: "{is: [tin], how: cut edge of the offcut, paper: offcut}"}
NO_MAGNET = {f"      magnet:    {MAGNET}\n": ""}


@pytest.mark.parametrize(
    ("metal", "coat", "left"),
    [  # a zinc coat lies on steel alone (EN 10346); tin on copper, stainless, seldom on steel
        (ALUMINIUM, "[paint, zinc], how: cut edge of the offcut, paper: offcut", "contradicted"),
        (ALUMINIUM, "[paint], how: cut edge of the offcut, paper: offcut", {"aluminium"}),
        (ALUMINIUM, "[anodic], how: eyes, by: tk", {"aluminium"}),
        ("", "[tin], how: cut edge of the offcut, paper: offcut", {"copper", "stainless", "steel"}),
        ("", "[tin], how: matt grey, by: tk", "not asked"),  # by its looks zinc may be there too
        ("", "[zinc], how: cut edge of the offcut, paper: offcut", "not asked"),  # settles none
        (EITHER, "[tin], how: cut edge of the offcut, paper: offcut", {"steel", "copper"}),
    ],
)
def test_a_coat_contradicts_and_narrows_the_metal(
    sees: Sees, metal: str, coat: str, left: set[str] | str
) -> None:
    found = words(sees, {METAL: metal, COAT: f"{{is: {coat}}}", **NO_MAGNET}, SHEET_METAL)
    assert (found.why if isinstance(found, Unknown) else found) == left


def test_magnet_and_coat_together_settle_no_metal(sees: Sees) -> None:
    # tinned and not magnetic: copper or austenitic stainless, never one alone
    none = {MAGNET: MAGNET.replace("strong", "none")}
    assert words(sees, {METAL: "", **TINNED, **none}, SHEET_METAL) == {"copper", "stainless"}


def test_without_a_magnet_nothing_is_narrowed(sees: Sees) -> None:
    assert isinstance(words(sees, {METAL: "", **NO_MAGNET}, SHEET_METAL), Unknown)


def test_a_metal_narrowed_by_a_magnet_says_so_and_asks_for_the_cut_edge(sees: Sees) -> None:
    reading = sees("mill-house", {METAL: ""}).read(SHEET_METAL)
    assert {fact.path for reason in reading.because for fact in reason} == {"plane.sheet.magnet"}
    assert reading.open_paths == (SHEET_METAL,)


# --- colour --------------------------------------------------------------------------------

# How each metal looks while it is bare, from its first day on: common practice, no source. Copper
# is red, then brown, in time green; steel rusts red to brown; salt stains stainless brown; zinc and
# lead shine while they are new and go grey; soot makes all of them dark. Stainless coloured in its
# oxide comes in red, gold and green, zinc weathered with pigment in red, brown and green.
LOOKS = {
    "copper": {"red", "yellow", "brown", "green", "dark"},
    "copper-alloy": {"red", "yellow", "brown", "green", "dark"},
    "steel": {"red", "brown", "silvery", "grey", "dark"},
    "stainless": {"red", "yellow", "brown", "green", "silvery", "grey", "dark"},
    "aluminium": {"silvery", "grey", "dark"},
    "zinc": {"red", "brown", "green", "silvery", "grey", "dark"},
    "lead": {"silvery", "grey", "dark"},
}
COLOURS = ("red", "yellow", "brown", "green", "silvery", "grey", "dark")
BARE = "{is: [none], how: cut edge of the offcut, paper: offcut}"
BY_EYES = "{is: [none], how: eyes, by: tk}"
# Coats below which a colour says nothing of the metal, however they were seen; none may be there.
COVERED = (
    *("{is: [paint], by: tk, how: eyes}", "{is: [paint, zinc], how: cut edge, paper: offcut}"),
    *("{is: [zinc], how: papers, paper: offcut}", "{is: [aluminium-zinc], how: eyes, by: tk}"),
    *("{is: [tin], how: cut edge, paper: offcut}", "{is: [anodic], how: eyes, by: tk}"),
    *("{one_of: [none, paint], how: eyes, by: tk}", "{one_of: [none, tin], paper: offcut}"),
    *("{hint: none, by: tk}", UNSEEN),
)
NOTHING = "seen in a way that settles nothing"
FOUR = "{one_of: [steel, copper, zinc, stainless], how: scratch, by: tk}"


def sheet(metal: str, coat: str, colour: str = "", magnet: str = "") -> dict[str, str]:
    """Changes that give the mill house another sheet; empty is not looked at."""
    changes = {METAL: f"      metal: {metal}\n" if metal else "", COAT: coat, **NO_MAGNET}
    if magnet:
        changes |= {f"      magnet:    {MAGNET}\n": f"      magnet: {magnet}\n"}
    if colour:
        named = f"is: {colour}" if not colour.startswith("[") else f"one_of: {colour}"
        changes[COAT] += f"\n      colour: {{{named}, how: daylight, by: tk}}"
    return changes


def read(sees: Sees, *told: str, **more: str) -> Reading:
    return sees("mill-house", sheet(*told, **more)).read(SHEET_METAL)


def left(reading: Reading) -> set[str] | str:
    """Metals that are left, or why nothing is known."""
    value = reading.value
    if isinstance(value, Candidates):
        return set(value.left)
    assert isinstance(value, Unknown)
    return value.why


def paths(reading: Reading) -> set[str]:
    return {fact.path for reason in reading.because for fact in reason}


def test_every_colour_keeps_every_metal_that_may_look_so(base: Base) -> None:
    found = {row.shape.id: set(row.shape.metals) for row in base.trade.sheet_colours}
    assert found == {c: {m for m, looks in LOOKS.items() if c in looks} for c in COLOURS}
    assert set(LOOKS) == set(base.vocabulary.words["metal"])
    assert {row.shape.status for row in base.trade.sheet_colours} == {"common practice"}
    assert all(len(metals) > 1 for metals in found.values())  # none settles a metal


def test_paint_takes_any_colour_and_tin_that_of_zinc(base: Base) -> None:
    coats = {row.shape.id: row.shape.coats for row in base.trade.sheet_colours}
    assert all("paint" in found for found in coats.values())
    assert {c for c, found in coats.items() if "tin" in found} == {"silvery", "grey", "dark"}


@pytest.mark.parametrize("colour", COLOURS)
def test_a_colour_on_a_bare_sheet_never_takes_the_true_metal_away(sees: Sees, colour: str) -> None:
    may = {m for m, looks in LOOKS.items() if colour in looks}
    every = set(LOOKS)
    found = left(read(sees, "", BARE, colour))
    assert found == ("not asked" if may == every else may)
    for metal in every:
        settled = f"{{is: {metal}, how: cut edge, paper: offcut}}"
        for coat in (BARE, BY_EYES):
            found = left(read(sees, settled, coat, colour))
            assert found == ({metal} if metal in may else "contradicted"), (metal, coat)


@pytest.mark.parametrize("coat", COVERED)
def test_below_a_coat_or_where_one_may_be_a_colour_says_nothing(sees: Sees, coat: str) -> None:
    settled = [f"{{is: {m}, how: cut edge, by: tk}}" for m in ("copper", "zinc")]
    for metal, colour in product(("", FOUR, *settled), COLOURS):
        without, found = read(sees, metal, coat), read(sees, metal, coat, colour)
        assert found.because == without.because, (metal, colour)
        assert isinstance(found.value, Candidates) == isinstance(without.value, Candidates)
        if isinstance(found.value, Candidates):
            assert found.value == without.value, (metal, colour)


def test_a_sheet_that_is_bare_by_the_eyes_alone_may_be_tinned(sees: Sees) -> None:
    # grey by daylight, bare as far as one sees: tinned copper looks so, so copper stays
    assert left(read(sees, FOUR, BY_EYES, "grey")) == {"steel", "copper", "zinc", "stainless"}
    photo = {"kind: sample, what: offcut of the sheet": "kind: photo, what: the sheet"}
    shown = sees("mill-house", {**sheet(FOUR, BARE, "grey"), **photo})
    assert left(shown.read(SHEET_METAL)) == {"steel", "copper", "zinc", "stainless"}
    assert left(read(sees, FOUR, BARE, "grey")) == {"steel", "zinc", "stainless"}


@pytest.mark.parametrize(
    ("metal", "colour", "remains"),
    [
        (FOUR, "grey", {"steel", "zinc", "stainless"}),
        (FOUR, "red", {"steel", "copper", "zinc", "stainless"}),
        (FOUR, "green", {"copper", "zinc", "stainless"}),
        (FOUR, "yellow", {"copper", "stainless"}),
        ("{one_of: [copper, steel], how: scratch, by: tk}", "green", {"copper", "steel"}),
        (FOUR, "dark", {"steel", "copper", "zinc", "stainless"}),
        (FOUR, "[yellow, green]", {"copper", "zinc", "stainless"}),
        (FOUR, "[green, grey]", {"steel", "copper", "zinc", "stainless"}),
        ("{one_of: [aluminium, lead], how: scratch, by: tk}", "green", "contradicted"),
        ("{one_of: [zinc, lead], how: scratch, by: tk}", "grey", {"zinc", "lead"}),
        ("{is: copper, how: colour, by: tk}", "grey", {m for m in LOOKS if "grey" in LOOKS[m]}),
        ("{is: copper, how: colour, by: tk}", "dark", NOTHING),  # told by colour: no sighting
        ("{one_of: [copper, zinc], how: colour, by: tk}", "dark", NOTHING),
    ],
)
def test_a_colour_narrows_and_contradicts_and_settles_none(
    sees: Sees, metal: str, colour: str, remains: set[str] | str
) -> None:
    assert left(read(sees, metal, BARE, colour)) == remains


def test_a_metal_narrowed_by_its_colour_says_by_what(sees: Sees) -> None:
    reading = read(sees, FOUR, BARE, "grey")
    assert paths(reading) == {SHEET_METAL, COLOUR, COATING, "trade.sheet_colour"}
    [row] = [f for r in reading.because for f in r if f.path == "trade.sheet_colour"]
    assert (row.seen, row.status) == ("trade-custom", "common practice")
    assert row.shown == "grey on a bare sheet: steel, aluminium, zinc, stainless or lead"
    assert reading.open_paths == (SHEET_METAL,)


def test_what_contradicts_is_named_with_all_that_it_takes(sees: Sees) -> None:
    copper = "{is: copper, how: cut edge, by: tk}"
    assert set(read(sees, copper, BARE, "grey").asks) == {SHEET_METAL, COLOUR, COATING}
    magnet = "{is: strong, how: fridge magnet, by: tk}"
    either = "{one_of: [steel, zinc], how: scratch, by: tk}"  # never green, never pulling
    both = read(sees, either, BARE, "green", magnet=magnet)
    assert left(both) == "contradicted"
    assert set(both.asks) == {SHEET_METAL, "plane.sheet.magnet", COLOUR, COATING}


def test_magnet_and_colour_together_settle_no_metal(sees: Sees) -> None:
    strong = "{is: strong, how: fridge magnet, by: tk}"
    none = "{is: none, how: fridge magnet, by: tk}"
    assert left(read(sees, "", BARE, "brown", magnet=strong)) == {"steel", "stainless"}
    assert left(read(sees, "", BARE, "green", magnet=strong)) == {"steel", "stainless"}
    assert left(read(sees, "", BARE, "yellow", magnet=none)) == {
        "copper",
        "copper-alloy",
        "stainless",
    }


def test_a_zinc_coat_without_a_magnet_is_looked_at_again(sees: Sees) -> None:
    none = "{is: none, how: fridge magnet, by: tk}"
    found = read(sees, "", "{is: [zinc], how: papers, paper: offcut}", magnet=none)
    assert left(found) == "contradicted"  # a zinc coat lies on steel (EN 10346), which is magnetic
    assert set(found.asks) == {SHEET_METAL, "plane.sheet.magnet", COATING}


@pytest.mark.parametrize(
    ("metal", "coat", "colour", "asks"),
    [
        (FOUR, BARE, "", (SHEET_METAL, COLOUR)),  # a colour may take some away
        (FOUR, BARE, "grey", (SHEET_METAL,)),  # it did
        (FOUR, BY_EYES, "", (SHEET_METAL,)),
        (FOUR, UNSEEN, "", (SHEET_METAL,)),
        ("", BARE, "", (SHEET_METAL,)),  # the cut edge first
        (FOUR, UNSEEN, "grey", (SHEET_METAL, COATING)),  # is it paint?
        (FOUR, BY_EYES, "grey", (SHEET_METAL, COATING)),
        (FOUR, "{one_of: [none, tin], paper: offcut}", "grey", (SHEET_METAL, COATING)),
        (FOUR, "{is: [tin], how: cut edge, by: tk}", "grey", (SHEET_METAL,)),
        (FOUR, UNSEEN, "dark", (SHEET_METAL,)),  # would tell nothing
        ("{one_of: [zinc, lead], how: scratch, by: tk}", BARE, "", (SHEET_METAL,)),
        ("{one_of: [zinc, copper], how: scratch, by: tk}", BARE, "", (SHEET_METAL,)),
        ("{is: zinc, how: cut edge, by: tk}", BARE, "", (SHEET_METAL,)),
        ("{is: zinc, how: cut edge, by: tk}", UNSEEN, "grey", (SHEET_METAL,)),
    ],
)
def test_a_colour_is_asked_for_where_it_may_help_and_paint_where_it_may_lie(
    sees: Sees, metal: str, coat: str, colour: str, asks: tuple[str, ...]
) -> None:
    assert read(sees, metal, coat, colour).open_paths == asks


def test_an_unknown_metal_says_why_its_colour_does_not_count(sees: Sees) -> None:
    reading = read(sees, "", UNSEEN, "grey")
    assert left(reading) == "its colour counts on a bare sheet only"
    assert reading.asks == (SHEET_METAL, COATING)
    assert reading.because == ()
