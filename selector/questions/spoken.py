"""What a person types in the language of the screen, turned into the words that a job file knows.

Nothing is guessed: what is no word of that language stays as it was typed, and is judged as such.
"""

import re
from collections.abc import Iterable

from selector.explanation.texts import Texts
from selector.model.rule import Quantity
from selector.questions.typed import HINTS, UNKNOWN

UNSAID = {"?": "?", "!": "!", "can't reach": "!", "don't know": "?"}  # as one key each
YES_NO = ("yes", "no")


def in_english(texts: Texts, words: Iterable[str], typed: str) -> str:
    """A word of the list by the start of what it is called here, or that nobody knows."""
    own, english = typed.lower(), list(dict.fromkeys(words))
    unknown = unsaid(texts, typed)
    if unknown:
        return unknown
    if not own or any(w.lower().startswith(own) for w in english):
        return typed
    found = [w for w in english if texts.word(w).lower() == own]
    found = found or [w for w in english if texts.word(w).lower().startswith(own)]
    return found[0] if len(found) == 1 else typed


def unsaid(texts: Texts, typed: str) -> str:
    """`?` or `!` where somebody says that they do not know or cannot reach; else empty."""
    own = typed.lower()
    own = next((e for e in UNKNOWN if texts.word(e).lower() == own), own)
    return UNSAID.get(UNKNOWN.get(own, own), "")


def several_in_english(texts: Texts, words: Iterable[str], typed: str) -> str:
    """Words of a list with commas between, each as it is called in English."""
    english = list(dict.fromkeys(words))
    pieces = re.split(r"(\s*[,;]\s*)", typed)
    return "".join(in_english(texts, english, p) if p.strip(" ,;") else p for p in pieces)


def answer_in_english(texts: Texts, quantity: Quantity, typed: str) -> str:
    """An answer with its doubt, its words and its tool as the job file calls them."""
    unknown = unsaid(texts, typed)
    if unknown:
        return "can't reach" if unknown == "!" else unknown
    hint, rest = _doubt(texts, typed)
    if quantity.dimension == "choice":
        rest = _words(texts, quantity, rest)
    else:
        for tool in quantity.tools:
            own = called(texts, tool)
            if rest.lower().endswith(f" {own.lower()}"):
                rest = f"{rest[: -len(own)]}{tool}"
    return f"{hint} {rest}".strip()


def way_in_english(texts: Texts, quantity: Quantity, way: str) -> str:
    """How something was seen: a tool as the job file calls it, all else as it was typed.

    A way that settles it, or nothing, is named in English besides, so that the job reader knows it.
    """
    for tool in quantity.tools:
        if called(texts, tool).lower() == way.lower():
            return tool
    lower = way.lower()
    known = (*quantity.by, *quantity.not_by)
    named = [w for w in known if texts.word(w).lower() in lower and w not in lower]
    return f"{way} ({', '.join(named)})" if named else way


def called(texts: Texts, tool: str) -> str:
    """What a tool is called here: some mean something else besides."""
    return texts.book.words.get(f"tool {tool}", texts.word(tool))


def _doubt(texts: Texts, typed: str) -> tuple[str, str]:
    """The doubt that an answer starts with, in English, and what is left of it."""
    for hint in HINTS:
        own = texts.word(hint)
        if own != hint and re.match(rf"{re.escape(own)}\b", typed, re.IGNORECASE):
            return hint, typed[len(own) :].strip(" ,:")
    return "", typed


def _words(texts: Texts, quantity: Quantity, typed: str) -> str:
    """Words with `or` or `on` between, each as it is called in English."""
    whole = in_english(texts, quantity.words, typed)
    if whole != typed:
        return whole
    if typed.lower() in map(texts.word, YES_NO):
        return next(w for w in YES_NO if texts.word(w) == typed.lower())
    either, on = (re.escape(texts.word(w)) for w in ("or", "on"))
    pieces = re.split(rf"(\s+(?:{either}|or|{on}|on)\s+|\s*[,/|]\s*)", typed, flags=re.IGNORECASE)
    between = {texts.word(w): w for w in ("or", "on")}
    return "".join(
        in_english(texts, quantity.words, piece)
        if number % 2 == 0
        else piece.replace(piece.strip(), between.get(piece.strip().lower(), piece.strip()))
        for number, piece in enumerate(pieces)
    )
