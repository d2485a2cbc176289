"""What goes into every kit, what must not, and the spares, as topics of the trade."""

from collections.abc import Iterator

from selector import units
from selector.explanation.handbook.blocks import Block, Topic
from selector.explanation.handbook.sentences import plain
from selector.knowledge.base import Base
from selector.knowledge.texts import HOLE
from selector.model.kit import KitItem
from selector.model.rule import Group

SHELVES = {
    "tools": ("kit-tools", "Tools that go along", "What goes up to the roof with every kit."),
    "consumables": (
        "kit-consumables",
        "What is used up",
        "What goes along and does not come back.",
    ),
    "labels": ("kit-labels", "Labels", "What is stuck on or hung up."),
    "papers": ("kit-papers", "Papers that go along", "And without which nothing is released."),
    "leave_out": ("kit-leave-out", "What must not be in the box", "And why, on which roof."),
}


# What stands in a hole, where no kit fills it.
FILLING = {
    "clamp": "the clamp",
    "torque": "torque of the clamp",
    "tip": "that of the clamp",
    "order": "order of the clamp",
}


def kit_topics(base: Base) -> tuple[Topic, ...]:
    """A topic for each shelf of the kit, and one for spares."""
    found = [
        Topic(name, title, lead, tuple(_item(item, base) for item in getattr(base.kits, shelf)))
        for shelf, (name, title, lead) in SHELVES.items()
    ]
    lead = "A share of what is counted, rounded up, and never less than the least."
    return (*found, Topic("kit-spares", "Spares", lead, tuple(_spares(base))))


def _item(item: KitItem, base: Base) -> Block:
    fields = [("what", _open(item.text)), ("why", _open(item.why))]
    fields += [("only where", _either(group, base)) for group in item.when]
    fields += [("there already where", _either(group, base)) for group in item.there]
    if item.must:
        fields.append(("weighs", "nothing is released without it"))
    title = item.id.replace("-", " ")
    return Block(item.id, title, tuple(fields), (), item.source, item.status, item.origin)


def _spares(base: Base) -> Iterator[Block]:
    for name, spare in base.kits.spares.items():
        share = units.show(spare.share, "share")
        fields = (("share", share), ("at least", str(spare.at_least)))
        title = name.replace("_", " ")
        origin = "kb/kits/spares.yaml"
        yield Block(f"spare-{name}", title, fields, (), spare.source, spare.status, origin)


def _either(group: Group, base: Base) -> str:
    return ", or ".join(plain(condition, base) for condition in group)


def _open(text: str) -> str:
    return HOLE.sub(lambda m: FILLING[m.group(1)], text)
