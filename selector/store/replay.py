"""An old answer given again with the old knowledge, and what today's knowledge says instead."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from selector.errors import InputError
from selector.explanation.language import speaking
from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.documents import documents_of
from selector.knowledge.loader import build
from selector.knowledge.yaml_reader import Document
from selector.store.answering import again, again_in_brief
from selector.store.changes import FileChange, fewest, file_changes, only_worded
from selector.store.differs import Data, Differs, differs
from selector.store.entry import Entry
from selector.store.program import program
from selector.store.store import Store

MOST_TRIES = 40  # bases that are built to find the fewest changes that bring the old word back
Tick = Callable[[float], None]


@dataclass(frozen=True)
class Today:
    """The same question to another base, and which of its changes bring the old word back."""

    base: str
    data: Data
    page: str
    differs: Differs
    changed: tuple[FileChange, ...]
    worded: int  # files that differ and give no word
    brought_back: tuple[str, ...]  # files that, put back as they were, give the old word
    fewest: bool  # whether it was shown that none of these can be left out


@dataclass(frozen=True)
class Replayed:
    """What was kept, what the old knowledge gives again, and what today's gives."""

    entry: Entry
    data: str  # answer/1 or swap/1 as it was kept
    page: str
    same: bool  # the old knowledge gives the same bytes again
    otherwise: Differs | None  # of this program with the old knowledge, where it does not
    other_program: bool
    fault: str  # why the old knowledge cannot be asked any more
    today: Today | None  # None where today's base is the old one
    today_fault: str


class Knowledge:
    """A base from its texts, and a judge for each language; made when first asked for, and kept."""

    def __init__(self, texts: dict[str, str]):
        self.texts = texts
        self.digest, self.documents = documents_of(texts)
        self._judges: dict[str, Judge] = {}

    @cached_property
    def base(self) -> Base:
        """The base; InputError where this program cannot read it."""
        return build(self.digest, self.documents)

    def judge(self, language: str) -> Judge:
        """A judge whose sentences are in a language; InputError where there is none."""
        if language not in self._judges:
            self._judges[language] = Judge(speaking(self.base, language))
        return self._judges[language]

    def with_old(self, old: "Knowledge", names: tuple[str, ...]) -> Base:
        """The base with these files as they were."""
        mixed: dict[str, Document] = {n: d for n, d in self.documents.items() if n not in names}
        mixed |= {n: old.documents[n] for n in names if n in old.documents}
        return build(self.digest, mixed)


def replay(
    store: Store,
    entry: Entry,
    then: Callable[[], Knowledge],
    today: Callable[[], Knowledge],
    tick: Tick,
) -> Replayed:
    """Both answers beside the kept one; the kept one stands whatever comes of them.

    `then` and `today` give the knowledge, or an InputError where this program cannot read it.
    """
    text, data, page = (store.text(h).decode() for h in entry.texts)
    kept: Data = json.loads(data)
    old, given, fault = None, None, ""
    try:
        old = then()
        given = again(entry, text, old.judge(entry.language))
    except InputError as error:
        fault = str(error.problems[0])
    tick(0.2)
    same = given is not None and (given.data(), given.page()) == (data, page)
    found, today_fault = None, ""
    try:
        if entry.base != (new := today()).digest:
            found = _today(entry, text, kept, old, new, tick)
    except InputError as error:
        today_fault = str(error.problems[0])
    return Replayed(
        entry=entry,
        data=data,
        page=page,
        same=same,
        otherwise=differs(kept, json.loads(given.data())) if given and not same else None,
        other_program=(entry.program, entry.code) != program(),
        fault=fault,
        today=found,
        today_fault=today_fault,
    )


def _today(
    entry: Entry, text: str, kept: Data, old: Knowledge | None, new: Knowledge, tick: Tick
) -> Today:
    given = again(entry, text, new.judge(entry.language))
    data: Data = json.loads(given.data())
    changed = file_changes(old.texts, new.texts) if old is not None else []
    back: tuple[str, ...] = ()
    shown = False
    if old is not None and data["word"] != kept["word"]:
        names = tuple(c.name for c in changed)
        back, shown = _brought_back(entry, text, old, new, names, tick)
    return Today(
        base=new.digest,
        data=data,
        page=given.page(),
        differs=differs(kept, data),
        changed=tuple(changed),
        worded=only_worded(old.texts, new.texts) if old is not None else 0,
        brought_back=back,
        fewest=shown,
    )


def _brought_back(
    entry: Entry,
    text: str,
    old: Knowledge,
    new: Knowledge,
    names: tuple[str, ...],
    tick: Tick,
) -> tuple[tuple[str, ...], bool]:
    """The fewest changed files that give the old word again when they are put back."""
    tried = 0

    def does(some: tuple[str, ...]) -> bool:
        nonlocal tried
        tried += 1
        tick(0.2 + 0.8 * min(tried / MOST_TRIES, 1.0))
        try:
            return again_in_brief(entry, text, new.with_old(old, some)).word.text == entry.word
        except InputError:  # what is left does not fit together
            return False

    if not names or not does(names):
        return (), False
    return fewest(names, does, MOST_TRIES)
