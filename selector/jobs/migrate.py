"""Versions of the job file.

A file names its version in its first key. This program reads `job/1`. A later version
adds a function `FROM -> FROM+1` to `STEPS`, which turns the plain data of one version
into the next; reading then runs the steps in order, and the writer always writes the newest
version. A file newer than the program is refused, never half understood.
"""

import re
from collections.abc import Callable
from typing import Any

from selector.errors import InputError
from selector.knowledge.yaml_reader import Document

NEWEST = 1
STEPS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}


def refuse_other_version(document: Document) -> None:
    """Bring older data up to date in place; refuse what is newer or no job at all."""
    given = document.data.get("seamwright")
    line = document.line("seamwright")
    match = re.fullmatch(r"job/([0-9]{1,4})", str(given))
    if given is None or match is None:
        text = "this is not a job file: its first key must be `seamwright: job/1`"
        raise InputError.of(text, "start from a file in examples", file=document.file, line=line)
    version = int(match.group(1))
    steps = range(version, NEWEST)
    if version > NEWEST or match.group(1) != str(version) or not all(s in STEPS for s in steps):
        text = f"this file is `job/{version}`; this program reads `job/{NEWEST}`"
        remedy = "install a newer version" if version > NEWEST else "no step leads from it"
        raise InputError.of(text, remedy, file=document.file, line=line)
    while version < NEWEST:
        document.data = STEPS[version](document.data)
        version += 1
