"""Writing a job: all of it or nothing, and what is written reads back as the same job."""

import errno
import os
import stat
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from selector.errors import InputError
from selector.jobs.read import job_of
from selector.jobs.write import text_of, write_job
from selector.knowledge.base import Base
from selector.knowledge.yaml_reader import read_file, read_string
from selector.model.job import Job

Change = Callable[[str, str], str]
Read = Callable[[str], Job]


def without_places(value: Any) -> Any:
    """The same value as plain data; where it stood in the file does not count."""
    if is_dataclass(value) and not isinstance(value, type):
        names = [f.name for f in fields(value) if f.name not in ("line", "lines", "file")]
        return {n: without_places(getattr(value, n)) for n in names}
    if isinstance(value, dict):
        return {k: without_places(v) for k, v in value.items()}
    if isinstance(value, tuple):
        return tuple(without_places(v) for v in value)
    return value


@pytest.fixture
def old(tmp_path: Path, mill: str) -> Path:
    path = tmp_path / "job.yaml"
    path.write_text(mill, encoding="utf-8")
    return path


def test_a_written_job_reads_as_the_same_job(tmp_path: Path, read: Read, mill: str) -> None:
    job = read(mill)
    write_job(job.raw, tmp_path / "job.yaml")
    again = read((tmp_path / "job.yaml").read_text(encoding="utf-8"))
    assert without_places(again) == without_places(job)
    assert again.raw == job.raw


def test_writing_twice_changes_nothing(old: Path) -> None:
    write_job(read_file(old).data, old)
    first = old.read_bytes()
    write_job(read_file(old).data, old)
    assert old.read_bytes() == first


def test_words_that_look_like_something_else_stay_words(
    tmp_path: Path, base: Base, change: Change
) -> None:
    text = change("what: offcut of the sheet", 'what: "0123", number: "12:30"')
    text = text.replace("tool: low sun and tape", 'tool: low sun and tape, tried: "no"')
    job = job_of(read_string(text, "job.yaml"), base.vocabulary)
    write_job(job.raw, tmp_path / "job.yaml")
    again = job_of(read_file(tmp_path / "job.yaml"), base.vocabulary)
    assert (again.papers["offcut"].number, again.raw) == ("12:30", job.raw)


def test_the_version_is_the_first_key_and_the_newest(mill: str) -> None:
    data = read_string(mill, "job.yaml").data
    data = {**{k: v for k, v in data.items() if k != "seamwright"}, "seamwright": "job/0"}
    assert text_of(data).startswith("seamwright: job/1\nid: mill-house\n")


def full_disk(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("broken", ["os.replace", "os.fsync"])
def test_a_failing_write_leaves_the_old_file(
    old: Path, monkeypatch: pytest.MonkeyPatch, broken: str
) -> None:
    before = old.read_bytes()
    monkeypatch.setattr(broken, full_disk)
    with pytest.raises(InputError) as caught:
        write_job({**read_file(old).data, "id": "other"}, old)
    assert str(caught.value) == (
        f"{old}: writing failed (No space left on device); the old file is unchanged"
    )
    assert old.read_bytes() == before
    assert [p.name for p in old.parent.iterdir()] == ["job.yaml"]


def test_a_folder_that_takes_no_file(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = old.read_bytes()

    def refused(*_: object, **__: object) -> tuple[int, str]:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", refused)
    with pytest.raises(InputError, match=r"cannot write here \(Permission denied\)") as caught:
        write_job({"id": "other"}, old)
    assert caught.value.problems[0].file == str(old)
    assert old.read_bytes() == before
    assert [p.name for p in old.parent.iterdir()] == ["job.yaml"]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot write here"):
        write_job({"id": "x"}, tmp_path / "none" / "job.yaml")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_place_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").mkdir()
    with pytest.raises(InputError, match="writing failed"):
        write_job({"id": "x"}, tmp_path / "job.yaml")
    assert [p.name for p in tmp_path.iterdir()] == ["job.yaml"]


def test_data_that_cannot_be_written_leaves_the_old_file(old: Path) -> None:
    before = old.read_bytes()
    with pytest.raises((InputError, yaml.YAMLError)):
        write_job({"id": "x", "bad": object()}, old)
    assert old.read_bytes() == before
    assert [p.name for p in old.parent.iterdir()] == ["job.yaml"]


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX files")
@pytest.mark.parametrize("rights", [0o644, 0o600, 0o664])
def test_rights_of_the_old_file_stay(old: Path, rights: int) -> None:
    old.chmod(rights)
    write_job(read_file(old).data, old)
    assert stat.S_IMODE(old.stat().st_mode) == rights


@pytest.mark.skipif(os.name != "posix", reason="links need no rights there")
def test_a_link_to_a_job_stays_a_link(old: Path) -> None:
    link = old.with_name("link.yaml")
    link.symlink_to(old)
    write_job({**read_file(old).data, "id": "other"}, link)
    assert link.is_symlink()
    assert read_file(old).data["id"] == "other"


@pytest.mark.parametrize("text", ["a\x85b", "a\u2028b", "  a ", "a\nb\n", "\ufeffa", "°²½"])
def test_odd_characters_read_back(tmp_path: Path, text: str) -> None:
    write_job({"id": "x", "what": text}, tmp_path / "job.yaml")
    assert read_file(tmp_path / "job.yaml").data["what"] == text
