"""What a person reads, in the language that the base speaks: texts by id, words, values."""

import re
from dataclasses import dataclass
from functools import cached_property

from selector.errors import InputError
from selector.knowledge.base import Base
from selector.knowledge.texts import FIRST, HOLE, TextBook

# Holes of a phrase in which a name stands, of a part, a seam, a paper: names stay as they are.
NAMES = {
    *("id", "by", "number", "date", "revisions", "part", "clamp", "rail", "module", "profile"),
    *("joint", "array", "pairing", "bolts", "inlay", "seam", "seams", "line"),
}
# Not the number of a steel, such as 1.4016 of EN 10027-2.
DECIMAL = re.compile(r"(?<![\w.])(?<!\w-)(?!1\.4\d{3}\b)(\d+)\.(\d+)(?![\w.-])")
# Persons that a talk names by what they do; all others are called as they were typed.
ROLES = ("sales", "installer", "roofer", "owner")


@dataclass(frozen=True)
class Texts:
    """The texts of one language; what a translation lacks is said in English."""

    book: TextBook
    first: TextBook

    @classmethod
    def of(cls, base: Base) -> "Texts":
        """Texts in the language that a base speaks."""
        return cls(base.texts[base.language], base.texts[FIRST])

    def say(self, name: str, /, **holes: object) -> str:
        """Text of an id with its holes filled; where it has `one` and `other`, `n` decides."""
        forms = [name] if "n" not in holes else [f"{name}.{_form(holes['n'])}", name]
        for book in (self.book, self.first):
            for form in forms:
                if form in book.texts:
                    return HOLE.sub(lambda m: str(holes[m.group(1)]), book.texts[form])
        raise InputError.of(f"no text `{name}` in this base", "restore it", file="kb/texts/en.yaml")

    def word(self, word: str) -> str:
        """A word of the vocabulary, a verdict word, a person."""
        return self.book.words.get(word, word)

    def shown(self, text: str, path: str = "") -> str:
        """A value or a fact as inference shows it: whole, or by the phrases it is made of.

        A word may have another form for the value of one path.
        """
        words = self.book.words
        if not words:
            return text
        exact = words.get(f"{path} is {text}", words.get(text))
        if exact is not None:
            return exact
        for pattern, phrase in self._phrases:
            found = pattern.fullmatch(text)
            if found:
                held = found.groupdict().items()
                parts = {k: v if k in NAMES else self.shown(v, path) for k, v in held}
                return HOLE.sub(lambda m, parts=parts: parts[m.group(1)], phrase)  # type: ignore[misc]
        return self._number(text)

    def seen(self, text: str) -> str:
        """How something was seen: tools and papers in this language, a person's words as typed."""
        if text.startswith("stated in "):
            return self.shown(text)
        *ways, last = re.split(r"(; |, )", text)
        person = bool(ways) and not last.startswith("paper ") and last not in ROLES
        told = map(self._way, ways)
        return "".join([*told, last if person else self._way(last)])

    def _way(self, piece: str) -> str:
        """How something was seen; a tool may be called otherwise than the same word elsewhere."""
        if piece.startswith("paper "):
            return self.shown(piece)
        return self.book.words.get(f"tool {piece}", self.word(piece))

    @cached_property
    def _phrases(self) -> list[tuple[re.Pattern[str], str]]:
        """Phrases with holes, in the order in which they are written."""
        return [
            (_pattern(english), own) for english, own in self.book.words.items() if "{" in english
        ]

    def _number(self, text: str) -> str:
        """Decimals with the point of the language; the number of a steel keeps its own."""
        return DECIMAL.sub(rf"\1{self.say('number.point')}\2", text)


def _form(n: object) -> str:
    return "one" if n == 1 else "other"


def _pattern(phrase: str) -> re.Pattern[str]:
    """A phrase with holes as a pattern; a hole takes something, as little as it can."""
    pieces = HOLE.split(phrase)
    return re.compile(
        "".join(f"(?P<{x}>.+?)" if i % 2 else re.escape(x) for i, x in enumerate(pieces)), re.DOTALL
    )
