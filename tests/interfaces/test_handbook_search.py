"""The search page as a browser runs it, from a folder, without a network."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from selector.explanation.handbook.render import render
from selector.knowledge.base import Base
from selector.maintenance.folder import write_folder

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(BROWSER is None, reason="chromium is not installed here"),
]


@pytest.fixture(scope="module")
def book(base: Base, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("search") / "book"
    write_folder(folder, render(base, "0.0.0"))
    return folder


def found(book: Path, query: str) -> tuple[str, list[str]]:
    """What the page says of a query, and the addresses that it lists."""
    command = [str(BROWSER), "--headless=new", "--no-sandbox", "--disable-gpu"]
    command += [f"--user-data-dir={book.parent / 'browser'}", "--virtual-time-budget=3000"]
    command += ["--dump-dom", f"{(book / 'search.html').as_uri()}?q={query}"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    count = re.search(r'id="count"[^>]*>([^<]*)<', done.stdout)
    listed = re.search(r'<ol id="found"[^>]*>(.*?)</ol>', done.stdout, re.DOTALL)
    assert count is not None
    assert listed is not None
    return count[1], re.findall(r'href="([^"]+)"', listed[1])


def test_a_fault_is_found_by_words_of_its_page(book: Path) -> None:
    count, pages = found(book, "copper%20inl")
    assert pages[0] == "rules/aluminium-on-copper-without-inlay.html"
    assert count == f"{len(pages)} pages"


def test_a_part_is_found_by_its_name(book: Path) -> None:
    _, pages = found(book, "rail-u")
    assert "parts/demo/rail-u.html" in pages[:3]


def test_nothing_found_is_said(book: Path) -> None:
    count, pages = found(book, "zzzz")
    assert pages == []
    assert count.startswith("No page has all these words")


def test_a_query_is_text_and_no_markup(book: Path) -> None:
    count, pages = found(book, "%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E")
    assert pages == []
    assert "<img" not in count
