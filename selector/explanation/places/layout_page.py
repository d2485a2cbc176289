"""The page of `layout`: what to mark on the roof first, then what stands against it."""

from selector.explanation.places.telling import PlacesTelling
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.inference.lay_out import RailLineFound
from selector.layout.model import Placed


def page(telling: PlacesTelling, version: str, width: int = WIDTH) -> list[str]:
    """Every line."""
    sheet, laid, say = Sheet(width), telling.laid, telling.say
    _head(sheet, telling)
    if laid.placed is not None:
        _rails(sheet, telling, laid.placed)
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
    if telling.added:
        sheet.add("", telling.added)


def _rails(sheet: Sheet, telling: PlacesTelling, placed: Placed) -> None:
    """Rail by rail from the eave; what is equal in all pieces is said once for each."""
    sheet.head(telling.say("places.rails.head"))
    lines: dict[str, RailLineFound] = {line.rail: line for line in telling.laid.lines}
    for rail in placed.rails:
        sheet.add("", telling.rail(rail))
        for number, piece in enumerate(rail.pieces):
            sheet.add("- ", telling.piece(piece), 2)
            used = telling.used(lines[rail.id].found[number])
            if used:
                sheet.add("", used, 4)
            sheet.add("", telling.clip(piece), 4)
            if number + 1 < len(rail.pieces):
                sheet.add("", telling.gap(rail, number), 4)


def _against(sheet: Sheet, telling: PlacesTelling) -> None:
    laid = telling.laid
    lines = [telling.fault(f) for f in laid.faults]
    lines += [telling.flaw(rail, flaw) for rail, flaw in laid.flaws]
    lines += [telling.parting(why) for why in laid.unjoined]
    lines += telling.by_rules
    if lines:
        sheet.head(telling.say("places.against.head"))
    for line in dict.fromkeys(lines):
        sheet.add("- ", line)
