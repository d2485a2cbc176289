"""Judged cases as jobs: a case's own facts over what all cases leave unsaid, nothing else."""

from copy import deepcopy
from pathlib import Path
from typing import Any

from selector.jobs.read import job_of
from selector.jobs.write import text_of
from selector.knowledge.base import Vocabulary
from selector.knowledge.yaml_reader import Document, read_file, read_string
from selector.model.job import Job
from selector.units import parse, show

HERE = Path(__file__).parent
Data = dict[str, Any]
CALLIPER = ("height", "head", "leg", "bulb", "neck")
ANSWERS = ("is", "one_of", "places", "unknown", "hint", "sightings")


def cases() -> list[str]:
    """Names of the cases about one stack or the choice among all."""
    return [name for name in _names() if name not in swaps()]


def swaps() -> list[str]:
    """Names of the cases about a substitution."""
    return [name for name in _names() if name.startswith("SUB-")]


def _names() -> list[str]:
    return sorted(p.parent.name for p in HERE.glob("*/job.yaml"))


def merged(name: str, change: Data | None = None, *, drawn: bool = True) -> Data:
    """The whole job of a case; `change` lies over the case's own facts.

    Where it is `drawn`, no share of the clips is stated that marks and a drawing give.
    """
    silent = read_file(HERE / "silent.yaml", "silent.yaml").data
    case = over(change or {}, read_file(HERE / name / "job.yaml", f"{name}/job.yaml").data)
    unknown: Data = {}
    for path in case.pop("unknown", ()):
        _put(unknown, path.split("."), {"unknown": "don't know"})
    facts = over(case, unknown)
    for block in _blocks(silent, facts):
        facts = over(facts, block)
    facts = over(facts, silent["always"])
    if drawn:
        _leave_to_the_drawing(facts, case)
    return {"seamwright": "job/1", "id": name.lower(), **_written_out(facts)}


def document(name: str, change: Data | None = None, *, drawn: bool = True) -> Document:
    """The whole job of a case as a file would hold it."""
    return read_string(text_of(merged(name, change, drawn=drawn)), f"{name}/job.yaml")


def job(
    name: str, vocabulary: Vocabulary, change: Data | None = None, *, drawn: bool = False
) -> Job:
    """The case as the program reads it."""
    return job_of(document(name, change, drawn=drawn), vocabulary)


def light(name: str) -> Data:
    """The figures that a case does not state at a hundredth: the other end of what passes."""
    ours = read_file(HERE / "silent.yaml", "silent.yaml").data["always"]["arrays"]["a1"]["stated"]
    case = read_file(HERE / name / "job.yaml", f"{name}/job.yaml").data
    stated = case.get("arrays", {}).get("a1", {}).get("stated", {})
    less = {}
    for figure in set(ours) - set(stated):
        number, unit = ours[figure]["is"].split()
        less[figure] = {**ours[figure], "is": f"{float(number) / 100:.4f} {unit}"}
    return {"arrays": {"a1": {"stated": less}}}


def over(upper: Data, lower: Data) -> Data:
    """Both, key by key; what `upper` says of one quantity, paper or figure stands whole."""
    found = deepcopy(lower)
    for key, value in upper.items():
        below = found.get(key)
        whole = not isinstance(value, dict) or not isinstance(below, dict) or _is_whole(value)
        found[key] = deepcopy(value) if whole else over(value, below)
    return found


def _is_whole(value: Data) -> bool:
    return any(key in value for key in (*ANSWERS, "dated"))


def _leave_to_the_drawing(facts: Data, case: Data) -> None:
    """No share of the clips is stated where marks and a drawing give it."""
    array = facts["arrays"]["a1"]
    own = case.get("arrays", {}).get("a1", {}).get("stated", {})
    drawn = any("layout" in stack for stack in facts.get("stacks", {}).values())
    marked = facts["planes"]["roof"].get("clips", {}).get("marks") == "as spaced"
    if drawn and marked and "clip_share" not in own:
        del array["stated"]["clip_share"]


def _put(data: Data, keys: list[str], value: Data) -> None:
    for key in keys[:-1]:
        data = data.setdefault(key, {})
    data[keys[-1]] = value


def _blocks(silent: Data, facts: Data) -> list[Data]:
    """Blocks that the stated class and metal call for; none for what nobody knows."""
    found: list[Data] = []
    roof = facts.get("planes", {}).get("roof", {})
    shape = roof.get("seam", {}).get("shape")
    if isinstance(shape, str):
        stated = silent["class_is_stated"]
        if shape != "trapezoidal":
            found.append({"planes": {"roof": {"seam": stated["fold"]}}})
        found.append({"planes": {"roof": {"seam": silent["sizes"].get(shape, {})}}})
        found.append(silent[silent["blocks"][shape]])
        ways = [{"is": shape, "how": w, "by": "judge"} for w in stated["sightings"]]
        roof["seam"]["shape"] = {"sightings": ways}
    metal = roof.get("sheet", {}).get("metal")
    if isinstance(metal, str):
        roof["sheet"] |= silent["members"][metal]
        thickness = silent["thickness"][roof["sheet"]["metal"]]
        found.append({"planes": {"roof": {"sheet": {"thickness": thickness}}}})
    return found


def _written_out(facts: Data) -> Data:
    """Every bare word as the job file wants it: exact, from the case, or by its tool."""
    found = deepcopy(facts)
    found["site"] = {k: _seen(k, v) for k, v in facts["site"].items()}
    for key, plane in found["planes"].items():
        marked = plane.get("clips", {}).pop("marks", None) == "as spaced"
        found["planes"][key] = _seen_all(plane)
        if marked:
            seams = found["arrays"]["a1"]["crosses"]
            step, length = plane["clips"]["spacing"], plane["sheet"]["length"]
            found["planes"][key]["clips"]["marks"] = _marks(step, seams, length)
    return found


def _seen_all(data: Data) -> Data:
    groups = {k: v for k, v in data.items() if isinstance(v, dict) and not _is_whole(v)}
    return {k: _seen_all(v) if k in groups else _seen(k, v) for k, v in data.items()}


def _seen(key: str, value: Any) -> Data:
    """A size is three equal places by calliper, a spacing by tape; all else is exact."""
    if isinstance(value, dict):
        return value
    if key in CALLIPER or key == "spacing":
        tool = "tape" if key == "spacing" else "calliper"
        places = value if isinstance(value, list) else [value] * 3
        return {"places": places, "tool": tool, "by": "judge"}
    return {"is": value, "paper": "case"}


def _marks(spacing: str | list[str], seams: list[str], length: str) -> Data:
    """Marks on every seam, one bay from the eave and then one bay apart, by the narrowest bay."""
    steps = [spacing] if isinstance(spacing, str) else spacing
    step = min(parse(s, "length") for s in steps)
    places = range(step, parse(length, "length"), step)
    marks = [show(place, "length") for place in places]
    return {"how": "low sun", "by": "judge", "seams": dict.fromkeys(seams, marks)}
