"""The page of `layout`: what to mark on the roof first, then what stands against it."""

from selector.explanation.places.plan_text import plan_text
from selector.explanation.places.telling import PlacesTelling
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.layout.model import Placed, Rail


def page(telling: PlacesTelling, version: str, width: int = WIDTH) -> list[str]:
    """Every line."""
    sheet, laid, say = Sheet(width), telling.laid, telling.say
    _head(sheet, telling)
    if laid.placed is not None:
        _rails(sheet, telling, laid.placed)
        sheet.lines.append("")
        sheet.lines += plan_text(laid.placed, telling.texts, width)
    _against(sheet, telling)
    if laid.opens:
        sheet.head(say("places.missing"))
        for one in laid.opens:
            sheet.add(telling.texts.word(one.word.text).ljust(12), telling.missing(one))
    if laid.placed is not None:
        sheet.head(say("places.cut.head"))
        for line in telling.cuts(laid.placed):
            sheet.add("", line)
        sheet.head(say("places.claim.head"))
        sheet.add("", telling.claim)
        sheet.add("", say("places.claim.beyond"))
    sheet.lines.append("")
    sheet.add("! ", say("places.scope"))
    sheet.add("! ", say("caution.who_decides"))
    sheet.add("", say("answer.foot", version=version, digest=telling.base.digest[:12]))
    return sheet.lines


def _head(sheet: Sheet, telling: PlacesTelling) -> None:
    laid, say = telling.laid, telling.say
    loads = laid.loads
    names = {"array": loads.array, "job": loads.job, "plane": loads.plane, "as_of": loads.as_of}
    sheet.add("", say("places.head", **names))
    sheet.add("", telling.stack)
    if loads.invented:
        sheet.add("", say("loads.demo", names="`, `".join(loads.invented)))
    word = laid.word.text
    meaning = say(f"places.word.{word}")
    sheet.lines.append("")
    sheet.add("", say("answer.word", word=telling.texts.word(word).upper(), meaning=meaning))
    sheet.add("", telling.modules)
    for text in (telling.added, *telling.repairs, telling.elsewhere):
        if text:
            sheet.add("", text)


def _rails(sheet: Sheet, telling: PlacesTelling, placed: Placed) -> None:
    """Heights of all rail lines, then their pieces; lines with equal pieces share them."""
    say, lines = telling.say, {line.rail: line for line in telling.laid.lines}
    sheet.head(say("places.rails.head"))
    rows = [tuple(say(f"places.rails.{name}") for name in ("line", "height", "clip", "used"))]
    for rail in placed.rails:
        used = telling.used(lines[rail.id])
        rows.append((rail.id, telling.millimetres(rail.y), telling.clip(rail), used))
    widths = [max(len(row[n]) for row in rows) for n in range(3)]
    rest = max(20, sheet.width - sum(widths) - 6)
    sheet.rows(rows, (*widths, rest))
    alike: dict[tuple[object, ...], list[Rail]] = {}
    for rail in placed.rails:
        key = tuple((p.x0, p.x1, tuple(c.seam for c in p.clamps)) for p in rail.pieces)
        alike.setdefault(key, []).append(rail)
    for rails in alike.values():
        names = ", ".join(r.id for r in rails)
        every = len(alike) == 1
        sheet.lines.append("")
        sheet.add(
            "", say("places.rails.pieces" if every else "places.rails.pieces_of", rails=names)
        )
        pieces = rails[0].pieces
        for number, piece in enumerate(pieces):
            sheet.add("- ", telling.piece(piece), 2)
            if number + 1 < len(pieces):
                sheet.add("", telling.gap(piece, pieces[number + 1]), 4)


def _against(sheet: Sheet, telling: PlacesTelling) -> None:
    laid = telling.laid
    lines = [telling.fault(f) for f in laid.faults]
    lines += [telling.flaw(rail, flaw) for rail, flaw in laid.flaws]
    lines += [telling.parting(why) for why in laid.unjoined]
    lines += (*telling.between_clips, *telling.by_rules)
    if lines:
        sheet.head(telling.say("places.against.head"))
    for line in dict.fromkeys(lines):
        sheet.add("- ", line)
