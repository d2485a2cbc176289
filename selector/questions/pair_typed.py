"""What is said of a pair besides its metals: where they meet, what lies between, the air around.

The air is a closed list once it is given: what is not named is not there, and the page says so.
Where nothing is said of it, nothing is known of it.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from selector import units
from selector.explanation.narrate import name_key
from selector.explanation.texts import Texts
from selector.inference.pair import FAR_AWAY, WATER, Site, of_metal
from selector.inference.pair import ROLES as USUAL
from selector.knowledge.base import Base
from selector.knowledge.schema import MetalWords
from selector.model.contact import ABOVE, BRIDGES, ON_SHEET, ROLES, Contact, Side
from selector.model.job import Observable, Observed, Sighting
from selector.model.quantity import Candidates, Measured, Place
from selector.model.rule import Quantity
from selector.questions.metal_typed import words_meant
from selector.questions.typed import figure
from selector.questions.wrong import Words, WrongError

AIR = "O-26"  # the question about sea and air
CLEAN, NONE, PRESENT = "clean", "none", "present"
FAR = units.parse("1000 km", "length")  # the sea that nobody names
SIZES = {"first": ("fastener", "surface"), "second": ("surface", "fastener")}
SMALL = (*SIZES, "neither")
BETWEEN = {"nothing": "none", "the listed inlay": "listed", "something else": "not listed"}


@dataclass(frozen=True)
class Said:
    """Options as they were typed; None where nothing was said."""

    where: str | None = None
    first: str | None = None
    second: str | None = None
    small: str | None = None
    between: str | None = None
    bridged: str | None = None
    point: str | None = None
    washed: bool = False


def place_of(texts: Texts, where: str | None) -> str:
    """Where two metals meet: on the sheet unless something else is said."""
    return ON_SHEET if where is None else _one(texts, USUAL, where)


def contact_of(texts: Texts, base: Base, metals: Sequence[MetalWords], said: Said) -> Contact:
    """The contact that is asked about; WrongError where it cannot be."""
    place = place_of(texts, said.where)
    usual = zip(USUAL[place], (said.first, said.second), strict=True)
    roles = [role if own is None else _one(texts, ROLES, own) for role, own in usual]
    if roles[0] == "sheet" and place == ON_SHEET:
        raise WrongError("pair.asking.sheet_on_sheet")
    upper, lower = (of_metal(role, metal) for role, metal in zip(roles, metals, strict=True))
    upper, lower = _sized(texts, upper, lower, said.small)
    if said.point is not None:
        upper = replace(upper, point=_point(texts, base, upper, said.point))
    isolation = "none" if said.between is None else BETWEEN[_one(texts, BETWEEN, said.between)]
    bridge = "none" if said.bridged is None else _one(texts, BRIDGES, said.bridged)
    if place == ABOVE and (isolation != "none" or bridge != "none"):
        raise WrongError("pair.asking.water_goes_round")
    if isolation == "none" and bridge != "none":
        raise WrongError("pair.asking.nothing_to_bridge")
    return Contact(place, upper, lower, None, isolation, bridge, said.washed)


def _sized(texts: Texts, upper: Side, lower: Side, small: str | None) -> tuple[Side, Side]:
    """Both sides with the areas that are said."""
    if small is None:
        return upper, lower
    word = _one(texts, SMALL, small)
    first, second = SIZES.get(word, ("part", "part"))
    return replace(upper, area=first), replace(lower, area=second)


def _point(texts: Texts, base: Base, upper: Side, point: str) -> str:
    if ROLES[upper.role] != "fastener":
        raise WrongError("pair.asking.no_screw")
    known = {name: row.shape.id for row in base.trade.screw_points for name in row.shape.called}
    return _one(texts, known, point)


def air_of(texts: Texts, base: Base, typed: str | None) -> Site:
    """What is known of the site; nothing but that no water comes where no air is named."""
    site: Site = {WATER: _seen(WATER, _word(NONE))}
    if typed is None:
        return site
    asked = [base.vocabulary.quantities[p] for p in base.questions[AIR].quantities]
    found = _named(texts, asked, [piece.strip() for piece in re.split("[,;]", typed)])
    for quantity in asked:
        path = str(quantity.path)
        if path in found:
            site[path] = _seen(path, found[path])
        elif f"{path}_of" in found:  # what is of a kind is there
            site[path] = _seen(path, _word(PRESENT))
        elif path.removesuffix("_of") not in found:  # of which kind it is stays open
            site |= _absent(quantity)
    return site


def _named(texts: Texts, asked: list[Quantity], pieces: list[str]) -> dict[str, Observable]:
    """Value of each quantity that is named."""
    names = {CLEAN: ("", "")} | {n: at for q in asked for n, at in _names(q).items()}
    owner = {str(q.path): q for q in asked}
    found: dict[str, Observable] = {}
    for piece in pieces:
        match = re.fullmatch(r"(.*?)\s*([-+]?[0-9].*)?", piece)
        name = _one(texts, names, match[1] if match else piece)
        given = (match[2] if match else None) or ""
        path, word = names[name]
        if name == CLEAN and len(pieces) > 1:
            raise WrongError("pair.asking.clean_and_more")
        if path in found:
            raise WrongError("pair.asking.air_twice", given=units.shorten(piece))
        if not path and not given:
            continue
        if (word == "") != bool(given) or not path:
            raise WrongError("pair.asking.air_figure", given=units.shorten(piece))
        found[path] = _word(word) if word else _figure(owner[path], given)
    return found


def _names(quantity: Quantity) -> dict[str, tuple[str, str]]:
    """What may be named of a quantity: itself, or each of its words."""
    path = str(quantity.path)
    if quantity.dimension != "choice" or PRESENT in quantity.words:
        return {name_key(path): (path, PRESENT if PRESENT in quantity.words else "")}
    return {word: (path, word) for word in quantity.words if word != NONE}


def _figure(quantity: Quantity, given: str) -> Observable:
    low, high = quantity.plausible
    window = (low or 0, units.LARGEST if high is None else high)
    shown = figure(given, quantity.dimension, quantity.unit, window)
    value = units.parse(shown, quantity.dimension)
    return Measured(quantity.dimension, (Place(value, value),))


def _absent(quantity: Quantity) -> Site:
    """What a quantity is where the air is told without it."""
    path = str(quantity.path)
    if quantity.dimension == "choice":
        return {path: _seen(path, _word(NONE))} if NONE in quantity.words else {}
    far = min(FAR, quantity.plausible[1] or FAR)
    value = far if quantity.dimension == "length" else quantity.plausible[0] or 0
    return {path: _seen(path, Measured(quantity.dimension, (Place(value, value),)), FAR_AWAY)}


def _word(word: str) -> Candidates:
    return Candidates(frozenset({word}))


def _seen(path: str, value: Observable, seen: str = "asked") -> Observed:
    return Observed(path, (Sighting(value, seen, "asked", 0),))


def _one(texts: Texts, known: Iterable[str], typed: str) -> str:
    """The one word of a list that is meant, whole or by its start, in either language."""
    words = tuple(known)
    given = typed.strip()
    found = words_meant(texts, words, given)
    found = found or [w for w in words if given.lower() in texts.word(w).lower().split()]
    if len(found) > 1:
        raise WrongError("typed.fits", given=units.shorten(typed), names=Words(tuple(found)))
    if not found:
        raise WrongError("pair.asking.none_of", given=units.shorten(typed), names=Words(words))
    return found[0]
