"""A job as plain data, changed by answers: every change gives a new one, the old one stays.

What was seen before is kept beside what is seen now; nothing that somebody saw is lost but by undo.
"""

from collections.abc import Iterable, Mapping
from copy import deepcopy
from typing import Any

from selector.model.rule import Path

Data = dict[str, Any]


def answered(job: Data, path: Path, sighting: Data, plane: str) -> Data:
    """The job with one more sighting of a quantity of the site or of a plane."""
    changed = deepcopy(job)
    holder = _holder(changed, path, plane)
    key = path.name.rpartition(".")[2]
    kept = [s for s in sightings_of(holder.get(key)) if "unknown" not in s]
    if "unknown" in sighting and kept:
        return job  # not knowing takes away nothing that somebody saw
    every = [*kept, sighting] if sighting not in kept else kept
    holder[key] = every[0] if len(every) == 1 else {"sightings": every}
    return changed


def withdrawn(job: Data, path: Path, plane: str, number: int | None = None) -> Data:
    """The job without one sighting of a quantity, or without all of them."""
    changed = deepcopy(job)
    holder = _holder(changed, path, plane)
    key = path.name.rpartition(".")[2]
    every = sightings_of(holder.pop(key, None))
    left = [] if number is None else [s for i, s in enumerate(every) if i != number]
    if left:
        holder[key] = left[0] if len(left) == 1 else {"sightings": left}
    return changed


def sightings_of(data: object) -> list[Data]:
    """Sightings that stand at a place of the job, one or several."""
    if not isinstance(data, Mapping):
        return []
    many = data.get("sightings")
    return list(many) if isinstance(many, Iterable) else [dict(data)]


def seen(job: Data, path: Path, plane: str) -> list[Data]:
    """Sightings of a quantity in a job."""
    holder: Any = job.get("site") if path.role == "site" else job.get("planes", {}).get(plane)
    for name in path.name.split("."):
        holder = holder.get(name) if isinstance(holder, Mapping) else None
    return sightings_of(holder)


def _holder(job: Data, path: Path, plane: str) -> Data:
    """The mapping that holds the last name of a path; made where it is missing."""
    if path.role == "site":
        holder = job.setdefault("site", {})
    elif path.role == "plane":
        holder = job.setdefault("planes", {}).setdefault(plane, {})
    else:
        raise ValueError(f"`{path}` is no quantity of a site or a plane")
    for name in path.name.split(".")[:-1]:
        holder = holder.setdefault(name, {})
    found: Data = holder
    return found
