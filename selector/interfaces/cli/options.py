"""Options that many commands share."""

from pathlib import Path
from typing import Annotated

import typer

Kb = Annotated[
    Path | None,
    typer.Option("--kb", help="Folder with kb/ and rules/ instead of the shipped ones."),
]
Lang = Annotated[
    str | None,
    typer.Option(
        "--lang",
        metavar="en|de",
        help="Language of the answer; else that of LC_ALL, LC_MESSAGES or LANG.",
    ),
]
Keep = Annotated[
    bool, typer.Option("--keep", help="Keep the answer in the store; see `seamwright jobs`.")
]
StoreFile = Annotated[
    Path | None,
    typer.Option("--store", help="The store to use instead of that in your data folder."),
]
KeyFile = Annotated[
    Path | None, typer.Option("--key", help="File with a secret key of 16 bytes or more.")
]
By = Annotated[str, typer.Option("--by", help="Who keeps it.")]
Note = Annotated[str, typer.Option("--note", help="A word on why.")]
JobFile = Annotated[Path, typer.Argument(help="A job file (job/1, YAML).")]
Which = Annotated[str, typer.Argument(help="A job (its last entry), or the number of an entry.")]
AsData = Annotated[bool, typer.Option("--json", help="Print it as data.")]
