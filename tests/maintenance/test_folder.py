"""A folder is written whole or not at all, and never over anybody else's files."""

from pathlib import Path

import pytest

from selector.errors import InputError
from selector.maintenance.folder import MARK, write_folder

ONE = {"index.html": "one\n", "deep/er/page.html": "two\n"}
OTHER = {"index.html": "three\n"}


def content(folder: Path) -> dict[str, str]:
    return {
        p.relative_to(folder).as_posix(): p.read_text(encoding="utf-8")
        for p in folder.rglob("*")
        if p.is_file() and p.name != MARK
    }


@pytest.fixture
def target(tmp_path: Path) -> Path:
    return tmp_path / "book"


def alone(target: Path) -> bool:
    """Nothing was left beside the folder."""
    return [p.name for p in target.parent.iterdir()] == [target.name]


def test_a_new_folder(target: Path) -> None:
    write_folder(target, ONE)
    assert content(target) == ONE
    assert alone(target)


def test_its_own_folder_is_replaced_whole(target: Path) -> None:
    write_folder(target, ONE)
    write_folder(target, OTHER)
    assert content(target) == OTHER
    assert not (target / "deep").exists()
    assert alone(target)


def test_an_empty_folder_is_taken(target: Path) -> None:
    target.mkdir()
    write_folder(target, ONE)
    assert content(target) == ONE


def test_a_folder_of_somebody_else_is_refused(target: Path) -> None:
    target.mkdir()
    (target / "letter.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match=r"`letter\.txt`"):
        write_folder(target, ONE)
    assert content(target) == {"letter.txt": "mine"}
    assert alone(target)


def test_a_file_laid_into_it_later_is_not_lost(target: Path) -> None:
    write_folder(target, ONE)
    (target / "deep" / "note.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match=r"`deep/note\.txt`"):
        write_folder(target, OTHER)
    assert content(target) == {**ONE, "deep/note.txt": "mine"}


@pytest.mark.parametrize("mark", ["", "[]", "{}", '{"schema": "other/1", "files": []}', "["])
def test_a_spoiled_list_counts_as_none(target: Path, mark: str) -> None:
    write_folder(target, ONE)
    (target / MARK).write_text(mark, encoding="utf-8")
    with pytest.raises(InputError, match="not written by this command"):
        write_folder(target, OTHER)
    assert content(target) == ONE


def test_a_file_is_no_folder(target: Path) -> None:
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(InputError, match="is no folder"):
        write_folder(target, ONE)
    assert target.read_text(encoding="utf-8") == "mine"


def test_a_link_is_not_followed(target: Path, tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.mkdir()
    target.symlink_to(there)
    with pytest.raises(InputError, match="is no folder"):
        write_folder(target, ONE)
    assert list(there.iterdir()) == []


def test_a_link_inside_is_somebody_elses(target: Path, tmp_path: Path) -> None:
    write_folder(target, ONE)
    (target / "out").symlink_to(tmp_path)
    with pytest.raises(InputError, match="`out`"):
        write_folder(target, OTHER)
    assert content(target) == ONE


def test_the_folder_above_must_be_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="the folder above it is missing"):
        write_folder(tmp_path / "no" / "book", ONE)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("where", [".", "..", "../here", "/"])
def test_the_folder_one_stands_in_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, where: str
) -> None:
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    with pytest.raises(InputError, match="you stand in"):
        write_folder(Path(where), ONE)
    assert list(here.iterdir()) == []


def test_a_write_that_fails_leaves_the_old_folder(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(target, ONE)
    whole = Path.write_text

    def full(path: Path, text: str, **more: str) -> int:
        if path.name == "index.html":
            raise OSError(28, "No space left on device")
        return whole(path, text, **more)

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(InputError, match="No space left"):
        write_folder(target, OTHER)
    assert content(target) == ONE
    assert alone(target)


def test_a_swap_that_fails_brings_the_old_folder_back(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(target, ONE)
    whole = Path.rename

    def stuck(path: Path, to: Path) -> Path:
        if path.name.endswith(".new"):
            raise OSError(5, "Input/output error")
        return whole(path, to)

    monkeypatch.setattr(Path, "rename", stuck)
    with pytest.raises(InputError, match="Input/output"):
        write_folder(target, OTHER)
    assert content(target) == ONE
    assert alone(target)
