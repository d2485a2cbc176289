"""Rail lines set elsewhere and cut: each move against a plain search over every millimetre.

The roof is that of a judged case: clip marks every 400 mm from 400 mm on every seam, read within
10 mm; lines set out within 10 mm; 80 mm from a clip asked for, modules clamped 100 to 450 mm from
their ends.
"""

from typing import Any

import pytest

from selector.inference.answer import Change, Desk
from selector.inference.changes import changes
from selector.inference.judge import Judge
from selector.inference.moves import Move
from selector.knowledge.base import Base
from selector.model.truth import Word
from tests.kb.judged import silent

STACK = "refused"
EAVE, LENGTH = 1465, 1720  # of the modules: lower edge above the eave, and length up the slope
FREE, ZONE, OFF = 80 + 10 + 10, (100, 450), 10


def found(base: Base, judge: Judge, name: str, change: dict[str, Any]) -> tuple[Change, ...]:
    desk = Desk(base, silent.job(name, base.vocabulary, change), judge)
    return changes(desk, STACK)


def layout(**drawn: Any) -> dict[str, Any]:
    return {"stacks": {STACK: {"layout": drawn}}}


def fits(height: int) -> bool:
    """Clear of every clip and inside a clamping zone, whatever tape and marks are off."""
    inside = height - EAVE
    end = min(inside, LENGTH - inside)
    clear = all(abs(height - mark) >= FREE for mark in range(400, 6000, 400))
    return clear and ZONE[0] + OFF <= end <= ZONE[1] - OFF


def nearest(height: int) -> int:
    return min(filter(fits, range(1, 6000)), key=lambda h: (abs(h - height), h))


def lines(change: Change) -> dict[str, int]:
    """New heights of the lines that a change moves, in millimetres."""

    def millimetres(move: Move) -> int:
        number, unit = str(move[2]).split()
        return round(float(number) * (1000 if unit == "m" else 1))

    return {m[0].removeprefix("line "): millimetres(m) for m in change.moved}


@pytest.mark.parametrize("low", [1600, 1640, 1655, 1525])
def test_a_line_goes_to_the_nearest_height_that_fits(base: Base, judge: Judge, low: int) -> None:
    """1525 mm is too near the end of the module; just inside the zone a clip is in the way."""
    rails = {"low": {"from_eave": f"{low} mm"}, "high": {"from_eave": "3000 mm"}}
    assert not fits(low)
    assert fits(3000)
    [change] = found(base, judge, "EXP-04", layout(rails=rails))
    assert lines(change) == {"low": nearest(low)}
    assert change.option.verdict.word == Word.OBSERVE  # the share of the clips is asked for again


def test_both_lines_move_where_both_are_in_the_way(base: Base, judge: Judge) -> None:
    rails = {"low": {"from_eave": "1640 mm"}, "high": {"from_eave": "2780 mm"}}
    [change] = found(base, judge, "EXP-04", layout(rails=rails))
    assert lines(change) == {"low": nearest(1640), "high": nearest(2780)}


def test_clamps_that_are_listed_seam_by_seam_go_with_their_line(base: Base, judge: Judge) -> None:
    clamps = {seam: ["1650 mm", "3000 mm"] for seam in ("s01", "s02", "s03")}
    [change] = found(base, judge, "EXP-04", layout(clamps=clamps))
    assert lines(change) == {"low": nearest(1650)}


def test_a_rail_that_runs_too_long_is_cut_in_a_gap(base: Base, judge: Judge) -> None:
    """Twelve modules of 1130 mm with gaps of 20 mm are 13.78 m; a piece may be 8 m: six and six."""
    seams = [f"s{n:02d}" for n in range(1, 26)]
    change = {
        "planes": {"roof": {"steps": "none"}},
        "arrays": {"a1": {"block": {"columns": 12}, "crosses": seams}},
        **layout(lines={"dormer": {"from_left": "20 m"}}),
    }
    [cut] = found(base, judge, "EXP-05", change)
    assert cut.moved == (("cut", "in one piece", "gap at 6.89 m from the left of the row"),)
    assert 6 * (1130 + 20) - 20 // 2 == 6890
    assert cut.option.verdict.word.is_yes
