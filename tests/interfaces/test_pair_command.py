"""`seamwright pair`: one pair and the table, on a screen of 80 columns, as data, as pictures."""

import csv
import io
import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from selector.model.truth import Word
from tests.interfaces.conftest import Cli

ON_COPPER = ("pair", "aluminium", "copper", "--air", "clean")
WORDS = {word.text for word in Word}


def test_a_pair_says_who_suffers_where_and_what_helps(cli: Cli) -> None:
    ran = cli(*ON_COPPER)
    assert ran.code == 0
    assert "FORBIDDEN  not allowed" in ran.out
    assert re.search(r"suffers +aluminium", ran.out)
    for head in ("cause ", "where ", "cure ", "What would do instead", "elsewhere", "tables"):
        assert head in ran.out
    assert "contact must be excluded" in ran.flat  # CSN 73 3610 D.4
    assert max(map(len, ran.out.splitlines())) <= 80


def test_every_part_of_the_question_is_said_back(cli: Cli) -> None:
    asked = ("--first", "bolt", "--small", "first", "--between", "nothing", "--washed")
    ran = cli("pair", "stainless:A2", "steel+paint+zinc:Z275", *asked, "--air", "sea 40 km")
    assert "stainless, A2; as bolt, small in area" in ran.flat
    assert "steel (paint on zinc), Z275; as sheet, large in area" in ran.flat
    assert "sea distance 40 km; none of this:" in ran.flat
    assert "rain rinses it" in ran.flat


def test_in_german(cli: Cli) -> None:
    ran = cli("pair", "Stahl+Zink", "Kupfer", "--air", "Meer 5 km, Ruß", "--lang", "de")
    assert "Abstand zum Meer 5 km" in ran.flat
    assert ran.code == 0
    assert "VERBOTEN" in ran.out
    assert "Stahl (Zink) auf einem Blech aus Kupfer" in ran.flat
    assert max(map(len, ran.out.splitlines())) <= 80
    assert not re.search(r"\b(allowed|forbidden|sheet of|may touch)\b", ran.out)


def test_as_data(cli: Cli) -> None:
    data = json.loads(cli(*ON_COPPER, "--json").out)
    assert data["schema"] == "pair/1"
    assert data["word"] == "forbidden"
    assert data["contact"]["upper"]["metal"] == "aluminium"
    assert data["sufferer"] == "aluminium"
    assert {table["table"] for table in data["tables"]} >= {"roofers-table", "locksmiths-table"}
    assert all(one["word"] in ("allowed", "conditional") for one in data["instead"])


def test_without_air_nothing_is_known_of_it(cli: Cli) -> None:
    """Unknown is never yes: aluminium on zinc is a yes inland only."""
    known = json.loads(cli("pair", "aluminium", "zinc", "--air", "clean", "--json").out)
    unknown = json.loads(cli("pair", "aluminium", "zinc", "--json").out)
    assert known["word"] in ("allowed", "conditional")
    assert unknown["word"] == "observe"
    assert "site.sea_distance" in unknown["asks"]


def test_what_nobody_has_judged_waits_for_the_knowledge_owner(cli: Cli) -> None:
    ran = cli("pair", "lead", "copper-alloy", "--air", "clean")
    assert ran.code == 0
    assert "OBSERVE" in ran.out
    assert "knowledge owner" in ran.flat


def test_lifetimes_are_no_leave(cli: Cli) -> None:
    ran = cli("pair", "steel+zinc:Z275", "copper", "--air", "clean")
    assert "no leave for anything" in ran.out
    assert "about 19 um on one side" in ran.flat
    assert "FORBIDDEN" in ran.out


# --- bad input ---------------------------------------------------------------------------

BAD = [
    (("aluminum", "copper"), "near or known: `aluminium`"),
    (("aluminium",), "a pair is two metals, given 1"),
    (("aluminium", "copper", "zinc"), "given 3"),
    (("stone+paint", "copper"), "`stone` is no metal here"),
    (("copper+zinc", "copper"), "no `zinc` lies on `copper`"),
    (("aluminium:A4", "copper"), "grade `A4` is one of `stainless`"),
    (("aluminium", "copper", "--where", "beside"), "`beside` is none of"),
    (("aluminium", "copper", "--first", "sheet"), "does not press on the sheet"),
    (("aluminium", "copper", "--first", "wing"), "`wing` is none of"),
    (("aluminium", "copper", "--where", "above", "--between", "the listed"), "water from above"),
    (("aluminium", "copper", "--bridged", "set screw"), "nothing lies between"),
    (("aluminium", "copper", "--point", "cup"), "a point belongs to a screw"),
    (("stainless", "copper", "--first", "set screw", "--point", "blunt"), "`blunt` is none of"),
    (("aluminium", "copper", "--small", "both"), "`both` is none of"),
    (("aluminium", "copper", "--air", "fog"), "`fog` is none of"),
    (("aluminium", "copper", "--air", "sea"), "takes a figure"),
    (("aluminium", "copper", "--air", "soot 5"), "takes a figure"),
    (("aluminium", "copper", "--air", "sea -5 km"), "plausible"),
    (("aluminium", "copper", "--air", "sea 5 kg"), "expected"),
    (("aluminium", "copper", "--air", "clean, soot"), "name one"),
    (("aluminium", "copper", "--air", "sea 5 km, sea 6 km"), "a second time"),
    (("aluminium", "copper", "--csv", "x.csv"), "add `--matrix`"),
    (("--matrix", "--small", "first"), "are of one pair"),
    (("--matrix", "aluminium"), "a table holds"),
    (("--matrix", "--csv", "x.txt"), "x.txt"),
    (("--matrix", "--picture", "x.pdf"), "x.pdf"),
    (("--matrix", "--csv", "nowhere/x.csv"), "nowhere"),
    ((), "given 0"),
]


@pytest.mark.parametrize(
    ("args", "said"), BAD, ids=[" ".join(args) or "nothing" for args, _ in BAD]
)
def test_bad_input_is_explained(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, args: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = cli("pair", *args)
    assert ran.code == 2
    assert said in " ".join(ran.err.split())
    assert ran.out == ""
    assert list(tmp_path.iterdir()) == []


# --- the table ---------------------------------------------------------------------------


def test_the_table_fits_a_screen_and_has_a_word_in_every_cell(cli: Cli) -> None:
    ran = cli("pair", "--matrix", "--air", "sea 5 km")
    assert ran.code == 0
    assert max(map(len, ran.out.splitlines())) <= 80
    data = json.loads(cli("pair", "--matrix", "--air", "sea 5 km", "--json").out)
    cells = re.findall(rf"\b({'|'.join(WORDS)})\b(?: [0-9]+)?(?=  |$)", ran.out, re.MULTILINE)
    assert len(cells) == len(data["pairs"]) == len(data["metals"]) ** 2


def test_the_table_says_what_the_single_pairs_say(cli: Cli) -> None:
    asked = ("--where", "between parts", "--air", "soot")
    some = ("aluminium", "steel+zinc", "stainless:A4")
    table = json.loads(cli("pair", "--matrix", *some, *asked, "--json").out)
    for cell in table["pairs"]:
        one = json.loads(cli("pair", cell["upper"], cell["lower"], *asked, "--json").out)
        assert one["word"] == cell["word"], cell


def test_the_table_as_csv(cli: Cli, tmp_path: Path) -> None:
    into = tmp_path / "metals.csv"
    cli("pair", "--matrix", "copper", "zinc", "--air", "clean", "--csv", into)
    rows = list(csv.DictReader(io.StringIO(into.read_bytes().decode())))
    assert [(r["upper"], r["lower"]) for r in rows] == [
        ("copper", "copper"),
        ("copper", "zinc"),
        ("zinc", "copper"),
        ("zinc", "zinc"),
    ]
    assert {r["word"] for r in rows} <= WORDS
    assert [r["word"] for r in rows if r["upper"] == "zinc" and r["lower"] == "copper"] == [
        "forbidden"
    ]


@pytest.mark.parametrize("lang", ["en", "de"])
@pytest.mark.parametrize("where", ["on the sheet", "between parts", "above"])
def test_the_drawing_prints_on_a4_without_colour(
    cli: Cli, tmp_path: Path, where: str, lang: str
) -> None:
    into = tmp_path / "metals.svg"
    cli(
        "pair", "--matrix", "--where", where, "--air", "sea 5 km", "--picture", into, "--lang", lang
    )
    root = ET.fromstring(into.read_text(encoding="utf-8"))
    wide, high = (float(root.attrib[key].removesuffix("mm")) for key in ("width", "height"))
    assert wide <= 297 - 2 * 10
    assert high <= 210 - 2 * 5
    colours = {e.get(key) for e in root.iter() for key in ("fill", "stroke")} - {None}
    assert colours <= {"black", "white", "none"}
    cells = [e for e in root.iter() if e.get("data-word")]
    words = [e.get("data-word") for e in cells]
    assert len(words) == 121 and set(words) <= WORDS
    sizes = {float(e.attrib["font-size"]) for e in root.iter() if e.tag.endswith("text")}
    assert min(sizes) >= 3.1  # mm: 9 pt


def test_each_cell_of_the_drawing_holds_its_word(cli: Cli, tmp_path: Path) -> None:
    into = tmp_path / "metals.svg"
    cli("pair", "--matrix", "aluminium", "copper", "--air", "clean", "--picture", into)
    root = ET.fromstring(into.read_text(encoding="utf-8"))
    told = [e for e in root.iter() if e.tag.endswith("text")]
    texts = [(float(e.attrib["x"]), float(e.attrib["y"]), e.text) for e in told]
    for cell in (e for e in root.iter() if e.get("data-word")):
        x, y = float(cell.attrib["x"]), float(cell.attrib["y"])
        wide, high = float(cell.attrib["width"]), float(cell.attrib["height"])
        inside = [t for at, up, t in texts if x < at < x + wide and y < up < y + high]
        assert cell.get("data-word") in inside


def test_the_drawing_as_png(cli: Cli, tmp_path: Path) -> None:
    pytest.importorskip("resvg_py")
    into = tmp_path / "metals.png"
    assert cli("pair", "--matrix", "--air", "clean", "--picture", into).code == 0
    assert into.read_bytes().startswith(b"\x89PNG")
