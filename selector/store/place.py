"""Where the store of a user lies."""

import os
import sys
from pathlib import Path

from selector.errors import InputError

NAME = "jobs.sqlite"


def usual_store() -> Path:
    """The store in the user's data folder; InputError where there is no such folder."""
    named = os.environ.get("XDG_DATA_HOME", "")
    if named and Path(named).is_absolute():
        return Path(named) / "seamwright" / NAME
    try:
        home = Path.home()
    except RuntimeError:
        text = "there is no home folder to keep jobs in"
        raise InputError.of(text, "name a file with `--store`") from None
    if sys.platform == "darwin":
        folder = home / "Library" / "Application Support"
    elif sys.platform == "win32":
        folder = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    else:
        folder = home / ".local" / "share"
    return folder / "seamwright" / NAME
