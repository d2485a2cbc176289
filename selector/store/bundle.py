"""A job taken along as one file: what was kept of it, its papers, the knowledge, all hashes.

The seal over all of it shows what was changed by accident or by somebody who does not reckon with
it. Without a key anybody can make a new seal; with a key only who has it.
"""

import base64
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from selector.errors import InputError
from selector.explanation.dumped import dumped
from selector.knowledge.documents import digest_of
from selector.knowledge.yaml_reader import read_string
from selector.store.entry import Entry, Event, entry_of
from selector.store.hashes import canonical, hash_of, same, sealed
from selector.store.store import Store, Texts, packed, unpacked

SCHEMA = "bundle/1"
LARGEST = 400_000_000  # bytes of a file, and of the knowledge in it
KEYS = {"schema", "job", "made", "papers", "history", "texts", "bases", "knowledge"}
SEALS = {"sha256", "hmac_sha256"}
LEAST_KEY = 16  # bytes
Data = dict[str, Any]


@dataclass(frozen=True)
class Bundle:
    """What a file holds, checked: entries in order, their texts, the knowledge they rest on."""

    job: str
    entries: list[Entry]
    texts: Texts
    bases: dict[str, dict[str, str]]
    signed: bool
    key_checked: bool


def bundle_of(store: Store, job: str, events: Iterable[Event], made: str, key: bytes | None) -> str:
    """Every entry of a job as the text of one file; the same bytes for the same store and time."""
    mine = [e for e in events if e.entry.job == job]
    texts = {h: store.text(h) for e in mine for h in e.entry.texts}
    bases = {d: store.base(d) for d in dict.fromkeys(e.entry.base for e in mine)}
    files = {hash_of(t.encode()): t for base in bases.values() for t in base.values()}
    knowledge = canonical(files)
    last = texts[mine[-1].entry.job_text].decode()
    data = {
        "schema": SCHEMA,
        "job": job,
        "made": made,
        "papers": _papers(last, mine[-1].entry.file),
        "history": [{"hash": e.entry.hash, **asdict(e.entry)} for e in mine],
        "texts": {h: t.decode() for h, t in texts.items()},
        "bases": {
            d: {name: hash_of(t.encode()) for name, t in base.items()} for d, base in bases.items()
        },
        "knowledge": {
            "size": len(knowledge),
            "packed": base64.b64encode(packed(knowledge)).decode(),
        },
    }
    seal = {"sha256": hash_of(canonical(data))}
    if key is not None:
        seal["hmac_sha256"] = sealed(canonical(data), key)
    return dumped({**data, "seal": seal}) + "\n"


def read_bundle(text: str, file: str, key: bytes | None) -> Bundle:
    """What the text of a file holds; InputError with what is not as it was sealed."""
    return _Reader(file).bundle(text, key)


def read_whole(path: Path) -> str:
    """Text of an exported file; InputError where it cannot be read."""
    try:
        if path.stat().st_size > LARGEST:
            raise InputError.of("this file is too large", "is it the right one?", file=str(path))
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        text = "this is no job that was exported here: it is no text"
        raise InputError.of(text, "is it the right file?", file=str(path)) from None
    except OSError as error:
        raise _unread(path, error) from None


def read_key(path: Path) -> bytes:
    """A key as it stands in its file; InputError where it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise _unread(path, error) from None


def _unread(path: Path, error: OSError) -> InputError:
    text = f"the file cannot be read ({error.strerror})"
    return InputError.of(text, "check its name and its rights", file=str(path))


def _whose(data: Data, hashed: str) -> str:
    """Which text of which entry has a hash."""
    names = {"job_text": "the job", "data": "the answer", "screen": "the printed answer"}
    for number, row in enumerate(data["history"], 1):
        for key, name in names.items():
            if row.get(key) == hashed:
                return f"{name} of entry {number}"
    return f"the text {hashed[:12]}"


def _papers(text: str, file: str) -> Data:
    papers = read_string(text, file).data.get("papers")
    return papers if isinstance(papers, dict) else {}


class _Reader:
    """Checks a bundle from the outside in; nothing is taken that was not hashed."""

    def __init__(self, file: str):
        self.file = file

    def refused(self, text: str, remedy: str = "ask for the file once more") -> InputError:
        return InputError.of(text, remedy, file=self.file)

    def tampered(self, text: str) -> InputError:
        return self.refused(f"this file was changed: {text}; nothing was imported")

    def bundle(self, text: str, key: bytes | None) -> Bundle:
        data = self.data(text)
        try:
            texts = {h: t.encode() for h, t in data["texts"].items()}
            for hashed, each in texts.items():
                if hash_of(each) != hashed:
                    raise self.tampered(f"{_whose(data, hashed)} is another one")
            bases = self.bases(data)
            entries = [self.entry(n, row) for n, row in enumerate(data["history"], 1)]
            self.belong_together(data, entries, texts, bases)
        except (AttributeError, KeyError, TypeError, ValueError, RecursionError):
            raise self.tampered("its parts have another form") from None
        signed = self.sealed(data, key)
        return Bundle(data["job"], entries, texts, bases, signed, signed and key is not None)

    def data(self, text: str) -> Data:
        wrong = "this is no job that was exported here"
        remedy = "name a file that `seamwright jobs export` wrote"
        try:
            data: Any = json.loads(text)
        except (ValueError, RecursionError):
            raise self.refused(f"{wrong}: it is no whole JSON", remedy) from None
        schema = data.get("schema") if isinstance(data, dict) else None
        if schema is None or not str(schema).startswith("bundle/"):
            raise self.refused(wrong, remedy)
        if schema != SCHEMA:
            text = f"this file is `{schema}`; this program reads `{SCHEMA}`"
            raise self.refused(text, "install a newer version")
        if data.keys() != KEYS | {"seal"}:
            odd = ", ".join(sorted(data.keys() ^ (KEYS | {"seal"})))
            raise self.tampered(f"it has other keys ({odd})")
        return dict(data)

    def sealed(self, data: Data, key: bytes | None) -> bool:
        """Whether it is signed; with the key the signature holds too."""
        seal = data["seal"]
        if not isinstance(seal, dict) or not {"sha256"} <= seal.keys() <= SEALS:
            raise self.tampered("its seal has another form")
        whole = canonical({k: v for k, v in data.items() if k != "seal"})
        if not same(str(seal["sha256"]), hash_of(whole)):
            raise self.tampered("its seal does not fit what it holds")
        signature = seal.get("hmac_sha256")
        if key is not None and signature is None:
            text = "this file is not signed, but a key was given; nothing was imported"
            raise self.refused(text, "import it without `--key` if you trust it all the same")
        if key is not None and not same(str(signature), sealed(whole, key)):
            text = "its signature was not made with this key; nothing was imported"
            raise self.refused(text, "is it the right key?")
        return signature is not None

    def bases(self, data: Data) -> dict[str, dict[str, str]]:
        """Texts of each base, by its digest."""
        knowledge = data["knowledge"]
        size = knowledge["size"]
        if type(size) is not int or not 0 <= size <= LARGEST:
            raise self.tampered("its knowledge has another size")
        try:
            whole = unpacked(base64.b64decode(knowledge["packed"], validate=True), size)
            files = json.loads(whole or b"")
        except ValueError:
            raise self.tampered("its knowledge cannot be unpacked") from None
        names = {hashed: name for base in data["bases"].values() for name, hashed in base.items()}
        for hashed, text in files.items():
            if hash_of(text.encode()) != hashed:
                raise self.tampered(f"`{names.get(hashed)}` of its knowledge is another one")
        found = {
            digest: {name: files[hashed] for name, hashed in listed.items()}
            for digest, listed in data["bases"].items()
        }
        for digest, texts in found.items():
            if digest_of(texts) != digest:
                raise self.tampered(f"the knowledge {digest[:12]} is another one")
        return found

    def entry(self, number: int, row: Data) -> Entry:
        try:
            entry = entry_of({k: v for k, v in row.items() if k != "hash"})
        except ValueError as error:
            raise self.tampered(f"entry {number}: {error}") from None
        if entry.hash != row["hash"]:
            raise self.tampered(f"entry {number} of its history is another one")
        return entry

    def belong_together(
        self, data: Data, entries: list[Entry], texts: Texts, bases: dict[str, dict[str, str]]
    ) -> None:
        """Each entry follows one that is there, and its job, answer and knowledge are its own."""
        known: set[str] = set()
        if not entries:
            raise self.tampered("it holds no entry")
        for number, entry in enumerate(entries, 1):
            if entry.before and entry.before not in known:
                raise self.tampered(f"the entry before number {number} is missing")
            known.add(entry.hash)
            if entry.base not in bases or not set(entry.texts) <= texts.keys():
                raise self.tampered(f"texts or knowledge of entry {number} are missing")
            self.says_the_same(number, entry, texts, data["job"])
        odd = texts.keys() - {h for e in entries for h in e.texts}
        if odd or bases.keys() - {e.base for e in entries}:
            raise self.tampered("it holds texts that belong to no entry")
        last = entries[-1]
        if data["papers"] != _papers(texts[last.job_text].decode(), last.file):
            raise self.tampered("its papers are not those of the job")

    def says_the_same(self, number: int, entry: Entry, texts: Texts, job: str) -> None:
        """What the entry says is what stands in its texts."""
        answer = json.loads(texts[entry.data])
        written = read_string(texts[entry.job_text].decode(), entry.file).data
        says = [answer[k] for k in ("job", "base", "word", "exit", "as_of", "seamwright")]
        is_ = [entry.job, entry.base, entry.word, entry.exit, entry.as_of, entry.program]
        if says != is_ or entry.job != job or written.get("id") != job:
            raise self.tampered(f"entry {number} is not what its answer says")
