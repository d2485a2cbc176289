"""Codes of the base: what ships, and one wrong place in each kind of file, found with its line."""

import re
import shutil
from pathlib import Path

import pytest

from selector.engineering import tables
from selector.engineering.lines import STATUSES, BadInputError
from selector.errors import InputError, Problem
from selector.knowledge.base import Base
from selector.knowledge.codes import cited, read_codes
from selector.knowledge.documents import read_documents
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import Document, read_string
from selector.maintenance.checks.base_check import check_base
from tests.conftest import ROOT

WIND = "kb/codes/en-1991-1-4-2005.yaml"
SNOW = "kb/codes/en-1991-1-3-2003.yaml"
BASIS = "kb/codes/en-1990-2002.yaml"
ARRAYS = "kb/codes/roof-parallel-arrays.yaml"
TRIAL = "kb/codes/asce-7-16.yaml"
REAL = "kb/codes/national/recommended-values.yaml"
INVENTED = "kb/codes/national/example-land.yaml"


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    return {
        f"kb/codes/{p.relative_to(ROOT / 'kb/codes').as_posix()}": p.read_text(encoding="utf-8")
        for p in sorted((ROOT / "kb/codes").rglob("*.yaml"))
    }


def problems_of(base: Base, texts: dict[str, str]) -> list[Problem]:
    problems: list[Problem] = []
    documents: dict[str, Document] = {n: read_string(t, n) for n, t in texts.items()}
    read_codes(documents, {k: s.status for k, s in base.sources.items()}, problems)
    return problems


def faults(base: Base, texts: dict[str, str], name: str, old: str, new: str) -> list[Problem]:
    """Problems after the first such place of a file was changed."""
    assert old in texts[name], old
    return problems_of(base, {**texts, name: texts[name].replace(old, new, 1)})


# --- what ships ------------------------------------------------------------------------


def test_editions_and_choices(base: Base) -> None:
    assert set(base.codes.editions) == {
        "en-1991-1-4-2005",
        "en-1991-1-3-2003",
        "en-1990-2002",
        "roof-parallel-arrays",
        "en-1993-1-1-2005",
        "en-1999-1-1-2007",
        "asce-7-16",
        "asce-7-22",
    }
    assert set(base.codes.nationals) == {"recommended-values", "example-land"}
    tags = {name: choice.tag for name, choice in base.codes.nationals.items()}
    assert tags == {"recommended-values": "real", "example-land": "invented"}


def test_every_row_says_where_it_stands_and_what_it_is_worth(texts: dict[str, str]) -> None:
    rows = [
        (name, line)
        for name, text in texts.items()
        for line in text.splitlines()
        if line.startswith("  - {")
    ]
    assert len(rows) > 200
    for name, line in rows:
        assert re.search(r"clause: [^,}]+.*, source: [a-z0-9-]+, status: [a-z ]+\}$", line), (
            name,
            line,
        )
        assert line.rpartition("status: ")[2].rstrip("}") in STATUSES


def test_what_nobody_read_stays_from_memory(base: Base) -> None:
    """Figures of 6.2, the floor of 5.3.2(2), figure 7.7, the notes to the tables: from memory."""
    code = base.codes.code("recommended-values")
    memory = {n for n, f in code.snow.figures.items() if f.ref.status == "from memory"}
    assert memory == {"held_floor"} | {n for n in code.snow.figures if n.startswith("obstacle_")}
    assert {c.ref.status for c in code.wind.clauses.values()} == {"from memory"}
    plans = {k: p.ref.status for k, p in code.wind.plans.items()}
    assert {k for k, status in plans.items() if status == "from memory"} == {
        ("monopitch", 0),
        ("monopitch", 90),
        ("monopitch", 180),
    }
    new = base.codes.trial("asce-7-22")
    assert [f.ref.status for f in new.exposures["B"]] == ["from memory"] * 2
    assert new.figures["least_gap"].ref.status == "from memory"
    judged = {n for n, f in code.arrays.figures.items() if f.ref.status == "judgement"}
    assert judged == {"tilt_limit", "gap_limit", "edge_gaps", "drift_pitch"}


def test_no_map_and_no_altitude_formula(texts: dict[str, str]) -> None:
    known = {name for group in tables.FIGURES.values() for name in group}
    assert not [n for n in known if "zone" in n or "altitude_" in n]
    for text in texts.values():
        assert "728" not in text  # the alpine formula of EN 1991-1-3 table C.1


def test_every_figure_is_read_by_a_formula() -> None:
    whole = "".join(
        p.read_text(encoding="utf-8")
        for p in sorted((ROOT / "selector/engineering").glob("*.py"))
        if p.name != "tables.py"
    )
    whole += (ROOT / "selector/facts/links/own_suction.py").read_text(encoding="utf-8")
    grouped = {"obstacle", "taller", "annex_b"}  # read as a group
    for group in tables.FIGURES.values():
        for name in group:
            by_group = any(name.startswith(f"{g}_") for g in grouped)
            if not by_group and name not in {"psi1_wind", "psi2_wind"}:  # by the country's way
                assert f'"{name}"' in whole, name


def test_units_of_the_file_become_si(base: Base) -> None:
    code = base.codes.code("recommended-values")
    assert code.figure("obstacle_weight").value == 2000
    assert code.figure("obstacle_weight").unit == "N/m3"
    assert code.figure("air_density").ref.origin.startswith(f"{WIND}:")


def test_codes_are_part_of_the_digest_and_of_the_sources(base: Base, tmp_path: Path) -> None:
    ours = home()
    shutil.copytree(ours.kb, tmp_path / "kb")
    shutil.copytree(ours.rules, tmp_path / "rules")
    path = tmp_path / WIND
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("value: 1.25,", "value: 1.24,"), encoding="utf-8")
    assert read_documents(home(tmp_path))[0] != base.digest
    assert cited(base.codes) <= set(base.sources)
    assert not [n for n in check_base(base).notes if n.file.startswith("kb/sources/")]


def test_unknown_names(base: Base) -> None:
    with pytest.raises(BadInputError, match="no national choice `x`; known: example-land"):
        base.codes.code("x")
    with pytest.raises(BadInputError, match="no trial edition `en-1990-2002`; known: asce-7-16"):
        base.codes.trial("en-1990-2002")
    with pytest.raises(KeyError):
        base.codes.code("example-land").figure("x")


# --- what is refused -------------------------------------------------------------------

FOREIGN = (
    "  - {id: speed_share, text: x, value: 1, unit: kg/m3, clause: NA, "
    "source: invented-national-choice, status: invented}"
)
WRONG = [
    (WIND, "kind: wind", "kind: wnd", "no kind of code `wnd`", "wind"),
    (WIND, "id: en-1991-1-4-2005", "id: other", "is not the file's name", ""),
    (WIND, "trial: false", "trial: true", "`trial` does not fit the kind", ""),
    (WIND, "id: air_density", "id: air_densty", "no figure `air_densty`", "air_density"),
    (WIND, "unit: kg/m3", "unit: kN/m3", "`air_density` is in `kg/m3`, not in `kN/m3`", ""),
    (WIND, "value: 1.25,", "value: -1.25,", "value", ""),
    (WIND, "value: 1.25,", 'value: "1.25",', "expected a number such as `0.8`", ""),
    (WIND, "value: 1.25,", "value: true,", "expected a number", ""),
    (WIND, "value: 1.25,", "", "key `value` is missing", "add it"),
    (WIND, "status: published}", "status: certain}", "is `certain`", "use one of"),
    (
        WIND,
        "source: en-1991-1-4\n",
        "source: en-1991-1-44\n",
        "no source `en-1991-1-44`",
        "en-1991-1-4",
    ),
    (WIND, 'category: "I",', 'category: "0",', "`0` is listed twice", ""),
    (WIND, "z0: 0.05, zmin: 2", "z0: 3, zmin: 2", "`zmin` lies within the roughness", ""),
    (WIND, "corner: 0.25", "corner: 2.5", "corner", ""),
    (WIND, "inner: 0.5, clause: 7.2.3", "inner: 0, clause: 7.2.3", "`inner` does not fit", ""),
    (
        WIND,
        "{roof: monopitch, theta: 90, corner",
        "{roof: duopitch, theta: 0, corner",
        "no plan of monopitch for 90 deg",
        "add it",
    ),
    (WIND, "F: [-1.8, -2.5]", "F: [-2.5, -1.8]", "zone F: cpe,1 is milder than cpe,10", "write"),
    (WIND, "F: [-1.8, -2.5]", "F: [-1.8, 2.5]", "zone F: cpe,1 is milder", ""),
    (WIND, "F: [-1.8, -2.5]", "F: [-1.8, -25]", "zone F: a coefficient above 5", "decimal point"),
    (WIND, "F: [-1.8, -2.5]", "F: [-1.8]", "F", ""),
    (WIND, "F: [-1.8, -2.5]", "Q: [-1.8, -2.5]", "`Q` is no zone here", ""),
    (WIND, "F: [-1.8, -2.5], ", "", "no row for zone F of flat-sharp at 0 deg", "add it"),
    (
        WIND,
        "roof: monopitch, theta: 0, at: 15",
        "roof: monopitch, theta: 0, at: 5",
        "two rows for one place of the table, 5",
        "",
    ),
    (
        WIND,
        "at: 30, signs: positive, zones: {F: [0.7, 0.7]",
        "at: 30, signs: positive, zones: {F: [-0.7, -0.7]",
        "the sign changes between",
        "",
    ),
    (
        WIND,
        "roof: monopitch, theta: 180, at: 5",
        "roof: monopitch, theta: 45, at: 5",
        "no table for a monopitch roof at 45 deg",
        "",
    ),
    (WIND, "signs: negative", "signs: both", "is `both`", "use one of"),
    (
        WIND,
        "  - {id: between pitches",
        "  - {id: between",
        "`between` is no clause",
        "between pitches",
    ),
    (
        INVENTED,
        "source: invented-national-choice, status: invented",
        "source: trade-memory, status: published",
        "`published` rests on `trade-memory`, which is `from memory`",
        "mark it as weak",
    ),
    (SNOW, "word: windswept", "word: normal", "`normal` is listed twice", ""),
    (SNOW, "shape: mu1, at: 30", "shape: mu3, at: 30", "is `mu3`", "use one of"),
    (SNOW, "  - {id: held_floor", "  - {id: held_flor", "no figure `held_flor`", "held_floor"),
    (SNOW, 'clause: "6.2"', "clause: 6.2", "clause", ""),
    (BASIS, "id: xi,", "id: gamma_q,", "figure `xi` is missing", "add it"),
    (BASIS, "clauses: []", "clauses: []\nmore: 1", "unknown key `more`", ""),
    (ARRAYS, "id: gap_limit", "id: tilt_limit", "`tilt_limit` is listed twice", ""),
    (TRIAL, "alpha: 7,", "alpha: 0,", "alpha", ""),
    (TRIAL, "{at: 0.9290304", "{at: 9.290304", "`9.290304` is listed twice", ""),
    (TRIAL, "id: asd_w,", "id: asd_x,", "figure `asd_w` is missing", ""),
    (
        REAL,
        "wind: en-1991-1-4-2005",
        "wind: en-1991-1-4-2025",
        "no edition `en-1991-1-4-2025`",
        "en-1991-1-4-2005",
    ),
    (
        REAL,
        "wind: en-1991-1-4-2005",
        "wind: en-1990-2002",
        "`en-1990-2002` is no edition of `wind`",
        "",
    ),
    (REAL, "choice: wind", "choice: winds", "no choice `winds`", "wind"),
    (REAL, 'takes: "6.10"', "takes: 6.10c", "`6.10c` is no way for `combination`", "6.10"),
    (REAL, "  - {choice: snow,", "  - {choice: wind,", "no answer to `snow`", "add it"),
    (
        REAL,
        "status: stricter judgement",
        "status: invented",
        "a row that is invented in a choice that is real",
        "never stand in one file",
    ),
    (
        INVENTED,
        "status: invented",
        "status: published",
        "a row that is published in a choice that is invented",
        "",
    ),
    (INVENTED, "id: air_density", "id: air", "no figure `air`", "air_density"),
    (INVENTED, "figures:\n", f"figures:\n{FOREIGN}\n", "no figure `speed_share`", ""),
]


@pytest.mark.parametrize(("name", "old", "new", "said", "remedy"), WRONG)
def test_one_wrong_place(
    base: Base, texts: dict[str, str], name: str, old: str, new: str, said: str, remedy: str
) -> None:
    found = faults(base, texts, name, old, new)
    mine = [p for p in found if p.file == name and said in p.text]
    assert mine, found
    assert remedy in mine[0].remedy
    assert mine[0].line > 0


def test_all_faults_of_a_file_come_at_once(base: Base, texts: dict[str, str]) -> None:
    text = texts[WIND].replace("z0: 0.05, zmin: 2", "z0: 3, zmin: 2", 1)
    text = text.replace("F: [-1.8, -2.5]", "F: [-1.8, -25]", 1)
    found = problems_of(base, {**texts, WIND: text})
    assert len(found) == 2
    assert len({p.line for p in found}) == 2


def test_the_line_is_that_of_the_row(base: Base, texts: dict[str, str]) -> None:
    (problem,) = faults(base, texts, WIND, "F: [-1.8, -2.5]", "F: [-1.8, -25]")
    line = texts[WIND].splitlines()[problem.line - 1]
    assert "roof: flat-sharp" in line


@pytest.mark.parametrize("text", ["hello\n", "- a\n", "3\n", "kind: wind\n", "kind: [a]\n"])
@pytest.mark.parametrize("name", [WIND, SNOW, BASIS, ARRAYS, TRIAL, REAL])
def test_a_file_of_another_form(base: Base, texts: dict[str, str], name: str, text: str) -> None:
    found = problems_of(base, {**texts, name: text})
    assert [p for p in found if p.file == name]


def test_a_base_without_codes(base: Base) -> None:
    assert problems_of(base, {}) == []
    empty = read_codes({}, {}, [])
    with pytest.raises(BadInputError, match="known: none"):
        empty.code("recommended-values")


def test_an_unreadable_file_stops_the_base(tmp_path: Path) -> None:
    ours = home()
    shutil.copytree(ours.kb, tmp_path / "kb")
    shutil.copytree(ours.rules, tmp_path / "rules")
    (tmp_path / WIND).write_bytes(b"\xff\xfe")
    with pytest.raises(InputError, match="not UTF-8"):
        read_documents(home(tmp_path))
