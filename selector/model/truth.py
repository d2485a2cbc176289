"""What is known of one condition, and the five verdict words."""

from enum import IntEnum
from typing import NamedTuple


class Bits(NamedTuple):
    """`surely`: true for every way to fill the unknowns; `possibly`: for at least one."""

    surely: bool
    possibly: bool

    def negated(self) -> "Bits":
        """Bits of the opposite condition; the pair swaps as one."""
        return Bits(not self.possibly, not self.surely)


YES = Bits(True, True)
NO = Bits(False, False)
OPEN = Bits(False, True)


def both(one: Bits, other: Bits) -> Bits:
    """Bits of a conjunction."""
    return Bits(one.surely and other.surely, one.possibly and other.possibly)


def either(one: Bits, other: Bits) -> Bits:
    """Bits of a disjunction; surely only where one side alone is sure."""
    return Bits(one.surely or other.surely, one.possibly or other.possibly)


class Word(IntEnum):
    """Verdict words by strength; the strongest word that any rule gives is the answer."""

    ALLOWED = 0
    CONDITIONAL = 1
    OBSERVE = 2
    ENGINEER = 3
    FORBIDDEN = 4

    @property
    def text(self) -> str:
        """The word as it is printed."""
        return self.name.lower()

    @property
    def is_yes(self) -> bool:
        """Whether this word lets somebody build."""
        return self <= Word.CONDITIONAL

    @classmethod
    def of(cls, text: str) -> "Word":
        """The word of a text; ValueError names the five."""
        for word in cls:
            if word.text == text:
                return word
        words = ", ".join(w.text for w in cls)
        raise ValueError(f"expected one of {words}; given `{text}`")


ASPECTS = ("grips", "joins", "holds")
