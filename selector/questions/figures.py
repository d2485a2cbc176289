"""A figure that a paper states, said otherwise: what was copied wrong is put right in its place."""

from copy import deepcopy
from dataclasses import dataclass

from selector import units
from selector.jobs.read import LEAST_RESERVE, MOST_RESERVE, STATED
from selector.questions.typed import Data, figure
from selector.questions.wrong import Words, WrongError

PAPERS, STATES = "papers.", "stated."
RESERVE = ".up_to"  # after the key of a paper: the load reserve that it states
MOST = {"force": units.parse("1000 kN", "force"), "pressure": units.parse("100 kPa", "pressure")}


@dataclass(frozen=True)
class Figure:
    """A figure that stands in a job, by its key there."""

    key: str
    name: str  # of the figure, or of the paper whose load reserve it is
    dimension: str
    window: tuple[int, int]  # what is plausible


def figure_named(job: Data, array: str, key: str) -> Figure | None:
    """The figure that a key means, its own or that of its paper; None where none stands there.

    WrongError where a paper states several.
    """
    wanted = "_".join(key.lower().split())
    if not wanted.startswith(PAPERS):
        name = wanted.removeprefix(STATES)
        return _stated(name) if name in job["arrays"][array].get("stated", {}) else None
    found = list(_of_papers(job, array, wanted.removeprefix(PAPERS)))
    if len(found) > 1:
        raise WrongError("typed.fits", given=key, names=Words(tuple(f.key for f in found)))
    return found[0] if found else None


def with_figure(job: Data, array: str, which: Figure, text: str) -> Data:
    """The job with another figure in the place of the old; ValueError says what was expected."""
    shown = figure(text, which.dimension, units.SHOWN[which.dimension], which.window)
    new = deepcopy(job)
    if which.key.startswith(STATES):
        new["arrays"][array]["stated"][which.name]["is"] = shown
    else:
        new["papers"][which.name]["up_to"] = shown
    return new


def _stated(name: str) -> Figure:
    return Figure(STATES + name, name, STATED[name], (1, MOST[STATED[name]]))


def _of_papers(job: Data, array: str, wanted: str) -> list[Figure]:
    """Figures of a paper, its load reserve first; the reserve alone where the key says so."""
    found = []
    for paper, data in job.get("papers", {}).items():
        if "up_to" in data and wanted in (paper.lower(), paper.lower() + RESERVE):
            window = (LEAST_RESERVE, MOST_RESERVE)
            found.append(Figure(PAPERS + paper + RESERVE, paper, "pressure", window))
        if wanted == paper.lower():
            stated = job["arrays"][array].get("stated", {})
            found += [_stated(name) for name, one in stated.items() if one["paper"] == paper]
    return found
