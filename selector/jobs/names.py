"""Parts by the name that somebody types: with its catalogue, or alone where that is clear."""

from selector import units
from selector.errors import near
from selector.knowledge.base import Base, Part


def part_named(base: Base, catalogues: tuple[str, ...], name: str) -> Part:
    """The part of that name in these catalogues; ValueError with what was given and what to do."""
    known = {n: base.catalogues[n] for n in catalogues if n in base.catalogues}
    catalogue, slash, handle = name.partition("/")
    found = [
        part
        for n, one in known.items()
        if not slash or n == catalogue
        for part in one.parts.values()
        if part.handle == (handle if slash else name)
    ]
    if len(found) == 1:
        return found[0]
    shown = units.shorten(name)
    if found:
        names = ", ".join(part.id for part in found)
        raise ValueError(f"`{shown}` is in several catalogues", f"name one of {names}")
    ids = [part.id for one in known.values() for part in one.parts.values()]
    handles = [part.handle for one in known.values() for part in one.parts.values()]
    raise ValueError(f"no part `{shown}` in this job's catalogues", near(name, ids + handles))
