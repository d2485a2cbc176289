"""An old answer comes again byte for byte, and what changed since is found."""

import json
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path

import pytest

from selector.knowledge.yaml_reader import read_string
from selector.store import replay as replay_module
from selector.store.replay import Knowledge, Replayed, replay
from selector.store.store import Store, opened
from tests.conftest import ROOT
from tests.store.conftest import Edit, KeepJob
from tests.store.made import variations

CLAMPS = "kb/catalogues/demo/clamps.yaml"
DL_1 = "offers: under-lip, grips: [{shape: double-lock, height: 22 to 30 mm, head: 5 to 8 mm}]"
NARROW: Edit = (  # the seam of the mill house is 24.3 to 25.8 mm high
    CLAMPS,
    f"6xxx}}, {DL_1}, torque: 11 Nm, clip_distance: 95 mm, set_screw: {{metal: {{metal: stainless, "
    "grade: A2}, tip: dome, count: 2, mass: 8 g, price: 0.30 EUR}, revision: C",
    "",
)
MILL = (ROOT / "examples/mill-house/job.yaml").read_text("utf-8")
ASKED = {"kind": "judge", "stack": "planned"}
WORDING: Edit = ("kb/texts/en.yaml", "a yes as it stands", "a plain yes")


def narrow() -> Edit:
    file, old, _ = NARROW
    return file, old, old.replace("22 to 30 mm", "22 to 24 mm")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with opened(tmp_path / "jobs.sqlite", write=True) as store:
        yield store


def replayed(store: Store, today: dict[str, str]) -> Replayed:
    [event] = store.history()
    old = store.base(event.entry.base)
    return replay(
        store, event.entry, lambda: Knowledge(old), lambda: Knowledge(today), lambda share: None
    )


def test_with_the_same_base_the_answer_comes_again(
    store: Store, keep_job: KeepJob, shipped: dict[str, str]
) -> None:
    event = keep_job(store, "mill-house", MILL, ASKED)
    found = replayed(store, shipped)
    assert found.same and not found.other_program and not found.fault
    assert found.today is None and found.otherwise is None
    assert found.data.encode() == store.text(event.entry.data)
    assert json.loads(found.data)["word"] == event.entry.word == "conditional"


def test_after_a_change_the_old_answer_stands_and_the_change_is_named(
    store: Store, keep_job: KeepJob, edited: Callable[..., dict[str, str]]
) -> None:
    keep_job(store, "mill-house", MILL, ASKED)
    found = replayed(store, edited(narrow(), WORDING))
    assert found.same
    today = found.today
    assert today is not None and today.differs.word == ("conditional", "forbidden")
    assert [c.name for c in today.changed] == [CLAMPS]
    assert today.changed[0].about == ("dl-1: grips",)
    assert today.worded == 1
    assert (today.brought_back, today.fewest) == ((CLAMPS,), True)
    [rule] = [r for r in today.differs.rules if r.rule == "seam-outside-clamp-window"]
    assert rule.now and rule.surely and rule.word == "forbidden"


def test_of_several_changes_those_that_matter_are_named(
    store: Store, keep_job: KeepJob, edited: Callable[..., dict[str, str]]
) -> None:
    keep_job(store, "mill-house", MILL, ASKED)
    beside = (
        ("kb/catalogues/demo/clamps.yaml", "price: 6.10 EUR", "price: 6.20 EUR"),
        ("kb/catalogues/demo/catalogue.yaml", "tag: invented", "tag: invented  # still"),
        ("rules/clips/clamp-too-near-clip.yaml", "subject: place", "subject: place  # here"),
        ("kb/catalogues/demo/rails.yaml", "rail-u:", "# the first\nrail-u:"),
    )
    found = replayed(store, edited(narrow(), *beside))
    assert found.today is not None
    assert found.today.brought_back == (CLAMPS,)
    assert [c.name for c in found.today.changed] == [CLAMPS]  # remarks change nothing


def test_a_substitution_comes_again_too(
    store: Store, keep_job: KeepJob, shipped: dict[str, str]
) -> None:
    asked = {"kind": "swap", "stack": "planned", "set": {"clamp": "demo/dl-2"}}
    event = keep_job(store, "mill-house", MILL, asked)
    data = json.loads(store.text(event.entry.data))
    assert (data["schema"], data["moved"][0]["to"]) == ("swap/1", "demo/dl-2")
    assert data["word"] == "forbidden"  # rail-u takes no pin: kb/catalogues/demo/rails.yaml
    assert replayed(store, shipped).same


def test_a_substitution_comes_again_with_its_record_in_any_order(
    store: Store, keep_job: KeepJob, shipped: dict[str, str]
) -> None:
    sets = {"torque": "11 Nm", "screw_tip": "cone", "layout.clamps": "every second seam"}
    asked = {"kind": "swap", "stack": "planned", "set": sets, "when": "2031-03-15", "by": "Tom"}
    event = keep_job(store, "mill-house", MILL, asked)
    page = store.text(event.entry.screen).decode()
    assert "2031-03-15" in page and "Tom" in page and "Signed" in page
    assert replayed(store, shipped).same


def test_what_became_of_a_substitution_is_told(
    store: Store, keep_job: KeepJob, edited: Callable[..., dict[str, str]]
) -> None:
    asked = {"kind": "swap", "stack": "planned", "set": {"torque": "11 Nm"}}
    keep_job(store, "mill-house", MILL, asked)
    found = replayed(store, edited(narrow()))
    today = found.today
    assert found.same and today is not None and today.differs.word[1] == "forbidden"
    assert "seam-outside-clamp-window" in {r.rule for r in today.differs.rules}
    assert (today.brought_back, today.fewest) == ((CLAMPS,), True)


def test_a_base_that_only_words_otherwise_gives_the_old_word(
    store: Store, keep_job: KeepJob, edited: Callable[..., dict[str, str]]
) -> None:
    keep_job(store, "mill-house", MILL, ASKED)
    found = replayed(store, edited(WORDING))
    today = found.today
    assert found.same and today is not None
    assert today.differs.word == ("conditional", "conditional")
    assert (today.differs.stacks, today.differs.rules, today.changed) == ((), (), ())


def test_another_program_that_answers_otherwise_is_said(
    store: Store, keep_job: KeepJob, shipped: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_job(store, "mill-house", MILL, ASKED)
    real = replay_module.again
    monkeypatch.setattr(replay_module, "program", lambda: ("0.2.0", "d" * 64))
    assert replayed(store, shipped).same  # another program, the same answer
    assert replayed(store, shipped).other_program

    class Otherwise:
        def __init__(self, *args: object) -> None:
            self.given = real(*args)  # type: ignore[arg-type]

        def data(self) -> str:
            data = json.loads(self.given.data())
            data["word"] = data["stacks"][0]["word"] = "allowed"
            return json.dumps(data, indent=1, ensure_ascii=False)

        def page(self) -> str:
            return self.given.page()

    monkeypatch.setattr(replay_module, "again", Otherwise)
    found = replayed(store, shipped)
    assert not found.same and found.other_program
    assert found.otherwise is not None
    assert found.otherwise.word == ("conditional", "allowed")
    assert json.loads(found.data)["word"] == "conditional"  # what was given stands


def test_knowledge_that_cannot_be_read_any_more_is_said(
    store: Store,
    keep_job: KeepJob,
    shipped: dict[str, str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    keep_job(store, "mill-house", MILL, ASKED)
    broken = shipped | {"kb/vocabulary.yaml": "needs: [\n"}
    found = replayed(store, broken)
    assert found.same and found.today is None
    assert "not readable as YAML" in found.today_fault

    monkeypatch.setattr(Store, "base", lambda self, digest: broken)
    found = replayed(store, shipped)
    assert not found.same and "not readable as YAML" in found.fault
    assert json.loads(found.data)["word"] == "conditional"
    assert found.otherwise is None


@pytest.mark.slow
@pytest.mark.parametrize("part", range(4))
def test_two_hundred_jobs_replay_after_a_change_of_the_base(
    store: Store, keep_job: KeepJob, edited: Callable[..., dict[str, str]], part: int
) -> None:
    for name, text in islice(variations(200), part * 50, part * 50 + 50):
        keep_job(store, name, text, asked_by(text))
    new = edited(narrow(), WORDING)
    events = list(store.history())
    old, today = Knowledge(store.base(events[0].entry.base)), Knowledge(new)
    moved = 0
    for event in events:
        found = replay(store, event.entry, lambda: old, lambda: today, lambda share: None)
        assert found.same, event.entry.job
        assert found.data.encode() == store.text(event.entry.data)
        assert found.today is not None
        moved += found.data != json.dumps(found.today.data, indent=1, ensure_ascii=False)
    assert len(events) == 50
    assert moved == 50  # the digest of the base stands in each


def asked_by(text: str) -> dict[str, str]:
    """What the text of an example asks."""
    request = read_string(text, "job.yaml").data["request"]
    names = {"choose": "array", "judge": "stack", "act": "act"}
    return {"kind": request["kind"], names[request["kind"]]: request[names[request["kind"]]]}
