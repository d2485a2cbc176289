"""What a sheet is worth: the weakest of all that it rests on, and the word it allows at best."""

import math
from dataclasses import replace

import pytest

from selector.engineering.lines import (
    STATUSES,
    BadInputError,
    Given,
    Ledger,
    Outside,
    Ref,
    Sheet,
    finite,
    interpolate,
    weakest,
)
from selector.engineering.tables import Code
from selector.engineering.wind_en import peak_pressure
from tests.engineering.conftest import given, site

# The best word that a proof on a number of this status may get.
AT_BEST = {
    "published": "allowed",
    "measured": "allowed",
    "statics": "allowed",
    "stricter judgement": "allowed",
    "common practice": "allowed",
    "judgement": "conditional",
    "from memory": "conditional",
    "conflict": "conditional",
    "invented": "allowed",  # the job is a demo, and says so by this status
}


def test_every_status_has_its_consequence() -> None:
    assert list(AT_BEST) == list(STATUSES)


@pytest.mark.parametrize("status", STATUSES)
def test_one_input_of_another_status_and_nothing_else(code: Code, status: str) -> None:
    at = replace(site(25, "II"), basic=Given(25, "a map sheet", status))
    sheet = peak_pressure(code, at, given(10))
    assert isinstance(sheet, Sheet)
    expected = weakest([status, "measured"])  # the orography is measured
    assert sheet.line("qp").status == expected
    assert sheet.line("kr").status == "published"  # it does not rest on the speed
    assert sheet.at_best == AT_BEST[status]
    assert [x.symbol for x in sheet.to_confirm] == (
        ["vb,0"] if AT_BEST[status] == "conditional" else []
    )
    assert replace(sheet, trial=True).at_best == "engineer"


def test_weakest_of_none_is_statics() -> None:
    assert weakest([]) == "statics"
    assert weakest(["published", "from memory", "judgement"]) == "from memory"


def test_a_line_cannot_rest_on_what_is_not_there() -> None:
    out = Ledger("somewhere")
    with pytest.raises(KeyError):
        out.work("b", 1.0, "", "1", "a", ("a",))
    out.given("a", given(1.0), "m")
    out.given("a", given(1.0), "m")  # the same line twice is one
    with pytest.raises(KeyError, match="two lines for `a`"):
        out.given("a", given(2.0), "m")
    out.work("b", 1.0, "m", "1", "a", ("a",))
    assert [x.symbol for x in out.sheet().lines] == ["a", "b"]


def test_a_sheet_goes_on_from_another() -> None:
    first = Ledger("somewhere")
    first.given("a", given(1.0), "m")
    second = Ledger("elsewhere", first.sheet(trial=True))
    second.work("b", 2.0, "m", "1", "2 a", ("a",))
    assert [x.source for x in second.sheet().lines] == ["a map sheet", "elsewhere"]
    assert second.sheet().at_best == "engineer"


def test_values_by_symbol() -> None:
    out = Ledger("somewhere")
    out.row("word", "II", "", Ref("1", "x", "published"))
    sheet = out.sheet()
    assert sheet.line("word").value == "II"
    for symbol in ("word", "none"):
        with pytest.raises(KeyError):
            sheet.value(symbol)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 11, -1, True, "3", None])
def test_what_is_no_such_number(bad: object) -> None:
    with pytest.raises(BadInputError) as caught:
        finite("width", bad, 0, 10, "m")  # type: ignore[arg-type]
    assert str(caught.value) == f"width is {bad!r} m; expected a number from 0 to 10 m"
    assert isinstance(caught.value, ValueError)


def test_both_ends_are_numbers() -> None:
    assert finite("width", 0, 0, 10) == 0.0
    assert finite("width", 10, 0, 10) == 10.0


def test_interpolation_is_exact_at_both_ends() -> None:
    assert interpolate(0.1, 0.1, 0.3, 0.7, 0.9) == 0.3
    assert interpolate(0.7, 0.1, 0.3, 0.7, 0.9) == 0.9


def test_outside_reads_as_a_sentence() -> None:
    found = Outside("height", "210 m", "heights up to 200 m", "4.3.2, (4.4)")
    assert str(found) == "height is 210 m; 4.3.2, (4.4) covers heights up to 200 m"
