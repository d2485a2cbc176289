"""Texts of the languages against each other, and against what a base words itself."""

from selector.errors import Problem
from selector.explanation.language import worded
from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.texts import FIRST, FOLDER, TextBook, holes


def check_texts(base: Base) -> tuple[list[Problem], list[Problem]]:
    """Problems: other holes than in English, or a text that nothing asks for. Notes: not said."""
    first = base.texts[FIRST]
    own = {name: (text, file) for name, text, file in worded(base)}
    wanted = {**{k: (t, first.places[k][0]) for k, t in first.texts.items()}, **own}
    problems, notes = [], []
    for language, book in base.texts.items():
        if language == FIRST:
            continue
        faults, gaps = _compare(base, book, wanted)
        problems += faults
        notes += gaps
    return problems, notes


def _compare(
    base: Base, book: TextBook, wanted: dict[str, tuple[str, str]]
) -> tuple[list[Problem], list[Problem]]:
    say, language = Texts.of(base).say, book.language
    problems, notes = [], []
    by_form: dict[str, str] = {_bare(name): text for name, (text, _) in wanted.items()}
    said = {_bare(name) for name in book.texts}
    for name, (english, file) in wanted.items():
        if _bare(name) not in said:
            text = say("text.missing", name=name, language=language)
            remedy = say("text.add", file=f"{FOLDER}{language}/", english=english)
            notes.append(Problem(file, 0, text, remedy))
    pairs = [(name, text, by_form.get(_bare(name))) for name, text in book.texts.items()]
    pairs += [(phrase, own, phrase) for phrase, own in book.words.items()]
    for name, text, wording in pairs:
        place = book.places[name]
        if wording is None:
            fault = say("text.unknown", name=name, language=language)
            problems.append(Problem(*place, fault, say("text.remove")))
        elif holes(text) != holes(wording):
            found, right = (", ".join(holes(t)) or "-" for t in (text, wording))
            fault = say("text.holes", name=name, found=found, wanted=right)
            problems.append(Problem(*place, fault, say("text.same_holes")))
    return problems, notes


def _bare(name: str) -> str:
    """An id without its plural form."""
    return name.removesuffix(".one").removesuffix(".other")
