"""The sheet as a browser prints it, and as a phone of 360 pixels shows it."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from selector.explanation.sheet.render import broken
from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
TO_TEXT = shutil.which("pdftotext")
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(BROWSER is None, reason="chromium is not installed here"),
]
JOB = ROOT / "examples" / "granary" / "job.yaml"
PHONE = 360
# Measured in the page itself: how far it reaches, and the smallest letters and tables on it.
MEASURE = """
<!DOCTYPE html><meta charset="utf-8"><body style="margin:0">
<iframe id="f" srcdoc="" style="width:360px;height:3000px;border:0"></iframe><pre id="out"></pre>
<script>
const page = PAGE;
const f = document.getElementById("f");
f.onload = () => {
  const d = f.contentDocument, w = f.contentWindow;
  const wide = Math.max(...[...d.querySelectorAll("main *")]
    .filter(e => !e.closest("figure")).map(e => e.getBoundingClientRect().right));
  const size = e => parseFloat(w.getComputedStyle(e).fontSize);
  const least = Math.min(...[...d.querySelectorAll("main bdi")].map(size));
  const figure = d.querySelector("figure");
  const scrolls = figure.scrollWidth > figure.clientWidth;
  out.textContent = `wide ${wide} least ${least} scrolls ${scrolls}`;
};
f.srcdoc = page;
</script>
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("printed")


@pytest.fixture
def sheet(cli: Cli, folder: Path) -> Path:
    path = folder / "sheet.html"
    if not path.exists():
        assert cli("sheet", JOB, "--out", path).code == 0
    return path


def browser(folder: Path, *options: str) -> str:
    command = [str(BROWSER), "--headless=new", "--no-sandbox", "--disable-gpu", *options]
    command.insert(1, f"--user-data-dir={folder / 'browser'}")
    return subprocess.run(command, capture_output=True, text=True, timeout=180, check=True).stdout


@pytest.mark.skipif(TO_TEXT is None, reason="pdftotext is not installed here")
def test_every_page_says_that_it_is_not_released(sheet: Path, folder: Path) -> None:
    pdf = folder / "sheet.pdf"
    browser(folder, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", sheet.as_uri())
    done = subprocess.run(
        [str(TO_TEXT), "-layout", str(pdf), "-"], capture_output=True, text=True, check=True
    )
    pages = done.stdout.rstrip("\f\n").split("\f")
    assert len(pages) > 5
    for number, page in enumerate(pages, 1):
        head = "\n".join(page.strip().splitlines()[:3])
        assert "NOT RELEASED" in head, number
        assert "DEMO" in head, number
        assert re.search(rf"\b{number} / {len(pages)}\b", page), number
    logged = [page for page in pages if "wrench no." in page]
    assert "Torque log" in logged[0]
    assert len(logged) > 1  # the head of a table comes again on each of its pages


def test_the_pages_are_a4(sheet: Path, folder: Path) -> None:
    pdf = folder / "a4.pdf"
    browser(folder, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", sheet.as_uri())
    # ISO 216: 210 mm by 297 mm; a point is 1/72 inch.
    boxes = re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", pdf.read_bytes())
    assert boxes
    for wide, high in boxes:
        assert abs(float(wide) - 210 / 25.4 * 72) < 1
        assert abs(float(high) - 297 / 25.4 * 72) < 1


@pytest.mark.parametrize("name", ["granary", "W" * 300, "\u0634" * 90])
def test_a_phone_shows_it_without_scrolling_sideways(sheet: Path, folder: Path, name: str) -> None:
    text = sheet.read_text(encoding="utf-8")
    if name != "granary":
        text = text.replace("<bdi>granary</bdi>", f"<bdi>{broken(name)}</bdi>")
        assert broken(name) in text
    page = json.dumps(text).replace("<", "\\u003c")
    measure = folder / "measure.html"
    measure.write_text(MEASURE.replace("PAGE", page, 1), encoding="utf-8")
    dom = browser(folder, "--virtual-time-budget=5000", "--dump-dom", measure.as_uri())
    found = re.search(r"wide ([0-9.]+) least ([0-9.]+) scrolls (true|false)", dom)
    assert found is not None
    assert float(found[1]) <= PHONE
    assert float(found[2]) >= 12
    assert found[3] == "true"  # drawings keep their size and are moved by hand
