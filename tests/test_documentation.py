"""What is written about the command line is true.

How README.md and DEVELOPERS.md are read:

- In a fenced block marked `sh` or `console`, a line that starts with `seamwright` (also after `$ `,
  after `.venv/bin/`, or behind `&&`) is a command; it is run beside a copy of the data folders.
- A remark that ends in `exit 3` states the exit code of its line; without, 0, 3, 4 or 5 will do.
- A fenced block marked `text` directly after such a block is the output of its last command. A line
  that is only `...` stands for any lines; version and digest may differ.
"""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import typer.main

from selector.interfaces.cli.main import app

ROOT = Path(__file__).resolve().parent.parent
PAGES = ["README.md", "DEVELOPERS.md"]
COMMAND = "from selector.interfaces.cli.main import run; run()"
VERDICTS = {0, 3, 4, 5}
_FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_EXIT = re.compile(r"\s#.*\bexit (\d+)\s*$")
_LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)\s]+)\)")


@dataclass(frozen=True)
class Command:
    """A command line of a page, and what the page says about it."""

    where: str
    line: str
    code: int | None = None
    shows: str | None = None

    @property
    def bare(self) -> str:
        """The line without its remark."""
        return self.line.partition(" #")[0].rstrip()


def page(name: str) -> str:
    path = ROOT / name
    return path.read_text(encoding="utf-8") if path.is_file() else ""


def fences(text: str) -> Iterator[tuple[int, str, str, bool]]:
    """Line, mark and body of every fenced block, and whether it directly follows another."""
    end = -1
    for found in _FENCE.finditer(text):
        close = end >= 0 and not text[end : found.start()].strip()
        end = found.end()
        yield text.count("\n", 0, found.start()) + 1, found[1], found[2], close


def commands_in(body: str) -> Iterator[str]:
    """Our command lines of a block, without prompt and folder."""
    for line in body.replace("\\\n", " ").splitlines():
        for piece in line.split("&&"):
            start = piece.strip().removeprefix("$ ").removeprefix(".venv/bin/")
            if start.startswith("seamwright"):
                yield start


def commands(name: str) -> list[Command]:
    """Every command of a page, with the exit code and the output that the page gives."""
    found: list[Command] = []
    last = ""
    for number, mark, body, close in fences(page(name)):
        if mark in {"sh", "console"}:
            for line in commands_in(body):
                code = _EXIT.search(line)
                said = None if code is None else int(code[1])
                found.append(Command(f"{name}:{number}", line, said))
        elif mark == "text" and close and last in {"sh", "console"} and found:
            before = found.pop()
            found.append(Command(before.where, before.line, before.code, body))
        last = mark
    return found


def marked(found: list[Command]) -> list[Any]:
    """Commands as parameters; what takes the whole base with its cases, or every job, is slow."""
    long = re.compile(" kb | recheck examples")
    marks = [[pytest.mark.slow] if long.search(c.line) else [] for c in found]
    return [
        pytest.param(c, marks=m, id=f"{c.where} {c.bare}")
        for c, m in zip(found, marks, strict=True)
    ]


def plain(text: str) -> list[str]:
    """Lines of an output without what differs from version to version."""
    text = re.sub(r"\b[0-9a-f]{64}\b|\bbase [0-9a-f]{12}\b", "DIGEST", text)
    text = re.sub(r"\bseamwright(\W+)\d+\.\d+\.\d+", r"seamwright\1VERSION", text)
    return [line.rstrip() for line in text.strip("\n").splitlines()]


def agrees(shown: list[str], real: list[str]) -> bool:
    """Whether shown lines are the real ones; a line `...` stands for any number of lines."""
    pattern = "".join(
        r"(?:.*\n)*?" if line.strip() == "..." else re.escape(line) + r"\n" for line in shown
    )
    return re.fullmatch(pattern, "".join(line + "\n" for line in real)) is not None


def walk(command: Any, name: str) -> Iterator[tuple[str, Any]]:
    """Every command and group of the command line, with its full name."""
    yield name, command
    for child, inner in getattr(command, "commands", {}).items():
        yield from walk(inner, f"{name} {child}")


CLI = dict(walk(typer.main.get_command(app), "seamwright"))


@pytest.fixture(scope="session")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder in which the mill house was kept, and the same as an exported file."""
    folder = tmp_path_factory.mktemp("kept")
    env = dict(os.environ, PYTHONPATH=str(ROOT), XDG_DATA_HOME=str(folder / "data"))
    job = ROOT / "examples" / "mill-house" / "job.yaml"
    export = ["jobs", "export", "mill-house", "--out", str(folder / "mill-house.json")]
    for arguments in (["jobs", "keep", str(job)], export):
        subprocess.run([sys.executable, "-c", COMMAND, *arguments], env=env, check=True)
    return folder


@pytest.fixture
def place(tmp_path: Path, kept: Path) -> Path:
    """A folder like a checkout, with a `seamwright` to call, and what was kept before."""
    shutil.copytree(kept / "data", tmp_path / "data")
    (tmp_path / "tree").mkdir()
    for folder in ("kb", "rules", "examples"):
        shutil.copytree(ROOT / folder, tmp_path / "tree" / folder)
    script = tmp_path / "bin" / "seamwright"
    script.parent.mkdir()
    script.write_text(f"#!/bin/sh\nexec '{sys.executable}' -c '{COMMAND}' \"$@\"\n", "utf-8")
    script.chmod(0o755)
    return tmp_path


@pytest.mark.parametrize("name", CLI)
def test_every_command_and_option_has_help(name: str) -> None:
    command = CLI[name]
    assert command.help, f"`{name}` has no help"
    for param in command.params:
        assert getattr(param, "help", None), f"`{name}` says nothing about {param.name}"


@pytest.mark.parametrize("name", [n for n in CLI if not hasattr(CLI[n], "commands")])
def test_every_command_is_described(name: str) -> None:
    """What a user needs is in README.md; `kb` commands may be in DEVELOPERS.md."""
    pages = PAGES if name.startswith("seamwright kb ") else PAGES[:1]
    text = "\n".join(map(page, pages))
    assert re.search(rf"\b{re.escape(name)}\b", text), f"`{name}` is not in {' or '.join(pages)}"


def test_the_first_two_blocks_install_and_test() -> None:
    blocks = [body.strip() for _, mark, body, _ in fences(page("README.md")) if mark == "sh"]
    assert len(blocks) >= 2, "README.md must begin with the two commands that .ci/run runs"
    assert blocks[0].endswith(".venv/bin/seamwright demo")
    assert blocks[1].endswith(".venv/bin/pytest")


def test_readme_shows_commands_with_their_output() -> None:
    found = commands("README.md")
    assert len(found) >= 3
    assert any(command.shows for command in found)


def test_commands_name_only_what_exists() -> None:
    """A misspelt command would exit with 2, and so could pass as a shown mistake."""
    for command in (c for name in PAGES for c in commands(name)):
        words = command.line.split()
        name = " ".join(words[: 3 if words[1:2] in (["kb"], ["jobs"]) else 2])
        assert name in CLI or words[1:2] in ([], ["--help"], ["--version"]), command


@pytest.mark.parametrize("command", marked([c for name in PAGES for c in commands(name)]))
def test_command_does_what_the_page_says(command: Command, place: Path, kept: Path) -> None:
    if " jobs import " in command.line:  # the file that the export above it has written
        shutil.copy(kept / "mill-house.json", place / "tree")
    env = dict(os.environ, PYTHONPATH=str(ROOT), PATH=f"{place / 'bin'}:{os.environ['PATH']}")
    env["XDG_DATA_HOME"] = str(place / "data")
    done = subprocess.run(
        ["bash", "-c", command.line],
        cwd=place / "tree",
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    expected = VERDICTS if command.code is None else {command.code}
    assert done.returncode in expected, f"exit {done.returncode}\n{done.stdout}{done.stderr}"
    if command.shows is not None:
        real = plain(done.stdout + done.stderr)
        assert agrees(plain(command.shows), real), "\n".join(["it prints:", *real])


def slugs(text: str) -> set[str]:
    """Anchors of the headings of a page."""
    heads = re.findall(r"^#+ (.+)$", _FENCE.sub("", text), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_somewhere(name: str) -> None:
    text = page(name)
    assert text, f"{name} is missing"
    for target in _LINK.findall(_FENCE.sub("", text)):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = target.partition("#")
        assert not path or (ROOT / path).exists(), f"{name} links to {path}"
        if anchor and (not path or path.endswith(".md")):
            assert anchor in slugs(page(path or name)), f"{name} links to {target}"


# The reading of pages itself, so that a page cannot pass by being misread.


def test_reading_of_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    text = """
```sh
python3 -m venv .venv && .venv/bin/seamwright demo
```

```text
OBSERVE
...
base
```

```sh
# a remark
seamwright pick \\
  job.yaml  # exit 3
seamwright judge job.yaml
```

words

```text
not an output
```
"""
    monkeypatch.setattr(sys.modules[__name__], "page", lambda name: text)
    assert [(c.line.split("#")[0].split(), c.code, c.shows) for c in commands("x")] == [
        (["seamwright", "demo"], None, "OBSERVE\n...\nbase\n"),
        (["seamwright", "pick", "job.yaml"], 3, None),
        (["seamwright", "judge", "job.yaml"], None, None),
    ]


@pytest.mark.parametrize(
    ("shown", "real", "same"),
    [
        ("a\nb", "a\nb", True),
        ("a\n...", "a\nb\nc", True),
        ("...\nc", "a\nb\nc", True),
        ("a\n...\nc", "a\nc", True),
        ("a", "a\nb", False),
        ("a\n...\nd", "a\nb\nc", False),
        ("a.", "ab", False),
        ("seamwright 0.1.0, base 6e7685356a61", "seamwright 0.2.0, base 000085356a61", True),
        ("seamwright 0.1.0, base 6e76", "seamwright 0.2.0, base 0000", False),
    ],
)
def test_comparing_outputs(shown: str, real: str, same: bool) -> None:
    assert agrees(plain(shown), plain(real)) is same
