"""A file of leftovers: counts and lengths as somebody wrote them, or every fault with its line."""

import pytest

from selector.errors import InputError
from selector.jobs.van_read import van_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.van import Van

HEAD = "seamwright: van/1\n"


def read(base: Base, text: str) -> Van:
    return van_of(read_string(text, "van.yaml"), base, ("demo",))


def test_counts_and_lengths(base: Base) -> None:
    text = f"{HEAD}counted: 2031-03-14\nby: tk\nparts:\n  demo/dl-1: 14\n  mc-1: 0\n"
    found = read(base, f"{text}  rail-u: [2 x 3.60 m, 1100 mm]\n  demo/rail-s: 5.2 m\n")
    assert found.pieces == {"demo/dl-1": 14, "demo/mc-1": 0}
    assert found.lengths["demo/rail-u"] == (3_600_000, 3_600_000, 1_100_000)
    assert found.lengths["demo/rail-s"] == (5_200_000,)
    assert (found.counted, found.by, found.file) == ("2031-03-14", "tk", "van.yaml")
    assert found.has("demo/dl-1") and found.has("demo/rail-u")
    assert not found.has("demo/mc-1") and not found.has("demo/dl-2")


@pytest.mark.parametrize(
    ("entries", "line", "said"),
    [
        ("  dl-99: 4\n", 3, "no part `dl-99`"),
        ("  cases/splice-rigid: 4\n", 3, "no part `cases/splice-rigid`"),
        ("  dl-1: -4\n", 3, "whole pieces"),
        ("  dl-1: 4.5\n", 3, "whole pieces"),
        ("  dl-1: about 10\n", 3, "whole pieces"),
        ("  dl-1: true\n", 3, "whole pieces"),
        ("  dl-1: 10000000\n", 3, "whole pieces"),
        ("  mc-1: 3\n  dl-1: 4\n  demo/dl-1: 5\n", 5, "counted twice"),
        ("  rail-u: 4\n", 3, "length of each piece"),
        ("  rail-u: [3.6]\n", 3, "length of each piece"),
        ("  rail-u: [0 m]\n", 3, "cannot be right"),
        ("  rail-u: [3600 m]\n", 3, "cannot be right"),
        ("  rail-u: [-1 m]\n", 3, "cannot be right"),
    ],
)
def test_each_fault_has_its_line(base: Base, entries: str, line: int, said: str) -> None:
    with pytest.raises(InputError) as error:
        read(base, f"{HEAD}parts:\n{entries}")
    [problem] = error.value.problems
    assert (problem.file, problem.line) == ("van.yaml", line)
    assert said in f"{problem.text} {problem.remedy}"


def test_all_faults_at_once(base: Base) -> None:
    with pytest.raises(InputError) as error:
        read(base, f"{HEAD}parts:\n  dl-99: 1\n  dl-1: none\n")
    assert [problem.line for problem in error.value.problems] == [3, 4]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "- 1\n",
        "seamwright: job/1\n",
        "seamwright: van/2\nparts: {dl-1: 1}\n",
        f"{HEAD}parts: {{}}\n",
        f"{HEAD}parts: [dl-1]\n",
        f"{HEAD}counted: soon\nparts: {{dl-1: 1}}\n",
        f"{HEAD}boxes: {{dl-1: 1}}\n",
        f"{HEAD}parts: {{dl-1: 1, dl-1: 2}}\n",
    ],
)
def test_what_is_no_such_file(base: Base, text: str) -> None:
    with pytest.raises(InputError) as error:
        read(base, text)
    assert all(problem.file == "van.yaml" for problem in error.value.problems)
