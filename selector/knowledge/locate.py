"""Where the knowledge base lies: in a checkout, an editable install or a wheel."""

from dataclasses import dataclass
from pathlib import Path

from selector.errors import InputError


@dataclass(frozen=True)
class Home:
    """The three folders of data that ship with the program."""

    kb: Path
    rules: Path
    examples: Path


def home(kb: Path | None = None) -> Home:
    """Folders to read; `kb` names a folder that holds `kb/` and `rules/` instead of ours."""
    package = Path(__file__).resolve().parent.parent
    roots = [kb] if kb is not None else [package / "_data", package.parent]
    for root in roots:
        if (root / "kb" / "vocabulary.yaml").is_file() and (root / "rules").is_dir():
            return Home(root / "kb", root / "rules", root / "examples")
    if kb is not None:
        text = "no knowledge base here: expected `kb/vocabulary.yaml` and `rules/` inside"
        raise InputError.of(text, "name the folder that holds both", file=str(kb))
    raise InputError.of("the knowledge base is missing from this installation", "install again")
