"""Drawings to files: by suffix, all or nothing, and never a PNG without its letters."""

import struct
import sys
from pathlib import Path

import pytest

from selector.errors import InputError
from selector.explanation.places.plan_svg import Plan, plan_svg
from selector.explanation.texts import Texts
from selector.interfaces.cli import pictures
from selector.knowledge.base import Base
from tests.conftest import ROOT
from tests.interfaces.conftest import Cli
from tests.layout.sample import small

MM_PER_INCH = 25.4


@pytest.fixture(scope="module")
def texts(base: Base) -> Texts:
    return Texts.of(base)


@pytest.fixture(scope="module")
def svg(texts: Texts) -> str:
    return plan_svg(Plan(small(), {}), texts)


def size(data: bytes) -> tuple[int, int]:
    """Width and height of a PNG: bytes 16 to 24, big-endian (ISO/IEC 15948, 11.2.2)."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert data[12:16] == b"IHDR"
    return struct.unpack(">II", data[16:24])


def test_an_svg_is_written_as_it_is(svg: str, texts: Texts, tmp_path: Path) -> None:
    pictures.write_picture(svg, tmp_path / "a.svg", texts)
    assert (tmp_path / "a.svg").read_text(encoding="utf-8") == svg


def test_a_png_has_the_size_of_the_paper(svg: str, texts: Texts, tmp_path: Path) -> None:
    pytest.importorskip("resvg_py", reason="the extra `png` is not installed")
    try:
        pictures.write_picture(svg, tmp_path / "a.png", texts)
    except InputError:
        pytest.skip("no font on this machine")
    data = (tmp_path / "a.png").read_bytes()
    wide, high = size(data)
    paper = float(svg.split('width="')[1].split("mm")[0])
    tall = float(svg.split('height="')[1].split("mm")[0])
    assert abs(wide - paper / MM_PER_INCH * pictures.DPI) <= 1
    assert abs(high - tall / MM_PER_INCH * pictures.DPI) <= 1
    assert len(data) > 10_000


def test_a_missing_extra_is_bad_input_with_the_way_out(
    svg: str, texts: Texts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(InputError) as error:
        pictures.write_picture(svg, tmp_path / "a.png", texts)
    assert "pip install 'seamwright[png]'" in str(error.value)
    assert list(tmp_path.iterdir()) == []


def test_without_a_font_no_png_is_written(
    svg: str, texts: Texts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    resvg = pytest.importorskip("resvg_py", reason="the extra `png` is not installed")
    whole = resvg.svg_to_bytes

    def bare(**options: object) -> bytes:
        return bytes(whole(**options, skip_system_fonts=True))

    monkeypatch.setattr(resvg, "svg_to_bytes", bare)
    with pytest.raises(InputError, match="no font is found"):
        pictures.write_picture(svg, tmp_path / "a.png", texts)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["a.pdf", "a", "none/a.svg", "none/a.png"])
def test_a_name_that_is_no_picture(svg: str, texts: Texts, tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError):
        pictures.write_picture(svg, tmp_path / name, texts)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "command",
    [
        ("why", "copper-chapel", "--stack", "from-the-van"),
        ("loads", "reading-hall"),
        ("clips", "mill-house"),
        ("layout", "granary"),
    ],
    ids=lambda command: command[0],
)
def test_each_picture_is_drawn_as_png_too(
    cli: Cli, tmp_path: Path, command: tuple[str, ...]
) -> None:
    pytest.importorskip("resvg_py", reason="the extra `png` is not installed")
    name, job, *more = command
    file = tmp_path / "a.png"
    ran = cli(name, ROOT / "examples" / job / "job.yaml", *more, "--picture", file)
    if "no font is found" in ran.err:
        pytest.skip("no font on this machine, as the command says")
    assert ran.code == 0
    assert file.read_bytes().startswith(b"\x89PNG") and file.stat().st_size > 10_000
