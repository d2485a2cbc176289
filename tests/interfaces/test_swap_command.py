"""`seamwright swap`: the word first, few conditions, the way out; bad input is one message."""

import json
from pathlib import Path
from typing import Any

import pytest

from selector.jobs.write import text_of
from selector.knowledge.yaml_reader import read_file
from tests.conftest import ROOT
from tests.interfaces.conftest import Cli
from tests.kb.judged import silent

MILL = ROOT / "examples" / "mill-house" / "job.yaml"
GRANARY = ROOT / "examples" / "granary" / "job.yaml"
EXPECTED: dict[str, Any] = read_file(silent.HERE / "substitutions.yaml", "s").data
EXIT = {"allowed": 0, "conditional": 0, "observe": 3, "engineer": 4, "forbidden": 5}
SAID = {name: row["word"] for name, row in EXPECTED.items()}
ANCHOR = {"en": "never an anchor point", "de": "nie ein Anschlagpunkt"}
GERMAN = {"allowed": "zulässig", "conditional": "bedingt", "observe": "nachsehen"}
GERMAN |= {"engineer": "Statiker", "forbidden": "verboten"}
MINUTE = 230  # words that somebody reads to himself in a minute: common practice, no source
ANSWER = 200  # of these before the cautions
CHAPEL = ROOT / "examples" / "copper-chapel" / "job.yaml"
DEVIATIONS: dict[str, tuple[Path, tuple[str, ...]]] = {
    "cone screws": (MILL, ("--set", "screw_tip=cone")),
    "14 Nm": (MILL, ("--set", "torque=14 Nm")),
    "felt under the clamp": (MILL, ("--set", "improvised.inlay=a strip of felt")),
    "another rail": (GRANARY, ("--out", "rail-u", "--in", "rail-p")),
    "clamp and rail": (
        GRANARY,
        ("--out", "dl-1", "--in", "dl-2", "--out", "rail-u", "--in", "rail-p"),
    ),
    "every second seam": (MILL, ("--set", "layout.clamps=every second seam")),
    "a wedge": (MILL, ("--set", "array.tilt=5 deg")),
    "bare copper wire": (MILL, ("--set", "bonding_wire=bare copper")),
    "wrong order": (MILL, ("--set", "tightened=in the wrong order")),
    "an inlay": (CHAPEL, ("--set", "inlay=in-1")),
}


@pytest.fixture
def case(tmp_path: Path) -> Any:
    """The job file of a judged substitution."""

    def written(name: str) -> Path:
        path = tmp_path / "job.yaml"
        path.write_text(text_of(silent.merged(name)), encoding="utf-8")
        return path

    return written


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_the_ten_cases_whole(cli: Cli, case: Any, name: str) -> None:
    """The judge's word, conditions in three groups at most, and the way out of a no."""
    data = json.loads(cli("swap", case(name), "--json", "--lang", "en").out)
    word, told = SAID[name], " ".join(data["way_out"])
    assert (data["word"], data["exit"]) == (word, EXIT[word])
    assert len(data["conditions"]) <= 3
    assert bool(data["way_out"]) == (word in ("engineer", "forbidden"))
    assert bool(data["conditions"]) == (word == "conditional")
    for _, to in EXPECTED[name].get("way_out", ()):
        assert to.rpartition("/")[2] in told


@pytest.mark.parametrize("lang", ["en", "de"])
@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_the_ten_cases_on_a_screen(cli: Cli, case: Any, name: str, lang: str) -> None:
    """The word in the first line, within 80 columns and a minute; said unasked: no anchor."""
    ran = cli("swap", case(name), "--lang", lang)
    lines = ran.out.splitlines()
    first = lines[0].split()[0].strip(",")
    assert ran.code == EXIT[SAID[name]]
    assert first == (SAID[name] if lang == "en" else GERMAN[SAID[name]]).upper()
    assert ANCHOR[lang] in ran.flat
    assert all(len(line) <= 80 for line in lines)
    assert len(ran.out.split()) <= MINUTE


@pytest.mark.parametrize("lang", ["en", "de"])
@pytest.mark.parametrize("name", sorted(DEVIATIONS))
def test_a_deviation_is_read_in_a_minute(cli: Cli, name: str, lang: str) -> None:
    """Nothing of these stacks was accepted: what they have as planned stands in one line."""
    job, change = DEVIATIONS[name]
    lines = cli("swap", job, *change, "--lang", lang).out.splitlines()
    cautions = next(n for n, line in enumerate(lines) if line.startswith("!"))
    assert len(" ".join(lines[:cautions]).split()) <= ANSWER
    assert len(" ".join(lines).split()) <= MINUTE
    assert all(len(line) <= 80 for line in lines)


def test_what_is_set_is_said_also_where_it_is_the_listed_one(cli: Cli) -> None:
    lines = cli("swap", MILL, "--set", "torque=11 Nm", "--lang", "en").out.splitlines()
    assert lines[2] == "  torque: 11 Nm instead of not set"


def test_what_it_has_as_planned_is_one_line_or_all_of_it(cli: Cli) -> None:
    """dl-2 is tightened to 13 Nm, dl-1 to 11; all else is asked for as planned, too."""
    args = (*DEVIATIONS["clamp and rail"][1], "--lang", "en")
    short, whole = (cli("swap", GRANARY, *args, *more).flat for more in ((), ("--all",)))
    assert "13 Nm by torque wrench" in short and "95 mm" not in short
    assert "As planned it has 9 conditions of its own" in short
    assert "95 mm" in whole and "as planned, not accepted yet" in whole
    data = json.loads(cli("swap", GRANARY, *args, "--json").out)
    assert sum(len(group["texts"]) for group in data["own"]) == 9
    assert [group["group"] for group in data["conditions"]] == ["how"]


def test_what_is_lacking_is_named_once(cli: Cli) -> None:
    data = json.loads(cli("swap", GRANARY, "--out", "dl-1", "--in", "dl-3", "--json").out)
    assert sum("record of this clamp" in one["text"] for one in data["cannot"]) == 1


def test_what_changes_with_another_clamp(cli: Cli) -> None:
    """dl-1 is tightened to 11 Nm, dl-2 to 13 Nm."""
    data = json.loads(cli("swap", MILL, "--out", "dl-1", "--in", "demo/dl-2", "--json").out)
    assert data["moved"] == [{"slot": "clamp", "from": "demo/dl-1", "to": "demo/dl-2"}]
    assert any("13 Nm, no longer 11 Nm" in text for text in data["follows"])
    assert data["before"] == "conditional"
    assert data["way_out"][0].startswith("as planned, clamp: dl-1 instead of dl-2: conditional")
    assert sum("dl-1 instead of dl-2" in text for text in data["way_out"]) == 1


def test_out_and_in_are_the_same_as_set(cli: Cli) -> None:
    one = json.loads(cli("swap", MILL, "--out", "dl-1", "--in", "dl-3", "--json").out)
    other = json.loads(cli("swap", MILL, "--set", "clamp=demo/dl-3", "--json").out)
    assert one == other


def test_what_is_made_on_site_is_no_yes(cli: Cli) -> None:
    ran = cli("swap", MILL, "--set", "improvised.inlay=strips of membrane", "--json")
    assert json.loads(ran.out)["word"] == "forbidden" and ran.code == 5


def test_how_far_a_line_may_move(cli: Cli) -> None:
    """Marks lie at 1200 to 1210 mm above it; 95 mm and what both may be off keep clear of them."""
    ran = cli("swap", MILL, "--set", "layout.rails.r1.from_eave=1.02 m", "--json")
    [reach] = json.loads(ran.out)["reach"]
    assert (reach["rail"], reach["at"]) == ("r1", 1_020_000)
    assert 0 < reach["up"]["by"] <= 300_000 and reach["up"]["rules"] == ["clamp-too-near-clip"]
    assert reach["down"]["rules"] == ["module-clamped-outside-its-zones"]


def test_nothing_is_said_to_be_free_of_a_stack_that_is_refused(cli: Cli) -> None:
    ran = cli("swap", MILL, "--set", "layout.rails.r1.from_eave=1.21 m", "--json")
    data = json.loads(ran.out)
    assert data["word"] == "forbidden" and data["reach"] == []
    assert any("rail line" in text for text in data["way_out"])


def test_figures_of_the_old_place_are_void(cli: Cli) -> None:
    ran = cli("swap", MILL, "--set", "layout.clamps=every second seam", "--json")
    data = json.loads(ran.out)
    assert "uplift_per_clamp" in data["void"] and "net_uplift" not in data["void"]
    assert data["word"] not in ("allowed", "conditional") and ran.code >= 3


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--stack", "plannd", "--set", "torque=12 Nm"], "did you mean `planned`?"),
        (["--set", "torque=12"], "with its unit"),
        (["--set", "torque=12 kN"], "is a force"),
        (["--set", "torqe=12 Nm"], "did you mean `torque`?"),
        (["--set", "torque"], "PATH=VALUE"),
        (["--set", "=12 Nm"], "PATH=VALUE"),
        (["--set", "torque="], "PATH=VALUE"),
        (["--set", "torque=12 Nm", "--set", "torque=13 Nm"], "set twice"),
        (["--set", "layout.clamps=every seam", "--set", "layout.clamps.s03=1 m"], "inside"),
        (["--set", "clamp=dl-99"], "no part `dl-99`"),
        (["--set", "clamp=other/dl-1"], "no part `other/dl-1`"),
        (["--set", "stated.clip_share=0 kN"], "no change of hands"),
        (["--set", "accepted=place-to-be-looked-at"], ""),
        (["--set", "layout.rails.r1=[1 m"], "error: --set"),
        (["--out", "dl-1"], "one --in for each --out"),
        (["--out", "dl-1", "--in", "dl-99"], "no part `dl-99`"),
        (["--out", "dl-2", "--in", "dl-1"], "is not in stack `planned`"),
        (["--out", "dl-1", "--in", "dl-2", "--out", "dl-1", "--in", "dl-3"], "goes out twice"),
        (["--out", "dl-1", "--in", "dl-2", "--set", "clamp=dl-3"], "set twice"),
        (["--set", "clamp=dl-1"], "nothing is changed"),
        ([], "no change is asked for"),
        (["--set", "torque=12 Nm", "--when", "tomorrow"], "no day"),
        (["--set", "torque=12 Nm", "--record", "record.pdf"], "ends in .txt"),
        (["--record", "record.txt"], "a record is of a change"),
        (["--van", "not-there.yaml"], "not-there.yaml"),
    ],
)
def test_bad_input_is_exit_2(cli: Cli, tmp_path: Path, args: list[str], said: str) -> None:
    ran = cli("swap", MILL, *args, "--lang", "en")
    assert ran.code == 2 and ran.out == ""
    assert ran.err.startswith("error: ") and said in ran.err


def test_the_record(cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "record.txt"
    args = ("--out", "dl-1", "--in", "dl-2", "--by", "Tom", "--when", "2031-03-15")
    ran = cli("swap", MILL, *args, "--record", path, "--lang", "en")
    text = path.read_text(encoding="utf-8")
    flat = " ".join(text.split())
    for piece in ("2031-03-15", "Tom", "dl-2 instead of dl-1", "FORBIDDEN", "This is no yes"):
        assert piece in flat
    digest = json.loads(cli("swap", MILL, *args, "--json").out)["base"]
    assert f"base {digest}" in flat
    assert ran.code == 5 and all(len(line) <= 90 for line in text.splitlines())
    again = cli("swap", MILL, *args, "--record", path)
    assert again.code == 2 and path.read_text(encoding="utf-8") == text


def test_a_record_of_a_yes_has_boxes_and_photos(cli: Cli, case: Any, tmp_path: Path) -> None:
    path = tmp_path / "record.txt"
    assert cli("swap", case("SUB-02"), "--record", path, "--lang", "en").code == 0
    text = path.read_text(encoding="utf-8")
    assert "CONDITIONAL, NOT RELEASED  a yes, with every condition below" in text
    assert "[ ] the end of the rail" in text and "Signed (who builds it)" in text
    assert text.count("[ ]") >= 4


def test_a_change_is_kept_with_its_record(cli: Cli, tmp_path: Path) -> None:
    store, path = tmp_path / "jobs.sqlite", tmp_path / "record.txt"
    args = ("--out", "dl-1", "--in", "dl-2", "--by", "Tom", "--when", "2031-03-15")
    ran = cli("swap", MILL, *args, "--record", path, "--keep", "--store", store, "--lang", "en")
    assert ran.code == 5 and "kept as number 1" in ran.err
    shown = json.loads(cli("jobs", "show", "mill-house", "--store", store, "--json").out)
    assert shown["answer"]["schema"] == "swap/1" and shown["word"] == "forbidden"
    assert shown["page"] == f"{ran.out}\n{path.read_text(encoding='utf-8')}"
    again = cli("jobs", "replay", "mill-house", "--store", store, "--json")
    assert json.loads(again.out)["same"] is True


@pytest.mark.parametrize("args", [["--van", "van.yaml"], ["--set", "torque=12"]])
def test_what_is_no_change_is_not_kept(cli: Cli, tmp_path: Path, args: list[str]) -> None:
    store = tmp_path / "jobs.sqlite"
    ran = cli("swap", MILL, *args, "--keep", "--store", store, "--lang", "en")
    assert ran.code == 2 and ran.out == ""
    listed = cli("jobs", "list", "--store", store, "--json")
    assert json.loads(listed.out)["jobs"] == []


VAN = """seamwright: van/1
counted: 2031-05-05
parts:
  dl-1: {clamps}
  rail-u: [8 x 5.20 m, 8 x 3.60 m]
  mc-1: 60
"""


@pytest.mark.parametrize(("clamps", "modules", "rows"), [(200, 14, 2), (34, 7, 1), (2, 0, 0)])
def test_what_a_van_finishes(
    cli: Cli, tmp_path: Path, clamps: int, modules: int, rows: int
) -> None:
    """Two rows of 3 and 4 modules on 14 and 18 clamps a run: 64 clamps in all."""
    path = tmp_path / "van.yaml"
    path.write_text(VAN.format(clamps=clamps), encoding="utf-8")
    ran = cli("swap", GRANARY, "--van", path, "--json")
    van = json.loads(ran.out)["van"]
    [one] = van["stacks"]
    assert (one["finish"]["modules"], one["finish"]["rows"]) == (modules, rows)
    assert one["word"] == "conditional" and ran.code == 0
    assert bool(one["finish"]["short"]) == (modules < 14)


def test_what_lies_above_the_first_rails_is_said_not_to_be_counted(
    cli: Cli, tmp_path: Path
) -> None:
    """The elevated array of a judged case, on frames that are in the van."""
    parts = ("double-alu-slideon", "tilt-frame", "clamp-end", "clamp-mid")
    data = silent.merged("SEL-09")
    data["stacks"] = {"planned": {"array": "a1", "clamp": f"cases/{parts[0]}"}}
    job, van = tmp_path / "job.yaml", tmp_path / "van.yaml"
    job.write_text(text_of(data), encoding="utf-8")
    rest = "".join(f"  {part}: 60\n" for part in parts)
    van.write_text(f"seamwright: van/1\nparts:\n  rail-slideon: [5.20 m]\n{rest}", "utf-8")
    ran = cli("swap", job, "--van", van, "--lang", "en")
    assert ran.code == 0 and "frames are not counted here" in ran.flat
    assert "modules can be finished" not in ran.flat


def test_a_van_that_holds_no_stack(cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    path.write_text("seamwright: van/1\nparts: {dl-1: 40, mc-1: 0}\n", encoding="utf-8")
    ran = cli("swap", GRANARY, "--van", path, "--lang", "en")
    assert ran.code == 5 and "no stack of this array" in ran.flat


@pytest.mark.parametrize("lang", ["en", "de"])
def test_a_change_and_a_van_together(cli: Cli, tmp_path: Path, lang: str) -> None:
    path = tmp_path / "van.yaml"
    path.write_text(VAN.format(clamps=34), encoding="utf-8")
    ran = cli("swap", GRANARY, "--out", "dl-1", "--in", "dl-3", "--van", path, "--lang", lang)
    assert ran.code in (3, 4, 5) and ANCHOR[lang] in ran.flat
    assert all(len(line) <= 80 for line in ran.out.splitlines())
