"""The page of `clips`: the heights to mark come first; what limits them, what else would do."""

from collections.abc import Sequence

from selector.explanation.clips.telling import MM, ClipTelling, whole
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.layout.clip_windows import FAR
from selector.layout.least_change import Line, narrowest

COLUMNS = (5, 13, 11, 19, 22)
SHOWN = 6  # changes, and further windows of a line, that a page shows


def page(telling: ClipTelling, version: str, width: int = WIDTH) -> list[str]:
    """Every line."""
    sheet, answer, say = Sheet(width), telling.answer, telling.say
    _head(sheet, telling)
    if answer.lines:
        _marks(sheet, telling, answer.lines)
    if answer.found is not None:
        _misses(sheet, telling)
        _changes(sheet, telling)
    _opens(sheet, telling)
    if answer.lines and answer.case.ground == "weak":
        _limits(sheet, telling, answer.lines)
    if answer.found is not None and answer.case.ground == "weak":
        _drawn(sheet, telling)
        _shifts(sheet, telling)
    _conditions(sheet, telling)
    sheet.lines.append("")
    sheet.add("! ", say("clips.scope"))
    sheet.add("! ", say("caution.falls"))
    sheet.add("! ", say("caution.who_decides"))
    sheet.add("", say("answer.foot", version=version, digest=telling.base.digest[:12]))
    return sheet.lines


def _head(sheet: Sheet, telling: ClipTelling) -> None:
    case, say = telling.answer.case, telling.say
    clamp = case.clamp.partition("/")[2]
    sheet.add("", say("clips.head", array=case.array, stack=case.stack, clamp=clamp, job=case.job))
    if case.invented:
        sheet.add("", say("loads.demo", names="`, `".join(case.invented)))
    word = telling.texts.word(telling.answer.word.text).upper()
    meaning = say(f"clips.word.{telling.kind}")
    sheet.lines.append("")
    sheet.add("", say("answer.word", word=word, meaning=meaning))
    change = telling.answer.change
    if telling.kind == "moved" and change is not None:
        sheet.add("=> ", telling.change(change))


def _marks(sheet: Sheet, telling: ClipTelling, lines: Sequence[Line]) -> None:
    """The table that is read on the roof."""
    case, say = telling.answer.case, telling.say
    task = case.task
    names = [s.id for s in task.seams] if task is not None else []
    if names:
        sheet.head(say("clips.mark.head", seams=telling.seams(names)))
    else:
        sheet.head(say("clips.mark.anywhere"))
    titles = tuple(say(f"clips.mark.{n}") for n in ("row", "line", "at", "play", "window"))
    rows = [titles]
    for line in lines:
        window, height = line.window, line.height
        if window is None or height is None:
            continue
        at = say("clips.mm", value=telling.mm(height))
        cells = (str(line.row), str(line.line), at, telling.play(line), telling.span(window))
        rows.append(cells)
    sheet.rows([(r[0], r[1], r[2], r[3], r[4]) for r in rows], COLUMNS)
    sheet.add("", say("clips.mark.edges", edges=telling.edges()))
    for line in lines:
        others = [w for w in line.left if w != line.window]
        if others:
            spans = [telling.span(w) for w in others[:SHOWN]]
            sheet.add("", say("clips.mark.others", line=telling.name(line), spans="; ".join(spans)))


def _misses(sheet: Sheet, telling: ClipTelling) -> None:
    """By how much each line fails as the block is drawn."""
    found, say = telling.answer.found, telling.say
    if found is None or found.stands:
        return
    sheet.head(say("clips.miss.head"))
    for line in found.lines:
        if line.miss is None:
            widest = line.left[0]
            text = say("clips.miss.none", span=telling.span(widest))
        else:
            text = telling.miss(line.miss)
        sheet.add("", say("clips.miss.line", line=telling.name(line), text=text))


def _changes(sheet: Sheet, telling: ClipTelling) -> None:
    found, say = telling.answer.found, telling.say
    if found is None:
        return
    if found.roomier is not None and telling.answer.lines:
        sheet.lines.append("")
        room = telling.mm(narrowest(found.roomier.set) // MM * MM)
        holes = {"change": telling.change(found.roomier), "room": room}
        sheet.add("", say("clips.change.roomier", **holes))
    if found.stands or (telling.answer.unclear and not found.changes):
        return
    sheet.head(say("clips.change.head"))
    if not found.changes:
        sheet.add("", say("clips.change.none"))
    for n, change in enumerate(found.changes[:SHOWN], 1):
        sheet.add(f"{n}. ", telling.change(change))
    if len(found.changes) > SHOWN:
        sheet.add("", say("clips.change.more", n=len(found.changes) - SHOWN))
    if any(change.kind not in ("shift", "rows") for change in found.changes):
        sheet.add("", say("clips.change.anew"))


def _opens(sheet: Sheet, telling: ClipTelling) -> None:
    opens = sorted(telling.answer.case.opens, key=lambda one: -one.word)
    if not opens:
        return
    sheet.head(telling.say("clips.open.head"))
    for one in opens:
        sheet.add(telling.texts.word(one.word.text).ljust(12), telling.missing(one))


def _limits(sheet: Sheet, telling: ClipTelling, lines: Sequence[Line]) -> None:
    say = telling.say
    sheet.head(say("clips.limit.head"))
    for line in lines:
        below, above = (telling.limit(one) for one in telling.limits(lines, line))
        sheet.add("", say("clips.limit.line", line=telling.name(line), below=below, above=above))


def _drawn(sheet: Sheet, telling: ClipTelling) -> None:
    """The rail lines of the drawing, each against the clips."""
    say = telling.say
    if not telling.answer.drawn:
        return
    sheet.head(say("clips.drawn.head"))
    for rail in telling.answer.drawn:
        at, text = telling.mm(rail.height), telling.drawn(rail.miss)
        sheet.add("", say("clips.drawn.line", rail=rail.id, at=at, text=text))


def _shifts(sheet: Sheet, telling: ClipTelling) -> None:
    """All shifts of the whole block by which every line keeps a window."""
    found, say = telling.answer.found, telling.say
    if found is None or (telling.answer.unclear and not found.shifts):
        return
    near = sorted(found.shifts, key=lambda w: max(w.low, -w.high, 0))[:SHOWN]
    spans = [
        say("clips.shift.range", low=_signed(telling, low), high=_signed(telling, high))
        for low, high in map(whole, sorted(near))
    ]
    task = telling.answer.case.task
    alone = task is not None and task.pull is not None
    sheet.head(say("clips.shift.alone" if alone else "clips.shift.head"))
    sheet.add("", "; ".join(spans) if spans else say("clips.shift.none"))
    if len(found.shifts) > SHOWN:
        sheet.add("", say("clips.shift.more", n=len(found.shifts) - SHOWN))


def _signed(telling: ClipTelling, at: int) -> str:
    """A shift with its sign; an end that no measure bounds in words."""
    if abs(at) >= FAR // 2:
        return telling.say("clips.shift.open")
    sign = "+" if at > 0 else "-" if at < 0 else ""
    return sign + telling.mm(abs(at))


def _conditions(sheet: Sheet, telling: ClipTelling) -> None:
    """What has to hold on the roof, and what the figures rest on."""
    case, say = telling.answer.case, telling.say
    task = case.task
    if task is None and not case.seen:
        return
    sheet.head(say("clips.rest.head"))
    if case.ground != "weak":
        sheet.add("- ", say(f"clips.rest.{case.ground}"))
        return
    if case.seen:
        seen = telling.texts.seen(case.seen)
        sheet.add("- ", say("clips.rest.seen", seen=seen, off=telling.mm(case.mark_off)))
    if task is None:
        return
    slack, distance = telling.mm(task.reach.slack), telling.mm(task.reach.distance)
    sheet.add("- ", say("clips.rest.distance", distance=distance, slack=slack))
    if not case.pattern:
        sheet.add("- ", say("clips.rest.every_seam"))
    if task.pull is not None:
        figures = {
            "force": telling.kilonewton(task.pull.force),
            "spare": telling.kilonewton(task.pull.spare),
            "factor": telling.texts.shown(f"{float(task.pull.factor):g}"),
        }
        sheet.add("- ", say("clips.rest.share", **figures))
    else:
        lacking = ", ".join(say(f"clips.lacking.{name}") for name in case.lacking)
        sheet.add("- ", say("clips.rest.no_share", lacking=lacking))
    sheet.add(
        "- ", say("clips.rest.memory", bay=telling.mm(case.bay), clear=telling.mm(case.clear))
    )
    if not case.rails:
        sheet.add("- ", say("clips.rest.no_rail"))
    if case.recalled is not None:
        sheet.add("- ", say("clips.rest.middle", middle=telling.mm(case.recalled)))
    sheet.add("- ", say("clips.rest.feel"))
    if telling.kind == "moved":
        sheet.add("- ", say("clips.rest.moved"))
