"""Facts about metals that meet: what a metal can carry, and published tables of pairs."""

from collections.abc import Collection
from typing import Annotated

from pydantic import BeforeValidator, Field, model_validator

from selector.knowledge.schema import MetalWords, Shape, Words
from selector.knowledge.trade_fact import TradeFact

VERDICTS = ("allowed", "conditional", "forbidden")
AIR = ("clean", "salt", "sulphur", "salt and sulphur")  # what a column of a table may count for
UNKNOWN = "unknown"


def metal_phrase(text: str) -> MetalWords:
    """A metal as it is typed: `steel+paint+zinc:Z275`, coatings outermost first, then its grade."""
    made_of, _, grade = text.partition(":")
    metal, *coats = (piece.strip() for piece in made_of.split("+"))
    return MetalWords(
        metal=metal, coating=tuple(coats) or ("none",), grade=grade.strip() or UNKNOWN
    )


def phrase_of(words: MetalWords) -> str:
    """The phrase that reads as this metal."""
    coats = [c for c in words.coating if c != "none"]
    grade = "" if words.grade == UNKNOWN else f":{words.grade}"
    return "+".join([words.metal, *coats]) + grade


class Finish(TradeFact):
    """A metal with the layer that lies on it; paint may lie on any."""

    metal: str
    coating: str = "none"
    called: Words = ()
    text: str
    grades: Words = ()
    rows: Words = ()  # grades that the matrix shows, `any` for none

    @property
    def shown(self) -> list[MetalWords]:
        """What the matrix shows of it."""
        grades = [UNKNOWN if g == "any" else g for g in self.rows]
        return [MetalWords(metal=self.metal, coating=(self.coating,), grade=g) for g in grades]


class Sign(Shape):
    """What a cell of a table means, and the word that it comes nearest to."""

    says: str
    word: str


def _phrases(value: object) -> object:
    listed = [value] if isinstance(value, str) else value
    if not isinstance(listed, list):
        return listed
    return tuple(metal_phrase(v) if isinstance(v, str) else v for v in listed)


def _signs(value: object) -> object:
    return tuple(value) if isinstance(value, str) else value


Phrases = Annotated[tuple[MetalWords, ...], BeforeValidator(_phrases)]
Cell = Annotated[tuple[str, ...], BeforeValidator(_signs)]


class PublishedPairs(TradeFact):
    """A published table of pairs, as it stands in its source; it decides nothing here."""

    title: str
    signs: dict[str, Sign]
    sides: dict[str, Phrases]
    columns: dict[str, tuple[str, ...]] = Field(default={"": AIR})
    cells: dict[str, dict[str, Cell]]
    bears_in_mind: str

    @model_validator(mode="after")
    def _whole(self) -> "PublishedPairs":
        for sign in self.signs.values():
            if sign.word not in VERDICTS:
                raise ValueError(f"`{sign.word}` is none of {', '.join(VERDICTS)}")
        unknown = {air for counts in self.columns.values() for air in counts} - set(AIR)
        if unknown:
            raise ValueError(f"`{min(unknown)}` is none of {', '.join(AIR)}")
        for one, row in self.cells.items():
            for other, cell in row.items():
                strange = [s for s in (one, other) if s not in self.sides]
                strange += [s for s in cell if s not in self.signs]
                if strange:
                    raise ValueError(f"`{strange[0]}` is no side and no sign of this table")
                if len(cell) != len(self.columns):
                    raise ValueError(f"`{one}` and `{other}`: a sign for each column is needed")
        return self

    def sides_of(self, metal: MetalWords) -> list[str]:
        """Rows that stand for a metal; several where its grade is open."""
        found: dict[str, bool] = {}
        for name, phrases in self.sides.items():
            for phrase in phrases:
                if (phrase.metal, phrase.coating) != (metal.metal, metal.coating):
                    continue
                if metal.grade in (UNKNOWN, phrase.grade) or phrase.grade == UNKNOWN:
                    found[name] = found.get(name, False) or metal.grade == phrase.grade
        exact = [name for name, same in found.items() if same and metal.grade != UNKNOWN]
        return exact or list(found)

    def cell(self, one: str, other: str) -> Cell | None:
        """Signs of two rows in the order of the columns; None where the source has no cell."""
        return self.cells.get(one, {}).get(other) or self.cells.get(other, {}).get(one)

    def columns_in(self, air: Collection[str]) -> list[int]:
        """Columns that count in this air, by number; those of any air where none is given."""
        names = {"salt and sulphur"} if {"salt", "sulphur"} <= set(air) else set(air)
        counts = list(self.columns.values())
        found = [i for i, each in enumerate(counts) if names & set(each)]
        wider = set(air) or set(AIR)
        return found or [i for i, each in enumerate(counts) if wider & set(each)]
