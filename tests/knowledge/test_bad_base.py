"""One wrong place in a knowledge base: found, named with its line, and with what to do."""

import random
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from selector.errors import InputError, Problem
from selector.inference.judge import Judge
from selector.knowledge.documents import read_documents
from selector.knowledge.loader import build, load_base
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import Document, read_string

DEMO = "kb/catalogues/demo/"
CLAMPS = f"{DEMO}clamps.yaml"
FRONT = f"{DEMO}catalogue.yaml"
CLAMP_RECORDS = f"{DEMO}records/clamp-on-seam.yaml"
CLIP_RECORDS = f"{DEMO}records/clip-in-deck.yaml"
VOCABULARY = "kb/vocabulary.yaml"
PICTURE = "kb/questions/seam-end-picture.yaml"
HEIGHT = "kb/questions/seam-height.yaml"
RULE = "rules/grips/seam-outside-clamp-window.yaml"
CASES = "rules/grips/seam-outside-clamp-window.cases.yaml"
EXCEPTION = "rules/holds/record-run-out.yaml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the shipped base."""
    where = tmp_path_factory.mktemp("base")
    ours = home()
    shutil.copytree(ours.kb, where / "kb")
    shutil.copytree(ours.rules, where / "rules")
    return where


@pytest.fixture(scope="module")
def documents(folder: Path) -> dict[str, Document]:
    return read_documents(home(folder))[1]


Opens = Callable[[str, str], None]


@pytest.fixture(scope="module")
def opens(documents: dict[str, Document]) -> Opens:
    """Read the base with another text for one of its files, as every command does."""
    lean = {k: v for k, v in documents.items() if "/cases/" not in k and ".cases." not in k}
    lean[CASES] = documents[CASES]

    def opened(name: str, text: str) -> None:
        rest = lean if name in lean else documents
        Judge(build("copy", {**rest, name: read_string(text, name)})).close()

    return opened


Faults = Callable[[str, str, str], tuple[Problem, ...]]


@pytest.fixture(scope="module")
def faults(folder: Path, opens: Opens) -> Faults:
    """Problems of the base after the first such place of a file was changed."""

    def found(name: str, old: str, new: str) -> tuple[Problem, ...]:
        text = (folder / name).read_text(encoding="utf-8")
        assert old in text
        with pytest.raises(InputError) as caught:
            opens(name, text.replace(old, new, 1))
        return caught.value.problems

    return found


def line_of(folder: Path, name: str, part: str) -> int:
    text = (folder / name).read_text(encoding="utf-8")
    return text.count("\n", 0, text.index(part)) + 1


def test_the_copy_is_sound(folder: Path, opens: Opens) -> None:
    opens(RULE, (folder / RULE).read_text(encoding="utf-8"))
    assert load_base(folder).digest == load_base().digest


# file, place in it, what stands there instead, text, remedy
WRONG: list[tuple[str, str, str, str, str]] = [
    # parts
    (CLAMPS, "torque: 11", "torqe: 11", "unknown key `torqe`", "did you mean `torque`?"),
    (CLAMPS, "torque: 11", "torqe: 11", "key `torque` is missing", "add it"),
    (CLAMPS, "torque: 11 Nm", "torque: 11 mm", "`torque`: expected a torque", "is a length"),
    (CLAMPS, "torque: 11 Nm", "torque: 11", "with its unit, given `11`", "such as `12 Nm`"),
    (CLAMPS, "22 to 30 mm", "30 to 22 mm", "`height`: the range `30 to 22 mm` runs backwards", ""),
    (CLAMPS, ", head: 5 to 8 mm", "", "shape double-lock needs a window for `head`", ""),
    (CLAMPS, "head: 5 to", "bulb: 1 to 2 mm, head: 5 to", "double-lock has no `bulb`", ""),
    (CLAMPS, "shape: double-lock", "shape: double-lok", "is no shape", "`double-lock`?"),
    (
        CLAMPS,
        "needs_insert: rd-1-insert",
        "needs_insert: rd-1-inset",
        "no part `rd-1-inset`",
        "`rd-1-insert`?",
    ),
    (
        CLAMPS,
        "grips: [{shape: double-lock, height: 22 to 30 mm, head: 5 to 8 mm}]",
        "grips: [{shape: asymmetric, profile: rib-own}]",
        "profile `rib-own` does not take `dl-1` only",
        "",
    ),
    (
        CLAMP_RECORDS,
        "sheet: {family: coated steel,",
        "sheet: {listed_in: owner's document, family: coated steel,",
        "name either a `family` or a `metal`",
        "",
    ),
    (FRONT, "clip_factor: 1.2", "clip_factor: 0.9", "`clip_factor`", ""),
    (FRONT, "clip_factor: 1.2", "methods: {clip_share: by eye}", "`clip_share`", ""),
    (CLAMPS, "metal: aluminium", "metal: aluminum", "`aluminum` is no metal", "`aluminium`?"),
    (CLAMPS, "generation: old", "generation: oldest", "`generation` is `oldest`", "'old' or 'new'"),
    (CLAMPS, "\ndl-2: ", "\ndl-1: ", "key `dl-1` is written twice", "keep one of them"),
    (f"{DEMO}adapters.yaml", "[mix-1]", "[mix-2]", "no part `mix-2`", "did you mean `mix-1`"),
    (
        f"{DEMO}inlays.yaml",
        "[bonding-jumper]",
        "[bonding-jumpr]",
        "no part `bonding-jumpr`",
        "`bonding-jumper`?",
    ),
    (
        f"{DEMO}rails.yaml",
        "span: 1.05 m",
        "span: 1.05 kN",
        "`span`: expected a length",
        "is a force",
    ),
    (f"{DEMO}catalogue.yaml", "name: demo", "name: demos", "`demos` is not the folder's name", ""),
    (f"{DEMO}catalogue.yaml", "3 kg/m2", "3 kg", "expected an area mass", "`3 kg` is a mass"),
    (f"{DEMO}catalogue.yaml", "tag: invented", "tag: made up", "`tag` is `made up`", "use one of"),
    # records
    (
        CLAMP_RECORDS,
        "clamp: dl-1,",
        "clamp: dl-11,",
        "record `ev-01` names no part `dl-11`",
        "did you mean `dl-1`",
    ),
    (CLAMP_RECORDS, "inlay: in-1", "inlay: in-2", "names no part `in-2`", "did you mean `in-1`?"),
    (
        CLAMP_RECORDS,
        "value: 0.86 kN",
        "value: 1.86 kN",
        "above eta * characteristic",
        "",
    ),
    (
        CLAMP_RECORDS,
        "value: 1.145 kN",
        "value: 9.1 kN",
        "`uplift`: the characteristic value is above the mean",
        "",
    ),
    (CLAMP_RECORDS, "value: 0.86 kN", "value: 0.86 mm", "`value`: expected a force", "is a length"),
    (CLAMP_RECORDS, "n: 8,", "n: 2,", "three tests or more, given 2", ""),
    (CLAMP_RECORDS, "- id: ev-02", "- id: ev-01", "record `ev-01` is listed twice", ""),
    (
        CLAMP_RECORDS,
        "kind: clamp on seam",
        "kind: clamp on sem",
        "no record kind `clamp on sem`",
        "`clamp on seam`?",
    ),
    (CLAMP_RECORDS, "family: coated steel, ", "", "name either a `family` or a `metal`", ""),
    (CLAMP_RECORDS, "22 to 30 mm", "30 to 22 mm", "the range `30 to 22 mm` runs backwards", ""),
    (CLAMP_RECORDS, "outcome: good", "outcome: fine", "`outcome` is `fine`", "'good' or 'bad'"),
    (CLAMP_RECORDS, "withdrawn: false", "withdrawn: maybe", "`withdrawn`", "given `maybe`"),
    (
        f"{DEMO}records/joint.yaml",
        "lower: under-lip",
        "lower: under-lp",
        "no part offers `under-lp`",
        "`under-lip`?",
    ),
    (
        f"{DEMO}records/joint.yaml",
        "upper: rail-u",
        "upper: rail-uu",
        "names no part `rail-uu`",
        "`rail-u`",
    ),
    (
        f"{DEMO}records/module-clamp.yaml",
        "sits_on: top-ledge",
        "sits_on: top-lege",
        "no part offers `top-lege`",
        "`top-ledge`",
    ),
    (
        f"{DEMO}records/module.yaml",
        "module: module-p35",
        "module: module-p36",
        "no part `module-p36`",
        "`module-p35`",
    ),
    # trade
    (
        "kb/trade/pairings.yaml",
        "source: csn-73-3610",
        "source: csn-73-3611",
        "no source `csn-73-3611`",
        "`csn-73-3610`, `csn-73-3610-substrates`?",
    ),
    (
        "kb/trade/pairings.yaml",
        "upper: aluminium",
        "upper: aluminum",
        "`aluminum` is no family",
        "`aluminium`, `aluminium-zinc`?",
    ),
    ("kb/trade/pairings.yaml", "salt: none", "salt: some", "`some` is no word", "none, present"),
    ("kb/trade/pairings.yaml", "on the sheet,", "on sheet,", "`place` is `on sheet`", "use one of"),
    (
        "kb/trade/pairings.yaml",
        "aluminium-on-stainless-sheet",
        "aluminium-on-kindred-sheet",
        "is listed twice",
        "",
    ),
    ("kb/trade/numbers.yaml", "500 mm", "500 kN", "expected a length", "`500 kN` is a force"),
    ("kb/trade/shapes.yaml", "id: T,", "id: U,", "`U` is no shape", "known here: "),
    (
        "kb/sources/en-1990.yaml",
        "id: en-1990",
        "id: en-1991",
        "`en-1991` is not the file's name",
        "",
    ),
    ("kb/sources/en-1990.yaml", "published", "printed", "`status` is `printed`", "use one of"),
    # vocabulary
    (PICTURE, "list: shape", "list: shap", "no list `shap`", "did you mean `shape`?"),
    (HEIGHT, "dimension: length", "dimension: lenght", "no dimension `lenght`", "`length`?"),
    (HEIGHT, "tape: 1 mm", "tape: 1 kN", "expected a length", "`1 kN` is a force"),
    (VOCABULARY, "\nacts:", "\nactz:", "unknown key `actz`", "did you mean `acts`?"),
    (
        HEIGHT,
        "path: plane.seam.height",
        "path: plane.seam.head",
        "`plane.seam.head` is listed twice",
        "",
    ),
    # rules
    (RULE, "moves:", "movs:", "unknown key `movs`", "`moves`"),
    (RULE, "kind: require", "kind: requir", "no kind `requir`", "did you mean `require`?"),
    (
        RULE,
        "within c.grips.height",
        "withn c.grips.height",
        "is not `PATH OPERATOR VALUE`",
        "within",
    ),
    (RULE, "p.seam.height within", "q.seam.height within", "`q` is no role of this rule", ""),
    (
        RULE,
        "p.seam.height within",
        "p.seam.heigth within",
        "no path `plane.seam.heigth`",
        "`plane.seam.height`",
    ),
    (
        RULE,
        "within c.grips.height",
        "within c.grips.heigth",
        "no path `clamp.grips.heigth`",
        "`clamp.grips.height`",
    ),
    (
        RULE,
        "[double-lock, snap",
        "[double-lok, snap",
        "`double-lok` is no word of `plane.seam.shape`",
        "`double-lock`?",
    ),
    (
        RULE,
        "within c.grips.height",
        "within 30 to 22 mm",
        "the range `30 to 22 mm` runs backwards",
        "",
    ),
    (
        RULE,
        "within c.grips.height",
        "at most 22 kN",
        "`plane.seam.height` is a length, not force",
        "",
    ),
    (RULE, "within c.grips.height", "is tall", "`is` does not fit it", "it takes a choice"),
    (RULE, "{c: clamp,", "{c: clmp,", "part-on-plane has no role `clmp`", "did you mean `clamp`?"),
    (
        RULE,
        "subject: part-on-plane",
        "subject: part-on-plan",
        "no subject `part-on-plan`",
        "`part-on-plane`?",
    ),
    (RULE, "aspect: grips", "aspect: grip", "no aspect `grip`", "did you mean `grips`?"),
    (RULE, "proves: seam window", "proves: seam windw", "no need `seam windw`", "`seam window`?"),
    (
        RULE,
        "source: trade-custom",
        "source: trade-custm",
        "no source `trade-custm`",
        "`trade-custom`",
    ),
    (RULE, "otherwise: forbidden", "otherwise: never", "`otherwise` is `never`", "use one of"),
    (RULE, "otherwise: forbidden\n", "", "a rule of kind require has otherwise, require", "given"),
    (
        RULE,
        "otherwise: forbidden",
        "otherwise: observe",
        "must name who can lift it",
        "add `lifted`",
    ),
    (RULE, "id: seam-outside", "id: seam-inside", "is not the file's name", ""),
    (
        RULE,
        "p.seam.shape is one of c.grips.shapes",
        "any: []",
        "a group is `any: [condition, ...]`",
        "",
    ),
    (
        EXCEPTION,
        "[pairing-without-a-record]",
        "[pairing-without-record]",
        "`except` names no rule `pairing-without-record`",
        "`pairing-without-a-record`",
    ),
    (
        EXCEPTION,
        "[pairing-without-a-record]",
        "[seam-outside-clamp-window]",
        "has another subject",
        "",
    ),
    # cases
    (CASES, "expect: fires", "expect: fire", "`expect` is `fire`", "use one of 'fires'"),
    (CASES, "given:", "givn:", "unknown key `givn`", "did you mean `given`?"),
]


@pytest.mark.parametrize(
    ("name", "old", "new", "said", "remedy"),
    WRONG,
    ids=[f"{i:02}-{Path(row[0]).stem}" for i, row in enumerate(WRONG)],
)
def test_one_wrong_place_is_named(
    folder: Path, faults: Faults, name: str, old: str, new: str, said: str, remedy: str
) -> None:
    found = [p for p in faults(name, old, new) if p.file == name and said in str(p)]
    assert len(found) == 1
    [problem] = found
    assert remedy in str(problem)
    # what concerns a whole entry or rule may be reported at its head
    line = line_of(folder, name, old.lstrip("\n"))
    head = 1 if name.startswith("rules/") else line - 5
    assert head <= problem.line <= line + 1
    assert str(problem).startswith(f"{name}:{problem.line}: ")


# --- files ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [CLAMPS, RULE])
def test_a_file_that_is_empty_or_no_text(folder: Path, name: str) -> None:
    path = folder / name
    whole = path.read_bytes()
    try:
        for data, said, remedy in (
            (b"", "the file is empty", "start from"),
            (b"# nothing\n", "the file is empty", "start from"),
            (bytes(range(256)), "the file is not UTF-8 text", "save it as text"),
            (b"\x00\x01\x02", "not readable as YAML", "binary file"),
            (b"a: [1\n", "not readable as YAML", "check indentation"),
            (b"a:\n\tb: 1\n", "not readable as YAML", "not tabs"),
        ):
            path.write_bytes(data)
            with pytest.raises(InputError) as caught:
                load_base(folder)
            [problem] = caught.value.problems
            assert problem.file == name
            assert said in problem.text
            assert remedy in problem.remedy
    finally:
        path.write_bytes(whole)


@pytest.mark.parametrize("text", ["hello\n", "- a\n- b\n", "3\n", "null\n"])
@pytest.mark.parametrize(
    "name",
    [
        VOCABULARY,
        PICTURE,
        CLAMPS,
        CLAMP_RECORDS,
        f"{DEMO}catalogue.yaml",
        "kb/trade/numbers.yaml",
        "kb/trade/shapes.yaml",
        "kb/sources/en-1990.yaml",
        RULE,
        CASES,
    ],
)
def test_a_file_of_another_form(opens: Opens, name: str, text: str) -> None:
    with pytest.raises(InputError) as caught:
        opens(name, text)
    assert any(p.file == name for p in caught.value.problems)


def test_a_base_without_a_vocabulary(documents: dict[str, Document], tmp_path: Path) -> None:
    rest = {k: v for k, v in documents.items() if k != VOCABULARY}
    with pytest.raises(InputError) as caught:
        build("copy", rest)
    assert str(caught.value) == f"{VOCABULARY}: this file is missing; restore it"
    (tmp_path / "kb").mkdir()
    (tmp_path / "rules").mkdir()
    with pytest.raises(
        InputError, match=r"expected `kb/vocabulary.yaml` and `rules/` inside; name"
    ):
        load_base(tmp_path)


@pytest.mark.parametrize("name", ["kb/trade/numbers.yaml", "kb/trade/shapes.yaml"])
def test_a_base_without_a_trade_file(documents: dict[str, Document], name: str) -> None:
    with pytest.raises(InputError) as caught:
        build("copy", {k: v for k, v in documents.items() if k != name})
    assert any(p.file == name and p.remedy for p in caught.value.problems)


def test_a_catalogue_without_its_front_page(documents: dict[str, Document]) -> None:
    name = f"{DEMO}catalogue.yaml"
    with pytest.raises(InputError) as caught:
        build("copy", {k: v for k, v in documents.items() if k != name})
    assert f"{name}: catalogue `demo` has no front page; add it" in str(caught.value)


def test_a_rule_written_twice(documents: dict[str, Document], folder: Path) -> None:
    name = "rules/joins/seam-outside-clamp-window.yaml"
    again = read_string((folder / RULE).read_text(encoding="utf-8"), name)
    with pytest.raises(InputError) as caught:
        build("copy", {**documents, name: again})
    [problem] = caught.value.problems
    assert problem.text == "rule `seam-outside-clamp-window` is written twice"
    assert problem.place in (f"{name}:1", f"{RULE}:1")


def test_cases_without_their_rule(documents: dict[str, Document]) -> None:
    with pytest.raises(InputError) as caught:
        build("copy", {k: v for k, v in documents.items() if k != RULE})
    assert {p.file for p in caught.value.problems} == {CASES}
    assert {p.text for p in caught.value.problems} == {
        "no rule `seam-outside-clamp-window` beside these cases"
    }


def test_wrong_places_of_several_files_are_gathered(
    documents: dict[str, Document], folder: Path
) -> None:
    changed = dict(documents)
    for name, old, new in (
        (CLAMPS, "needs_insert: rd-1-insert", "needs_insert: none-such"),
        (f"{DEMO}adapters.yaml", "[mix-1]", "[mix-2]"),
        ("kb/trade/pairings.yaml", "salt: none", "salt: some"),
        (EXCEPTION, "[pairing-without-a-record]", "[nothing]"),
    ):
        text = (folder / name).read_text(encoding="utf-8")
        changed[name] = read_string(text.replace(old, new, 1), name)
    with pytest.raises(InputError) as caught:
        build("copy", changed)
    assert len(caught.value.problems) == 4
    for said in ("none-such", "mix-2", "`some`", "`nothing`"):
        assert said in str(caught.value)


def test_a_changed_file_is_not_taken_from_the_cache(folder: Path) -> None:
    path = folder / CLAMPS
    whole = path.read_text(encoding="utf-8")
    load_base(folder)
    try:
        path.write_text(whole.replace("torque: 11 Nm", "torque: 11 mm", 1), encoding="utf-8")
        for _ in range(2):
            with pytest.raises(
                InputError, match=r"clamps\.yaml:[0-9]+: `torque`: expected a torque"
            ):
                load_base(folder)
    finally:
        path.write_text(whole, encoding="utf-8")
    assert load_base(folder).digest == load_base().digest


# --- what must not pass silently -----------------------------------------------------------

SILENT: list[tuple[str, str, str, str]] = [
    (
        CLAMP_RECORDS,
        "since: 2029-06-01, until: 2034-05-31",
        "since: 2034-06-01, until: 2029-05-31",
        "until|since",
    ),
    (CLAMP_RECORDS, "since: 2029-06-01", "since: 1.6.2029", "date"),
    (CLAMP_RECORDS, "shape: double-lock", "shape: double-lok", "double-lok"),
    (CLAMP_RECORDS, "family: coated steel", "family: coated stel", "coated stel"),
    (CLAMP_RECORDS, "metal: zinc", "metal: zinkk", "zinkk"),
    (CLAMP_RECORDS, "value: 0.86 kN", "value: -0.86 kN", "negative|value|sign"),
    (CLIP_RECORDS, "clip: hand-folded clip", "clip: hand-folded clp", "clp"),
    (CLIP_RECORDS, "kind: boards", "kind: bords", "bords"),
    (CLIP_RECORDS, "zones: [field", "zones: [felt", "felt"),
    (CLIP_RECORDS, "shapes: [double-lock", "shapes: [double-lok", "double-lok"),
    (CLAMPS, "torque: 11 Nm", "torque: -11 Nm", "torque"),
    (CLAMPS, "clip_distance: 95 mm", "clip_distance: -95 mm", "clip_distance"),
    (CLAMPS, "count: 2", "count: -2", "count"),
    (f"{DEMO}modules.yaml", "coating: anodic", "coating: anodik", "anodik"),
    (f"{DEMO}profiles.yaml", "shape: asymmetric", "shape: asymetric", "asymetric"),
    (VOCABULARY, "default: weak", "default: weakk", "weakk"),
    (VOCABULARY, "aspect: grips", "aspect: grip", "grip"),
    (RULE, 'message: "{c} grips', 'message: "{z} grips', "message|`z`"),
    (RULE, "{c.grips.height}", "{c.grips.hight}", "hight"),
    (RULE, "places: 3", "places: -3", "places"),
    (RULE, "since: 2026-11-25", "since: yesterday", "date|since"),
]


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    SILENT,
    ids=[f"{i:02}-{Path(row[0]).stem}" for i, row in enumerate(SILENT)],
)
def test_a_wrong_word_or_sign_does_not_pass_silently(
    faults: Faults, name: str, old: str, new: str, said: str
) -> None:
    found = [p for p in faults(name, old, new) if p.file == name]
    assert any(re.search(said, str(p)) for p in found)


@pytest.mark.parametrize("listed", ["family", "zone", "presence", "shape", "metal"])
def test_a_vocabulary_without_one_of_its_lists(faults: Faults, listed: str) -> None:
    found = faults(VOCABULARY, f"\n  {listed}: ", f"\n  {listed}x: ")
    assert any(f"`{listed}`" in str(p) for p in found)


def test_an_unknown_dimension_of_a_number_is_named(faults: Faults, folder: Path) -> None:
    [problem] = faults("kb/trade/numbers.yaml", "dimension: length", "dimension: lenght")
    assert problem.line == line_of(folder, "kb/trade/numbers.yaml", "dimension: length")
    assert "dimension `lenght`" in problem.text
    assert "`length`" in problem.remedy


def test_a_range_glued_to_its_unit_reads_or_quotes_what_is_written(
    folder: Path, opens: Opens
) -> None:
    text = (folder / CLAMPS).read_text(encoding="utf-8").replace("22 to 30 mm", "22 to 30mm", 1)
    try:
        opens(CLAMPS, text)
    except InputError as error:
        assert "22 to 30mm" in str(error)


def test_a_rule_that_excepts_itself_names_its_file(faults: Faults) -> None:
    found = faults(EXCEPTION, "[pairing-without-a-record]", "[record-run-out]")
    assert {p.file for p in found} == {EXCEPTION}


@pytest.mark.parametrize(
    ("name", "old", "new", "lines"),
    [
        (CLAMPS, "torque: 11 Nm", "torque: 11 mm", 1),
        (CLAMP_RECORDS, "value: 0.86 kN", "value: 1.86 kN", 1),
        (RULE, "otherwise: forbidden", "otherwise: never", 1),
        ("kb/sources/en-1990.yaml", "published", "printed", 1),
    ],
)
def test_one_fault_is_one_problem(
    faults: Faults, name: str, old: str, new: str, lines: int
) -> None:
    """What follows from a fault alone (parts, cases, sources not found) is not said as well."""
    assert len(faults(name, old, new)) == lines


# --- any loss at all ------------------------------------------------------------------------


def damaged(text: str, chance: random.Random) -> str:
    """A line lost, doubled or cut, or two letters swapped."""
    lines = text.split("\n")
    i = chance.randrange(len(lines))
    way = chance.choice(["lose", "lose", "double", "cut", "swap", "word"])
    if way == "lose":
        del lines[i]
    elif way == "double":
        lines.insert(i, lines[i])
    elif way == "cut":
        lines[i] = lines[i][: chance.randrange(len(lines[i]) + 1)]
    elif way == "swap" and len(lines[i]) > 1:
        j = chance.randrange(len(lines[i]) - 1)
        lines[i] = lines[i][:j] + lines[i][j + 1] + lines[i][j] + lines[i][j + 2 :]
    elif way == "word":
        words = list(re.finditer(r"[A-Za-z0-9_.-]+", lines[i]))
        if words:
            word = chance.choice(words)
            junk = chance.choice(["x", "3", "-1 mm", "[]", "{}", "true", "null", "[a, {b: c}]"])
            lines[i] = lines[i][: word.start()] + junk + lines[i][word.end() :]
    return "\n".join(lines)


def test_a_faulty_source_of_a_dissenting_table_is_the_only_fault(faults: Faults) -> None:
    name = "kb/sources/locksmiths-contact-table.yaml"
    found = faults(name, "status: ", "state: ")
    assert "unknown key `state`" in {problem.text for problem in found}
    assert {problem.file for problem in found} == {name}


@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10**9))
def test_any_damage_reads_or_is_explained(
    folder: Path, documents: dict[str, Document], opens: Opens, seed: int
) -> None:
    chance = random.Random(seed)
    name = chance.choice(sorted(documents))
    text = (folder / name).read_text(encoding="utf-8")
    try:
        opens(name, damaged(text, chance))
    except InputError as error:
        assert error.problems
        assert all(p.text.strip() and p.file for p in error.problems)


def test_known_stands_only_where_the_rule_asks(faults: Faults) -> None:
    name = "rules/clips/damage-not-looked-for.yaml"
    [problem] = faults(name, "otherwise: observe", "otherwise: engineer")
    assert problem.file == name
    assert "does not end in observe" in problem.text
