"""What is installed is what was tested: the wheel, where the base is found, and its cache."""

import importlib.util
import json
import os
import shutil
import subprocess
import sys
import venv
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from selector import __version__
from selector.knowledge.documents import cache_folder, read_documents
from selector.knowledge.locate import Home, home

ROOT = Path(__file__).resolve().parent.parent
DATA = ["kb", "rules", "examples"]
LIBRARIES = ["durable", "durable_rules_engine", "jinja2", "markupsafe", "networkx"]
LIBRARIES += ["pydantic", "rich", "typer", "yaml"]
COMMAND = "from selector.interfaces.cli.main import run; run()"
slow = pytest.mark.slow


@dataclass(frozen=True)
class Ran:
    """How a command ended."""

    code: int
    out: str
    err: str


def run(command: list[str], cwd: Path, **more: str) -> Ran:
    """Run a command with a bare environment: nothing of the checkout is on the path."""
    env = {"PATH": os.environ["PATH"], "HOME": str(cwd), "LANG": "C.UTF-8"} | more
    done = subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, check=False)
    return Ran(done.returncode, done.stdout, done.stderr)


def from_checkout(cwd: Path, *arguments: str, **more: str) -> Ran:
    """Run the command line of the checkout from another folder."""
    return run([sys.executable, "-c", COMMAND, *arguments], cwd, PYTHONPATH=str(ROOT), **more)


def files(folder: Path) -> set[str]:
    """Names of all files below a folder."""
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps"]
    command += ["--no-build-isolation", "--wheel-dir", str(folder), str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new environment that holds the wheel; it borrows the libraries, not the checkout."""
    folder = tmp_path_factory.mktemp("installed")
    venv.create(folder, symlinks=True)
    python = folder / "bin" / "python"
    (site,) = folder.glob("lib/python*/site-packages")
    specs = [importlib.util.find_spec(name) for name in LIBRARIES]
    origins = {Path(s.origin) for s in specs if s is not None and s.origin is not None}
    assert len(origins) == len(LIBRARIES)
    places = {o.parent.parent if o.name == "__init__.py" else o.parent for o in origins}
    # A path in a .pth file is put on the path, but the .pth files in it are not read: an
    # editable install of the checkout stays out.
    (site / "borrowed.pth").write_text("\n".join(sorted(map(str, places))), encoding="utf-8")
    command = [sys.executable, "-m", "pip", "--python", str(python), "install", "--quiet"]
    command += ["--no-deps", "--no-index", "--ignore-installed", str(wheel)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder


@slow
def test_wheel_holds_the_program_the_data_and_the_license(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        contents = {name: archive.read(name) for name in names}
    info = f"seamwright-{__version__}.dist-info"
    for folder in DATA:
        top = f"selector/_data/{folder}/"
        inside = {n.removeprefix(top) for n in names if n.startswith(top)}
        assert inside == files(ROOT / folder)
        assert all(contents[top + n] == (ROOT / folder / n).read_bytes() for n in inside)
    assert contents[f"{info}/licenses/LICENSE"] == (ROOT / "LICENSE").read_bytes()
    metadata = contents[f"{info}/METADATA"].decode()
    assert f"Name: seamwright\nVersion: {__version__}\n" in metadata
    assert "License-Expression: MIT\n" in metadata
    code = {f"selector/{n}" for n in files(ROOT / "selector") if n.endswith(".py")}
    assert {n for n in names if n.endswith(".py")} == code
    inside = "selector/explanation/handbook/templates/"
    templates = files(ROOT / inside)
    assert templates
    assert {n.removeprefix(inside) for n in names if n.startswith(inside)} == templates
    assert {n.split("/")[0] for n in names} == {"selector", info}


@slow
def test_installed_wheel_answers_like_the_checkout(installed: Path, tmp_path: Path) -> None:
    where = [str(installed / "bin" / "python"), "-c", "import selector; print(selector.__file__)"]
    assert Path(run(where, tmp_path).out.strip()).is_relative_to(installed)
    for more in ([], ["--json"]):
        ours = from_checkout(tmp_path, "demo", *more)
        theirs = run([str(installed / "bin" / "seamwright"), "demo", *more], tmp_path)
        assert (theirs.code, theirs.err) == (0, "")
        assert theirs.out == ours.out
        assert len(theirs.out) > 1000


@slow
def test_installed_wheel_writes_the_handbook_of_the_checkout(
    installed: Path, tmp_path: Path
) -> None:
    theirs = [str(installed / "bin" / "seamwright"), "kb", "handbook", "--into", "theirs"]
    assert run(theirs, tmp_path).code == 0
    assert from_checkout(tmp_path, "kb", "handbook", "--into", "ours").code == 0
    assert files(tmp_path / "ours") == files(tmp_path / "theirs")
    for name in files(tmp_path / "ours"):
        ours, other = ((tmp_path / who / name).read_bytes() for who in ("ours", "theirs"))
        assert ours == other, name


@slow
def test_installed_wheel_shows_its_version(installed: Path, tmp_path: Path) -> None:
    ran = run([str(installed / "bin" / "seamwright"), "--version"], tmp_path)
    assert ran == Ran(0, f"seamwright {__version__}\n", "")


def test_checkout_finds_its_own_folders() -> None:
    assert home() == Home(ROOT / "kb", ROOT / "rules", ROOT / "examples")


def test_checkout_finds_its_base_from_another_folder(tmp_path: Path) -> None:
    ran = from_checkout(tmp_path, "demo", "--json")
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["base"] == read_documents(home())[0]


def test_kb_points_to_another_base(tmp_path: Path) -> None:
    for folder in ("kb", "rules"):
        shutil.copytree(ROOT / folder, tmp_path / "mine" / folder)
    with (tmp_path / "mine" / "kb" / "vocabulary.yaml").open("a", encoding="utf-8") as file:
        file.write("# another base\n")
    mine = from_checkout(tmp_path, "demo", "--json", "--kb", "mine")
    shipped = from_checkout(tmp_path, "demo", "--json")
    assert (mine.code, shipped.code) == (0, 0), mine.err + shipped.err
    answers = [json.loads(ran.out) for ran in (mine, shipped)]
    digests = [answer.pop("base") for answer in answers]
    assert digests[0] == read_documents(home(tmp_path / "mine"))[0]
    assert digests[0] != digests[1]
    assert answers[0] == answers[1]


@pytest.mark.parametrize("empty", ["nowhere", "."])
def test_kb_at_a_folder_without_a_base_is_bad_input(tmp_path: Path, empty: str) -> None:
    ran = from_checkout(tmp_path, "demo", "--kb", empty)
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.startswith(f"error: {empty}: no knowledge base here")
    assert "Traceback" not in ran.err


# The cache, on a few files of the base: reading them costs little.


@pytest.fixture
def few(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Home:
    """A small base, and a cache folder of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    for name in ("kb/vocabulary.yaml", "rules/clips/clamp-too-near-clip.yaml"):
        target = tmp_path / "base" / name
        target.parent.mkdir(parents=True)
        shutil.copy(ROOT / name, target)
    return home(tmp_path / "base")


def cache_file(base: Home) -> Path:
    return cache_folder() / f"{read_documents(base)[0]}.json"


def test_cache_gives_back_what_was_read(few: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    first = read_documents(few)
    assert cache_file(few).is_file()
    reads: list[str] = []
    monkeypatch.setattr(
        "selector.knowledge.documents.read_string", lambda text, name: reads.append(name)
    )
    assert read_documents(few) == first
    assert reads == []


def test_cache_gives_back_the_shipped_base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert read_documents(home()) == read_documents(home())
    assert len(files(tmp_path)) == 1


def _truncated(good: bytes) -> bytes:
    return good[: len(good) // 2]


def _other_body(good: bytes) -> bytes:
    whole = json.loads(good)
    body = json.loads(whole["documents"])
    body["kb/vocabulary.yaml"]["data"] = {}
    return json.dumps(whole | {"documents": json.dumps(body)}).encode()


def _other_format(good: bytes) -> bytes:
    return json.dumps(json.loads(good) | {"format": "documents/0"}).encode()


def _other_digest(good: bytes) -> bytes:
    return json.dumps(json.loads(good) | {"digest": "0" * 64}).encode()


DAMAGE = {
    "empty": lambda good: b"",
    "not text": lambda good: b"\xff\xfe\x00garbage",
    "not JSON": lambda good: b"garbage",
    "a list": lambda good: b"[]",
    "a number": lambda good: b"7",
    "no fields": lambda good: b"{}",
    "very deep": lambda good: b"[" * 100_000,
    "truncated": _truncated,
    "another body": _other_body,
    "another format": _other_format,
    "another digest": _other_digest,
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_damaged_cache_counts_as_none(few: Home, damage: str) -> None:
    first = read_documents(few)
    path = cache_file(few)
    good = path.read_bytes()
    path.write_bytes(DAMAGE[damage](good))
    assert path.read_bytes() != good
    assert read_documents(few) == first
    assert path.read_bytes() == good, "the damaged cache was not replaced"


def test_cache_of_another_base_is_never_used(few: Home, tmp_path: Path) -> None:
    """Even when it lies under the name that this base looks for."""
    before = cache_file(few)
    vocabulary = few.kb / "vocabulary.yaml"
    with vocabulary.open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    digest, documents = read_documents(few)
    after = cache_file(few)
    assert after != before
    rule = few.rules / "clips" / "clamp-too-near-clip.yaml"
    rule.write_text(rule.read_text(encoding="utf-8").replace("title:", "title: not"), "utf-8")
    changed_digest, changed = read_documents(few)
    shutil.copy(after, cache_file(few))
    assert read_documents(few) == (changed_digest, changed)
    assert changed_digest != digest
    assert changed != documents


def _file_for_root(folder: Path, target: Path) -> None:
    folder.write_text("a file", encoding="utf-8")


def _file_for_folder(folder: Path, target: Path) -> None:
    folder.mkdir()
    (folder / "seamwright").write_text("a file", encoding="utf-8")


def _folder_for_file(folder: Path, target: Path) -> None:
    target.mkdir(parents=True)


def _read_only(folder: Path, target: Path) -> None:
    target.parent.mkdir(parents=True)
    target.parent.chmod(0o500)


BLOCKED = [_file_for_root, _file_for_folder, _folder_for_file, _read_only]


@pytest.mark.parametrize("block", BLOCKED, ids=lambda f: f.__name__.strip("_"))
def test_cache_that_cannot_be_written_is_no_error(
    few: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, block: object
) -> None:
    assert callable(block)
    first = read_documents(few)
    blocked = tmp_path / "blocked"
    block(blocked, blocked / "seamwright" / f"{first[0]}.json")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    assert read_documents(few) == first
    assert read_documents(few) == first
    assert not list(blocked.rglob("*.tmp")), "a half-written file stays behind"


@slow
def test_answer_does_not_depend_on_the_cache(tmp_path: Path) -> None:
    blocked = tmp_path / "a-file"
    blocked.write_text("", encoding="utf-8")
    cold = from_checkout(tmp_path, "demo", XDG_CACHE_HOME=str(tmp_path / "cache"))
    (path,) = (tmp_path / "cache" / "seamwright").glob("*.json")
    warm = from_checkout(tmp_path, "demo", XDG_CACHE_HOME=str(tmp_path / "cache"))
    path.write_bytes(b"\xff\x00garbage")
    damaged = from_checkout(tmp_path, "demo", XDG_CACHE_HOME=str(tmp_path / "cache"))
    none = from_checkout(tmp_path, "demo", XDG_CACHE_HOME=str(blocked))
    assert cold.code == 0, cold.err
    assert [warm, damaged, none] == [cold] * 3
