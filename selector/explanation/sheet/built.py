"""The second half of a sheet: where everything sits, how it is tightened, kit, checks, names."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from selector import units
from selector.explanation.as_json import duties
from selector.explanation.loads.telling import LoadsTelling
from selector.explanation.places.plan_svg import plan_svg
from selector.explanation.places.section_svg import Piece, section_svg
from selector.explanation.places.section_svg import Section as Cut
from selector.explanation.places.wording import mm_text
from selector.explanation.proofs import proofs
from selector.explanation.sheet.blocks import Block, Cells, Figure, Items, Para, Section, Table
from selector.explanation.sheet.case import Case
from selector.explanation.sheet.told import slots
from selector.facts.wrench import wrench_gives
from selector.inference.answer import Option
from selector.knowledge.schema import Clamp
from selector.layout.model import Rail
from selector.model.quantity import Candidates

SIGNERS = ("roofer", "installer", "engineer")
LOG = 24  # empty rows of the log where no plan counts the clamps
LOGGED_EACH = 150  # clamps that have a row each; where there are more, each rail has one
LOG_HEADS = ("rail", "seam", "set_to", "reading", "wrench", "date", "sign")


def plan(case: Case) -> Section:
    """The position plan, the height of every rail with its clamps, or why there is no plan."""
    say, picture = case.say, case.picture
    if case.stack is None or picture is None:
        if case.stack is None:
            return Section("plan", say("sheet.plan"), (Para(say("sheet.no_stack"), "strong"),))
        why = (Para(say("sheet.no_plan"), "strong"), Items(case.no_plan, "boxes"))
        return Section("plan", say("sheet.plan"), why)
    heads = tuple(say(f"sheet.head.{h}") for h in ("rail", "height", "count", "nearest", "clamps"))
    rows = tuple(_heights(case, rail) for rail in picture.placed.rails)
    note = Para(say("sheet.heights_note"))
    figure = Figure(plan_svg(replace(picture, demo=case.invented), case.texts))
    return Section("plan", say("sheet.plan"), (figure, note, Table(heads, rows)), apart=True)


def _heights(case: Case, rail: Rail) -> Cells:
    """A rail: name, height from the eave, clamps, least distance to a clip, and each seam's."""
    texts = case.texts
    clamps = [clamp for piece in rail.pieces for clamp in piece.clamps]
    known = [c.from_clip for c in clamps if c.from_clip is not None]
    least = mm_text(min(known), texts) if known and len(known) == len(clamps) else "-"
    each = ", ".join(
        f"{c.seam}\u00a0({mm_text(c.from_clip, texts) if c.from_clip is not None else '?'})"
        for c in clamps
    )
    return rail.id, mm_text(rail.y, texts), str(len(clamps)), least, each


# --- section and torque ------------------------------------------------------------------------


def section(case: Case) -> Section:
    """The stack across the seam."""
    option = case.stack
    if option is None:
        blocks: tuple[Block, ...] = (Para(case.say("sheet.no_stack"), "strong"),)
        return Section("section", case.say("sheet.section"), blocks)
    svg = section_svg(cut_of(case, option), case.texts)
    return Section("section", case.say("sheet.section"), (Figure(svg),), apart=True)


def cut_of(case: Case, option: Option) -> Cut:
    """What the section draws of a stack on the plane of the case."""
    say, shown = case.say, case.texts.shown
    pieces = tuple(
        Piece(slot, case.part(part), case.base.part(part).shape.text)
        for slot, part in slots(case, option)
    )
    shape = _known(case, "plane.seam.shape")
    drawing = case.base.drawings.get(shape) if shape is not None else None
    clamp = case.base.part(option.core.clamp).shape
    screw = _screws(case, clamp) if isinstance(clamp, Clamp) else ""
    below = case.array.gap_below
    gap = shown(units.show(below, "length")) if below is not None else ""
    return Cut(
        stack=option.name,
        shape=shape,
        svg=drawing.svg if drawing is not None else None,
        pieces=pieces,
        deck=_listed(case, "plane.deck.kind", "plane.deck.thickness"),
        clip=_listed(case, "plane.clips.kind", "plane.clips.spacing"),
        sheet=_listed(case, "plane.sheet.metal", "plane.sheet.coating", "plane.sheet.thickness"),
        screw=screw,
        gap=say("drawing.section.gap", gap=gap) if gap else "",
        contacts=tuple(_contacts(case, option)),
        demo=case.invented,
    )


def _known(case: Case, path: str) -> str | None:
    """The one word left of a choice; None where it is open."""
    observed = case.plane.observed.get(path)
    if observed is None or not isinstance(observed.value, Candidates):
        return None
    return next(iter(observed.value.left)) if len(observed.value.left) == 1 else None


def _listed(case: Case, *paths: str) -> str:
    """Values of quantities in one line; what was not asked is left out."""
    found = ((path, case.plane.observed.get(path)) for path in paths)
    return ", ".join(case.texts.shown(str(o.value), path) for path, o in found if o is not None)


def _contacts(case: Case, option: Option) -> Iterator[str]:
    """Metals of two families that touch, and what is proven of them."""
    good = {p.subject: p.text for p in proofs(option.judgements, case.texts)}
    lines: dict[str, None] = {}
    for judgement in option.judgements:
        if judgement.subject.kind != "contact":
            continue
        sides = [str(judgement.view.read(f"contact.{s}").value) for s in ("upper", "lower")]
        if sides[0] == sides[1]:
            continue
        name = judgement.subject.id
        text = good.get(name) or case.say("drawing.section.contact_open")
        what = case.texts.shown(name)
        lines[case.say("drawing.section.contact", what=what, text=text)] = None
    if lines:
        yield case.say("drawing.section.contacts")
    yield from lines


def _screws(case: Case, clamp: Clamp) -> str:
    """Screws of a clamp: how many, metal, tip, torque."""
    screw = clamp.set_screw
    return case.say(
        "sheet.screws",
        n=screw.count,
        metal=case.texts.shown(screw.metal.text),
        grade=screw.metal.grade,
        tip=case.texts.word(screw.tip),
        torque=_torque(case, clamp),
    )


def _torque(case: Case, clamp: Clamp) -> str:
    shown = clamp.torque if isinstance(clamp.torque, str) else units.show(clamp.torque, "torque")
    return case.texts.shown(shown)


def torque(case: Case) -> Section:
    """Torque and order of the screws, and what goes for every screw."""
    say, option = case.say, case.stack
    shape = case.base.part(option.core.clamp).shape if option is not None else None
    if option is None or not isinstance(shape, Clamp):
        blocks: tuple[Block, ...] = (Para(say("sheet.no_stack"), "strong"),)
        return Section("torque", say("sheet.torque"), blocks)
    order = ", ".join(map(case.texts.word, shape.screw_order)) or say("sheet.any_order")
    distance = case.texts.shown(units.show(shape.clip_distance, "length"))
    rows = (
        (say("sheet.torque_is"), _torque(case, shape)),
        (say("sheet.torque_screws"), _screws(case, shape)),
        (say("sheet.torque_order"), order),
        (say("sheet.torque_clip"), distance),
        *_wrench(case, shape),
        *_bolts(case, (option.core.bolts, option.module_clamp)),
    )
    heads = (case.part(option.core.clamp), say("sheet.head.value"))
    notes = tuple(say(f"sheet.torque_note.{n}") for n in ("wrench", "stop", "again", "rest"))
    return Section("torque", say("sheet.torque"), (Table(heads, rows), Items(notes)))


def _wrench(case: Case, clamp: Clamp) -> Iterator[tuple[str, str]]:
    """What the wrench at hand gives when it is set to the torque, where it is known."""
    if isinstance(clamp.torque, str):
        return
    gives = wrench_gives(case.base, case.job, clamp.torque)
    if gives is None:
        return
    say, shown = case.say, {k: case.texts.shown(v) for k, v in gives.items()}
    torque = _torque(case, clamp)
    if "allowed" in shown:
        text = say("sheet.torque_wrench_outside", allowed=shown["allowed"])
    else:
        text = say("sheet.torque_wrench_gives", torque=torque, **shown)
    yield say("sheet.torque_wrench"), text


def _bolts(case: Case, parts: Sequence[str | None]) -> Iterator[tuple[str, str]]:
    """Thread, class, torque and finish of the bolts of these parts, where they are listed."""
    finishes = {row.shape.id: row.shape.text for row in case.base.trade.friction}
    for part in parts:
        bolt = getattr(case.base.part(part).shape, "bolt", None) if part else None
        if part and bolt is not None:
            finish = finishes.get(bolt.finish or "", "finish not said")
            yield (
                case.part(part),
                case.say(
                    "sheet.torque_bolt",
                    thread=bolt.thread,
                    strength=bolt.strength,
                    torque=case.texts.shown(units.show(bolt.torque, "torque")),
                    finish=case.texts.word(finish),
                ),
            )


# --- kit, checks, names --------------------------------------------------------------------------


def kit(case: Case) -> Section:
    """The counted list, or that nobody has counted it."""
    say = case.say
    if case.stack is None or case.kit is None:
        name = "sheet.no_stack" if case.stack is None else "sheet.no_kit"
        return Section("kit", say("sheet.kit"), (Para(say(name), "strong"),))
    blocks: list[Block] = []
    for group in case.kit:
        blocks += [Para(group.title, "strong"), Table(group.heads, group.rows)]
    return Section("kit", say("sheet.kit"), tuple(blocks), apart=True)


def checks(case: Case) -> Section:
    """What was worked out of wind, snow and weight, topic by topic, with its word."""
    say, loads = case.say, case.loads
    if loads is None:
        return Section("checks", say("sheet.checks"), (Para(say("sheet.no_loads")),))
    told = LoadsTelling(loads, case.base, case.texts)
    rows = tuple(
        (
            say(f"loads.topic.{name}"),
            case.texts.word(topic.word.text).upper(),
            "; ".join(told.missing(one) for one in topic.opens) or "-",
        )
        for name, topic in loads.topics.items()
    )
    heads = tuple(say(f"sheet.head.{h}") for h in ("topic", "word", "open"))
    blocks: list[Block] = [Para(say("sheet.checks_note")), Table(heads, rows)]
    sets = tuple(
        (say(f"loads.sets.{part}"), say(f"loads.sets.{link}"), told.kpa(one.value_pa), one.name)
        for link, found in loads.sets.items()
        for part, one in found.governing.items()
    )
    if sets:
        heads = tuple(say(f"sheet.head.{h}") for h in ("direction", "link", "value", "set"))
        blocks.append(Table(heads, sets))
    return Section("checks", say("sheet.checks"), tuple(blocks))


def cautions(case: Case) -> Section:
    """What can hurt somebody, and who decides."""
    say = case.say
    names = ("falls", "lanyard", "weather", "below", "power", "codes", "engineer")
    lines = [say(f"sheet.caution.{name}") for name in names]
    lines += [case.message(finding) for finding in duties(case.answer)]
    lines += [say("caution.figures")]
    return Section("cautions", say("sheet.cautions"), (Items(tuple(dict.fromkeys(lines))),))


def versions(case: Case) -> Section:
    """Which program and which knowledge said so, on which day."""
    say, base = case.say, case.base
    rows = [
        (say("sheet.version.program"), f"seamwright {case.version}"),
        (say("sheet.version.base"), base.digest),
        (say("sheet.version.catalogues"), ", ".join(case.job.catalogues)),
        (say("sheet.about.as_of"), case.job.as_of),
    ]
    if case.loads is not None and case.loads.code:
        rows.append((say("sheet.version.code"), f"{case.loads.code}; {case.loads.country}"))
    heads = (say("sheet.head.what"), say("sheet.head.value"))
    blocks = (Table(heads, tuple(rows)), Para(say("sheet.version.note")))
    return Section("versions", say("sheet.versions"), blocks)


def signatures(case: Case) -> Section:
    """Who has read it, on paper."""
    say = case.say
    heads = tuple(say(f"sheet.head.{h}") for h in ("role", "name", "date", "sign"))
    rows = tuple((say(f"sheet.signer.{who}"), "", "", "") for who in SIGNERS)
    blocks = (Para(say("sheet.signatures_note")), Table(heads, rows, "write"))
    return Section("signatures", say("sheet.signatures"), blocks)


def log(case: Case) -> Section:
    """The torque log to be filled in by hand, a line a clamp, or a rail where there are many."""
    say, option = case.say, case.stack
    if option is None:
        return Section("log", say("sheet.log"), (Para(say("sheet.no_stack"), "strong"),))
    shape = case.base.part(option.core.clamp).shape
    set_to = _torque(case, shape) if isinstance(shape, Clamp) else ""
    rows = tuple(_log_rows(case, set_to)) or (("", "", set_to, "", "", "", ""),) * LOG
    heads = tuple(say(f"sheet.head.{h}") for h in LOG_HEADS)
    blocks = (Para(say("sheet.log_note")), Table(heads, rows, "write"))
    return Section("log", say("sheet.log"), blocks, apart=True)


def _log_rows(case: Case, set_to: str) -> Iterator[Cells]:
    rails = case.placed.rails if case.placed is not None else ()
    seams = {rail.id: [c.seam for piece in rail.pieces for c in piece.clamps] for rail in rails}
    each = sum(map(len, seams.values())) <= LOGGED_EACH
    for rail, names in seams.items():
        for name in names if each else (f"{names[0]} - {names[-1]}",) if names else ():
            yield rail, name, set_to, "", "", "", ""
