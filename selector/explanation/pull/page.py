"""The page of `pull`: the word, what was tested, every pull, what it shows and what it may not."""

from selector.explanation.pull.telling import DIRECTION_IDS, PullTelling
from selector.explanation.why.sheet import WIDTH, Sheet
from selector.facts.links.pull import ProofResult, SampleResult

TABLE = (3, 6, 9, 13, 9, 30)
FIGURES = (26, 14, 14)
MAY_NOT = ("clamp", "direction", "elsewhere", "sheet", "time")
CAUTIONS = ("damage", "consent", "close")


def page(telling: PullTelling, version: str, width: int = WIDTH) -> list[str]:
    """Every line."""
    sheet, pulled, say = Sheet(width), telling.pulled, telling.say
    _head(sheet, telling)
    sheet.head(say("pull.head.what"))
    sheet.add("", telling.what())
    sheet.add("", telling.who())
    for line in telling.demands():
        sheet.add("", line)
    _pulls(sheet, telling)
    if pulled.sample is not None:
        _sample(sheet, telling, pulled.sample)
    if pulled.proofs:
        _proofs(sheet, telling)
    _confirm(sheet, telling)
    _may(sheet, telling)
    sheet.lines.append("")
    for name in CAUTIONS:
        sheet.add("! ", say(f"pull.caution.{name}"))
    sheet.add("! ", say("caution.falls"))
    sheet.add("! ", say("caution.who_decides"))
    sheet.add("", say("answer.foot", version=version, digest=telling.base.digest[:12]))
    return sheet.lines


def _head(sheet: Sheet, telling: PullTelling) -> None:
    file, say = telling.pulled.file, telling.say
    sheet.add("", say("pull.title", id=file.id, roof=file.roof, as_of=file.as_of))
    if file.invented:
        sheet.add("", say("pull.demo"))
    word = telling.pulled.word
    demo = file.invented and word.is_yes
    meaning = say(f"pull.word.{'invented' if demo else word.text}")
    sheet.lines.append("")
    sheet.add("", say("answer.word", word=telling.word(word), meaning=meaning))


def _pulls(sheet: Sheet, telling: PullTelling) -> None:
    """The table of all pulls."""
    say, word = telling.say, telling.texts.word
    sheet.head(say("pull.head.pulls"))
    names = ("number", "seam", "from_eave", "zone", "load", "happened")
    rows = [tuple(say(f"pull.column.{name}") for name in names)]
    for pull in telling.pulled.file.pulls:
        load = pull.failed_mn if pull.failed_mn is not None else pull.held_mn
        happened = telling.happened(pull)
        otherwise = telling.otherwise(pull)
        if otherwise:
            happened += "; " + say("pull.otherwise", what=otherwise)
        cells = (str(pull.number), pull.seam, telling.length(pull.from_eave_um), word(pull.zone))
        rows.append((*cells, telling.kn((load or 0) / 1e3), happened))
    sheet.rows(rows, TABLE)


# --- failures ----------------------------------------------------------------------------


def _sample(sheet: Sheet, telling: PullTelling, found: SampleResult) -> None:
    say, sample = telling.say, found.sample
    sheet.head(say("pull.head.sample"))
    if sample is None:
        sheet.add("", telling.sample_outcome(found))
        _noticed(sheet, telling, found)
        return
    mean, sd = telling.kn(sample.mean_n), telling.kn(sample.sd_n)
    spread = telling.percent(sample.variation)
    zone = telling.texts.word(found.pulls[0].zone)
    sheet.add("", say("pull.sample.figures", zone=zone, count=sample.n, mean=mean, sd=sd, v=spread))
    known = telling.pulled.file.asked.variation
    if known is None:
        sheet.add("", say("pull.sample.unknown"))
    else:
        v, paper = telling.percent(known.value), telling.paper(known.paper)
        sheet.add("", say("pull.sample.known", v=v, paper=paper))
    sheet.lines.append("")
    sheet.rows(_figures(telling, found), FIGURES)
    sheet.lines.append("")
    _counts(sheet, telling, found)
    sheet.add("", telling.sample_outcome(found))
    _noticed(sheet, telling, found)


def _figures(telling: PullTelling, found: SampleResult) -> list[tuple[str, ...]]:
    """Both distributions side by side."""
    say, none = telling.say, telling.say("pull.figure.none")

    def row(name: str, cells: list[str]) -> tuple[str, ...]:
        return (say(f"pull.figure.{name}"), *cells)

    def force(value: float | None) -> str:
        return none if value is None else telling.kn_down(value)

    usual = [v.characteristic for v in found.values]
    rows = [
        ("", *(telling.distribution(v) for v in found.values)),
        row("spread", [telling.figure(e.variation, ".4f") for e in usual]),
        row("k_n", [telling.figure(e.factor, ".4f") for e in usual]),
        row("characteristic", [force(e.value_n) for e in usual]),
    ]
    if telling.pulled.file.asked.direct is not None:
        direct = [v.direct for v in found.values]
        factors = ("" if e is None else telling.figure(e.factor, ".4f") for e in direct)
        rows.append(row("k_d", [factor or none for factor in factors]))
        rows.append(row("direct", [force(e.value_n if e else None) for e in direct]))
    rows.append(row("design", [force(v.design_n) for v in found.values]))
    return rows


def _counts(sheet: Sheet, telling: PullTelling, found: SampleResult) -> None:
    """Which distribution counts, and the factors of the design value."""
    say, asked, counts = telling.say, telling.pulled.file.asked, found.counts
    if counts is not None and asked.distribution_paper is not None:
        paper = telling.paper(asked.distribution_paper)
        name = telling.distribution(counts)
        sheet.add("", say("pull.counts.fixed", distribution=name, paper=paper))
    elif counts is not None:
        sheet.add("", say("pull.counts.lower", distribution=telling.distribution(counts)))
    if asked.direct is not None:
        sheet.add("", say("pull.counts.direct", paper=telling.paper(asked.direct)))
    for name, given in (("eta_d", asked.eta_d), ("gamma_m", asked.gamma_m)):
        if given is not None:
            value, paper = telling.figure(given.value, "g"), telling.paper(given.paper)
            factor = say(f"pull.factor.{name}")
            sheet.add("", say("pull.counts.factor", factor=factor, value=value, paper=paper))


def _noticed(sheet: Sheet, telling: PullTelling, found: SampleResult) -> None:
    """What an engineer looks at before using the figures."""
    say = telling.say
    for line in telling.too_low(found):
        sheet.add("! ", line)
    if found.outlier is not None:
        out = found.outlier
        distance, limit = (telling.figure(x, ".2f") for x in (out.distance, out.limit))
        sheet.add("! ", say("pull.outlier", number=out.pull, distance=distance, limit=limit))
    if len(found.modes) > 1:
        sheet.add("! ", say("pull.modes", modes=", ".join(found.modes)))
    if found.scatters_more:
        sheet.add("! ", say("pull.scatters_more"))


# --- proof tests ---------------------------------------------------------------------------


def _proofs(sheet: Sheet, telling: PullTelling) -> None:
    sheet.head(telling.say("pull.head.proofs"))
    sheet.add("", telling.say("pull.proof.apart"))
    for found in telling.pulled.proofs:
        zone = telling.texts.word(found.zone)
        word, outcome = telling.word(found.word), telling.proof_outcome(found)
        sheet.add("- ", telling.say("pull.proof.line", zone=zone, word=word, outcome=outcome))
        for text in _shown(telling, found):
            sheet.add("", text, 2)


def _shown(telling: PullTelling, found: ProofResult) -> list[str]:
    """What held loads show, and how little that says of a fractile."""
    say, lines = telling.say, []
    if found.shown_n is not None:
        lines.append(say("pull.proof.shown", load=telling.kn_down(found.shown_n)))
        sure = telling.percent(found.confidence)
        holes = {"sure": sure, "enough": found.enough, "wanted": telling.pulled.tests_wanted}
        lines.append(say("pull.proof.sure", **holes))
    if found.failed:
        lines.append(say("pull.proof.future"))
    return lines


# --- what it is worth ----------------------------------------------------------------------


def _confirm(sheet: Sheet, telling: PullTelling) -> None:
    lines = telling.confirm()
    if not lines:
        return
    sheet.head(telling.say("pull.head.confirm"))
    for line in lines:
        sheet.add("- ", line)


def _may(sheet: Sheet, telling: PullTelling) -> None:
    """What the pulls may and may not stand for."""
    say, pulled = telling.say, telling.pulled
    link = pulled.file.link
    zones = sorted({p.zone for p in pulled.file.pulls})
    sheet.head(say("pull.head.may"))
    holes = {k: telling.value_of(k, link[k]) for k in ("clip", "deck", "direction")}
    zone = ", ".join(telling.texts.word(z) for z in zones)
    sheet.add("+ ", say("pull.may.this", zone=zone, roof=pulled.file.roof, **holes))
    for name in MAY_NOT:
        way = f"{name}_{DIRECTION_IDS[link['direction']]}" if name == "direction" else name
        sheet.add("- ", say(f"pull.may_not.{way}"))
    sheet.add("", say("pull.may.who"))
