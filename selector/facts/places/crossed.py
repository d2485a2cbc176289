"""Seams that the rails of an array cross, where the job says where seams run and names none."""

from dataclasses import replace

from selector.facts.layouts import array_width
from selector.knowledge import schema
from selector.knowledge.base import Base
from selector.layout.model import Seam
from selector.model.job import Array, Job, Plane
from selector.model.quantity import Measured

SPACING = "plane.seam.spacing"


def with_crossed(base: Base, job: Job) -> Job:
    """The job with `crosses` of each array filled from the seams of its plane; else as it is.

    Every seam that may lie below the rails counts.
    """
    arrays = {name: _crossing(base, job, array) for name, array in job.arrays.items()}
    return job if arrays == job.arrays else replace(job, arrays=arrays)


def seams_of(plane: Plane) -> tuple[Seam, ...]:
    """Seams from the left, each with how far off it may be; none where nobody measured them.

    Counted by equal distances from the first one, what may be off adds up with each step.
    """
    lines = plane.seams
    if lines is None:
        return ()
    if lines.at:
        return tuple(
            Seam(name, (p.low + p.high) // 2, (p.high - p.low) // 2) for name, p in lines.at.items()
        )
    found = plane.observed.get(SPACING)
    value = None if found is None else found.value
    outline = plane.outline
    if not isinstance(value, Measured) or outline is None or lines.first is None:
        return ()
    low = max(1, min(p.low for p in value.places))
    high = max(p.high for p in value.places)
    right = max(x for x, _ in outline.corners)
    seams: list[Seam] = []
    near, far = lines.first.low, lines.first.high
    while far <= right:
        seams.append(Seam(f"s{len(seams) + 1:02}", (near + far) // 2, (far - near + 1) // 2))
        near, far = near + low, far + high
    return tuple(seams)


def _crossing(base: Base, job: Job, array: Array) -> Array:
    if array.crosses is not None or array.from_left is None:
        return array
    catalogue = base.catalogues.get(array.module.partition("/")[0])
    part = catalogue.parts.get(array.module) if catalogue is not None else None
    if part is None or not isinstance(part.shape, schema.Module):
        return array
    past = base.numbers["rail_end_allowance"].value.places[0].high
    low, high = array.from_left - past, array.from_left + array_width(array, part.shape) + past
    seams = seams_of(job.planes[array.plane])
    under = tuple(s.id for s in seams if low <= s.x + s.off and s.x - s.off <= high)
    return replace(array, crosses=under) if under else array
