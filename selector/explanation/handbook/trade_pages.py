"""The topics of the trade as blocks of facts, and what rests on each source."""

from collections.abc import Iterator
from dataclasses import dataclass

from selector import units
from selector.explanation.handbook import address
from selector.explanation.handbook.blocks import Block, Topic
from selector.explanation.handbook.kit_pages import kit_topics
from selector.explanation.handbook.sentences import listed
from selector.knowledge.base import Base
from selector.knowledge.code_tables import code_sheets
from selector.knowledge.pair_facts import PublishedPairs
from selector.knowledge.trade import ClipFacts, LookAlike, Row, Tightening, TradeFact

# Topic -> title and what it is about.
TITLES = {
    "shapes": ("Seam shapes", "The eight shapes, as the end of one seam shows them."),
    "look-alikes": (
        "Seams that are taken for each other",
        "What is alike, what else to look at, and what that tells.",
    ),
    "seam-heights": (
        "Usual seam heights",
        "How high seams usually stand. The seam that you have measured beats every line here.",
    ),
    "metals": (
        "Metals, and how to tell them",
        "Never by colour alone, never by a magnet alone: a cut edge or a hidden scratch tells.",
    ),
    "coatings": (
        "Coatings and finishes",
        "What they look like, what hides below, and what matters when a clamp bites.",
    ),
    "finishes": (
        "Metals and what lies on them",
        "What `seamwright pair` takes for a metal. Paint may lie on each of them.",
    ),
    "published-pairs": (
        "Published tables of pairs",
        "Printed beside an answer, so that their dissent is seen. None of them decides.",
    ),
    "pairings": (
        "Metals that touch",
        "Judgements on two metals. A pair that is not here is unknown, never a yes.",
    ),
    "clips": ("Clips and their fixings", "On a hand-folded roof the clip is the weak link."),
    "decks": ("Decks", "What lies under the sheet, and what it means for the clip."),
    "tightening": (
        "Torque and tightening",
        "Habits of the trade. The record of the clamp beats every one of them.",
    ),
    "tools": ("Tools", "What each tool tells, and what it cannot tell."),
    "site-effort": (
        "What a change costs on the roof",
        "From 1, a hand's turn at a clamp, to 5, days. It ranks changes; it never decides one.",
    ),
}
LABELS = {
    "alike": "alike in",
    "look": "second look",
    "tells": "what it tells",
    "looks": "looks like",
    "taken_for": "taken for",
    "second_look": "second look",
    "magnet": "magnet",
    "hides": "hides",
    "matters": "what matters",
    "text": "what it is",
    "says": "habit",
    "but": "bear in mind",
    "torque": "figure",
    "tells_not": "does not tell",
    "height": "height",
    "clip": "clip",
    "shapes": "shapes",
    "shape": "shape",
    "effort": "effort, 1 to 5",
    "called": "called",
    "coating": "coating",
    "grades": "grades",
    "bears_in_mind": "bear in mind",
}


@dataclass(frozen=True)
class Citing:
    """Something that rests on a source."""

    kind: str
    text: str
    address: str
    status: str


def topics(base: Base) -> tuple[Topic, ...]:
    """Every topic in its order."""
    found = {
        "shapes": tuple(_shapes(base)),
        "pairings": tuple(_pairings(base)),
    } | {
        name.replace("_", "-"): tuple(map(_block, rows)) for name, rows in base.trade.topics.items()
    }
    own = tuple(Topic(name, *TITLES[name], found[name]) for name in TITLES)
    return (*own, *kit_topics(base))


def citing(source_id: str, base: Base) -> tuple[Citing, ...]:
    """Every rule, number and fact that rests on a source."""
    found = [
        Citing("rule", r.title, address.rule(r.id), r.basis)
        for r in base.rules
        if r.source == source_id
    ]
    found += [
        Citing("number", f"{n.text}: {n.value}", address.number(n.id), n.status)
        for n in base.numbers.values()
        if n.source == source_id
    ]
    found += [
        Citing(topic.title, block.title, address.fact(topic.name, block.id), block.status)
        for topic in topics(base)
        for block in topic.blocks
        if block.source == source_id
    ]
    for sheet in code_sheets(base.codes):
        rows = [r for t in sheet.tables for r in t.rows if r.source == source_id]
        if rows or sheet.source == source_id:
            worth = ", ".join(dict.fromkeys(r.status for r in rows)) or "named as its source"
            text = f"{sheet.title}: {len(rows)} rows"
            found.append(Citing("Codes", text, address.code(sheet.id), worth))
    return tuple(found)


def _block(row: Row[TradeFact]) -> Block:
    shape = row.shape
    data = {key: getattr(shape, key) for key in type(shape).model_fields}
    numbers = data.pop("numbers", ())
    title, spent = _title(shape)
    data = {k: v for k, v in data.items() if k in LABELS and k != spent and v not in (None, ())}
    fields = [(LABELS[k], _text(k, v)) for k, v in data.items()]
    if isinstance(shape, PublishedPairs):
        fields += _cells(shape)
    return Block(shape.id, title, tuple(fields), numbers, shape.source, shape.status, row.origin)


def _cells(table: PublishedPairs) -> Iterator[tuple[str, str]]:
    """The table in words: its signs, its columns, and each row with the other metals."""
    yield "signs", "; ".join(f"{sign} {means.says}" for sign, means in table.signs.items())
    if "" not in table.columns:
        yield "order of the signs", listed(tuple(table.columns))
    for one, row in table.cells.items():
        yield one, "; ".join(f"{other} {' '.join(cell)}" for other, cell in row.items())


def _title(shape: TradeFact) -> tuple[str, str]:
    """Title of a fact, and the field that the title has used up."""
    if isinstance(shape, LookAlike) and len(shape.shapes) > 1:
        return " or ".join(shape.shapes), "shapes"
    if isinstance(shape, Tightening):
        return shape.says, "says"
    if isinstance(shape, PublishedPairs):
        return shape.title, "title"
    if isinstance(shape, ClipFacts):
        return shape.text, "text"
    return shape.id.replace("-", " ").replace("_", " "), ""


def _text(key: str, value: object) -> str:
    if key == "torque" and isinstance(value, int):
        return units.show(value, "torque")
    return listed(value) if isinstance(value, tuple) else str(value)


def _shapes(base: Base) -> Iterator[Block]:
    for name, row in base.shapes.items():
        shape = row.shape
        heights = [h.shape for h in base.trade.seam_heights if h.shape.shape == name]
        fields = [("looks like", shape.looks), ("measured on it", listed(shape.measured, "and"))]
        if shape.head is not None:
            fields.append(("head can be", str(shape.head)))
        if heights:
            usual = "; ".join(f"{h.height}, {h.text} ({h.status})" for h in heights)
            fields.append(("usual heights", usual))
        picture = address.drawing(name) if name in base.drawings else ""
        made = (shape.source, shape.status, row.origin, picture)
        yield Block(name, name, tuple(fields), (), *made)


def _pairings(base: Base) -> Iterator[Block]:
    for row in base.pairings:
        pair = row.shape
        where = "part on the sheet" if pair.place == "on the sheet" else "part on part"
        salt = "with salt or without" if len(pair.salt) > 1 else f"salt {pair.salt[0]}"
        between = {"either": "with or without an inlay", "nothing": "nothing between them"}
        fields = (
            ("judged", pair.judged),
            ("because", pair.because),
            ("place", f"{where}; {salt}; {between.get(pair.isolated, 'the listed inlay between')}"),
        )
        title = f"{listed(pair.upper)} on {listed(pair.lower)}"
        yield Block(pair.id, title, fields, (), pair.source, pair.status, row.origin)
