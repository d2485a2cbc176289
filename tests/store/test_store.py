"""The store loses nothing, changes nothing, and says what happened to it."""

import os
import re
import signal
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from selector.errors import InputError
from selector.knowledge.documents import digest_of
from selector.store import store as store_module
from selector.store import tables
from selector.store.entry import Event
from selector.store.place import usual_store
from selector.store.store import opened
from tests.conftest import ROOT
from tests.store.made import AT, BASE, entry, texts

WRITER = """
import sys
from pathlib import Path
from tests.store.made import AT, BASE, entry, texts
from selector.store.store import opened
path, job, number = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
for n in range(number):
    with opened(path, write=True) as store:
        event = store.keep(entry(n, job), texts(n, job), BASE, AT)
    print(event.seq, flush=True)
"""


def keep(path: Path, n: int = 1, job: str = "barn", at: str = AT) -> Event:
    with opened(path, write=True) as store:
        return store.keep(entry(n, job, at), texts(n, job), BASE, at)


def history(path: Path) -> list[Event]:
    with opened(path) as store:
        return list(store.history())


def fault(path: Path, *, write: bool = False) -> str:
    """What is said when a store cannot be used."""
    with pytest.raises(InputError) as caught, opened(path, write=write) as store:
        list(store.history())
        if write:
            store.keep(entry(99), texts(99), BASE, AT)
    return str(caught.value)


def bare(path: Path) -> sqlite3.Connection:
    """The file as another program would open it."""
    return sqlite3.connect(path, isolation_level=None)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "jobs.sqlite"


# --- keeping -------------------------------------------------------------------------------


def test_what_is_kept_comes_back_byte_for_byte(path: Path) -> None:
    keep(path, 1)
    keep(path, 2, "mill")
    keep(path, 3)
    with opened(path) as store:
        events = list(store.history())
        assert [(e.seq, e.entry.job, e.kind) for e in events] == [
            (1, "barn", "kept"),
            (2, "mill", "kept"),
            (3, "barn", "kept"),
        ]
        for n, event in enumerate(events, 1):
            kept = {h: store.text(h) for h in event.entry.texts}
            assert kept == texts(n, event.entry.job)
            assert store.base(event.entry.base) == BASE
    assert [e.entry.before for e in events] == ["", "", events[0].entry.hash]


def test_knowledge_is_kept_once_and_only_what_changed_is_added(path: Path) -> None:
    keep(path, 1)
    with bare(path) as db:
        [before] = db.execute("SELECT count(*) FROM texts").fetchone()
    other = BASE | {"rules/one.yaml": "id: two\n"}
    with opened(path, write=True) as store:
        store.keep(entry(1), texts(1), BASE, AT)  # nothing new but the entry
        store.keep(entry(2, base=other), texts(2, base=other), other, AT)
        assert store.base(digest_of(other)) == other
    with bare(path) as db:
        [after] = db.execute("SELECT count(*) FROM texts").fetchone()
    assert after - before == 3 + 1 + 1  # texts of an entry, the changed file, the list of files


def test_a_clock_that_was_set_back_is_said_and_the_number_counts(path: Path) -> None:
    keep(path, 1, at="2031-03-14T10:00:00+00:00")
    early = keep(path, 2, at="2029-01-01T10:00:00+00:00")
    late = keep(path, 3, at="2031-03-14T09:59:59+00:00")
    assert (early.early, late.early) == (True, True)
    assert [(e.seq, e.early) for e in history(path)] == [(1, False), (2, True), (3, True)]
    assert not keep(path, 4, at="2031-03-14T10:00:00+00:00").early


# --- nothing is changed --------------------------------------------------------------------


@pytest.mark.parametrize("table", ["texts", "bases", "entries", "history"])
def test_nothing_can_be_changed_or_taken_away(path: Path, table: str) -> None:
    keep(path)
    with bare(path) as db:
        row = db.execute(f"SELECT * FROM {table}").fetchone()
        column = db.execute(f"PRAGMA table_info({table})").fetchone()[1]
        marks = ", ".join("?" * len(row))
        for change in (
            f"UPDATE {table} SET {column} = {column}",
            f"DELETE FROM {table}",
            f"INSERT OR REPLACE INTO {table} VALUES ({marks})",
        ):
            with pytest.raises(sqlite3.IntegrityError, match=r"append-only|goes on by one"):
                db.execute(change, row if "?" in change else ())
    assert len(history(path)) == 1


TAMPERED = {
    "a word": "UPDATE entries SET content = replace(content, 'observe', 'allowed')",
    "a date": "UPDATE history SET at = '2030-01-01T00:00:00+00:00' WHERE seq = 2",
    "a line taken out": "DELETE FROM history WHERE seq = 2",
    "another order": "UPDATE history SET seq = seq + 10 WHERE seq = 1",
    "the head": "UPDATE history SET head = upper(head) WHERE seq = 3",
    "an entry taken out": "DELETE FROM entries WHERE hash = (SELECT entry FROM history LIMIT 1)",
    "no entry at all": "UPDATE entries SET content = 'nothing'",
    "another kind": "UPDATE history SET kind = 'imported' WHERE seq = 1",
}


@pytest.mark.parametrize("change", TAMPERED.values(), ids=TAMPERED)
def test_who_removes_the_triggers_is_found_out(path: Path, change: str) -> None:
    for n in (1, 2, 3):
        keep(path, n)
    with bare(path) as db:
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            db.execute(f"DROP TRIGGER {name}")
        db.execute(change)
    assert "this store was changed from outside" in fault(path)


def test_a_text_that_was_changed_is_found_out(path: Path) -> None:
    event = keep(path)
    with bare(path) as db:
        db.execute("DROP TRIGGER texts_no_update")
        packed = store_module.packed(b"id: barn\nnumber: 2\n")
        db.execute(
            "UPDATE texts SET packed = ?, size = 19 WHERE hash = ?",
            (packed, event.entry.job_text),
        )
    with opened(path) as store, pytest.raises(InputError, match="changed from outside: the text"):
        store.text(event.entry.job_text)


def test_packed_bytes_of_another_size_are_not_unpacked() -> None:
    packed = store_module.packed(b"x" * 1000)
    assert store_module.unpacked(packed, 1000) == b"x" * 1000
    for wrong in (999, 1001, 0):
        assert store_module.unpacked(packed, wrong) is None
    assert store_module.unpacked(packed[:-1], 1000) is None
    assert store_module.unpacked(packed + b"y", 1000) is None
    assert store_module.unpacked(b"no zlib", 7) is None


def test_the_base_of_an_entry_must_have_its_digest(path: Path) -> None:
    keep(path)
    with bare(path) as db:
        for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'"):
            db.execute(f"DROP TRIGGER {name}")
        db.execute("UPDATE bases SET digest = 'd'")
    with opened(path) as store:
        with pytest.raises(InputError, match="is gone"):
            store.base(digest_of(BASE))
        with pytest.raises(InputError, match="is not the one that was kept"):
            store.base("d")


# --- other files ---------------------------------------------------------------------------


def test_a_store_that_is_not_there_is_not_made_by_reading(path: Path) -> None:
    assert "nothing was kept yet" in fault(path)
    assert not path.exists()


def test_a_store_is_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folder" / "jobs.sqlite"
    keep(path)
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.parent.stat().st_mode & 0o777 == 0o700


def test_other_files_are_refused_and_left_alone(path: Path) -> None:
    path.write_bytes(b"not a database, but long enough to be looked at " * 40)
    before = path.read_bytes()
    assert "this is no store of jobs" in fault(path, write=True)
    assert path.read_bytes() == before
    path.unlink()
    with bare(path) as db:
        db.execute("CREATE TABLE theirs (x)")
    assert "the file of another program" in fault(path, write=True)


def test_a_newer_store_is_refused(path: Path) -> None:
    keep(path)
    with bare(path) as db:
        db.execute(f"PRAGMA user_version = {tables.NEWEST + 1}")
    assert "install a newer version" in fault(path)


def test_an_older_store_is_brought_up_to_date_step_by_step(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(path)
    newest = tables.NEWEST
    monkeypatch.setitem(tables.STEPS, newest, ("ALTER TABLE bases ADD COLUMN first TEXT",))
    monkeypatch.setitem(tables.STEPS, newest + 1, ("CREATE TABLE more (x)",))
    monkeypatch.setattr(tables, "NEWEST", newest + 2)
    monkeypatch.setattr(store_module, "NEWEST", newest + 2)
    assert len(history(path)) == 1
    with bare(path) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (newest + 2,)
        assert db.execute("SELECT first FROM bases").fetchall() == [(None,)]
        assert db.execute("SELECT * FROM more").fetchall() == []


def test_a_step_that_fails_leaves_the_store_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(path)
    newest = tables.NEWEST
    with monkeypatch.context() as patch:
        patch.setitem(tables.STEPS, newest, ("CREATE TABLE more (x)", "no statement"))
        patch.setattr(tables, "NEWEST", newest + 1)
        patch.setattr(store_module, "NEWEST", newest + 1)
        assert "the store cannot be used" in fault(path)
    assert len(history(path)) == 1
    with bare(path) as db:
        found = db.execute("SELECT count(*) FROM sqlite_master WHERE name = 'more'").fetchone()
    assert found == (0,)


def test_a_damaged_file_is_named_as_one(path: Path) -> None:
    for n in range(40):
        keep(path, n)
    data = bytearray(path.read_bytes())
    for start in range(4096, len(data), 4096):
        data[start : start + 200] = b"\xff" * 200
    path.write_bytes(data)
    said = fault(path)
    assert "damaged" in said or "changed from outside" in said


@pytest.mark.skipif(sys.platform in ("darwin", "win32"), reason="folders of Linux")
def test_the_usual_place(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    # the XDG base directory specification: an empty or relative XDG_DATA_HOME does not count
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert usual_store() == tmp_path / "data/seamwright/jobs.sqlite"
    for value in ("", "relative/data"):
        monkeypatch.setenv("XDG_DATA_HOME", value)
        assert usual_store() == tmp_path / ".local/share/seamwright/jobs.sqlite"


# --- trouble -------------------------------------------------------------------------------


def writer(path: Path, job: str, number: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", WRITER, str(path), job, str(number)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def test_two_processes_write_at_once(path: Path) -> None:
    both = [writer(path, job, 25) for job in ("barn", "mill")]
    told = [int(n) for p in both for n in p.communicate(timeout=300)[0].split()]
    assert [p.returncode for p in both] == [0, 0]
    assert sorted(told) == list(range(1, 51))
    events = history(path)
    assert [e.seq for e in events] == list(range(1, 51))
    for job in ("barn", "mill"):
        mine = [e.entry for e in events if e.entry.job == job]
        assert [e.note for e in mine] == [f"call {n}" for n in range(25)]
        assert [e.before for e in mine] == ["", *(e.hash for e in mine[:-1])]


@pytest.mark.parametrize("told_before", [1, 2, 5, 9, 14])
def test_what_was_told_survives_a_kill(path: Path, told_before: int) -> None:
    process = writer(path, "barn", 10_000)
    assert process.stdout is not None
    told = [int(process.stdout.readline()) for _ in range(told_before)]
    os.kill(process.pid, signal.SIGKILL)
    told += [int(n) for n in process.stdout.read().split()]
    process.wait()
    events = history(path)
    assert [e.seq for e in events][: len(told)] == told
    assert len(events) - len(told) <= 1  # kept, and killed before it could say so
    assert keep(path, 1, "mill").seq == len(events) + 1
    with opened(path) as store:
        for event in events:
            assert {h: store.text(h) for h in event.entry.texts}


KILLED = """
import os, random, signal, sys
from dataclasses import replace
from pathlib import Path
from selector.store.hashes import hash_of
from selector.store.store import Store, opened
from tests.store.made import AT, BASE, entry, texts
big = random.Random(1).randbytes(8_000_000)  # more than the database holds in memory
made = replace(entry(2), job_text=hash_of(big))
add_text = Store._add_text

def and_die(store, hashed, data):
    add_text(store, hashed, data)
    if data is not big:
        os.kill(os.getpid(), signal.SIGKILL)

Store._add_text = and_die
with opened(Path(sys.argv[1]), write=True) as store:
    store.keep(made, {**texts(2), hash_of(big): big}, BASE, AT)
"""


def test_a_kill_in_the_middle_of_a_write_leaves_nothing_of_it(path: Path) -> None:
    """Pages of the answer are in the file already; the journal beside it takes them back."""
    keep(path, 1)
    before, size = history(path), path.stat().st_size
    ran = subprocess.run([sys.executable, "-c", KILLED, str(path)], cwd=ROOT, timeout=120)
    assert ran.returncode == -signal.SIGKILL
    assert path.stat().st_size > size and Path(f"{path}-journal").exists()
    assert history(path) == before
    assert (path.stat().st_size, Path(f"{path}-journal").exists()) == (size, False)
    assert keep(path, 2).seq == 2


FULL = """
import resource, sys
from pathlib import Path
from selector.errors import InputError
from tests.store.made import AT, BASE, entry
from selector.store.hashes import hash_of
from selector.store.store import opened
path = Path(sys.argv[1])
most = path.stat().st_size + 20_000
resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))  # no file may grow beyond that
import random
big = random.Random(1).randbytes(200_000).hex().encode()
made = entry(2).__dict__ | {"job_text": hash_of(big)}
from selector.store.entry import entry_of
made = entry_of({k: v for k, v in made.items() if k != "hash"})
from tests.store.made import texts
try:
    with opened(path, write=True) as store:
        store.keep(made, {**texts(2), hash_of(big): big}, BASE, AT)
except InputError as error:
    print(error)
"""


def test_a_full_disk_loses_nothing(path: Path) -> None:
    for n in (1, 2, 3):
        keep(path, n)
    before = history(path)
    ran = subprocess.run(
        [sys.executable, "-c", FULL, str(path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert ran.returncode == 0, ran.stderr
    assert re.search(r"disk (is full|does not take it)", ran.stdout), ran.stdout + ran.stderr
    assert "nothing was added, all before it stands" in ran.stdout
    assert history(path) == before
    assert keep(path, 4).seq == 4


NOBODY = """
import os, sys
from pathlib import Path
import encodings.idna
from selector.errors import InputError
from tests.store.made import AT, BASE, entry, texts
from selector.store.store import opened
if os.geteuid() == 0:
    os.setresuid(65534, 65534, 65534)  # root may write everywhere
path = Path(sys.argv[1])
try:
    with opened(path, write=True) as store:
        store.keep(entry(9), texts(9), BASE, AT)
except InputError as error:
    print(error)
if path.exists():
    with opened(path) as store:
        events = list(store.history())
        print(len(events), "read,", len(store.base(events[0].entry.base)), "files")
"""


def nobody(path: Path) -> str:
    ran = subprocess.run(
        [sys.executable, "-c", NOBODY, str(path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def test_a_home_that_cannot_be_written() -> None:
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        home.chmod(0o555)
        said = nobody(home / "data" / "jobs.sqlite")
        assert "the store cannot be opened (Permission denied); nothing was kept" in said
        assert list(home.iterdir()) == []
        home.chmod(0o755)


def test_a_store_that_may_only_be_read_is_read() -> None:
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        keep(home / "jobs.sqlite")
        (home / "jobs.sqlite").chmod(0o444)
        home.chmod(0o555)
        said = nobody(home / "jobs.sqlite")
        assert "nothing was kept" in said
        assert "1 read, 2 files" in said
        home.chmod(0o755)


def test_a_store_that_another_process_holds(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep(path)
    monkeypatch.setattr(store_module, "WAIT_S", 0.05)
    with bare(path) as db:
        db.execute("BEGIN EXCLUSIVE")
        assert "another process keeps the store busy" in fault(path, write=True)
        db.execute("ROLLBACK")
    assert len(history(path)) == 1
