"""Errors that say what was given, what was expected, where, and what to do."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass

INTERNAL = 70  # exit code of a fault of the program itself: no answer was given


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong with an input; `remedy` alone says what to do."""

    file: str
    line: int
    text: str
    remedy: str = ""

    @property
    def place(self) -> str:
        """`file:line`, or the file alone where no line is known."""
        return f"{self.file}:{self.line}" if self.line else self.file

    def __str__(self) -> str:
        place = f"{self.place}: " if self.file else ""
        return f"{place}{self.text}" + (f"; {self.remedy}" if self.remedy else "")


class InputError(Exception):
    """Input that cannot be used; carries every problem found, never only the first."""

    def __init__(self, problems: Iterable[Problem]):
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(map(str, self.problems)))

    def __reduce__(self) -> tuple[type["InputError"], tuple[tuple[Problem, ...]]]:
        """With its problems from one process to another."""
        return type(self), (self.problems,)

    @classmethod
    def of(cls, text: str, remedy: str = "", *, file: str = "", line: int = 0) -> "InputError":
        """One problem as an error."""
        return cls([Problem(file, line, text, remedy)])


def near(word: str, known: Iterable[str]) -> str:
    """`did you mean ...` with at most four near names, or the start of the list."""
    names = sorted(set(known))
    found = difflib.get_close_matches(word, names, n=4, cutoff=0.6)
    if found:
        return "did you mean " + ", ".join(f"`{n}`" for n in found) + "?"
    if not names:
        return ""
    return "known here: " + ", ".join(names[:12]) + (", ..." if len(names) > 12 else "")
