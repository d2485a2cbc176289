"""A new job comes of a few answers: as few as can be, and the reader takes what they make."""

import pytest

from selector.errors import InputError
from selector.knowledge.base import Base
from selector.questions.form import Form
from selector.questions.start import best_day, job_data, job_id, new_job
from selector.questions.talk import job_in
from tests.questions.told import refused

TODAY = "2031-02-03"


def filled(base: Base, *lines: str, mode: str = "phone", today: str = TODAY) -> Form:
    form = new_job(base, mode, today)  # type: ignore[arg-type]
    for line in lines:
        form = form.answered(line)
    return form


def test_empty_lines_take_what_is_proposed(base: Base) -> None:
    form = filled(base, "", "demo", "module-p35", "", "2 x 6", "", "", "")
    assert form.item is None
    job = job_in(base, job_data(base, form.given, "roof", None, TODAY))
    array = job.arrays["a1"]
    assert (array.rows, array.columns, array.gap, array.rail_lines) == (2, 6, 20_000, 2)
    assert (array.orientation, array.tilt, array.module) == ("portrait", None, "demo/module-p35")
    assert (array.from_eave, array.from_left, array.zones, array.crosses) == (None,) * 4
    assert job.people == {"sales": "salesperson"} and job.as_of == TODAY
    assert job.site == {} and job.planes["roof"].observed == {} and job.stacks == {}
    assert (job.request.kind, job.request.array) == ("choose", "a1")


def test_on_the_roof_an_installer_talks(base: Base) -> None:
    item = new_job(base, "roof", TODAY).item
    assert item is not None and item.usual == "installer"


def test_an_elevated_array_says_how_steep_and_what_to_mind(base: Base) -> None:
    form = filled(base, "3", "demo", "2", "landscape", "1x4", "25", "elevated")
    asked = form.item
    assert asked is not None and asked.name == "degrees" and "engineer" in asked.caution
    form = form.answered("10").answered("3")
    job = job_in(base, job_data(base, form.given, "roof", "kv", TODAY))
    array = job.arrays["a1"]
    assert (array.tilt, array.gap, array.rail_lines) == (10_000, 25_000, 3)
    assert array.orientation == "landscape" and job.people == {"kv": "roofer"}


def test_back_asks_again_and_forgets(base: Base) -> None:
    form = filled(base, "roofer", "demo")
    assert form.back().back().given == {} and form.back().back().back().given == {}
    again = form.back().answered("cases")
    assert again.given == {"who": "roofer", "catalogue": "cases"}


@pytest.mark.parametrize(
    ("before", "line", "said"),
    [
        ([], "x", "not in the list"),
        ([], "9", "no number of the list"),
        ([], "²", "not in the list"),
        (["", "demo"], "", "nothing given"),
        (["", "demo"], "module", "type more of it"),
        (["", "demo", "1", ""], "8", "rows x modules"),
        (["", "demo", "1", ""], "0 x 4", "cannot be right"),
        (["", "demo", "1", ""], "201 x 4", "cannot be right"),
        (["", "demo", "1", ""], "1 x 501", "cannot be right"),
        (["", "demo", "1", "", "1 x 4"], "2 m", "0 to 500 mm"),
        (["", "demo", "1", "", "1 x 4"], "wide", "expected a number"),
        (
            ["", "demo", "1", "", "1 x 4"],
            "5 kN",
            r"does not fit \(force\)",
        ),
        (["", "demo", "1", "", "1 x 4", "", "elevated"], "0", "1 to 60 deg"),
        (["", "demo", "1", "", "1 x 4", "", "elevated"], "90", "1 to 60 deg"),
        (["", "demo", "1", "", "1 x 4", "", ""], "9", "1 to 8"),
        (["", "demo", "1", "", "1 x 4", "", ""], "2.5", "1 to 8"),
    ],
)
def test_a_wrong_answer_says_what_is_expected(
    base: Base, before: list[str], line: str, said: str
) -> None:
    form = filled(base, *before)
    with refused(base, said):
        form.answered(line)


def test_invented_records_that_do_not_count_today_bring_a_day_of_their_own(base: Base) -> None:
    asked = filled(base, "", "demo", today="2026-11-26").item
    assert asked is not None and asked.name == "as_of"
    day = best_day(base.catalogues["demo"])
    form = filled(base, "", "demo", "", "1", "", "1 x 4", "", "", "", today="2026-11-26")
    assert job_data(base, form.given, "roof", None, "2026-11-26")["as_of"] == day
    counting = [
        r.shape.valid.since <= day <= r.shape.valid.until
        for r in base.catalogues["demo"].records
        if not r.shape.valid.withdrawn
    ]
    assert sum(counting) > len(counting) / 2
    later = filled(base, "", "demo", today=TODAY).item
    assert later is not None and later.name == "module"


@pytest.mark.parametrize(
    ("file", "name"),
    [
        ("roof-2026-11-26.yaml", "roof-2026-11-26"),
        ("Dach Müller.yaml", "dach-m-ller"),
        ("-- .yaml", "roof"),
        ("x" * 200, "x" * 40),
        ("日本.yaml", "roof"),
    ],
)
def test_a_job_is_named_after_its_file(base: Base, file: str, name: str) -> None:
    assert job_id(file) == name
    form = filled(base, "", "demo", "1", "", "1 x 4", "", "", "")
    assert job_in(base, job_data(base, form.given, job_id(file), None, TODAY)).id == name


def test_the_reader_has_the_last_word(base: Base) -> None:
    form = filled(base, "", "demo", "1", "", "1 x 4", "", "", "")
    with pytest.raises(InputError, match="small letters"):
        job_in(base, job_data(base, form.given, "roof", "No Name", TODAY))
