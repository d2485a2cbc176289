"""Loose clips and clamps: brute force over their places; the exact answer where all is exact."""

from itertools import pairwise
from random import Random
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from selector.engineering.clip_hull import (
    MarkedClips,
    lever_hulls,
    part_hulls,
    share_hulls,
    tributary_hulls,
)
from selector.engineering.clip_influence import shares, shares_of_part, tributaries_m
from selector.engineering.lines import BadInputError
from selector.engineering.over import Interval

TRIES = 60


class Loose(NamedTuple):
    """Marks, the clamp's interval, and where in all of them somebody looks."""

    marks: tuple[Interval, ...]
    at: Interval
    random: Random

    def try_one(self) -> tuple[list[float], float]:
        """Places somewhere in the intervals, half of the time at their ends."""
        if self.random.random() < 0.5:
            return [self.random.choice(m) for m in self.marks], self.random.choice(self.at)
        return [self.random.uniform(*m) for m in self.marks], self.random.uniform(*self.at)


def loose(seed: int) -> Loose:
    """Two to eight clips, bays from 0.15 m, marks off by up to nearly half the least bay."""
    random = Random(seed)
    places = [0.4]
    for _ in range(random.randint(1, 7)):
        places.append(places[-1] + random.uniform(0.15, 0.8))
    most = min(b - a for a, b in pairwise(places)) * 0.49
    marks = tuple((x - off, x + off) for x in places for off in [random.uniform(0, most)])
    middle, off = random.uniform(places[0] - 0.2, places[-1] + 0.2), random.uniform(0, 0.1)
    return Loose(marks, (middle - off, middle + off), random)


SEAMS = st.integers(0, 2**32).map(loose)


@given(SEAMS)
def test_no_share_lies_outside_its_hull(seam: Loose) -> None:
    hulls = share_hulls(MarkedClips(seam.marks), seam.at)
    for _ in range(TRIES):
        places, x = seam.try_one()
        for hull, share in zip(hulls, shares(places, x).counts, strict=True):
            assert hull.low - 1e-9 <= share <= hull.high + 1e-9


@given(SEAMS)
def test_no_lever_lies_outside_its_hull(seam: Loose) -> None:
    hulls = lever_hulls(MarkedClips(seam.marks), seam.at)
    for _ in range(TRIES):
        places, x = seam.try_one()
        if places[0] <= x <= places[-1]:
            for hull, share in zip(hulls, shares(places, x).hinged, strict=True):
                assert hull.low - 1e-9 <= share <= hull.high + 1e-9


@given(SEAMS, st.floats(0, 0.3))
def test_no_length_of_sheet_lies_outside_its_hull(seam: Loose, past: float) -> None:
    sheet = (0.0, seam.marks[-1][1] + past)
    hulls = tributary_hulls(MarkedClips(seam.marks), sheet)
    for _ in range(TRIES):
        places, _ = seam.try_one()
        for hull, length in zip(hulls, tributaries_m(places, *sheet), strict=True):
            assert hull.low - 1e-9 <= length <= hull.high + 1e-9


@given(SEAMS)
def test_where_nothing_is_loose_the_hull_is_one_figure(seam: Loose) -> None:
    places, x = seam.try_one()
    clips = MarkedClips(tuple((p, p) for p in places))
    sheet = (places[0] - 0.1, places[-1] + 0.2)
    exact = [*shares(places, x).counts, *tributaries_m(places, *sheet)]
    hulls = [*share_hulls(clips, (x, x)), *tributary_hulls(clips, sheet)]
    assert [h.low for h in hulls] == pytest.approx(exact, abs=1e-9)
    assert [h.high for h in hulls] == pytest.approx(exact, abs=1e-9)


@given(SEAMS, st.floats(0, 0.02))
def test_knowing_less_never_lowers_what_counts(seam: Loose, more: float) -> None:
    """A clamp that is looser, and marks that are, as far as they stay apart."""
    clips = MarkedClips(seam.marks)
    room = min(b[0] - a[1] for a, b in pairwise(seam.marks)) / 3
    wider = MarkedClips(tuple((a - room, b + room) for a, b in seam.marks))
    looser = (seam.at[0] - more, seam.at[1] + more)
    for one, at in ((clips, looser), (wider, seam.at)):
        pairs = zip(share_hulls(clips, seam.at), share_hulls(one, at), strict=True)
        assert all(b.low <= a.low + 1e-9 and a.high <= b.high + 1e-9 for a, b in pairs)


@given(SEAMS)
def test_clips_turned_round_have_the_same_hulls(seam: Loose) -> None:
    clips = MarkedClips(seam.marks)
    there = share_hulls(clips, seam.at)
    back = share_hulls(clips.turned, (-seam.at[1], -seam.at[0]))
    assert [h.high for h in back[::-1]] == pytest.approx([h.high for h in there], abs=1e-9)
    assert [h.low for h in back[::-1]] == pytest.approx([h.low for h in there], abs=1e-9)


@given(SEAMS, st.booleans(), st.booleans())
def test_part_of_a_seam_is_the_larger_of_both_ways(seam: Loose, below: bool, above: bool) -> None:
    places, x = seam.try_one()
    clips = MarkedClips(tuple((p, p) for p in places))
    found = part_hulls(clips, clips.goes_on(below, above), (x, x), 4 if below else 0)
    exact = shares_of_part(places, x, below, above)
    assert [h.high for h in found] == pytest.approx(exact, abs=1e-9)


def test_ten_millimetres_off_cost_a_few_hundredths() -> None:
    """Hulls are wider than the truth; here by so little that they are of use."""
    marks = tuple((y - 0.01, y + 0.01) for y in (0.3, 0.7, 1.1, 1.5, 1.9, 2.3, 2.7))
    hull = share_hulls(MarkedClips(marks), (1.64, 1.66))[3]
    corners = [
        shares([m[n >> k & 1] for k, m in enumerate(marks)], x).counts[3]
        for n in range(2 ** len(marks))
        for x in (1.64, 1.66)
    ]
    assert max(corners) <= hull.high <= 1.03 * max(corners)
    assert 0.95 * min(corners) <= hull.low <= min(corners)


@pytest.mark.parametrize(
    "marks", [((0.3, 0.31),), ((0.3, 0.5), (0.5, 0.6)), ((0.31, 0.3), (0.5, 0.6))]
)
def test_marks_that_tell_no_clips_apart_are_refused(marks: tuple[Interval, ...]) -> None:
    with pytest.raises(BadInputError):
        MarkedClips(marks)
