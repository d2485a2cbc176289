"""A base in another language: the wording of rules, questions and proofs is put in its place."""

from collections.abc import Iterator
from dataclasses import replace

from selector.errors import InputError, near
from selector.knowledge.base import Base, Vocabulary
from selector.knowledge.texts import FIRST, TextBook
from selector.model.kit import KitBook, KitItem
from selector.model.question import Question
from selector.model.rule import Ask, Rule

RULE_FIELDS = ("title", "message", "why", "help", "who_is_hurt")
QUESTION_FIELDS = ("title", "ask", "why", "caution")
KIT_FIELDS = ("text", "why")
# Letters that a screen of ASCII does not have, as they are written without them.
PLAIN = str.maketrans(
    {"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue", "ß": "ss"}
    | {"„": '"', "“": '"', "”": '"', "’": "'", "–": "-", "±": "+-", "°": " Grad", "²": "2"}
)


def speaking(base: Base, language: str, *, plain: bool = False) -> Base:
    """The base in a language; `plain` for a screen that has only the letters of ASCII.

    InputError where the base has no texts of that language. What a translation lacks stays English.
    """
    if language not in base.texts:
        text = f"this base has no texts in `{language}`"
        raise InputError.of(text, near(language, base.texts))
    book = base.texts[language]
    if plain:
        book = replace(book, texts=_plain(book.texts), words=_plain(book.words))
    if language == FIRST:
        return replace(base, texts={**base.texts, language: book})
    return replace(
        base,
        language=language,
        texts={**base.texts, language: book},
        rules=tuple(_rule(rule, book) for rule in base.rules),
        questions={k: _question(q, book) for k, q in base.questions.items()},
        vocabulary=_vocabulary(base, book),
        kits=_kits(base.kits, book),
    )


def worded(base: Base) -> Iterator[tuple[str, str, str]]:
    """Id, English wording and file of everything in a base that each language words anew."""
    for rule in base.rules:
        for name in RULE_FIELDS:
            yield f"{rule.id}.{name}", getattr(rule, name), rule.file
    for question in base.questions.values():
        file = question.origin.partition(":")[0]
        for name in QUESTION_FIELDS:
            if getattr(question, name):
                yield f"{question.observation}.{name}", getattr(question, name), file
        for number, step in enumerate(question.look, 1):
            yield f"{question.observation}.look.{number}", step, file
    for path, (ask, how) in _ask_ids(base).items():
        found = base.vocabulary.asks[path]
        if ask.startswith(path):
            yield ask, found.ask, "kb/"
        if how.startswith(path) and found.how:
            yield how, found.how, "kb/"
    for item in base.kits.items:
        for name in KIT_FIELDS:
            yield f"in_kit.{item.id}.{name}", getattr(item, name), item.origin.partition(":")[0]
    for need in base.vocabulary.needs:
        yield f"need.{need.name}", need.text, "kb/vocabulary.yaml"


def _ask_ids(base: Base) -> dict[str, tuple[str, str]]:
    """Ids of the wording of each path: its own, or those of the question it takes it from."""
    question_of = {p: q for q in base.questions.values() for p in (*q.quantities, *q.answers)}
    found = {}
    for path, ask in base.vocabulary.asks.items():
        question, ids = question_of.get(path), (f"{path}.ask", f"{path}.how")
        if question is not None:
            if question.ask == ask.ask:
                ids = f"{question.observation}.ask", ids[1]
            if question.look[0] == ask.how:
                ids = ids[0], f"{question.observation}.look.1"
        found[path] = ids
    return found


def _rule(rule: Rule, book: TextBook) -> Rule:
    own = {f: book.texts.get(f"{rule.id}.{f}", getattr(rule, f)) for f in RULE_FIELDS}
    return replace(rule, **own)


def _question(question: Question, book: TextBook) -> Question:
    about = question.observation
    own = {f: book.texts.get(f"{about}.{f}", getattr(question, f)) for f in QUESTION_FIELDS}
    steps = enumerate(question.look, 1)
    look = tuple(book.texts.get(f"{about}.look.{i}", step) for i, step in steps)
    return replace(question, look=look, **own)


def _vocabulary(base: Base, book: TextBook) -> Vocabulary:
    vocabulary, texts = base.vocabulary, book.texts
    asks: dict[str, Ask] = {}
    for path, (ask, how) in _ask_ids(base).items():
        found = vocabulary.asks[path]
        asks[path] = replace(found, ask=texts.get(ask, found.ask), how=texts.get(how, found.how))
    needs = tuple(replace(n, text=texts.get(f"need.{n.name}", n.text)) for n in vocabulary.needs)
    rows = vocabulary.quantities.items()
    quantities = {p: replace(q, ask=asks[p].ask, how=asks[p].how) for p, q in rows}
    return replace(vocabulary, asks=asks, needs=needs, quantities=quantities)


def _kits(kits: KitBook, book: TextBook) -> KitBook:
    def own(item: KitItem) -> KitItem:
        said = {f: book.texts.get(f"in_kit.{item.id}.{f}", getattr(item, f)) for f in KIT_FIELDS}
        return replace(item, **said)

    return replace(
        kits,
        tools=tuple(map(own, kits.tools)),
        consumables=tuple(map(own, kits.consumables)),
        labels=tuple(map(own, kits.labels)),
        papers=tuple(map(own, kits.papers)),
        leave_out=tuple(map(own, kits.leave_out)),
    )


def _plain(texts: dict[str, str]) -> dict[str, str]:
    return {key: text.translate(PLAIN) for key, text in texts.items()}
