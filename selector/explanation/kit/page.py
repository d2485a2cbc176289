"""The page of `kit`: what stops it first, then the lines by group, then what must not go along."""

from selector.explanation.kit.telling import KitTelling
from selector.explanation.why.sheet import LEAST, WIDTH, Sheet
from selector.kit.model import GROUPS, Kit, Line, Totals
from selector.kit.totals import area_mass, area_weight
from selector.model.truth import Word

COLUMNS = (14, 37, 8, 14)
INDENT = COLUMNS[0] + 2


def page(telling: KitTelling, version: str, where: str, width: int = WIDTH) -> list[str]:
    """Every line; `where` is the job file, named where more can be asked."""
    sheet, kit, say = Sheet(width), telling.kit, telling.say
    _head(sheet, telling)
    if kit.forbidden:
        _forbidden(sheet, telling, where)
    else:
        for group in GROUPS:
            _group(sheet, telling, group, tuple(x for x in kit.lines if x.group == group))
        _left_out(sheet, telling)
        if kit.totals is not None:
            _totals(sheet, telling, kit.totals)
    sheet.lines += [] if kit.forbidden else [""]
    if kit.laid_out and not kit.word.is_yes and not kit.forbidden:
        sheet.add("", say("kit.see_layout", job=where, array=kit.array))
    if kit.word != Word.ALLOWED:
        sheet.add("", _more(telling, where))
    for caution in ("caution.who_decides", "caution.falls", "caution.figures"):
        sheet.add("! ", say(caution))
    sheet.add("", say("answer.foot", version=version, digest=telling.base.digest[:12]))
    return sheet.lines


def _more(telling: KitTelling, where: str) -> str:
    kit = telling.kit
    if kit.forbidden and kit.stack != kit.core:
        return telling.say("kit.why_not", job=where, stack=kit.stack)
    if kit.stack == kit.core:
        return telling.say("kit.why_best", job=where)
    return telling.say("kit.why", job=where, stack=kit.stack)


def _head(sheet: Sheet, telling: KitTelling) -> None:
    kit, say, texts = telling.kit, telling.say, telling.texts
    names = {"array": kit.array, "job": kit.job, "plane": kit.plane, "as_of": kit.as_of}
    sheet.add("", say("kit.head", **names))
    named = kit.stack != kit.core
    sheet.add("", say("kit.stack", name=kit.stack, core=kit.core) if named else _core(telling))
    if kit.preliminary:
        sheet.add("! ", say("kit.preliminary"))
        if kit.laid_out:
            sheet.add("! ", say("kit.countable"))
    if kit.invented:
        sheet.add("! ", say("kit.demo", names="`, `".join(kit.invented)))
    sheet.lines.append("")
    word = texts.word(kit.word.text).upper()
    sheet.add("", say("answer.word", word=word, meaning=_meaning(telling)))
    if kit.forbidden:
        return
    sheet.add("", telling.mark)
    for stop in telling.stops():
        sheet.add("- ", stop, 2)


def _meaning(telling: KitTelling) -> str:
    word = telling.kit.word
    conditional = word == Word.CONDITIONAL
    return telling.say("kit.conditional" if conditional else f"word.{word.text}.means")


def _core(telling: KitTelling) -> str:
    return telling.say("kit.core", core=telling.kit.core)


def _forbidden(sheet: Sheet, telling: KitTelling, where: str) -> None:
    kit = telling.kit
    sheet.lines.append("")
    sheet.add("", telling.say("kit.no_kit"))
    rules = list(telling.forbidden_by())
    if not rules:
        sheet.add("- ", telling.say("kit.layout_forbids"), 2)
    for rule, text, others in rules:
        sheet.add("- ", telling.say("kit.says", rule=rule, text=text), 2)
        if others:
            sheet.add("", telling.say("kit.more", n=others), 4)
    sheet.lines.append("")
    if kit.laid_out:
        sheet.add("", telling.say("kit.see_layout", job=where, array=kit.array))


def _group(sheet: Sheet, telling: KitTelling, group: str, lines: tuple[Line, ...]) -> None:
    if not lines:
        return
    say = telling.say
    sheet.head(say("kit.group.marked", group=say(f"kit.group.{group}"), mark=telling.mark))
    if any(line.is_goods for line in lines):
        heads = [say(f"kit.column.{name}") for name in ("number", "what", "mass", "price")]
        _row(sheet, heads)
    for line in lines:
        _line(sheet, telling, line)


def _line(sheet: Sheet, telling: KitTelling, line: Line) -> None:
    cells = [telling.number(line), telling.what(line)]
    if line.is_goods:
        cells += [telling.kilograms(line.mass), telling.money(line.price)]
        if line.order == 0:
            cells[-1] = ""
    _row(sheet, cells)
    for note in telling.notes(line):
        sheet.add("! ", note, INDENT)
    if line.there:
        sheet.add("", telling.say("kit.paper.there"), INDENT)
    texts = [telling.why(line), *telling.ordering(line)]
    if line.follows and line.follows != line.part:
        texts.append(telling.say("kit.line.follows", part=telling.follows(line)))
    sheet.add("", telling.say("kit.line.join").join(texts), INDENT)


def _row(sheet: Sheet, cells: list[str]) -> None:
    """Cells in columns, figures to the right; a row of two takes all of the page."""
    if len(cells) == 2:
        sheet.rows([(cells[0], cells[1])], (COLUMNS[0], max(LEAST, sheet.width - INDENT)))
        return
    right = [c.rjust(w) for c, w in zip(cells[2:], COLUMNS[2:], strict=True)]
    first = Sheet()
    first.rows([(cells[0], cells[1])], COLUMNS[:2])
    top, *rest = first.lines
    sheet.lines.append(f"{top.ljust(COLUMNS[0] + 2 + COLUMNS[1])} {' '.join(right)}".rstrip())
    sheet.lines += rest


def _left_out(sheet: Sheet, telling: KitTelling) -> None:
    if not telling.kit.leave_out:
        return
    say = telling.say
    sheet.head(say("kit.group.marked", group=say("kit.group.leave_out"), mark=telling.mark))
    for line in telling.kit.leave_out:
        sheet.add("x ", telling.what(line))
        for note in telling.notes(line):
            sheet.add("", note, 2)
        sheet.add("", telling.why(line), 2)


def _totals(sheet: Sheet, telling: KitTelling, found: Totals) -> None:
    sheet.head(telling.say("kit.total.head"))
    for line in total_lines(telling, found, telling.kit):
        sheet.add("", line)


def total_lines(telling: KitTelling, found: Totals, kit: Kit) -> list[str]:
    """Sums, and what they are held against."""
    say, least = telling.say, "" if found.whole else "_least"
    mass, weight = area_mass(found.on_roof, found.area), area_weight(found.on_roof, found.area)
    lines = [
        say(f"kit.total.carry{least}", mass=telling.decimal(found.mass / 1_000, 1)),
        say(
            f"kit.total.roof{least}",
            mass=telling.decimal(found.on_roof / 1_000, 1),
            area=telling.decimal(mass, 1),
            weight=telling.pressure(weight),
            m2=telling.decimal(found.square_metres, 1),
        ),
    ]
    if not found.whole:
        lines.append(say("kit.total.unweighed", weighed=found.weighed, lines=found.lines))
    fixings = area_mass(found.fixings, found.area)
    above = "_above" if fixings > found.allowance / 1_000 else ""
    holes = {
        "fixings": telling.decimal(fixings, 1),
        "allowance": telling.decimal(found.allowance / 1_000, 1),
    }
    lines.append(say(f"kit.total.fixings{above}", **holes))
    if found.reserve is None:
        lines.append(say("kit.total.no_reserve"))
    else:
        above = "_above" if weight > found.reserve / 1_000 else ""
        paper = telling.texts.shown(found.paper)
        lines.append(
            say(f"kit.total.reserve{above}", paper=paper, limit=telling.limit(found.reserve))
        )
    if found.prices:
        prices = " + ".join(f"{telling.decimal(v)} {k}" for k, v in found.prices.items())
        lines.append(say("kit.total.price", prices=prices))
    else:
        lines.append(say("kit.total.unpriced", priced=found.priced, lines=found.lines))
    lines.append(say("kit.total.sources"))
    return lines
