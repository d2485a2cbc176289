"""The topics of the trade as blocks of facts, and what rests on each source."""

from collections.abc import Iterator
from dataclasses import dataclass

from selector import units
from selector.explanation.handbook import address
from selector.explanation.handbook.blocks import Block, Topic
from selector.explanation.handbook.kit_pages import kit_topics
from selector.explanation.handbook.sentences import listed
from selector.explanation.handbook.trade_titles import LABELS, MEASURED, TITLES
from selector.knowledge.base import Base
from selector.knowledge.code_tables import code_sheets
from selector.knowledge.pair_facts import PublishedPairs
from selector.knowledge.schema import Shape
from selector.knowledge.trade import ClipFacts, LookAlike, Row, Tightening
from selector.knowledge.trade_fact import TradeFact

EMPTY = (None, "", ())


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
    data = {k: v for k, v in data.items() if k in LABELS and k != spent and v not in EMPTY}
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
    if isinstance(shape, ClipFacts):
        return shape.text, "text"
    if isinstance(shape, PublishedPairs):
        return shape.title, "title"
    return shape.id.replace("-", " ").replace("_", " "), ""


def _text(key: str, value: object) -> str:
    """A value as it is printed; whole numbers of MEASURED get their unit."""
    if isinstance(value, Shape):
        return "; ".join(f"{k} {_text(k, v)}" for k, v in value)
    if isinstance(value, tuple):
        return listed(tuple(_text(key, one) for one in value), "and")
    if key in MEASURED and isinstance(value, int):
        return units.show(value, MEASURED[key])
    return str(value)


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


MET = {
    "on the sheet": "part on the sheet",
    "between parts": "part on part",
    "earth joint": "earth wire on a part",
    "above": "water of the first runs onto the second",
}


def _pairings(base: Base) -> Iterator[Block]:
    for row in base.pairings:
        pair = row.shape
        where = MET[pair.place]
        salt = f"salt {listed(pair.salt)}"
        between = {"either": "with or without an inlay", "nothing": "nothing between them"}
        fields = (
            ("judged", pair.judged),
            ("because", pair.because),
            ("place", f"{where}; {salt}; {between.get(pair.isolated, 'the listed inlay between')}"),
            ("eaten", pair.eaten),
            *(("dissent", f"{other.says} ({other.source})") for other in pair.dissent),
        )
        upper, lower = listed(pair.upper), listed(pair.lower)
        title = f"{lower} below {upper}" if pair.place == "above" else f"{upper} on {lower}"
        yield Block(pair.id, title, fields, (), pair.source, pair.status, row.origin)
