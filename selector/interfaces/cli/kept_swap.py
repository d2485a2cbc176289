"""A substitution that is kept: the store is tried before anything is judged."""

from pathlib import Path
from typing import Any

from selector.explanation.swap.telling import SwapTelling
from selector.interfaces.cli.keeping import keep, open_job, tried
from selector.store.answering import GivenSwap, give


class KeptSwap:
    """A job whose answer goes into the store."""

    def __init__(self, path: Path, kb: Path | None, lang: str | None, store: Path | None):
        with tried(store) as place:
            self.opened, self.place = open_job(path, kb, lang), place

    def told(self, stack: str, sets: dict[str, Any], when: str, by: str) -> SwapTelling:
        """The change, in the store with its page and its record before anybody sees it."""
        asked = {"kind": "swap", "stack": stack, "set": sets, "when": when, "by": by}
        given = give(self.opened.base, self.opened.job, asked)
        assert isinstance(given, GivenSwap)
        keep(given, asked, self.opened, self.place, by=by)
        return given.told
