"""The rows of a recheck as a file of lines, which a later run of the same command goes on with."""

import json
import os
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from selector.errors import InputError
from selector.store.rows import Row
from selector.store.tasks import Task

SCHEMA = "recheck/1"


class OutFile:
    """An open file of rows below one head. Every line in it is whole, also after a crash."""

    def __init__(self, handle: int, shown: str, head: Row):
        self._handle = handle
        self._shown = shown
        self._head: Row = {"schema": SCHEMA, **head}

    def begun(self) -> int:
        """How many rows stand here already; a last line that is not whole is taken off.

        InputError where it is another file, or of another base or program.
        """
        self._lock()
        whole, count = 0, -1
        for line in self._lines():
            row = _read(line)
            if row is None and (count >= 0 or self._first_of_head(line)):
                break
            if count < 0 and row != self._head:
                text = "this file is no recheck by this base and this program"
                raise InputError.of(text, "name another file with `--out`", file=self._shown)
            whole, count = whole + len(line), count + 1
        os.ftruncate(self._handle, whole)
        if count < 0:
            self.add([self._head])
        return max(count, 0)

    def past(self, tasks: Iterator[Task]) -> Iterator[Task]:
        """The tasks that have no row yet; InputError where a row is of another job."""
        for number, row in enumerate(self.rows(), 2):
            task = next(tasks, None)
            if task is None or (row.get("name"), row.get("state")) != (task.name, task.state):
                text = f"the jobs are others than when this file was begun: `{row.get('name')}`"
                remedy = "name another file with `--out`"
                raise InputError.of(text, remedy, file=self._shown, line=number)
        return tasks

    def rows(self) -> Iterator[Row]:
        """Every row, one at a time."""
        lines = self._lines()
        next(lines, None)
        for line in lines:
            row = _read(line)
            if row is not None:
                yield row

    def add(self, rows: Iterable[Row]) -> None:
        """Write rows and see them on the disk; InputError where it does not take them."""
        data = b"".join(map(_line, rows))
        end = os.lseek(self._handle, 0, os.SEEK_END)
        try:
            while data:
                data = data[os.write(self._handle, data) :]
            os.fsync(self._handle)
        except OSError as error:
            with suppress(OSError):  # else the next run takes off what is not whole
                os.ftruncate(self._handle, end)
            text = f"writing failed ({error.strerror}); the rows before stand"
            remedy = "make room and give the same command again: it goes on from there"
            raise InputError.of(text, remedy, file=self._shown) from None

    def _lines(self) -> Iterator[bytes]:
        os.lseek(self._handle, 0, os.SEEK_SET)
        with os.fdopen(os.dup(self._handle), "rb") as file:
            yield from file

    def _first_of_head(self, line: bytes) -> bool:
        """Whether a line is a head that was not written to its end."""
        return _line(self._head).startswith(line)

    def _lock(self) -> None:
        """Keep every other recheck out of this file while it is open."""
        try:
            import fcntl
        except ImportError:  # not on this system
            return
        try:
            fcntl.flock(self._handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            text = "another recheck writes this file"
            raise InputError.of(text, "wait for it, or name another", file=self._shown) from None


def _line(row: Row) -> bytes:
    return (json.dumps(row, ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def _read(line: bytes) -> dict[str, Any] | None:
    try:
        found = json.loads(line) if line.endswith(b"\n") else None
    except ValueError:
        return None
    return found if isinstance(found, dict) else None


@contextmanager
def rows_file(path: Path | None, head: Row) -> Iterator[OutFile]:
    """The file to write rows to, or one that is gone when it is closed."""
    if path is None:
        with tempfile.TemporaryFile() as file:
            yield OutFile(file.fileno(), "", head)
        return
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise InputError.of(f"cannot write here ({error.strerror})", file=str(path)) from None
    try:
        yield OutFile(handle, str(path), head)
    finally:
        os.close(handle)
