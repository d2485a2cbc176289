"""The card as a phone shows it: without a network, with and without its script, for everybody."""

import json
import re
import shutil
import subprocess
from pathlib import Path

import axe_core_python
import pytest

from tests.conftest import ROOT
from tests.interfaces.conftest import Cli

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
AXE = Path(axe_core_python.__file__).parent / "axe.min.js"
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(BROWSER is None, reason="chromium is not installed here"),
]
JOB = ROOT / "examples" / "granary" / "job.yaml"
PHONE = 360
MEASURE = """
<!DOCTYPE html><meta charset="utf-8"><body style="margin:0">
<iframe id="f" style="width:360px;height:3000px;border:0" SANDBOX></iframe><pre id="out"></pre>
<script>
const f = document.getElementById("f");
f.onload = () => {
  const d = f.contentDocument, w = f.contentWindow;
  const seen = [...d.querySelectorAll("body *")].filter(e => e.getClientRects().length);
  const wide = Math.max(...seen.map(e => e.getBoundingClientRect().right));
  const size = e => parseFloat(w.getComputedStyle(e).fontSize);
  const least = Math.min(...[...d.querySelectorAll("bdi")].filter(e => e.textContent).map(size));
  const input = d.querySelector("input");
  const ask = text => {
    input.value = text;
    input.dispatchEvent(new w.Event("input"));
    const shown = [...d.querySelectorAll(".change")].filter(e => !e.hidden);
    return {n: shown.length, said: d.getElementById("status").textContent,
            titles: shown.map(e => e.querySelector("bdi").textContent)};
  };
  const finder = !d.getElementById("finder").hidden;
  out.textContent = JSON.stringify({wide, least, finder, all: d.querySelectorAll(".change").length,
    found: finder ? {known: ask("dl-3"), unknown: ask("moon clamp"), empty: ask("")} : null,
    over: d.getElementById("over").textContent});
};
f.srcdoc = PAGE;
</script>
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("card")


@pytest.fixture
def card(cli: Cli, folder: Path) -> Path:
    path = folder / "card.html"
    if not path.exists():
        assert cli("card", JOB, "--out", path).code == 0
    return path


def browser(folder: Path, *options: str) -> str:
    command = [str(BROWSER), f"--user-data-dir={folder / 'browser'}", "--headless=new"]
    command += ["--no-sandbox", "--disable-gpu", "--virtual-time-budget=5000", *options]
    return subprocess.run(command, capture_output=True, text=True, timeout=180, check=True).stdout


def measured(card: Path, folder: Path, *, script: bool) -> dict[str, object]:
    page = json.dumps(card.read_text(encoding="utf-8")).replace("<", "\\u003c")
    sandbox = "" if script else 'sandbox="allow-same-origin"'
    text = MEASURE.replace("SANDBOX", sandbox, 1).replace("PAGE", page, 1)
    file = folder / f"measure-{script}.html"
    file.write_text(text, encoding="utf-8")
    dom = browser(folder, "--dump-dom", file.as_uri())
    found = re.search(r'<pre id="out">(.*?)</pre>', dom, re.DOTALL)
    assert found is not None and found[1]
    result = json.loads(found[1].replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&"))
    assert isinstance(result, dict)
    return result


def test_without_its_script_everything_is_read(card: Path, folder: Path) -> None:
    found = measured(card, folder, script=False)
    assert found["finder"] is False
    assert found["all"] > 20  # type: ignore[operator]
    assert found["wide"] <= PHONE  # type: ignore[operator]
    assert found["least"] >= 14  # type: ignore[operator]


def test_with_its_script_a_change_is_found_and_silence_is_no_yes(card: Path, folder: Path) -> None:
    found = measured(card, folder, script=True)
    assert found["finder"] is True
    asked = found["found"]
    assert isinstance(asked, dict)
    assert any("dl-3" in title for title in asked["known"]["titles"])
    assert asked["unknown"]["n"] == 0
    assert "NOT ON THIS CARD" in asked["unknown"]["said"]
    assert asked["empty"]["n"] == found["all"]


def test_a_device_whose_date_lies_before_the_card_is_told(card: Path, folder: Path) -> None:
    assert "LIES BEFORE THIS CARD" in str(measured(card, folder, script=True)["over"])


def test_a_card_past_its_last_day_says_so(card: Path, folder: Path) -> None:
    text = card.read_text(encoding="utf-8")
    old = folder / "old.html"
    old.write_text(
        text.replace('data-until="2031-08-04"', 'data-until="2020-01-02"').replace(
            'data-since="2031-05-06"', 'data-since="2020-01-01"'
        ),
        encoding="utf-8",
    )
    assert "TOO OLD" in str(measured(old, folder, script=True)["over"])


@pytest.mark.parametrize("lang", ["en", "de"])
def test_everybody_can_use_it(cli: Cli, folder: Path, lang: str) -> None:
    """No finding of axe-core, rules of WCAG 2.1 A and AA and best practice."""
    made = folder / f"{lang}.html"
    assert cli("--lang", lang, "card", JOB, "--out", made).code == 0
    text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", made.read_text("utf-8"))
    run = (
        "<script>axe.run().then(r => { const p = document.createElement('pre'); p.id = 'axe';"
        "p.textContent = JSON.stringify(r.violations.map(v => [v.id, v.nodes.length,"
        " v.nodes[0].html.slice(0, 200)])); document.body.append(p); });</script>"
    )
    tail = f"<script>{AXE.read_text('utf-8')}</script>{run}</body>"
    page = folder / f"axe-{lang}.html"
    page.write_text(text.replace("</body>", tail), encoding="utf-8")
    dom = browser(folder, f"--window-size={PHONE},800", "--dump-dom", page.as_uri())
    found = re.search(r'<pre id="axe">(.*?)</pre>', dom, re.DOTALL)
    assert found is not None
    assert json.loads(found[1].replace("&lt;", "<").replace("&gt;", ">")) == []


def test_it_prints_on_a4(card: Path, folder: Path) -> None:
    pdf = folder / "card.pdf"
    browser(folder, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", card.as_uri())
    boxes = re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", pdf.read_bytes())
    assert boxes
    for wide, high in boxes:  # ISO 216: 210 mm by 297 mm
        assert abs(float(wide) - 210 / 25.4 * 72) < 1
        assert abs(float(high) - 297 / 25.4 * 72) < 1
