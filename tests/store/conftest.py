"""Answers that were kept of real jobs, and a base that was changed in one place."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from selector.jobs.read import job_of
from selector.knowledge.base import Base
from selector.knowledge.documents import documents_of, read_texts
from selector.knowledge.loader import build
from selector.knowledge.locate import home
from selector.knowledge.yaml_reader import read_string
from selector.store.answering import give, kept
from selector.store.entry import Asked, Event
from selector.store.store import Store
from tests.store.made import AT

Edit = tuple[str, str, str]  # file, old text, new text
KeepJob = Callable[[Store, str, str, Asked], Event]


@pytest.fixture(scope="session")
def shipped() -> dict[str, str]:
    """Texts of the shipped base."""
    return read_texts(home())


@pytest.fixture(scope="session")
def keep_job(shipped: dict[str, str]) -> KeepJob:
    """Answer the text of a job by the shipped base, and keep it."""
    base: Base = build(*documents_of(shipped))

    def keep(store: Store, name: str, text: str, asked: Asked) -> Event:
        job = job_of(read_string(text, f"{name}/job.yaml"), base.vocabulary)
        found = kept(give(base, job, asked), asked, text, at=AT, by="ow", note="")
        return store.keep(found.entry, found.texts, shipped, AT)

    return keep


@pytest.fixture(scope="session")
def edited(shipped: dict[str, str]) -> Callable[..., dict[str, str]]:
    """The shipped base with places replaced; each must be there exactly once."""

    def edit(*edits: Edit) -> dict[str, str]:
        texts = dict(shipped)
        for file, old, new in edits:
            assert texts[file].count(old) == 1, f"{texts[file].count(old)} times: {old}"
            texts[file] = texts[file].replace(old, new)
        return texts

    return edit


@pytest.fixture
def written(tmp_path: Path) -> Callable[[dict[str, str]], Path]:
    """A folder with the files of a base."""

    def write(texts: dict[str, str]) -> Path:
        folder = tmp_path / "base"
        shutil.rmtree(folder, ignore_errors=True)
        for name, text in texts.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return folder

    return write
