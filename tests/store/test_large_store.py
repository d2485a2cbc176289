"""Many kept entries take no more memory than a few, and nobody waits for who reads them."""

import gc
import json
import tracemalloc
from collections.abc import Callable, Iterable
from itertools import islice
from pathlib import Path

import pytest

from selector.explanation.texts import Texts
from selector.knowledge.base import Base
from selector.knowledge.documents import digest_of
from selector.store import store as store_module
from selector.store.as_json import event_data, list_text
from selector.store.entry import Event
from selector.store.find import Wanted, found
from selector.store.shown import list_page
from selector.store.store import Store, opened
from selector.store.tasks import pick_last_of_each, tasks_of_store
from tests.store.made import AT, BASE, entry, texts

SMALL, LARGE = 1_000, 4_000
MOST = 50  # bytes for each entry that is added; one hash held of each would take 170
Way = Callable[[Store], Iterable[object]]


def filled(path: Path, number: int) -> Path:
    """A store of so many entries of as many jobs, written at once."""
    jobs = [f"barn-{n}" for n in range(number)]
    kept = {h: t for n, job in enumerate(jobs) for h, t in texts(n, job).items()}
    entries = [entry(n, job) for n, job in enumerate(jobs)]
    with opened(path, write=True) as store:
        store.bring(entries, kept, {digest_of(BASE): BASE}, AT)
    return path


@pytest.fixture(scope="module")
def stores(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Path]:
    folder = tmp_path_factory.mktemp("stores")
    return {n: filled(folder / f"{n}.sqlite", n) for n in (SMALL, LARGE)}


def taken(store: Store) -> Iterable[object]:
    pick_last_of_each(store)
    return tasks_of_store(store)


def listed(store: Store) -> Iterable[object]:
    return list_text(store.path, found(store, Wanted()))


def searched(store: Store) -> Iterable[object]:
    return list_text(store.path, found(store, Wanted("page 7")))


def peak(path: Path, way: Way) -> int:
    """Most bytes that Python held while all was gone through."""
    with opened(path) as store:
        gc.collect()
        gc.freeze()
        tracemalloc.start()
        try:
            for n, _ in enumerate(way(store)):
                if n % 100 == 0:
                    gc.collect()  # else the peak is a matter of chance
            return tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
            gc.unfreeze()


def growth(stores: dict[int, Path], way: Way) -> float:
    """Bytes of the peak for each entry that the large store has more."""
    peak(stores[SMALL], way)  # what is made once is made
    return (peak(stores[LARGE], way) - peak(stores[SMALL], way)) / (LARGE - SMALL)


@pytest.mark.parametrize("way", [taken, listed, searched])
def test_memory_does_not_grow_with_the_store(stores: dict[int, Path], way: Way) -> None:
    assert growth(stores, way) <= MOST


def test_the_page_does_not_grow_with_the_store(stores: dict[int, Path], base: Base) -> None:
    say = Texts.of(base)

    def printed(store: Store) -> Iterable[object]:
        return list_page(store.path, found(store, Wanted()), say, None, 80)

    assert growth(stores, printed) <= MOST


def test_every_line_comes_once_and_in_order(stores: dict[int, Path]) -> None:
    with opened(stores[SMALL]) as store:
        numbers = list(range(1, SMALL + 1))
        assert [e.seq for e in store.history()] == numbers
        listed = found(store, Wanted())
        assert [e.seq for e in listed.oldest_first()] == numbers
        assert [e.seq for e in listed.newest_first()] == numbers[::-1]
        assert list(listed.oldest_first()) == list(store.history())
        assert (listed.entries, listed.jobs, listed.number) == (SMALL, SMALL, SMALL)
        assert [t.name for t in taken(store)] == [f"barn-{n - 1}, {n}" for n in numbers]  # type: ignore[attr-defined]


def test_who_keeps_does_not_wait_for_who_reads(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A recheck takes hours; what is kept meanwhile is no part of it."""
    monkeypatch.setattr(store_module, "WAIT_S", 0.05)
    path = filled(tmp_path / "jobs.sqlite", 3 * store_module.PAGE)
    with opened(path) as reader:
        tasks = iter(taken(reader))
        seen = len(list(islice(tasks, store_module.PAGE + 1)))
        with opened(path, write=True) as writer:
            assert writer.keep(entry(1, "mill"), texts(1, "mill"), BASE, AT).seq == 601
        assert seen + len(list(tasks)) == 600


@pytest.mark.parametrize("text", ["", "page 2", "no such text"])
def test_a_list_in_pieces_is_the_whole_list(tmp_path: Path, text: str) -> None:
    path = filled(tmp_path / "jobs.sqlite", 3)
    with opened(path) as store:
        events: list[Event] = list(store.history())
        wanted = Wanted(text)
        fitting = [event_data(e) for e in events if wanted.fits(e, store)]
        head = {"schema": "jobs/1", "store": str(path), "entries": 3, "head": events[-1].head}
        whole = json.dumps({**head, "jobs": fitting}, indent=1, ensure_ascii=False)
        assert "".join(list_text(path, found(store, wanted))) == whole
    assert len(fitting) == {"": 3, "page 2": 1, "no such text": 0}[text]
