"""Clip records that are stated gross: the sheet's own suction comes off, clip by clip.

The granary of the examples with all that wind needs, on a calm site. Figures by pencil and paper.
"""

import re
from collections.abc import Callable

import pytest

from selector.facts.actions.model import Ends
from selector.facts.links.own_suction import OwnSuction
from selector.inference.answer import Desk
from selector.inference.judge import Judge
from selector.inference.laid_out import LaidOut
from selector.inference.repair import lay_out
from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_string
from selector.layout.model import Box
from selector.model.truth import Word
from tests.inference.gross import gross_base
from tests.inference.test_repair import worked

CALM = worked().replace("basic_wind:         {is: 25 m/s", "basic_wind:         {is: 12 m/s")
Lay = Callable[..., LaidOut]


@pytest.fixture(scope="module")
def lay(base: Base, judge: Judge) -> Lay:
    def laid(text: str = CALM, kilonewton: float | None = 0.9, *, beside: bool = False) -> LaidOut:
        own = gross_base(base, kilonewton, beside=beside)
        job = job_of(read_string(text, "job.yaml"), own.vocabulary)
        return lay_out(Desk(own, job, judge), job.stacks["planned"])

    return laid


@pytest.fixture(scope="module")
def calm(lay: Lay) -> LaidOut:
    return lay()


def word_of_the_share(laid: LaidOut) -> str:
    """`proven`, `refused` or `open`, as the rules see the share of the clips."""
    judgement = next(j for j in laid.option.judgements if j.subject.kind == "stack")
    reading = judgement.view.read("stack.clip_share")
    ends = (getattr(reading.value, "low", None), getattr(reading.value, "high", None))
    if ends[0] is None or ends[1] is None:
        return "open"
    return "refused" if ends[0] > 1 else "proven" if ends[1] <= 1 else "open"


def test_what_is_left_of_a_gross_record_by_pencil_and_paper(calm: LaidOut) -> None:
    sums, peak = calm.sums, calm.loads.peak_pa
    assert sums is not None and peak is not None and sums.own is not None
    # zone G in wind onto an end, table 7.4b at 22 deg: cpe,1 = -2.0; cpi = 0.2 (7.2.9); gamma_Q 1.5
    suction = sums.own.by_zone["onto the left end", "G"]
    assert suction.high == pytest.approx(1.5 * peak.high * (2.0 + 0.2))
    assert suction.low == pytest.approx(1.5 * peak.low * (2.0 + 0.2))
    # s09 lies 4.44 m from the left end. In wind onto that end e = 2 x 7.5 cos 22 = 13.9 m (2 h is
    # 16 m): zone H from 1.39 to 6.95 m, cpe,1 = -1.2; no wind onto the eave or from behind is worse
    # at clip 8, 3.45 m above the eave
    clip = next(c for c in sums.clips if (c.seam, c.mark) == ("s09", 8))
    assert clip.gross_n == 900.0 and clip.suction_n is not None and clip.spare_n is not None
    strong = 1.5 * (1.2 + 0.2)
    for at, end in ((0, peak.low), (1, peak.high)):
        by_hand = strong * end * 0.53 * 0.455  # bay of 450 and 455 mm, seams 530 mm apart
        assert clip.suction_n[at] == pytest.approx(by_hand, rel=0.15)
    assert clip.suction_n.high >= strong * peak.high * 0.53 * 0.4525
    assert clip.spare_n == pytest.approx((900 - clip.suction_n.high, 900 - clip.suction_n.low))


def test_the_worst_zone_that_the_sheet_of_a_clip_touches_counts() -> None:
    zones = {("left", "F"): Ends(900.0, 1000.0), ("left", "H"): Ends(400.0, 500.0)}
    zones["eave", "G"] = Ends(600.0, 700.0)
    boxes = ((0, 10, "left", "F"), (10, 90, "left", "H"), (0, 90, "eave", "G"))
    own = OwnSuction(
        zones, tuple(((w, n), Box(a, b, 0, 50)) for a, b, w, n in boxes), 0.2, "published"
    )
    assert own.on(Box(20, 30, 0, 10)) == Ends(600.0, 700.0)  # H of one wind, G of another
    assert own.on(Box(10, 20, 0, 10)) == Ends(600.0, 1000.0)  # on the edge it may be either
    assert own.on(Box(200, 300, 0, 10)) == Ends(600.0, 1000.0)  # beyond all: the worst of all


def test_a_gross_record_can_prove_what_the_clips_bear(lay: Lay, calm: LaidOut) -> None:
    assert calm.sums is not None and calm.sums.worst is not None
    assert word_of_the_share(calm) == "proven"
    assert calm.worked["clip_share"].status in ("judgement", "invented")
    spares = [c.spare_n.low for c in calm.sums.clips if c.spare_n is not None]
    assert calm.worked["clip_spare"].value == int(min(spares) * 1000)
    # 0.3 kN in all: at eave and verge the wind on the bare sheet alone takes more than half of it
    assert word_of_the_share(lay(kilonewton=0.3)) != "proven"


def test_more_wind_never_leaves_more(lay: Lay, calm: LaidOut) -> None:
    windy = lay(CALM.replace("{is: 12 m/s", "{is: 18 m/s"))
    before = {(c.seam, c.mark): c for c in calm.sums.clips} if calm.sums else {}
    after = {(c.seam, c.mark): c for c in windy.sums.clips} if windy.sums else {}
    both = before.keys() & after.keys()
    assert both
    for key in both:
        here, there = before[key].spare_n, after[key].spare_n
        assert here is not None and there is not None
        assert there.low <= here.low and there.high <= here.high


@pytest.mark.parametrize(
    "unknown",
    [
        r"    form:    .*\n",  # no zones of the roof
        r"    closed_below: .*\n",
        r"  hilltop:  .*\n",
        r"      kind:      \{is: boards.*\n",  # of the deck
        r"      sound:     .*\n",
    ],
)
def test_unknown_wind_or_deck_gives_no_number(lay: Lay, unknown: str) -> None:
    text, count = re.subn(unknown, "", CALM)
    assert count == 1
    laid = lay(text)
    assert not {"clip_share", "clip_spare"} & set(laid.worked)
    assert word_of_the_share(laid) == "open" and laid.word >= Word.OBSERVE
    if laid.sums is not None:
        assert all(c.spare_n is None and c.word >= Word.OBSERVE for c in laid.sums.clips)


def test_of_a_gross_record_and_another_the_lower_counts(lay: Lay, calm: LaidOut) -> None:
    # of 0.9 kN gross, of the demo's own 0.38 kN gross, and of its 0.31 kN after suction
    both = lay(beside=True)
    assert both.sums is not None and calm.sums is not None
    alone = {(c.seam, c.mark): c.spare_n for c in calm.sums.clips}
    seen = 0
    for clip in both.sums.clips:
        own = alone.get((clip.seam, clip.mark))
        assert clip.spare_n is not None
        if own is not None:
            least = min(310.0, max(0.0, own.low - 900.0 + 380.0))
            assert clip.spare_n.low == pytest.approx(least)
            seen += 1
    assert seen


def test_a_paper_counts_against_what_the_layout_leaves(lay: Lay, calm: LaidOut) -> None:
    # the paper's share is above all that the sheet leaves of 0.3 kN at its worst clip
    spare = calm.worked["clip_spare"].value
    for share, word in ((spare * 0.9, "proven"), (spare * 1.1, "refused")):
        figure = (
            f"{{is: {share / 1e6:.4f} kN, paper: calc, covers: [array a1, field, edge, corner]}}"
        )
        start = CALM.index("\nstacks:")
        text = f"{CALM[:start].rstrip()}\n    stated:\n      clip_share: {figure}\n{CALM[start:]}"
        assert word_of_the_share(lay(text)) == word
