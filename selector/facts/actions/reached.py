"""The zones of the wind that an array may reach by the code, in the words of the trade.

What nobody found out takes no zone away: every form, height and pitch that the roof may still have
is tried. The zones are known only where the code says all of them, or an engineer does.
"""

from dataclasses import replace
from itertools import product

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.place_hull import RoofBox, pieces, touched_names
from selector.engineering.tables import Code
from selector.errors import InputError
from selector.facts.actions.gather import SI, Gather
from selector.facts.actions.model import Ends
from selector.facts.actions.roof import (
    FORMS,
    Block,
    block_of,
    code_of,
    depth_of,
    shape_of,
)
from selector.knowledge.base import Base
from selector.model.job import ROOF_ZONES, ZONES, Array, Job, Outline, Paper, Reach
from selector.model.quantity import Place
from selector.model.truth import Word

# Along eave, verge and ridge; the rest is field. Working rule: our own reading of the code's zones.
WORDS = {"F": "corner", "Fup": "corner", "Flow": "corner", "G": "edge", "J": "edge"}
FIELD = "field"
ASKED, ON_PAPER = "array.zones", "stated.roof_zones"  # by somebody, by an engineer
BLOCK, OUTLINE = "array.block", "plane.outline"


def with_reached(base: Base, job: Job) -> Job:
    """The job with `reached` of each array worked out, as far as roof and block are known.

    InputError for figures that cannot be, with the file of the job.
    """
    try:
        arrays = {
            name: replace(array, reached=reach_of(base, job, array))
            for name, array in job.arrays.items()
        }
    except BadInputError as error:
        raise InputError.of(str(error), "check number and unit", file=job.file) from None
    return job if arrays == job.arrays else replace(job, arrays=arrays)


def reach_of(base: Base, job: Job, array: Array) -> Reach:
    """Every zone that any wind may make it reach, at any end of what was measured."""
    g = Gather(base, job, array)
    block, code = block_of(g), code_of(g)
    shape = shape_of(g, code)
    asks = tuple(dict.fromkeys(o.about for o in g.opens if o.word is Word.OBSERVE))
    if block is not None and code is not None and shape is not None:
        found = touched_names(code, shape.box, block.x, block.y)
        if found and not isinstance(found, Outside):
            return Reach(_in_order(found), settled=True)
    signed, outline = _signed(job, array), g.plane.outline
    asked = (ASKED, ON_PAPER) if array.zones is None else (ASKED,) if signed else (ON_PAPER,)
    if block is None or outline is None:  # nothing was measured that a paper could be held against
        return Reach((), bool(signed), asked, signed)
    if not outline.exact:
        return Reach(asks=(OUTLINE,))
    possible = _possible(g, outline, block, code)
    if not possible:
        return Reach(asks=("plane.form", "plane.pitch") if possible is None else (BLOCK, OUTLINE))
    zones = _in_order(possible)
    if signed and set(zones) <= set(array.zones or ()):
        return Reach(zones, True, asked, signed)
    return Reach(zones, False, asks or asked)


def _possible(
    g: Gather, outline: Outline, block: Block, code: Code | None
) -> frozenset[str] | None:
    """Names of zones within reach on any roof that this may be; None where it can be none.

    A form or code that has no zones here is held against all those that have.
    """
    sides = outline.rectangle or _around(outline)
    if not all(side.low for side in sides):
        return frozenset()
    length, slope = (Ends(p.low / 1e6, p.high / 1e6) for p in sides)
    forms = sorted(g.words("plane.form") or FORMS)
    pitch, height = _ends(g, "plane.pitch"), _ends(g, "plane.height.ridge")
    found: set[str] | None = None
    for one, form in product(_codes(g, code), FORMS if "other" in forms else forms):
        whole = RoofBox(form, pitch, length, depth_of(form, slope, pitch), height)
        for roof in pieces(one, whole):
            names = touched_names(one, roof, block.x, block.y)
            if not isinstance(names, Outside):
                found = (found or set()) | names
    return None if found is None else frozenset(found)


def _around(outline: Outline) -> tuple[Place, Place]:
    """Sides of the rectangle around any other outline."""
    far = (max(c[axis] for c in outline.corners) for axis in (0, 1))
    along, up = (Place(one, one) for one in far)
    return along, up


def _codes(g: Gather, code: Code | None) -> tuple[Code, ...]:
    """The code of the job, or every one that it may be."""
    if code is not None:
        return (code,)
    codes = g.base.codes
    return tuple(codes.code(c) for c in sorted(g.words("site.country") or codes.nationals))


def _ends(g: Gather, path: str) -> Ends:
    """Ends of a measure; all that is plausible where nobody measured it."""
    found = g.measure(path)
    if found is not None:
        return found.ends
    quantity = g.base.vocabulary.quantities[path]
    low, high = quantity.plausible
    assert low is not None and high is not None
    return Ends(low / SI[quantity.dimension], high / SI[quantity.dimension])


def _in_order(names: frozenset[str]) -> tuple[str, ...]:
    """The words of the trade for zones of the code, the mildest first."""
    return tuple(sorted({WORDS.get(name, FIELD) for name in names}, key=ZONES.index))


def _signed(job: Job, array: Array) -> str:
    """Title of an engineer's paper that has not run out and covers the zones of this array."""
    if array.zones is None:
        return ""
    wanted = {f"array {array.id}", ROOF_ZONES}
    for paper in job.papers.values():
        signs = paper.kind in Paper.STATES_FIGURES and wanted <= set(paper.covers)
        if signs and paper.counts_on(job.as_of):
            return paper.title
    return ""
