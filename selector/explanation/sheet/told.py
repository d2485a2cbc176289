"""The first half of a sheet: word and gates, what was seen, the stack and why, what is banned."""

from collections.abc import Iterator
from itertools import groupby

from selector.explanation.narrate import evidence, smallest, to_confirm
from selector.explanation.places.wording import mm_text
from selector.explanation.proofs import proofs
from selector.explanation.sheet.blocks import Block, Cells, Items, Para, Section, Table
from selector.explanation.sheet.case import Case
from selector.explanation.sheet.head import gate_rows, word_blocks
from selector.explanation.stands import nobody_can, stands_if
from selector.explanation.worlds import worlds_lines
from selector.inference.answer import Option
from selector.inference.verdict import Finding
from selector.model.fact import Fact
from selector.model.job import Observed
from selector.model.quantity import Measured
from selector.model.truth import ASPECTS, Word

SLOTS = ("clamp", "insert", "inlay", "bolts", "rail", "cross", "upper_rail", "frame")
SHOWN = 8  # refusals named below one reason


def verdict(case: Case) -> Section:
    """The word, whether it is released, the three aspects, the gates, what the sheet is about."""
    say, word = case.say, case.texts.word
    blocks = word_blocks(case)
    aspects = case.option.verdict.aspects
    rows = [(word(a), say(f"sheet.aspect.{a}"), word(aspects[a].text).upper()) for a in ASPECTS]
    if case.stack is not None:
        state = say("sheet.places_drawn" if case.placed is not None else "sheet.places_open")
        rows.append((say("sheet.places"), say("sheet.places_means"), state))
    heads = (say("sheet.head.question"), say("sheet.head.means"), say("sheet.head.word"))
    blocks.append(Table(heads, tuple(rows)))
    gates = tuple(gate_rows(case))
    if gates:
        heads = (say("sheet.head.gate"), say("sheet.head.state"), say("sheet.head.closes"))
        blocks.append(Table(heads, gates))
    blocks.append(Table((say("sheet.head.what"), say("sheet.head.value")), tuple(_about(case))))
    return Section("verdict", say("sheet.verdict"), tuple(blocks))


def _about(case: Case) -> Iterator[Cells]:
    say, array = case.say, case.array
    yield say("sheet.about.job"), case.job.id
    yield say("sheet.about.as_of"), case.job.as_of
    yield say("sheet.about.plane"), array.plane
    way = case.texts.word(array.orientation)
    size = say("sheet.array", rows=array.rows, columns=array.columns, way=way)
    yield say("sheet.about.array"), f"{array.id}: {size}, {case.part(array.module)}"
    yield say("sheet.about.stack"), case.option.name
    for name in case.invented:
        yield say("sheet.about.invented"), name


# --- what was observed -----------------------------------------------------------------------


def observed(case: Case) -> Section:
    """Every quantity of this plane and site: value with its tolerance, how, by whom, where."""
    say = case.say
    heads = tuple(say(f"sheet.head.{h}") for h in ("what", "value", "how", "who"))
    blocks: list[Block] = [Para(say("sheet.observed_note"))]
    here = [row for o in case.plane.observed.values() for row in _sightings(case, o)]
    around = [row for o in case.job.site.values() for row in _sightings(case, o)]
    blocks += [Para(say("sheet.on_plane", plane=case.plane.id), "strong")]
    blocks += [Table(heads, (*here, *_outline(case))), Para(say("sheet.on_site"), "strong")]
    blocks += [Table(heads, tuple(around)), *_marks(case)]
    papers = tuple(
        (p.id, case.texts.shown(p.title), ", ".join(case.texts.shown(c) for c in p.covers) or "-")
        for p in case.job.papers.values()
    )
    if papers:
        heads = tuple(say(f"sheet.head.{h}") for h in ("paper", "title", "covers"))
        blocks.append(Table(heads, papers))
    again = [case.base.vocabulary.ask(o.path) for o in case.answer.contradicted]
    if again:
        blocks.append(Para(say("contradictory.head"), "strong"))
        blocks.append(Items(tuple(f"{ask.ask} ({ask.how})" for ask in again), "boxes"))
    return Section("observed", say("sheet.observed"), tuple(blocks))


def _marks(case: Case) -> Iterator[Block]:
    """Clip marks of every seam in mm from the eave, as they were read."""
    marks = case.plane.marks
    if marks is None:
        return
    how, who = _by(case, marks.seen)
    say, rows = case.say, []
    for seam, each in sorted(marks.seams.items()):
        shown, off = case.texts.shown(str(each)), "-"
        if isinstance(each, Measured):
            middles = [(p.low + p.high) // 2 for p in each.places]
            shown = " · ".join(mm_text(y, case.texts) for y in middles)
            off = mm_text(max((p.high - p.low) // 2 for p in each.places), case.texts)
        rows.append((seam, shown, off))
    yield Para(say("sheet.marks", how=how or "-", who=who or "-"), "strong")
    yield Table(tuple(say(f"sheet.head.{h}") for h in ("seam", "marks", "off")), tuple(rows))


def _sightings(case: Case, observed: Observed) -> Iterator[Cells]:
    for sighting in observed.sightings:
        how, who = _by(case, sighting.seen)
        value = case.texts.shown(str(sighting.value), observed.path)
        yield case.name(observed.path), value, how, who


def _outline(case: Case) -> Iterator[Cells]:
    outline = case.plane.outline
    if outline is None or outline.rectangle is None:
        return
    eave, slope = (str(Measured("length", (place,))) for place in outline.rectangle)
    how, who = _by(case, outline.seen)
    text = case.say("sheet.outline", eave=case.texts.shown(eave), slope=case.texts.shown(slope))
    yield case.say("sheet.outline_name"), text, how, who


def _by(case: Case, seen: str) -> tuple[str, str]:
    """How something was seen, and by whom with the role."""
    how, _, last = seen.rpartition(", ")
    role = case.job.people.get(last)
    if role is None:
        return case.texts.seen(seen), ""
    return case.texts.seen(how), f"{last}, {case.texts.word(role)}"


# --- the stack and why -------------------------------------------------------------------------


def stack(case: Case) -> Section:
    """The parts, what is proven, what holds it back, conditions, and what it still waits for."""
    say, option = case.say, case.option
    blocks: list[Block] = []
    if case.stack is None:
        blocks.append(Para(say("sheet.refused_stack"), "large"))
    heads = tuple(say(f"sheet.head.{h}") for h in ("slot", "part", "text"))
    blocks.append(Table(heads, tuple(_parts(case, option))))
    held = [f for f in option.verdict.findings if _holds_back(f)]
    for finding in {f.rule.id: f for f in reversed(held)}.values():
        blocks += list(_finding(case, finding))
    worlds = tuple(worlds_lines(option.verdict, case.texts))
    if worlds:
        blocks.append(Items(worlds))
    if option.verdict.withheld:
        blocks.append(Para(say("stacks.withheld"), "strong"))
    conditions = tuple(_conditions(case, option))
    if conditions:
        blocks += [Para(say("conditions.head"), "strong"), Items(conditions, "boxes")]
    blocks += list(_stands(case, option))
    lost = tuple(
        say("stacks.not_in_base", text=text, who=case.texts.word(who))
        for text, who in nobody_can(option.verdict)
    )
    if lost:
        blocks.append(Items(lost))
    blocks += list(_proven(case, option))
    return Section("stack", say("sheet.stack"), tuple(blocks))


def _proven(case: Case, option: Option) -> Iterator[Block]:
    """Each proof in words, and the records and papers that all of them rest on."""
    say, word = case.say, case.texts.word
    found = proofs(option.judgements, case.texts)
    rows = tuple(dict.fromkeys((word(p.need.aspect), word(p.need.name), p.text) for p in found))
    if not rows:
        return
    heads = tuple(say(f"sheet.head.{h}") for h in ("question", "need", "proof"))
    yield Para(say("proven.head", name=option.name), "strong")
    yield Table(heads, rows)
    rests = sorted({_cited(case, fact) for proof in found for fact in proof.cited})
    if rests:
        yield Para(say("proven.rests"), "strong")
        yield Items(tuple(rests))


def _cited(case: Case, fact: Fact) -> str:
    """A record or pairing with its source, or the paper behind a stated figure."""
    if fact.path.startswith("stated."):
        return case.texts.seen(fact.seen)
    shown = case.texts.shown(fact.shown)
    return f"{shown} ({fact.seen})" if fact.seen else shown


def _parts(case: Case, option: Option) -> Iterator[Cells]:
    for slot, part_id in slots(case, option):
        text = case.base.part(part_id).shape.text
        yield case.say(f"drawing.slot.{slot}"), case.part(part_id), text


def slots(case: Case, option: Option) -> Iterator[tuple[str, str]]:
    """Filled slots of a stack from the seam up, with the module on top."""
    core = option.core
    for slot in SLOTS:
        if slot == "bolts":
            yield from (("adapter", part) for part in core.adapters)
        part = getattr(core, slot)
        if part is not None:
            yield slot, part
    if option.module_clamp is not None:
        yield "module_clamp", option.module_clamp
    yield "module", case.array.module


def _holds_back(finding: Finding) -> bool:
    return finding.surely and finding.rule.word not in (None, Word.CONDITIONAL)


def _finding(case: Case, finding: Finding) -> Iterator[Block]:
    """The word of a rule with its shortest reason and its help."""
    rule, word = finding.rule, finding.rule.word
    assert word is not None
    head = case.say("finding.head", word=case.texts.word(word.text).upper(), rule=rule.id)
    yield Para(f"{head}{case.message(finding)}", "strong")
    reasons = smallest(finding.judgement.reasons(f"rule:{rule.id}"), 1)
    lines = [_fact(case, fact) for reason in reasons for fact in sorted(reason)]
    yield Items((*lines, f"{case.say('finding.help').strip()}: {case.help(finding)}"))


def _fact(case: Case, fact: Fact) -> str:
    seen = f" ({case.texts.seen(fact.seen)})" if fact.seen else ""
    return f"{evidence(fact, case.texts)}{seen}"


def _conditions(case: Case, option: Option) -> Iterator[str]:
    said: dict[str, None] = {}
    for finding in option.verdict.conditions:
        text = case.message(finding)
        said[text if finding.surely else case.say("conditions.perhaps", text=text)] = None
    for fact in option.verdict.confirm:
        said[to_confirm(fact, case.texts)] = None
    yield from said


def _stands(case: Case, option: Option) -> Iterator[Block]:
    """What must be looked at, with the limit it must meet and room to write what was found."""
    say = case.say
    rows = tuple(
        (
            look.ask.ask,
            " / ".join(look.limits) or "-",
            look.ask.how or "-",
            case.texts.word(look.ask.who),
            "",
        )
        for look in stands_if(option.verdict, case.base.vocabulary, case.texts)
    )
    if rows:
        heads = tuple(say(f"sheet.head.{h}") for h in ("look", "limit", "how", "who", "found"))
        yield Para(say("stands_if.head"), "strong")
        yield Table(heads, rows, "write")


# --- what is forbidden here --------------------------------------------------------------------


def forbidden(case: Case) -> Section:
    """Acts that nobody may do, parts that may not be mounted here, in large print."""
    say = case.say
    acts = [f for refusal in case.answer.acts for f in refusal.verdict.findings[:1]]
    blocks: list[Block] = [Items(tuple(dict.fromkeys(map(case.message, acts))), "large")]
    parts = tuple(_refused(case))
    if parts:
        blocks.append(Para(say("sheet.forbidden_parts"), "strong"))
        blocks.append(Table((say("sheet.head.never"), say("sheet.head.because")), parts))
    blocks.append(Para(say("sheet.forbidden_rest"), "strong"))
    return Section("forbidden", say("sheet.forbidden"), tuple(blocks), apart=True)


def _refused(case: Case) -> Iterator[Cells]:
    """Things that die on this plane, grouped by the rule that kills them."""
    found = []
    for refusal in case.refused:
        findings = refusal.verdict.of_word(Word.FORBIDDEN)
        if findings and refusal.level in ("part", "contact"):
            found.append((findings[0].rule.title, refusal))
    found.sort(key=lambda item: (item[0], item[1].id))
    for title, group in groupby(found, key=lambda item: item[0]):
        names = [case.texts.shown(case.part(n)) for _, r in group for n in (r.id, *r.alike)]
        more = len(names) - SHOWN
        shown = ", ".join(names[:SHOWN])
        yield case.say("refused.names_and_more", names=shown, n=more) if more > 0 else shown, title
