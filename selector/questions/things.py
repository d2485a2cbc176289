"""Obstacles of a plane as they are typed: `vent: 10.6 x 5.1, 0.3 x 0.3, clear 0.3, rises 0.6 m`."""

import re

from selector import units
from selector.questions.typed import Data, lengths_in
from selector.questions.wrong import WrongError

CORNER, SIZE = ("from_left", "from_eave"), ("width", "height")


def things_typed(text: str) -> dict[str, Data]:
    """Each thing by its name: from the left x from the eave, width x height, clear, rises.

    WrongError for anything else; numbers without a unit are metres.
    """
    found: dict[str, Data] = {}
    for one in filter(None, re.split(r"\s*;\s*", text.strip().lower())):
        name, colon, rest = one.partition(":")
        name = name.strip()
        parts = re.split(r",\s+", rest.strip())
        if not colon or len(parts) != 4 or name in found:
            raise WrongError("typed.things", given=units.shorten(one))
        corner, size = (lengths_in(p.replace(" x ", " "), "m") for p in parts[:2])
        clear, rises = (_named(p, word, one) for p, word in zip(parts[2:], WORDS, strict=True))
        if len(corner) != 2 or len(size) != 2:
            raise WrongError("typed.things", given=units.shorten(one))
        found[name] = {
            **dict(zip(CORNER, corner, strict=True)),
            **dict(zip(SIZE, size, strict=True)),
            "clear": clear,
            "rises": rises,
        }
    if not found:
        raise WrongError("typed.things", given=units.shorten(text))
    return found


WORDS = ("clear|frei", "rises|hoch")


def _named(text: str, word: str, whole: str) -> str:
    """The one length behind its word."""
    match = re.fullmatch(rf"(?:{word})\s+(.+)", text)
    [*lengths] = lengths_in(match[1], "m") if match else []
    if len(lengths) != 1:
        raise WrongError("typed.things", given=units.shorten(whole))
    return lengths[0]


def shown_things(objects: Data) -> str:
    """Things as they are typed."""
    return "; ".join(
        f"{name}: {o['from_left']} x {o['from_eave']}, {o['width']} x {o['height']}, "
        f"clear {o['clear']}, rises {o.get('rises', '?')}"
        for name, o in objects.items()
    )
