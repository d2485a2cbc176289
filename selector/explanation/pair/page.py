"""The page of `pair`: the word, what was asked, who suffers and what helps, what tables say."""

from selector.explanation.narrate import to_confirm
from selector.explanation.pair.tables import Told, told
from selector.explanation.pair.telling import PairTelling
from selector.explanation.stands import nobody_can, stands_if
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.facts.lifetime import lifetime_of
from selector.inference.pair import Instead, Paired, Turned
from selector.inference.verdict import Finding
from selector.model.truth import Word

CAUTIONS = ("caution.who_decides", "pair.caution.not_the_stack")
MOST_INSTEAD = 6
LIFE = (8, 18, 20, 24)  # letters of a column


def page(
    telling: PairTelling,
    paired: Paired,
    turned: list[Turned],
    changed: list[Instead],
    version: str,
    width: int = WIDTH,
) -> list[str]:
    """Every line."""
    sheet, say = Sheet(width), telling.say
    sheet.add("", say("pair.title", what=telling.place(paired.contact)))
    sheet.lines.append("")
    word = telling.word(paired.word).upper()
    meaning = say(f"word.{paired.word.text}.means")
    sheet.add("", say("answer.word", word=word, meaning=meaning))
    _asked(sheet, telling, paired)
    _harm(sheet, telling, paired)
    _findings(sheet, telling, paired)
    _open(sheet, telling, paired)
    _instead(sheet, telling, paired, changed)
    _turned(sheet, telling, turned)
    _tables(sheet, telling, paired)
    _life(sheet, telling, paired)
    sheet.lines.append("")
    for name in CAUTIONS:
        sheet.add("! ", say(name))
    sheet.add("", say("answer.foot", version=version, digest=telling.base.digest[:12]))
    return sheet.lines


def _asked(sheet: Sheet, telling: PairTelling, paired: Paired) -> None:
    say, contact = telling.say, paired.contact
    sheet.head(say("pair.head.asked"))
    sheet.add(say("pair.mark.first"), telling.side(contact.upper))
    sheet.add(say("pair.mark.second"), telling.side(contact.lower))
    between = telling.between(contact)
    if between:
        sheet.add(say("pair.mark.between"), between)
    sheet.add(say("pair.mark.rain"), telling.rain(contact))
    sheet.add(say("pair.mark.air"), telling.air(paired.air.site))


def _harm(sheet: Sheet, telling: PairTelling, paired: Paired) -> None:
    """Who suffers, from what, where, and what helps: of the strongest rule that is sure."""
    say = telling.say
    if not paired.deciding:
        return
    first = paired.deciding[0]
    sheet.head(say("pair.head.harm"))
    sheet.add(say("pair.mark.sufferer"), telling.sufferer(paired))
    sheet.add(say("pair.mark.cause"), f"{first.rule.title}; {first.rule.why}")
    sheet.add(say("pair.mark.where"), say(f"pair.where.{paired.contact.place.replace(' ', '_')}"))
    sheet.add(say("pair.mark.cure"), telling.help(first))
    sheet.add(say("pair.mark.hurt"), telling.hurt(first))


def _findings(sheet: Sheet, telling: PairTelling, paired: Paired) -> None:
    sure = [f for f in paired.findings if f.surely]
    if not sure:
        return
    sheet.head(telling.say("pair.head.rules"))
    for finding in sure:
        _finding(sheet, telling, finding)


def _finding(sheet: Sheet, telling: PairTelling, finding: Finding) -> None:
    """One diagnostic, as every screen shows it, with the source of its rule."""
    say, rule = telling.say, finding.rule
    word = telling.word(rule.word) if rule.word is not None else say("finding.says")
    sheet.add(say("finding.head", word=word, rule=rule.id), rule.title)
    sheet.add("", telling.message(finding), 2)
    for mark, text in telling.because(finding):
        sheet.add(mark, text, 2)
    who = telling.texts.word(rule.lifted) if rule.lifted else ""
    lifted = say("finding.lifted", who=who) if who else ""
    sheet.add(say("finding.help"), telling.help(finding) + lifted, 2)
    sheet.add(say("pair.mark.source"), telling.source(rule.source, rule.basis), 2)


def _open(sheet: Sheet, telling: PairTelling, paired: Paired) -> None:
    """What it waits for, what may still come, and what nobody has judged."""
    say = telling.say
    if paired.word == Word.FORBIDDEN:
        return
    lines = [
        (
            "- ",
            say(
                "pair.open.rule",
                word=telling.word(f.rule.word or Word.OBSERVE),
                text=f.rule.title,
                rule=f.rule.id,
            ),
        )
        for f in paired.findings
        if not f.surely and (f.rule.word or Word.ALLOWED) >= Word.OBSERVE
    ]
    for verdict in (paired.verdict, paired.air.verdict):
        for look in stands_if(verdict, telling.base.vocabulary, telling.texts):
            seen = look.ask.path in telling.base.vocabulary.quantities  # else no word is typed
            limits = " / ".join(look.limits) if seen else ""
            limit = say("stands_if.limit", limits=limits) if limits else ""
            lines.append(("[ ] ", f"{look.ask.ask}{limit}  ({telling.texts.word(look.ask.who)})"))
    for text, who in nobody_can(paired.verdict):
        lines.append(("- ", say("stacks.not_in_base", text=text, who=telling.texts.word(who))))
    lines += [("- ", to_confirm(fact, telling.texts)) for fact in paired.verdict.confirm]
    lines = list(dict.fromkeys(lines))
    if lines:
        sheet.head(say("pair.head.open"))
    for mark, text in lines:
        sheet.add(mark, text)


def _instead(sheet: Sheet, telling: PairTelling, paired: Paired, changed: list[Instead]) -> None:
    """Single changes that would be a yes, with what each drags along."""
    say = telling.say
    if paired.word.is_yes:
        return
    sheet.head(say("pair.head.instead"))
    if not changed:
        sheet.add("", say("pair.instead.nothing"))
    for one in changed[:MOST_INSTEAD]:
        what = telling.metal(one.metal) if one.metal is not None else ""
        text = say(f"pair.instead.{one.kind}", metal=what)
        sheet.add("- ", say("pair.instead.line", word=telling.word(one.paired.word), what=text))
        for drag in telling.drags(one):
            sheet.add(say("pair.mark.with"), drag, 2)
    if len(changed) > MOST_INSTEAD:
        sheet.add("", say("pair.instead.more", n=len(changed) - MOST_INSTEAD))


def _turned(sheet: Sheet, telling: PairTelling, turned: list[Turned]) -> None:
    sheet.head(telling.say("pair.head.elsewhere"))
    for one in turned:
        word, what = telling.word(one.word), telling.place(one.contact)
        sheet.add("- ", telling.say("pair.elsewhere", word=word, what=what))


def _tables(sheet: Sheet, telling: PairTelling, paired: Paired) -> None:
    say = telling.say
    sheet.head(say("pair.head.tables"))
    found = told(telling.base, paired)
    if not found:
        sheet.add("", say("pair.table.silent"))
    for one in found:
        _table(sheet, telling, one)


def _table(sheet: Sheet, telling: PairTelling, one: Told) -> None:
    say, table = telling.say, one.table
    cells = [
        say(
            "pair.table.column",
            column=telling.texts.shown(c.column),
            says=telling.texts.shown(c.sign.says),
        )
        if c.column
        else telling.texts.shown(c.sign.says)
        for c in one.cells
    ]
    dissent = say(f"pair.table.{one.dissent}")
    title = telling.texts.shown(table.title)
    sheet.add("- ", say("pair.table.line", table=title, says="; ".join(cells), dissent=dissent))
    bears = telling.texts.shown(table.bears_in_mind)
    sheet.add("", say("pair.table.note", note=bears, status=telling.texts.word(table.status)), 2)


def _life(sheet: Sheet, telling: PairTelling, paired: Paired) -> None:
    """What open air takes of bare zinc and steel, class by class."""
    sides = dict.fromkeys((paired.contact.upper, paired.contact.lower))
    found = [(side, life) for side in sides if (life := lifetime_of(telling.base, side))]
    say, first = telling.say, True
    for side, life in found:
        if first:
            sheet.head(say("pair.head.life"))
        first = False
        coat = telling.um(life.coat_um) if life.coat_um is not None else ""
        name = "pair.life.coat" if coat else "pair.life.bare"
        metal = telling.texts.word(life.metal)
        sheet.add("", say(name, side=telling.metal(side), metal=metal, coat=coat))
        heads = [say(f"pair.life.{name}") for name in ("class", "first_year", "after", "until")]
        rows = [tuple(heads)] + [telling.loss(one) for one in life.classes]
        sheet.rows([row if coat else (*row[:3], "") for row in rows], LIFE)
    if found:
        titles = (telling.base.sources[s].title for s in found[0][1].sources)
        sheet.add("", say("pair.life.note", sources="; ".join(titles)))
