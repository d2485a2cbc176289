"""Every line of a topic: value, clause, inputs, source and status; all zones; all sets."""

from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.why.sheet import Sheet
from selector.facts.actions.model import LINKS, Row, SetRow, ZoneRow

LINE = (24, 20, 16, 14)
ZONE = (6, 16, 9, 9, 9, 9, 9)
SET = (24, 18, 16, 16)
MARKS = {"yes": " *", "perhaps": " ?", "no": ""}


def topic(sheet: Sheet, telling: LoadsTelling, name: str) -> None:
    """All there is on one topic."""
    found = telling.loads.topics[name]
    sheet.head(telling.say(f"loads.rows.head.{name}"))
    if not found.rows:
        sheet.add("", telling.say("loads.rows.nothing"))
        return
    titles = ("symbol", "value", "clause", "status")
    sheet.rows([tuple(telling.say(f"loads.rows.{t}") for t in titles)], LINE)
    for row in found.rows:
        if not row.zone and not (name == "combinations" and _is_set(telling, row)):
            _line(sheet, telling, row, {r.symbol for r in found.rows if r.zone})
    if name == "wind" and telling.loads.zones:
        _zones(sheet, telling)
    if name == "combinations" and telling.loads.sets:
        _sets(sheet, telling)


def _is_set(telling: LoadsTelling, row: Row) -> bool:
    """Whether a row is a part of a set; those stand in a table of their own."""
    found = telling.loads.sets.get(LINKS[-1])
    return found is not None and any(row.symbol == f"{s.name}, {s.part}" for s in found.sets)


def _line(sheet: Sheet, telling: LoadsTelling, row: Row, zones: set[str]) -> None:
    """One row and what it rests on; coefficients of zones stand in a table of their own."""
    cells = (
        row.symbol,
        telling.value(row),
        telling.clause(row.clause),
        telling.texts.word(row.status),
    )
    sheet.rows([cells], LINE)
    parts = [telling.shown(row.how)] if row.how else []
    if row.inputs:
        inputs = ", ".join(x for x in row.inputs if x not in zones)
        if zones & set(row.inputs):
            inputs = telling.say("loads.rows.zones")
        parts.append(telling.say("loads.rows.from", inputs=inputs))
    if row.source != row.clause:
        parts.append(telling.source(row.source))
    if row.origin:
        parts.append(f"[{row.origin}]")
    if parts:
        sheet.add("", "; ".join(parts), indent=2)


def _zones(sheet: Sheet, telling: LoadsTelling) -> None:
    say = telling.say
    sheet.head(say("loads.rows.head_zones"))
    names = (say("loads.rows.zone"), say("loads.rows.wind"), "cpe,10", "cpe,1")
    links = tuple(say(f"loads.rows.{x}") for x in (*LINKS, "press"))
    sheet.rows([(*names, *links), ("", "", "", "", "kPa", "kPa", "kPa")], ZONE)
    for zone in telling.loads.zones:
        sheet.rows([_zone(telling, zone)], ZONE)
        sheet.add("", _behind(telling, zone), indent=2)


def _behind(telling: LoadsTelling, zone: ZoneRow) -> str:
    """Coefficients for both loaded areas, with table and status."""
    holes = {link: telling.ends(zone.up[link], "", ".4g") for link in LINKS}
    down = zone.down[LINKS[0]]
    name = "loads.rows.behind_both" if down.high > 0 else "loads.rows.behind"
    clause, status = telling.clause(zone.clause), telling.texts.word(zone.status)
    presses = telling.ends(down, "", ".4g")
    return telling.say(name, clause=clause, status=status, down=presses, **holes)


def _zone(telling: LoadsTelling, zone: ZoneRow) -> tuple[str, ...]:
    tabled = (telling.ends(zone.up[name], "", ".3g") for name in ("cpe,10", "cpe,1"))
    lifts = (telling.bare_kpa(zone.lift_pa[link]) for link in LINKS)
    pressed = telling.bare_kpa(zone.press_pa[LINKS[0]])
    wind = telling.texts.word(zone.wind)
    return (f"{zone.name}{MARKS[zone.touched]}", wind, *tabled, *lifts, pressed)


def _sets(sheet: Sheet, telling: LoadsTelling) -> None:
    say, loads = telling.say, telling.loads
    sheet.head(say("loads.rows.head_sets"))
    titles = (say("loads.rows.set"), say("loads.rows.direction"))
    sheet.rows([(*titles, *(say(f"loads.sets.{link}") for link in LINKS))], SET)
    first, second = (loads.sets[link] for link in LINKS)
    for one, other in zip(first.sets, second.sets, strict=True):
        values = (_marked(telling, link, x) for link, x in zip(LINKS, (one, other), strict=True))
        name = one.name
        sheet.rows([(name, say(f"loads.sets.{one.part}"), *values)], SET)
        how = f"{one.clause}; {telling.shown(one.how)}; {telling.texts.word(one.status)}"
        sheet.add("", how, indent=2)
    for name, why in loads.not_applicable.items():
        sheet.add("", say("loads.rows.not_applicable", name=name, why=telling.shown(why)))


def _marked(telling: LoadsTelling, link: str, one: SetRow) -> str:
    governs = telling.loads.sets[link].governing[one.part] == one
    return telling.bare_kpa(one.value_pa) + (" *" if governs else "")
