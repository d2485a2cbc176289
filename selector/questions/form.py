"""A few small questions that come to one thing, such as a new job or a paper; `back` undoes one.

What comes next may depend on what was said before. A form is never changed: every answer gives a
new one.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from selector.questions.wrong import WrongError

Given = Mapping[str, Any]


@dataclass(frozen=True)
class Item:
    """One question of a form; its wording is the text of `text`."""

    name: str  # key of the value, and of its text
    new: bool  # of a new job; else of a paper
    read: Callable[[str], Any]  # what is typed -> value; ValueError says what is expected
    choices: tuple[str, ...] = ()  # each with what it means behind a tab, if need be
    usual: str = ""  # what an empty line stands for
    hint: str = ""  # id of a text that says what an answer looks like
    caution: str = ""
    holes: tuple[tuple[str, object], ...] = ()  # of the question's text


@dataclass(frozen=True)
class Form:
    """Questions with what was answered so far."""

    ask: Callable[[Given], Item | None]  # the next question, or None where all is known
    answers: tuple[tuple[str, Any], ...] = ()

    @property
    def given(self) -> dict[str, Any]:
        """Values by name."""
        return dict(self.answers)

    @property
    def item(self) -> Item | None:
        """What is asked now."""
        return self.ask(self.given)

    def answered(self, text: str) -> "Form":
        """The form with an answer to what is asked now; ValueError says what was expected."""
        item = self.item
        if item is None:
            raise ValueError("nothing is asked any more")
        said = text or item.usual
        if not said:
            raise WrongError("typed.nothing_of_form")
        return replace(self, answers=(*self.answers, (item.name, item.read(said))))

    def back(self) -> "Form":
        """The form before the last answer; the first stays as it is."""
        return replace(self, answers=self.answers[:-1])


def in_order(*makers: Callable[[Given], Item | None]) -> Callable[[Given], Item | None]:
    """Asks one after the other; a maker gives None where its question does not come up."""

    def ask(given: Given) -> Item | None:
        items = (make(given) for make in makers)
        return next((i for i in items if i is not None and i.name not in given), None)

    return ask
