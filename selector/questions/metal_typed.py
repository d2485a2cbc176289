"""A metal as a person types it, `steel+paint+zinc:Z275`, in the words of the base.

Nothing is guessed: what is no metal here, or cannot be made, is told apart and explained.
"""

import difflib
from collections.abc import Iterable

from selector import units
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.pair_facts import UNKNOWN, Finish
from selector.knowledge.schema import MetalWords
from selector.questions.spoken import in_english
from selector.questions.wrong import MOST_NEAR, Shown, Words, WrongError

PAINT, NONE = "paint", "none"
ALIKE = 0.5  # share of letters from which on a name is taken for meant
LIKE = "steel+paint+zinc:Z275"


def metal_of(texts: Texts, base: Base, typed: str) -> MetalWords:
    """The metal that is meant; WrongError with the nearest names where none is."""
    said = " ".join(typed.split())
    made_of, colon, grade = (piece.strip() for piece in said.partition(":"))
    pieces = [piece.strip() for piece in made_of.split("+")]
    substance = words_meant(texts, substances(base), pieces[0])
    if len(substance) == 1 and (len(pieces) > 1 or colon):
        raise WrongError("pair.asking.on_substance", given=units.shorten(substance[0]))
    if len(substance) == 1:
        return MetalWords(metal=substance[0])
    if not all(pieces) or (colon and not grade) or ":" in grade:
        raise WrongError("pair.asking.form", given=units.shorten(said), like=LIKE)
    metal, layer = _metal(texts, base, pieces[0])
    coats = [_coat(texts, base, piece) for piece in pieces[1:]]
    coats = [c for c in (*coats, layer) if c != NONE]
    finish = _finish(base, metal, coats)
    return MetalWords(
        metal=metal,
        coating=tuple(coats) or (NONE,),
        grade=_grade(base, finish, grade) if grade else UNKNOWN,
    )


def substances(base: Base) -> tuple[str, ...]:
    """What is no metal and yet harms some: bitumen above, fresh mortar around."""
    return base.vocabulary.words.get("substance", ())


def _metal(texts: Texts, base: Base, typed: str) -> tuple[str, str]:
    """Metal and the layer that its everyday name brings."""
    metals = base.vocabulary.words["metal"]
    made = {metal: (metal, NONE) for metal in metals}
    made |= {
        n: (r.shape.metal, r.shape.coating) for r in base.trade.finishes for n in r.shape.called
    }
    words = words_meant(texts, metals, typed) or words_meant(texts, made, typed)
    meant = {made[word] for word in words}
    if len(meant) > 1:
        raise WrongError("typed.fits", given=units.shorten(typed), names=Words(tuple(words)))
    if not meant:
        near = _near(texts, made, typed, metals)
        raise WrongError("pair.asking.no_metal", given=units.shorten(typed), near=near)
    return meant.pop()


def _coat(texts: Texts, base: Base, typed: str) -> str:
    known = base.vocabulary.words["coating"]
    words = words_meant(texts, known, typed)
    if len(words) > 1:
        raise WrongError("typed.fits", given=units.shorten(typed), names=Words(tuple(words)))
    if not words:
        near = _near(texts, known, typed, known)
        raise WrongError("pair.asking.no_coating", given=units.shorten(typed), near=near)
    return words[0]


def _finish(base: Base, metal: str, coats: list[str]) -> Finish:
    """The finish below the paint; WrongError where this metal has no such coats."""
    if PAINT in coats[1:]:
        right = "+".join([metal, PAINT, *(c for c in coats if c != PAINT)])
        raise WrongError("pair.asking.paint_below", right=right)
    layers = [c for c in coats if c != PAINT]
    if len(layers) > 1:
        raise WrongError("pair.asking.two_layers", first=Shown(layers[0]), other=Shown(layers[1]))
    layer = layers[0] if layers else NONE
    rows = [row.shape for row in base.trade.finishes if row.shape.metal == metal]
    found = next((row for row in rows if row.coating == layer), None)
    if found is None:
        takes = Words((PAINT, *(row.coating for row in rows if row.coating != NONE)))
        raise WrongError(
            "pair.asking.not_on_this", coating=Shown(layer), metal=Shown(metal), takes=takes
        )
    return found


def _grade(base: Base, finish: Finish, typed: str) -> str:
    own = {grade.lower(): grade for grade in finish.grades}
    if typed.lower() in own:
        return own[typed.lower()]
    given, metal = units.shorten(typed), Shown(_plain(finish))
    others = [row.shape for row in base.trade.finishes]
    owners = [row for row in others if typed.lower() in map(str.lower, row.grades)]
    if owners:
        other = Shown(_plain(owners[0]))
        raise WrongError("pair.asking.other_grade", given=given, metal=metal, other=other)
    if not finish.grades:
        raise WrongError("pair.asking.no_grades", given=given, metal=metal)
    near = Words(tuple(_alike(typed, finish.grades)) or finish.grades)
    raise WrongError("pair.asking.no_grade", given=given, metal=metal, near=near)


def _plain(finish: Finish) -> str:
    """A finish as one would type it."""
    return finish.metal if finish.coating == NONE else f"{finish.metal}+{finish.coating}"


def words_meant(texts: Texts, known: Iterable[str], typed: str) -> list[str]:
    """Words that are meant: the one that is there whole, or all that start so."""
    words = list(known)
    given = in_english(texts, words, typed).lower()
    exact = [w for w in words if w.lower() == given]
    return exact or [w for w in words if len(given) > 1 and w.lower().startswith(given)]


def _near(texts: Texts, known: Iterable[str], typed: str, else_: Iterable[str]) -> Words:
    """Names that look like what was typed, in either language, or the whole list."""
    words = list(known)
    own = {texts.word(w).lower(): w for w in words} | {w.lower(): w for w in words}
    found = [own[name] for name in _alike(typed, own)]
    return Words(tuple(dict.fromkeys(found)) or tuple(else_))


def _alike(typed: str, known: Iterable[str]) -> list[str]:
    names = {name.lower(): name for name in known}
    found = difflib.get_close_matches(typed.lower(), sorted(names), MOST_NEAR, ALIKE)
    return [names[name] for name in found]
