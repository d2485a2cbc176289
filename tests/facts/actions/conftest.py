"""The loads of an example, with places of its text changed."""

from collections.abc import Callable

import pytest

from selector.facts.actions.loads import loads_of
from selector.facts.actions.model import Loads
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from tests.conftest import ROOT

LoadsOf = Callable[..., Loads]
HALL = (ROOT / "examples" / "reading-hall" / "job.yaml").read_text(encoding="utf-8")


def changed(text: str, changes: dict[str, str]) -> str:
    """A text with each old piece, which must be there once, replaced."""
    for old, new in changes.items():
        assert text.count(old) == 1, f"{text.count(old)} times in the job: {old}"
        text = text.replace(old, new)
    return text


@pytest.fixture
def loads(base: Base) -> LoadsOf:
    """`loads({old: new}, base=...)`: those of the hall, changed."""

    def work_out(changes: dict[str, str] | None = None, base: Base = base) -> Loads:
        job = job_of(read_string(changed(HALL, changes or {}), "job.yaml"), base.vocabulary)
        return loads_of(base, job, job.arrays["a1"])

    return work_out
