"""A job file as a substitution would make it: values of one stack or its array set, nothing else.

Figures that somebody worked out for what is changed fall away with the change: where places or
the pattern of clamps move, those of clamps and clips; where the array itself is another, all.
"""

from collections.abc import Iterable, Mapping
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from selector.errors import InputError, Problem, near
from selector.jobs.read import job_of
from selector.knowledge.base import Vocabulary
from selector.knowledge.yaml_reader import Document
from selector.model.job import Job

PRESSURES = ("net_uplift", "net_down")
DRAWN = ("layout", "clamps", "rail_lines", "crosses")  # clamps and lines move, modules stay
SINGLE = ("clamp", "insert", "inlay", "bolts", "rail", "cross", "upper_rail", "frame")
PARTS = (*SINGLE, "module_clamp")
ARRAY = "array."
Data = dict[str, Any]


@dataclass(frozen=True)
class Changed:
    """The changed job, what was set (path, before, after), and the figures that fell away."""

    job: Job
    sets: tuple[tuple[str, str, str], ...]
    void: tuple[str, ...]

    @property
    def places_moved(self) -> bool:
        """Whether clamps, lines or the array lie elsewhere than before."""
        return any(_field(path) in DRAWN or path.startswith(ARRAY) for path, *_ in self.sets)


def with_set(
    document: Document, vocabulary: Vocabulary, stack: str, sets: Mapping[str, Any]
) -> Changed:
    """The job with values set below a stack, or below its array (`array.tilt`).

    InputError for a stack or path that is not there, for a value that the job file would not
    take, and for a change that changes nothing.
    """
    data: Data = deepcopy(document.data)
    plan, array = _plan(document, data, stack)
    done = tuple(_put(document, plan, array, stack, path, value) for path, value in sets.items())
    if all(before == after for _, before, after in done):
        text = "nothing is changed: " + ", ".join(f"`{path}` is {now}" for path, now, _ in done)
        raise InputError.of(text, "give what comes in its place", file=document.file)
    void = tuple(dict.fromkeys(_void(done, plan, array)))
    try:
        job = job_of(Document(document.file, data, document.lines), vocabulary)
    except InputError as error:
        raise InputError(_with(done, problem) for problem in error.problems) from None
    return Changed(job, done, void)


def exchanged(document: Document, stack: str, pairs: Iterable[tuple[str, str]]) -> dict[str, Any]:
    """What to set so that each first part of a pair gives way to the second one (or `none`)."""
    plan, _ = _plan(document, document.data, stack)
    sets: dict[str, Any] = {}
    for out, into in pairs:
        filled = {slot: plan[slot] for slot in PARTS if plan.get(slot, "none") != "none"}
        adapters = list(sets.get("adapters", _listed(plan.get("adapters"))))
        slots = [slot for slot, part in filled.items() if part == out]
        if not slots and out not in adapters:
            text = f"`{out}` is not in stack `{stack}`"
            remedy = near(out, (*filled.values(), *adapters))
            raise InputError.of(text, remedy, file=document.file)
        sets |= dict.fromkeys(slots, into)
        if out in adapters:
            left = [into if part == out else part for part in adapters]
            sets["adapters"] = [part for part in left if part != "none"]
    return sets


def _plan(document: Document, data: Any, stack: str) -> tuple[Data, Data]:
    """Data of a stack and of its array."""
    stacks = data.get("stacks") if isinstance(data, dict) else None
    named = stacks if isinstance(stacks, dict) else {}
    if not isinstance(named.get(stack), dict):
        remedy = near(stack, named) or "name one under `stacks` of the job"
        raise InputError.of(f"no stack `{stack}`", remedy, file=document.file)
    plan: Data = named[stack]
    arrays = data.get("arrays")
    array = arrays.get(plan.get("array")) if isinstance(arrays, dict) else None
    return plan, array if isinstance(array, dict) else {}


def _put(
    document: Document, plan: Data, array: Data, stack: str, path: str, value: Any
) -> tuple[str, str, str]:
    """One value put into the data; the path with what stood there and what stands there now."""
    inside = path.removeprefix(ARRAY)
    within = array if path.startswith(ARRAY) else plan
    *above, last = inside.split(".")
    if not all((*above, last)):
        text = f"`{path}` is no path: expected words with dots between, such as `layout.clamps`"
        raise InputError.of(text, file=document.file)
    if inside in ("array", "stated", "accepted") or above[:1] in (["stated"], ["accepted"]):
        text = f"`{path}` is no change of hands: figures, papers and consent are not swapped"
        raise InputError.of(text, "write them into the job file", file=document.file)
    for key in above:
        within = within.setdefault(key, {})
        if not isinstance(within, dict):
            text = f"`{path}`: `{key}` of stack `{stack}` holds no further values"
            raise InputError.of(text, f"set `{key}` whole", file=document.file)
    before = within.get(last, "none" if last in PARTS else "not set")
    within[last] = value
    if path == "layout.clamps" and isinstance(value, str):
        array["clamps"] = value  # the pattern of the array is the one that is drawn
    return path, _shown(before), _shown(value)


def _with(done: Iterable[tuple[str, str, str]], problem: Problem) -> Problem:
    """A problem of what was set: no line of the file is to blame for it."""
    sets = ", ".join(f"`{path}={after}`" for path, _, after in done)
    return replace(problem, file=f"{problem.file} with {sets}", line=0)


def _field(path: str) -> str:
    return path.removeprefix(ARRAY).partition(".")[0]


def _void(done: Iterable[tuple[str, str, str]], plan: Data, array: Data) -> Iterable[str]:
    """Takes figures out of the data that were worked out for what is changed; their names."""
    for path, before, after in done:
        drawn = _field(path) in DRAWN
        if before == after or not (drawn or path.startswith(ARRAY)):
            continue
        for holder in (plan, array):
            stated = holder.get("stated")
            for name in list(stated) if isinstance(stated, dict) else ():
                if not drawn or name not in PRESSURES:
                    del holder["stated"][name]
                    yield name


def _listed(value: Any) -> list[Any]:
    """A list, whether one thing or several were written."""
    if value is None:
        return []
    return list(value) if isinstance(value, list) else [value]


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "; ".join(f"{k}: {_shown(v)}" for k, v in value.items())
    if isinstance(value, list):
        return ", ".join(map(_shown, value)) or "none"
    return str(value)
