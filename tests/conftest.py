"""Shared fixtures: the shipped base and a judge for it, read once."""

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from selector.inference.judge import Judge
from selector.knowledge.base import Base
from selector.knowledge.loader import load_base

ROOT = Path(__file__).resolve().parent.parent

settings.register_profile("no clock", deadline=None)  # a machine under load is not a wrong one
settings.load_profile("no clock")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--rewrite", action="store_true", help="write the golden texts anew")


@pytest.fixture(scope="session")
def base() -> Base:
    return load_base()


@pytest.fixture(scope="session")
def judge(base: Base) -> Iterator[Judge]:
    judge = Judge(base)
    yield judge
    judge.close()


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Tests have their own cache, store and language: no run rests on what was before."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        patch.setenv("LC_ALL", "C.UTF-8")  # they read English, whoever runs them
        patch.setattr(gc, "disable", gc.enable)  # a command ends with its process, tests go on
        yield
