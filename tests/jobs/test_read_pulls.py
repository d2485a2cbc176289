"""Reading a file of pull tests: what it gives, and every complaint with file, line and remedy."""

import re
from typing import Any

import pytest

from selector.errors import InputError
from selector.jobs.pull_read import pulls_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.model.pull import LINK_KEYS
from tests.facts.links.pull_files import FACTORS, HEAD, failed, file_of, held, text_of

THREE = [failed(x) for x in (1.1, 1.2, 1.0)]


def refused(base: Base, text: str) -> list[str]:
    """Every complaint about a text."""
    with pytest.raises(InputError) as caught:
        pulls_of(read_string(text, "pulls.yaml"), base.vocabulary)
    return [str(problem) for problem in caught.value.problems]


def test_what_is_read(base: Base) -> None:
    record = FACTORS | {
        "distribution": "{is: log-normal, paper: plan}",
        "variation": "{is: 12 %, paper: prior}",
    }
    demand = {"edge": "{is: 450 N, paper: calc}"}
    other = failed(0.5, "edge", to_hold="0.68 kN", but="{deck: OSB}")
    read = file_of(base, failed(1.1), held(0.7), other, record=record, demand=demand)
    assert (read.pulled_on, read.pulled_by, read.tool_ran_out) == ("2031-04-22", "roofer", False)
    assert read.link["deck_thickness"] == "24 mm"
    assert set(read.link) == set(LINK_KEYS) - {"nails"}
    assert read.asked.variation is not None
    assert read.asked.variation.value == pytest.approx(0.12)
    assert (read.asked.distribution, read.asked.direct) == ("log-normal", None)
    assert read.demand["edge"].value == 450.0
    one, two, three = read.pulls
    assert (one.failed_mn, one.in_sample, one.mode) == (1_100_000, True, "nails draw out")
    assert (two.held_mn, two.seconds, two.in_sample) == (700_000, 60, False)
    assert (three.to_hold_mn, three.in_sample, three.link["deck"]) == (680_000, False, "OSB")


@pytest.mark.parametrize(
    ("written", "seconds"), [("60 s", 60), ("5 min", 300), ("2 h", 7200), ("90 s", 90)]
)
def test_how_long_it_was_held(base: Base, written: str, seconds: int) -> None:
    [pull] = file_of(base, held(0.7) | {"for": written}).pulls
    assert pull.seconds == seconds


def test_a_clip_that_held_may_be_pulled_on(base: Base) -> None:
    at = {"seam": "s05", "from_eave": "0.70 m"}
    assert len(file_of(base, held(0.7) | at, failed(1.3) | at).pulls) == 2


HEADS = [  # what stands in the head, what instead, what is said of it
    ("seamwright: pull/1", "seamwright: pull/2", "this is no file of pull tests"),
    ("seamwright: pull/1", "seamwright: job/1", "this is no file of pull tests"),
    ("id: made-up", "id: Made up", "expected a short name"),
    ("as_of: 2031-05-06", "as_of: 2031-04-21", "`on` is 2031-04-22, after `as_of`"),
    ("invented: true", "invented: perhaps", "`invented`"),
    ("roof: nowhere", "roofs: nowhere", "unknown key `roofs`; did you mean `roof`?"),
    ("roof: nowhere\n", "", "key `roof` is missing"),
    ("by: rk", "by: rl", "nobody `rl` under `people`; known here: rk"),
    ("tool: puller, ", "", "key `tool` is missing in `pulled`"),
    ("calibrated: 2030-11-02", "calibrated: 2031-04-23", "after the pulls on 2031-04-22"),
    ("calibrated: 2030-11-02", "calibrated: last autumn", "expected a date"),
    ("calibrated_until: 2031-11-01", "calibrated_until: 2030-11-01", "is before `calibrated`"),
    ("kind: letter", "kind: lettre", "`lettre` is no kind of paper; did you mean `letter`?"),
    ("link: clip in deck", "link: clamp on seam", "`link` is `clamp on seam`; use one of"),
    ("clip: hand-folded", "clip: hand-folden", "no clip that is known here; did you mean"),
    ("clip: hand-folded clip", "clip: none", "`none` is no clip"),
    ("deck: boards", "deck: board", "no deck that is known here; did you mean `boards`?"),
    ("shape: double-lock", "shape: double", "no shape that is known here"),
    ("metal: zinc", "metal: tin", "no metal that is known here"),
    ("deck_thickness: 24 mm", "deck_thickness: 24", "with its unit"),
    ("deck_thickness: 24 mm", "deck_thickness: 24 m", "cannot be right"),
    ("sheet_thickness: 0.70 mm", "sheet_thickness: 7.0 mm", "cannot be right"),
    ("sheet_thickness: 0.70 mm", "sheet_thickness: 0,70 mm", "expected a length"),
    ("direction: away from the roof", "direction: up", "`direction` is `up`; use one of"),
    ("failure: break", "failure: moved", "expected `break` or `moved 3 mm`"),
    ("failure: break", "failure: moved 0 mm", "expected `break` or `moved 3 mm`"),
]


@pytest.mark.parametrize(("old", "new", "said"), HEADS)
def test_a_wrong_head(base: Base, old: str, new: str, said: str) -> None:
    assert HEAD.count(old) == 1
    complaints = refused(base, text_of(*THREE, head=HEAD.replace(old, new)))
    assert any(said in c for c in complaints), complaints
    assert all(re.match(r"pulls\.yaml:\d+: ", c) for c in complaints)


PULLS: list[tuple[dict[str, str], str]] = [
    (failed(1.1) | {"zone": "middle"}, "`middle` is no zone that is known here"),
    (failed(1.1) | {"failed_at": "1.1"}, "given `1.1`"),
    (failed(1.1) | {"failed_at": "1.1 kg"}, "is a mass"),
    (failed(1.1) | {"failed_at": "0 kN"}, "cannot be right"),
    (failed(1.1) | {"failed_at": "-1 kN"}, "is negative"),
    (failed(1.1) | {"failed_at": "1100 kN"}, "cannot be right"),
    (failed(1.1) | {"failed_at": ".nan"}, "expected a force"),
    (failed(1.1) | {"held": "1.0 kN"}, "give either `failed_at` or `held`"),
    ({"zone": "field"}, "give either `failed_at` or `held`"),
    ({"zone": "field", "failed_at": "1.1 kN"}, "`failed_at` wants `mode`"),
    ({"zone": "field", "held": "1.1 kN"}, "`held` wants `for`"),
    (held(1.1) | {"for": "a while"}, "such as `60 s` or `5 min`"),
    (held(1.1) | {"for": "0 s"}, "cannot be right"),
    (held(1.1) | {"for": "60"}, "such as `60 s` or `5 min`"),
    (held(1.1) | {"mode": "nothing"}, "what held has no `mode`"),
    (failed(1.1) | {"for": "60 s"}, "`for` belongs to `held`"),
    (failed(1.1) | {"to_hold": "1.1 kN"}, "leave `to_hold` out"),
    (failed(1.1) | {"from_eave": "-1 m"}, "is negative"),
    (failed(1.1) | {"from_eave": "1 km"}, "cannot be right"),
    (failed(1.1) | {"sceam": "s01"}, "unknown key `sceam`; did you mean `seam`?"),
    (failed(1.1) | {"but": "{deck: planks}"}, "no deck that is known here"),
    (failed(1.1) | {"but": "{zone: edge}"}, "unknown key `zone`"),
]


@pytest.mark.parametrize(("pull", "said"), PULLS)
def test_a_wrong_pull_is_found_at_its_line(base: Base, pull: dict[str, str], said: str) -> None:
    text = text_of(*THREE, pull)
    last = len(text.splitlines())
    complaints = refused(base, text)
    assert any(said in c and c.startswith(f"pulls.yaml:{last}: ") for c in complaints), complaints


def test_a_clip_fails_once(base: Base) -> None:
    at = {"seam": "s05", "from_eave": "0.70 m"}
    [said] = refused(base, text_of(failed(1.1) | at, failed(1.3), failed(1.2) | at))
    assert "the clip on `s05` at this height failed before, in pull 1" in said
    [said] = refused(base, text_of(failed(1.1) | at, held(0.5) | at))
    assert "failed before" in said


RECORDS: list[tuple[dict[str, str], str]] = [
    ({"eta_d": "{is: 0.9}"}, "key `paper` is missing"),
    ({"eta_d": "{is: 0.9, paper: nowhere}"}, "no paper `nowhere` under `papers`"),
    ({"eta_d": "{is: 0.9, paper: plan}"}, "`plan` is a letter; `eta_d` counts only from others"),
    ({"eta_d": "{is: 1.1, paper: calc}"}, "eta_d is a number from 0.05 to 1, given `1.1`"),
    ({"eta_d": "{is: 0, paper: calc}"}, "eta_d is a number from"),
    ({"eta_d": "{is: .nan, paper: calc}"}, "eta_d is a number from"),
    ({"gamma_m": "{is: 0.9, paper: calc}"}, "gamma_M is a number from 1 to 10"),
    ({"gamma_m": "{is: 1.33, paper: plan}"}, "`gamma_m` counts only from others"),
    ({"distribution": "{is: gamma, paper: plan}"}, "use one of"),
    ({"distribution": "{is: normal, paper: calc}"}, "not before the pulls on 2031-04-22"),
    ({"variation": "{is: 12 %, paper: calc}"}, "not before the pulls on 2031-04-22"),
    ({"variation": "{is: 0.12, paper: prior}"}, "with its unit"),
    ({"variation": "{is: 120 %, paper: prior}"}, "cannot be right"),
    ({"variation": "{is: 12 %, paper: plan}"}, "`variation` counts only from others"),
    ({"method": "{is: EN 1990 D.7.3, paper: calc}"}, "not before the pulls on 2031-04-22"),
    ({"method": "{is: EN 1990 D.7.4, paper: plan}"}, "use one of"),
    (FACTORS | {"method": "{is: EN 1990 D.7.3, paper: plan}"}, "`gamma_m` has no place in D.7.3"),
    ({"eta": "{is: 0.9, paper: calc}"}, "unknown key `eta`"),
]


@pytest.mark.parametrize(("record", "said"), RECORDS)
def test_a_wrong_record(base: Base, record: dict[str, str], said: str) -> None:
    complaints = refused(base, text_of(*THREE, record=record))
    assert any(said in c for c in complaints), complaints
    assert all(re.match(r"pulls\.yaml:\d+: ", c) for c in complaints)


@pytest.mark.parametrize(("day", "early"), [("2031-04-21", True), ("2031-04-22", False)])
def test_the_day_of_the_pulls_is_not_before_them(base: Base, day: str, early: bool) -> None:
    head = HEAD.replace("dated: 2031-04-10", f"dated: {day}")
    record = {"distribution": "{is: normal, paper: plan}"}
    if early:
        assert file_of(base, *THREE, head=head, record=record).asked.distribution == "normal"
    else:
        [said] = refused(base, text_of(*THREE, head=head, record=record))
        assert "not laid down before testing" in said


@pytest.mark.parametrize(
    ("demand", "said"),
    [
        ({"edge": "{is: 0.4 kN, paper: plan}"}, "`edge` counts only from others"),
        ({"verge": "{is: 0.4 kN, paper: calc}"}, "`verge` is no zone"),
        ({"edge": "{is: 0.4 kPa, paper: calc}"}, "is a pressure"),
        ({"edge": "0.4 kN"}, "`edge`"),
    ],
)
def test_a_wrong_demand(base: Base, demand: dict[str, str], said: str) -> None:
    complaints = refused(base, text_of(*THREE, demand=demand))
    assert any(said in c for c in complaints), complaints


def test_every_problem_is_said_at_once(base: Base) -> None:
    head = HEAD.replace("metal: zinc", "metal: tin").replace("by: rk", "by: rl")
    record = {"eta_d": "{is: 0.9, paper: plan}"}
    complaints = refused(base, text_of(*THREE, failed(1.1, "middle"), head=head, record=record))
    assert len(complaints) == 4


@pytest.mark.parametrize("text", ["- 1\n", "seamwright: pull/1\n", "hello\n", HEAD])
def test_what_is_no_whole_file(base: Base, text: Any) -> None:
    assert refused(base, text)
