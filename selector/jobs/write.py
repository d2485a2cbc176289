"""Write a job file: all of it or nothing."""

import os
import tempfile
from pathlib import Path
from typing import Any

from selector.errors import InputError
from selector.jobs.migrate import NEWEST


def text_of(data: dict[str, Any]) -> str:
    """YAML of plain job data that the strict reader gives back unchanged."""
    import yaml

    class Writer(yaml.SafeDumper):
        """Quotes every text that YAML 1.1 would read as something else; no anchors."""

        def ignore_aliases(self, data: Any) -> bool:
            return True

    ordered = {
        "seamwright": f"job/{NEWEST}",
        **{k: v for k, v in data.items() if k != "seamwright"},
    }
    return yaml.dump(ordered, Dumper=Writer, sort_keys=False, allow_unicode=True, width=100)


def write_job(data: dict[str, Any], path: Path) -> None:
    """Replace `path` with the job in one step; on any error the old file stays."""
    folder = path.parent
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=folder)
    except OSError as error:
        raise InputError.of(f"cannot write here ({error.strerror})", file=str(path)) from None
    temporary = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text_of(data))
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
    except OSError as error:
        text = f"writing failed ({error.strerror}); the old file is unchanged"
        raise InputError.of(text, file=str(path)) from None
    finally:
        temporary.unlink(missing_ok=True)
