"""What nobody found out makes no answer milder: each fact of a job is taken away in turn."""

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
import yaml

from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job
from selector.model.truth import Word
from tests.conftest import ROOT
from tests.kb.test_deletions import Words, loosened, said

Data = dict[str, Any]
Path = tuple[str, ...]
EXAMPLES = ROOT / "examples"
SAID = {"is", "one_of", "places", "sightings", "rectangle", "polygon"}
WHOLE = {"marks", "seams", "objects", "strips", "fixed_at"}  # said of many things at once
OF_AN_ARRAY = ("zones", "crosses", "clamps", "gap_below")
PLACE = ("from_eave", "from_left")
# On two slopes the block of the mill reaches an edge, whatever its engineer's paper says.
FORMS = {
    "mill-house, known": ("monopitch", {"parapet": "none"}),
    "mill-house, two slopes": ("duopitch", {"parapet": "none"}),
    "mill-house, hardly seen": ("duopitch", {}),
}
FEW = {"first-call": 9, "reading-hall": 25}  # facts of jobs that say little
FELT = (("planes", "dome", "clips", "marks"),)
OUTLINE = ("planes", "south", "outline")


def data_of(name: str) -> Data:
    text = (EXAMPLES / name.partition(",")[0] / "job.yaml").read_text(encoding="utf-8")
    data: Data = read_string(text, "job.yaml").data
    if name in FORMS:
        form, more = FORMS[name]
        plane = data["planes"]["south"]
        plane["form"] = {"is": form, "how": "aerial view", "by": "cs"}
        plane |= {key: {"is": word, "how": "eyes", "by": "cs"} for key, word in more.items()}
    return data


def facts(data: Data) -> Iterator[Path]:
    """Paths of all that somebody said of site, planes and arrays, and that papers cover."""

    def below(part: Data, path: Path) -> Iterator[Path]:
        for key, value in part.items():
            if isinstance(value, dict):
                if key in WHOLE or SAID & value.keys():
                    yield (*path, key)
                else:
                    yield from below(value, (*path, key))

    yield from below(data["site"], ("site",))
    yield from below(data["planes"], ("planes",))
    for name, array in data["arrays"].items():
        at = ("arrays", name)
        yield from ((*at, key) for key in OF_AN_ARRAY if key in array)
        yield from ((*at, "block", key) for key in PLACE if key in array["block"])
        yield from ((*at, "stated", key) for key in array.get("stated", {}))
        for key, figure in array.get("stated", {}).items():
            yield from ((*at, "stated", key, "covers", word) for word in figure["covers"][1:])
    for name, paper in data.get("papers", {}).items():
        yield from (("papers", name, "covers", word) for word in paper.get("covers", ()))


def without(data: Data, path: Path) -> Data:
    less = deepcopy(data)
    part: Any = less
    for key in path[:-1]:
        part = part[key]
    if isinstance(part, list):
        part.remove(path[-1])
    else:
        del part[path[-1]]
    return less


def job_in(data: Data, base: Base) -> Job:
    return job_of(read_string(yaml.safe_dump(data), "job.yaml"), base.vocabulary)


def answered(base: Base, judge: Judge, data: Data, pick: bool) -> Words:
    desk = Desk(base, job_in(data, base), judge)
    return said(desk, pick)


def milder(base: Base, judge: Judge, data: Data, pick: bool) -> tuple[int, dict[Path, list[str]]]:
    """How many facts were taken away, and what became milder without which."""
    before = answered(base, judge, data, pick)
    found: dict[Path, list[str]] = {}
    tried = 0
    for path in facts(data):
        tried += 1
        bad = loosened(before, answered(base, judge, without(data, path), pick))
        if bad:
            found[path] = bad
    return tried, found


@pytest.mark.parametrize("name", ["mill-house", *FORMS])
def test_no_fact_less_makes_a_named_stack_milder(base: Base, judge: Judge, name: str) -> None:
    signed = data_of(name)
    unsigned = without(signed, ("papers", "calc", "covers", "roof zones"))
    tried, found = milder(base, judge, unsigned, pick=False)
    assert tried > 60
    assert found == {}
    # what an engineer signs stands for itself only where nobody measured what speaks against it
    _, found = milder(base, judge, signed, pick=False)
    assert found.keys() == ({OUTLINE} if "duopitch" in FORMS.get(name, ()) else set())


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(path.parent.name for path in EXAMPLES.glob("*/job.yaml")))
def test_no_fact_less_makes_an_example_milder(base: Base, judge: Judge, name: str) -> None:
    tried, found = milder(base, judge, data_of(name), pick=name != "seven-traps")
    assert tried >= FEW.get(name, 40)
    assert found.keys() == {path for path in FELT if name == "seven-traps"}


def test_strong_clips_that_nobody_located_are_to_be_felt_for(base: Base, judge: Judge) -> None:
    """Common practice, no source: the condition says the very thing that the marks would say."""
    for path in FELT:
        desk = Desk(base, job_in(without(data_of("seven-traps"), path), base), judge)
        answer = desk.stack("pinned-on-a-sliding-clip")
        (option,) = answer.options
        conditions = [f for f in option.verdict.findings if f.rule.id == "sheet-to-keep-sliding"]
        assert answer.word == Word.CONDITIONAL
        assert any("find the clips first" in f.rule.message for f in conditions)
