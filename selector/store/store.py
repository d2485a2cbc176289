"""The store on disk: one SQLite file, to which answers are only ever added.

A rollback journal and not a write-ahead log: one file, readable from a folder that nobody may
write to and from a network folder; what is written is rare and small. Every write is one
transaction that is begun at once (`BEGIN IMMEDIATE`) and waits for the other process.
"""

import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from json import JSONDecodeError, loads
from pathlib import Path
from typing import Any
from urllib.parse import quote
from zlib import compress, decompressobj
from zlib import error as zlib_error

from selector.errors import InputError
from selector.knowledge.documents import digest_of
from selector.store.entry import Entry, Event, entry_of, line_of
from selector.store.hashes import canonical, hash_of, linked
from selector.store.tables import NEWEST, bring_up_to_date, version_of

WAIT_S = 30.0  # for another process that writes
PAGE = 200  # lines that are read at once
FIRST, BEYOND = -(2**63), 2**63 - 1  # before and after the number of any line
TAMPERED = "this store was changed from outside"
RESTORE = "take it from a backup; an export of the job can be imported into a new store"
Texts = dict[str, bytes]  # by hash


class Store:
    """An open store; InputError where it is damaged, locked, full or not to be written."""

    def __init__(self, path: Path, connection: sqlite3.Connection):
        self.path = path
        self._db = connection

    # --- reading -----------------------------------------------------------------------

    def history(self) -> Iterator[Event]:
        """Every line in order, each checked against the one before; InputError where one lies."""
        head, latest = "", ""
        rows = self._paged(
            "SELECT h.seq, h.kind, h.at, h.entry, h.head, e.content"
            " FROM history h LEFT JOIN entries e ON e.hash = h.entry"
            " WHERE h.seq > ? ORDER BY h.seq LIMIT ?",
            FIRST,
        )
        for number, (seq, kind, at, hashed, own, content) in enumerate(rows, 1):
            head = linked(head, line_of(seq, kind, at, hashed))
            if seq != number or head != own:
                raise self._tampered(f"line {number} of its history does not follow the one before")
            entry = self._entry(hashed, content)
            if entry.before and not self._stands_above(entry.before, seq):
                raise self._tampered(f"entry {seq} names one before it that is not there")
            yield Event(seq, kind, at, entry, own, at < latest)
            latest = max(at, latest)

    def pick(self, events: Iterable[Event], alike: Callable[[Event], str]) -> int:
        """Set lines aside, of those with an equal `alike` the last; how many they are.

        They lie in a file of the database's own, so that any number of them takes no memory.
        """
        self._db.execute("DROP TABLE IF EXISTS temp.picked")
        self._db.execute(
            "CREATE TEMP TABLE picked"
            " (alike TEXT PRIMARY KEY, seq INTEGER NOT NULL UNIQUE, early INTEGER NOT NULL)"
        )
        for event in events:
            row = (alike(event), event.seq, event.early)
            self._db.execute("INSERT OR REPLACE INTO picked VALUES (?, ?, ?)", row)
        [number] = self._db.execute("SELECT count(*) FROM picked").fetchone()
        return int(number)

    def picked(self, *, newest_first: bool = False) -> Iterator[Event]:
        """The lines that were set aside, by their number."""
        beyond, order = ("<", "DESC") if newest_first else (">", "ASC")
        rows = self._paged(
            "SELECT h.seq, h.kind, h.at, h.entry, h.head, e.content, p.early"
            " FROM picked p JOIN history h ON h.seq = p.seq LEFT JOIN entries e ON e.hash = h.entry"
            f" WHERE p.seq {beyond} ? ORDER BY p.seq {order} LIMIT ?",
            BEYOND if newest_first else FIRST,
        )
        for seq, kind, at, hashed, own, content, early in rows:
            yield Event(seq, kind, at, self._entry(hashed, content), own, bool(early))

    def jobs(self, last: int) -> int:
        """How many jobs the lines up to a number are of."""
        [number] = self._db.execute(
            "SELECT count(DISTINCT e.job) FROM history h JOIN entries e ON e.hash = h.entry"
            " WHERE h.seq <= ?",
            (last,),
        ).fetchone()
        return int(number)

    def text(self, hashed: str) -> bytes:
        """A kept text; InputError where it is gone or is not what its hash says."""
        row = self._db.execute(
            "SELECT size, packed FROM texts WHERE hash = ?", (hashed,)
        ).fetchone()
        data = None if row is None else unpacked(row[1], row[0])
        if data is None or hash_of(data) != hashed:
            raise self._tampered(f"the text {hashed[:12]} is not the one that was kept")
        return data

    def base(self, digest: str) -> dict[str, str]:
        """Texts of the files of a base by name."""
        row = self._db.execute("SELECT files FROM bases WHERE digest = ?", (digest,)).fetchone()
        if row is None:
            raise self._tampered(f"the knowledge {digest[:12]} is gone")
        files = loads(self.text(row[0]))
        texts = {name: self.text(hashed).decode() for name, hashed in files}
        if digest_of(texts) != digest:
            raise self._tampered(f"the knowledge {digest[:12]} is not the one that was kept")
        return texts

    def _paged(self, query: str, after: int) -> Iterator[tuple[Any, ...]]:
        """Rows by number; no lock stands in the way of who writes while one is looked at."""
        while rows := self._db.execute(query, (after, PAGE)).fetchall():
            yield from rows
            after = rows[-1][0]

    def _stands_above(self, hashed: str, seq: int) -> bool:
        line = (hashed, seq)
        found = self._db.execute("SELECT 1 FROM history WHERE entry = ? AND seq < ?", line)
        return found.fetchone() is not None

    def _entry(self, hashed: str, content: str | None) -> Entry:
        try:
            entry = entry_of(loads(content or "null"))
        except (ValueError, JSONDecodeError) as error:
            raise self._tampered(f"the entry {hashed[:12]} cannot be read: {error}") from None
        if entry.hash != hashed:
            raise self._tampered(f"the entry {hashed[:12]} is not the one that was kept")
        return entry

    def _tampered(self, what: str) -> InputError:
        return InputError.of(f"{TAMPERED}: {what}", RESTORE, file=str(self.path))

    # --- adding ------------------------------------------------------------------------

    def keep(self, entry: Entry, texts: Texts, base: dict[str, str], at: str) -> Event:
        """Add an entry of here; the one before of the same job is put into it. All or nothing."""
        with self._adding():
            row = self._db.execute(
                "SELECT h.entry FROM history h JOIN entries e ON e.hash = h.entry"
                " WHERE e.job = ? ORDER BY h.seq DESC LIMIT 1",
                (entry.job,),
            ).fetchone()
            entry = Entry(**{**asdict(entry), "before": row[0] if row else ""})
            self._add_base(entry.base, base)
            return self._add(entry, texts, "kept", at)

    def bring(
        self, entries: list[Entry], texts: Texts, bases: dict[str, dict[str, str]], at: str
    ) -> list[Event]:
        """Add entries that were kept elsewhere, those that are here already left out."""
        added = []
        with self._adding():
            for entry in entries:
                if self._has("entries", "hash", entry.hash):
                    continue
                self._add_base(entry.base, bases[entry.base])
                added.append(self._add(entry, texts, "imported", at))
        return added

    @contextmanager
    def _adding(self) -> Iterator[None]:
        self._db.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._db.execute("COMMIT")
        except BaseException:
            if self._db.in_transaction:  # a full disk has rolled it back already
                self._db.execute("ROLLBACK")
            raise

    def _add(self, entry: Entry, texts: Texts, kind: str, at: str) -> Event:
        for hashed in entry.texts:
            self._add_text(hashed, texts[hashed])
        content = canonical(asdict(entry)).decode()
        row = (entry.hash, entry.job, entry.base, content)
        self._db.execute("INSERT INTO entries VALUES (?, ?, ?, ?)", row)
        last = self._db.execute("SELECT seq, head FROM history ORDER BY seq DESC LIMIT 1")
        seq, head = last.fetchone() or (0, "")
        [latest] = self._db.execute("SELECT coalesce(max(at), '') FROM history").fetchone()
        seq += 1
        own = linked(head, line_of(seq, kind, at, entry.hash))
        line = (seq, kind, at, entry.hash, own)
        self._db.execute("INSERT INTO history VALUES (?, ?, ?, ?, ?)", line)
        return Event(seq, kind, at, entry, own, at < latest)

    def _add_base(self, digest: str, texts: dict[str, str]) -> None:
        if self._has("bases", "digest", digest):
            return
        files = []
        for name in sorted(texts):
            data = texts[name].encode()
            files.append([name, hash_of(data)])
            self._add_text(files[-1][1], data)
        listed = canonical(files)
        self._add_text(hash_of(listed), listed)
        self._db.execute("INSERT INTO bases VALUES (?, ?)", (digest, hash_of(listed)))

    def _add_text(self, hashed: str, data: bytes) -> None:
        if not self._has("texts", "hash", hashed):
            row = (hashed, len(data), packed(data))
            self._db.execute("INSERT INTO texts VALUES (?, ?, ?)", row)

    def _has(self, table: str, column: str, value: str) -> bool:
        found = self._db.execute(f"SELECT 1 FROM {table} WHERE {column} = ?", (value,))
        return found.fetchone() is not None


def packed(data: bytes) -> bytes:
    """Bytes packed for the disk."""
    return compress(data, 9)


def unpacked(packed: bytes, size: int) -> bytes | None:
    """Packed bytes of a known size; None where they are others, and never more than that."""
    try:
        work = decompressobj()
        data = work.decompress(packed, max(size, 1))
        whole = work.eof and not work.unused_data
    except (zlib_error, TypeError, ValueError):
        return None
    return data if whole and len(data) == size else None


@contextmanager
def opened(path: Path, *, write: bool = False) -> Iterator[Store]:
    """A store, closed afterwards; one that is written to is made where there is none."""
    try:
        connection = _connected(path, write)
        try:
            _prepare(path, connection)
            yield Store(path, connection)
        finally:
            connection.close()
    except sqlite3.Error as error:
        raise _in_words(path, error) from None


def _connected(path: Path, write: bool) -> sqlite3.Connection:
    try:
        if write:
            _make(path)
        elif not path.is_file():
            text = "there is no store here; nothing was kept yet"
            raise InputError.of(text, "keep an answer with `seamwright jobs keep`", file=str(path))
        where = f"file:{quote(str(path.resolve()))}?mode=rw"
    except OSError as error:
        text = f"the store cannot be opened ({error.strerror}); nothing was kept"
        raise InputError.of(text, "name another file with `--store`", file=str(path)) from None
    return sqlite3.connect(where, uri=True, timeout=WAIT_S, isolation_level=None)


def _make(path: Path) -> None:
    """An empty file where there is none; what people said of their roofs is for its owner alone."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))


def _prepare(path: Path, connection: sqlite3.Connection) -> None:
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA recursive_triggers = ON")  # a replaced row is a deleted one
    connection.execute("PRAGMA synchronous = EXTRA")  # a power cut loses nothing that was told
    version = version_of(connection)
    if version < 0:
        raise InputError.of("this is the file of another program", "name another", file=str(path))
    if version > NEWEST:
        text = f"this store has version {version}; this program reads {NEWEST}"
        raise InputError.of(text, "install a newer version", file=str(path))
    if version < NEWEST:
        bring_up_to_date(connection)


def _in_words(path: Path, error: sqlite3.Error) -> InputError:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    kept = "nothing was added, all before it stands"
    text, remedy = {
        sqlite3.SQLITE_FULL: (f"the disk is full; {kept}", "make room and try again"),
        sqlite3.SQLITE_IOERR: (f"the disk does not take it ({error}); {kept}", "look at the disk"),
        sqlite3.SQLITE_READONLY: (f"the store may not be written; {kept}", "look at its rights"),
        sqlite3.SQLITE_CANTOPEN: (f"the store cannot be opened; {kept}", "look at its rights"),
        sqlite3.SQLITE_PERM: (f"the store may not be opened; {kept}", "look at its rights"),
        sqlite3.SQLITE_BUSY: (f"another process keeps the store busy; {kept}", "try it again"),
        sqlite3.SQLITE_NOTADB: ("this is no store of jobs", "name another file with `--store`"),
        sqlite3.SQLITE_CORRUPT: ("the file of this store is damaged", RESTORE),
    }.get(code, (f"the store cannot be used ({error}); {kept}", RESTORE))
    return InputError.of(text, remedy, file=str(path))
