"""The stack as text, the module above, what is broken marked by sign and word."""

from collections.abc import Iterator

from selector.explanation.why.sheet import Sheet
from selector.explanation.why.telling import Telling, listed
from selector.inference.column import MODULE, ROOF, Box, Edge
from selector.model.truth import Word

SLOT = 14  # column of the slots
SOUND, BROKEN = "|", "X"


def picture(sheet: Sheet, telling: Telling) -> None:
    """Boxes and what joins them, from the module down to the roof."""
    column, say = telling.why.column, telling.say
    sheet.head(say(f"why.picture.{telling.voice}"))
    below = {edge.upper: edge for edge in column.edges}
    for box in reversed(column.boxes):
        slot = slot_of(telling, box)
        sheet.add(f"[{slot}]".ljust(SLOT + 2), " ".join(box_lines(telling, box)))
        if box.broken:
            for text in broken_lines(telling, box.broken):
                sheet.add(f"   {BROKEN}".ljust(SLOT + 2), text)
        edge = below.get(box.id)
        if edge is None:
            continue
        sign = BROKEN if edge.broken else SOUND
        for line in edge_lines(telling, edge):
            sheet.add(f"   {sign}".ljust(SLOT + 2), line)
    if not column.broken:
        sheet.add("", say("why.picture.whole"))


def slot_of(telling: Telling, box: Box) -> str:
    """What a box is called: its slot, the roof or the module."""
    if box.id in (ROOF, MODULE):
        return telling.say(f"why.picture.{box.id}")
    return telling.word(box.slot)


def box_lines(telling: Telling, box: Box) -> Iterator[str]:
    """Name and metal of a box."""
    metal = metal_of(telling, box.made_of)
    if box.id == ROOF:
        yield telling.say("why.picture.on", shape=telling.word(box.name), metal=metal)
    else:
        yield telling.say("why.picture.box", name=box.name, metal=metal) if metal else box.name


def metal_of(telling: Telling, made_of: str) -> str:
    """A metal with its coatings behind it."""
    metal, *coatings = made_of.replace(")", "").split(" (")
    return " ".join([telling.texts.shown(metal), *(f"({telling.word(c)})" for c in coatings)])


def broken_lines(telling: Telling, rules: tuple[str, ...]) -> Iterator[str]:
    """Broken, or a stop until somebody decides or looks, with each rule that says so."""
    forbidden = telling.why.word == Word.FORBIDDEN
    for rule in rules:
        title = telling.base.rule(rule).title
        name = "why.picture.broken" if forbidden else "why.picture.stop"
        yield telling.say(name, title=title, rule=rule)


def edge_lines(telling: Telling, edge: Edge) -> Iterator[str]:
    """How two boxes are joined, what lies between, which metals touch, and what is broken."""
    say = telling.say
    yield from broken_lines(telling, edge.broken)
    if edge.places:
        yield say("why.picture.places", places=listed(edge.places))
    if edge.kind == "joint":
        yield _joint(telling, edge)
    else:
        yield say(f"why.picture.{edge.kind}")
    if edge.between:
        yield say("why.picture.between", what=listed(edge.between))
    elif edge.kind == "grip":
        yield say("why.picture.bare")
    for touch in edge.metals:
        upper, lower = (metal_of(telling, m) for m in (touch.upper, touch.lower))
        name = "why.picture.screw" if touch.screw else "why.picture.touch"
        yield say(name, upper=upper, lower=lower)


def _joint(telling: Telling, edge: Edge) -> str:
    """Interfaces of a joint: the one that both have, those that bolts join, or the two apart."""
    say, takes = telling.say, edge.takes.split(" or ")
    if edge.offers in takes:
        return say("why.picture.joint", offers=edge.offers)
    if edge.between and not edge.broken:
        return say("why.picture.bolted", offers=edge.offers, takes=edge.takes)
    low, high = (p.partition("/")[2] for p in (edge.lower, edge.upper))
    return say("why.picture.apart", low=low, offers=edge.offers, high=high, takes=edge.takes)
