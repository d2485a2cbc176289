"""Changes as they are typed, `torque=12 Nm`, as the values that a job file would hold."""

from collections.abc import Iterable, Sequence
from typing import Any

from selector import units
from selector.errors import InputError
from selector.jobs.changed import PARTS
from selector.jobs.names import part_named
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string

LISTS = ("adapters", "accepted")  # one thing or several with commas between
NONE = "none"


def sets_of(
    base: Base, catalogues: tuple[str, ...], typed: Sequence[str], parts: Sequence[str] = ()
) -> dict[str, Any]:
    """Values by path; InputError for what is no change, set twice, or set inside another.

    `parts` are paths that are set already, by a part for a part.
    """
    found: dict[str, Any] = {}
    for text in typed:
        path, equals, value = text.partition("=")
        path, value = path.strip(), value.strip()
        if not equals or not path or not value:
            shown = units.shorten(text)
            remedy = "write PATH=VALUE, such as `torque=12 Nm` or `inlay=none`"
            raise InputError.of(f"`{shown}` is no change", remedy, file="--set")
        for other in (*found, *parts):
            if other == path:
                raise InputError.of(f"`{path}` is set twice", "set it once", file="--set")
            long, short = sorted((path, other), key=len, reverse=True)
            if long.startswith(f"{short}."):
                text = f"`{short}` and `{long}` are both set; one lies inside the other"
                raise InputError.of(text, "set one of them", file="--set")
        found[path] = _value(base, catalogues, path, value)
    return found


def named(base: Base, catalogues: tuple[str, ...], name: str, option: str) -> str:
    """Id of a part as it is typed; `none` is none."""
    if name == NONE:
        return NONE
    try:
        return part_named(base, catalogues, name).id
    except ValueError as error:
        raise InputError.of(*error.args, file=option) from None


def _value(base: Base, catalogues: tuple[str, ...], path: str, text: str) -> Any:
    """A part by its id, a list, a whole number, or the text itself."""
    if path in PARTS:
        return named(base, catalogues, text, "--set")
    if path in LISTS:
        each = [one.strip() for one in text.strip("[]").split(",") if one.strip()]
        return [named(base, catalogues, one, "--set") for one in each if one != NONE]
    if text[0] in "[{":
        return read_string(f"value: {text}\n", "--set").data["value"]
    return int(text) if text.isdecimal() and len(text) < 10 else text


def pairs_of(
    base: Base, catalogues: tuple[str, ...], out: Sequence[str], into: Sequence[str]
) -> Iterable[tuple[str, str]]:
    """Parts that give way, each with what comes in its place."""
    if len(out) != len(into):
        text = f"{len(out)} parts go out and {len(into)} come in"
        raise InputError.of(text, "give one --in for each --out; `none` leaves it out", file="--in")
    if len(set(out)) < len(out):
        raise InputError.of("one part goes out twice", "name each once", file="--out")
    return [
        (named(base, catalogues, a, "--out"), named(base, catalogues, b, "--in"))
        for a, b in zip(out, into, strict=True)
    ]
