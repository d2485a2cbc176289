"""A rail on its clamps: bending, shear, how far it bends, and the spans of its own table.

Each line is solved under loads where the modules touch it, continuous and with a hinge over every
inner clamp; of moments and forces the larger counts, deflections are those of the continuous rail.
Lips, head and torsion are links that no catalogue states here; they are named and prove nothing.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise

from selector import units
from selector.engineering.lines import STATUSES, BadInputError, Sheet, weakest
from selector.engineering.rail_en import HALF, resistance
from selector.facts.actions.model import Ends, Open
from selector.facts.links.model import Link
from selector.facts.links.rail_figures import Most, RailFigures, Sag, figures
from selector.facts.links.rail_section import edition_of, section_of
from selector.facts.links.touching import METRE, LineLoad, beams_of, handed_n, held_nowhere, touches
from selector.knowledge import schema
from selector.knowledge.base import Base, Part
from selector.layout.model import Rail, Row, Seam
from selector.model.truth import Word

PASCAL = units.parse("1 Pa", "pressure")
LIMITS = {"span": "rail_span_deflection", "end": "rail_end_deflection"}
Seams = tuple[Seam, ...]
Opens = tuple[Open, ...]


def rail_links(
    base: Base, part: Part, rail: Rail, row: Row, load: LineLoad, seams: Seams = ()
) -> tuple[Link, ...]:
    """All links of one rail line in one direction, each at its worst place.

    `seams` say how far off each may be: spans and ends count as long as they may get.
    """
    sheet, opens = _resists(base, part)
    opens += tuple(_unheld(rail, row, load))
    found = None
    try:
        found = figures(rail, row, load, sheet.value("EI") if sheet is not None else 1.0)
    except BadInputError as fault:
        opens += (Open(Word.ENGINEER, "engineer", "rail.clamps", str(fault)),)
    side = load.direction
    links = [
        _bending(rail, load, found, sheet, opens),
        _shear(rail, load, found, sheet, opens),
        _sagging(base, f"rail_sag_{side}", "span", rail, load, found, sheet, opens),
        _sagging(base, f"rail_end_sag_{side}", "end", rail, load, found, sheet, opens),
        *_table(part, rail, row, load, seams),
        *_unstated(rail, row, load, found),
    ]
    return tuple(link for link in links if link is not None)


def worst_of(links: Iterable[Link]) -> tuple[Link, ...]:
    """One link of each name: the strongest word, then the largest ratio, in the order of names."""
    found: dict[str, Link] = {}
    for link in links:
        if link.name not in found or _rank(link) > _rank(found[link.name]):
            found[link.name] = link
    return tuple(found.values())


def _rank(link: Link) -> tuple[int, float]:
    return link.word, -1.0 if link.ratio is None else link.ratio.high


def _resists(base: Base, part: Part) -> tuple[Sheet | None, Opens]:
    """What its section resists; nothing, and why, where nobody can say."""
    section, edition = section_of(part), edition_of(base, part)
    if section is None:
        return None, (Open(Word.ENGINEER, "missing", "rail.section", "no section values"),)
    if edition is None:
        metal = part.shape.metal.metal if part.shape.metal is not None else ""
        return None, (Open(Word.ENGINEER, "missing", "rail.edition", metal),)
    return resistance(section, edition), ()


def _unheld(rail: Rail, row: Row, load: LineLoad) -> Iterator[Open]:
    for x in held_nowhere(rail, row, load.direction):
        yield Open(Word.ENGINEER, "engineer", "rail.module_beside", f"{rail.id} {_near(rail, x)}")


# --- by the section ----------------------------------------------------------------------


def _bending(
    rail: Rail, load: LineLoad, found: RailFigures | None, sheet: Sheet | None, opens: Opens
) -> Link:
    most = None if found is None else found.moment_nm
    return _against(f"rail_bending_{load.direction}", rail, load, most, sheet, "M_Rd", "Nm", opens)


def _shear(
    rail: Rail, load: LineLoad, found: RailFigures | None, sheet: Sheet | None, opens: Opens
) -> Link:
    """Above half of its resistance it takes from bending too, which nothing here works out."""
    most = None if found is None else found.shear_n
    name = f"rail_shear_{load.direction}"
    link = _against(name, rail, load, most, sheet, "V_Rd", "N", opens)
    if link.ratio is None or sheet is None or link.ratio.high <= HALF:
        return link
    clause = sheet.line("shear with bending").clause
    more = Open(Word.ENGINEER, "outside", name, f"{link.ratio.high:.2f}", f"{HALF:g}", clause)
    return replace(link, opens=(*link.opens, more))


def _against(
    name: str,
    rail: Rail,
    load: LineLoad,
    most: Most | None,
    sheet: Sheet | None,
    symbol: str,
    unit: str,
    opens: Opens,
) -> Link:
    line = None if sheet is None else sheet.line(symbol)
    return Link(
        name,
        rail.id if most is None else f"{rail.id} {_near(rail, most.x)}",
        None if most is None else Ends(most.value, most.value),
        None if sheet is None else Ends(sheet.value(symbol), sheet.value(symbol)),
        unit,
        "" if line is None else line.clause,
        load.how if line is None else f"{line.how}; {load.how}",
        () if sheet is None else tuple(_inputs(sheet, symbol)),
        weakest([load.status, "statics", *([] if line is None else [line.status])]),
        opens,
    )


def _inputs(sheet: Sheet, symbol: str) -> Iterator[str]:
    """Numbers that a line rests on, in the units of a data sheet."""
    for name in sheet.line(symbol).inputs:
        line = sheet.line(name)
        if isinstance(line.value, str):
            continue
        size, unit = SHOWN.get(line.unit, (1.0, line.unit))
        yield f"{name} {line.value * size:.6g} {unit}".rstrip()


SHOWN = {"m2": (1e6, "mm2"), "m3": (1e9, "mm3"), "m4": (1e12, "mm4"), "Pa": (1e-6, "MPa")}


def _sagging(
    base: Base,
    name: str,
    kind: str,
    rail: Rail,
    load: LineLoad,
    found: RailFigures | None,
    sheet: Sheet | None,
    opens: Opens,
) -> Link | None:
    """The span, or the free end, that bends most for its length; None where there is none."""
    number = base.numbers[LIMITS[kind]]
    share = number.value.places[0].high / 1e6
    sags: tuple[Sag, ...] = ()
    if found is not None:
        sags = found.spans if kind == "span" else found.ends
        if not sags:
            return None
    worst = max(sags, key=lambda sag: sag.share, default=None)
    line = None if sheet is None else sheet.line("EI")
    known = worst is not None and sheet is not None
    bent = 0.0 if worst is None else max(0.0, worst.deflection.value) * 1e3
    limit = 0.0 if worst is None else worst.length_m * share * 1e3
    place = rail.id if worst is None else f"{rail.id} {_near(rail, worst.deflection.x)}"
    return Link(
        name,
        place,
        Ends(bent, bent) if known else None,
        None if worst is None else Ends(limit, limit),
        "mm",
        "statics",
        load.how,
        () if sheet is None else tuple(_inputs(sheet, "EI")),
        weakest([load.status, number.status, *([] if line is None else [line.status])]),
        opens,
    )


# --- by its table, and without anything ----------------------------------------------------


def _table(part: Part, rail: Rail, row: Row, load: LineLoad, seams: Seams) -> Iterator[Link]:
    """Longest span and end against the table of the rail, for the pressure that it states only."""
    assert isinstance(part.shape, schema.Rail)
    limits = part.shape.limits
    most = (limits.uplift if load.direction == "up" else limits.down) / PASCAL
    status = part.status if part.status in STATUSES else "published"
    opens: Opens = ()
    if load.pressure_pa is None:
        opens = (Open(Word.OBSERVE, "missing", "rail.pressure", "not known"),)
    elif load.pressure_pa > most:
        given, allowed = f"{load.pressure_pa / 1e3:.3g} kPa", f"{most / 1e3:.3g} kPa"
        opens = (Open(Word.ENGINEER, "outside", "rail.table", given, allowed),)
    inputs = (f"up to {most / 1e3:.3g} kPa",)
    for name, stated, found in (
        ("rail_span", part.shape.span, _longest(rail, row, seams)),
        ("rail_cantilever", part.shape.cantilever, _longest_end(rail, row, seams)),
    ):
        if found is None:
            continue
        ends, x = found
        capacity = None if opens else Ends(stated / 1e3, stated / 1e3)
        place = f"{rail.id} {_near(rail, x)}"
        full = f"{name}_{load.direction}"
        clause = "table of the rail"
        yield Link(full, place, ends, capacity, "mm", clause, load.how, inputs, status, opens)


Lengths = tuple[Ends, int]  # lowest and highest in mm, and where it is


def _longest(rail: Rail, row: Row, seams: Seams) -> Lengths | None:
    off, found = _offs(rail, seams), []
    for supports, _, _ in _supports(rail, row):
        for low, high in pairwise(supports):
            slack = off.get(low, 0) + off.get(high, 0)
            ends = Ends((high - low - slack) / 1e3, (high - low + slack) / 1e3)
            found.append((ends, (low + high) // 2))
    return max(found, key=lambda one: one[0].high, default=None)


def _longest_end(rail: Rail, row: Row, seams: Seams) -> Lengths | None:
    off, found = _offs(rail, seams), []
    for supports, x0, x1 in _supports(rail, row):
        if not supports:
            continue
        for free, clamp, end in (
            (supports[0] - x0, supports[0], x0),
            (x1 - supports[-1], supports[-1], x1),
        ):
            slack = off.get(clamp, 0)
            found.append((Ends(max(0, free - slack) / 1e3, (free + slack) / 1e3), end))
    return max(found, key=lambda one: one[0].high, default=None)


def _supports(rail: Rail, row: Row) -> Iterator[tuple[tuple[int, ...], int, int]]:
    for group in beams_of(rail, row, "up", ()):
        for beam in group:
            places = tuple(round(x * METRE) for x in beam.supports_m)
            yield places, round(beam.x0_m * METRE), round(beam.x1_m * METRE)


def _offs(rail: Rail, seams: Seams) -> dict[int, int]:
    """How far off the clamp at each place may be."""
    by_id = {seam.id: seam.off for seam in seams}
    return {c.x: by_id.get(c.seam, 0) for piece in rail.pieces for c in piece.clamps}


def _unstated(rail: Rail, row: Row, load: LineLoad, found: RailFigures | None) -> Iterator[Link]:
    """What no catalogue states: the lips in the clamp and the head under module clamps where it
    is lifted, torsion where it is pressed and pushed down the slope."""
    if load.direction == "down":
        yield _bare("rail_torsion", rail, load, None)
        return
    yield _bare("rail_lips", rail, load, None if found is None else found.clamp_n)
    held = [Most(handed_n(t, load.design), t.x) for t in touches(row, "up")]
    yield _bare("rail_head", rail, load, max(held, key=lambda most: most.value))


def _bare(name: str, rail: Rail, load: LineLoad, most: Most | None) -> Link:
    place = rail.id if most is None else f"{rail.id} {_near(rail, most.x)}"
    demand = None if most is None else Ends(most.value, most.value)
    opens = (Open(Word.ENGINEER, "missing", name.replace("_", ".", 1), "no record"),)
    return Link(name, place, demand, None, "N", "", load.how, (), load.status, opens)


def _near(rail: Rail, x: int) -> str:
    """Seams beside a place: one, or both with a dash between them."""
    clamps = sorted((c.x, c.seam) for piece in rail.pieces for c in piece.clamps)
    at = [seam for place, seam in clamps if abs(place - x) <= 1]
    left = [seam for place, seam in clamps if place < x][-1:]
    right = [seam for place, seam in clamps if place > x][:1]
    return at[0] if at else "-".join([*left, *right])
