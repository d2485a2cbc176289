"""What is wrong with a typed line, as an id and its holes; said in the language of the screen."""

import difflib
from dataclasses import dataclass

from selector.explanation.texts import Texts

MOST_NEAR = 4  # names that one message proposes
ALIKE = 0.6  # share of letters from which on a name is taken for meant


@dataclass(frozen=True)
class Shown:
    """A value as inference shows it, such as `5 to 200 mm`."""

    text: str


@dataclass(frozen=True)
class Words:
    """Words of a list, each in marks."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class Joined:
    """Words with a word between, as they would be typed."""

    words: tuple[str, ...]
    between: str


@dataclass(frozen=True)
class Near:
    """Words of a list that look like what was typed, or that its number is enough."""

    given: str
    words: tuple[str, ...]


@dataclass(frozen=True)
class Phrase:
    """A text by its id, and what fills its holes.

    A hole takes text as it was typed, a number, one of the classes above, or another phrase.
    """

    name: str
    holes: tuple[tuple[str, object], ...]


def phrase(name: str, /, **holes: object) -> Phrase:
    """A text by its id with its holes filled."""
    return Phrase(name, tuple(holes.items()))


class WrongError(ValueError):
    """A line that cannot be taken, and the phrase that says so."""

    def __init__(self, name: str, /, **holes: object):
        self.phrase = phrase(name, **holes)
        super().__init__(self.phrase)


def told(texts: Texts, error: ValueError) -> str:
    """What a person reads of an error."""
    return said(texts, error.phrase) if isinstance(error, WrongError) else str(error)


def said(texts: Texts, phrase: Phrase) -> str:
    """A phrase in the language of the screen."""
    return texts.say(phrase.name, **{key: _filled(texts, hole) for key, hole in phrase.holes})


def _filled(texts: Texts, hole: object) -> object:
    if isinstance(hole, Phrase):
        return said(texts, hole)
    if isinstance(hole, Shown):
        return texts.shown(hole.text)
    if isinstance(hole, Words):
        return _listed(texts, [texts.word(w) for w in hole.words])
    if isinstance(hole, Joined):
        return f" {texts.word(hole.between)} ".join(map(texts.word, hole.words))
    if isinstance(hole, Near):
        return _near(texts, hole)
    return hole


def _near(texts: Texts, hole: Near) -> str:
    own = {texts.word(w).lower(): texts.word(w) for w in hole.words}
    names = own | {w.lower(): texts.word(w) for w in hole.words}
    found = difflib.get_close_matches(hole.given.lower(), sorted(names), MOST_NEAR, ALIKE)
    meant = list(dict.fromkeys(names[f] for f in found))
    if not meant:
        return texts.say("typed.number", most=len(hole.words))
    return texts.say("typed.near", names=_listed(texts, meant, "typed.or"))


def _listed(texts: Texts, words: list[str], last: str = "typed.and") -> str:
    marked = [f"`{w}`" for w in words]
    if len(marked) == 1:
        return marked[0]
    return texts.say(last, names=", ".join(marked[:-1]), last=marked[-1])
