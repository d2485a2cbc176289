"""The page of `loads`: the word, the figures and what is missing first; details where asked for."""

from selector.explanation.links.chain import Chain, chain_lines
from selector.explanation.links.clips import clip_lines
from selector.explanation.links.couple import couple_lines
from selector.explanation.loads import details
from selector.explanation.loads.plan_text import plan_text
from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.facts.actions.model import DIRECTIONS, LINKS, TOPICS, Ends, Worst

FIGURES = ("peak", *(f"{w}_{k}" for w in ("lift", "press") for k in LINKS), "snow", "weight")


def page(
    telling: LoadsTelling,
    version: str,
    shown: tuple[str, ...],
    width: int = WIDTH,
    chain: Chain | None = None,
) -> list[str]:
    """Every line; `shown` are the topics whose lines are wanted, `chain` the links of a stack."""
    sheet, loads, say = Sheet(width), telling.loads, telling.say
    _head(sheet, telling)
    if shown in ((), TOPICS):
        if chain is not None:
            chain_lines(sheet, chain)
            clip_lines(sheet, chain)
            couple_lines(sheet, chain)
        _figures(sheet, telling)
        _opens(sheet, telling)
        _sets(sheet, telling)
        if loads.plan is not None:
            winds = (telling.worst_wind,) if not shown else tuple(loads.plan.zones)
            _plans(sheet, telling, winds)
        _confirm(sheet, telling)
    else:
        _opens(sheet, telling, shown)
    for topic in shown:
        details.topic(sheet, telling, topic)
    sheet.lines.append("")
    if not shown:
        sheet.add("", say("loads.more"))
    sheet.add("! ", say("loads.scope" if chain is None else "loads.scope_chain"))
    sheet.add("! ", say("caution.who_decides"))
    digest = telling.base.digest[:12]
    sheet.add("", say("answer.foot", version=version, digest=digest))
    return sheet.lines


def _head(sheet: Sheet, telling: LoadsTelling) -> None:
    loads, say = telling.loads, telling.say
    names = {"array": loads.array, "job": loads.job, "plane": loads.plane, "as_of": loads.as_of}
    sheet.add("", say("loads.head", **names))
    if loads.trial:
        sheet.add("! ", say("loads.trial.code", code=loads.code))
    elif loads.code:
        sheet.add("", say("loads.code", code=loads.code, country=telling.shown(loads.country)))
    if loads.invented:
        sheet.add("", say("loads.demo", names="`, `".join(loads.invented)))
    word = loads.word.text
    demo = loads.word.is_yes and bool(loads.invented)
    kind = "invented" if demo else word
    meaning = say(f"loads.word.{kind}")
    sheet.lines.append("")
    sheet.add("", say("answer.word", word=telling.texts.word(word).upper(), meaning=meaning))


def _figures(sheet: Sheet, telling: LoadsTelling) -> None:
    loads, say = telling.loads, telling.say
    head, peak = ("head_trial", "peak_trial") if loads.trial else ("head", "peak")
    sheet.head(say(f"loads.figure.{head}"))
    _figure(sheet, telling, peak, loads.peak_pa)
    for which, worst in (("lift", loads.lift), ("press", loads.press)):
        for link in LINKS:
            found = worst.get(link)
            if found is not None:
                _figure(sheet, telling, f"{which}_{link}", found.pressure_pa, found)
    if not loads.lift:
        _figure(sheet, telling, "lift_module", None)
    _figure(sheet, telling, "snow", loads.snow_pa)
    for name, extra in (("accidental", loads.accidental_pa), ("drift", loads.drift_pa)):
        if extra is not None:
            _figure(sheet, telling, name, extra)
    _figure(sheet, telling, "weight", loads.weight_pa)
    _drifts(sheet, telling)
    if loads.trial:
        sheet.add("", say("loads.trial.speed"))
    if loads.lift:
        sheet.add("", say("loads.links", **_areas(telling)))


def _drifts(sheet: Sheet, telling: LoadsTelling) -> None:
    """What the snow drifts at: the drifts that may reach the array, and those it is clear of."""
    for one in telling.loads.drifts:
        at = one.name if one.kind == "obstacle" else telling.shown(one.name)
        holes = {"at": at, "far": telling.ends(one.distance_m, "m", ".2f")}
        name = "reaches" if one.reaches else "clear"
        length, snow = telling.ends(one.length_m, "m", ".2f"), telling.kpa(one.pa)
        sheet.add("", telling.say(f"loads.drift.{name}", length=length, snow=snow, **holes))


def _areas(telling: LoadsTelling) -> dict[str, str]:
    return {k: telling.shown(f"{v:.3g}") for k, v in telling.loads.area_m2.items()}


def _figure(
    sheet: Sheet, telling: LoadsTelling, name: str, ends: Ends | None, worst: Worst | None = None
) -> None:
    say = telling.say
    text = say("loads.figure.missing") if ends is None else telling.kpa(ends)
    if worst is not None:
        zone = worst.zone
        wind = telling.texts.word(worst.wind)
        calm = say("loads.figure.calm")
        text += ", " + (say("loads.figure.from", zone=zone, wind=wind) if zone else calm)
    column = max(len(say(f"loads.figure.{n}")) for n in FIGURES) + 2
    sheet.add(say(f"loads.figure.{name}").ljust(column), text)


def _opens(sheet: Sheet, telling: LoadsTelling, topics: tuple[str, ...] = TOPICS) -> None:
    """What waits for something, the stops first."""
    opens = [(o, names) for o, names in telling.loads.opens if set(names) & set(topics)]
    if not opens:
        return
    sheet.head(telling.say("loads.open.head"))
    for one, names in opens:
        mark = telling.texts.word(one.word.text).ljust(12)
        line = telling.say(
            "loads.open.line", text=telling.missing(one), topics=telling.topics(names)
        )
        sheet.add(mark, line)


def _sets(sheet: Sheet, telling: LoadsTelling) -> None:
    loads, say = telling.loads, telling.say
    sheet.head(say("loads.sets.head"))
    if not loads.sets:
        sheet.add("", say("loads.trial.sets" if loads.trial else "loads.sets.none"))
        return
    titles = ("", *(say(f"loads.sets.{link}") for link in LINKS))
    rows = [titles]
    for direction in DIRECTIONS:
        cells = [say(f"loads.sets.{direction}")]
        for link in LINKS:
            one = loads.sets[link].governing[direction]
            cells.append(f"{telling.kpa(one.value_pa)}, {one.name}")
        rows.append((cells[0], cells[1], cells[2]))
    sheet.rows(rows, (18, 28, 28))
    sheet.add("", _both(telling))


def _both(telling: LoadsTelling) -> str:
    """The set that lifts most while it slides, on clamp, rail or clip."""
    sets = telling.loads.sets[LINKS[-1]].sets
    along = {s.name: s for s in sets if s.part == "along"}
    lifted = [s for s in sets if s.part == "uplift" and s.name in along]
    top = max(lifted, key=lambda s: s.value_pa.high)
    both = {"along": telling.kpa(along[top.name].value_pa), "uplift": telling.kpa(top.value_pa)}
    return telling.say("loads.sets.both", name=top.name, **both)


def _plans(sheet: Sheet, telling: LoadsTelling, winds: tuple[str, ...]) -> None:
    for wind in winds:
        name = "head" if wind == telling.worst_wind and telling.loads.lift else "head_other"
        sheet.head(telling.say(f"loads.plan.{name}", wind=telling.texts.word(wind)))
        for line in plan_text(telling, wind, sheet.width - 1):
            sheet.add("", line) if line[:1].strip() else sheet.lines.append(line)


def _confirm(sheet: Sheet, telling: LoadsTelling) -> None:
    rows, say = telling.loads.to_confirm, telling.say
    if not rows:
        return
    sheet.head(say("loads.confirm.head"))
    for row in rows:
        value = telling.value(row)
        what = value if isinstance(row.value, str) else f"{row.symbol} = {value}"
        holes = {
            "what": what,
            "clause": telling.clause(row.clause),
            "status": telling.texts.word(row.status),
        }
        if row.how:
            line = say("loads.confirm.line", how=telling.shown(row.how), **holes)
        else:
            line = say("loads.confirm.line_bare", **holes)
        sheet.add("- ", line)
