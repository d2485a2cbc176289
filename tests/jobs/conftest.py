"""The text of the mill house, and the way to read a changed one."""

from collections.abc import Callable

import pytest

from selector.errors import InputError, Problem
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import read_string
from selector.model.job import Job


@pytest.fixture(scope="session")
def mill() -> str:
    return (home().examples / "mill-house" / "job.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def change(mill: str) -> Callable[[str, str], str]:
    """The text with one place replaced; the place must be there exactly once."""

    def changed(old: str, new: str) -> str:
        assert mill.count(old) == 1, f"{mill.count(old)} times in the file: {old}"
        return mill.replace(old, new)

    return changed


@pytest.fixture(scope="session")
def read(base: Base) -> Callable[[str], Job]:
    def job(text: str) -> Job:
        return job_of(read_string(text, "job.yaml"), base.vocabulary)

    return job


@pytest.fixture(scope="session")
def faults(read: Callable[[str], Job]) -> Callable[[str], tuple[Problem, ...]]:
    """Every problem of a text that must not read."""

    def found(text: str) -> tuple[Problem, ...]:
        with pytest.raises(InputError) as caught:
            read(text)
        assert caught.value.problems
        for problem in caught.value.problems:
            assert problem.file == "job.yaml"
            assert 1 <= problem.line <= text.count("\n") + 1
        return caught.value.problems

    return found
