"""The command that writes the handbook."""

from pathlib import Path

from selector import __version__
from selector.explanation.handbook.render import render
from selector.interfaces.cli.screen import to_screen
from selector.knowledge.loader import load_base
from selector.maintenance.folder import write_folder


def write(into: Path, *, kb: Path | None) -> None:
    """Write the handbook of a base and say where it lies."""
    base = load_base(kb)
    files = render(base, __version__)
    write_folder(into, files)
    pages = sum(name.endswith(".html") for name in files)
    with to_screen():
        print(f"{into / 'index.html'}: {pages} pages; base {base.digest[:12]}")
