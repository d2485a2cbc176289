"""Sentences: the message of a rule filled from its subject, and lines of evidence."""

import re

from selector import units
from selector.facts.view import View
from selector.inference.bystanders import Bystander
from selector.inference.flip import Flip
from selector.inference.judge import Judgement
from selector.model.fact import Fact, Reasons
from selector.model.rule import Rule

_HOLE = re.compile(r"\{([^{}]+)\}")


def fill(text: str, rule: Rule, judgement: Judgement) -> str:
    """`{c}` is the name behind a role, `{p.seam.height}` a value, `{x.fact}` the fact behind x."""

    def value(match: re.Match[str]) -> str:
        letter, _, name = match.group(1).partition(".")
        role = rule.roles.get(letter)
        if role is None:
            return match.group(0)
        if not name:
            return name_of(role, judgement.view)
        if name.endswith(".fact"):
            return _facts(judgement.view, f"{role}.{name.removesuffix('.fact')}")
        return str(judgement.view.read(f"{role}.{name}").value)

    return handles(_HOLE.sub(value, text))


def handles(text: str) -> str:
    """Part ids without their catalogue."""
    return re.sub(r"\b[a-z0-9-]+/([a-z0-9][a-z0-9-]*)", r"\1", text)


def _facts(view: View, path: str) -> str:
    reading = view.read(path)
    shown = [f.shown for reason in reading.because for f in sorted(reason)]
    return "; ".join(dict.fromkeys(shown)) or str(reading.value)


def name_of(role: str, view: View) -> str:
    """Name of what stands behind a role."""
    b = view.binding
    found = {
        "clamp": b.clamp and b.clamp.handle,
        "rail": b.rail and b.rail.handle,
        "plane": b.plane and b.plane.id,
        "array": b.array and b.array.id,
        "joint": b.joint and b.joint.id,
        "contact": b.contact and b.contact.id,
        "place": b.place and b.place.id,
        "stack": b.core and b.core.id,
        "act": b.act,
    }.get(role)
    return str(found or role)


def name_of_path(fact: Fact) -> str:
    """What a fact is about, in words."""
    role, _, name = fact.path.partition(".")
    shown = fact.path if role in ("clamp", "stack", "rail", "array") else name or role
    return shown.replace("_", " ").replace(".", " ")


def flip_text(flip: Flip) -> str:
    """How far a figure misses, in words."""
    name = name_of_path(Fact(flip.path, "", ""))
    if flip.dimension == "ratio":
        less = flip.by / (1 + flip.by)
        return f"{name}: {less:.0%} less of the figure behind it would do"
    amount = units.show(abs(int(flip.by)), flip.dimension)
    way = "smaller" if flip.by > 0 else "larger"
    return f"{name}: {amount} {way}, tolerance included, would do; the limit is {flip.limit}"


def bystander_text(found: Bystander) -> str:
    """What was not a reason, with the room it has."""
    text = evidence(found.fact)
    if found.margin is None:
        return text
    if found.dimension == "ratio":
        return f"{text}; its check is used to {1 - found.margin:.0%}"
    room = units.show(int(found.margin), found.dimension)
    return f"{text}; {room} inside {found.limit}, tolerance included"


def evidence(fact: Fact) -> str:
    """One line: what holds."""
    if fact.path.split(".")[0] in ("record", "pairing", "joint"):
        return handles(fact.shown)
    return handles(f"{name_of_path(fact)}: {fact.shown}")


def smallest(reasons: Reasons, most: int = 3) -> Reasons:
    """The first few reasons, shortest first, without those that differ only in the base."""
    return tuple(sorted(reasons, key=lambda r: (len(r), sorted(r))))[:most]
