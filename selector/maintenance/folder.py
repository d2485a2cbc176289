"""A folder of files written whole or not at all, and only over one that was written here."""

import json
import os
import shutil
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from selector.errors import InputError

MARK = ".seamwright.json"  # lists what was written, so that nobody else's file is lost
SCHEMA = "folder/1"


def write_folder(target: Path, files: Mapping[str, str]) -> None:
    """Write texts by their relative names into `target`, which is replaced as a whole.

    InputError where something lies there that this function did not write, or where the
    folder cannot be written; the old folder then stays as it was.
    """
    where = Path(os.path.normpath(target.absolute()))
    _refuse_others(where, target)
    if not where.parent.is_dir():
        raise InputError.of("the folder above it is missing", "make it first", file=str(target))
    beside = where.with_name(f".{where.name}.{os.getpid()}.new")
    try:
        _fill(beside, files)
        _swap(where, beside)
    except OSError as error:
        reason = error.strerror or str(error)
        raise InputError.of(
            f"cannot be written: {reason}", "name another folder with --into", file=str(target)
        ) from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)


def _refuse_others(where: Path, target: Path) -> None:
    """What lies there must be a folder that was written here and nothing else."""
    if where == Path.cwd() or where in Path.cwd().parents:
        text = "this is the folder you stand in, or one above it"
        raise InputError.of(text, "name one beside or below it", file=str(target))
    if where.is_symlink() or (where.exists() and not where.is_dir()):
        raise InputError.of("is no folder", "name another one with --into", file=str(target))
    if not where.exists():
        return
    try:
        files = (p for p in where.rglob("*") if p.is_symlink() or not p.is_dir())
        found = {p.relative_to(where).as_posix() for p in files}
    except OSError as error:
        raise InputError.of(f"cannot be read: {error.strerror}", file=str(target)) from None
    others = sorted(found - _written(where))
    if others:
        shown = ", ".join(f"`{name}`" for name in others[:3])
        more = f" and {len(others) - 3} more" if len(others) > 3 else ""
        raise InputError.of(
            f"this folder holds files that were not written by this command: {shown}{more}",
            "name another folder with --into, or move them away",
            file=str(target),
        )


def _written(where: Path) -> set[str]:
    """Names that an earlier run wrote; none where its list is missing or spoiled."""
    try:
        mark = json.loads((where / MARK).read_text(encoding="utf-8"))
        if mark["schema"] == SCHEMA:
            return {MARK, *map(str, mark["files"])}
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        pass
    return set()


def _fill(folder: Path, files: Mapping[str, str]) -> None:
    mark = json.dumps({"schema": SCHEMA, "files": sorted(files)}, indent=0) + "\n"
    for name, text in {**files, MARK: mark}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")


def _swap(where: Path, beside: Path) -> None:
    """Put the new folder in the old one's place; the old one comes back if that fails."""
    if not where.exists():
        beside.rename(where)
        return
    old = where.with_name(f".{where.name}.{os.getpid()}.old")
    where.rename(old)
    try:
        beside.rename(where)
    except OSError:
        with suppress(OSError):
            old.rename(where)
        raise
    shutil.rmtree(old, ignore_errors=True)
