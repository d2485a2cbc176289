"""The zones of the wind that an array reaches by the code, in the words of the trade."""

from dataclasses import replace

from selector.engineering.lines import BadInputError, Outside
from selector.engineering.place_hull import roof_spans
from selector.errors import InputError
from selector.facts.actions.gather import Gather
from selector.facts.actions.roof import block_of, code_of, shape_of
from selector.knowledge.base import Base
from selector.model.job import ZONES, Array, Job

# Along eave, verge and ridge; the rest is field. Working rule: our own reading of the code's zones.
WORDS = {"F": "corner", "Fup": "corner", "Flow": "corner", "G": "edge", "J": "edge"}
FIELD = "field"


def with_reached(base: Base, job: Job) -> Job:
    """The job with `reached` of each array worked out, where code, roof and block are known.

    InputError for figures that cannot be, with the file of the job.
    """
    try:
        arrays = {
            name: replace(array, reached=reached_zones(base, job, array))
            for name, array in job.arrays.items()
        }
    except BadInputError as error:
        raise InputError.of(str(error), "check number and unit", file=job.file) from None
    return job if arrays == job.arrays else replace(job, arrays=arrays)


def reached_zones(base: Base, job: Job, array: Array) -> tuple[str, ...] | None:
    """Every zone that any wind may make it reach, at any end of what was measured; or None."""
    g = Gather(base, job, array)
    block, code = block_of(g), code_of(g)
    shape = None if block is None or code is None else shape_of(g, code)
    if block is None or code is None or shape is None:
        return None
    area = code.figure("large_area").value
    spans = roof_spans(code, shape.box, block.x, block.y, (area, area))
    if isinstance(spans, Outside):
        return None
    found = {WORDS.get(span.zone, FIELD) for span in spans if span.reached}
    return tuple(sorted(found, key=ZONES.index))
