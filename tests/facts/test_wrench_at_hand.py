"""The wrench at hand against the torque of the set screws; nothing said is no yes and no fault."""

import pytest

from selector.facts.wrench import wrench_gives
from selector.model.quantity import Candidates
from tests.facts.conftest import Sees

AFTER = "  year:               {is: 1998, by: ow}\n"


def site(lowest: str = "", highest: str = "", calibration: str = "") -> dict[str, str]:
    """Changes of a job that add what is known of the wrench."""
    said = {"wrench_lowest": lowest, "wrench_highest": highest, "wrench_calibration": calibration}
    tool = {"wrench_calibration": "how: mark"}
    rows = [
        f"  {key}: {{is: {value}, {tool.get(key, 'tool: scale')}, by: tk}}\n"
        for key, value in said.items()
        if value
    ]
    return {AFTER: AFTER + "".join(rows)}


# dl-1 is listed with 11 Nm; a wrench is checked from a fifth of its largest torque on (ISO 6789)
@pytest.mark.parametrize(
    ("lowest", "highest", "calibration", "word"),
    [
        ("5 Nm", "50 Nm", "in date", "fits"),
        ("5 Nm", "55 Nm", "", "fits"),  # 11 Nm is its fifth
        ("5 Nm", "60 Nm", "", "out of range"),  # checked from 12 Nm on
        ("20 Nm", "50 Nm", "", "out of range"),
        ("1 Nm", "10 Nm", "in date", "out of range"),
        ("50 Nm", "5 Nm", "", "out of range"),  # said the wrong way round
        ("5 Nm", "50 Nm", "run out", "not in calibration"),
        ("", "", "no mark", "not in calibration"),
        ("5 Nm", "60 Nm", "run out", "out of range"),
        ("5 Nm", "", "in date", "not stated"),
        ("", "", "", "not stated"),
    ],
)
def test_word(sees: Sees, lowest: str, highest: str, calibration: str, word: str) -> None:
    view = sees("mill-house", site(lowest, highest, calibration), stack="planned")
    reading = view.read("stack.wrench")
    assert isinstance(reading.value, Candidates)
    assert set(reading.value.left) == {word}
    assert reading.because


def test_what_it_gives_is_printed(sees: Sees) -> None:
    # 4 % of 11 Nm: 10.56 to 11.44; of a tool up to 10 Nm 6 % of 8 Nm: 7.52 to 8.48
    view = sees("mill-house", site("5 Nm", "50 Nm"))
    assert view.job is not None
    assert wrench_gives(view.base, view.job, 11_000) == {
        "low": "10.56 Nm",
        "high": "11.44 Nm",
        "share": "4 %",
    }
    small = sees("mill-house", site("1 Nm", "10 Nm"))
    assert small.job is not None
    assert wrench_gives(small.base, small.job, 8_000) == {
        "low": "7.52 Nm",
        "high": "8.48 Nm",
        "share": "6 %",
    }
    assert wrench_gives(small.base, small.job, 11_000) == {"allowed": "2 to 10 Nm"}
    silent = sees("mill-house")
    assert silent.job is not None
    assert wrench_gives(silent.base, silent.job, 11_000) is None
