"""Write a job or another file: all of it or nothing."""

import errno
import os
import re
import tempfile
from pathlib import Path
from typing import Any

from selector.errors import InputError
from selector.jobs.migrate import NEWEST

_BREAKS = re.compile("[\x85\u2028\u2029]")


def text_of(data: dict[str, Any]) -> str:
    """YAML of plain job data that the strict reader gives back unchanged."""
    import yaml

    class Writer(yaml.SafeDumper):
        """Quotes every text that YAML 1.1 would read as something else; no anchors."""

        def ignore_aliases(self, data: Any) -> bool:
            return True

        def analyze_scalar(self, scalar: str) -> Any:
            analysis = super().analyze_scalar(scalar)
            if _BREAKS.search(scalar):  # only a double-quoted text brings these back unchanged
                analysis.allow_flow_plain = analysis.allow_block_plain = False
                analysis.allow_single_quoted = analysis.allow_block = False
            return analysis

    ordered = {
        "seamwright": f"job/{NEWEST}",
        **{k: v for k, v in data.items() if k != "seamwright"},
    }
    return yaml.dump(ordered, Dumper=Writer, sort_keys=False, allow_unicode=True, width=100)


def _usual_rights() -> int:
    """What a new file gets from the user's own mask."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _put(temporary: Path, path: Path) -> None:
    """Give a whole file its name; FileExistsError where another has it by now."""
    try:
        path.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:  # a disk without links
        if path.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        temporary.replace(path)


def write_job(data: dict[str, Any], path: Path, *, new: bool = False) -> None:
    """Replace `path` with the job in one step; on any error the old file stays.

    A `new` file is never written over one that is there, InputError then.
    """
    write_whole(text_of(data), path, new=new)


def try_folder(path: Path) -> None:
    """InputError where no file can be made beside this path; what is made for it is gone again."""
    handle, name = _beside(path)
    os.close(handle)
    Path(name).unlink()


def _beside(path: Path) -> tuple[int, str]:
    """A new temporary file in the folder of a path: handle and name."""
    try:
        return tempfile.mkstemp(prefix=f".{path.name}."[:100], dir=path.parent)
    except OSError as error:
        raise InputError.of(f"cannot write here ({error.strerror})", file=str(path)) from None


def write_whole(data: str | bytes, path: Path, *, new: bool = False) -> None:
    """Replace `path` in one step, or make it `new`; on any error the old file stays."""
    path = path.resolve()  # a link to a job stays a link
    try:
        rights = path.stat().st_mode & 0o777 if path.exists() else None
    except OSError as error:
        raise InputError.of(f"cannot write here ({error.strerror})", file=str(path)) from None
    handle, name = _beside(path)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data if isinstance(data, bytes) else data.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(_usual_rights() if rights is None else rights)
        if new:
            _put(temporary, path)
        else:
            temporary.replace(path)
    except OSError as error:
        left = "nothing was written" if new else "the old file is unchanged"
        fault = f"writing failed ({error.strerror}); {left}"
        raise InputError.of(fault, file=str(path)) from None
    finally:
        temporary.unlink(missing_ok=True)
