"""Where each page of the handbook lies: addresses from its top, good on every file system."""

import hashlib
import re

LONGEST = 100  # characters of a name before its digest stands for the rest
_PLAIN = re.compile(r"[a-z0-9._-]")


def slug(name: str) -> str:
    """A file name for any name: other characters than a-z, 0-9, `-`, `_` and `.` as `~` and hex."""
    found = "".join(
        c if _PLAIN.match(c) and (i or c != ".") else "".join(f"~{b:02x}" for b in c.encode())
        for i, c in enumerate(name)
    )
    if len(found) <= LONGEST:
        return found
    return f"{found[:LONGEST]}~{hashlib.sha256(name.encode()).hexdigest()[:12]}"


def rule(rule_id: str) -> str:
    """Page of a rule."""
    return f"rules/{slug(rule_id)}.html"


def part(part_id: str) -> str:
    """Page of a part, by its id with the catalogue."""
    catalogue, _, handle = part_id.partition("/")
    return f"parts/{slug(catalogue)}/{slug(handle)}.html"


def catalogue(name: str) -> str:
    """Page of a catalogue with all its records."""
    return f"parts/{slug(name)}.html"


def record(catalogue_name: str, record_id: str) -> str:
    """Place of a record on the page of its catalogue."""
    return f"{catalogue(catalogue_name)}#{anchor('record', record_id)}"


def question(name: str) -> str:
    """Page of a question by the name of its file, or of a path that no question asks for."""
    return f"questions/{slug(name)}.html"


def drawing(shape: str) -> str:
    """Picture of the end of a seam."""
    return f"drawings/{slug(shape)}.svg"


def source(source_id: str) -> str:
    """Page of a source."""
    return f"sources/{slug(source_id)}.html"


def number(number_id: str) -> str:
    """Place of a number on the page of all numbers."""
    return f"numbers.html#{anchor('number', number_id)}"


def code(code_id: str) -> str:
    """Page of an edition of a standard, or of a national choice."""
    return f"codes/{slug(code_id)}.html"


def topic(name: str) -> str:
    """Page of a topic of the trade."""
    return f"trade/{slug(name)}.html"


def fact(topic_name: str, fact_id: str) -> str:
    """Place of a fact on the page of its topic."""
    return f"{topic(topic_name)}#{anchor('fact', fact_id)}"


def anchor(kind: str, name: str) -> str:
    """Id of an element on a page."""
    return f"{kind}-{slug(name)}"
