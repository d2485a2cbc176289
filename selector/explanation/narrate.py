"""Sentences: the message of a rule filled from its subject, and lines of evidence."""

import re

from selector import units
from selector.explanation.texts import Texts
from selector.facts.view import View
from selector.inference.bystanders import Bystander
from selector.inference.flip import Flip
from selector.inference.judge import Judgement
from selector.model.fact import Fact, Reasons
from selector.model.rule import Rule

_HOLE = re.compile(r"\{([^{}]+)\}")
_IN_WORDS = ("act", "contact", "place")  # roles that are called by words, not by a name


def fill(text: str, rule: Rule, judgement: Judgement, texts: Texts) -> str:
    """`{c}` is the name behind a role, `{p.seam.height}` a value, `{x.fact}` the fact behind x."""

    def value(match: re.Match[str]) -> str:
        letter, _, name = match.group(1).partition(".")
        role = rule.roles.get(letter)
        if role is None:
            return match.group(0)
        if not name:
            found = name_of(role, judgement.view)
            return texts.shown(found) if role in _IN_WORDS else found
        if name.endswith(".fact"):
            return texts.shown(_facts(judgement.view, f"{role}.{name.removesuffix('.fact')}"))
        path = f"{role}.{name}"
        return texts.shown(str(judgement.view.read(path).value), path)

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


def name_of_path(fact: Fact, texts: Texts) -> str:
    """What a fact is about, in words."""
    return texts.word(name_key(fact.path))


def name_key(path: str) -> str:
    """The words under which the name of a path is looked up."""
    role, _, name = path.partition(".")
    shown = path if role in ("clamp", "stack", "rail", "array") else name or role
    return shown.replace("_", " ").replace(".", " ")


def flip_text(flip: Flip, texts: Texts) -> str:
    """How far a figure misses, in words."""
    name = name_of_path(Fact(flip.path, "", ""), texts)
    if flip.dimension == "ratio":
        less = flip.by / (1 + flip.by)
        return texts.say("flip.ratio", name=name, share=f"{less:.0%}".rstrip("%"))
    amount = texts.shown(units.show(abs(int(flip.by)), flip.dimension))
    limit = texts.shown(flip.limit)
    if flip.by > 0:
        return texts.say("flip.smaller", name=name, amount=amount, limit=limit)
    return texts.say("flip.larger", name=name, amount=amount, limit=limit)


def bystander_text(found: Bystander, texts: Texts) -> str:
    """What was not a reason, with the room it has."""
    text = evidence(found.fact, texts)
    if found.margin is None:
        return text
    if found.dimension == "ratio":
        share = f"{1 - found.margin:.0%}".rstrip("%")
        return texts.say("not_a_reason.ratio", text=text, share=share)
    limit = texts.shown(found.limit)
    if found.margin == 0:
        return texts.say("not_a_reason.just", text=text, limit=limit)
    room = texts.shown(units.show(int(found.margin), found.dimension))
    return texts.say("not_a_reason.room", text=text, room=room, limit=limit)


def evidence(fact: Fact, texts: Texts) -> str:
    """One line: what holds."""
    if fact.path.split(".")[0] in ("record", "pairing", "joint"):
        return handles(texts.shown(fact.shown))
    return handles(f"{name_of_path(fact, texts)}: {texts.shown(fact.shown, fact.path)}")


def to_confirm(fact: Fact, texts: Texts) -> str:
    """What somebody has to confirm before a yes holds: a source, or a figure worked out here."""
    shown = texts.shown(fact.shown)
    if not fact.path.startswith("stated."):
        return texts.say("conditions.confirm", shown=shown)
    name, seen = name_of_path(fact, texts), texts.shown(fact.seen)
    return texts.say("conditions.confirm_figure", name=name, shown=shown, seen=seen)


def smallest(reasons: Reasons, most: int = 3) -> Reasons:
    """The first few reasons, shortest first, without those that differ only in the base."""
    return tuple(sorted(reasons, key=lambda r: (len(r), sorted(r))))[:most]
