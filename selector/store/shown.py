"""What of the store a person reads: the list, one entry with the history of its job."""

from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from selector.explanation.texts import Texts
from selector.explanation.why.sheet import Sheet, lines, row_lines
from selector.knowledge.yaml_reader import read_string
from selector.store.entry import Asked, Entry, Event
from selector.store.find import Found
from selector.store.store import Store

COLUMNS = (6, 18, 11, 17, 20)
SHOWN = 20
MOST_PATHS = 6
SHORT = 12  # of a hash


def about(asked: Asked, texts: Texts) -> str:
    """What was asked, in one line."""
    name = str(asked.get("array") or asked.get("stack") or texts.word(str(asked.get("act", ""))))
    return texts.say(f"store.about.{asked['kind']}", name=name)


def when(at: str) -> str:
    """A time as read: date and minute."""
    return at[:16].replace("T", " ")


def list_page(
    path: Path, found: Found, texts: Texts, most: int | None, width: int
) -> Iterator[str]:
    """The lines of the list, newest first; of every entry without a `most`."""
    say = texts.say
    entries, jobs = say("store.entries", n=found.entries), say("store.same_jobs", n=found.jobs)
    yield from lines(say("store.list.head", path=path, entries=entries, jobs=jobs), width)
    if found.head:
        yield from lines(say("store.list.chain", head=found.head[:SHORT]), width)
    yield ""
    if not found.number:
        yield from lines(say("store.list.nothing"), width)
        return
    heads = ("number", "when", "word", "job", "asked")
    yield from row_lines(tuple(say(f"store.list.{name}") for name in heads), COLUMNS)
    early = False
    for event in islice(found.newest_first(), most):
        yield from row_lines(_row(event, texts), COLUMNS)
        early = early or event.early
    if most is not None and found.number > most:
        yield from lines(say("store.list.more", n=found.number - most), width)
    if early:
        yield ""
        yield from lines(say("store.list.early"), width)


def _row(event: Event, texts: Texts) -> tuple[str, ...]:
    entry = event.entry
    mark = "*" if event.early else ""
    word = texts.word(entry.word)
    return f"{event.seq}{mark}", when(entry.at), word, entry.job, about(entry.asked, texts)


def show_page(store: Store, event: Event, every: Iterable[Event], texts: Texts, width: int) -> str:
    """One entry: what was asked of what, the history of its job, and the answer as printed."""
    sheet, say, entry = Sheet(width), texts.say, event.entry
    head(sheet, event, texts)
    mine = [e for e in every if e.entry.job == entry.job and e.seq <= event.seq]
    sheet.head(say("store.show.papers"))
    data = _data(store, entry)
    for line in _papers(data, texts):
        sheet.add("  ", line)
    sheet.head(say("store.show.history"))
    for number, each in enumerate(mine):
        _of_history(sheet, store, each, mine[number - 1] if number else None, texts)
    if data.get("log"):
        sheet.head(say("store.show.log"))
        for row in data["log"]:
            told = {k: row.get(k, "") for k in ("dated", "by", "text")}
            sheet.add("  ", say("store.show.log_line", **told))
    sheet.head(say("store.show.answer_head"))
    return "\n".join(sheet.lines) + "\n\n" + store.text(entry.screen).decode()


def head(sheet: Sheet, event: Event, texts: Texts) -> None:
    """What an entry is."""
    say, entry = texts.say, event.entry
    sheet.add("", say("store.show.title", job=entry.job, seq=event.seq))
    sheet.add("  ", say("store.show.asked", about=about(entry.asked, texts), as_of=entry.as_of))
    word = texts.word(entry.word)
    sheet.add("  ", say("store.show.answer", word=word, exit=entry.exit))
    by = _by(entry, texts)
    early = say("store.show.early") if event.early else ""
    if event.kind == "imported":
        at, kept = when(event.at), when(entry.at)
        sheet.add("  ", say("store.show.imported", at=at, kept=kept, by=by, early=early))
    else:
        sheet.add("  ", say("store.show.when", at=when(entry.at), by=by, early=early))
    if entry.note:
        sheet.add("  ", say("store.show.note", note=entry.note))
    sheet.add("  ", say("store.show.knowledge", digest=entry.base[:SHORT]))
    sheet.add("  ", say("store.program", version=entry.program, code=entry.code[:SHORT]))
    sheet.add("  ", say("store.show.file", file=entry.file, language=entry.language))
    before = entry.before[:SHORT] or say("store.show.first")
    sheet.add("  ", say("store.show.hash", hash=entry.hash[:SHORT], before=before))


def _by(entry: Entry, texts: Texts) -> str:
    return texts.say("store.show.by", by=entry.by) if entry.by else ""


def _papers(data: dict[str, Any], texts: Texts) -> Iterator[str]:
    say = texts.say
    for key, paper in data.get("papers", {}).items():
        covers = ", ".join(map(str, paper.get("covers", ()))) or say("store.show.covers_nothing")
        kind, dated = texts.word(str(paper.get("kind"))), paper.get("dated")
        yield say("store.show.paper", key=key, kind=kind, dated=dated, covers=covers)
    if not data.get("papers"):
        yield say("store.show.no_papers")


def _of_history(
    sheet: Sheet, store: Store, event: Event, before: Event | None, texts: Texts
) -> None:
    say, entry = texts.say, event.entry
    word, asked = texts.word(entry.word), about(entry.asked, texts)
    told = {"seq": event.seq, "at": when(entry.at), "by": _by(entry, texts)}
    early = say("store.show.early") if event.early else ""
    sheet.add("  ", say("store.show.line", **told, word=word, about=asked) + early)
    if before is None:
        return
    paths = changed_paths(_data(store, before.entry), _data(store, entry))
    if not paths:
        sheet.add("     ", say("store.show.as_before"))
        return
    shown = paths[:MOST_PATHS]
    if len(paths) > MOST_PATHS:
        shown.append(say("store.show.more", n=len(paths) - MOST_PATHS))
    sheet.add("     ", say("store.show.changed", paths=", ".join(shown)))


def _data(store: Store, entry: Entry) -> dict[str, Any]:
    found = read_string(store.text(entry.job_text).decode(), entry.file).data
    return found if isinstance(found, dict) else {}


def changed_paths(old: Any, new: Any, at: str = "") -> list[str]:
    """Where two jobs differ: the shallowest places below which one of them is otherwise."""
    if old == new:
        return []
    if not isinstance(old, dict) or not isinstance(new, dict) or at.count(".") > 3:
        return [at]
    keys = dict.fromkeys((*old, *new))
    return [
        path
        for key in keys
        for path in changed_paths(old.get(key), new.get(key), f"{at}.{key}".lstrip("."))
    ]
