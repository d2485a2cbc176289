"""A job file as a substitution would make it: what is set, what falls away, what is refused."""

from typing import Any

import pytest

from selector.errors import InputError
from selector.jobs.changed import exchanged, with_set
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import Document, read_file
from tests.conftest import ROOT

FILE = ROOT / "examples" / "granary" / "job.yaml"


@pytest.fixture
def document() -> Document:
    return read_file(FILE, "granary.yaml")


def test_only_the_named_value_changes(base: Base, document: Document) -> None:
    changed = with_set(document, base.vocabulary, "planned", {"torque": "12 Nm"})
    assert changed.sets == (("torque", "not set", "12 Nm"),)
    assert changed.void == ()
    assert changed.job.stacks["planned"].torque is not None
    assert changed.job.stacks["planned"].slots["clamp"] == "demo/dl-1"
    assert not changed.places_moved


def test_the_file_that_was_read_stays_as_it_is(base: Base, document: Document) -> None:
    before = repr(document.data)
    with_set(document, base.vocabulary, "planned", {"array.tilt": "5 deg", "rail": "none"})
    assert repr(document.data) == before


def test_figures_of_the_array_fall_away_with_its_tilt(base: Base, document: Document) -> None:
    changed = with_set(document, base.vocabulary, "planned", {"array.tilt": "5 deg"})
    assert changed.places_moved
    assert set(changed.void) == set(document.data["arrays"]["a1"]["stated"])
    assert changed.job.arrays["a1"].stated == {}


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("array.module", "demo/module-q40"),
        ("array.orientation", "landscape"),
        ("array.block.gap", "30 mm"),
        ("array.block.from_eave", "1.5 m"),
        ("array.tilt", "5 deg"),
    ],
)
def test_every_figure_of_an_array_falls_away_with_it(
    base: Base, document: Document, path: str, value: str
) -> None:
    """Size, mass, way up and rows of the modules: what was worked out for others is void."""
    changed = with_set(document, base.vocabulary, "planned", {path: value})
    assert set(changed.void) == set(document.data["arrays"]["a1"]["stated"])
    assert changed.job.arrays["a1"].stated == {} and changed.job.stacks["planned"].stated == {}
    assert changed.places_moved


def test_pressures_stay_where_only_clamps_move(base: Base, document: Document) -> None:
    changed = with_set(document, base.vocabulary, "planned", {"array.clamps": "every second seam"})
    assert set(changed.job.arrays["a1"].stated) == {"net_uplift", "net_down"}
    assert "uplift_per_clamp" in changed.void


@pytest.mark.parametrize(
    ("stack", "sets", "said"),
    [
        ("plannd", {"torque": "12 Nm"}, "no stack `plannd`"),
        ("planned", {"torque": "12"}, "torque"),
        ("planned", {"torque": "nan Nm"}, "torque"),
        ("planned", {"torque": "-12 Nm"}, "torque"),
        ("planned", {"torqe": "12 Nm"}, "torqe"),
        ("planned", {"clamp.metal": "steel"}, "holds no further values"),
        ("planned", {"stated.clip_share": {"is": "0 kN"}}, "no change of hands"),
        ("planned", {"accepted": ["place-to-be-looked-at"]}, "no change of hands"),
        ("planned", {"array.stated.clip_share": {"is": "0 kN"}}, "no change of hands"),
        ("planned", {"": "12 Nm"}, "no path"),
        ("planned", {"layout..clamps": "every seam"}, "no path"),
        ("planned", {"clamp": "demo/dl-1"}, "nothing is changed"),
        ("planned", {"tightened": "well"}, "tightened"),
    ],
)
def test_what_cannot_be_set_is_refused(
    base: Base, document: Document, stack: str, sets: dict[str, Any], said: str
) -> None:
    with pytest.raises(InputError) as error:
        with_set(document, base.vocabulary, stack, sets)
    assert said in str(error.value)
    assert all(problem.file.startswith("granary.yaml") for problem in error.value.problems)


@pytest.mark.parametrize(("path", "value"), [("torqe", "12 Nm"), ("array.tilt", "steep")])
def test_no_line_of_the_file_is_blamed_for_what_was_set(
    base: Base, document: Document, path: str, value: str
) -> None:
    with pytest.raises(InputError) as error:
        with_set(document, base.vocabulary, "planned", {path: value})
    assert [p.place for p in error.value.problems] == [f"granary.yaml with `{path}={value}`"]


def test_a_part_for_a_part(document: Document) -> None:
    assert exchanged(document, "planned", [("demo/dl-1", "demo/dl-3")]) == {"clamp": "demo/dl-3"}
    assert exchanged(document, "planned", [("demo/rail-u", "none")]) == {"rail": "none"}


def test_an_adapter_is_exchanged_in_its_list(document: Document) -> None:
    plan = {**document.data["stacks"]["planned"], "adapters": ["demo/x", "demo/y"]}
    data = {**document.data, "stacks": {"planned": plan}}
    with_both = Document(document.file, data, document.lines)
    pairs = [("demo/x", "none"), ("demo/y", "demo/z")]
    assert exchanged(with_both, "planned", pairs) == {"adapters": ["demo/z"]}


def test_a_part_that_is_not_there_has_near_names(document: Document) -> None:
    with pytest.raises(InputError) as error:
        exchanged(document, "planned", [("demo/dl-2", "demo/dl-3")])
    assert "`demo/dl-2` is not in stack `planned`" in str(error.value)
    assert "demo/dl-1" in str(error.value)
