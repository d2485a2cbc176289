"""An exported job brings everything along, and no change of it goes unseen."""

import base64
import json
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from selector.errors import InputError
from selector.store.bundle import bundle_of, read_bundle, read_whole
from selector.store.entry import entry_of
from selector.store.hashes import canonical, hash_of, sealed
from selector.store.store import Store, opened
from tests.store.made import AT, BASE, entry, texts

KEY = bytes(range(32))
OTHER = BASE | {"rules/one.yaml": "id: two\n"}
Data = dict[str, Any]


def keep(store: Store, n: int, job: str = "barn", base: dict[str, str] = BASE) -> None:
    store.keep(entry(n, job, base=base), texts(n, job, base), base, AT)


@pytest.fixture
def store(tmp_path: Path) -> Any:
    with opened(tmp_path / "here.sqlite", write=True) as store:
        keep(store, 1)
        keep(store, 1, "mill")
        keep(store, 2, base=OTHER)
        keep(store, 3, base=OTHER)
        yield store


def exported(store: Store, key: bytes | None = None, job: str = "barn") -> str:
    return bundle_of(store, job, store.history(), AT, key)


def bring(text: str, path: Path, key: bytes | None = None) -> int:
    """How many entries are new in a store after a bundle was read."""
    bundle = read_bundle(text, "job.json", key)
    with opened(path, write=True) as store:
        return len(store.bring(bundle.entries, bundle.texts, bundle.bases, "2031-04-01"))


def test_all_of_a_job_comes_along_and_nothing_else(store: Store, tmp_path: Path) -> None:
    there = tmp_path / "there.sqlite"
    assert bring(exported(store), there) == 3
    with opened(there) as other:
        mine = [e.entry for e in store.history() if e.entry.job == "barn"]
        events = list(other.history())
        assert [e.entry for e in events] == mine
        assert {(e.kind, e.at) for e in events} == {("imported", "2031-04-01")}
        for each in mine:
            assert [other.text(h) for h in each.texts] == [store.text(h) for h in each.texts]
            assert other.base(each.base) == store.base(each.base)
        assert exported(other) == exported(store)


def test_the_same_file_twice_adds_nothing_and_a_later_one_the_rest(
    store: Store, tmp_path: Path
) -> None:
    there = tmp_path / "there.sqlite"
    first = exported(store)
    assert [bring(first, there), bring(first, there)] == [3, 0]
    keep(store, 4)
    assert bring(exported(store), there) == 1
    assert bring(exported(store, job="mill"), there) == 1


def test_two_stores_that_went_on_apart_are_joined(store: Store, tmp_path: Path) -> None:
    there = tmp_path / "there.sqlite"
    bring(exported(store), there)
    keep(store, 4)
    with opened(there, write=True) as other:
        keep(other, 5)
        back = exported(other)
    bundle = read_bundle(back, "job.json", None)
    assert len(store.bring(bundle.entries, bundle.texts, bundle.bases, AT)) == 1
    notes = [e.entry.note for e in store.history() if e.entry.job == "barn"]
    assert notes == ["call 1", "call 2", "call 3", "call 4", "call 5"]


def test_the_file_can_be_read_without_the_program(store: Store) -> None:
    data = json.loads(exported(store))
    last = data["history"][-1]
    assert data["texts"][last["screen"]] == "page 3 of barn\n"
    assert data["papers"] == {"calc": {"kind": "letter", "dated": "2031-01-04"}}
    knowledge = json.loads(zlib.decompress(base64.b64decode(data["knowledge"]["packed"])))
    assert knowledge[data["bases"][last["base"]]["rules/one.yaml"]] == "id: two\n"


# --- tampering -----------------------------------------------------------------------------


def refused(text: str, tmp_path: Path, key: bytes | None = None) -> str:
    """What is said of a bundle that must not be taken; nothing may be written by it."""
    there = tmp_path / "there.sqlite"
    with pytest.raises(InputError) as caught:
        bring(text, there, key)
    assert not there.exists()
    return str(caught.value)


def sealed_anew(data: Data) -> str:
    """As somebody would do it who reckons with the seal."""
    data = {k: v for k, v in data.items() if k != "seal"}
    return json.dumps({**data, "seal": {"sha256": hash_of(canonical(data))}})


def _text(key: str, old: str, new: str) -> Callable[[Data], None]:
    def change(data: Data) -> None:
        hashed = data["history"][1][key]
        assert old in data["texts"][hashed]
        data["texts"][hashed] = data["texts"][hashed].replace(old, new)

    return change


def _knowledge(data: Data) -> None:
    whole = zlib.decompress(base64.b64decode(data["knowledge"]["packed"]))
    whole = whole.replace(b"id: two", b"id: six")
    data["knowledge"]["packed"] = base64.b64encode(zlib.compress(whole)).decode()


def _other_word(data: Data) -> None:
    row = data["history"][1]
    row["word"] = "allowed"
    row["hash"] = entry_of({k: v for k, v in row.items() if k != "hash"}).hash
    data["history"][2]["before"] = row["hash"]
    last = data["history"][2]
    last["hash"] = entry_of({k: v for k, v in last.items() if k != "hash"}).hash


CHANGES: dict[str, tuple[Callable[[Data], object], str]] = {
    "the job": (_text("job_text", "letter", "better"), "the job of entry 2 is another one"),
    "the answer": (_text("data", "observe", "allowed"), "the answer of entry 2 is another one"),
    "the page": (_text("screen", "page", "cage"), "the printed answer of entry 2 is another one"),
    "the knowledge": (_knowledge, "`rules/one.yaml` of its knowledge is another one"),
    "the size": (lambda d: d["knowledge"].update(size=7), "cannot be unpacked"),
    "a name": (lambda d: d["history"][0].update(by="me"), "entry 1 of its history is another one"),
    "a word": (_other_word, "entry 2 is not what its answer says"),
    "an entry out": (lambda d: d["history"].pop(1), "the entry before number 2 is missing"),
    "the order": (lambda d: d["history"].reverse(), "the entry before number 1 is missing"),
    "a text out": (lambda d: d["texts"].popitem(), "are missing"),
    "a text more": (lambda d: d["texts"].update({hash_of(b"x"): "x"}), "belong to no entry"),
    "a base out": (lambda d: d["bases"].popitem(), "are missing"),
    "a base renamed": (
        lambda d: d["bases"].update(x=d["bases"].popitem()[1]),
        "the knowledge x is another one",
    ),
    "a paper": (lambda d: d["papers"]["calc"].update(dated="2031-02-02"), "its papers are not"),
    "the job's name": (lambda d: d.update(job="mill"), "entry 1 is not what its answer says"),
    "a key more": (lambda d: d.update(more=1), "it has other keys (more)"),
    "a key out": (lambda d: d.pop("papers"), "it has other keys (papers)"),
    "a key of an entry": (lambda d: d["history"][0].update(x=1), "entry 1: an entry has other"),
    "a kind": (lambda d: d["history"][0].update(exit="3"), "`exit` of an entry is no int"),
    "no list": (lambda d: d.update(history={"a": 1}), "another form"),
    "no entry": (lambda d: d.update(history=[], texts={}, bases={}), "it holds no entry"),
}


@pytest.mark.parametrize(("change", "said"), CHANGES.values(), ids=CHANGES)
@pytest.mark.parametrize("seal", [json.dumps, sealed_anew], ids=["as it is", "sealed anew"])
def test_a_change_is_found_and_named(
    store: Store,
    tmp_path: Path,
    change: Callable[[Data], object],
    said: str,
    seal: Callable[[Data], str],
) -> None:
    data = json.loads(exported(store))
    change(data)
    found = refused(seal(data), tmp_path)
    assert said in found
    assert "nothing was imported" in found


def test_the_seal_finds_what_nothing_else_covers(store: Store, tmp_path: Path) -> None:
    data = json.loads(exported(store))
    data["made"] = "2020-01-01"
    assert "its seal does not fit" in refused(json.dumps(data), tmp_path)
    data["seal"] = {"md5": "x"}
    assert "its seal has another form" in refused(json.dumps(data), tmp_path)


def test_without_a_key_a_whole_forgery_is_taken_and_with_one_it_is_not(
    store: Store, tmp_path: Path
) -> None:
    """Hashes alone bind nobody; this is said to the person, and the key is what helps."""
    data = json.loads(exported(store, KEY))
    data["made"] = "2020-01-01"
    forged = sealed_anew(data)
    assert "not signed, but a key was given" in refused(forged, tmp_path, KEY)
    data = json.loads(forged)
    data["seal"]["hmac_sha256"] = sealed(b"something", b"another key, long enough")
    assert "not made with this key" in refused(json.dumps(data), tmp_path, KEY)
    assert bring(forged, tmp_path / "other.sqlite") == 3


def test_a_signed_file_fits_its_key_alone(store: Store, tmp_path: Path) -> None:
    text = exported(store, KEY)
    found = read_bundle(text, "job.json", KEY)
    assert (found.signed, found.key_checked) == (True, True)
    found = read_bundle(text, "job.json", None)
    assert (found.signed, found.key_checked) == (True, False)
    assert "not made with this key" in refused(text, tmp_path, KEY[::-1])


# --- wrong files ---------------------------------------------------------------------------

WRONG: dict[str, tuple[str, str]] = {
    "a job file": ("seamwright: job/1\nid: barn\n", "no whole JSON"),
    "half a file": ('{"schema": "bundle/1", "job": "ba', "no whole JSON"),
    "other JSON": ('{"schema": "answer/1", "word": "allowed"}', "no job that was exported here"),
    "a list": ("[1, 2, 3]", "no job that was exported here"),
    "a newer one": ('{"schema": "bundle/2"}', "install a newer version"),
    "nothing": ("", "no whole JSON"),
    "very deep": ("[" * 100_000, "no whole JSON"),
}


@pytest.mark.parametrize(("text", "said"), WRONG.values(), ids=WRONG)
def test_wrong_files_are_named(tmp_path: Path, text: str, said: str) -> None:
    assert said in refused(text, tmp_path)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "picture.png").write_bytes(b"\x89PNG\xff\xfe")
    for name, said in (
        ("picture.png", "it is no text"),
        ("nowhere.json", "cannot be read (No such file or directory)"),
        ("", "cannot be read (Is a directory)"),
    ):
        with pytest.raises(InputError) as caught:
            read_whole(tmp_path / name)
        assert said in str(caught.value)


def test_packed_knowledge_larger_than_it_says_is_not_unpacked(store: Store, tmp_path: Path) -> None:
    data = json.loads(exported(store))
    bomb = base64.b64encode(zlib.compress(bytes(50_000_000))).decode()
    data["knowledge"] = {"size": 1_000, "packed": bomb}
    assert "cannot be unpacked" in refused(json.dumps(data), tmp_path)
    data["knowledge"] = {"size": 10**15, "packed": bomb}
    assert "another size" in refused(json.dumps(data), tmp_path)
