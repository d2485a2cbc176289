"""Where a clamp may stand between two clips, by hand from the share of the clips.

No published source: k F (s - a) / s at most R, with k = 1.25 and R = 0.35 kN of the judged cases.
"""

from dataclasses import replace
from typing import Any

import pytest

from selector.facts.actions.reached import with_reached
from selector.facts.view import Binding, View
from selector.knowledge.base import Base
from selector.model.job import Marks
from selector.model.quantity import Measured, Place, Unknown
from selector.model.stack import Core
from tests.kb.judged import silent

MILLIMETRE = 1000


def seen(base: Base, force: str, spacing: str, more: dict[str, Any] | None = None) -> View:
    figure = {"is": force, "paper": "case", "covers": ["array a1"]}
    roof = {"clips": {"spacing": spacing}, **(more or {})}
    change = {"arrays": {"a1": {"stated": {"uplift_per_clamp": figure}}}, "planes": {"roof": roof}}
    job = with_reached(base, silent.job("SEL-01", base.vocabulary, change))
    part = base.part("cases/double-alu-slideon")
    where = Binding(
        plane=job.planes["roof"], array=job.arrays["a1"], clamp=part, core=Core(part.id)
    )
    derived = {}
    view = View(base, job, where, derived)
    derived["plane.clips.strength"] = view.underived(
        base.vocabulary.quantities["plane.clips.strength"]
    )
    return view


@pytest.mark.parametrize(
    ("force", "spacing", "places", "distance"),
    [
        ("0.45 kN", "400 mm", "between the clips", "152 mm"),  # 400 (1 - 0.35/0.5625) = 151.1
        ("0.40 kN", "400 mm", "between the clips", "120 mm"),  # 400 (1 - 0.35/0.50)
        ("0.50 kN", "400 mm", "between the clips", "176 mm"),  # 48 mm left for 40 mm of tolerance
        ("0.52 kN", "400 mm", "nowhere", "185 mm"),  # 30 mm left
        ("1.00 kN", "500 mm", "nowhere", "360 mm"),  # mid-bay gives 0.63 kN to a spare of 0.35
        ("0.35 kN", "400 mm", "between the clips", "0 mm"),  # the clip carries it alone
    ],
)
def test_by_hand(base: Base, force: str, spacing: str, places: str, distance: str) -> None:
    view = seen(base, force, spacing)
    assert str(view.read("stack.clip_places").value) == places
    assert f" {distance} " in f"{view.read('stack.clip_window').value} "


def test_what_is_not_known_stays_open_and_is_asked_for(base: Base) -> None:
    view = seen(base, "0.45 kN", "400 mm", {"deck": {"kind": {"unknown": "not asked"}}})
    reading = view.read("stack.clip_places")
    assert isinstance(reading.value, Unknown)
    assert reading.asks == ("plane.deck.kind",)
    assert "calculation" in str(view.read("stack.clip_window").value)


NOT_ASKED = {"unknown": "not asked"}
UNMEASURED: dict[str, Any] = {"clips": {"spacing": NOT_ASKED, "marks": "put in here"}}


def marked(base: Base, force: str, heights: tuple[int, ...], more: dict[str, Any]) -> View:
    """A view with clip marks on one seam, in millimetres, each off by 10 mm at most."""
    view = seen(base, force, "400 mm", more)
    off = 10
    places = tuple(Place((h - off) * MILLIMETRE, (h + off) * MILLIMETRE) for h in heights)
    marks = Marks({"s03": Measured("length", places)}, "low sun", 1)
    assert view.binding.plane is not None
    plane = replace(view.binding.plane, marks=marks)
    return View(base, view.job, replace(view.binding, plane=plane), view.derived)


@pytest.mark.parametrize(
    ("force", "places", "distance"),
    [("0.45 kN", "between the clips", "152 mm"), ("0.52 kN", "nowhere", "185 mm")],
)
def test_clip_marks_tell_how_far_apart_the_clips_are(
    base: Base, force: str, places: str, distance: str
) -> None:
    """Bays of 400, 380 and 390 mm give what 400 mm gives that were measured, above."""
    view = marked(base, force, (100, 500, 880, 1270), UNMEASURED)
    reading = view.read("stack.clip_places")
    assert str(reading.value) == places
    assert f" {distance} " in f"{view.read('stack.clip_window').value} "
    facts = {f.path: f.shown for reason in reading.because for f in reason}
    assert facts["plane.clips.marks"] == "clip marks up to 400 mm apart"
    assert "plane.clips.spacing" not in facts


def test_what_was_measured_goes_before_marks(base: Base) -> None:
    view = marked(base, "0.45 kN", (100, 600, 1100, 1600), {})
    assert " 152 mm " in f"{view.read('stack.clip_window').value} "


def test_too_few_marks_leave_the_distance_to_be_asked(base: Base) -> None:
    reading = marked(base, "0.45 kN", (100, 500, 880), UNMEASURED).read("stack.clip_places")
    assert isinstance(reading.value, Unknown)
    assert reading.asks == ("plane.clips.spacing",)
