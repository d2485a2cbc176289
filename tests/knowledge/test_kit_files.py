"""`kb/kits/` is read strictly: one wrong place is named with its line, and with what to do."""

from collections.abc import Callable

import pytest

from selector.errors import InputError, Problem
from selector.explanation.language import speaking
from selector.knowledge.base import Base
from selector.knowledge.documents import read_documents
from selector.knowledge.kits import PATHS
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import Document, read_string
from selector.model.kit import SPARED, Spare
from tests.conftest import ROOT

TOOLS, PAPERS, SPARES = (f"kb/kits/{n}.yaml" for n in ("tools", "papers", "spares"))
LEFT, FIGURES = "kb/kits/leave-out.yaml", "kb/kits/figures.yaml"
RAILS = "kb/catalogues/demo/rails.yaml"
CLAMPS = "kb/catalogues/demo/clamps.yaml"
KIT_LINES = "kb/catalogues/demo/kit-lines.yaml"

Faults = Callable[[str, str, str], tuple[Problem, ...]]


@pytest.fixture(scope="module")
def documents() -> dict[str, Document]:
    found = read_documents(home())[1]
    return {k: v for k, v in found.items() if ".cases." not in k and "/cases/" not in k}


@pytest.fixture(scope="module")
def faults(documents: dict[str, Document]) -> Faults:
    """Problems after the first such place of a file was changed."""

    def found(name: str, old: str, new: str) -> tuple[Problem, ...]:
        text = (ROOT / name).read_text(encoding="utf-8")
        assert old in text
        changed = read_string(text.replace(old, new, 1), name)
        with pytest.raises(InputError) as caught:
            build("copy", {**documents, name: changed})
        return caught.value.problems

    return found


WRONG = [
    (TOOLS, "id: calliper", "id: bits", "`bits` is listed twice", "the other is kb/kits/tools"),
    (TOOLS, 'why: "two of', 'wyh: "two of', "unknown key `wyh`", "did you mean `why`?"),
    (TOOLS, "number: 2", "number: 0", "`number`", ""),
    (TOOLS, "number: 2", "number: 2.5", "`number`", ""),
    (TOOLS, "unit: set", "unit: box", "`unit` is `box`", "'piece', 'set', 'pack' or 'bottle'"),
    (TOOLS, "({torque})", "({torqe})", "`torqe` is no hole of the kit", "did you mean `torque`, "),
    (TOOLS, "[k.bolts present]", "[k.bolts passes]", "cannot be asked with `passes`", ""),
    (TOOLS, "[k.bolts present]", "[k.bolt present]", "nothing a kit can ask is `stack.bolt`", ""),
    (TOOLS, "is by hand", "is by hnd", "`by hnd` is no word of `plane.seam.made`", "`by hand`?"),
    (TOOLS, "[p.seam.made is by", "[q.seam.made is by", "`q` is no role", ""),
    (TOOLS, "source: trade-custom", "source: trade-cusom", "no source `trade-cusom`", ""),
    (TOOLS, "status: common practice", "status: published", "rests on `trade-custom`", ""),
    (PAPERS, "must: true", "must: yes", "`must`", ""),
    (PAPERS, "[a.reserve passes]", "[a.reserve present]", "cannot be asked with `present`", ""),
    (PAPERS, "[{any: [s.salt", "[{or: [s.salt", "a group is `any: [condition, ...]`", ""),
    (LEFT, "id: tape, text", "number: 1, id: tape, text", "unknown key `number`", ""),
    (SPARES, "share: 3 %", "share: 3", "`share`", ""),
    (SPARES, "at_least: 2", "at_least: -2", "`at_least`", ""),
    (SPARES, "id: clamp,", "id: clmp,", "`clmp` is no counted thing with spares", "`clamp`, "),
    (SPARES, "id: clamp,", "id: clmp,", "`clamp` is missing", "add it"),
    (FIGURES, "value: 400 mm", "value: 400", "with its unit, given `400`", ""),
    (FIGURES, "value: 400 mm", "value: 0 mm", "is no length", ""),
    (FIGURES, "id: cable_clip_spacing", "id: other", "`cable_clip_spacing` is missing", "add it"),
    # what the catalogue says of goods
    (CLAMPS, "price: 3.40 EUR", 'price: "3,40 EUR"', "expected a price such as `4.20 EUR`", ""),
    (CLAMPS, "price: 3.40 EUR", "price: 3.40", "expected a price such as `4.20 EUR`", ""),
    (CLAMPS, "price: 3.40 EUR", "price: 3.401 EUR", "expected a price such as `4.20 EUR`", ""),
    (CLAMPS, "price: 3.40 EUR", "price: -3.40 EUR", "expected a price such as `4.20 EUR`", ""),
    (CLAMPS, "pack: 20", "pack: 0", "`pack`", ""),
    (RAILS, "[3.6 m, 5.2 m]", "[5.2 m, 3.6 m]", "the shortest first", ""),
    (RAILS, "[3.6 m, 5.2 m]", "[3.6 m, 3.6 m]", "each once", ""),
    (RAILS, "[3.6 m, 5.2 m]", "[3.6 kg]", "expected a length", ""),
    (RAILS, "[3.6 m, 5.2 m]", "[]", "write a list of lengths", ""),
    (KIT_LINES, "serves: cable clip", "serves: cable", "`serves` is `cable`", "'cable clip'"),
]


@pytest.mark.parametrize(("file", "old", "new", "text", "remedy"), WRONG)
def test_one_wrong_place_is_named(
    faults: Faults, file: str, old: str, new: str, text: str, remedy: str
) -> None:
    found = faults(file, old, new)
    whole = (ROOT / file).read_text(encoding="utf-8")
    line = whole.count("\n", 0, whole.index(old)) + 1
    hits = [p for p in found if text in p.text and remedy in p.remedy and p.file == file]
    assert hits, [str(p) for p in found]
    if "missing" not in text:
        assert line in {p.line for p in hits}


@pytest.mark.parametrize(
    "name", ["tools", "papers", "labels", "consumables", "leave-out", "spares"]
)
def test_a_file_that_is_missing_is_named(documents: dict[str, Document], name: str) -> None:
    file = f"kb/kits/{name}.yaml"
    with pytest.raises(InputError, match=r"this file is missing"):
        build("copy", {k: v for k, v in documents.items() if k != file})


def test_every_path_that_a_kit_may_ask_is_read_somewhere(base: Base) -> None:
    from selector.facts.view import READERS

    assert [path for path in PATHS if path not in READERS] == []


def test_spares_are_whole_and_never_half(base: Base) -> None:
    """3 % of 12, 67 and 100 is 0.36, 2.01 and 3: rounded up, and two at least."""
    spare = Spare(30_000, 2, "trade-custom", "common practice")
    assert [spare.of(n) for n in (0, 1, 12, 67, 100, 101)] == [0, 2, 2, 3, 3, 4]
    assert spare.percent == 3
    assert set(base.kits.spares) == set(SPARED)


def test_german_is_said_for_everything(base: Base) -> None:
    german = speaking(base, "de")
    pairs = list(zip(base.kits.items, german.kits.items, strict=True))
    assert len(pairs) > 50
    assert [a.id for a, b in pairs if a.text == b.text or a.why == b.why] == []
