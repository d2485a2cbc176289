"""Older files are brought up to date step by step; newer ones are refused."""

from collections.abc import Callable
from typing import Any

import pytest

from selector.errors import InputError
from selector.jobs import migrate
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job

Change = Callable[[str, str], str]
Read = Callable[[str], Job]


def roof_to_planes(data: dict[str, Any]) -> dict[str, Any]:
    """A step from an invented `job/0`, in which planes were called roof."""
    return {("planes" if k == "roof" else k): v for k, v in data.items()} | {
        "seamwright": "job/1",
    }


def test_a_step_brings_an_older_file_up_to_date(
    monkeypatch: pytest.MonkeyPatch, mill: str, read: Read
) -> None:
    text = mill.replace("seamwright: job/1", "seamwright: job/0").replace("\nplanes:", "\nroof:")
    with pytest.raises(InputError, match="no step leads from it"):
        read(text)
    monkeypatch.setitem(migrate.STEPS, 0, roof_to_planes)
    job = read(text)
    assert job.planes["south"].observed.keys() == read(mill).planes["south"].observed.keys()
    assert job.raw["seamwright"] == "job/1"


def test_steps_run_in_order(monkeypatch: pytest.MonkeyPatch) -> None:
    ran: list[int] = []

    def step(version: int) -> Callable[[dict[str, Any]], dict[str, Any]]:
        def run(data: dict[str, Any]) -> dict[str, Any]:
            ran.append(version)
            return {**data, "seamwright": f"job/{version + 1}", "from": version}

        return run

    monkeypatch.setattr(migrate, "NEWEST", 4)
    monkeypatch.setattr(migrate, "STEPS", {v: step(v) for v in (1, 2, 3)})
    document = read_string("seamwright: job/2\nid: x\n", "job.yaml")
    migrate.refuse_other_version(document)
    assert ran == [2, 3]
    assert document.data == {"seamwright": "job/4", "id": "x", "from": 3}


def test_the_newest_version_is_left_alone() -> None:
    document = read_string("seamwright: job/1\nid: x\n", "job.yaml")
    before = dict(document.data)
    migrate.refuse_other_version(document)
    assert document.data == before


def test_a_missing_step_between_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrate, "NEWEST", 3)
    monkeypatch.setattr(migrate, "STEPS", {1: lambda data: data})
    with pytest.raises(InputError, match=r"job\.yaml:1: .*no step leads from it"):
        migrate.refuse_other_version(read_string("seamwright: job/1\nid: x\n", "job.yaml"))


def test_faults_of_a_migrated_file_keep_their_lines(
    monkeypatch: pytest.MonkeyPatch, base: Base, change: Change
) -> None:
    monkeypatch.setitem(migrate.STEPS, 0, lambda data: {**data, "seamwright": "job/1"})
    text = change("is: 22 deg", "is: 22 mm").replace("job/1", "job/0")
    line = text.count("\n", 0, text.index("is: 22 mm")) + 1
    with pytest.raises(InputError) as caught:
        job_of(read_string(text, "job.yaml"), base.vocabulary)
    assert [p.line for p in caught.value.problems] == [line]


@pytest.mark.parametrize(
    ("given", "text", "remedy"),
    [
        ("job/2", "this file is `job/2`; this program reads `job/1`", "install a newer version"),
        ("job/9999", "this file is `job/9999`", "install a newer version"),
        ("job/0", "this file is `job/0`; this program reads `job/1`", "no step leads from it"),
        ("job/1.5", "this is not a job file: its first key must be `seamwright: job/1`", "start"),
        ("job/12345", "this is not a job file", "start from a file in examples"),
        ("job", "this is not a job file", "start from a file in examples"),
        ("1", "this is not a job file", "start from a file in examples"),
        ("[job/1]", "this is not a job file", "start from a file in examples"),
        ("null", "this is not a job file", "start from a file in examples"),
    ],
)
def test_another_version_is_one_clear_error(given: str, text: str, remedy: str) -> None:
    document = read_string(f"# a job\nseamwright: {given}\nid: x\n", "job.yaml")
    with pytest.raises(InputError) as caught:
        migrate.refuse_other_version(document)
    [problem] = caught.value.problems
    assert str(problem).startswith(f"job.yaml:2: {text}")
    assert problem.remedy.startswith(remedy)
